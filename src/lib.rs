//! Litter records, checks, computations and pages.
mod error;
pub mod husbandry;
pub mod records;
pub mod quantity;
pub use error::Error;
