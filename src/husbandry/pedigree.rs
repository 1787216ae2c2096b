//! Ancestry: inbreeding with the depth it rests on, and the chart of ancestors.
//!
//! In: all dogs with their parents. Out: [`Inbreeding`] of any dog or mating, and [`Ancestor`] trees. An unknown parent counts as unrelated, so every coefficient is
//! a lower bound and is never shown without its depth.

use crate::quantity::Id;
use crate::records::dog::Dog;
use std::collections::{BTreeMap, BinaryHeap};

/// A coefficient of inbreeding and what is known behind it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inbreeding {
    /// Wright's coefficient, 0 to 1; a lower bound.
    pub coefficient: f64,
    /// Generations of ancestors known on at least one line.
    pub deepest: u32,
    /// Equivalent complete generations: the sum of (1/2)^n over known ancestors n generations back (Maignel, Boichard and Verrier 1996).
    pub complete_generations: f64,
}

/// All dogs in an order in which parents come before their offspring.
#[derive(Debug)]
pub struct Ancestry {
    place: BTreeMap<Id, usize>,
    parents: Vec<[Option<usize>; 2]>,
    inbreeding: Vec<Inbreeding>,
}

impl Ancestry {
    /// Orders the dogs and computes the inbreeding of each, oldest first. A dog in a circle of ancestry is treated as having unknown parents; the circle itself is a
    /// problem of the records.
    #[must_use]
    pub fn new(dogs: &BTreeMap<Id, Dog>) -> Self {
        let order = oldest_first(dogs);
        let place: BTreeMap<Id, usize> = order.iter().enumerate().map(|(i, id)| ((*id).clone(), i)).collect();
        let mut ancestry = Self { parents: Vec::with_capacity(order.len()), inbreeding: Vec::with_capacity(order.len()), place };
        for (i, id) in order.iter().enumerate() {
            let dog = &dogs[*id];
            let known = |parent: &Option<Id>| parent.as_ref().and_then(|p| ancestry.place.get(p).copied()).filter(|p| *p < i);
            let parents = [known(&dog.sire), known(&dog.dam)];
            let inbreeding = ancestry.offspring(parents);
            ancestry.parents.push(parents);
            ancestry.inbreeding.push(inbreeding);
        }
        ancestry
    }

    /// Inbreeding of a dog; zero at no depth when the dog is not known.
    #[must_use]
    pub fn inbreeding(&self, dog: &Id) -> Inbreeding {
        self.place.get(dog).map_or(Inbreeding { coefficient: 0.0, deepest: 0, complete_generations: 0.0 }, |i| self.inbreeding[*i])
    }

    /// Inbreeding of the puppies of a mating.
    #[must_use]
    pub fn of_mating(&self, sire: &Id, dam: &Id) -> Inbreeding {
        self.offspring([self.place.get(sire).copied(), self.place.get(dam).copied()])
    }

    fn offspring(&self, parents: [Option<usize>; 2]) -> Inbreeding {
        // An empty sum of floats is −0, which would be printed so.
        let of = |value: fn(&Inbreeding) -> f64| parents.iter().flatten().fold(0.0, |sum, p| sum + f64::midpoint(1.0, value(&self.inbreeding[*p])));
        Inbreeding {
            coefficient: self.coefficient(parents),
            deepest: parents.iter().flatten().map(|p| self.inbreeding[*p].deepest + 1).max().unwrap_or(0),
            complete_generations: of(|i| i.complete_generations),
        }
    }

    /// The method of Meuwissen and Luo (1992, Genet Sel Evol 24:305-313): F = Σ L² D − 1, where L is the share an ancestor gives and D the variance of its own Mendelian
    /// sampling. Equal to the tabular method, without the table.
    fn coefficient(&self, parents: [Option<usize>; 2]) -> f64 {
        let [Some(_), Some(_)] = parents else { return 0.0 };
        let mut share: BTreeMap<usize, f64> = BTreeMap::new();
        let mut waiting = BinaryHeap::new();
        let give = |to: usize, part: f64, waiting: &mut BinaryHeap<usize>, share: &mut BTreeMap<usize, f64>| {
            if let Some(sum) = share.get_mut(&to) {
                *sum += part;
            } else {
                share.insert(to, part);
                waiting.push(to);
            }
        };
        for parent in parents.into_iter().flatten() {
            give(parent, 0.5, &mut waiting, &mut share);
        }
        let mut sum = self.sampling(parents);
        // The youngest ancestor first: when it is taken, everything it receives has arrived.
        while let Some(ancestor) = waiting.pop() {
            let part = share.remove(&ancestor).unwrap_or(0.0);
            sum += part * part * self.sampling(self.parents[ancestor]);
            for parent in self.parents[ancestor].into_iter().flatten() {
                give(parent, part / 2.0, &mut waiting, &mut share);
            }
        }
        (sum - 1.0).max(0.0)
    }

    fn sampling(&self, parents: [Option<usize>; 2]) -> f64 {
        let f = |p: usize| self.inbreeding[p].coefficient;
        match parents {
            [Some(sire), Some(dam)] => 0.5 - 0.25 * (f(sire) + f(dam)),
            [Some(one), None] | [None, Some(one)] => 0.75 - 0.25 * f(one),
            [None, None] => 1.0,
        }
    }
}

/// Parents before offspring; dogs in a circle come last, in the order of their names.
fn oldest_first(dogs: &BTreeMap<Id, Dog>) -> Vec<&Id> {
    let mut order: Vec<&Id> = Vec::with_capacity(dogs.len());
    let mut placed: BTreeMap<&Id, bool> = dogs.keys().map(|id| (id, false)).collect();
    for start in dogs.keys() {
        let mut way: Vec<(&Id, bool)> = vec![(start, false)];
        while let Some((id, parents_done)) = way.pop() {
            if placed[id] {
                continue;
            }
            if parents_done {
                placed.insert(id, true);
                order.push(id);
                continue;
            }
            way.push((id, true));
            let on_way = |p: &Id| way.iter().any(|(other, opened)| *opened && *other == p);
            let parents: Vec<&Id> =
                [&dogs[id].sire, &dogs[id].dam].into_iter().flatten().filter_map(|p| dogs.get_key_value(p)).map(|(p, _)| p).collect();
            let next: Vec<&Id> = parents.into_iter().filter(|p| !placed[*p] && !on_way(p)).collect();
            way.extend(next.into_iter().map(|p| (p, false)));
        }
    }
    order
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

/// The ancestors of a dog, `generations` back.
#[must_use]
pub fn ancestors(dogs: &BTreeMap<Id, Dog>, dog: &Id, generations: u32) -> Option<Ancestor> {
    let (id, record) = dogs.get_key_value(dog)?;
    let parent = |parent: &Option<Id>| parent.as_ref().filter(|_| generations > 0).and_then(|p| ancestors(dogs, p, generations - 1)).map(Box::new);
    Some(Ancestor { dog: id.clone(), sire: parent(&record.sire), dam: parent(&record.dam) })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Dogs from `id sire dam`, `-` for unknown; sex by whether it is named as a dam.
    fn ancestry(table: &str) -> Ancestry {
        let dogs = table.split(';').map(|row| {
            let [id, sire, dam] = row.split_whitespace().collect::<Vec<_>>()[..] else { panic!("{row}") };
            let parent = |key: &str, p: &str| if p == "-" { String::new() } else { format!("\n{key}: {p}") };
            (id.parse().unwrap(), serde_yaml::from_str(&format!("name: {id}\nsex: male{}{}", parent("sire", sire), parent("dam", dam))).unwrap())
        });
        Ancestry::new(&dogs.collect())
    }

    fn f(table: &str, dog: &str) -> f64 {
        ancestry(table).inbreeding(&dog.parse().unwrap()).coefficient
    }

    #[test]
    fn mrode_table_2_1() {
        // Mrode, Linear Models for the Prediction of Animal Breeding Values, 3rd ed. 2014, table 2.1: F5 = F6 = 0.125.
        let table = "1 - -;2 - -;3 1 2;4 1 -;5 4 3;6 5 2";
        assert!((f(table, "5") - 0.125).abs() < 1e-12);
        assert!((f(table, "6") - 0.125).abs() < 1e-12);
    }

    #[test]
    fn textbook_matings() {
        // Wright 1922, Am Nat 56:330-338: full sibs and parent with offspring 1/4, half sibs 1/8, first cousins 1/16.
        assert!((f("a - -;b - -;c a b;d a b;x c d", "x") - 0.25).abs() < 1e-12);
        assert!((f("a - -;b - -;c a b;x a c", "x") - 0.25).abs() < 1e-12);
        assert!((f("a - -;b - -;e - -;c a b;d a e;x c d", "x") - 0.125).abs() < 1e-12);
        assert!((f("a - -;b - -;c a b;d a b;e - -;g - -;h c e;i g d;x h i", "x") - 0.0625).abs() < 1e-12);
    }

    #[test]
    fn repeated_full_sib_mating() {
        // Falconer and Mackay, table 5.1 (from memory): 0.25, 0.375, 0.5, 0.59375 …
        let mut table = String::from("m0 - -;f0 - -");
        for g in 1..=5 {
            let p = g - 1;
            table.push_str(&format!(";m{g} m{p} f{p};f{g} m{p} f{p}"));
        }
        let ancestry = ancestry(&table);
        for (g, expected) in [(2, 0.25), (3, 0.375), (4, 0.5), (5, 0.59375)] {
            assert!((ancestry.inbreeding(&format!("m{g}").parse().unwrap()).coefficient - expected).abs() < 1e-12);
        }
    }

    #[test]
    fn depth_stands_beside_the_coefficient() {
        let ancestry = ancestry("a - -;b - -;c a b;d - -;x c d");
        let x = ancestry.inbreeding(&"x".parse().unwrap());
        assert_eq!(x.deepest, 2);
        assert!((x.complete_generations - 1.5).abs() < 1e-12, "two parents by 1/2 and two grandparents by 1/4");
    }

    #[test]
    fn a_circle_of_ancestry_ends() {
        let looped = ancestry("a c -;b a -;c b -");
        assert!(looped.inbreeding(&"a".parse().unwrap()).coefficient.abs() < 1e-12);
        assert!(ancestors(&BTreeMap::new(), &"a".parse().unwrap(), 4).is_none());
    }
}
