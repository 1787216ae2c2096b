//! `codes.yaml`: the access code and the page name of every sealed page.
//!
//! In: the file, or nothing yet. Out: [`Codes`]. A page keeps its name, so that the link on a
//! printed sheet stays right; names are random and say nothing of puppy or family. A code
//! belongs to a family: when another family takes the puppy, code and name are drawn anew. An entry
//! is not dropped when nobody takes its puppy any more. The file is written whole, always in the
//! same order.

use super::KeyringError;
use crate::sealing::code::AccessCode;
use crate::sealing::{NoRandomness, Random};
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer};
use std::collections::BTreeMap;
use std::fmt;
use std::fmt::Write;
use std::path::Path;

/// What stands at the head of the file.
const HEAD: &str = "# Access codes of the families' sealed pages, written by litterfolio. Whoever \
                    has a code can read its page.\n# Keep this file to yourself, keep a copy of \
                    it with your backups, and never publish it.\n# A new code for one puppy is \
                    drawn by: litterfolio recode PUPPY\n";
/// Letters of a page's name: 5 bits each.
const LETTERS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";
/// How many: 100 bits, so that nobody finds a page by trying.
const NAME: usize = 20;

/// Access codes by the key of their page: `autumn-2026/reed`.
#[derive(Debug, Clone, Default)]
pub struct Codes {
    exists: bool,
    entries: BTreeMap<String, WrittenCode>,
}

/// An entry as it is written; what is wrong with it is said by [`Codes::is_sound`].
#[derive(Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenCode {
    family: String,
    code: String,
    page: String,
}

/// Never the code itself.
impl fmt::Debug for WrittenCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Kept(…)")
    }
}

/// Why a code was drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DrawReason {
    /// There was none.
    New,
    /// Another family takes the puppy now.
    OtherFamily,
}

/// One sealed page's code and name.
#[derive(Debug, Clone)]
pub struct CodeEntry {
    /// The access code.
    pub code: AccessCode,
    /// Name of the page, without ending.
    pub page: String,
}

impl Codes {
    /// Reads the file; without one there are no codes yet.
    pub(super) fn load(path: &Path) -> Result<Self, KeyringError> {
        let Some(text) = super::guard::read(path)? else {
            return Ok(Self::default());
        };
        Self::parse(&text).map_err(|(line, what)| KeyringError::Damaged {
            path: path.to_owned(),
            line,
            what,
            hint: "mend that line or put the file back from your backup; if neither can be done, \
                   move it away and draw new codes with `litterfolio recode --all`"
                .to_owned(),
        })
    }

    /// The entries of a text, or the line and what is wrong there.
    fn parse(text: &str) -> Result<Self, (usize, String)> {
        if text
            .lines()
            .all(|line| line.trim().is_empty() || line.starts_with('#'))
        {
            return Ok(Self {
                exists: true,
                entries: BTreeMap::new(),
            });
        }
        let read: WrittenCodes = serde_yaml::from_str(text).map_err(|error| {
            // A fault of form is told without the text around it: a code might stand there.
            (
                error.location().map_or(1, |at| at.line()),
                "this is not an entry with `family:`, `code:` and `page:`".to_owned(),
            )
        })?;
        let mut entries = BTreeMap::new();
        for (key, kept) in read.0 {
            let line = text
                .lines()
                .enumerate()
                .filter(|(_, l)| names(l, &key))
                .map(|(n, _)| n + 1)
                .last()
                .unwrap_or(1);
            if !is_key(&key) {
                return Err((
                    line,
                    "the name of an entry is the folder of a litter, `/`, and a puppy".to_owned(),
                ));
            }
            if entries.insert(key, kept).is_some() {
                return Err((line, "this puppy has two entries".to_owned()));
            }
        }
        Ok(Self {
            exists: true,
            entries,
        })
    }

    /// Whether there is a file at all.
    pub(super) fn exists(&self) -> bool {
        self.exists
    }

    /// All entries: the key of the page, and the family it is for.
    pub(super) fn all(&self) -> impl Iterator<Item = (&str, &str)> {
        self.entries
            .iter()
            .map(|(key, kept)| (key.as_str(), kept.family.as_str()))
    }

    /// Whether a puppy has an entry, readable or not.
    pub(super) fn has(&self, key: &str) -> bool {
        self.entries.contains_key(key)
    }

    /// Every code reads, and no code and no name occurs twice.
    pub(super) fn is_sound(&self, path: &Path) -> Result<(), KeyringError> {
        let fault = |key: &str, what: String| {
            let text = self.to_yaml();
            let line = text
                .lines()
                .position(|l| names(l, key))
                .map_or(1, |n| n + 1);
            let puppy = key.replace('/', " --litter ");
            let puppy = puppy.split_once(" --litter ").map_or_else(
                || key.to_owned(),
                |(litter, puppy)| format!("{puppy} --litter {litter}"),
            );
            let hint = format!(
                "correct it, or draw a new code with `litterfolio recode {puppy}`; the page keeps \
                 its address where it can"
            );
            Err(KeyringError::Damaged {
                path: path.to_owned(),
                line,
                what,
                hint,
            })
        };
        let (mut codes, mut pages) = (BTreeMap::new(), BTreeMap::new());
        for (key, kept) in &self.entries {
            let Ok(code) = kept.code.parse::<AccessCode>() else {
                return fault(
                    key,
                    format!("the code of {key} does not read as an access code"),
                );
            };
            if !is_page_name(&kept.page) {
                return fault(
                    key,
                    format!("the page of {key} is not {NAME} small letters and digits"),
                );
            }
            if let Some(other) = codes.insert(code.to_string(), key) {
                return fault(
                    key,
                    format!(
                        "{key} and {other} have the same code, so each family could read the \
                         other's page"
                    ),
                );
            }
            if let Some(other) = pages.insert(&kept.page, key) {
                return fault(key, format!("{key} and {other} have the same page name"));
            }
        }
        Ok(())
    }

    /// The code and page name of a puppy; nothing when it has none that reads.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<CodeEntry> {
        let kept = self.entries.get(key)?;
        Some(CodeEntry {
            code: kept.code.parse().ok()?,
            page: kept.page.clone(),
        })
    }

    /// Whether a puppy's code belongs to this family; the next publication draws one where it does
    /// not.
    #[must_use]
    pub fn is_of(&self, key: &str, family: &str) -> bool {
        self.entries
            .get(key)
            .is_some_and(|kept| kept.family == family)
    }

    /// Draws a code and a page name where there is none for this family; says why it did.
    pub(super) fn draw_missing(
        &mut self,
        key: &str,
        family: &str,
        random: &mut Random<'_>,
    ) -> Result<Option<DrawReason>, NoRandomness> {
        match self.entries.get(key) {
            Some(kept) if kept.family == family => Ok(None),
            Some(_) => {
                // The former family knows both the code and the address.
                self.entries.remove(key);
                self.renew(key, family, None, random)?;
                Ok(Some(DrawReason::OtherFamily))
            }
            None => {
                self.renew(key, family, None, random)?;
                Ok(Some(DrawReason::New))
            }
        }
    }

    /// Draws a new code; the page keeps its name where that is sound and its own. `before` is the
    /// name it is remembered by, for when the entry is lost.
    ///
    /// # Errors
    /// When there are no random bytes.
    pub fn renew(
        &mut self,
        key: &str,
        family: &str,
        before: Option<&str>,
        random: &mut Random<'_>,
    ) -> Result<CodeEntry, NoRandomness> {
        let code = AccessCode::generate(random)?;
        let taken = |page: &str| {
            self.entries
                .iter()
                .any(|(other, kept)| other != key && kept.page == page)
        };
        let old = self
            .entries
            .get(key)
            .filter(|kept| kept.family == family)
            .map(|kept| kept.page.as_str())
            .or(before);
        let page = match old.filter(|page| is_page_name(page) && !taken(page)) {
            Some(page) => page.to_owned(),
            None => page_name(random)?,
        };
        self.entries.insert(
            key.to_owned(),
            WrittenCode {
                family: family.to_owned(),
                code: code.to_string(),
                page: page.clone(),
            },
        );
        self.exists = true;
        Ok(CodeEntry { code, page })
    }

    /// The whole file.
    #[must_use]
    pub(super) fn to_yaml(&self) -> String {
        let mut text = HEAD.to_owned();
        for (key, WrittenCode { family, code, page }) in &self.entries {
            // What the keeper broke by hand is written back as it was, in quotes of its own.
            let quoted = |value: &str| serde_json::to_string(value).unwrap_or_default();
            let _ = write!(
                text,
                "{key}:\n  family: {}\n  code: {}\n  page: {}\n",
                quoted(family),
                quoted(code),
                quoted(page)
            );
        }
        text
    }
}

/// The entries in their order, doubles included: a map would drop one of two without a word.
struct WrittenCodes(Vec<(String, WrittenCode)>);

impl<'de> Deserialize<'de> for WrittenCodes {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Entries;
        impl<'de> Visitor<'de> for Entries {
            type Value = WrittenCodes;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("entries with a code and a page")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<WrittenCodes, A::Error> {
                let mut entries = Vec::new();
                while let Some(entry) = map.next_entry()? {
                    entries.push(entry);
                }
                Ok(WrittenCodes(entries))
            }
        }
        deserializer.deserialize_map(Entries)
    }
}

/// Whether a line begins the entry of a key.
fn names(line: &str, key: &str) -> bool {
    line.trim_end()
        .strip_suffix(':')
        .is_some_and(|name| name.trim_matches(['"', '\'']) == key)
}

fn is_key(key: &str) -> bool {
    let part = |part: &str| part.parse::<crate::quantity::Id>().is_ok();
    key.split_once('/')
        .is_some_and(|(litter, puppy)| part(litter) && part(puppy))
}

fn is_page_name(name: &str) -> bool {
    name.len() == NAME && name.bytes().all(|b| LETTERS.contains(&b))
}

fn page_name(random: &mut Random<'_>) -> Result<String, NoRandomness> {
    let mut bytes = [0_u8; NAME];
    random(&mut bytes)?;
    // 256 is a multiple of 32: the lowest five bits of a random byte are random too.
    Ok(bytes
        .iter()
        .map(|byte| char::from(LETTERS[usize::from(byte % 32)]))
        .collect())
}
