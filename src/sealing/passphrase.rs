//! A passphrase: what a keeper chooses to seal the secrets of a backup with.
//!
//! In: what was typed. Out: a [`Passphrase`], or that it is too short. Unlike an access code it is
//! not drawn, so that its length and the rounds of PBKDF2 are all that keep a guesser out. It never
//! shows in its `Debug` form, and its memory is overwritten when it is dropped.

use std::fmt;
use thiserror::Error;
use zeroize::Zeroizing;

/// The fewest characters: our choice. Three short words have more.
pub const SHORTEST: usize = 12;
/// The most bytes that are taken; no keyboard types so many.
const LONGEST: usize = 1024;

/// What somebody chose, with the blanks and line ends around it taken off.
pub struct Passphrase(Zeroizing<String>);

/// Why what was typed cannot be a passphrase.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum Unfit {
    /// Others would find it by trying.
    #[error(
        "a passphrase has at least {SHORTEST} characters; a few words that only you know will do"
    )]
    Short,
    /// Nobody types so much.
    #[error("a passphrase has at most {LONGEST} bytes")]
    Long,
}

impl Passphrase {
    /// Takes what was typed.
    ///
    /// # Errors
    /// [`Unfit`].
    pub fn new(typed: &str) -> Result<Self, Unfit> {
        let typed = typed.trim();
        if typed.chars().count() < SHORTEST {
            return Err(Unfit::Short);
        }
        if typed.len() > LONGEST {
            return Err(Unfit::Long);
        }
        Ok(Self(Zeroizing::new(typed.to_owned())))
    }

    /// The password of PBES2 (RFC 7518 section 4.8.1.1): its UTF-8 bytes.
    pub(super) fn password(&self) -> &[u8] {
        self.0.as_bytes()
    }
}

/// Never the passphrase itself.
impl fmt::Debug for Passphrase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Passphrase(…)")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jwe::{Unopened, open_with_passphrase, seal_with_passphrase};

    #[test]
    fn it_opens_what_it_sealed_and_no_other_does() {
        let one = Passphrase::new("wet grass after rain").unwrap();
        let same = Passphrase::new("  wet grass after rain\r\n").unwrap();
        let other = Passphrase::new("wet grass after Rain").unwrap();
        let mut random = crate::test_help::from_seed(7);
        let sealed = seal_with_passphrase(b"codes", &one, &mut random).unwrap();
        assert_eq!(open_with_passphrase(&sealed, &same).unwrap(), b"codes");
        assert_eq!(open_with_passphrase(&sealed, &other), Err(Unopened));
        assert_eq!(format!("{one:?}"), "Passphrase(…)");
    }

    #[test]
    fn what_is_found_by_trying_is_refused() {
        assert_eq!(Passphrase::new("elevenchars").unwrap_err(), Unfit::Short);
        assert_eq!(
            Passphrase::new("    a    b     ").unwrap_err(),
            Unfit::Short
        );
        assert_eq!(Passphrase::new(&"a".repeat(1025)).unwrap_err(), Unfit::Long);
        // Characters count, not bytes.
        assert!(Passphrase::new("äöüäöüäöüäöü").is_ok());
    }
}
