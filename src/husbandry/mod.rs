//! Pure computation on records: ages, due windows, growth, birth figures, ancestry. No input or output, no clock.
//!
//! In: checked [`Records`], which know today's date. Out: [`Figures`]. Every formula names its source; thin data gives nothing rather than a number made up. No type here
//! implements `Serialize`: figures reach a page only through a view of `audience`.

pub mod age;
pub mod birth;
pub mod birth_weight;
pub mod care;
pub mod clock_changes;
pub mod curves;
pub mod doubling;
pub mod findings;
pub mod gestation;
pub mod growth;
pub mod kennel;
pub mod pedigree;
pub mod place;
pub mod readiness;
pub mod rounds;
pub mod rules;
pub mod slips;
pub mod thresholds;
pub mod trend;
pub mod weaned;
pub mod weighing;

use crate::quantity::{Day, Id, Span, Weight};
use crate::records::dog::{Dog, Home, Sex};
use crate::records::kennel::Units;
use crate::records::litter::{Offer, Puppy};
use crate::records::owners::Homes;
use crate::records::{LitterFolder, Records};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, OnceLock};

/// Everything computed from the records.
#[derive(Debug, Clone)]
pub struct Figures {
    /// The day all ages are counted to.
    pub today: Day,
    /// Figures of each litter.
    pub litters: BTreeMap<Id, LitterFigures>,
    /// Inbreeding of each dog.
    pub dogs: BTreeMap<Id, pedigree::Inbreeding>,
    /// Matings that the kennel could plan, with the inbreeding of their puppies.
    pub pairs: Vec<Pair>,
    /// Figures of the whole kennel.
    pub kennel: kennel::KennelFigures,
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
    /// How far under the mean of its littermates, %; negative above. Nothing with fewer than two littermates weighed.
    pub under_littermates: Option<f64>,
    /// Its class by the breed's published figures, where there are any.
    pub breed: Option<birth_weight::BreedClass>,
}

/// Figures of one litter.
#[derive(Debug, Clone)]
pub struct LitterFigures {
    /// When it is due, while it is expected.
    pub due: Option<gestation::Due>,
    /// The due windows of all anchors, the best first, while it is expected.
    pub windows: Vec<gestation::Due>,
    /// What is to be planned until birth, while it is expected.
    pub steps: Vec<gestation::Step>,
    /// The earliest day on which a puppy may leave.
    pub leaves_from: Option<Day>,
    /// Inbreeding of the puppies, computed from their parents.
    pub inbreeding: pedigree::Inbreeding,
    /// What lies behind the mating.
    pub ancestry: MatingAncestry,
    /// Placentas against puppies.
    pub placentas: birth::Placentas,
    /// The delivery in the order of time.
    pub arrivals: Vec<birth::Arrival>,
    /// Figures of each puppy.
    pub puppies: BTreeMap<Id, PuppyFigures>,
    /// Places of the puppies among their littermates, once somebody has asked for them.
    pub places: OnceLock<BTreeMap<Id, Vec<place::Place>>>,
    /// The rules of the kennel's region and registries beside this litter.
    pub rules: Vec<rules::BookFigures>,
    /// What the keeper should know, the most urgent first.
    pub findings: Vec<findings::Finding>,
    /// What will be known beside weights today and on the days after, for sheets that are away from the program; empty for a litter that is history.
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

/// For how many days, today among them, it is said what will be known.
const DAYS_AHEAD: i64 = 14;

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
    /// Whether it is in its new home.
    pub is_gone: bool,
}

impl LitterFigures {
    /// The place of a puppy among its littermates, weigh-in by weigh-in. Computed when it is asked for: most litters are history.
    #[must_use]
    pub fn places(&self, puppy: &Id) -> &[place::Place] {
        let all = self.places.get_or_init(|| place::places(self.puppies.iter().map(|(id, own)| (id, &own.growth))));
        all.get(puppy).map_or(&[], Vec::as_slice)
    }
}

impl PuppyFigures {
    /// When its birth weight doubled, or will. Computed when it is asked for.
    #[must_use]
    pub fn doubling(&self) -> Option<doubling::Doubling> {
        doubling::doubling(&self.growth.points, self.trend)
    }

    /// Its gain by adult weight from weaning on, when there are enough weights and an adult weight. Computed when it is asked for.
    #[must_use]
    pub fn weaned(&self) -> Option<weaned::WeanedGain> {
        weaned::latest(&self.growth.points, self.adult_weight)
    }
}

/// Computes all figures.
#[must_use]
pub fn compute(records: &Records) -> Figures {
    let (litters, dogs, pairs, kennel) = at_desk(records, |desk| {
        let litters: BTreeMap<Id, LitterFigures> = records.litters.par_iter().map(|(id, folder)| (id.clone(), desk.litter(folder))).collect();
        let dogs = records.dogs.keys().map(|id| (id.clone(), desk.ancestry.inbreeding(id))).collect();
        let kennel = kennel::of(records, desk.homes, &litters);
        (litters, dogs, pairs(records, desk.ancestry), kennel)
    });
    Figures { today: records.today, dogs, pairs, kennel, litters }
}

/// Computes the figures of one litter alone.
#[must_use]
pub fn of_litter(records: &Records, folder: &LitterFolder) -> LitterFigures {
    at_desk(records, |desk| desk.litter(folder))
}

/// Prepares what the figures of every litter are computed with.
fn at_desk<T>(records: &Records, work: impl FnOnce(&Desk<'_>) -> T) -> T {
    let ancestry = pedigree::Ancestry::new(&records.dogs);
    let plan = care::items(&records.care_plan);
    let books = rules::books(records);
    let leaving_age = age::leaving_age(records.kennel.leaving_age, rules::leaving_age(&records.kennel));
    let homes = records.owners.homes();
    let limits = thresholds::thresholds(&records.care_plan.thresholds);
    work(&Desk { records, ancestry: &ancestry, plan: &plan, books: &books, homes: &homes, leaving_age, limits })
}

/// The most dams and sires whose pairs are computed: a page has no room for more.
const MOST_IN_PAIRS: usize = 24;

/// Living bitches of the kennel with every living dog that is here or has sired a litter here; the youngest, where there are many.
fn pairs(records: &Records, ancestry: &pedigree::Ancestry) -> Vec<Pair> {
    let sires: BTreeSet<&Id> = records.litters.values().map(|f| &f.litter.sire).collect();
    let living = |sex: Sex| {
        let mut dogs: Vec<(&Id, &Dog)> = records.dogs.iter().filter(|(_, d)| d.sex == sex && d.died.is_none() && d.born.is_some()).collect();
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
    dams.iter().flat_map(|(dam, _)| sires.iter().map(|(sire, _)| pair(dam, sire))).collect()
}

/// Beyond the life of any dog.
const NEVER: Day = Day::LAST;

/// Generations of ancestors that are counted behind a mating.
const GENERATIONS: u32 = 6;

/// What the figures of every litter are computed with.
struct Desk<'a> {
    records: &'a Records,
    ancestry: &'a pedigree::Ancestry,
    plan: &'a [Arc<care::Item>],
    books: &'a [&'static rules::RuleBook],
    homes: &'a Homes<'a>,
    leaving_age: Span,
    limits: thresholds::Thresholds,
}

impl Desk<'_> {
    fn litter(&self, folder: &LitterFolder) -> LitterFigures {
        let records = self.records;
        let litter = &folder.litter;
        let birth = litter.birth.as_ref();
        let dam_weight = records.dogs.get(&litter.dam).and_then(|dam| dam.adult_weight);
        let expected = birth.is_none() && !litter.came_to_nothing();
        let windows = if expected { gestation::windows(litter, dam_weight) } else { Vec::new() };
        let due = windows.first().copied();
        let mut growth = growth::of_litter(folder, records.kennel.time_zone.0);
        let mut figures = LitterFigures {
            due,
            windows,
            steps: due.as_ref().map(gestation::steps).unwrap_or_default(),
            leaves_from: birth.map(|b| age::leaves_from(b.on, self.leaving_age)),
            inbreeding: self.ancestry.of_mating(&litter.sire, &litter.dam),
            ancestry: MatingAncestry {
                common: self.ancestry.common_ancestors(&litter.sire, &litter.dam),
                depth: self.ancestry.depth_of_mating(&litter.sire, &litter.dam, GENERATIONS),
                genes: pedigree::genes::of_mating(&records.dogs, &litter.sire, &litter.dam),
            },
            placentas: birth::placentas(litter),
            arrivals: birth::arrivals(litter, records.kennel.time_zone.0),
            puppies: litter.puppies.iter().filter_map(|p| Some((p.id.clone(), self.puppy(folder, growth.remove(&p.id)?, p)))).collect(),
            places: OnceLock::new(),
            rules: rules::of_litter(records, self.homes, self.books, folder, due, self.leaving_age),
            findings: Vec::new(),
            ahead: Vec::new(),
        };
        figures.findings = findings::of_litter(folder, &figures, &self.limits, records.today, records.kennel.units == Units::Ounces);
        if birth.is_some_and(|birth| records.today.since(birth.on) <= findings::HISTORY) {
            figures.ahead = self.ahead(folder, figures.clone());
        }
        figures
    }

    /// The days to come: what was done stays as it is, and only the calendar goes on.
    fn ahead(&self, folder: &LitterFolder, mut figures: LitterFigures) -> Vec<Ahead> {
        let mut days = Vec::new();
        for day in (0..DAYS_AHEAD).map(|days| self.records.today.plus(days)) {
            for puppy in &folder.litter.puppies {
                let Some(own) = figures.puppies.get_mut(&puppy.id) else { continue };
                own.is_gone = self.is_gone(folder, puppy, day);
                own.care = self.care(folder, puppy, own.is_gone, day).unwrap_or_default();
            }
            let findings = findings::beside_weights(folder, &figures, &self.limits, day, self.records.kennel.units == Units::Ounces);
            let gone = figures.puppies.iter().filter(|(_, own)| own.is_gone).map(|(id, _)| id.clone()).collect();
            days.push(Ahead { day, gone, findings });
        }
        days
    }

    fn puppy(&self, folder: &LitterFolder, growth: growth::Growth, puppy: &Puppy) -> PuppyFigures {
        let records = self.records;
        let adult = folder.litter.adult_weight.or_else(|| records.dogs.get(&folder.litter.dam)?.adult_weight);
        let trend = trend::latest(&growth.points);
        let is_gone = self.is_gone(folder, puppy, records.today);
        PuppyFigures {
            trend,
            birth_weight: puppy.weight.map(|weight| self.birth_weight(folder, puppy, weight.grams())),
            adult_weight: adult,
            vigour: puppy.vigour.iter().map(birth::vigour).collect(),
            not_looked_at: birth::not_looked_at(puppy),
            care: self.care(folder, puppy, is_gone, records.today).unwrap_or_default(),
            is_gone,
            growth,
        }
    }

    fn birth_weight(&self, folder: &LitterFolder, puppy: &Puppy, grams: f64) -> BirthWeight {
        let others: Vec<f64> = folder.litter.puppies.iter().filter(|p| p.id != puppy.id).filter_map(|p| Some(p.weight?.grams())).collect();
        let dam = self.records.dogs.get(&folder.litter.dam);
        let breed = dam.and_then(|dam| dam.breed.as_ref()).unwrap_or(&self.records.kennel.breed);
        BirthWeight { under_littermates: growth::under_mean(grams, &others), breed: birth_weight::breed_class(breed, grams) }
    }

    fn care(&self, folder: &LitterFolder, puppy: &Puppy, is_gone: bool, today: Day) -> Option<care::Care> {
        let born = folder.litter.birth.as_ref()?.on;
        if !puppy.is_alive() {
            return None;
        }
        let leaves = self.leaves_on(folder, puppy, born);
        let leaves = match puppy.offer {
            // Whoever stays has no next owner; nor has one that is old enough, and still here.
            Offer::Staying => NEVER,
            _ if leaves <= today && !is_gone => NEVER,
            _ => leaves,
        };
        Some(care::of_puppy(self.plan, puppy, &folder.health, born, leaves, today))
    }

    /// The day that was agreed with a family, or the earliest day on which the puppy may leave.
    fn leaves_on(&self, folder: &LitterFolder, puppy: &Puppy, born: Day) -> Day {
        let agreed = self.homes.of(&folder.id, &puppy.id).and_then(|(_, takes)| takes.leaves);
        agreed.unwrap_or_else(|| age::leaves_from(born, self.leaving_age))
    }

    /// Whether a puppy is in its new home: it is called placed, and the day on which it leaves has come. Whoever is promised is still here, and is watched.
    fn is_gone(&self, folder: &LitterFolder, puppy: &Puppy, today: Day) -> bool {
        let born = folder.litter.birth.as_ref().map(|b| b.on);
        puppy.offer == Offer::Placed && born.is_some_and(|born| self.leaves_on(folder, puppy, born) <= today)
    }
}
