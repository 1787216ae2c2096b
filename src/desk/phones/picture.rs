//! Pictures that phones send, piece by piece, until each is whole.
//!
//! In: pieces, each with its place. Out: how much is there, and the whole picture once it is what
//! the phone said it is, looked at as the desk looks at its own uploads. A connection that breaks
//! goes on where it was. What is not whole stands in memory alone: after a restart of the desk the
//! phone, which keeps the picture until it was taken in, begins anew.

use super::super::acts::{ActFields, PhoneEntry, Upload, looked_over};
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// The largest picture that is taken, bytes.
const LARGEST: usize = 40_000_000;
/// The longest id of an entry, bytes.
const LONGEST_ID: usize = 40;
/// How many are on their way at once; each phone has one.
const MOST: usize = 8;

/// A piece of a picture.
#[derive(Debug, Deserialize)]
pub(super) struct PicturePiece {
    /// The entry that it is for.
    id: String,
    /// How large the picture is, bytes.
    size: usize,
    /// Where the piece begins.
    at: usize,
    /// Its bytes, in base64.
    bytes: String,
}

/// How much of a picture is there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct PieceTold {
    id: String,
    have: usize,
    /// Why it cannot be taken.
    why: Option<String>,
}

/// A picture on its way.
#[derive(Default)]
struct Coming {
    phone: String,
    size: usize,
    bytes: Arc<Vec<u8>>,
    looked_at: PictureCheck,
}

#[derive(Default, Clone, PartialEq, Eq)]
enum PictureCheck {
    #[default]
    Never,
    Now,
    Whole,
    Unfit(String),
}

/// What is there of the picture of an entry.
#[derive(Debug)]
pub(super) enum Arrived {
    /// All of it, and it can be taken in.
    Whole(Arc<Vec<u8>>),
    /// Not yet.
    Waits(&'static str),
    /// It is whole, and cannot be taken in.
    Unfit(String),
}

/// All pictures on their way, by their entries.
#[derive(Default)]
pub(super) struct OnTheWay(Mutex<BTreeMap<String, Coming>>);

impl OnTheWay {
    fn lock(&self) -> MutexGuard<'_, BTreeMap<String, Coming>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Takes a piece when it is the next one; says how much is there either way.
    pub(super) fn take(&self, phone: &str, piece: &PicturePiece) -> PieceTold {
        let told = |have: usize, why: Option<&str>| PieceTold {
            id: piece.id.clone(),
            have,
            why: why.map(str::to_owned),
        };
        if piece.id.len() > LONGEST_ID || piece.size == 0 || piece.size > LARGEST {
            return told(0, Some("This picture is too large."));
        }
        let Ok(bytes) = BASE64_STANDARD.decode(&piece.bytes) else {
            return told(0, None);
        };
        let mut all = self.lock();
        let is_known = all
            .get(&piece.id)
            .is_some_and(|known| known.phone == phone && known.size == piece.size);
        if !is_known {
            // One of each phone: what it began before was given up.
            all.retain(|_, known| known.phone != phone);
            if all.len() >= MOST || all.contains_key(&piece.id) {
                return told(0, None);
            }
            let coming = Coming {
                phone: phone.to_owned(),
                size: piece.size,
                ..Coming::default()
            };
            all.insert(piece.id.clone(), coming);
        }
        let Some(coming) = all.get_mut(&piece.id) else {
            return told(0, None);
        };
        let have = coming.bytes.len();
        if piece.at == have && bytes.len() <= coming.size - have {
            Arc::make_mut(&mut coming.bytes).extend_from_slice(&bytes);
        }
        told(coming.bytes.len(), None)
    }

    /// The picture of an entry. Looking at it takes a while: nothing is locked meanwhile.
    pub(super) fn whole(&self, phone: &str, entry: &PhoneEntry) -> Arrived {
        let bytes = {
            let mut all = self.lock();
            let own = all.get_mut(&entry.id).filter(|own| own.phone == phone);
            let Some(own) = own.filter(|own| own.bytes.len() == own.size) else {
                return Arrived::Waits("The picture is not there whole.");
            };
            match &own.looked_at {
                PictureCheck::Never => own.looked_at = PictureCheck::Now,
                PictureCheck::Now => return Arrived::Waits("The picture is being looked at."),
                PictureCheck::Whole => return Arrived::Whole(Arc::clone(&own.bytes)),
                PictureCheck::Unfit(why) => return Arrived::Unfit(why.clone()),
            }
            Arc::clone(&own.bytes)
        };
        if super::hex(&Sha256::digest(&bytes[..])) != entry.value("sha256").unwrap_or_default() {
            self.drop(&entry.id);
            return Arrived::Waits("The picture was changed on its way.");
        }
        let file = Upload {
            name: "the picture".to_owned(),
            bytes: bytes.to_vec(),
        };
        let given = ActFields {
            files: vec![file],
            ..ActFields::default()
        };
        let looked_at = match looked_over(&given) {
            Ok(()) => PictureCheck::Whole,
            Err(why) => PictureCheck::Unfit(why),
        };
        if let Some(own) = self.lock().get_mut(&entry.id) {
            own.looked_at = looked_at.clone();
        }
        match looked_at {
            PictureCheck::Unfit(why) => Arrived::Unfit(why),
            _ => Arrived::Whole(bytes),
        }
    }

    /// Nothing is on its way any more.
    pub(super) fn clear(&self) {
        self.lock().clear();
    }

    /// A picture that is no longer on its way.
    pub(super) fn drop(&self, entry: &str) {
        self.lock().remove(entry);
    }
}
