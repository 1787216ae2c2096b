//! Litter records, checks, computations and pages for dog breeders: the map of the house.
//!
//! Data comes up this list: [`records`] are read and checked, [`husbandry`] computes figures of
//! them, [`audience`] chooses what each reader may see, [`pages`] renders it; `app` leads the way,
//! and hands the result to [`output`], which alone writes it. Imports point down the list, never
//! up. Each floor is a crate, whose `Cargo.toml` names what it may use; this one is the commands.
//! What stands beside `src/`: `templates/` (what pages look like), `docs/` (for keepers), `tests/`.
//! Words of ours, and where to add a field, a finding, a page or a region: `DEVELOPERS.md`.
//!
//! Invariants:
//! - Nothing in `records` or `husbandry` can be serialised: a template is never handed a record.
//! - Nothing below `app` asks the clock or the environment, and nothing but `output` writes a
//!   site (and `cache` its own files).
//! - Nothing a keeper typed makes the program panic: it becomes a problem with a place and a hint.

// One file for each command of the command line.
pub mod commands;

// The keeper's own program in the browser, and the phones at the box.
use litterfolio_desk as desk;

// What commands and desk share: opening a kennel, publishing it, recording changes.
pub use litterfolio_app as app;

// Views to bytes: HTML, charts, feed, sealed pages, PDF.
pub use litterfolio_pages as pages;

// What visitors, owners and the keeper may see of records and figures: views.
pub use litterfolio_audience as audience;

// Records to figures: growth, due dates, findings, pedigrees, rules of law.
pub use litterfolio_husbandry as husbandry;

// The content folder to records and problems, and changes of its texts.
pub use litterfolio_records as records;

// Pictures as a camera wrote them, made ready to be published.
pub use litterfolio_photos as photos;

// The keeper's secrets on the disk: access codes and signing keys.
pub use litterfolio_keyring as keyring;

// The one writer: sites, records, history, backups.
pub use litterfolio_output as output;

// What an owner's page is locked with, and what a puppy's record is signed with.
pub use litterfolio_sealing as sealing;

// Value types: weight, temperature, day, name.
pub use litterfolio_quantity as quantity;

// Digests, and what an earlier run made of the same.
pub use litterfolio_cache as cache;

pub use app::Error;
