//! What a kennel's own past litters say: sizes, survival, birth weights, growth and the record of
//! each dam.
//!
//! In: plain numbers of past litters and puppies. Out: figures that name how many puppies or
//! litters they rest on. A small kennel has few litters: figures of spread have a least number from
//! which they are given and say [`NotEnough`] below it, and shares carry an interval. What is not
//! known of a puppy leaves the count; it is never taken for good or for bad.

pub mod birth_weights;
pub mod dams;
pub mod growth_bands;
pub mod litters;
pub mod numbers;
mod own;
pub mod parents;
pub mod survival;

pub use numbers::NotEnough;
pub use own::{KennelFigures, digest_of_growth, digest_of_usual, growth_made_from, of};
