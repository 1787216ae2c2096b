//! What a phone and the desk say to each other, sealed, over a network that others may listen to.
//!
//! In: the code that paired the phone, its name as bytes, the run of the desk, the sitting of the
//! phone, messages. Out: sealed messages, and those of the other side opened. Each direction has a
//! key of its own (HKDF with SHA-256, RFC 5869); a message is sealed with `ChaCha20-Poly1305` (RFC
//! 8439), and its number is the nonce. A desk draws a new run each time that it begins to listen,
//! and a page on a phone draws a new sitting each time that it is opened. So neither side has to
//! remember numbers: no key is used again after a restart, whatever was lost.
//!
//! An answer bears the number of what it answers. Whoever listens can read nothing, change nothing
//! without being noticed, and say nothing again: [`Heard`] takes each number once, and only in
//! rising order. The length of a message can be seen, and that there is one.
//!
//! The phone's side is `templates/desk/phone/sealing.mjs`; `tests/browser/phone/sealing.mjs` holds
//! the two together.

use super::code::AccessCode;
use chacha20poly1305::aead::{Aead, KeyInit, Nonce};
use chacha20poly1305::{ChaCha20Poly1305, Key};
use hkdf::Hkdf;
use sha2::Sha256;
use std::fmt;
use thiserror::Error;
use zeroize::Zeroizing;

/// Length of a phone's name, of a run and of a sitting, bytes.
pub const NAME: usize = 16;
/// Length of a message's number, bytes.
const NUMBER: usize = 8;
/// What stands before a sealed message of a phone: its name, the sitting and the number.
const HEAD: usize = NAME + NAME + NUMBER;
/// The most that one message may hold, bytes.
pub const LONGEST: usize = 1_000_000;

/// 16 random bytes that stand for a phone, a run or a sitting. They are no secret.
pub type Name = [u8; NAME];

/// Who speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// The phone, to the desk.
    ToDesk,
    /// The desk, to the phone.
    ToPhone,
}

impl Direction {
    /// What sets the key of this direction apart (`info` of RFC 5869). It changes when the layout
    /// of messages does.
    const fn purpose(self) -> &'static [u8] {
        match self {
            Self::ToDesk => b"litterfolio phone 1: to the desk",
            Self::ToPhone => b"litterfolio phone 1: to the phone",
        }
    }
}

/// A message that does not open: another key, another number, or changed on its way. It never says
/// which.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("this message is not sealed with the key of this phone")]
pub struct NotOpened;

/// Both keys of one sitting.
pub struct Channel {
    to_desk: ChaCha20Poly1305,
    to_phone: ChaCha20Poly1305,
}

/// Never a key.
impl fmt::Debug for Channel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Channel(…)")
    }
}

impl Channel {
    /// The keys of a sitting of a phone at a run of the desk.
    #[must_use]
    pub fn new(code: &AccessCode, phone: &Name, run: &Name, sitting: &Name) -> Self {
        let salt = [phone.as_slice(), run, sitting].concat();
        let derived = Hkdf::<Sha256>::new(Some(&salt), code.password());
        let cipher = |direction: Direction| {
            let mut key = Zeroizing::new([0_u8; 32]);
            // Only a key of more than 8,160 bytes cannot be had (RFC 5869 section 2.3).
            if derived.expand(direction.purpose(), &mut key[..]).is_err() {
                key.fill(0);
            }
            ChaCha20Poly1305::new(&Key::from(*key))
        };
        Self {
            to_desk: cipher(Direction::ToDesk),
            to_phone: cipher(Direction::ToPhone),
        }
    }

    fn cipher(&self, direction: Direction) -> &ChaCha20Poly1305 {
        match direction {
            Direction::ToDesk => &self.to_desk,
            Direction::ToPhone => &self.to_phone,
        }
    }

    /// Seals a message under its number. Whoever seals must use a number once only.
    ///
    /// # Errors
    /// When the message is too long for the cipher (RFC 8439 section 2.8: 256 GiB).
    pub fn seal(
        &self,
        direction: Direction,
        number: u64,
        message: &[u8],
    ) -> Result<Vec<u8>, NotOpened> {
        self.cipher(direction)
            .encrypt(&nonce(number), message)
            .map_err(|_| NotOpened)
    }

    /// Opens a message.
    ///
    /// # Errors
    /// [`NotOpened`], whatever the reason.
    pub fn open(
        &self,
        direction: Direction,
        number: u64,
        sealed: &[u8],
    ) -> Result<Zeroizing<Vec<u8>>, NotOpened> {
        self.cipher(direction)
            .decrypt(&nonce(number), sealed)
            .map(Zeroizing::new)
            .map_err(|_| NotOpened)
    }
}

/// The nonce of a message: four zeros and its number, the highest byte first.
fn nonce(number: u64) -> Nonce<ChaCha20Poly1305> {
    let mut bytes = [0_u8; 12];
    bytes[4..].copy_from_slice(&number.to_be_bytes());
    bytes.into()
}

/// A message of a phone as it travels.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Envelope<'a> {
    /// Which phone says it is.
    pub phone: Name,
    /// Its sitting.
    pub sitting: Name,
    /// The number of the message.
    pub number: u64,
    /// What is sealed.
    pub sealed: &'a [u8],
}

impl<'a> Envelope<'a> {
    /// Takes the bytes of a request apart; nothing when they are too few or too many.
    #[must_use]
    pub fn read(bytes: &'a [u8]) -> Option<Self> {
        let (head, sealed) = bytes.split_at_checked(HEAD)?;
        if sealed.len() > LONGEST {
            return None;
        }
        Some(Self {
            phone: head[..NAME].try_into().ok()?,
            sitting: head[NAME..2 * NAME].try_into().ok()?,
            number: u64::from_be_bytes(head[2 * NAME..].try_into().ok()?),
            sealed,
        })
    }
}

/// Which numbers of a sitting were heard: each is taken once, and none that is lower than one
/// before.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Heard(Option<u64>);

impl Heard {
    /// Whether a message with this number may be taken; it is taken by that. To be asked only of a
    /// message that was opened.
    #[must_use]
    pub fn take(&mut self, number: u64) -> bool {
        let is_new = self.0.is_none_or(|last| number > last);
        if is_new {
            self.0 = Some(number);
        }
        is_new
    }
}

#[cfg(test)]
mod tests;
