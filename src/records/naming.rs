//! Which puppy of a litter a word means: its id, its name or its ribbon.
//!
//! In: `fern`, `Fern` or `green`. Out: the one puppy, or why it is not one. An id as the records
//! write it always means that puppy; any other word must mean one puppy only.

use super::litter::Puppy;
use super::reading;
use crate::quantity::Unreadable;

/// Why a word is not one puppy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PuppyNameError {
    /// It means nobody, and is near to nothing that there is.
    Unknown(Unreadable),
    /// It means nobody, and may be a slip of the pen for a puppy's id, name or ribbon.
    Mistyped(Unreadable),
    /// It means several.
    Ambiguous(Unreadable),
}

impl From<PuppyNameError> for Unreadable {
    fn from(error: PuppyNameError) -> Self {
        match error {
            PuppyNameError::Unknown(why)
            | PuppyNameError::Mistyped(why)
            | PuppyNameError::Ambiguous(why) => why,
        }
    }
}

/// Finds a puppy.
///
/// # Errors
/// When the word means nobody or several.
pub fn puppy<'a>(puppies: &'a [Puppy], word: &str) -> Result<&'a Puppy, PuppyNameError> {
    let word = word.trim();
    if let Some(exact) = puppies.iter().find(|puppy| puppy.id.as_str() == word) {
        return Ok(exact);
    }
    let lower = word.to_lowercase();
    let ribbon = |puppy: &Puppy| puppy.ribbon.is_some_and(|ribbon| ribbon.name() == lower);
    let is_meant = |puppy: &&Puppy| {
        puppy.id.as_str() == lower || puppy.shown_name().to_lowercase() == lower || ribbon(puppy)
    };
    let mut found: Vec<&Puppy> = puppies.iter().filter(is_meant).collect();
    // A ribbon that was taken over from a puppy that died means the one that wears it.
    if found.len() > 1 {
        found.retain(|puppy| puppy.is_alive());
    }
    match found[..] {
        [one] => Ok(one),
        [] => {
            let ids: Vec<&str> = puppies.iter().map(|puppy| puppy.id.as_str()).collect();
            let others: Vec<String> = puppies
                .iter()
                .flat_map(|p| [Some(p.shown_name()), p.ribbon.map(|r| r.name().to_owned())])
                .flatten()
                .collect();
            let near =
                reading::suggestion(word, &ids).or_else(|| reading::suggestion(word, &others));
            let shown: String = word.chars().filter(|c| !c.is_control()).take(40).collect();
            let message = format!("there is no puppy `{shown}` in this litter");
            let why = |hint| Unreadable::new("puppy-unknown", message, hint);
            Err(match near {
                Some(hint) => PuppyNameError::Mistyped(why(hint)),
                None => PuppyNameError::Unknown(why(format!("there are: {}", ids.join(", ")))),
            })
        }
        _ => {
            let ids: Vec<&str> = found.iter().map(|puppy| puppy.id.as_str()).collect();
            Err(PuppyNameError::Ambiguous(Unreadable::new(
                "puppy-unclear",
                format!("`{word}` may be several puppies"),
                format!("use one of the ids {}", ids.join(", ")),
            )))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::litter::Litter;

    #[test]
    fn ids_names_and_ribbons_mean_one_puppy_or_none() {
        let text = "name: A\ndam: a\nsire: b\npuppies:\n  - { id: blue, sex: male, ribbon: red \
                    }\n  - { id: reed, name: Reedmace, sex: male, ribbon: blue }\n  - { id: ash, \
                    sex: male, ribbon: green, fate: died }\n  - { id: fern, sex: female, ribbon: \
                    green }\n";
        let litter: Litter = serde_yaml::from_str(text).unwrap();
        let id = |word: &str| {
            let found = puppy(&litter.puppies, word).map_err(Unreadable::from);
            found.map(|puppy| puppy.id.to_string())
        };
        assert_eq!(id("blue").unwrap(), "blue");
        assert_eq!(id("Blue").unwrap_err().code, "puppy-unclear");
        assert_eq!(
            (
                id("reedmace").unwrap(),
                id(" Red ").unwrap(),
                id("GREEN").unwrap()
            ),
            ("reed".into(), "blue".into(), "fern".into())
        );
        assert_eq!(id("fren").unwrap_err().hint, "did you mean `fern`?");
        assert_eq!(
            id("xyzzy").unwrap_err().hint,
            "there are: blue, reed, ash, fern"
        );
        let why = |word: &str| puppy(&litter.puppies, word).unwrap_err();
        assert!(matches!(why("fren"), PuppyNameError::Mistyped(_)));
        assert!(matches!(why("xyzzy"), PuppyNameError::Unknown(_)));
        assert!(matches!(why("Blue"), PuppyNameError::Ambiguous(_)));
    }
}
