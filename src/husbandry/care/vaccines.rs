//! What a vaccination protects against, read from the words of its entry.
//!
//! In: the texts of `against`. Out: [`Disease`]s of the core, or that nothing was said. Only what
//! is named counts: an entry without words, or with words that are not known, is no core
//! vaccination. The core is that of WSAVA 2024 and AAHA 2022: distemper, adenovirus (hepatitis),
//! parvovirus; leptospirosis where it occurs.

use crate::quantity::Text;
use crate::records::health::Vaccination;

/// A disease that belongs to the core.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Disease {
    /// Canine distemper.
    Distemper,
    /// Canine adenovirus, the cause of infectious hepatitis.
    Adenovirus,
    /// Canine parvovirus.
    Parvovirus,
    /// Leptospirosis.
    Leptospirosis,
}

impl Disease {
    /// Its name, as in `against`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Distemper => "distemper",
            Self::Adenovirus => "adenovirus",
            Self::Parvovirus => "parvovirus",
            Self::Leptospirosis => "leptospirosis",
        }
    }
}

/// The core for all dogs, wherever they live.
pub const CORE: &[Disease] = &[Disease::Distemper, Disease::Adenovirus, Disease::Parvovirus];
/// What is core where it occurs.
pub const LEPTOSPIROSIS: &[Disease] = &[Disease::Leptospirosis];

/// Beginnings of words that name a disease: its English and Latin names, and those on passports of
/// neighbouring countries (common practice, no source).
const WORDS: &[(&str, Disease)] = &[
    ("distemper", Disease::Distemper),
    ("staupe", Disease::Distemper),
    ("cdv", Disease::Distemper),
    ("adenovir", Disease::Adenovirus),
    ("hepatitis", Disease::Adenovirus),
    ("cav", Disease::Adenovirus),
    ("parvo", Disease::Parvovirus),
    ("cpv", Disease::Parvovirus),
    ("lepto", Disease::Leptospirosis),
];
/// Letters that vets write for the three together: D or S distemper, H, A or A2 hepatitis, P
/// parvovirus, Pi parainfluenza.
const LETTERS: &[&str] = &[
    "dhp", "dap", "da2p", "dhpp", "dapp", "da2pp", "dhppi", "dappi", "da2ppi", "shp", "shpp",
    "shppi",
];
/// What follows those letters when leptospirosis is in it.
const WITH_LEPTOSPIROSIS: &[&str] = &["l", "l2", "l4"];
/// Beginnings of words of vaccines against kennel cough. Some hold an adenovirus too, which is not
/// the core's.
const COUGH: &[&str] = &["bordetella", "cough", "zwingerhusten", "tracheobronchitis"];

/// Against which diseases of the core an entry says that it is. A vaccine against kennel cough
/// alone is against none.
#[must_use]
pub fn core_of(vaccination: &Vaccination) -> Vec<Disease> {
    let texts: Vec<String> = vaccination
        .against
        .iter()
        .map(|text: &Text| text.to_string().to_lowercase())
        .collect();
    let words: Vec<&str> = texts
        .iter()
        .flat_map(|text| text.split(|c: char| !c.is_alphanumeric()))
        .filter(|word| !word.is_empty())
        .collect();
    let mut found: Vec<Disease> = WORDS
        .iter()
        .filter(|(stem, _)| words.iter().any(|word| word.starts_with(stem)))
        .map(|(_, disease)| *disease)
        .collect();
    for word in &words {
        let (letters, more) = WITH_LEPTOSPIROSIS
            .iter()
            .find_map(|l| Some((word.strip_suffix(l)?, true)))
            .unwrap_or((word, false));
        if LETTERS.contains(&letters) {
            found.extend(CORE);
            // The letter may stand apart as well: `DHPPi + L4`.
            if more || words.iter().any(|word| WITH_LEPTOSPIROSIS.contains(word)) {
                found.push(Disease::Leptospirosis);
            }
        }
    }
    let is_for_cough = words
        .iter()
        .any(|word| COUGH.iter().any(|stem| word.starts_with(stem)));
    if is_for_cough && !found.contains(&Disease::Distemper) && !found.contains(&Disease::Parvovirus)
    {
        found.retain(|disease| *disease != Disease::Adenovirus);
    }
    found.sort_unstable();
    found.dedup();
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn core(against: &str) -> Vec<Disease> {
        core_of(&serde_yaml::from_str(&format!("{{ against: {against} }}")).unwrap())
    }

    #[test]
    fn the_core_is_known_by_its_names() {
        // WSAVA 2024 (doi 10.1111/jsap.13718): distemper, adenovirus, parvovirus; leptospirosis
        // where it occurs.
        for words in [
            "[distemper, adenovirus, parvovirus]",
            "DHP",
            "DA2PP",
            "[Staupe, Hepatitis, Parvovirose]",
            "[canine distemper virus, infectious canine hepatitis, parvo]",
        ] {
            assert_eq!(core(words), CORE, "{words}");
        }
        for words in [
            "DHPPi+L4",
            "DHPPiL",
            "[distemper, adenovirus, parvovirus, leptospirosis]",
            "[DHP, L4]",
        ] {
            assert_eq!(core(words).len(), 4, "{words}");
        }
    }

    #[test]
    fn what_is_against_kennel_cough_is_no_core_vaccine() {
        for words in [
            "kennel cough",
            "[Bordetella, parainfluenza]",
            "[Bordetella, adenovirus type 2, parainfluenza]",
            "rabies",
            "[]",
            "something",
        ] {
            assert_eq!(core(words), [], "{words}");
        }
        assert_eq!(core("[parvovirus]"), [Disease::Parvovirus]);
        assert_eq!(
            core("[distemper, adenovirus, parvovirus, Bordetella]"),
            CORE
        );
    }
}
