//! Kinship of any two dogs, and which ancestors it comes from.
//!
//! In: an [`Ancestry`] and names of dogs. Out: kinship (coancestry), the additive relationship
//! (twice the kinship), and for a mating each common ancestor with what it adds to the coefficient
//! of inbreeding. A dog that is not in the records gives nothing: nobody can say how it is related.

use super::walk::{ParentShares, PedigreeWalk};
use super::{Ancestry, Parents};
use crate::quantity::Id;

/// Contributions below this are rounding errors. A real one of this size would need more than 19
/// generations on both sides.
const NOTHING: f64 = 1e-12;

/// An ancestor of both parents through which a puppy can inherit one gene twice.
#[derive(Debug, Clone, PartialEq)]
pub struct CommonAncestor {
    /// The dog.
    pub dog: Id,
    /// What it adds to the coefficient of inbreeding, 0 to 1: Wright's sum of (1/2)^(n₁+n₂+1)
    /// (1+F) over the paths that meet in it and in no younger dog. All contributions together
    /// are the coefficient.
    pub contribution: f64,
    /// Its own coefficient of inbreeding, which raises its contribution.
    pub inbreeding: f64,
    /// Generations from the sire to it by the shortest way; 0 when it is the sire.
    pub behind_sire: u32,
    /// Generations from the dam to it by the shortest way; 0 when it is the dam.
    pub behind_dam: u32,
}

impl Ancestry {
    /// Kinship of two dogs, 0 to 1: the chance that a gene drawn from each is a copy of the same
    /// ancestor's gene, which is the inbreeding of their offspring (Malécot's coefficient). Of
    /// a dog with itself it is (1 + F) / 2.
    #[must_use]
    pub fn kinship(&self, one: &Id, other: &Id) -> Option<f64> {
        Some(self.kinship_of(
            self.row(one)?,
            self.row(other)?,
            &mut PedigreeWalk::over(self.names.len()),
        ))
    }

    /// Additive relationship of two dogs, 0 to 2: twice their kinship; of a dog with itself 1 + F.
    #[must_use]
    pub fn relationship(&self, one: &Id, other: &Id) -> Option<f64> {
        self.kinship(one, other).map(|kinship| 2.0 * kinship)
    }

    /// Additive relationships of some dogs with each other: a row and a column for each, in the
    /// order given. Nothing when one of them is not known. Takes one pass over the pedigree for
    /// each dog (Colleau 2002, Genet Sel Evol 34:409-421), so it suits a list of breeding dogs, not
    /// the whole of a large pedigree.
    #[must_use]
    pub fn relationships(&self, dogs: &[Id]) -> Option<Vec<Vec<f64>>> {
        let rows: Vec<usize> = dogs
            .iter()
            .map(|dog| self.row(dog))
            .collect::<Option<_>>()?;
        let youngest = rows.iter().max().map_or(0, |row| row + 1);
        let mut walk = PedigreeWalk::over(youngest);
        let mut with = vec![0.0; youngest];
        let mut matrix: Vec<Vec<f64>> = Vec::with_capacity(rows.len());
        for row in &rows {
            // A = T D T′: up the pedigree the shares, times D, and down again half from each
            // parent.
            with.fill(0.0);
            walk.start(*row, ParentShares::FIRST);
            walk.up(&self.parents, |ancestor, shares| {
                with[ancestor] = shares.first * self.sampling[ancestor];
            });
            for dog in 0..youngest {
                let [sire, dam] = self.parents[dog].map(|p| p.map_or(0.0, |p| with[p]));
                with[dog] += f64::midpoint(sire, dam);
            }
            matrix.push(rows.iter().map(|other| with[*other]).collect());
        }
        Some(matrix)
    }

    /// The common ancestors of a mating that make its puppies inbred, those that add most first,
    /// then the nearest. Ancestors that sire and dam share only through a younger common
    /// ancestor add nothing of their own and are left out. Empty when the parents are unrelated or
    /// not known.
    #[must_use]
    pub fn common_ancestors(&self, sire: &Id, dam: &Id) -> Vec<CommonAncestor> {
        let (Some(sire), Some(dam)) = (self.row(sire), self.row(dam)) else {
            return Vec::new();
        };
        let mut walk = PedigreeWalk::over(self.names.len());
        let mut ancestors = Vec::new();
        walk.start(sire, ParentShares::FIRST);
        walk.start(dam, ParentShares::SECOND);
        walk.up(&self.parents, |row, shares| ancestors.push((row, shares)));
        let behind_sire = nearest(&self.parents, sire, &ancestors);
        let behind_dam = nearest(&self.parents, dam, &ancestors);
        let mut common: Vec<CommonAncestor> = self
            .first_meetings(&ancestors, &mut walk)
            .into_iter()
            .map(|(row, chance)| {
                let inbreeding = self.inbreeding[row].coefficient;
                let generations = |side: &[Option<u32>]| side[row].unwrap_or(0);
                CommonAncestor {
                    dog: self.names[row].clone(),
                    contribution: chance * f64::midpoint(1.0, inbreeding),
                    inbreeding,
                    behind_sire: generations(&behind_sire),
                    behind_dam: generations(&behind_dam),
                }
            })
            .collect();
        let near = |a: &CommonAncestor| a.behind_sire + a.behind_dam;
        common.sort_by(|a, b| {
            b.contribution
                .total_cmp(&a.contribution)
                .then(near(a).cmp(&near(b)))
                .then_with(|| a.dog.cmp(&b.dog))
        });
        common
    }

    /// The chance that two lines followed up at random, one from each parent, meet first in each
    /// common ancestor.
    ///
    /// The lines visit an ancestor k both with the chance L₁ₖ L₂ₖ. They met for the first time
    /// either in k or in a younger z, from which both come to k with the chance Lzₖ². So what
    /// the younger ones account for is taken away, the youngest first.
    fn first_meetings(
        &self,
        ancestors: &[(usize, ParentShares)],
        walk: &mut PedigreeWalk,
    ) -> Vec<(usize, f64)> {
        let mut both = vec![0.0; self.names.len()];
        for (row, ParentShares { first, second }) in ancestors {
            both[*row] = first * second;
        }
        let mut met = Vec::new();
        for (row, _) in ancestors {
            let chance = both[*row];
            if chance < NOTHING {
                continue;
            }
            met.push((*row, chance));
            walk.start(*row, ParentShares::FIRST);
            walk.up(&self.parents, |ancestor, shares| {
                both[ancestor] -= chance * shares.first * shares.first;
            });
        }
        met
    }
}

/// Generations from a dog to each row by the shortest way; nothing for rows that are not among its
/// ancestors. Takes the ancestors youngest first.
fn nearest(
    parents: &[Parents],
    dog: usize,
    ancestors: &[(usize, ParentShares)],
) -> Vec<Option<u32>> {
    let mut generations: Vec<Option<u32>> = vec![None; parents.len()];
    generations[dog] = Some(0);
    for (row, _) in ancestors {
        let Some(here) = generations[*row] else {
            continue;
        };
        for parent in parents[*row].into_iter().flatten() {
            generations[parent] =
                Some(generations[parent].map_or(here + 1, |known| known.min(here + 1)));
        }
    }
    generations
}
