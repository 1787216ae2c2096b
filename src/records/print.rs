//! What records were read from, as one hash: as long as it stays the same, so do the records.
//!
//! In: names and texts of files, in the order in which they are listed. Out: a [`Print`]. It is taken of what was read, not of what stood in the folder before or after.

/// A hash of files.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Print(blake3::Hash);

impl Print {
    /// Its bytes.
    #[must_use]
    pub fn bytes(&self) -> &[u8; 32] {
        self.0.as_bytes()
    }

    /// That of a file whose bytes have this hash.
    #[must_use]
    pub fn from_hash(hash: blake3::Hash) -> Self {
        Self(hash)
    }

    /// Of one file's bytes.
    pub(super) fn of(bytes: &[u8]) -> Self {
        Self(blake3::hash(bytes))
    }
}

impl Default for Print {
    /// Of no file.
    fn default() -> Self {
        Printing::default().done()
    }
}

/// A print of several files that is still being taken.
#[derive(Debug, Default)]
pub(super) struct Printing(blake3::Hasher);

impl Printing {
    /// Adds a file. One without a text is there all the same.
    pub(super) fn add(&mut self, name: &str, text: Option<Print>) {
        self.0.update(&(name.len() as u64).to_le_bytes()).update(name.as_bytes());
        self.0.update(&[u8::from(text.is_some())]).update(text.as_ref().map_or(&[0; 32], Print::bytes).as_slice());
    }

    /// The print of all that was added.
    pub(super) fn done(&self) -> Print {
        Print(self.0.finalize())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_texts_and_their_borders_count() {
        let print = |files: &[(&str, Option<&str>)]| {
            let mut printing = Printing::default();
            for (name, text) in files {
                printing.add(name, text.map(|text| Print::of(text.as_bytes())));
            }
            printing.done()
        };
        let all = [
            print(&[]),
            print(&[("a", None)]),
            print(&[("a", Some(""))]),
            print(&[("a", Some("b"))]),
            print(&[("b", Some("b"))]),
            print(&[("a", Some("b")), ("c", None)]),
            print(&[("c", None), ("a", Some("b"))]),
        ];
        for (i, one) in all.iter().enumerate() {
            assert!(all[..i].iter().all(|other| other != one), "{i}");
        }
        assert_eq!(print(&[]), Print::default());
    }
}
