//! The same work on many things, by all cores at once.
//!
//! In: things, and what is done with each. Out: what came of each, in their order, or one of the
//! errors. Tests count the changes of one thread, so there one thing is done after the other.

use rayon::prelude::*;

/// Does something with each thing.
pub(super) fn each<T: Send, R: Send>(things: Vec<T>, act: impl Fn(T) -> R + Send + Sync) -> Vec<R> {
    if cfg!(test) {
        things.into_iter().map(act).collect()
    } else {
        things.into_par_iter().map(act).collect()
    }
}

/// Does something with each thing until one fails.
///
/// # Errors
/// One of those that were met.
pub(super) fn try_each<T: Send, R: Send, E: Send>(
    things: Vec<T>,
    act: impl Fn(T) -> Result<R, E> + Send + Sync,
) -> Result<Vec<R>, E> {
    if cfg!(test) {
        things.into_iter().map(act).collect()
    } else {
        things.into_par_iter().map(act).collect()
    }
}
