//! Phones at the box: connected from the desk, over the home network, for as long as the keeper
//! says.
//!
//! In: what the keeper asks for on the page of phones; sealed requests of phones. Out: a second
//! listener, off until it is asked for, on one address of the local network; views of the litters
//! of now, and entries that become changes as those of the desk do. A phone that is not known, was
//! sent away, or says something again gets nothing.
//!
//! Never: an address that is not of the local network, a request answered in the clear with
//! anything but the page that everybody gets, an entry lost that was answered.
//!
//! | file | what it does |
//! |---|---|
//! | `book.rs` | phones, entries that were taken, and questions, kept on the disk |
//! | `hearing.rs` | a sealed request to a sealed answer |
//! | `listening.rs` | the listener, and what it answers in the clear |
//! | `picture.rs` | pictures that come piece by piece |
//! | `network.rs` | addresses of this machine in the local network |
//! | `showing.rs` | the keeper's page |
//! | `square.rs` | a link as a square to scan |

mod book;
mod hearing;
mod listening;
mod network;
mod picture;
mod showing;
mod square;

pub(super) use showing::routes;

use super::Desk;
use crate::sealing::channel::{Heard, Name};
use crate::sealing::code::AccessCode;
use book::PhoneBook;
use std::collections::BTreeMap;
use std::fmt;
use std::net::SocketAddr;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, SystemTime};
use tokio::sync::Notify;

/// How long phones are listened to.
const TWELVE_HOURS: Duration = Duration::from_hours(12);
/// How long a code that was shown pairs a phone.
const CODE_HOLDS: Duration = Duration::from_mins(15);

/// Phones, and the listener while there is one.
#[derive(Default)]
pub(super) struct Phones {
    inner: Mutex<PhonesNow>,
    /// Held while entries are taken: one after the other, in the order in which they come.
    taking: Mutex<()>,
    pictures: picture::OnTheWay,
}

/// Never a code.
impl fmt::Debug for Phones {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Phones(…)")
    }
}

#[derive(Default)]
struct PhonesNow {
    /// Nothing before it was needed.
    book: Option<PhoneBook>,
    listening: Option<Listening>,
    offer: Option<PairingOffer>,
}

/// A listener.
struct Listening {
    address: SocketAddr,
    /// Drawn anew for each listener.
    run: Name,
    until: SystemTime,
    end: Arc<Notify>,
    /// What was heard in each sitting of each phone.
    sittings: BTreeMap<(Name, Name), Heard>,
}

/// A code that pairs one phone.
struct PairingOffer {
    code: AccessCode,
    /// What the phone is to be called.
    name: String,
    until: SystemTime,
}

impl Phones {
    fn lock(&self) -> MutexGuard<'_, PhonesNow> {
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// How many entries wait for the keeper; none where that cannot be read.
    pub(super) fn questions(&self, desk: &Desk) -> usize {
        let mut inner = self.lock();
        inner.book(desk).map_or(0, |book| book.questions().len())
    }

    /// Ends the listener, if there is one.
    fn shut(&self) {
        self.pictures.clear();
        let mut inner = self.lock();
        inner.offer = None;
        if let Some(listening) = inner.listening.take() {
            listening.end.notify_one();
        }
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
