//! The order in which parents come before their offspring.
//!
//! In: all dogs. Out: their names and the rows of their parents, in time proportional to the number
//! of dogs. A dog that is among its own ancestors gets unknown parents, and only such a dog: the
//! offspring of a circle keep theirs.

use super::Parents;
use crate::quantity::Id;
use crate::records::Dogs;
use std::collections::HashMap;

/// Dogs and their parents by rows. The order is the same for the same records.
pub(super) fn oldest_first(dogs: &Dogs) -> (Vec<Id>, Vec<Parents>) {
    let number: HashMap<&Id, usize> = dogs.keys().enumerate().map(|(i, id)| (id, i)).collect();
    let find = |parent: &Option<Id>| parent.as_ref().and_then(|p| number.get(p).copied());
    let parents: Vec<Parents> = dogs
        .values()
        .map(|dog| [find(&dog.sire), find(&dog.dam)])
        .collect();
    let ids: Vec<&Id> = dogs.keys().collect();
    let mut row_of = vec![None; ids.len()];
    let mut names = Vec::with_capacity(ids.len());
    let mut rows = Vec::with_capacity(ids.len());
    for group in Search::groups(&parents) {
        let circle = group.len() > 1 || group.iter().any(|dog| parents[*dog].contains(&Some(*dog)));
        for dog in group {
            row_of[dog] = Some(names.len());
            names.push(ids[dog].clone());
            rows.push(if circle {
                [None; 2]
            } else {
                parents[dog].map(|p| p.and_then(|p| row_of[p]))
            });
        }
    }
    (names, rows)
}

/// Tarjan's search for groups of dogs that are each other's ancestors (Tarjan 1972, SIAM J Comput
/// 1:146-160), without recursion, since a line may be as long as the records. A dog outside any
/// circle is a group of its own; a group comes after those of its parents.
struct Search<'a> {
    parents: &'a [Parents],
    /// When each dog was met, counted from 1; 0 while it was not.
    met: Vec<usize>,
    /// The earliest dog still open that is known to be an ancestor, as counted in `met`; `CLOSED`
    /// once the group is complete.
    reach: Vec<usize>,
    /// Dogs whose group is not yet complete.
    open: Vec<usize>,
    count: usize,
}

const CLOSED: usize = usize::MAX;

impl<'a> Search<'a> {
    fn groups(parents: &'a [Parents]) -> Vec<Vec<usize>> {
        let mut search = Self {
            parents,
            met: vec![0; parents.len()],
            reach: vec![0; parents.len()],
            open: Vec::new(),
            count: 0,
        };
        let mut groups = Vec::with_capacity(parents.len());
        for dog in 0..parents.len() {
            if search.met[dog] == 0 {
                search.from(dog, &mut groups);
            }
        }
        groups
    }

    fn meet(&mut self, dog: usize) {
        self.count += 1;
        self.met[dog] = self.count;
        self.reach[dog] = self.count;
        self.open.push(dog);
    }

    fn from(&mut self, dog: usize, groups: &mut Vec<Vec<usize>>) {
        self.meet(dog);
        // Each step of the way is a dog and how many of its two parents were looked at.
        let mut way = vec![(dog, 0)];
        while let Some((dog, looked_at)) = way.last_mut() {
            let dog = *dog;
            if let Some(parent) = self.parents[dog].get(*looked_at) {
                *looked_at += 1;
                match *parent {
                    Some(parent) if self.met[parent] == 0 => {
                        self.meet(parent);
                        way.push((parent, 0));
                    }
                    Some(parent) if self.reach[parent] != CLOSED => {
                        self.reach[dog] = self.reach[dog].min(self.met[parent]);
                    }
                    _ => {}
                }
                continue;
            }
            way.pop();
            if self.reach[dog] == self.met[dog] {
                groups.push(self.close(dog));
            } else if let Some((offspring, _)) = way.last() {
                self.reach[*offspring] = self.reach[*offspring].min(self.reach[dog]);
            }
        }
    }

    fn close(&mut self, dog: usize) -> Vec<usize> {
        let from = self.open.iter().rposition(|open| *open == dog).unwrap_or(0);
        let group: Vec<usize> = self.open.drain(from..).collect();
        for dog in &group {
            self.reach[*dog] = CLOSED;
        }
        group
    }
}
