//! Litter records, checks, computations and pages for dog breeders: the map of the house.
//!
//! Data flows down this list once: `publish` reads the [`records`], checks them, computes figures
//! in [`husbandry`], chooses for each [`audience`], renders [`pages`] and has [`output`] write
//! them. Imports point from an earlier module to a later one in this list, never back; a test keeps
//! it so.
//!
//! Invariants:
//! - Nothing in `records` or `husbandry` can be serialised: a template is never handed a record.
//! - Nothing below `app` asks the clock or the environment, and nothing but `output` writes a
//!   site (and `cache` its own files).
//! - Nothing a keeper typed makes the program panic: it becomes a problem with a place and a hint.

pub mod commands;

mod desk;

pub mod app;

pub mod pages;

pub mod audience;

pub mod husbandry;

pub mod records;

pub mod keyring;

pub mod output;

pub mod quantity;

pub mod cache;

pub use app::Error;

/// Pictures as a camera wrote them, made ready to be published: a crate of its own, since it
/// knows nothing of the rest.
pub use litterfolio_photos as photos;

/// What an owner's page is locked with, and what a puppy's record is signed with: a crate of
/// its own, since it knows nothing of the rest.
pub use litterfolio_sealing as sealing;
