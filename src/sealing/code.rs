//! Access codes: what an owner types to open a sealed page.
//!
//! In: random bytes, or what a person typed. Out: an [`AccessCode`] of 23 symbols of Crockford's
//! base32 (5 bits each: 115 bits) and his check symbol (the number modulo 37), written in six
//! groups of four: `7ZK4-0QWM-…`. A code is always drawn, never chosen, so nobody can guess it from
//! the kennel's or the puppy's name.
//!
//! Reading forgives what paper and telephones do: small letters, blanks and hyphens anywhere, O for
//! 0, I and L for 1. A slip in typing is noticed before anything is tried. A code never shows in
//! its `Debug` form; only `Display` writes it out.

use super::{MOST_DRAWS, NoRandomness, Random};
use std::{fmt, str::FromStr};
use subtle::ConstantTimeEq;
use thiserror::Error;
use zeroize::{Zeroize, Zeroizing};

/// Symbols that carry the secret, 5 bits each.
const SECRET: usize = 23;
/// Symbols as written: the secret and the check symbol.
const WRITTEN: usize = SECRET + 1;
/// Symbols in a group.
const GROUP: usize = 4;
/// Crockford's 32 symbols by their value, and after them the five that only a check symbol may be.
const SYMBOLS: &[u8; 37] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U";
/// How many of them may stand in the secret.
const PLAIN: u8 = 32;

/// An access code: 115 random bits.
///
/// Its memory is overwritten when it is dropped, and comparing two codes takes the same time
/// wherever they differ.
#[derive(Clone)]
pub struct AccessCode {
    /// The secret in canonical symbols: digits and capital letters.
    symbols: [u8; SECRET],
}

impl AccessCode {
    /// Draws a new code.
    ///
    /// A code whose check symbol would be one of `* ~ $ = U` is drawn again: a code we give out has
    /// letters and digits only, so it can be read aloud, and nothing is lost from its end when
    /// it stands at the end of a link. That costs a fifth of a bit. Nor is a code of one symbol
    /// throughout taken: it comes from a source that is broken.
    ///
    /// # Errors
    /// When the source has no random bytes, or none that make a code.
    pub fn generate(random: &mut Random<'_>) -> Result<Self, NoRandomness> {
        let mut drawn = Zeroizing::new([0_u8; SECRET]);
        for _ in 0..MOST_DRAWS {
            random(&mut drawn[..])?;
            // 256 is a multiple of 32: the lowest five bits of a random byte are random too.
            drawn
                .iter_mut()
                .for_each(|byte| *byte = SYMBOLS[usize::from(*byte % PLAIN)]);
            let code = Self { symbols: *drawn };
            let all_alike = code.symbols.iter().all(|symbol| *symbol == code.symbols[0]);
            if !all_alike && code.check().is_ascii_alphanumeric() && code.check() != b'U' {
                return Ok(code);
            }
        }
        Err(NoRandomness::stuck())
    }

    /// The code as the password of PBES2 (RFC 7518 section 4.8.1.1): the 23 symbols of the secret
    /// as ASCII (and so UTF-8) bytes, digits and capital letters, without hyphens and without
    /// the check symbol. However a person types the code, these bytes are the same; the script in
    /// the page must compute the same ones.
    #[must_use]
    pub fn password(&self) -> &[u8] {
        &self.symbols
    }

    /// Crockford's check symbol: the code read as one number, modulo 37.
    fn check(&self) -> u8 {
        let remainder = self.symbols.iter().fold(0, |remainder, symbol| {
            (remainder * u32::from(PLAIN) + u32::from(value(*symbol))) % 37
        });
        usize::try_from(remainder).map_or(b'0', |remainder| SYMBOLS[remainder])
    }
}

/// The value of a canonical symbol, 0 to 36; for anything else 0, which does not occur here.
fn value(symbol: u8) -> u8 {
    SYMBOLS
        .iter()
        .position(|known| *known == symbol)
        .and_then(|place| u8::try_from(place).ok())
        .unwrap_or(0)
}

/// Writes the code out, in groups of four with hyphens and with its check symbol. All of its
/// characters may stand in a URL fragment as they are.
impl fmt::Display for AccessCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, symbol) in self.symbols.iter().chain(&[self.check()]).enumerate() {
            if place > 0 && place % GROUP == 0 {
                f.write_str("-")?;
            }
            write!(f, "{}", char::from(*symbol))?;
        }
        Ok(())
    }
}

/// Never the code itself.
impl fmt::Debug for AccessCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("AccessCode(…)")
    }
}

impl PartialEq for AccessCode {
    fn eq(&self, other: &Self) -> bool {
        self.symbols.ct_eq(&other.symbols).into()
    }
}

impl Eq for AccessCode {}

impl Drop for AccessCode {
    fn drop(&mut self) {
        self.symbols.zeroize();
    }
}

/// Why what was typed is no access code. It never holds the code, nor says which symbol a wrong
/// check points to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum NotACode {
    /// Fewer symbols than a code has.
    #[error(
        "an access code has {WRITTEN} letters and digits, and {typed} were typed: some are missing"
    )]
    TooShort {
        /// Symbols typed, hyphens and blanks not counted.
        typed: usize,
    },
    /// More symbols than a code has.
    #[error(
        "an access code has {WRITTEN} letters and digits, and {typed} were typed: there are too \
         many"
    )]
    TooLong {
        /// Symbols typed, hyphens and blanks not counted.
        typed: usize,
    },
    /// A character that never stands where it was typed.
    #[error("the character “{}” never occurs in an access code: please look at it again", .0.escape_debug())]
    NeverOccurs(
        /// As it was typed.
        char,
    ),
    /// The check symbol does not fit the others.
    #[error(
        "there is a slip in the access code: please compare it with the one you were given, \
         character by character"
    )]
    CheckDoesNotFit,
}

impl FromStr for AccessCode {
    type Err = NotACode;

    fn from_str(text: &str) -> Result<Self, NotACode> {
        // One place more than is used: what is too long is only counted.
        let mut symbols = Zeroizing::new([0_u8; WRITTEN]);
        let mut typed = 0;
        let mut only_last = None;
        for c in text.chars().filter(|c| !is_separator(*c)) {
            let symbol = canonical(c).ok_or(NotACode::NeverOccurs(c))?;
            if let Some(early) = only_last {
                return Err(NotACode::NeverOccurs(early));
            }
            only_last = (value(symbol) >= PLAIN).then_some(c);
            if let Some(place) = symbols.get_mut(typed) {
                *place = symbol;
            }
            typed += 1;
        }
        if typed < WRITTEN {
            return Err(NotACode::TooShort { typed });
        }
        if typed > WRITTEN {
            return Err(NotACode::TooLong { typed });
        }
        let mut code = Self {
            symbols: [0; SECRET],
        };
        code.symbols.copy_from_slice(&symbols[..SECRET]);
        if code.check() == symbols[SECRET] {
            Ok(code)
        } else {
            Err(NotACode::CheckDoesNotFit)
        }
    }
}

/// The canonical symbol that a typed character stands for. O is read as 0, I and L as 1; none of
/// them is a symbol of its own, not even as a check symbol.
fn canonical(typed: char) -> Option<u8> {
    let symbol = match u8::try_from(typed).ok()?.to_ascii_uppercase() {
        b'O' => b'0',
        b'I' | b'L' => b'1',
        other => other,
    };
    SYMBOLS.contains(&symbol).then_some(symbol)
}

/// What may stand anywhere in a code and means nothing: blanks of every width, hyphens and dashes
/// as word processors make them, and marks that cannot be seen. The script in the page has the same
/// list.
fn is_separator(c: char) -> bool {
    c.is_whitespace()
        || matches!(
            c,
            '-'
                | '\u{ad}'
                | '\u{200b}'..='\u{200f}'
                | '\u{2010}'..='\u{2015}'
                | '\u{2060}'
                | '\u{2212}'
                | '\u{feff}'
        )
}

#[cfg(test)]
mod tests;
