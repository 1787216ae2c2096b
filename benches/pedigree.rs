//! How the cost of a pedigree grows with the number of dogs.
//!
//! Run with `cargo bench --bench pedigree`. The dogs are made on the spot: twelve generations that
//! overlap, litters of five, a few popular sires with most of the litters. Compare the figures with
//! each other and not with another machine's. `all_dogs` should grow little faster than the dogs;
//! `one_mating` and `why` are what a keeper waits for.

#![allow(
    clippy::pedantic,
    clippy::unwrap_used,
    missing_docs,
    reason = "a benchmark may stop where it stands"
)]

use divan::{Bencher, black_box, counter::ItemsCount};
use litterfolio::husbandry::pedigree::{Ancestry, genes};
use litterfolio::quantity::Id;
use litterfolio::records::Dogs;
use litterfolio::records::dog::Dog;

const SIZES: [usize; 3] = [1_250, 5_000, 20_000];
const GENERATIONS: usize = 12;
const LITTER: usize = 5;

fn main() {
    divan::main();
}

/// A small generator; the same seed always makes the same kennel.
struct Dice(u64);

impl Dice {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % end
    }
}

/// The nth dog. The number is scattered first, so that the order of names says nothing about age.
fn name(number: usize, dogs: usize) -> Id {
    format!("dog-{:05}", number * 7_919 % dogs).parse().unwrap()
}

fn dogs(count: usize) -> Dogs {
    let pattern: Dog = serde_yaml::from_str("name: Any\nsex: female").unwrap();
    let of_generation = count / GENERATIONS;
    let mut dice = Dice(2_026);
    let mut parents: [Option<usize>; 2] = [None; 2];
    (0..count)
        .map(|dog| {
            let generation = dog / of_generation;
            if dog % LITTER == 0 {
                // Even numbers are male. Dams come from the generation before or, one in four, from
                // the one before that; half of all litters have one of the first
                // ten males.
                let mut pick = |male: usize, among: usize| {
                    let back = if generation > 1 && dice.below(4) == 0 {
                        2
                    } else {
                        1
                    };
                    let first =
                        generation.min(GENERATIONS - 1).saturating_sub(back) * of_generation;
                    (first + dice.below(among) * 2) / 2 * 2 + male
                };
                let among = if dog % (2 * LITTER) == 0 {
                    10
                } else {
                    of_generation / 2 - 1
                };
                parents = if generation == 0 {
                    [None; 2]
                } else {
                    [Some(pick(0, among)), Some(pick(1, of_generation / 2 - 1))]
                };
            }
            let [sire, dam] = parents.map(|p| p.map(|p| name(p, count)));
            (
                name(dog, count),
                Dog {
                    sire,
                    dam,
                    ..pattern.clone()
                },
            )
        })
        .collect()
}

#[divan::bench(args = SIZES)]
fn all_dogs(bencher: Bencher<'_, '_>, count: usize) {
    let dogs = dogs(count);
    assert_eq!(dogs.len(), count, "every dog has a name of its own");
    let ancestry = Ancestry::new(&dogs);
    let youngest = ancestry.inbreeding(&name(count - 1, count));
    assert!(
        youngest.deepest >= 6 && youngest.coefficient > 0.0,
        "{youngest:?}"
    );
    bencher
        .counter(ItemsCount::new(count))
        .bench(|| Ancestry::new(black_box(&dogs)));
}

#[divan::bench(args = SIZES)]
fn one_mating(bencher: Bencher<'_, '_>, count: usize) {
    let ancestry = Ancestry::new(&dogs(count));
    let (sire, dam) = (name(count - 2, count), name(count - 11, count));
    bencher.bench(|| ancestry.of_mating(black_box(&sire), black_box(&dam)));
}

#[divan::bench(args = SIZES)]
fn why(bencher: Bencher<'_, '_>, count: usize) {
    let ancestry = Ancestry::new(&dogs(count));
    let (sire, dam) = (name(count - 2, count), name(count - 11, count));
    bencher.bench(|| ancestry.common_ancestors(black_box(&sire), black_box(&dam)));
}

#[divan::bench(args = SIZES)]
fn twenty_with_each_other(bencher: Bencher<'_, '_>, count: usize) {
    let ancestry = Ancestry::new(&dogs(count));
    let list: Vec<Id> = (1..=20).map(|i| name(count - 7 * i, count)).collect();
    bencher.bench(|| ancestry.relationships(black_box(&list)));
}

#[divan::bench(args = SIZES)]
fn ten_generations_back(bencher: Bencher<'_, '_>, count: usize) {
    let ancestry = Ancestry::new(&dogs(count));
    let dog = name(count - 1, count);
    bencher.bench(|| ancestry.depth(black_box(&dog), 10));
}

#[divan::bench(args = SIZES)]
fn genes_of_a_mating(bencher: Bencher<'_, '_>, count: usize) {
    let mut dogs = dogs(count);
    let (sire, dam) = (name(count - 2, count), name(count - 11, count));
    let tested: Dog = serde_yaml::from_str(
        "name: Any\nsex: female\nscreening: [{ test: prcd-PRA, result: carrier }]",
    )
    .unwrap();
    for dog in [&sire, &dam] {
        dogs.get_mut(dog)
            .unwrap()
            .screening
            .clone_from(&tested.screening);
    }
    bencher.bench(|| genes::of_mating(black_box(&dogs), black_box(&sire), black_box(&dam)));
}
