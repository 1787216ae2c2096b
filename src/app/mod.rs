//! What several commands share: opening a kennel, the site that is made from it, adding to records,
//! and talking to a terminal.
//!
//! In: folders and options. Out: records, sites and an [`Outcome`] for whoever called. The clock
//! and the environment are asked here (`terminal.rs`) and nowhere below.

pub(crate) mod adding;
pub(crate) mod backup;
pub(crate) mod codes;
mod error;
pub(crate) mod folder;
pub(crate) mod inputs;
pub(crate) mod kept;
pub(crate) mod loading;
mod outcome;
pub(crate) mod own_growth;
pub(crate) mod pictures;
pub(crate) mod places;
pub(crate) mod problems;
pub(crate) mod progress;
pub(crate) mod published;
pub(crate) mod publisher;
pub(crate) mod recording;
pub(crate) mod renaming;
pub(crate) mod secrets;
pub(crate) mod session;
pub(crate) mod site;
pub(crate) mod taking_back;
pub(crate) mod tending;
pub(crate) mod terminal;
pub(crate) mod weigh_ins;
pub(crate) mod who;

pub use error::Error;
pub use outcome::{Outcome, Status};
