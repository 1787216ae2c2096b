//! What the pages of one litter are chosen from, as one hash.
//!
//! In: records with their prints, prepared pictures. Out: a hash that stays the same as long as everything does that a view of this litter may look at: its own files and pictures, the files
//! that litters share, the day. What a view takes from other litters' own files (the kennel's usual weights, say) is not in it, and has to be added by whoever shows it.

use super::Album;
use crate::records::photo::PhotoFile;
use crate::records::{LitterFolder, Records};

/// Hash of what the pages of a litter are chosen from.
pub(super) fn made_from(records: &Records, folder: &LitterFolder, album: &Album) -> blake3::Hash {
    let mut hash = blake3::Hasher::new();
    hash.update(records.print.bytes()).update(folder.id.as_str().as_bytes()).update(folder.print.bytes());
    for photo in &folder.photos {
        // The name of the file says whom it shows, and whether it is private.
        let PhotoFile { file, path: _, puppy: _, private: _ } = photo;
        hash.update(format!("{file:?} {:?}\n", album.get(file)).as_bytes());
    }
    hash.update(records.today.to_string().as_bytes());
    hash.finalize()
}
