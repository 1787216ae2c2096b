//! Entries of `health.yaml`: which details belong to which kind, and for whom an entry is.
//!
//! In: what was typed on a command line or in a form, the records, the day. Out: entries as they
//! are written, one for each puppy where each has its own weight. Nothing here computes an amount.

pub(crate) mod details;
pub(crate) mod whom;
