//! Ancestry: inbreeding with the depth it rests on, kinship, and the chart of ancestors.
//!
//! In: all dogs with their parents. Out: [`Inbreeding`] of any dog or mating, [`Ancestor`] trees,
//! and by the files below the kinship of any two dogs, the ancestors they have in common
//! ([`kinship`]), how completely the ancestors are known ([`depth`]) and what one recessive gene
//! does in a mating ([`genes`]). An unknown parent counts as unrelated, so every coefficient is a
//! lower bound and is never shown without its depth. Nothing here looks at other blood than the
//! records name, and none of it is a measured gene.

pub mod depth;
pub mod genes;
pub mod kinship;
mod order;
#[cfg(test)]
mod tests;
mod walk;

use crate::cache::{Digest, Digester};
use crate::quantity::Id;
use crate::records::Dogs;
use std::collections::HashMap;
use walk::{ParentShares, PedigreeWalk};

/// A dog's sire and dam by their rows; nothing where one is not known.
type Parents = [Option<usize>; 2];

/// A coefficient of inbreeding and what is known behind it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inbreeding {
    /// Wright's coefficient, 0 to 1; a lower bound.
    pub coefficient: f64,
    /// Generations of ancestors known on at least one line.
    pub deepest: u32,
    /// Equivalent complete generations: the sum of (1/2)^n over known ancestors n generations back
    /// (Maignel, Boichard and Verrier 1996).
    pub complete_generations: f64,
}

/// Complete generations from which on a coefficient of nothing is said. Ours: parents and
/// grandparents all known, or as much on longer lines.
pub const FEWEST_COMPLETE_GENERATIONS: f64 = 2.0;

impl Inbreeding {
    /// What is said of a dog without known parents.
    const NONE: Self = Self {
        coefficient: 0.0,
        deepest: 0,
        complete_generations: 0.0,
    };

    /// The coefficient, when it is above 0, or when [`FEWEST_COMPLETE_GENERATIONS`] are known: a 0
    /// from fewer says nothing.
    #[must_use]
    pub fn known(&self) -> Option<f64> {
        (self.coefficient > 0.0 || self.complete_generations >= FEWEST_COMPLETE_GENERATIONS)
            .then_some(self.coefficient)
    }

    /// For a list with the least related first: matings of which too little is known come last.
    #[must_use]
    pub fn least_first(&self, other: &Self) -> std::cmp::Ordering {
        let key = |inbreeding: &Self| inbreeding.known().unwrap_or(f64::INFINITY);
        key(self).total_cmp(&key(other))
    }
}

/// All dogs in rows, in which parents come before their offspring.
#[derive(Debug)]
pub struct Ancestry {
    /// The row of each dog.
    rows: HashMap<Id, usize>,
    /// The dog of each row.
    names: Vec<Id>,
    /// The parents of each row; always rows above it.
    parents: Vec<Parents>,
    /// The inbreeding of each row.
    inbreeding: Vec<Inbreeding>,
    /// The variance of each row's Mendelian sampling: the part of its genes' variance that its
    /// parents do not explain.
    sampling: Vec<f64>,
}

impl Ancestry {
    /// Orders the dogs and computes the inbreeding of each, oldest first. A dog in a circle of
    /// ancestry is treated as having unknown parents; the circle itself is a problem of the
    /// records. Takes time in proportion to the dogs for the order, and to their litters' ancestors
    /// for the inbreeding.
    #[must_use]
    pub fn new(dogs: &Dogs) -> Self {
        let (names, parents) = order::oldest_first(dogs);
        let rows = names
            .iter()
            .enumerate()
            .map(|(row, id)| (id.clone(), row))
            .collect();
        let mut ancestry = Self {
            rows,
            names,
            parents,
            inbreeding: Vec::with_capacity(dogs.len()),
            sampling: Vec::with_capacity(dogs.len()),
        };
        let mut walk = PedigreeWalk::over(dogs.len());
        // Full sibs have the same ancestors, so all puppies of two parents share one computation.
        let mut of_pair: HashMap<(usize, usize), Inbreeding> = HashMap::new();
        for row in 0..dogs.len() {
            let parents = ancestry.parents[row];
            let inbreeding = match parents {
                [Some(sire), Some(dam)] => *of_pair
                    .entry((sire, dam))
                    .or_insert_with(|| ancestry.offspring(parents, &mut walk)),
                _ => ancestry.offspring(parents, &mut walk),
            };
            let sampling = ancestry.sampling_of(parents);
            ancestry.inbreeding.push(inbreeding);
            ancestry.sampling.push(sampling);
        }
        ancestry
    }

    /// Inbreeding of a dog; zero at no depth when the dog is not known.
    #[must_use]
    pub fn inbreeding(&self, dog: &Id) -> Inbreeding {
        self.row(dog)
            .map_or(Inbreeding::NONE, |row| self.inbreeding[row])
    }

    /// Inbreeding of the puppies of a mating.
    #[must_use]
    pub fn of_mating(&self, sire: &Id, dam: &Id) -> Inbreeding {
        self.offspring(
            [self.row(sire), self.row(dam)],
            &mut PedigreeWalk::over(self.names.len()),
        )
    }

    fn row(&self, dog: &Id) -> Option<usize> {
        self.rows.get(dog).copied()
    }

    fn offspring(&self, parents: Parents, walk: &mut PedigreeWalk) -> Inbreeding {
        // An empty sum of floats is −0, which would be printed so.
        let complete =
            |sum, p: &usize| sum + f64::midpoint(1.0, self.inbreeding[*p].complete_generations);
        Inbreeding {
            coefficient: if let [Some(sire), Some(dam)] = parents {
                self.kinship_of(sire, dam, walk)
            } else {
                0.0
            },
            deepest: parents
                .iter()
                .flatten()
                .map(|p| self.inbreeding[*p].deepest + 1)
                .max()
                .unwrap_or(0),
            complete_generations: parents.iter().flatten().fold(0.0, complete),
        }
    }

    /// The kinship of two rows, which is the inbreeding of their offspring: ½ Σ L₁ L₂ D over the
    /// ancestors of both, themselves included, where L is the share of its genes that a dog has
    /// from an ancestor and D the variance of that ancestor's own Mendelian sampling (A = T D T′,
    /// as Meuwissen and Luo 1992, Genet Sel Evol 24:305-313, use it). Equal to the tabular
    /// method, without the table, and exactly zero for unrelated dogs.
    fn kinship_of(&self, one: usize, other: usize, walk: &mut PedigreeWalk) -> f64 {
        let mut sum = 0.0;
        walk.start(one, ParentShares::FIRST);
        walk.start(other, ParentShares::SECOND);
        walk.up(&self.parents, |row, ParentShares { first, second }| {
            sum += first * second * self.sampling[row];
        });
        sum / 2.0
    }

    fn sampling_of(&self, parents: Parents) -> f64 {
        let f = |p: usize| self.inbreeding[p].coefficient;
        match parents {
            [Some(sire), Some(dam)] => 0.5 - 0.25 * (f(sire) + f(dam)),
            [Some(one), None] | [None, Some(one)] => 0.75 - 0.25 * f(one),
            [None, None] => 1.0,
        }
    }
}

/// Digest of who is whose parent.
#[must_use]
pub fn digest_of(dogs: &Dogs) -> Digest {
    let mut all = Digester::default();
    for (id, dog) in dogs {
        for name in [Some(id), dog.sire.as_ref(), dog.dam.as_ref()] {
            all.part(name.map_or("", Id::as_str).as_bytes());
        }
    }
    all.finish()
}

/// An ancestor and its own parents, as far as known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ancestor {
    /// The dog.
    pub dog: Id,
    /// Its sire.
    pub sire: Option<Box<Ancestor>>,
    /// Its dam.
    pub dam: Option<Box<Ancestor>>,
}

/// The ancestors of a dog, `generations` back. Every generation has up to twice the places of the
/// one before, so callers ask for a few.
#[must_use]
pub fn ancestors(dogs: &Dogs, dog: &Id, generations: u32) -> Option<Ancestor> {
    let (id, record) = dogs.get_key_value(dog)?;
    let parent = |parent: &Option<Id>| {
        parent
            .as_ref()
            .filter(|_| generations > 0)
            .and_then(|p| ancestors(dogs, p, generations - 1))
            .map(Box::new)
    };
    Some(Ancestor {
        dog: id.clone(),
        sire: parent(&record.sire),
        dam: parent(&record.dam),
    })
}
