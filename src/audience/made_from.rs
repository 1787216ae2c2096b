//! What the pages of one litter are chosen from, as one digest.
//!
//! In: records with their digests, prepared pictures. Out: a digest that stays the same as long as
//! everything does that a view of this litter may look at: its own files and pictures, the files
//! that litters share, the day. What a view takes from other litters' own files (the kennel's usual
//! weights, say) is not in it, and has to be added by whoever shows it.

use super::{Album, Picture};
use crate::cache::Digester;
use crate::records::photo::PhotoFile;
use crate::records::{LitterFolder, Records};

/// Digest of what the pages of a litter are chosen from, still open for what else they show.
pub(super) fn made_from(records: &Records, folder: &LitterFolder, album: &Album) -> Digester {
    let mut from = Digester::default();
    from.digest(&records.digest)
        .digest(&folder.digest)
        .part(folder.id.as_str().as_bytes())
        .part(records.today.to_string().as_bytes());
    for photo in &folder.photos {
        // The name of the file says whom it shows, and whether it is private; how it is turned is
        // part of its key.
        let PhotoFile {
            file,
            path: _,
            puppy: _,
            private: _,
            turn: _,
        } = photo;
        from.part(file.as_bytes());
        if let Some(Picture { key, sizes, taken }) = album.get(file) {
            from.part(key.as_bytes()).part(
                taken
                    .map(|day| day.to_string())
                    .unwrap_or_default()
                    .as_bytes(),
            );
            for (width, height) in sizes {
                from.part(&width.to_le_bytes()).part(&height.to_le_bytes());
            }
        }
    }
    from
}
