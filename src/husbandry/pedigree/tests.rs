//! Inbreeding, kinship and common ancestors against published values and against two slow methods:
//! the tabular one and Wright's paths.

use super::*;
use crate::records::dog::Dog;
use proptest::prelude::*;
use std::collections::BTreeMap;

/// Dogs from `id sire dam`, `-` for unknown.
pub(super) fn dogs(table: &str) -> Dogs {
    let pattern: Dog = serde_yaml::from_str("name: Any\nsex: male").unwrap();
    let dog = |row: &str| {
        let [id, sire, dam] = row.split_whitespace().collect::<Vec<_>>()[..] else {
            panic!("{row}")
        };
        let parent = |p: &str| (p != "-").then(|| p.parse().unwrap());
        (
            id.parse().unwrap(),
            Dog {
                sire: parent(sire),
                dam: parent(dam),
                ..pattern.clone()
            },
        )
    };
    table.split(';').map(dog).collect()
}

fn ancestry(table: &str) -> Ancestry {
    Ancestry::new(&dogs(table))
}

fn id(name: &str) -> Id {
    name.parse().unwrap()
}

fn f(table: &str, dog: &str) -> f64 {
    ancestry(table).inbreeding(&id(dog)).coefficient
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-12
}

const MRODE: &str = "1 - -;2 - -;3 1 2;4 1 -;5 4 3;6 5 2";

#[test]
fn mrode_table_2_1() {
    // Mrode, Linear Models for the Prediction of Animal Breeding Values, 3rd ed. 2014, table 2.1:
    // F5 = 0.125 (appendix B), F6 = 0.125 by the tabular rule.
    assert!(close(f(MRODE, "5"), 0.125));
    assert!(close(f(MRODE, "6"), 0.125));
}

#[test]
fn the_whole_relationship_matrix_of_mrode_table_2_1() {
    // Pedigree of Mrode 2014, table 2.1. Rows 1, 4 and 5 against each other stand in the book (p.
    // 32), the others follow by the tabular rule.
    let expected = [
        [1.0, 0.0, 0.5, 0.5, 0.5, 0.25],
        [0.0, 1.0, 0.5, 0.0, 0.25, 0.625],
        [0.5, 0.5, 1.0, 0.25, 0.625, 0.5625],
        [0.5, 0.0, 0.25, 1.0, 0.625, 0.3125],
        [0.5, 0.25, 0.625, 0.625, 1.125, 0.6875],
        [0.25, 0.625, 0.5625, 0.3125, 0.6875, 1.125],
    ];
    let ancestry = ancestry(MRODE);
    let ids: Vec<Id> = (1..=6).map(|i| id(&i.to_string())).collect();
    let matrix = ancestry.relationships(&ids).unwrap();
    for (i, row) in expected.iter().enumerate() {
        for (j, value) in row.iter().enumerate() {
            assert!(close(matrix[i][j], *value), "{i} {j}: {}", matrix[i][j]);
            assert!(
                close(ancestry.relationship(&ids[i], &ids[j]).unwrap(), *value),
                "pair {i} {j}"
            );
        }
    }
    // The same page has D = 1, 1, 0.5, 0.75, 0.5, 0.469 (0.46875).
    let sampling: Vec<f64> = ids
        .iter()
        .map(|dog| ancestry.sampling[ancestry.row(dog).unwrap()])
        .collect();
    assert_eq!(sampling, [1.0, 1.0, 0.5, 0.75, 0.5, 0.468_75]);
}

#[test]
fn textbook_matings() {
    // Wright 1922, Am Nat 56:330-338, and the usual textbook table: the name of the mating, its
    // pedigree, F of x.
    let matings = [
        ("parent and offspring", "a - -;b - -;c a b;x a c", 0.25),
        ("full sibs", "a - -;b - -;c a b;d a b;x c d", 0.25),
        ("half sibs", "a - -;b - -;e - -;c a b;d a e;x c d", 0.125),
        (
            "grandparent and grandchild",
            "a - -;b - -;e - -;c a b;d c e;x a d",
            0.125,
        ),
        (
            "uncle and niece",
            "a - -;b - -;c a b;d a b;e - -;g d e;x c g",
            0.125,
        ),
        (
            "double first cousins",
            "a - -;b - -;c - -;d - -;e a b;g a b;h c d;i c d;j e h;k g i;x j k",
            0.125,
        ),
        (
            "first cousins",
            "a - -;b - -;c a b;d a b;e - -;g - -;h c e;i g d;x h i",
            0.0625,
        ),
        (
            "half cousins",
            "a - -;b - -;b2 - -;c a b;d a b2;e - -;g - -;h c e;i g d;x h i",
            0.031_25,
        ),
        (
            "second cousins",
            "a - -;b - -;c a b;d a b;e - -;g - -;h c e;i d g;j - -;k - -;l h j;m i k;x l m",
            0.015_625,
        ),
    ];
    for (name, table, expected) in matings {
        assert!(close(f(table, "x"), expected), "{name}");
    }
    // Half sibs whose common sire has F = 1/4: 1/8 · (1 + 1/4), by Wright's factor 1 + F of the
    // common ancestor.
    assert!(close(
        f(
            "a - -;b - -;c a b;d a b;s c d;m - -;n - -;p s m;q s n;x p q",
            "x"
        ),
        0.156_25
    ));
}

#[test]
fn repeated_full_sib_mating() {
    // Falconer and Mackay, Introduction to Quantitative Genetics, table 5.1 (from memory), which
    // the tabular method gives too.
    let mut table = String::from("m0 - -;f0 - -");
    for g in 1..=11 {
        let p = g - 1;
        table.push_str(&format!(";m{g} m{p} f{p};f{g} m{p} f{p}"));
    }
    let ancestry = ancestry(&table);
    let series = [
        0.25,
        0.375,
        0.5,
        0.593_75,
        0.671_875,
        0.734_375,
        0.785_156_25,
        0.826_171_875,
        0.859_375,
        0.886_230_468_75,
    ];
    for (g, expected) in (2..).zip(series) {
        assert!(
            close(
                ancestry.inbreeding(&id(&format!("m{g}"))).coefficient,
                expected
            ),
            "generation {g}"
        );
    }
}

#[test]
fn repeated_back_cross_to_one_sire() {
    // Tabular rule: 0.25, 0.375, 0.4375, 0.46875, 0.484375, with the limit 0.5.
    let mut table = String::from("s - -;d0 - -;d1 s d0");
    for g in 2..=30 {
        table.push_str(&format!(";d{g} s d{}", g - 1));
    }
    let ancestry = ancestry(&table);
    for (g, expected) in (2..).zip([0.25, 0.375, 0.437_5, 0.468_75, 0.484_375]) {
        assert!(
            close(
                ancestry.inbreeding(&id(&format!("d{g}"))).coefficient,
                expected
            ),
            "generation {g}"
        );
    }
    assert!((ancestry.inbreeding(&id("d30")).coefficient - 0.5).abs() < 1e-8);
}

#[test]
fn depth_stands_beside_the_coefficient() {
    let ancestry = ancestry("a - -;b - -;c a b;d - -;x c d");
    let x = ancestry.inbreeding(&id("x"));
    assert_eq!(x.deepest, 2);
    assert!(
        close(x.complete_generations, 1.5),
        "two parents by 1/2 and two grandparents by 1/4"
    );
    assert_eq!(ancestry.of_mating(&id("c"), &id("d")), x);
    assert_eq!(ancestry.inbreeding(&id("nobody")), Inbreeding::NONE);
}

#[test]
fn kinship_is_the_inbreeding_of_the_offspring() {
    let ancestry = ancestry("a - -;b - -;c a b;d a b;x c d;y c d");
    assert!(close(ancestry.kinship(&id("c"), &id("d")).unwrap(), 0.25));
    assert!(
        close(ancestry.kinship(&id("x"), &id("x")).unwrap(), 0.625),
        "(1 + 1/4) / 2"
    );
    assert!(close(
        ancestry.relationship(&id("x"), &id("x")).unwrap(),
        1.25
    ));
    assert_eq!(ancestry.kinship(&id("a"), &id("b")), Some(0.0));
    assert_eq!(
        ancestry.kinship(&id("a"), &id("nobody")),
        None,
        "how a stranger is related is not known"
    );
    assert_eq!(ancestry.relationships(&[id("a"), id("nobody")]), None);
    assert_eq!(ancestry.relationships(&[]), Some(Vec::new()));
}

#[test]
fn a_circle_of_ancestry_ends() {
    let looped = ancestry("a c -;b a -;c b -");
    assert!(close(looped.inbreeding(&id("a")).coefficient, 0.0));
    assert!(ancestors(&Dogs::default(), &id("a"), 4).is_none());
    assert_eq!(ancestry("a a a").inbreeding(&id("a")), Inbreeding::NONE);
}

#[test]
fn only_dogs_inside_a_circle_lose_their_parents() {
    // a, b and c are their own ancestors. c's dam z is not known because of that, but x and y, born
    // into the circle's family, stay full sibs of known parents.
    let ancestry = ancestry("a c -;b a -;c b z;z - -;m - -;x c m;y c m");
    for dog in ["a", "b", "c"] {
        assert_eq!(ancestry.inbreeding(&id(dog)), Inbreeding::NONE);
    }
    assert!(close(ancestry.kinship(&id("x"), &id("y")).unwrap(), 0.25));
    assert!(close(
        ancestry.inbreeding(&id("x")).complete_generations,
        1.0
    ));
    assert_eq!(ancestry.kinship(&id("x"), &id("z")), Some(0.0));
}

#[test]
fn a_line_of_thirty_thousand_dogs_neither_overflows_nor_takes_long() {
    let names: Vec<Id> = (0..30_000).map(|i| id(&format!("d{i:05}"))).collect();
    let pattern: Dog = serde_yaml::from_str("name: Any\nsex: male").unwrap();
    // The name order runs against the order of birth, so the search begins at the youngest.
    let dogs = names
        .iter()
        .enumerate()
        .map(|(i, name)| {
            (
                name.clone(),
                Dog {
                    sire: names.get(i + 1).cloned(),
                    ..pattern.clone()
                },
            )
        })
        .collect();
    let ancestry = Ancestry::new(&dogs);
    assert_eq!(ancestry.inbreeding(&names[0]).deepest, 29_999);
    assert!(close(
        ancestry.relationship(&names[0], &names[3]).unwrap(),
        0.125
    ));
}

#[test]
fn the_ancestors_behind_a_coefficient_are_named_with_their_part() {
    // First cousins: two grandparents in common, 1/32 through each (Wright 1922).
    let table = "a - -;b - -;c a b;d a b;e - -;g - -;h c e;i d g;x h i";
    let ancestry = ancestry(table);
    let common = ancestry.common_ancestors(&id("h"), &id("i"));
    let told: Vec<(&str, f64, u32, u32)> = common
        .iter()
        .map(|c| (c.dog.as_str(), c.contribution, c.behind_sire, c.behind_dam))
        .collect();
    assert_eq!(told, [("a", 0.031_25, 2, 2), ("b", 0.031_25, 2, 2)]);
    // Half sibs: only the common sire counts, not his own parents, through whom no path runs that
    // does not meet in him first.
    let half = self::ancestry("g - -;h - -;a g h;b - -;e - -;c a b;d a e");
    let common = half.common_ancestors(&id("c"), &id("d"));
    assert_eq!(
        common.iter().map(|c| c.dog.as_str()).collect::<Vec<_>>(),
        ["a"]
    );
    assert!(close(common[0].contribution, 0.125));
    // Sire with daughter: the sire himself is the common ancestor.
    let back = self::ancestry("s - -;m - -;d s m");
    let common = back.common_ancestors(&id("s"), &id("d"));
    assert_eq!(
        (
            common[0].dog.as_str(),
            common[0].behind_sire,
            common[0].behind_dam
        ),
        ("s", 0, 1)
    );
    assert!(back.common_ancestors(&id("s"), &id("m")).is_empty());
    assert!(back.common_ancestors(&id("s"), &id("nobody")).is_empty());
}

/// A pedigree by numbers: parents of each dog, always of a lower number. Sires are even, dams odd.
type Numbers = Vec<[Option<usize>; 2]>;

fn pedigree(most: usize) -> impl Strategy<Value = Numbers> {
    // A parent is unknown in one case of six and otherwise any older dog, so generations overlap
    // and loops through common ancestors are the rule. Near parents are likelier.
    let dog = (any::<[u16; 2]>(), any::<[u16; 2]>(), 1..8_usize);
    proptest::collection::vec(dog, 2..most).prop_map(|dice| {
        let parent = |number: usize, side: usize, known: u16, pick: u16, near: usize| {
            let from = number.saturating_sub(near * 4);
            let choices: Vec<usize> = (from..number).filter(|p| p % 2 == side).collect();
            if known.is_multiple_of(6) || choices.is_empty() {
                None
            } else {
                Some(choices[pick as usize % choices.len()])
            }
        };
        dice.iter()
            .enumerate()
            .map(|(i, (known, pick, near))| {
                [0, 1].map(|side| parent(i, side, known[side], pick[side], *near))
            })
            .collect()
    })
}

/// The same pedigree as dogs whose names are in another order than their ages.
fn named(numbers: &Numbers) -> (Dogs, Vec<Id>) {
    let pattern: Dog = serde_yaml::from_str("name: Any\nsex: male").unwrap();
    let names: Vec<Id> = (0..numbers.len())
        .map(|i| id(&format!("d{:03}", (i * 619 + 31) % 1_000)))
        .collect();
    let dog = |parents: &[Option<usize>; 2]| {
        let [sire, dam] = parents.map(|p| p.map(|p| names[p].clone()));
        Dog {
            sire,
            dam,
            ..pattern.clone()
        }
    };
    (
        names.iter().cloned().zip(numbers.iter().map(dog)).collect(),
        names,
    )
}

/// The additive relationship matrix by the tabular method (Henderson 1976; rules as in Mrode 2014,
/// chapter 2).
#[allow(
    clippy::needless_range_loop,
    reason = "the rules are written with indices"
)]
fn tabular(numbers: &Numbers) -> Vec<Vec<f64>> {
    let n = numbers.len();
    let mut a = vec![vec![0.0; n]; n];
    for i in 0..n {
        let [sire, dam] = numbers[i];
        for j in 0..i {
            let of = |parent: Option<usize>| parent.map_or(0.0, |p| a[j][p]);
            let value = f64::midpoint(of(sire), of(dam));
            a[i][j] = value;
            a[j][i] = value;
        }
        a[i][i] = 1.0
            + if let (Some(sire), Some(dam)) = (sire, dam) {
                a[sire][dam] / 2.0
            } else {
                0.0
            };
    }
    a
}

/// All ways up from a dog to each ancestor, itself included.
fn ways(numbers: &Numbers, from: usize) -> Vec<Vec<usize>> {
    let mut all = vec![vec![from]];
    for parent in numbers[from].into_iter().flatten() {
        all.extend(ways(numbers, parent).into_iter().map(|mut way| {
            way.insert(0, from);
            way
        }));
    }
    all
}

/// Wright's paths, counted out: pairs of ways that share their last dog and no other.
fn paths(numbers: &Numbers, a: &[Vec<f64>], sire: usize, dam: usize) -> BTreeMap<usize, f64> {
    let mut contributions = BTreeMap::new();
    let from_dam = ways(numbers, dam);
    for one in ways(numbers, sire) {
        for other in from_dam.iter().filter(|other| other.last() == one.last()) {
            let ancestor = one[one.len() - 1];
            if one.iter().filter(|dog| other.contains(dog)).count() == 1 {
                let steps = i32::try_from(one.len() + other.len() - 1).unwrap();
                *contributions.entry(ancestor).or_default() +=
                    0.5_f64.powi(steps) * a[ancestor][ancestor];
            }
        }
    }
    contributions
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn the_fast_method_agrees_with_the_table_on_any_pedigree(numbers in pedigree(60)) {
        let a = tabular(&numbers);
        let (dogs, names) = named(&numbers);
        let ancestry = Ancestry::new(&dogs);
        let matrix = ancestry.relationships(&names).unwrap();
        for i in 0..names.len() {
            prop_assert!(close(
                ancestry.inbreeding(&names[i]).coefficient,
                a[i][i] - 1.0
            ));
            for j in 0..names.len() {
                prop_assert!(close(matrix[i][j], a[i][j]), "{} {}", i, j);
            }
            let j = (i * 7 + 3) % names.len();
            prop_assert!(close(
                ancestry.kinship(&names[i], &names[j]).unwrap(),
                a[i][j] / 2.0
            ));
            prop_assert!(close(
                ancestry.of_mating(&names[i], &names[j]).coefficient,
                a[i][j] / 2.0
            ));
        }
    }

    #[test]
    fn parents_always_stand_before_their_offspring(
        edges in proptest::collection::vec(
            [proptest::option::of(0..25_usize), proptest::option::of(0..25_usize)],
            25,
        ),
    ) {
        // Any graph, most of them with circles: a dog loses its parents when it is among its own
        // ancestors, and only then.
        let (dogs, names) = named(&edges);
        let ancestry = Ancestry::new(&dogs);
        for (i, name) in names.iter().enumerate() {
            let mut above = Vec::new();
            let mut waiting: Vec<usize> = edges[i].into_iter().flatten().collect();
            while let Some(dog) = waiting.pop() {
                if !above.contains(&dog) {
                    above.push(dog);
                    waiting.extend(edges[dog].into_iter().flatten());
                }
            }
            let row = ancestry.row(name).unwrap();
            let kept = ancestry.parents[row].map(|p| p.map(|p| ancestry.names[p].clone()));
            let written = edges[i].map(|p| p.map(|p| names[p].clone()));
            prop_assert_eq!(
                kept,
                if above.contains(&i) {
                    [None, None]
                } else {
                    written
                }
            );
            prop_assert!(ancestry.parents[row].into_iter().flatten().all(|p| p < row));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn contributions_are_wrights_paths_and_add_up_to_the_coefficient(numbers in pedigree(18)) {
        let a = tabular(&numbers);
        let (dogs, names) = named(&numbers);
        let ancestry = Ancestry::new(&dogs);
        for i in 0..names.len() {
            let j = (i * 5 + 1) % names.len();
            let common = ancestry.common_ancestors(&names[i], &names[j]);
            let expected = paths(&numbers, &a, i, j);
            prop_assert_eq!(common.len(), expected.len());
            for (ancestor, part) in expected {
                let found = common.iter().find(|c| c.dog == names[ancestor]).unwrap();
                prop_assert!(close(found.contribution, part));
                let shortest = |from: usize| {
                    ways(&numbers, from)
                        .iter()
                        .filter(|way| way.last() == Some(&ancestor))
                        .map(Vec::len)
                        .min()
                        .unwrap()
                        - 1
                };
                prop_assert_eq!(
                    (found.behind_sire as usize, found.behind_dam as usize),
                    (shortest(i), shortest(j))
                );
            }
            prop_assert!(close(
                common.iter().map(|c| c.contribution).sum(),
                a[i][j] / 2.0
            ));
            prop_assert!(
                common
                    .windows(2)
                    .all(|pair| pair[0].contribution >= pair[1].contribution)
            );
        }
    }
}

#[test]
fn nothing_found_is_said_from_two_complete_generations_on_and_what_was_found_always() {
    // Two parents and two of four grandparents, all different; then all four; then half siblings
    // with only their common parent known.
    let shallow = ancestry("s - -;d a b;a - -;b - -;x s d").inbreeding(&id("x"));
    assert_eq!(
        (
            shallow.coefficient,
            shallow.complete_generations,
            shallow.known()
        ),
        (0.0, 1.5, None)
    );
    let whole = ancestry("s e g;d a b;a - -;b - -;e - -;g - -;x s d").inbreeding(&id("x"));
    assert_eq!(
        (whole.complete_generations, whole.known()),
        (2.0, Some(0.0))
    );
    let half = ancestry("s a -;d a -;a - -;x s d").inbreeding(&id("x"));
    assert_eq!(
        (half.complete_generations, half.known()),
        (1.5, Some(0.125))
    );
    // What is not known is no match for what is known to be far.
    assert_eq!(whole.least_first(&half), std::cmp::Ordering::Less);
    assert_eq!(shallow.least_first(&half), std::cmp::Ordering::Greater);
}
