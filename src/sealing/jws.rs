//! Signing a record, so that an owner or a vet can see that it is as the kennel gave it.
//!
//! In: bytes (a JSON record) and a [`SigningKey`]. Out: a JWS in compact form (RFC 7515) with
//! ES256: ECDSA on P-256 with SHA-256 (RFC 7518 section 3.4). The public key goes out as a JWK (RFC
//! 7517) whose name `kid` is its thumbprint (RFC 7638), so two keys cannot share a name.
//!
//! Why ES256: every browser with `WebCrypto` and every JOSE library verifies it, and its name is
//! settled. Ed25519 came to the last of the large browsers only in 2025, and its name in JOSE
//! changed (RFC 9864). The weak point of ECDSA, a bad random number for each signature, is avoided:
//! numbers are derived as in RFC 6979, so the same record signed twice is the same text.
//!
//! A private key never shows in its `Debug` form; only [`SigningKey::to_private_jwk`] writes it
//! out, for a file that nobody else may read.

use super::{MOST_DRAWS, NoRandomness, Random, decode, decode_exactly, encode};
use p256::ecdsa::signature::{Signer, Verifier};
use p256::ecdsa::{Signature, SigningKey as P256SigningKey, VerifyingKey as P256VerifyingKey};
use serde::Deserialize;
use sha2::{Digest, Sha256};
use std::fmt;
use thiserror::Error;
use zeroize::Zeroizing;

/// Length of a coordinate and of the private number on P-256, bytes.
const FIELD: usize = 32;
const ALGORITHM: &str = "ES256";
/// The longest header and key that are read, characters.
const LONGEST: usize = 4096;

/// The kennel's private key. The memory that holds it is overwritten when it is dropped.
#[derive(Clone)]
pub struct SigningKey(P256SigningKey);

/// The public half: what a signature is verified with.
#[derive(Clone, PartialEq, Eq)]
pub struct PublicKey {
    key: P256VerifyingKey,
    x: [u8; FIELD],
    y: [u8; FIELD],
}

/// A text that is no key of the kind that is used here. It never holds the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("this is not a whole P-256 key in JWK form")]
pub struct NotAKey;

/// A signature that does not hold: another key, a changed record, or no JWS of this kind. It never
/// says which.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("the signature does not fit this record and this key")]
pub struct NotVerified;

/// A JWK as it is read. What else may stand in it is of no use here.
#[derive(Deserialize)]
struct Jwk {
    kty: String,
    crv: String,
    x: String,
    y: String,
    d: Option<String>,
    alg: Option<String>,
    kid: Option<String>,
}

/// The protected header of a JWS as it is read.
#[derive(Deserialize)]
struct JwsHeader {
    alg: String,
    kid: Option<String>,
    b64: Option<serde_json::Value>,
    crit: Option<serde_json::Value>,
}

impl SigningKey {
    /// Draws a new key.
    ///
    /// # Errors
    /// When the source has no random bytes, or none that make a key.
    pub fn generate(random: &mut Random<'_>) -> Result<Self, NoRandomness> {
        let mut drawn = Zeroizing::new([0_u8; FIELD]);
        // A number is unusable when it is zero or not below the order of the curve: once in 2^32
        // draws.
        for _ in 0..MOST_DRAWS {
            random(&mut drawn[..])?;
            if let Ok(key) = P256SigningKey::from_slice(&drawn[..]) {
                return Ok(Self(key));
            }
        }
        Err(NoRandomness::stuck())
    }

    /// The public half.
    #[must_use]
    pub fn public(&self) -> PublicKey {
        PublicKey::of(*self.0.verifying_key())
    }

    /// The key as one line of JSON, secret included: for a file that only the keeper may read. It
    /// is overwritten when it is dropped.
    #[must_use]
    pub fn to_private_jwk(&self) -> Zeroizing<String> {
        let secret = Zeroizing::new(<[u8; FIELD]>::from(self.0.to_bytes()));
        let secret = Zeroizing::new(encode(&secret[..]));
        let public = self.public();
        Zeroizing::new(format!(r#"{{{},"d":"{}"}}"#, public.members(), &*secret))
    }

    /// Reads a key that [`SigningKey::to_private_jwk`] wrote.
    ///
    /// # Errors
    /// [`NotAKey`] when it is no P-256 key with its secret, or when its halves do not belong
    /// together.
    pub fn from_private_jwk(text: &str) -> Result<Self, NotAKey> {
        let (public, secret) = read_jwk(text)?;
        let secret =
            Zeroizing::new(decode_exactly::<FIELD>(&secret.ok_or(NotAKey)?).ok_or(NotAKey)?);
        let key = Self(P256SigningKey::from_slice(&secret[..]).map_err(|_| NotAKey)?);
        if key.public() == public {
            Ok(key)
        } else {
            Err(NotAKey)
        }
    }

    /// Signs a JSON record: a JWS in compact form with the record inside. The same record and key
    /// always give the same text.
    #[must_use]
    pub fn sign(&self, record: &[u8]) -> String {
        let header = format!(
            r#"{{"alg":"{ALGORITHM}","cty":"json","kid":"{}"}}"#,
            self.public().thumbprint()
        );
        let signed = format!("{}.{}", encode(header), encode(record));
        let signature: Signature = self.0.sign(signed.as_bytes());
        format!("{signed}.{}", encode(signature.to_bytes()))
    }
}

/// Never the key itself.
impl fmt::Debug for SigningKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("SigningKey(…)")
    }
}

impl PublicKey {
    fn of(key: P256VerifyingKey) -> Self {
        let point = key.to_sec1_point(false);
        let (mut x, mut y) = ([0; FIELD], [0; FIELD]);
        // An uncompressed point is 04, x, y (SEC 1 section 2.3.3).
        let (left, right) = point
            .as_bytes()
            .get(1..)
            .unwrap_or_default()
            .split_at_checked(FIELD)
            .unwrap_or_default();
        x.iter_mut().zip(left).for_each(|(to, from)| *to = *from);
        y.iter_mut().zip(right).for_each(|(to, from)| *to = *from);
        Self { key, x, y }
    }

    /// The key as one line of JSON, for everybody.
    #[must_use]
    pub fn to_jwk(&self) -> String {
        format!("{{{}}}", self.members())
    }

    /// Reads a public key. A secret that stands in it is not looked at.
    ///
    /// # Errors
    /// [`NotAKey`] when it is no P-256 key, its point is not on the curve, or its `kid` is not its
    /// thumbprint.
    pub fn from_jwk(text: &str) -> Result<Self, NotAKey> {
        read_jwk(text).map(|(public, _)| public)
    }

    /// The thumbprint of the key (RFC 7638, SHA-256), 43 characters of base64url: its name.
    #[must_use]
    pub fn thumbprint(&self) -> String {
        encode(Sha256::digest(format!(
            r#"{{"crv":"P-256","kty":"EC","x":"{}","y":"{}"}}"#,
            encode(self.x),
            encode(self.y)
        )))
    }

    /// The members of the JWK that everybody may see.
    fn members(&self) -> String {
        let (x, y, kid) = (encode(self.x), encode(self.y), self.thumbprint());
        format!(
            r#""kty":"EC","crv":"P-256","x":"{x}","y":"{y}","kid":"{kid}","alg":"{ALGORITHM}","use":"sig""#
        )
    }
}

impl fmt::Debug for PublicKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "PublicKey({})", self.thumbprint())
    }
}

/// The record in a JWS whose signature holds under a key.
///
/// # Errors
/// [`NotVerified`], whatever the reason. Nothing of the record is handed out then.
pub fn verify(jws: &str, key: &PublicKey) -> Result<Vec<u8>, NotVerified> {
    verified(jws, key).ok_or(NotVerified)
}

fn verified(jws: &str, key: &PublicKey) -> Option<Vec<u8>> {
    let (signed, signature) = jws.rsplit_once('.')?;
    let (header, record) = signed.split_once('.')?;
    if header.len() > LONGEST {
        return None;
    }
    let header: JwsHeader = serde_json::from_slice(&decode(header)?).ok()?;
    // What must be understood is refused, and so is a record that is not in base64url (RFC 7797).
    let ours = header.alg == ALGORITHM
        && header.crit.is_none()
        && header.b64.is_none()
        && header.kid.is_none_or(|kid| kid == key.thumbprint());
    let signature = Signature::from_slice(&decode_exactly::<{ FIELD * 2 }>(signature)?).ok()?;
    let record = decode(record)?;
    (ours && key.key.verify(signed.as_bytes(), &signature).is_ok()).then_some(record)
}

/// A key in JWK form: its public half, and the secret as it is written.
fn read_jwk(text: &str) -> Result<(PublicKey, Option<Zeroizing<String>>), NotAKey> {
    if text.len() > LONGEST {
        return Err(NotAKey);
    }
    let jwk: Jwk = serde_json::from_str(text).map_err(|_| NotAKey)?;
    let secret = jwk.d.map(Zeroizing::new);
    let kind = jwk.kty == "EC" && jwk.crv == "P-256" && jwk.alg.is_none_or(|alg| alg == ALGORITHM);
    let point = decode_exactly::<FIELD>(&jwk.x)
        .zip(decode_exactly::<FIELD>(&jwk.y))
        .filter(|_| kind)
        .ok_or(NotAKey)?;
    // Whether the point is on the curve is looked at here.
    let key = P256VerifyingKey::from_sec1_bytes(&[&[4], &point.0[..], &point.1[..]].concat())
        .map_err(|_| NotAKey)?;
    let public = PublicKey {
        key,
        x: point.0,
        y: point.1,
    };
    if jwk.kid.is_some_and(|kid| kid != public.thumbprint()) {
        Err(NotAKey)
    } else {
        Ok((public, secret))
    }
}

#[cfg(test)]
mod tests;
