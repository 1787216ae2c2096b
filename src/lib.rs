//! Litter records, checks, computations and pages for dog breeders: the map of the house.
//!
//! Data flows down this list once: `publish` reads the [`records`], checks them, computes figures in [`husbandry`], chooses for each [`audience`], renders [`pages`] and has
//! [`output`] write them. Imports point from an earlier module to a later one in this list, never back; a test keeps it so.
//!
//! Invariants:
//! - Nothing in `records` or `husbandry` can be serialised: a template is never handed a record.
//! - Nothing below `commands` asks the clock or the environment, and nothing but `output` writes a site.
//! - Nothing a keeper typed makes the program panic: it becomes a problem with a place and a hint.

pub mod commands;
pub mod pages;
pub mod audience;
pub mod husbandry;
pub mod records;
pub mod photos;
pub mod output;
pub mod quantity;
mod error;

pub use error::Error;
