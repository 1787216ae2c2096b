//! A part of a text, from the beginning of one character to the beginning of another.
//!
//! In: a text and two bytes of it, wherever they come from. Out: a [`Stretch`], which cannot end
//! inside a character or behind the end of its text.

use std::ops::Range;

/// Bytes of one text. Those of a file as a whole are none.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stretch {
    start: usize,
    end: usize,
}

impl Stretch {
    /// The part of `text` that these bytes lie in: widened to whole characters, cut where the text
    /// ends.
    #[must_use]
    pub fn of(text: &str, bytes: &Range<usize>) -> Self {
        let end = text.ceil_char_boundary(bytes.end.min(text.len()));
        Self {
            start: text.floor_char_boundary(bytes.start.min(end)),
            end,
        }
    }

    /// The byte it begins at.
    #[must_use]
    pub fn start(self) -> usize {
        self.start
    }

    /// The byte behind it.
    #[must_use]
    pub fn end(self) -> usize {
        self.end
    }

    /// Its bytes.
    #[must_use]
    pub fn bytes(self) -> Range<usize> {
        self.start..self.end
    }

    /// Whether it is no place in the text: the file as a whole is meant.
    #[must_use]
    pub fn is_whole_file(self) -> bool {
        self.end == 0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_part_never_begins_or_ends_inside_a_character(
            text in "[a-zé\u{feff}\u{2028}🐕]{0,12}",
            start in 0_usize..60,
            end in 0_usize..60,
        ) {
            let part = Stretch::of(&text, &(start..end));
            prop_assert!(text.get(part.bytes()).is_some());
            prop_assert!(part.end() >= end.min(text.len()));
        }
    }
}
