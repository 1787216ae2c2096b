//! Pure computation on records: ages, due windows, growth, birth figures, ancestry. No input or
//! output, no clock.
//!
//! In: checked [`Records`], which know today's date. Out: [`Figures`]. Every formula names its
//! source; thin data gives nothing rather than a number made up. No type here implements
//! `Serialize`: figures reach a page only through a view of `audience`.

// The floors below.
use litterfolio_cache as cache;
use litterfolio_quantity as quantity;
use litterfolio_records as records;

pub mod age;
pub mod birth;
pub mod birth_weight;
pub mod care;
pub mod clock_changes;
pub mod curves;
pub mod doubling;
pub mod feeding;
pub mod findings;
pub mod follow_up;
pub mod gestation;
pub mod growth;
pub mod kennel;
mod litters;
pub mod pedigree;
pub mod place;
pub mod prospect;
pub mod readiness;
pub mod recovery;
pub mod rounds;
pub mod rules;
pub mod seasons;
pub mod signs;
pub mod slips;
#[cfg(any(test, feature = "testing"))]
pub mod testing;
pub mod thresholds;
pub mod trend;
pub mod weaned;
pub mod weighing;

pub use litters::Litters;

use crate::cache::{Computed, Digest, Digester, Digests, Tracked, TrackedName};
use crate::quantity::{Day, Id, Weight};
use crate::records::dog::{Dog, Home, Sex};
use crate::records::{LitterFolder, Records};
use kennel::birth_weights::UsualRange;
use kennel::growth_bands::BandOfDay;
use litters::{BOOKS, PEDIGREE};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{LazyLock, OnceLock};

/// Name of the kennel's usual birth weights, for the cache.
static USUAL: LazyLock<TrackedName> =
    LazyLock::new(|| TrackedName::from("figures/usual-birth-weights"));

/// The same for the growth of past puppies.
static GROWTH: LazyLock<TrackedName> = LazyLock::new(|| TrackedName::from("figures/past-growth"));

/// The same for matings that could be planned.
const PAIRS: &str = "figures/pairs";

/// Everything computed from the records.
#[derive(Debug)]
pub struct Figures<'a> {
    /// The day all ages are counted to.
    pub today: Day,
    /// Figures of each litter.
    pub litters: Litters<'a>,
    /// Seasons of the living bitches that are here.
    pub bitches: seasons::Cycles<'a>,
    records: &'a Records,
    /// The growth of past puppies, where it was computed from the same records before.
    growth: Option<Vec<kennel::growth_bands::BandOfDay>>,
    dogs: Computed<BTreeMap<Id, pedigree::Inbreeding>>,
    pairs: OnceLock<Tracked<Vec<Pair>>>,
    kennel: OnceLock<Tracked<kennel::KennelFigures>>,
}

impl Figures<'_> {
    /// Inbreeding of each dog. Computed when it is asked for, like those below: most pages of the
    /// desk ask for none of them.
    #[must_use]
    pub fn dogs(&self) -> &BTreeMap<Id, pedigree::Inbreeding> {
        self.dogs.get_or_init(|| self.litters.inbreeding())
    }

    /// Matings that the kennel could plan, with the inbreeding of their puppies.
    #[must_use]
    pub fn pairs(&self) -> &[Pair] {
        self.pairs.get_or_init(|| {
            Tracked::computed(PAIRS, || pairs(self.records, self.litters.ancestry()))
        })
    }

    /// Figures of the whole kennel. They are computed on several threads: whoever makes pages on
    /// several asks for them before.
    #[must_use]
    pub fn kennel(&self) -> &kennel::KennelFigures {
        self.whole_kennel()
    }

    /// The kennel's usual birth weights.
    ///
    /// # Errors
    /// [`NotEnough`](kennel::numbers::NotEnough), while there are too few.
    pub fn usual_birth_weights(&self) -> Result<UsualRange, kennel::numbers::NotEnough> {
        *self.whole_kennel().part(&USUAL, |kennel| &kennel.usual)
    }

    /// The growth of the kennel's past puppies.
    #[must_use]
    pub fn past_growth(&self) -> &[BandOfDay] {
        self.whole_kennel()
            .part(&GROWTH, |kennel| kennel.growth.as_slice())
    }

    fn whole_kennel(&self) -> &Tracked<kennel::KennelFigures> {
        self.kennel.get_or_init(|| {
            // No name of its own: whoever reads all of them depends on everything they were
            // computed from.
            Tracked::computed("", || {
                kennel::of(self.records, &self.litters, self.growth.clone())
            })
        })
    }

    /// The digests of those figures by which it is known whether pages have changed.
    #[must_use]
    pub fn digests(&self) -> Digests {
        let kennel = self.kennel();
        let mut digests = Digests::default();
        digests.insert(BOOKS, self.litters.digest_of_books());
        digests.insert(PAIRS, digest_of_pairs(self.pairs()));
        digests.insert(PEDIGREE, pedigree::digest_of(&self.records.dogs));
        digests.insert(USUAL.clone(), kennel::digest_of_usual(&kennel.usual));
        digests.insert(GROWTH.clone(), kennel::digest_of_growth(&kennel.growth));
        digests
    }
}

/// A mating that could be planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// The dam.
    pub dam: Id,
    /// The sire.
    pub sire: Id,
    /// Inbreeding of their puppies, which is the kinship of the two.
    pub inbreeding: pedigree::Inbreeding,
    /// The closest relation that rules speak of.
    pub relation: Option<rules::Relation>,
}

/// What lies behind a mating.
#[derive(Debug, Clone)]
pub struct MatingAncestry {
    /// Ancestors on both sides, those that give most to the coefficient first.
    pub common: Vec<pedigree::kinship::CommonAncestor>,
    /// How many ancestors are known, generation by generation.
    pub depth: pedigree::depth::Depth,
    /// Tests for single recessive genes in both parents, and what may be expected.
    pub genes: Vec<pedigree::genes::GeneOfMating>,
}

/// A birth weight against littermates and breed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BirthWeight {
    /// How far under the mean of its littermates, %; negative above.
    pub under_littermates: Result<f64, NoMean>,
    /// Its class by the breed's published figures, where there are any.
    pub breed: Option<birth_weight::BreedClass>,
}

/// Why a birth weight is not held against those of the littermates.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoMean {
    /// Fewer than two of them were weighed.
    TooFew,
    /// A birth weight of the litter looks misread.
    Misread,
}

/// Figures of one litter.
#[derive(Debug, Clone)]
pub struct LitterFigures {
    /// When it is due, while it is expected.
    pub due: Option<gestation::Due>,
    /// The due windows of all anchors, the best first, while it is expected.
    pub windows: Vec<gestation::Due>,
    /// What is to be planned until birth, while it is expected.
    pub steps: Vec<gestation::PlanStep>,
    /// How well the rise of progesterone before mating is known.
    pub rise: gestation::rise::ProgesteroneSeries,
    /// The dam's temperatures before the birth.
    pub dam_before: gestation::temperature::DamTemperatures,
    /// The day on which the dam died, where she did.
    pub dam_died: Option<Day>,
    /// The earliest day on which the first of the puppies may leave.
    pub leaves_from: Option<Day>,
    /// Inbreeding of the puppies, computed from their parents.
    pub inbreeding: pedigree::Inbreeding,
    /// What lies behind the mating.
    pub ancestry: MatingAncestry,
    /// Tests of the parents whose certificates had run out at the mating.
    pub run_out: Vec<prospect::MissingTest>,
    /// Placentas against puppies.
    pub placentas: birth::Placentas,
    /// The delivery in the order of time.
    pub arrivals: Vec<birth::Arrival>,
    /// Figures of each puppy.
    pub puppies: BTreeMap<Id, PuppyFigures>,
    /// Places of the puppies among their littermates, once somebody has asked for them.
    pub places: OnceLock<BTreeMap<Id, Vec<place::PlaceInLitter>>>,
    /// The rules of the kennel's region and registries beside this litter.
    pub rules: Vec<rules::RuleBookFigures>,
    /// The dam's recovery, where the birth is not long past.
    pub recovery: Vec<recovery::RecoveryItem>,
    /// What the keeper should know, the most urgent first.
    pub findings: Vec<findings::Finding>,
    /// What will be known beside weights today and on the days after, for sheets that are away
    /// from the program; empty for a litter that is history.
    pub ahead: Vec<Ahead>,
}

/// One of the days to come, as far as it is known today.
#[derive(Debug, Clone)]
pub struct Ahead {
    /// The day.
    pub day: Day,
    /// Puppies that will be in their new homes.
    pub gone: BTreeSet<Id>,
    /// Findings about puppies that do not stand on their weights.
    pub findings: Vec<findings::Finding>,
}

/// Figures of one puppy.
#[derive(Debug, Clone)]
pub struct PuppyFigures {
    /// Its weights in the order of time, with changes.
    pub growth: growth::Growth,
    /// Its trend over the latest weights, when there are enough.
    pub trend: Option<trend::Trend>,
    /// Its birth weight against littermates and breed; nothing when it was not weighed.
    pub birth_weight: Option<BirthWeight>,
    /// The weight it is expected to have when it is grown, where that is known.
    pub adult_weight: Option<Weight>,
    /// Its vigour scores.
    pub vigour: Vec<birth::VigourTotal>,
    /// Checks of the newborn that nobody has made yet.
    pub not_looked_at: Vec<&'static str>,
    /// The care plan held against what was done; empty for a puppy that has died.
    pub care: care::Care,
    /// Its feeding by hand, where there was any.
    pub feeding: Option<feeding::Feeding>,
    /// Whether it is in its new home.
    pub is_gone: bool,
    /// Whether it was born dead: then it is no littermate that others are compared with.
    pub is_stillborn: bool,
    /// The earliest day on which it may leave.
    pub leaves_from: Option<Day>,
}

impl LitterFigures {
    /// The place of a puppy among its littermates, weigh-in by weigh-in. Computed when it is asked
    /// for: most litters are history.
    #[must_use]
    pub fn places(&self, puppy: &Id) -> &[place::PlaceInLitter] {
        let all = self.places.get_or_init(|| {
            let born_alive = self.puppies.iter().filter(|(_, own)| !own.is_stillborn);
            place::places(born_alive.map(|(id, own)| (id, &own.growth)))
        });
        all.get(puppy).map_or(&[], Vec::as_slice)
    }
}

impl PuppyFigures {
    /// When its birth weight doubled, or will. Computed when it is asked for.
    #[must_use]
    pub fn doubling(&self) -> Option<doubling::Doubling> {
        doubling::doubling(&self.growth.points, self.trend)
    }

    /// Its gain by adult weight from weaning on, when there are enough weights and an adult weight.
    /// Computed when it is asked for.
    #[must_use]
    pub fn weaned(&self) -> Option<weaned::WeanedGain> {
        weaned::latest(&self.growth.points, self.adult_weight)
    }
}

/// Computes the figures of a kennel; those of its litters follow when they are asked for.
#[must_use]
pub fn compute(records: &Records) -> Figures<'_> {
    compute_knowing(records, None)
}

/// The same, with the growth of past puppies as it was computed from the same records before.
#[must_use]
pub fn compute_knowing(
    records: &Records,
    growth: Option<Vec<kennel::growth_bands::BandOfDay>>,
) -> Figures<'_> {
    Figures {
        today: records.today,
        litters: Litters::of(records),
        bitches: seasons::of_kennel(records),
        records,
        growth,
        dogs: Computed::new(),
        pairs: OnceLock::new(),
        kennel: OnceLock::new(),
    }
}

/// Computes the figures of one litter alone.
#[must_use]
pub fn of_litter(records: &Records, folder: &LitterFolder) -> LitterFigures {
    litters::LitterInputs::new(records).litter(folder)
}

fn digest_of_pairs(pairs: &[Pair]) -> Digest {
    let mut all = Digester::default();
    for Pair {
        dam,
        sire,
        inbreeding,
        relation,
    } in pairs
    {
        let pedigree::Inbreeding {
            coefficient,
            deepest,
            complete_generations,
        } = inbreeding;
        let relation = rules::Relation::ALL
            .iter()
            .position(|one| Some(*one) == *relation)
            .map_or(0, |place| place + 1);
        all.part(dam.as_str().as_bytes())
            .part(sire.as_str().as_bytes())
            .part(&coefficient.to_le_bytes())
            .part(&deepest.to_le_bytes())
            .part(&complete_generations.to_le_bytes())
            .part(&relation.to_le_bytes());
    }
    all.finish()
}

/// The most dams and sires whose pairs are computed: a page has no room for more.
const MOST_IN_PAIRS: usize = 24;

/// Bitches of the kennel that may be bred from, with every such dog that is here or has sired a
/// litter here; the youngest, where there are many.
fn pairs(records: &Records, ancestry: &pedigree::Ancestry) -> Vec<Pair> {
    let sires: BTreeSet<&Id> = records.litters.values().map(|f| &f.litter.sire).collect();
    let living = |sex: Sex| {
        let mut dogs: Vec<(&Id, &Dog)> = records
            .dogs
            .iter()
            .filter(|(_, d)| d.sex == sex && d.can_breed() && d.born.is_some())
            .collect();
        dogs.retain(|(id, d)| d.home == Home::Here || sires.contains(id));
        dogs.sort_by_key(|(id, d)| (std::cmp::Reverse(d.born), *id));
        dogs.truncate(MOST_IN_PAIRS);
        dogs
    };
    let (dams, sires) = (living(Sex::Female), living(Sex::Male));
    let pair = |dam: &Id, sire: &Id| Pair {
        dam: dam.clone(),
        sire: sire.clone(),
        inbreeding: ancestry.of_mating(sire, dam),
        relation: rules::relation(&records.dogs, sire, dam),
    };
    dams.iter()
        .flat_map(|(dam, _)| sires.iter().map(|(sire, _)| pair(dam, sire)))
        .collect()
}
