//! What husbandry noticed, asks for and counts, in words: one file for each of its subjects.
//!
//! In: types with their numbers. Out: phrases without full stop, which pages, the terminal and the
//! desk share. Nothing else is read, and nothing is computed but how a number is written: another
//! language would be other files in this folder.

pub mod care;
pub mod findings;
pub mod health;
pub mod kennel;
pub mod readiness;
pub mod rounds;
pub mod rules;
pub mod secrets;
pub mod slips;
pub mod weighing;
