//! Figures of each litter, computed when somebody asks for them, and what all of them are computed
//! with.
//!
//! In: records. Out: [`Litters`]. A kennel's litters are history for the most part, and only their
//! own pages show their figures: a run that changes one weight need not compute those of two
//! thousand litters. What lists of the whole kennel show of a past litter is had without them.

use super::{
    Ahead, BirthWeight, LitterFigures, MatingAncestry, NoMean, PuppyFigures, age, birth,
    birth_weight, care, feeding, findings, gestation, growth, pedigree, prospect, recovery, rules,
    seasons, thresholds, trend,
};
use crate::cache::{Computed, Digest, Digester, Noted, Tracked};
use crate::quantity::{Day, Id, Span};
use crate::records::litter::{Fate, Offer, Puppy};
use crate::records::owners::Homes;
use crate::records::{LitterFolder, Records};
use rayon::prelude::*;
use std::borrow::{Borrow, Cow};
use std::collections::BTreeMap;
use std::ops::Index;
use std::sync::{Arc, OnceLock};

/// For how many days, today among them, it is said what will be known.
const DAYS_AHEAD: i64 = 14;

/// Beyond the life of any dog.
const NEVER: Day = Day::LAST;

/// Generations of ancestors that are counted behind a mating.
const GENERATIONS: u32 = 6;

/// The name under which it is noted who read the ancestry.
pub(super) const PEDIGREE: &str = "figures/pedigree";

/// The same for the books of rules.
pub(super) const BOOKS: &str = "figures/rule-books";

/// The figures of each litter of a kennel.
#[derive(Debug)]
pub struct Litters<'a> {
    records: &'a Records,
    inputs: Noted<LitterInputs<'a>>,
    computed: BTreeMap<&'a Id, Computed<LitterFigures>>,
}

impl<'a> Litters<'a> {
    /// The litters of these records. Those that are expected or young are computed at once, since
    /// every page of the kennel looks at them.
    pub(super) fn of(records: &'a Records) -> Self {
        let litters = Self {
            records,
            inputs: Noted::of(|| LitterInputs::new(records)),
            computed: records
                .litters
                .keys()
                .map(|id| (id, Computed::new()))
                .collect(),
        };
        let young: Vec<&LitterFolder> = records
            .litters
            .values()
            .filter(|folder| !folder.is_history(records.today))
            .collect();
        let _: Vec<Option<&LitterFigures>> = young
            .par_iter()
            .map(|folder| litters.get(&folder.id))
            .collect();
        litters
    }

    /// The figures of a litter.
    #[must_use]
    pub fn get<Q: Ord + ?Sized>(&self, id: &Q) -> Option<&LitterFigures>
    where
        Id: Borrow<Q>,
    {
        let folder = self.records.litters.get(id)?;
        Some(
            self.computed
                .get(&folder.id)?
                .get_or_init(|| self.inputs.litter(folder)),
        )
    }

    /// Whether the figures of a litter have been computed.
    #[must_use]
    pub fn is_computed(&self, id: &str) -> bool {
        self.computed
            .iter()
            .any(|(known, figures)| known.as_str() == id && figures.is_computed())
    }

    /// All litters with their figures, in the order of their names.
    pub fn iter(&self) -> impl Iterator<Item = (&Id, &LitterFigures)> {
        self.computed
            .keys()
            .filter_map(|id| Some((*id, self.get(*id)?)))
    }

    /// The figures of all litters.
    pub fn values(&self) -> impl Iterator<Item = &LitterFigures> {
        self.iter().map(|(_, figures)| figures)
    }

    /// The earliest day on which the first of a litter may leave.
    #[must_use]
    pub fn leaves_from(&self, folder: &LitterFolder) -> Option<Day> {
        self.inputs.leaves_from(folder)
    }

    /// The earliest day on which one puppy of a litter may leave.
    #[must_use]
    pub fn puppy_leaves_from(&self, folder: &LitterFolder, puppy: &Puppy) -> Option<Day> {
        self.inputs.puppy_leaves_from(folder, puppy)
    }

    /// Whether a puppy is in its new home.
    #[must_use]
    pub fn is_gone(&self, folder: &LitterFolder, puppy: &Puppy) -> bool {
        self.inputs.is_gone(folder, puppy, self.records.today)
    }

    /// The day on which a puppy left, of one that is in its new home.
    #[must_use]
    pub fn left_on(&self, folder: &LitterFolder, puppy: &Puppy) -> Option<Day> {
        self.is_gone(folder, puppy)
            .then(|| self.inputs.leaves_on(folder, puppy))
            .flatten()
    }

    /// What the keeper should know of a litter, the most urgent first.
    #[must_use]
    pub fn findings(&self, folder: &LitterFolder) -> Cow<'_, [findings::Finding]> {
        let today = self.records.today;
        if folder.is_history(today) {
            let keeper = &self.records.kennel.contact.keeper;
            return Cow::Owned(findings::of_history(folder, keeper, today));
        }
        self.get(&folder.id).map_or(Cow::Borrowed(&[]), |figures| {
            Cow::Borrowed(&figures.findings)
        })
    }

    /// Inbreeding of each dog.
    pub(super) fn inbreeding(&self) -> BTreeMap<Id, pedigree::Inbreeding> {
        self.inputs
            .records
            .dogs
            .keys()
            .map(|id| (id.clone(), self.inputs.ancestry.inbreeding(id)))
            .collect()
    }

    /// What is known of a mating that is only thought of, on one of some days.
    #[must_use]
    pub fn prospect(&self, sire: &Id, dam: &Id, days: seasons::Window) -> prospect::Prospect {
        let LitterInputs {
            records,
            ancestry,
            books,
            leaving_age,
            ..
        } = &*self.inputs;
        prospect::Prospect {
            inbreeding: ancestry.of_mating(sire, dam),
            behind: self.inputs.behind(sire, dam),
            relation: rules::relation(&records.dogs, sire, dam),
            gaps: prospect::gaps(&records.dogs, sire, dam, days, records.today),
            rules: rules::of_pair(
                records,
                books,
                sire,
                dam,
                (days.from, days.to),
                *leaving_age,
            ),
        }
    }

    /// Digest of which books of rules the kennel goes by.
    pub(super) fn digest_of_books(&self) -> Digest {
        let mut all = Digester::default();
        for book in &self.inputs.books {
            all.part(book.id.as_bytes());
        }
        all.finish()
    }

    pub(super) fn ancestry(&self) -> &pedigree::Ancestry {
        &self.inputs.ancestry
    }

    pub(super) fn homes(&self) -> &Homes<'a> {
        &self.inputs.homes
    }
}

impl<Q: Ord + ?Sized> Index<&Q> for Litters<'_>
where
    Id: Borrow<Q>,
{
    type Output = LitterFigures;

    fn index(&self, id: &Q) -> &LitterFigures {
        #[expect(
            clippy::expect_used,
            reason = "like the map it stands for, it has the litters of the records and no others"
        )]
        self.get(id).expect("a litter of the records")
    }
}

/// What the figures of every litter are computed with.
#[derive(Debug)]
pub(super) struct LitterInputs<'a> {
    records: &'a Records,
    /// Tracked by itself: it changes with who is whose parent, not with all else that is known of
    /// dogs.
    ancestry: Tracked<pedigree::Ancestry>,
    plan: Vec<Arc<care::Item>>,
    /// Tracked by themselves: they change with which books are chosen, not with the dogs.
    books: Tracked<Vec<&'static rules::RuleBook>>,
    homes: Homes<'a>,
    leaving_age: Span,
    limits: thresholds::Thresholds,
}

impl<'a> LitterInputs<'a> {
    pub(super) fn new(records: &'a Records) -> Self {
        Self {
            records,
            ancestry: Tracked::computed(PEDIGREE, || pedigree::Ancestry::new(&records.dogs)),
            plan: care::items(&records.care_plan),
            books: Tracked::computed(BOOKS, || rules::books(records)),
            homes: records.owners.homes(),
            leaving_age: age::leaving_age(
                records.kennel.leaving_age,
                rules::leaving_age(&records.kennel),
            ),
            limits: thresholds::thresholds(&records.care_plan.thresholds),
        }
    }

    /// What lies behind a mating.
    fn behind(&self, sire: &Id, dam: &Id) -> MatingAncestry {
        MatingAncestry {
            common: self.ancestry.common_ancestors(sire, dam),
            depth: self.ancestry.depth_of_mating(sire, dam, GENERATIONS),
            genes: pedigree::genes::of_mating(&self.records.dogs, sire, dam),
        }
    }

    fn leaves_from(&self, folder: &LitterFolder) -> Option<Day> {
        folder
            .litter
            .birth
            .as_ref()
            .map(|birth| age::leaves_from(birth.on, self.leaving_age))
    }

    fn puppy_leaves_from(&self, folder: &LitterFolder, puppy: &Puppy) -> Option<Day> {
        folder
            .litter
            .born_on(puppy)
            .map(|born| age::leaves_from(born, self.leaving_age))
    }

    pub(super) fn litter(&self, folder: &LitterFolder) -> LitterFigures {
        let records = self.records;
        let litter = &folder.litter;
        let birth = litter.birth.as_ref();
        let dam = records.dogs.get(&litter.dam);
        let dam_weight = dam.and_then(|dam| dam.adult_weight);
        let dam_died = dam
            .and_then(|dam| dam.died)
            .filter(|died| *died <= records.today);
        let expected = birth.is_none() && !litter.came_to_nothing() && dam_died.is_none();
        let windows = if expected {
            gestation::windows(litter, dam_weight)
        } else {
            Vec::new()
        };
        let due = windows.first().copied();
        let rise = gestation::rise::read(litter);
        let steps = if expected {
            gestation::steps(&windows, &rise)
        } else {
            Vec::new()
        };
        let dam_before = gestation::temperature::before_birth(
            litter,
            &folder.health,
            due.map(|due| due.from),
            records.kennel.contact.keeper.as_str(),
            records.kennel.time_zone.0,
        );
        let mut growth = growth::of_litter(folder, records.kennel.time_zone.0);
        let mut figures = LitterFigures {
            due,
            windows,
            steps,
            rise,
            dam_before,
            dam_died,
            leaves_from: self.leaves_from(folder),
            inbreeding: self.ancestry.of_mating(&litter.sire, &litter.dam),
            ancestry: self.behind(&litter.sire, &litter.dam),
            run_out: litter.mated.iter().max().map_or_else(Vec::new, |mated| {
                prospect::run_out_on(&records.dogs, &litter.sire, &litter.dam, *mated)
            }),
            placentas: birth::placentas(litter),
            arrivals: birth::arrivals(litter, records.kennel.time_zone.0),
            puppies: litter
                .puppies
                .iter()
                .filter_map(|p| Some((p.id.clone(), self.puppy(folder, growth.remove(&p.id)?, p))))
                .collect(),
            places: OnceLock::new(),
            rules: rules::of_litter(
                records,
                &self.homes,
                &self.books,
                folder,
                due,
                self.leaving_age,
            ),
            recovery: if folder.is_history(records.today) || dam_died.is_some() {
                Vec::new()
            } else {
                recovery::of_dam(&self.plan, folder, records.today)
            },
            findings: Vec::new(),
            ahead: Vec::new(),
        };
        let keeper = &records.kennel.contact.keeper;
        let slips = findings::slips::litter(folder, &figures, records.today);
        if slips.is_of_birth() {
            let births = figures.puppies.values_mut();
            for birth in births.filter_map(|own| own.birth_weight.as_mut()) {
                birth.under_littermates = Err(NoMean::Misread);
            }
        }
        figures.findings = findings::of_litter(
            folder,
            &figures,
            &slips,
            &self.limits,
            keeper,
            records.today,
        );
        if birth.is_some() && !folder.is_history(records.today) {
            figures.ahead = self.ahead(folder, figures.clone());
        }
        figures
    }

    /// The days to come: what was done stays as it is, and only the calendar goes on.
    fn ahead(&self, folder: &LitterFolder, mut figures: LitterFigures) -> Vec<Ahead> {
        let mut days = Vec::new();
        for day in (0..DAYS_AHEAD).map(|days| self.records.today.plus(days)) {
            for puppy in &folder.litter.puppies {
                let Some(own) = figures.puppies.get_mut(&puppy.id) else {
                    continue;
                };
                own.is_gone = self.is_gone(folder, puppy, day);
                own.care = self
                    .care(folder, puppy, own.is_gone, day)
                    .unwrap_or_default();
            }
            let keeper = &self.records.kennel.contact.keeper;
            let findings = findings::beside_weights(folder, &figures, &self.limits, keeper, day);
            let gone = figures
                .puppies
                .iter()
                .filter(|(_, own)| own.is_gone)
                .map(|(id, _)| id.clone())
                .collect();
            days.push(Ahead {
                day,
                gone,
                findings,
            });
        }
        days
    }

    fn puppy(&self, folder: &LitterFolder, growth: growth::Growth, puppy: &Puppy) -> PuppyFigures {
        let records = self.records;
        let adult = folder
            .litter
            .adult_weight
            .or_else(|| records.dogs.get(&folder.litter.dam)?.adult_weight);
        let trend = trend::latest(&growth.points);
        let is_gone = self.is_gone(folder, puppy, records.today);
        PuppyFigures {
            trend,
            birth_weight: puppy
                .weight
                .map(|weight| self.birth_weight(folder, puppy, weight.grams())),
            adult_weight: adult,
            vigour: puppy.vigour.iter().map(birth::vigour).collect(),
            not_looked_at: birth::not_looked_at(puppy),
            care: self
                .care(folder, puppy, is_gone, records.today)
                .unwrap_or_default(),
            feeding: feeding::of_puppy(
                folder,
                puppy,
                &growth.points,
                records.kennel.time_zone.0,
                records.today,
            ),
            is_gone,
            is_stillborn: puppy.fate == Some(Fate::Stillborn),
            leaves_from: self.puppy_leaves_from(folder, puppy),
            growth,
        }
    }

    fn birth_weight(&self, folder: &LitterFolder, puppy: &Puppy, grams: f64) -> BirthWeight {
        let others: Vec<f64> = folder
            .litter
            .born_alive()
            .filter(|p| p.id != puppy.id)
            .filter_map(|p| Some(p.weight?.grams()))
            .collect();
        let dam = self.records.dogs.get(&folder.litter.dam);
        let breed = dam
            .and_then(|dam| dam.breed.as_ref())
            .unwrap_or(&self.records.kennel.breed);
        BirthWeight {
            under_littermates: growth::under_mean(grams, &others).ok_or(NoMean::TooFew),
            breed: birth_weight::breed_class(breed, grams),
        }
    }

    fn care(
        &self,
        folder: &LitterFolder,
        puppy: &Puppy,
        is_gone: bool,
        today: Day,
    ) -> Option<care::Care> {
        let born = folder.litter.born_on(puppy)?;
        if !puppy.is_alive() {
            return None;
        }
        let leaves = self.leaves_on(folder, puppy)?;
        let leaves = match puppy.offer {
            // Whoever stays has no next owner; nor has one whose day is over, and that is still
            // here.
            Offer::Staying => NEVER,
            _ if leaves < today && !is_gone => NEVER,
            _ => leaves,
        };
        let weaned = puppy.weaned.or(folder.litter.weaned);
        Some(care::of_puppy(
            &self.plan,
            puppy,
            &folder.health,
            care::CareDays {
                born,
                weaned,
                leaves,
                today,
            },
        ))
    }

    /// The day that was agreed with a family, or the earliest day on which the puppy may leave.
    fn leaves_on(&self, folder: &LitterFolder, puppy: &Puppy) -> Option<Day> {
        let agreed = self
            .homes
            .of(&folder.id, puppy)
            .and_then(|(_, takes)| takes.leaves);
        agreed.or_else(|| self.puppy_leaves_from(folder, puppy))
    }

    /// Whether a puppy is in its new home: it is called placed, and the day on which it leaves has
    /// come. Whoever is promised is still here, and is watched; so is whoever came back, until
    /// another family takes it.
    fn is_gone(&self, folder: &LitterFolder, puppy: &Puppy, today: Day) -> bool {
        if puppy.returned.is_some() && self.homes.of(&folder.id, puppy).is_none() {
            return false;
        }
        let born = folder.litter.birth.is_some();
        puppy.offer == Offer::Placed
            && born
            && self
                .leaves_on(folder, puppy)
                .is_some_and(|leaves| leaves <= today)
    }
}
