//! Many pictures at a time, in bounded memory.
//!
//! In: a list of sources and a way to read each. Out: what the caller kept of each photo, in the
//! order of the sources. Work is spread over rayon's threads. Files are read when their turn comes
//! and each photo is handed over as soon as it is made, so that thousands of them are never in
//! memory together.
//!
//! Never: an order of results, or a byte in them, that depends on the number of threads.

use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

use rayon::prelude::*;

use super::decode::read_header;
use super::fault::Fault;
use super::limits::BYTES_PER_WORKER;
use super::prepare::{Photo, PictureMemory};
use super::turn::Rotation;

/// A place where several threads make photos: it lends them memory that was used before, and holds
/// a thread back while the pictures in work would take more than the bound.
pub struct Workroom {
    /// The bytes that all pictures in work may take together.
    bound: u64,
    in_work: Mutex<u64>,
    changed: Condvar,
    memories: Mutex<Vec<PictureMemory>>,
}

impl Workroom {
    /// A workroom for this many threads (at least one): each brings [`BYTES_PER_WORKER`] to the
    /// bound.
    #[must_use]
    pub fn new(threads: usize) -> Self {
        Self::with_bound(BYTES_PER_WORKER.saturating_mul(threads.max(1) as u64))
    }

    fn with_bound(bound: u64) -> Self {
        Self {
            bound,
            in_work: Mutex::new(0),
            changed: Condvar::new(),
            memories: Mutex::new(Vec::new()),
        }
    }

    /// Does what [`prepare`](super::prepare()) does; may be called from several threads at once.
    ///
    /// A thread that waits here waits for others that are decoding, never for work that has not
    /// begun; so this may be called from within a thread pool. (It must stay so: nothing below
    /// this point may hand work to the pool.)
    ///
    /// # Errors
    /// The same as [`prepare`](super::prepare()).
    pub fn prepare(&self, bytes: &[u8], widths: &[u32]) -> Result<Photo, Fault> {
        self.prepare_turned(bytes, widths, Rotation::None)
    }

    /// The same for a picture that the keeper turned.
    ///
    /// # Errors
    /// The same as [`prepare`](super::prepare()).
    pub fn prepare_turned(
        &self,
        bytes: &[u8],
        widths: &[u32],
        turn: Rotation,
    ) -> Result<Photo, Fault> {
        let mut header = read_header(bytes)?;
        header.orientation = turn.after(header.orientation);
        let _share = self.wait_for(header.cost);
        let mut memory = locked(&self.memories).pop().unwrap_or_default();
        let made = memory.prepare(bytes, &header, widths, turn);
        locked(&self.memories).push(memory);
        made
    }

    /// Waits until `bytes` more may be in work. A picture that is larger than the bound waits until
    /// it is the only one.
    fn wait_for(&self, bytes: u64) -> RoomShare<'_> {
        let mut in_work = locked(&self.in_work);
        while *in_work > 0 && in_work.saturating_add(bytes) > self.bound {
            in_work = self
                .changed
                .wait(in_work)
                .unwrap_or_else(PoisonError::into_inner);
        }
        *in_work = in_work.saturating_add(bytes);
        RoomShare {
            workroom: self,
            bytes,
        }
    }
}

/// What one picture takes of the bound; given back when it is dropped.
struct RoomShare<'a> {
    workroom: &'a Workroom,
    bytes: u64,
}

impl Drop for RoomShare<'_> {
    fn drop(&mut self) {
        let mut in_work = locked(&self.workroom.in_work);
        *in_work = in_work.saturating_sub(self.bytes);
        drop(in_work);
        self.workroom.changed.notify_all();
    }
}

/// Numbers and empty buffers cannot be left half changed, so a lock that a panic broke is still
/// good.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Makes the photos of many sources on all of rayon's threads.
///
/// `read` fetches the bytes of a source when its turn comes; `keep` takes each photo as soon as it
/// is made (writes it away, say) and returns what should be remembered of it. Both are called on
/// several threads at once. The results stand in the order of the sources.
///
/// # Errors
/// Each result is its own: a source that fails does not stop the others.
pub fn prepare_all<S, T, E>(
    sources: &[S],
    widths: &[u32],
    read: impl Fn(&S) -> Result<Vec<u8>, E> + Sync,
    keep: impl Fn(&S, Photo) -> Result<T, E> + Sync,
) -> Vec<Result<T, E>>
where
    S: Sync,
    T: Send,
    E: Send + From<Fault>,
{
    let workroom = Workroom::new(rayon::current_num_threads());
    sources
        .par_iter()
        .with_max_len(1)
        .map(|source| {
            let bytes = read(source)?;
            let photo = workroom.prepare(&bytes, widths)?;
            drop(bytes);
            keep(source, photo)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicU64, Ordering};

    #[test]
    fn shares_never_exceed_the_bound_and_a_giant_is_alone() {
        let workroom = Workroom::with_bound(100);
        let (now, most) = (AtomicU64::new(0), AtomicU64::new(0));
        std::thread::scope(|scope| {
            for number in 0..8 {
                let (workroom, now, most) = (&workroom, &now, &most);
                scope.spawn(move || {
                    for round in 0..50 {
                        let bytes = if (number + round) % 7 == 0 { 500 } else { 40 };
                        let share = workroom.wait_for(bytes);
                        let total = now.fetch_add(bytes, Ordering::SeqCst) + bytes;
                        assert!(total <= 100 || total == 500, "{total} in work");
                        most.fetch_max(total, Ordering::SeqCst);
                        now.fetch_sub(bytes, Ordering::SeqCst);
                        drop(share);
                    }
                });
            }
        });
        assert_eq!(most.load(Ordering::SeqCst), 500);
        assert_eq!(*locked(&workroom.in_work), 0);
    }

    #[test]
    fn a_share_is_given_back_when_the_work_fails() {
        let workroom = Workroom::with_bound(100);
        assert!(workroom.prepare(b"no picture", &[480]).is_err());
        assert_eq!(*locked(&workroom.in_work), 0);
    }
}
