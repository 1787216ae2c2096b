//! What several commands share: opening a kennel, the site that is made from it, adding to records,
//! and talking to a terminal.
//!
//! In: folders and options. Out: records, sites and an [`Outcome`] for whoever called. The clock
//! and the environment are asked here (`terminal.rs`) and nowhere below.

#![allow(
    missing_docs,
    clippy::missing_errors_doc,
    reason = "used by the two floors above alone; whatever stops a run is an `Error`"
)]

// The floors below.
use litterfolio_audience as audience;
use litterfolio_cache as cache;
use litterfolio_husbandry as husbandry;
use litterfolio_keyring as keyring;
use litterfolio_output as output;
use litterfolio_pages as pages;
use litterfolio_photos as photos;
use litterfolio_quantity as quantity;
use litterfolio_records as records;
use litterfolio_sealing as sealing;

pub mod adding;
pub mod backup;
pub mod codes;
mod error;
pub mod folder;
pub mod inputs;
pub mod kept;
pub mod loading;
mod outcome;
pub mod own_growth;
pub mod pictures;
pub mod places;
pub mod problems;
pub mod progress;
pub mod published;
pub mod publisher;
pub mod recording;
pub mod renaming;
pub mod secrets;
pub mod session;
pub mod site;
pub mod taking_back;
pub mod tending;
pub mod terminal;
pub mod weigh_ins;
pub mod who;

pub use error::Error;
pub use outcome::{Outcome, Status};
