//! One recessive gene in a mating: what the tests of both parents let the keeper expect.
//!
//! In: the screening results in dogs' files. Out: for each test of sire or dam the fractions of
//! clear, carrier and affected puppies by Mendel's rule, or why nothing is computed. The rule holds
//! for one recessive gene that is not on a sex chromosome. So a test counts only when the results
//! are words of such a test, and never when its name says that it is an examination of the body,
//! X-linked, dominant or a coat colour (`genes/names.rs`). What is printed must carry the condition
//! "if this is one recessive gene": the records do not say it.

mod merle;
mod names;

pub use names::same_test;

use crate::quantity::Id;
use crate::records::Dogs;
use crate::records::dog::{Dog, Screening, Sex};
use names::TestKind;
use std::collections::BTreeSet;

/// How many copies of the variant a dog has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CopyCount {
    /// None: it cannot pass the variant on.
    Clear,
    /// One: it passes the variant on to half of its puppies on average.
    Carrier,
    /// Two: it passes the variant on to all of its puppies.
    Affected,
}

impl CopyCount {
    /// The status in a word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Carrier => "carrier",
            Self::Affected => "affected",
        }
    }

    /// The chance that a puppy gets the variant from this parent.
    fn passes_on(self) -> f64 {
        match self {
            Self::Clear => 0.0,
            Self::Carrier => 0.5,
            Self::Affected => 1.0,
        }
    }
}

/// What a laboratory's words say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GeneResult {
    /// The status.
    pub status: CopyCount,
    /// Whether the dog was not tested itself, but is said to be clear because its parents are.
    pub by_parentage: bool,
}

/// Words of laboratories, in small letters. The list is short on purpose: `unaffected` may be a
/// carrier, `+/+` and `negative` mean different things in different places, and a laboratory's own
/// letters for a variant are not known here.
const WORDS: [(&str, CopyCount); 24] = [
    ("clear", CopyCount::Clear),
    ("normal", CopyCount::Clear),
    ("genetically clear", CopyCount::Clear),
    ("genetically normal", CopyCount::Clear),
    ("homozygous clear", CopyCount::Clear),
    ("homozygous normal", CopyCount::Clear),
    ("n/n", CopyCount::Clear),
    ("wt/wt", CopyCount::Clear),
    ("carrier", CopyCount::Carrier),
    ("genetic carrier", CopyCount::Carrier),
    ("heterozygous", CopyCount::Carrier),
    ("heterozygous carrier", CopyCount::Carrier),
    ("n/m", CopyCount::Carrier),
    ("n/mut", CopyCount::Carrier),
    ("wt/mut", CopyCount::Carrier),
    ("affected", CopyCount::Affected),
    ("genetically affected", CopyCount::Affected),
    ("homozygous affected", CopyCount::Affected),
    ("homozygous mutant", CopyCount::Affected),
    ("at risk", CopyCount::Affected),
    ("at-risk", CopyCount::Affected),
    ("at risk/affected", CopyCount::Affected),
    ("m/m", CopyCount::Affected),
    ("mut/mut", CopyCount::Affected),
];

/// Words for a dog that was not tested because both its parents are clear.
const PARENTAGE: [&str; 7] = [
    "clear by parentage",
    "normal by parentage",
    "clear by descent",
    "hereditary clear",
    "hereditarily clear",
    "by parentage",
    "by descent",
];

/// Reads a result. Words in brackets or after a comma must say the same (`clear (n/n)`); words that
/// are not on the list, or that disagree, give nothing.
#[must_use]
pub fn read(result: &str) -> Option<GeneResult> {
    let small = result.to_lowercase();
    let parts = small
        .split(['(', ')', '[', ']', ',', ';'])
        .map(|part| part.split_whitespace().collect::<Vec<_>>().join(" "));
    let mut reading: Option<GeneResult> = None;
    for part in parts.filter(|part| !part.is_empty()) {
        let by_parentage = PARENTAGE.contains(&part.as_str());
        let status = if by_parentage {
            CopyCount::Clear
        } else {
            WORDS.iter().find(|(word, _)| *word == part)?.1
        };
        match &mut reading {
            None => {
                reading = Some(GeneResult {
                    status,
                    by_parentage,
                });
            }
            Some(before) if before.status == status => before.by_parentage |= by_parentage,
            Some(_) => return None,
        }
    }
    reading
}

/// Reads a result with the letters of its own test: `N/DM` and `DM/DM` of `DM`.
fn read_of(test: &str, result: &str) -> Option<GeneResult> {
    let by_letters = || {
        let small = result.to_lowercase();
        let (one, other) = small.trim().split_once('/')?;
        let words = same_test(test);
        let copies = [one, other].map(|allele| match allele {
            "n" | "wt" => Some(0),
            letters => words.split(' ').any(|word| word == letters).then_some(1),
        });
        let status = match copies[0]? + copies[1]? {
            0 => CopyCount::Clear,
            1 => CopyCount::Carrier,
            _ => CopyCount::Affected,
        };
        Some(GeneResult {
            status,
            by_parentage: false,
        })
    };
    read(result).or_else(by_letters)
}

/// Expected fractions of the puppies of a mating; they add up to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExpectedFractions {
    /// Clear puppies: 0, ¼, ½ or 1.
    pub clear: f64,
    /// Carriers: 0, ½ or 1.
    pub carrier: f64,
    /// Affected puppies: 0, ¼, ½ or 1.
    pub affected: f64,
}

/// Mendel's rule for one recessive gene (Mendel 1866). All fractions are exact quarters.
#[must_use]
pub fn outcome(sire: CopyCount, dam: CopyCount) -> ExpectedFractions {
    let (from_sire, from_dam) = (sire.passes_on(), dam.passes_on());
    let (clear, affected) = ((1.0 - from_sire) * (1.0 - from_dam), from_sire * from_dam);
    ExpectedFractions {
        clear,
        carrier: 1.0 - clear - affected,
        affected,
    }
}

impl ExpectedFractions {
    /// The chance, 0 to 1, that none of so many puppies is affected: each is drawn anew, whatever
    /// its littermates got.
    #[must_use]
    pub fn chance_none_affected(self, puppies: u32) -> f64 {
        (1.0 - self.affected).powi(i32::try_from(puppies).unwrap_or(i32::MAX))
    }
}

/// What the records say of one dog and one test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TestStanding {
    /// There is no such test in its file.
    NotTested,
    /// Tested itself.
    Tested(CopyCount),
    /// Clear by parentage, and the records hold a clear test of both its parents.
    ClearByParentage,
    /// Said to be clear by parentage, but the records do not hold a clear test of both its parents.
    /// Counts as not tested.
    ParentageNotShown,
    /// The result is none of the known words, or results of one day disagree.
    NotRead,
    /// A locus of coat colour: its letters say nothing of a disease.
    Colour,
    /// Merle, by its colour or the test of its M locus.
    Merle,
}

impl TestStanding {
    /// The status, where there is one that counts.
    #[must_use]
    pub fn status(self) -> Option<CopyCount> {
        match self {
            Self::Tested(status) => Some(status),
            Self::ClearByParentage => Some(CopyCount::Clear),
            Self::NotTested
            | Self::ParentageNotShown
            | Self::NotRead
            | Self::Colour
            | Self::Merle => None,
        }
    }
}

/// What may be expected of the puppies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Forecast {
    /// Both parents have a status.
    Fractions(ExpectedFractions),
    /// One parent is clear and of the other nothing is known: no puppy can be affected, but any may
    /// be a carrier.
    NoneAffected,
    /// One parent is a carrier or affected and of the other nothing is known: nothing can be said
    /// before that one is tested.
    OtherNotTested,
    /// Both parents are merle: puppies with two copies are often deaf or blind.
    MerleToMerle,
    /// Nothing is computed, for the reason given.
    NotComputed(&'static str),
}

/// One test in a mating.
#[derive(Debug, Clone, PartialEq)]
pub struct GeneOfMating {
    /// The test, as the first of the two files writes it, the sire's before the dam's.
    pub test: String,
    /// The sire's result.
    pub sire: TestStanding,
    /// The dam's result.
    pub dam: TestStanding,
    /// What may be expected.
    pub forecast: Forecast,
}

/// All tests of sire or dam, in the order of their names (`same_test` tells which names are one
/// test); before them whether both are merle. A parent without a file is one without tests.
#[must_use]
pub fn of_mating(dogs: &Dogs, sire: &Id, dam: &Id) -> Vec<GeneOfMating> {
    let tests = |dog: &Id| {
        dogs.get(dog).into_iter().flat_map(|dog| {
            dog.screening
                .iter()
                .map(|s| (same_test(&s.test), s.test.as_str()))
        })
    };
    let mut seen = BTreeSet::new();
    let mut genes: Vec<(String, GeneOfMating)> = tests(sire)
        .chain(tests(dam))
        .filter(|(key, _)| seen.insert(key.clone()))
        .map(|(key, test)| {
            let (sire, dam) = (standing(dogs, sire, &key), standing(dogs, dam, &key));
            let forecast = forecast(test, sire, dam);
            (
                key,
                GeneOfMating {
                    test: test.to_owned(),
                    sire,
                    dam,
                    forecast,
                },
            )
        })
        .collect();
    genes.sort_by_cached_key(|(key, gene)| (place_in_list(&gene.test), key.clone()));
    let is_merle = |dog: &Id| dogs.get(dog).is_some_and(merle::is_merle);
    let merle = (is_merle(sire) && is_merle(dam)).then(|| GeneOfMating {
        test: "merle".to_owned(),
        sire: TestStanding::Merle,
        dam: TestStanding::Merle,
        forecast: Forecast::MerleToMerle,
    });
    merle
        .into_iter()
        .chain(genes.into_iter().map(|(_, gene)| gene))
        .collect()
}

/// The standing of a dog in a test. Clear by parentage counts only while sire and dam of the dog
/// have themselves been tested clear: one generation, no more.
fn standing(dogs: &Dogs, dog: &Id, key: &str) -> TestStanding {
    let Some(dog) = dogs.get(dog) else {
        return TestStanding::NotTested;
    };
    let mut own = dog.screening.iter().filter(|s| same_test(&s.test) == key);
    match own.next().map(|s| names::kind(&s.test)) {
        Some(TestKind::Colour) => return TestStanding::Colour,
        // A heart that sounds normal is clear of nothing.
        Some(TestKind::Examination) => return TestStanding::NotRead,
        _ => {}
    }
    match latest(dog, key) {
        None => TestStanding::NotTested,
        Some(None) => TestStanding::NotRead,
        Some(Some(GeneResult {
            status,
            by_parentage: false,
        })) => TestStanding::Tested(status),
        Some(Some(_)) => {
            let tested_clear = |parent: &Option<Id>| {
                let reading = parent
                    .as_ref()
                    .and_then(|p| dogs.get(p))
                    .and_then(|p| latest(p, key))
                    .flatten();
                reading
                    == Some(GeneResult {
                        status: CopyCount::Clear,
                        by_parentage: false,
                    })
            };
            if tested_clear(&dog.sire) && tested_clear(&dog.dam) {
                TestStanding::ClearByParentage
            } else {
                TestStanding::ParentageNotShown
            }
        }
    }
}

/// The latest result of a test: nothing without one, an inner nothing when it cannot be read. A
/// test of the dog itself comes before its parentage, a dated result before one without a date.
/// Among results of one day all must agree.
#[expect(
    clippy::option_option,
    reason = "not tested and not readable are two things"
)]
fn latest(dog: &Dog, key: &str) -> Option<Option<GeneResult>> {
    let results = dog.screening.iter().filter(|s| same_test(&s.test) == key);
    let rank = |s: &Screening, reading: Option<GeneResult>| {
        (!reading.is_some_and(|r| r.by_parentage), s.on)
    };
    let read: Vec<_> = results
        .map(|s| (read_of(&s.test, &s.result), s))
        .map(|(reading, s)| (rank(s, reading), reading))
        .collect();
    let best = read.iter().map(|(rank, _)| *rank).max()?;
    let mut readings = read
        .iter()
        .filter(|(rank, _)| *rank == best)
        .map(|(_, reading)| *reading);
    let first = readings.next()?;
    Some(first.filter(|_| readings.all(|other| other == first)))
}

fn forecast(test: &str, sire: TestStanding, dam: TestStanding) -> Forecast {
    if let Some(reason) = names::kind(test).why_not_recessive() {
        return Forecast::NotComputed(reason);
    }
    if [sire, dam].contains(&TestStanding::NotRead) {
        return Forecast::NotComputed("a result is not a word for clear, carrier or affected");
    }
    match (sire.status(), dam.status()) {
        (Some(sire), Some(dam)) => Forecast::Fractions(outcome(sire, dam)),
        (Some(CopyCount::Clear), None) | (None, Some(CopyCount::Clear)) => Forecast::NoneAffected,
        (Some(_), None) | (None, Some(_)) => Forecast::OtherNotTested,
        (None, None) => Forecast::NotComputed("neither parent has a result that counts"),
    }
}

/// What in the tests of one gene may reach the puppies, where its fractions cannot be given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OpenRisk {
    /// The parent that has the variant.
    pub of: Sex,
    /// How many copies of it.
    pub status: CopyCount,
    /// Whether the other parent has no result that counts.
    pub other_untested: bool,
}

impl GeneOfMating {
    /// A parent that carries what the puppies may have from it, where nothing is computed: the
    /// other one has no result that counts, or one parent alone is enough. Of two the worse is
    /// told.
    #[must_use]
    pub fn open_risk(&self) -> Option<OpenRisk> {
        use TestKind::{Colour, Examination, NotSimple, Recessive, XLinked};
        let kind = names::kind(&self.test);
        if matches!(kind, Examination | Colour) {
            return None;
        }
        let both = [
            (Sex::Female, self.dam, self.sire),
            (Sex::Male, self.sire, self.dam),
        ];
        let risk = |(of, own, other): (Sex, TestStanding, TestStanding)| {
            let status = own.status().filter(|status| *status > CopyCount::Clear)?;
            let other_untested = other.status().is_none();
            // Of a gene on the X chromosome a son has the dam's copy whatever his sire has.
            let alone = match kind {
                XLinked => of == Sex::Female,
                NotSimple => status == CopyCount::Affected,
                Recessive | Examination | Colour => false,
            };
            (other_untested || alone).then_some(OpenRisk {
                of,
                status,
                other_untested,
            })
        };
        both.into_iter()
            .filter_map(risk)
            .max_by_key(|risk| risk.status)
    }
}

/// A name as it stands in a list, whatever its capitals, spaces and hyphens.
pub(crate) fn place_in_list(test: &str) -> String {
    test.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::CopyCount::{Affected, Carrier, Clear};
    use super::*;
    use crate::testing::each;

    /// Dogs from `name: the rest of its file` by line.
    fn dogs(files: &[(&str, &str)]) -> Dogs {
        files
            .iter()
            .map(|(id, file)| {
                (
                    id.parse().unwrap(),
                    serde_yaml::from_str(&format!("name: {id}\nsex: male\n{file}")).unwrap(),
                )
            })
            .collect()
    }

    /// The forecasts of a mating of `s` and `d`, whose screening lists are given.
    fn mating(sire: &str, dam: &str) -> Vec<GeneOfMating> {
        let dogs = dogs(&[
            ("s", &format!("screening: [{sire}]")),
            ("d", &format!("screening: [{dam}]")),
        ]);
        of_mating(&dogs, &"s".parse().unwrap(), &"d".parse().unwrap())
    }

    #[test]
    fn mendels_table() {
        // Mendel 1866 for one recessive gene; each row and its mirror.
        let table = [
            (Clear, Clear, [1.0, 0.0, 0.0]),
            (Clear, Carrier, [0.5, 0.5, 0.0]),
            (Clear, Affected, [0.0, 1.0, 0.0]),
            (Carrier, Carrier, [0.25, 0.5, 0.25]),
            (Carrier, Affected, [0.0, 0.5, 0.5]),
            (Affected, Affected, [0.0, 0.0, 1.0]),
        ];
        for (sire, dam, [clear, carrier, affected]) in table {
            assert_eq!(
                outcome(sire, dam),
                ExpectedFractions {
                    clear,
                    carrier,
                    affected
                }
            );
            assert_eq!(
                outcome(dam, sire),
                ExpectedFractions {
                    clear,
                    carrier,
                    affected
                }
            );
        }
    }

    #[test]
    fn the_table_is_what_a_count_over_all_pairs_of_genes_gives() {
        let genes = |status| match status {
            Clear => [0, 0],
            Carrier => [0, 1],
            Affected => [1, 1],
        };
        for sire in [Clear, Carrier, Affected] {
            for dam in [Clear, Carrier, Affected] {
                let copies: Vec<i32> = genes(sire)
                    .into_iter()
                    .flat_map(|s| genes(dam).map(|d| s + d))
                    .collect();
                let quarter = |copy: i32| {
                    copies
                        .iter()
                        .filter(|c| **c == copy)
                        .map(|_| 0.25)
                        .sum::<f64>()
                        + 0.0
                };
                assert_eq!(
                    outcome(sire, dam),
                    ExpectedFractions {
                        clear: quarter(0),
                        carrier: quarter(1),
                        affected: quarter(2)
                    }
                );
            }
        }
    }

    #[test]
    fn six_puppies_of_two_carriers_are_all_unaffected_in_under_a_fifth_of_litters() {
        // 0.75 to the power of 6 is 0.178.
        let of_carriers = outcome(Carrier, Carrier);
        assert!((of_carriers.chance_none_affected(6) - 0.177_978_515_625).abs() < 1e-15);
        assert!((of_carriers.chance_none_affected(0) - 1.0).abs() < 1e-15);
        assert!(outcome(Affected, Affected).chance_none_affected(1).abs() < 1e-15);
        assert!((outcome(Clear, Affected).chance_none_affected(u32::MAX) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn words_of_laboratories_are_read_and_others_are_not() {
        let tested = |status| {
            Some(GeneResult {
                status,
                by_parentage: false,
            })
        };
        for word in [
            "clear",
            "Clear",
            " CLEAR (N/N)",
            "normal",
            "n/n",
            "Homozygous  normal",
            "N/N, clear",
        ] {
            assert_eq!(read(word), tested(Clear), "{word}");
        }
        for word in ["carrier", "Carrier (N/M)", "heterozygous"] {
            assert_eq!(read(word), tested(Carrier), "{word}");
        }
        for word in ["affected", "at risk", "At Risk (M/M)"] {
            assert_eq!(read(word), tested(Affected), "{word}");
        }
        for word in [
            "clear by parentage",
            "Hereditary clear",
            "clear (by parentage)",
        ] {
            assert_eq!(
                read(word),
                Some(GeneResult {
                    status: Clear,
                    by_parentage: true
                }),
                "{word}"
            );
        }
        for word in [
            "",
            "()",
            "grade 0 both sides",
            "0:0",
            "unaffected",
            "+/+",
            "negative",
            "carrier by parentage",
            "clear (carrier)",
            "not clear",
            "clear, left eye",
        ] {
            assert_eq!(read(word), None, "{word}");
        }
    }

    #[test]
    fn tests_are_matched_by_name_and_read_by_their_latest_result() {
        let genes = mating(
            "{ test: prcd-PRA, result: carrier, on: 2024-05-01 }, { test: PRCD PRA, result: \
             clear, on: 2023-01-01 }, { test: prcd pra, result: affected }",
            "{ test: Prcd - pra, result: N/M }",
        );
        assert_eq!(genes.len(), 1);
        assert_eq!(
            (genes[0].test.as_str(), genes[0].sire, genes[0].dam),
            (
                "prcd-PRA",
                TestStanding::Tested(Carrier),
                TestStanding::Tested(Carrier)
            )
        );
        assert_eq!(
            genes[0].forecast,
            Forecast::Fractions(outcome(Carrier, Carrier))
        );
    }

    #[test]
    fn one_tested_parent_says_what_it_can() {
        let forecast = |sire: &str, dam: &str| mating(sire, dam)[0].forecast;
        each! {
            forecast("{ test: t, result: clear }", "") => Forecast::NoneAffected;
            forecast("", "{ test: t, result: clear }") => Forecast::NoneAffected;
            forecast("{ test: t, result: carrier }", "") => Forecast::OtherNotTested;
            forecast("", "{ test: t, result: affected }") => Forecast::OtherNotTested;
        }
        assert!(mating("", "").is_empty());
    }

    #[test]
    fn whatever_is_not_one_recessive_gene_is_not_computed() {
        let both = |test: &str, result: &str| {
            mating(
                &format!("{{ test: {test}, result: {result} }}"),
                &format!("{{ test: {test}, result: {result} }}"),
            )[0]
            .forecast
        };
        for (test, result) in [
            ("patella", "grade 0"),
            ("Heart (auscultation)", "normal"),
            ("Eyes", "clear"),
            ("X-linked PRA", "clear"),
            ("XL-PRA", "clear"),
            ("Merle", "m/m"),
            ("D locus", "n/n"),
            ("CMO", "carrier"),
            ("von Willebrand type III", "pending"),
        ] {
            assert!(
                matches!(both(test, result), Forecast::NotComputed(_)),
                "{test}: {result}"
            );
        }
        assert_eq!(
            both("Collie eye anomaly", "clear"),
            Forecast::Fractions(outcome(Clear, Clear))
        );
        assert_eq!(
            both("von Willebrand type III", "clear"),
            Forecast::Fractions(outcome(Clear, Clear))
        );
    }

    #[test]
    fn a_parent_that_has_the_variant_and_another_without_a_result_are_an_open_risk() {
        // Mendel 1866: of a carrier and an unknown up to half of the puppies may be affected.
        let risk = |sire: &str, dam: &str| mating(sire, dam)[0].open_risk();
        let of = |of, status| {
            Some(OpenRisk {
                of,
                status,
                other_untested: true,
            })
        };
        let dm = |result: &str| format!("{{ test: DM, result: {result} }}");
        assert_eq!(risk("", &dm("affected")), of(Sex::Female, Affected));
        assert_eq!(risk(&dm("carrier"), ""), of(Sex::Male, Carrier));
        assert_eq!(risk(&dm("N/DM"), &dm("pending")), of(Sex::Male, Carrier));
        assert_eq!(risk("", &dm("DM/DM")), of(Sex::Female, Affected));
        assert_eq!(risk(&dm("carrier"), &dm("clear")), None);
        assert_eq!(
            risk(&dm("carrier"), &dm("by parentage")),
            of(Sex::Male, Carrier)
        );
        assert_eq!(risk("", &dm("clear")), None);
        assert_eq!(risk("", "{ test: M locus, result: M/m }"), None);
        assert_eq!(risk("", "{ test: DCM Holter, result: affected }"), None);
        // A son has his only X from his dam.
        let x = risk(
            "{ test: XL-PRA, result: clear }",
            "{ test: XL-PRA, result: carrier }",
        );
        assert_eq!(
            x,
            Some(OpenRisk {
                of: Sex::Female,
                status: Carrier,
                other_untested: false
            })
        );
    }

    #[test]
    fn one_gene_under_two_names_is_one_and_an_examination_is_none() {
        let genes = mating(
            "{ test: PRA (prcd), result: carrier }, { test: DCM Holter, result: normal }",
            "{ test: prcd-PRA, result: carrier }",
        );
        let [holter, pra] = &genes[..] else {
            panic!("{genes:?}")
        };
        assert!(
            matches!(holter.forecast, Forecast::NotComputed(_)),
            "{holter:?}"
        );
        assert_eq!(pra.forecast, Forecast::Fractions(outcome(Carrier, Carrier)));
    }

    #[test]
    fn two_merle_parents_are_told_and_a_colour_is_never_affected() {
        let both = "{ test: M locus, result: M/m }";
        let genes = mating(both, both);
        let [merle, locus] = &genes[..] else {
            panic!("{genes:?}")
        };
        assert_eq!(merle.forecast, Forecast::MerleToMerle);
        assert_eq!(
            (locus.sire, locus.dam),
            (TestStanding::Colour, TestStanding::Colour)
        );
        assert_eq!(mating(both, "{ test: M locus, result: m/m }").len(), 1);
    }

    #[test]
    fn two_results_of_one_day_that_disagree_are_no_result() {
        let genes = mating(
            "{ test: t, result: clear, on: 2024-05-01 }, { test: t, result: carrier, on: \
             2024-05-01 }",
            "{ test: t, result: clear }",
        );
        assert_eq!(genes[0].sire, TestStanding::NotRead);
        assert!(matches!(genes[0].forecast, Forecast::NotComputed(_)));
        let agree = mating(
            "{ test: t, result: clear, on: 2024-05-01 }, { test: t, result: n/n, on: 2024-05-01 }",
            "",
        );
        assert_eq!(agree[0].sire, TestStanding::Tested(Clear));
    }

    #[test]
    fn clear_by_parentage_counts_only_while_both_parents_are_tested_clear() {
        let family = |sire: &str, dam: &str| {
            dogs(&[
                ("g", &format!("screening: [{{ test: t, result: {sire} }}]")),
                ("h", &format!("screening: [{{ test: t, result: {dam} }}]")),
                (
                    "s",
                    "sire: g\ndam: h\nscreening: [{ test: t, result: clear by parentage }]",
                ),
                ("d", "screening: [{ test: t, result: carrier }]"),
            ])
        };
        let (s, d): (Id, Id) = ("s".parse().unwrap(), "d".parse().unwrap());
        let shown = family("clear", "normal");
        assert_eq!(
            standing(&shown, &s, &same_test("T")),
            TestStanding::ClearByParentage
        );
        assert_eq!(
            of_mating(&shown, &s, &d)[0].forecast,
            Forecast::Fractions(outcome(Clear, Carrier))
        );
        for (sire, dam) in [
            ("clear", "carrier"),
            ("clear", "clear by parentage"),
            ("pending", "clear"),
        ] {
            let not_shown = family(sire, dam);
            assert_eq!(
                standing(&not_shown, &s, "t"),
                TestStanding::ParentageNotShown,
                "{sire} {dam}"
            );
            assert_eq!(
                of_mating(&not_shown, &s, &d)[0].forecast,
                Forecast::OtherNotTested
            );
        }
    }

    #[test]
    fn a_test_of_the_dog_itself_comes_before_its_parentage() {
        let genes = mating(
            "{ test: t, result: carrier, on: 2020-01-01 }, { test: t, result: clear by parentage, \
             on: 2024-01-01 }",
            "",
        );
        assert_eq!(genes[0].sire, TestStanding::Tested(Carrier));
    }
}
