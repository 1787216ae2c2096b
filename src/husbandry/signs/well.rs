//! Notes by which keepers say that it is over.

use super::Sign;
use super::text::Words;

/// Words by which keepers say that it is over.
const WELL: &[&str] = &[
    "recovered=",
    "well again",
    "is well",
    "all well",
    "quite well",
    "back to normal",
    "normal again",
    "herself again",
    "himself again",
    "fine again",
    "all fine",
    "is fine",
    "resolved=",
    "healed=",
    "cleared up",
    "genesen=",
    "erholt=",
    "wohlauf",
    "wieder gesund",
    "ist gesund",
    "wieder normal",
    "wieder munter",
    "wieder fit",
    "abgeheilt",
    "beschwerdefrei",
];
/// The same where they are the whole text.
const WELL_ALONE: &[&str] = &["well", "fine", "ok", "okay", "normal", "gesund"];

/// Whether a text says that all is over: one of the words for it stands there, and no sign that is
/// not.
#[must_use]
pub fn says_well(text: &str, list: &'static [Sign]) -> bool {
    let words = Words::of(text);
    let alone: Vec<&str> = words
        .words
        .iter()
        .filter(|w| !w.is_break)
        .map(|w| w.small.as_str())
        .collect();
    let well = match alone.as_slice() {
        [one] if WELL_ALONE.contains(one) => true,
        _ => words.seen(WELL, false).next().is_some(),
    };
    well && list.iter().all(|sign| words.fit(sign, true).is_none())
}
