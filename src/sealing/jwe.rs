//! Sealing a text with an access code, and opening it again.
//!
//! In: bytes and an [`AccessCode`]. Out: a JWE in compact form (RFC 7516), alg
//! `PBES2-HS512+A256KW`, enc `A256GCM`, zip `DEF` (RFC 7518 sections 4.8, 5.3 and RFC 7516 section
//! 4.1.3): five parts of base64url with points between them. `WebCrypto` opens it in any browser
//! with a few lines of script, and so does every JOSE library.
//!
//! Whatever does not open, and for whatever reason, is [`Unopened`]: one error, one wording, so
//! that it tells nobody how near he was. No text makes opening panic, run long or fill the memory:
//! rounds, salt and inflated size have limits that are looked at first.
//!
//! What sealing cannot do: hide that there is something sealed, and about how long it is; or take
//! back what was opened once.

use super::code::AccessCode;
use super::passphrase::Passphrase;
use super::{NoRandomness, Random, decode, decode_exactly, encode};
use aes_gcm::aead::inout::InOutBuf;
use aes_gcm::{AeadInOut, Aes256Gcm};
use aes_kw::cipher::consts::U32;
use aes_kw::{KeyInit, KwAes256};
use flate2::Compression;
use flate2::bufread::DeflateDecoder;
use flate2::write::DeflateEncoder;
use hmac::EagerHash;
use serde::Deserialize;
use sha2::Sha512;
use std::io::{Read, Write};
use std::ops::RangeInclusive;
use thiserror::Error;
use zeroize::Zeroizing;

/// Rounds of PBKDF2 in what we seal (`p2c`). The code's 115 random bits are what keeps a page shut;
/// the rounds are there for whoever judges by them.
pub const ROUNDS: u32 = 600_000;
/// Rounds in what we open: at least what RFC 7518 section 4.8.1.2 recommends, at most what keeps
/// nobody waiting long.
const ROUNDS_READ: RangeInclusive<u32> = 1_000..=2_000_000;
/// The largest content that is sealed, and the most that is inflated in opening, bytes.
pub const LARGEST: usize = 64 * 1024 * 1024;

const ALGORITHM: &str = "PBES2-HS512+A256KW";
const ENCRYPTION: &str = "A256GCM";
const COMPRESSION: &str = "DEF";
/// Bytes of salt (`p2s`) in what we seal, and how many may stand in what we open: RFC 7518 section
/// 4.8.1.1 wants eight or more.
const SALT: usize = 16;
const SALT_READ: RangeInclusive<usize> = 8..=64;
/// Lengths of the other parts, bytes: key of the content, the same wrapped, nonce, tag.
const KEY: usize = 32;
const WRAPPED: usize = KEY + 8;
const NONCE: usize = 12;
const TAG: usize = 16;
/// The longest header that is read, characters of base64url: ours has about 150.
const LONGEST_HEADER: usize = 1024;
/// The longest sealed text that is read, characters: the largest content, not compressible at all,
/// with room for what deflate and the other parts add.
const LONGEST: usize = LARGEST / 3 * 4 + 1024 * 1024;

/// A key, overwritten when it is dropped.
type Key = Zeroizing<[u8; KEY]>;

/// Why a content could not be sealed.
#[derive(Debug, Error)]
pub enum NotSealed {
    /// No random bytes for key, salt and nonce.
    #[error(transparent)]
    NoRandomness(#[from] NoRandomness),
    /// More than [`LARGEST`] bytes.
    #[error(
        "could not seal {bytes} bytes: a sealed page holds at most {LARGEST}, so it needs fewer \
         or smaller pictures"
    )]
    TooLarge {
        /// How large the content is, bytes.
        bytes: usize,
    },
    /// Deflate failed, which it does not in memory.
    #[error("could not compress what shall be sealed")]
    Compress(#[source] std::io::Error),
}

/// What is sealed does not open: another code, a damaged text, or one that is not ours. It never
/// says which.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("this access code does not open this page")]
pub struct Unopened;

/// What a sealed text says of itself without being opened. It is not proven until the text is
/// opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Header {
    /// Rounds of PBKDF2, `p2c`; any number.
    pub rounds: u32,
    /// Salt of PBKDF2, `p2s`, 8 to 64 bytes.
    pub salt: Vec<u8>,
}

/// Seals a content with a code, under a new key, salt and nonce: two seals of one content differ.
/// Takes a quarter to half a second, nearly all of it for [`ROUNDS`].
///
/// # Errors
/// When there are no random bytes, or the content is larger than [`LARGEST`].
pub fn seal(plain: &[u8], code: &AccessCode, random: &mut Random<'_>) -> Result<String, NotSealed> {
    seal_with(plain, code.password(), ROUNDS, random)
}

/// Seals a content with a passphrase that somebody chose, in the same form.
///
/// # Errors
/// As [`seal`].
pub fn seal_with_passphrase(
    plain: &[u8],
    passphrase: &Passphrase,
    random: &mut Random<'_>,
) -> Result<String, NotSealed> {
    seal_with(plain, passphrase.password(), ROUNDS, random)
}

/// Opens what was sealed with a passphrase.
///
/// # Errors
/// [`Unopened`], whatever the reason.
pub fn open_with_passphrase(jwe: &str, passphrase: &Passphrase) -> Result<Vec<u8>, Unopened> {
    open_within(jwe, passphrase.password(), &ROUNDS_READ).ok_or(Unopened)
}

/// Opens what was sealed. Takes a quarter to half a second when the text has the right form.
///
/// # Errors
/// [`Unopened`], whatever the reason.
pub fn open(jwe: &str, code: &AccessCode) -> Result<Vec<u8>, Unopened> {
    open_within(jwe, code.password(), &ROUNDS_READ).ok_or(Unopened)
}

/// Whether a sealed text opens with this code to this very content, as sealed today: then it may
/// stay as it is. Takes as long as opening; where the
/// [`Fingerprint`](super::fingerprint::Fingerprint) of the last run was kept, ask that instead.
#[must_use]
pub fn may_stay(jwe: &str, plain: &[u8], code: &AccessCode) -> bool {
    read_header(jwe).is_some_and(|header| header.rounds == ROUNDS && header.salt.len() == SALT)
        && open(jwe, code).is_ok_and(|opened| opened == plain)
}

/// The header of a sealed text, without opening it. Nothing when it is not of the kind that
/// [`seal`] makes.
#[must_use]
pub fn read_header(jwe: &str) -> Option<Header> {
    SealedParts::of(jwe).map(|parts| parts.header)
}

/// Seals with any number of rounds; only tests ask for another number than [`ROUNDS`].
fn seal_with(
    plain: &[u8],
    password: &[u8],
    rounds: u32,
    random: &mut Random<'_>,
) -> Result<String, NotSealed> {
    if plain.len() > LARGEST {
        return Err(NotSealed::TooLarge { bytes: plain.len() });
    }
    let mut key = Key::default();
    let (mut salt, mut nonce) = ([0; SALT], [0; NONCE]);
    random(&mut key[..])?;
    random(&mut salt)?;
    random(&mut nonce)?;
    let header = format!(
        r#"{{"alg":"{ALGORITHM}","enc":"{ENCRYPTION}","zip":"{COMPRESSION}","p2c":{rounds},"p2s":"{}"}}"#,
        encode(salt)
    );
    let header = encode(header);
    let mut content = deflate(plain).map_err(NotSealed::Compress)?;
    let tag = encrypt(&key, &nonce, header.as_bytes(), &mut content)
        .ok_or(NotSealed::TooLarge { bytes: plain.len() })?;
    let wrapped = wrap(&password_key(password, &salt, rounds), &key);
    Ok([
        header,
        encode(wrapped),
        encode(nonce),
        encode(&*content),
        encode(tag),
    ]
    .join("."))
}

/// Opens a text whose rounds lie in a range; nothing for whatever reason.
fn open_within(jwe: &str, password: &[u8], rounds: &RangeInclusive<u32>) -> Option<Vec<u8>> {
    let parts = SealedParts::of(jwe)?;
    if !rounds.contains(&parts.header.rounds) {
        return None;
    }
    let key = unwrap(
        &password_key(password, &parts.header.salt, parts.header.rounds),
        &parts.wrapped,
    )?;
    // Once decrypted, these bytes are a secret too.
    let mut content = Zeroizing::new(parts.content);
    decrypt(
        &key,
        &parts.nonce,
        parts.written_header.as_bytes(),
        &mut content,
        &parts.tag,
    )?;
    inflate(&content, LARGEST)
}

/// A sealed text taken apart, nothing of it proven.
struct SealedParts<'a> {
    /// The header as it stands in the text: it is authenticated in this form.
    written_header: &'a str,
    header: Header,
    wrapped: [u8; WRAPPED],
    nonce: [u8; NONCE],
    content: Vec<u8>,
    tag: [u8; TAG],
}

impl<'a> SealedParts<'a> {
    fn of(jwe: &'a str) -> Option<Self> {
        if jwe.len() > LONGEST {
            return None;
        }
        let mut parts = jwe.split('.');
        let written_header = parts
            .next()
            .filter(|header| header.len() <= LONGEST_HEADER)?;
        let header = Header::of(&decode(written_header)?)?;
        let wrapped = decode_exactly(parts.next()?)?;
        let nonce = decode_exactly(parts.next()?)?;
        let content = decode(parts.next()?)?;
        let tag = decode_exactly(parts.next()?)?;
        parts.next().is_none().then_some(Self {
            written_header,
            header,
            wrapped,
            nonce,
            content,
            tag,
        })
    }
}

/// The header as JSON. Members that are not named here mean nothing to us and may stand there (RFC
/// 7516 section 4), unless `crit` says that they must be understood.
#[derive(Deserialize)]
struct WrittenHeader {
    alg: String,
    enc: String,
    zip: String,
    p2c: u32,
    p2s: String,
    crit: Option<serde_json::Value>,
}

impl Header {
    fn of(json: &[u8]) -> Option<Self> {
        let written: WrittenHeader = serde_json::from_slice(json).ok()?;
        let ours = written.alg == ALGORITHM
            && written.enc == ENCRYPTION
            && written.zip == COMPRESSION
            && written.crit.is_none();
        let salt = decode(&written.p2s)?;
        (ours && SALT_READ.contains(&salt.len())).then_some(Self {
            rounds: written.p2c,
            salt,
        })
    }
}

/// The key that a password and a salt make (RFC 7518 section 4.8).
fn password_key(password: &[u8], salt: &[u8], rounds: u32) -> Key {
    let mut key = Key::default();
    derive::<Sha512>(password, &salt_input(ALGORITHM, salt), rounds, &mut key[..]);
    key
}

/// The salt that PBKDF2 is given: the name of the algorithm, a zero byte, and `p2s` (RFC 7518
/// section 4.8.1.1).
fn salt_input(algorithm: &str, salt: &[u8]) -> Vec<u8> {
    [algorithm.as_bytes(), &[0], salt].concat()
}

/// PBKDF2 with HMAC over any hash (RFC 8018 section 5.2), as long as `key`.
fn derive<D: EagerHash>(password: &[u8], salt: &[u8], rounds: u32, key: &mut [u8])
where
    D::Core: Sync,
{
    pbkdf2::pbkdf2_hmac::<D>(password, salt, rounds, key);
}

/// AES key wrap (RFC 3394).
fn wrap(with: &Key, key: &Key) -> [u8; WRAPPED] {
    KwAes256::new((&**with).into())
        .wrap_fixed_key::<U32>((&**key).into())
        .into()
}

/// The key that was wrapped, or nothing when it was wrapped with another one.
fn unwrap(with: &Key, wrapped: &[u8; WRAPPED]) -> Option<Key> {
    let mut key = Key::default();
    KwAes256::new((&**with).into())
        .unwrap_key(wrapped, &mut key[..])
        .ok()?;
    Some(key)
}

/// AES-256-GCM in place (NIST SP 800-38D); the tag. Nothing only beyond the 64 GB that GCM can
/// take.
fn encrypt(key: &Key, nonce: &[u8; NONCE], header: &[u8], content: &mut [u8]) -> Option<[u8; TAG]> {
    Aes256Gcm::new((&**key).into())
        .encrypt_inout_detached(nonce.into(), header, InOutBuf::from(content))
        .ok()
        .map(Into::into)
}

/// AES-256-GCM in place; nothing when the tag does not fit.
fn decrypt(
    key: &Key,
    nonce: &[u8; NONCE],
    header: &[u8],
    content: &mut [u8],
    tag: &[u8; TAG],
) -> Option<()> {
    Aes256Gcm::new((&**key).into())
        .decrypt_inout_detached(nonce.into(), header, InOutBuf::from(content), tag.into())
        .ok()
}

/// Raw deflate (RFC 1951), as small as it gets.
fn deflate(plain: &[u8]) -> std::io::Result<Zeroizing<Vec<u8>>> {
    let mut encoder = DeflateEncoder::new(Vec::with_capacity(plain.len() / 2), Compression::best());
    encoder.write_all(plain)?;
    Ok(Zeroizing::new(encoder.finish()?))
}

/// What was deflated, when it is whole, has nothing behind it and comes to at most `most` bytes.
fn inflate(deflated: &[u8], most: usize) -> Option<Vec<u8>> {
    let mut decoder = DeflateDecoder::new(deflated);
    let mut plain = Vec::new();
    let limit = u64::try_from(most).ok()?.checked_add(1)?;
    decoder.by_ref().take(limit).read_to_end(&mut plain).ok()?;
    (plain.len() <= most && decoder.into_inner().is_empty()).then_some(plain)
}

#[cfg(test)]
mod tests;
