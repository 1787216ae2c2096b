//! Names by which records refer to each other: a dog's file, a litter's folder, a puppy.
//!
//! In: `juno`, `autumn-2026`. Out: an [`Id`] that is safe in a file name and in the address of a
//! page.

use super::latin::of_other_script;
use super::{Unreadable, read_from_text};
use std::{borrow::Borrow, fmt, str::FromStr, sync::Arc};

/// 1 to 60 small letters, digits and inner hyphens. Figures name their puppies by it again and
/// again, so copies share their letters.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Id(Arc<str>);

impl Id {
    /// The name as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The nearest text that would be accepted, for hints: `Fern Two` becomes `fern-two`.
    #[must_use]
    pub fn suggest(text: &str) -> String {
        Self::made_of(text).unwrap_or_else(|| "fern".to_owned())
    }

    /// The same for what is called so; nothing where no letter of it can be spelt.
    #[must_use]
    pub fn made_of(text: &str) -> Option<String> {
        let mut out = String::new();
        for c in text.chars().flat_map(char::to_lowercase) {
            match c {
                'a'..='z' | '0'..='9' => out.push(c),
                // The dots and strokes of a letter that was typed as two characters.
                '\u{308}' if out.ends_with(['a', 'o', 'u']) => out.push('e'),
                '\u{300}'..='\u{36f}' => {}
                _ if !latin(c).is_empty() => out.push_str(latin(c)),
                _ if !of_other_script(c).is_empty() => out.push_str(of_other_script(c)),
                // Points and signs of letters, and the hard and the soft sign.
                '\u{591}'..='\u{5c7}'
                | '\u{610}'..='\u{61a}'
                | '\u{64b}'..='\u{65f}'
                | 'ъ'
                | 'ь'
                | 'ء' => {}
                _ if !out.ends_with('-') && !out.is_empty() => out.push('-'),
                _ => {}
            }
        }
        let out: String = out.trim_end_matches('-').chars().take(60).collect();
        Some(out).filter(|out| !out.is_empty())
    }
}

/// A letter as it is written where only the 26 plain ones are known: ä as ae, as in German
/// passports (ICAO Doc 9303, part 3, section 6), é as e. Nothing for what is no such letter.
fn latin(c: char) -> &'static str {
    match c {
        'ä' | 'æ' => "ae",
        'ö' | 'ø' | 'œ' => "oe",
        'ü' => "ue",
        'ß' => "ss",
        'å' => "aa",
        'þ' => "th",
        'à' | 'á' | 'â' | 'ã' | 'ā' | 'ă' | 'ą' => "a",
        'ç' | 'ć' | 'č' | 'ĉ' | 'ċ' => "c",
        'ď' | 'đ' | 'ð' => "d",
        'è' | 'é' | 'ê' | 'ë' | 'ē' | 'ė' | 'ę' | 'ě' => "e",
        'ĝ' | 'ğ' | 'ġ' | 'ģ' => "g",
        'ĥ' | 'ħ' => "h",
        'ì' | 'í' | 'î' | 'ï' | 'ī' | 'į' | 'ı' => "i",
        'ĵ' => "j",
        'ķ' => "k",
        'ĺ' | 'ļ' | 'ľ' | 'ł' => "l",
        'ñ' | 'ń' | 'ņ' | 'ň' => "n",
        'ò' | 'ó' | 'ô' | 'õ' | 'ō' | 'ő' => "o",
        'ŕ' | 'ř' => "r",
        'ś' | 'š' | 'ş' | 'ș' => "s",
        'ţ' | 'ť' | 'ț' => "t",
        'ù' | 'ú' | 'û' | 'ū' | 'ů' | 'ű' | 'ų' => "u",
        'ŵ' => "w",
        'ý' | 'ÿ' => "y",
        'ź' | 'ż' | 'ž' => "z",
        _ => "",
    }
}

impl FromStr for Id {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let letters = !text.is_empty()
            && text.len() <= 60
            && text
                .bytes()
                .all(|b| matches!(b, b'a'..=b'z' | b'0'..=b'9' | b'-'));
        // Names of devices on Windows cannot be files there, and a kennel folder may be copied
        // anywhere.
        let device = matches!(text, "con" | "prn" | "aux" | "nul")
            || (text.len() == 4
                && (text.starts_with("com") || text.starts_with("lpt"))
                && text.ends_with(|c: char| c.is_ascii_digit()));
        if letters && !device && !text.starts_with('-') && !text.ends_with('-') {
            return Ok(Self(text.into()));
        }
        let shown: String = text.chars().filter(|c| !c.is_control()).take(60).collect();
        Err(Unreadable::new(
            "not-a-name",
            format!("`{shown}` cannot be a name in the records"),
            format!(
                "use small letters, digits and `-` inside: {}",
                Self::suggest(text)
            ),
        ))
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl AsRef<str> for Id {
    fn as_ref(&self) -> &str {
        &self.0
    }
}

impl Borrow<str> for Id {
    fn borrow(&self) -> &str {
        &self.0
    }
}

read_from_text!(Id, "Id", { "type": "string", "pattern": "^[a-z0-9]([a-z0-9-]{0,58}[a-z0-9])?$" });

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_that_are_safe_everywhere() {
        for text in ["juno", "autumn-2026", "7", "a"] {
            assert!(text.parse::<Id>().is_ok(), "{text}");
        }
        for text in [
            "",
            "-a",
            "a-",
            "Juno",
            "a/b",
            "..",
            "a b",
            "é",
            "con",
            "com1",
            "a\u{202e}b",
            &"a".repeat(61),
        ] {
            assert!(text.parse::<Id>().is_err(), "{text}");
        }
        assert_eq!(Id::suggest("Fern Two!"), "fern-two");
        for (name, spelt) in [
            ("נועה", Some("nwah")),
            ("سلمى", Some("slma")),
            ("Жучка", Some("zhuchka")),
            ("Άρης", Some("aris")),
            ("福", None),
            ("???", None),
        ] {
            assert_eq!(Id::made_of(name).as_deref(), spelt, "{name}");
        }
        for (text, suggested) in [
            ("Bärli", "baerli"),
            ("GRÖSSE", "groesse"),
            ("größe", "groesse"),
            ("Ba\u{308}rli", "baerli"),
            ("Érn", "ern"),
            ("Łódź", "lodz"),
        ] {
            assert_eq!(Id::suggest(text), suggested, "{text}");
        }
    }
}
