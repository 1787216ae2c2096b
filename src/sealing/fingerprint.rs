//! Whether a sealed page is still the right one, without opening it.
//!
//! In: the access code, the content and the sealed text. Out: a [`Fingerprint`], HMAC-SHA256 (RFC
//! 2104) keyed with the code over the other two. A publish that kept it from the last run skips a
//! page in the time of one hash, where opening would take several hundred times as long.
//!
//! It belongs into the private cache and never onto the site. Should it be seen all the same, it
//! tells nothing to anybody without the code: that key has 115 random bits, so neither the content
//! nor the code can be tried out against it, and equal contents under different codes have
//! different fingerprints.

use super::code::AccessCode;
use super::{decode_exactly, encode, jwe};
use hmac::{Hmac, KeyInit, Mac};
use sha2::Sha256;
use std::fmt;
use subtle::ConstantTimeEq;
use zeroize::Zeroizing;

/// Sets this use of the code apart from its use as a password, and changes when the layout below
/// does.
const PURPOSE: &[u8] = b"litterfolio fingerprint of a sealed page 1\0";

/// A keyed hash of a content and of the sealed text made of it. `Display` writes the 43 characters
/// of base64url that [`Fingerprint::is`] reads.
#[derive(Clone, Copy)]
pub struct Fingerprint([u8; 32]);

impl Fingerprint {
    /// The fingerprint of a content that was sealed with a code as this text. It changes with any
    /// byte of the three, and when new pages are sealed with more rounds.
    #[must_use]
    pub fn of(content: &[u8], sealed: &str, code: &AccessCode) -> Self {
        // HMAC fills a short key up with zeros to the 64 bytes of a block; done here, it cannot
        // fail.
        let mut key = Zeroizing::new([0_u8; 64]);
        key.iter_mut()
            .zip(code.password())
            .for_each(|(place, symbol)| *place = *symbol);
        let mut mac = Hmac::<Sha256>::new((&*key).into());
        mac.update(PURPOSE);
        mac.update(&jwe::ROUNDS.to_be_bytes());
        // The length first, so that a byte cannot move from the content to the sealed text
        // unnoticed. No content is longer than 2^64 bytes.
        mac.update(
            &u64::try_from(content.len())
                .unwrap_or(u64::MAX)
                .to_be_bytes(),
        );
        mac.update(content);
        mac.update(sealed.as_bytes());
        Self(mac.finalize().into_bytes().into())
    }

    /// Whether this is the fingerprint that was kept. Anything else that a damaged cache may hold
    /// is not.
    #[must_use]
    pub fn is(&self, kept: &str) -> bool {
        decode_exactly::<32>(kept.trim()).is_some_and(|kept| bool::from(self.0.ct_eq(&kept)))
    }
}

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&encode(self.0))
    }
}

impl fmt::Debug for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Fingerprint(…)")
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_help::from_seed;
    use super::*;

    fn code(seed: u64) -> AccessCode {
        AccessCode::generate(&mut from_seed(seed)).unwrap()
    }

    #[test]
    fn a_kept_fingerprint_is_known_again() {
        let kept = Fingerprint::of(b"weights", "a.b.c.d.e", &code(1)).to_string();
        assert_eq!(kept.len(), 43);
        assert!(Fingerprint::of(b"weights", "a.b.c.d.e", &code(1)).is(&kept));
        assert!(Fingerprint::of(b"weights", "a.b.c.d.e", &code(1)).is(&format!("{kept}\n")));
    }

    #[test]
    fn another_content_sealed_text_or_code_has_another_fingerprint() {
        let kept = Fingerprint::of(b"weights", "a.b.c.d.e", &code(1)).to_string();
        assert!(!Fingerprint::of(b"weight", "a.b.c.d.e", &code(1)).is(&kept));
        assert!(!Fingerprint::of(b"weights", "a.b.c.d.f", &code(1)).is(&kept));
        assert!(!Fingerprint::of(b"weights", "a.b.c.d.e", &code(2)).is(&kept));
        // A byte moved across the border between content and sealed text.
        assert!(!Fingerprint::of(b"weightsa", ".b.c.d.e", &code(1)).is(&kept));
    }

    #[test]
    fn a_damaged_cache_matches_nothing() {
        let zeros = "A".repeat(43);
        for kept in ["", "x", "not base64 at all!", &zeros, &"A".repeat(44)] {
            assert!(
                !Fingerprint::of(b"weights", "a.b.c.d.e", &code(1)).is(kept),
                "{kept}"
            );
        }
    }

    #[test]
    fn a_fingerprint_is_hmac_sha256_in_the_documented_layout() {
        let code = code(1);
        // RFC 2104 from the hash alone: H((K ^ opad) || H((K ^ ipad) || text)).
        use sha2::Digest;
        let mut key = [0_u8; 64];
        key[..code.password().len()].copy_from_slice(code.password());
        let pad = |with: u8| key.iter().map(|byte| byte ^ with).collect::<Vec<u8>>();
        let text = [
            PURPOSE,
            &600_000_u32.to_be_bytes(),
            &7_u64.to_be_bytes(),
            b"weights",
            b"a.b.c.d.e",
        ]
        .concat();
        let inner = Sha256::digest([pad(0x36), text].concat());
        let outer = Sha256::digest([pad(0x5c), inner.to_vec()].concat());
        assert_eq!(
            Fingerprint::of(b"weights", "a.b.c.d.e", &code).to_string(),
            encode(outer)
        );
    }

    #[test]
    fn its_debug_form_is_redacted() {
        assert_eq!(
            format!("{:?}", Fingerprint::of(b"", "", &code(1))),
            "Fingerprint(…)"
        );
    }
}
