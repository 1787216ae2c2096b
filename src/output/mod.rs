//! The one writer: the only part of the program that writes the site, and that changes records.
//!
//! In: a [`Plan`] for each [`Target`], that is, every file of the public site or of the keeper's
//! book with its bytes. Out: the folders on disk and a [`Report`] on each. It reads what stands on
//! disk, builds a complete new folder beside the old one and swaps the two in one step, so that a
//! reader of the site, a power cut and a full disk all meet either the old site or the new one.
//!
//! Three other things are written here, each told at the head of its file: changed records, all or
//! none (`changing.rs`), and the history of them (`history.rs`); one file, replaced whole
//! (`single.rs`); a backup (`backup/`). `waiting.rs` names files that wait until they are whole.
//!
//! It must never change a file in place, follow a link, or lose or alter a file that it did not
//! write. Beside `cache` it imports no other floor.
//!
//! # What happens in which order, and why
//!
//! 1. *Survey*: plan, disk and the list of files that we wrote are compared. Nothing to do means
//!    that nothing at all is touched. What stands on disk may have been looked at before the plan
//!    was made; a file that changed since is noticed when the tree is built.
//! 2. *Build* `.public.building-<pid>` beside `public` for every target. Unchanged and foreign
//!    files become hard links, changed files become new files. Dropping such a folder loses
//!    nothing, so one target may be built while another is still surveyed; none is swapped before
//!    all are there.
//! 3. *Intent*: the list of our files is replaced by the union of the old and the new one. From now
//!    on a file from either tree is recognised as ours by its hash.
//! 4. The built folder is renamed `.public.built-<inode>`, then *exchanged* with `public`. The name
//!    tells, at any later time, whether the folder that bears it is the new tree (it still has that
//!    inode) or the old one (it has another). Where the file system cannot exchange, `public` is
//!    moved to `.public.before` and the built folder to `public`; the next run ends what a kill
//!    between the two leaves.
//! 5. *Sweep*: what somebody put into the old tree after the survey is brought over; then the old
//!    tree is removed.
//! 6. *Settle*: the list of our files becomes the new plan alone.
//!
//! Of a target that can be made again at any time ([`Durability::Remade`]) no reader relies on
//! seeing all of a run at once: there a few new files are renamed into the standing folder, one
//! after the other, and the disk is not waited for.
//!
//! # What is remembered
//!
//! The store of `cache` has the digests of the files that stand, and from what each page was made
//! ([`Artifacts`]). A plan may then
//! say of a file that it stays as it stands, without its bytes; when it no longer stands so,
//! nothing is touched and the run begins again without memory.
//!
//! While a list is a union, hand edits cannot be told from foreign files, so every file that is
//! not byte for byte ours counts as foreign until a run has settled the list again.

// The floors below.
use litterfolio_cache as cache;

mod abreast;
mod artifacts;
mod backup;
mod changing;
mod content;
mod disk;
mod error;
#[cfg(test)]
mod fault;
mod history;
mod locking;
mod manifest;
mod patch;
mod plan;
mod single;
mod site_path;
mod stage;
mod survey;
mod swap;
mod sweep;
mod system;
mod target;
#[cfg(test)]
mod tests;
mod tree;
mod waiting;
mod writer;

pub use artifacts::{Artifact, Artifacts};
pub use backup::{
    BackupError, BackupFile, BackupList, BackupPart, BackupParts, BackupWish, SecretsKept, collect,
    windows_fault, write_backup,
};
pub use changing::{Reading, Wish, change, recover};
pub use content::Content;
pub use error::{Unchangeable, Unsuitable, WriteError, shown as shown_path};
pub use history::{Asked, HistoryEntry, NotThere, Piece, entry, is_taken_out, newest};
pub use plan::{Clash, ClashKind, Plan};
pub use single::{private_folder, remove_file, replace_private, replace_public, replace_secret};
pub use site_path::{PathFault, SitePath};
pub use stage::Stage;
pub use swap::Mended;
pub use system::{looked_into, spare_memory};
pub use target::{Durability, FileMode, Target};
pub use waiting::{WAITING_FILES, left_behind, sweep_left_behind};
pub use writer::{Report, Writer};
