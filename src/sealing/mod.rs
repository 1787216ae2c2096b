//! Sealing: what an owner's page is locked with, what a puppy's record is signed with, and what a
//! phone and the desk say to each other.
//!
//! In: bytes, an access code or a signing key, and random bytes from whoever calls. Out: a JWE in
//! compact form (RFC 7516) that opens with the code, or a JWS in compact form (RFC 7515) that
//! anybody can verify.
//!
//! This floor is pure: it reads no file, no clock and no generator of the operating system, and it
//! knows nothing of dogs. It never prints a secret by accident: the `Debug` form of a code or key
//! is redacted, and what went wrong in opening is said in one wording for everything.

pub mod channel;
pub mod code;
pub mod fingerprint;
pub mod jwe;
pub mod jws;
pub mod passphrase;

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use thiserror::Error;

/// A source of random bytes: fills the whole slice, or says why it cannot. Everything secret here
/// is drawn from it, so a program must pass in the generator of the operating system, and only a
/// test something that can be repeated.
pub type Random<'a> = dyn FnMut(&mut [u8]) -> Result<(), NoRandomness> + 'a;

/// There were no random bytes to make a secret from.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("could not get random bytes from the operating system: {0}")]
pub struct NoRandomness(
    /// What the source said.
    pub String,
);

impl NoRandomness {
    /// The source answers, and what it gives cannot be random: draw after draw was unusable.
    fn stuck() -> Self {
        Self("it gives the same bytes again and again".to_owned())
    }
}

/// How often an unusable draw is drawn again. With honest random bytes even ten in a row happen
/// less than once in a hundred million times.
const MOST_DRAWS: u32 = 64;

/// Bytes as base64url without padding (RFC 4648 section 5), the only spelling that JWE, JWS and JWK
/// know.
fn encode(bytes: impl AsRef<[u8]>) -> String {
    URL_SAFE_NO_PAD.encode(bytes)
}

/// Bytes from base64url. Nothing for padding, blanks, or spare bits that are not zero: each value
/// has one spelling.
fn decode(text: &str) -> Option<Vec<u8>> {
    URL_SAFE_NO_PAD.decode(text).ok()
}

/// Exactly `N` bytes from base64url.
fn decode_exactly<const N: usize>(text: &str) -> Option<[u8; N]> {
    decode(text)?.try_into().ok()
}

#[cfg(test)]
mod test_help;
