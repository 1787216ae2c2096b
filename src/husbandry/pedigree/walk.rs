//! A walk up a pedigree, youngest ancestor first.
//!
//! In: one or two dogs by their rows. Out: every ancestor once, with the share of each starting
//! dog's genes that came from it. The work arrays are left empty by the walk itself, so one
//! [`PedigreeWalk`] serves any number of dogs; it never looks at a row that is not an ancestor.

use super::Parents;
use std::mem::take;

/// The shares that two starting dogs have from one ancestor, each 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct ParentShares {
    /// Share of the first dog's genes.
    pub first: f64,
    /// Share of the second dog's genes.
    pub second: f64,
}

impl ParentShares {
    /// All genes of the first dog.
    pub(super) const FIRST: Self = Self {
        first: 1.0,
        second: 0.0,
    };
    /// All genes of the second dog.
    pub(super) const SECOND: Self = Self {
        first: 0.0,
        second: 1.0,
    };
}

/// The work arrays of a walk over a given number of rows.
#[derive(Debug)]
pub(super) struct PedigreeWalk {
    /// What each waiting row has received so far.
    shares: Vec<ParentShares>,
    /// One bit for each row that waits. The highest bit is the youngest ancestor; finding it costs
    /// a look at 64 rows at a time.
    waiting: Vec<u64>,
    /// The word of `waiting` behind the last that may hold a bit.
    end: usize,
}

impl PedigreeWalk {
    /// Work arrays for `rows` dogs.
    pub(super) fn over(rows: usize) -> Self {
        Self {
            shares: vec![ParentShares::default(); rows],
            waiting: vec![0; rows.div_ceil(64)],
            end: 0,
        }
    }

    /// Puts a dog where the walk begins.
    pub(super) fn start(&mut self, row: usize, shares: ParentShares) {
        self.end = self.end.max(row / 64 + 1);
        self.give(row, shares);
    }

    /// Walks up and shows each ancestor, the starting dogs included, with what it received. A
    /// parent's row is always above its offspring's, so when a row is taken, everything it
    /// receives has arrived.
    pub(super) fn up(&mut self, parents: &[Parents], mut visit: impl FnMut(usize, ParentShares)) {
        for word in (0..take(&mut self.end)).rev() {
            while let Some(bit) = self.waiting[word].checked_ilog2() {
                self.waiting[word] ^= 1 << bit;
                let row = word * 64 + bit as usize;
                let ParentShares { first, second } = take(&mut self.shares[row]);
                visit(row, ParentShares { first, second });
                for parent in parents[row].into_iter().flatten() {
                    self.give(
                        parent,
                        ParentShares {
                            first: first / 2.0,
                            second: second / 2.0,
                        },
                    );
                }
            }
        }
    }

    fn give(&mut self, row: usize, shares: ParentShares) {
        self.shares[row].first += shares.first;
        self.shares[row].second += shares.second;
        self.waiting[row / 64] |= 1 << (row % 64);
    }
}
