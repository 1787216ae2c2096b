//! What lies behind a mating, in words: common ancestors, how much is known, tests for single
//! genes. And the matings that could be planned.
//!
//! In: computed ancestry. Out: [`AncestryShown`] for a litter, [`PairRow`]s for the page of dogs. A
//! coefficient never stands without the depth it rests on.

use super::BookContext;
use super::paths;
use crate::husbandry::pedigree::depth::{Depth, Generation};
use crate::husbandry::pedigree::genes::{ExpectedFractions, Forecast, GeneOfMating, TestStanding};
use crate::husbandry::pedigree::kinship::CommonAncestor;
use crate::husbandry::{MatingAncestry, Pair};
use crate::quantity::{Id, many};
use crate::shown::percent;
use serde::Serialize;

/// What lies behind a mating.
#[derive(Debug, Clone, Serialize)]
pub struct AncestryShown {
    /// Common ancestors: name, what each adds in %, and how far behind sire and dam.
    pub common: Vec<(String, String, String)>,
    /// For each generation: its number, known of possible places, different dogs, completeness so
    /// far in %.
    pub depth: Vec<(u32, String, usize, String)>,
    /// Different ancestors by known places, where any is known.
    pub loss: Option<String>,
    /// Tests for single genes.
    pub genes: Vec<GeneRow>,
}

/// One test in a mating.
#[derive(Debug, Clone, Serialize)]
pub struct GeneRow {
    /// The test.
    pub test: String,
    /// The sire's result.
    pub sire: &'static str,
    /// The dam's result.
    pub dam: &'static str,
    /// What may be expected.
    pub expected: String,
}

/// A mating that could be planned.
#[derive(Debug, Clone, Serialize)]
pub struct PairRow {
    /// The dam.
    pub dam: String,
    /// The sire.
    pub sire: String,
    /// Inbreeding of their puppies, %.
    pub inbreeding: String,
    /// Equivalent complete generations it rests on.
    pub generations: String,
    /// A close relation.
    pub relation: Option<&'static str>,
    /// Path of the mating sheet below the root of the book.
    pub path: String,
}

pub(super) fn shown(
    context: &BookContext<'_>,
    ancestry: &MatingAncestry,
    puppies: usize,
) -> AncestryShown {
    let MatingAncestry {
        common,
        depth,
        genes,
    } = ancestry;
    let Depth { generations } = depth;
    let last = generations
        .iter()
        .rev()
        .find(|g| g.known > 0)
        .map(|g| g.number);
    let loss = last.and_then(|last| depth.ancestor_loss(last).map(|loss| (last, loss)));
    AncestryShown {
        common: common
            .iter()
            .map(
                |CommonAncestor {
                     dog,
                     contribution,
                     inbreeding,
                     behind_sire,
                     behind_dam,
                 }| {
                    let own = if *inbreeding > 0.0 {
                        format!(", itself inbred {}", percent(*inbreeding))
                    } else {
                        String::new()
                    };
                    (
                        name(context, dog),
                        percent(*contribution),
                        format!("{behind_sire} behind the sire, {behind_dam} behind the dam{own}"),
                    )
                },
            )
            .collect(),
        depth: generations
            .iter()
            .filter(|g| g.number <= last.unwrap_or(1))
            .map(
                |Generation {
                     number,
                     possible,
                     known,
                     different,
                     different_so_far: _,
                 }| {
                    let complete = depth
                        .completeness(*number)
                        .map(|c| format!("{:.0} %", c * 100.0))
                        .unwrap_or_default();
                    (
                        *number,
                        format!("{known} of {possible}"),
                        *different,
                        complete,
                    )
                },
            )
            .collect(),
        loss: loss.map(|(last, loss)| {
            format!(
                "{:.0} % of the known places over {} are held by different dogs",
                loss * 100.0,
                many(last, "generation")
            )
        }),
        // An examination, or a result in words, is no gene; it stands among the dog's own facts.
        genes: genes
            .iter()
            .filter(|g| {
                g.sire.status().or(g.dam.status()).is_some() || g.forecast == Forecast::MerleToMerle
            })
            .map(|gene| gene_row(gene, puppies))
            .collect(),
    }
}

/// Pairs, the least related first, and those of which too little is known last.
pub(super) fn pairs(context: &BookContext<'_>) -> Vec<PairRow> {
    let mut pairs: Vec<&Pair> = context.figures.pairs().iter().collect();
    pairs.sort_by(|a, b| {
        a.dam
            .cmp(&b.dam)
            .then_with(|| a.inbreeding.least_first(&b.inbreeding))
    });
    pairs
        .into_iter()
        .map(
            |Pair {
                 dam,
                 sire,
                 inbreeding,
                 relation,
             }| PairRow {
                dam: name(context, dam),
                sire: name(context, sire),
                inbreeding: super::words::coefficient(inbreeding),
                generations: format!("{:.1}", inbreeding.complete_generations),
                relation: relation.map(|r| r.words()),
                path: format!("{}#with-{sire}", paths::bitch(dam)),
            },
        )
        .collect()
}

fn name(context: &BookContext<'_>, id: &Id) -> String {
    context
        .records
        .dogs
        .get(id)
        .map_or_else(|| id.to_string(), |dog| dog.name.to_string())
}

fn gene_row(gene: &GeneOfMating, puppies: usize) -> GeneRow {
    let GeneOfMating {
        test,
        sire,
        dam,
        forecast,
    } = gene;
    let expected = match forecast {
        Forecast::Fractions(outcome) => fractions(*outcome, puppies),
        Forecast::NoneAffected => "no puppy can be affected; any may be a carrier".to_owned(),
        Forecast::OtherNotTested => {
            "nothing can be said before the other parent is tested".to_owned()
        }
        Forecast::MerleToMerle => {
            "puppies with two copies of merle are often deaf or blind: not to be mated".to_owned()
        }
        Forecast::NotComputed(why) => format!("not computed: {why}"),
    };
    GeneRow {
        test: test.clone(),
        sire: standing(*sire),
        dam: standing(*dam),
        expected,
    }
}

fn fractions(outcome: ExpectedFractions, puppies: usize) -> String {
    let ExpectedFractions {
        clear,
        carrier,
        affected,
    } = outcome;
    let parts: Vec<String> = [
        (clear, "clear"),
        (carrier, "carriers"),
        (affected, "affected"),
    ]
    .into_iter()
    .filter(|(share, _)| *share > 0.0)
    .map(|(share, word)| {
        if share < 1.0 {
            format!("{:.0} % {word}", share * 100.0)
        } else {
            format!("all {word}")
        }
    })
    .collect();
    let none = if affected > 0.0 && affected < 1.0 {
        let puppies = u32::try_from(puppies.max(1)).unwrap_or(1);
        format!(
            "; the chance that none of {puppies} is affected is {:.0} %",
            outcome.chance_none_affected(puppies) * 100.0
        )
    } else {
        String::new()
    };
    format!("on average {}{none}", parts.join(", ")).replace("on average all", "all")
}

fn standing(standing: TestStanding) -> &'static str {
    match standing {
        TestStanding::NotTested => "not tested",
        TestStanding::Tested(status) => status.word(),
        TestStanding::ClearByParentage => "clear by parentage",
        TestStanding::ParentageNotShown => {
            "said to be clear by parentage; the parents’ tests are not in the records"
        }
        TestStanding::NotRead => "result not understood",
        TestStanding::Colour => "a coat colour",
        TestStanding::Merle => "merle",
    }
}
