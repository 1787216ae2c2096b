//! What needs doing today and tomorrow, over all litters: the round a keeper makes.
//!
//! In: records, figures, who takes which puppy, and how many days to look ahead. Out: [`Rounds`]:
//! [`Task`]s, the most urgent first, each with whom it is for, since or until when, and what to do.
//! Days are those of the calendar: today has no hour here. What is done is known from the records
//! alone, and a task that nobody wrote down as done comes again. Nothing names a dose.

mod care;
mod dam;
mod dates;
mod follow_up;
mod hours;
mod noticed;
mod weighing;

use super::care::{Item, Remark};
use super::findings::{Finding, FindingRule};
use super::gestation::temperature::DamTemperature;
use super::gestation::{Due, StepKind};
use super::readiness::GapKind;
use super::rules::RuleSource;
use super::thresholds::{Thresholds, thresholds};
use super::{Figures, LitterFigures, PuppyFigures, seasons};
use crate::quantity::{Day, Id, Moment, Text};
use crate::records::health::HealthKind;
use crate::records::litter::Puppy;
use crate::records::owners::Homes;
use crate::records::{LitterFolder, Records};
use std::sync::Arc;

/// When a task is due, the most urgent first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Turn {
    /// Before anything else.
    CallTheVet,
    /// It should have been done.
    Overdue,
    /// Today.
    Today,
    /// On a later day.
    Later(Day),
}

/// What kind of task it is, in the order in which a round goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum TaskKind {
    /// The program noticed something.
    Finding,
    /// The birth is due.
    Birth,
    /// A weigh-in.
    WeighIn,
    /// A treatment goes on.
    Treatment,
    /// The dam recovers from the birth.
    Recovery,
    /// An item of the care plan, or a date that was written as next due.
    Care,
    /// Something to be planned before a birth.
    Step,
    /// A puppy leaves, or may leave.
    Leaving,
    /// A day that a rule sets.
    Rule,
    /// A family is asked how its puppy is.
    FollowUp,
    /// What puppies learn and meet: no day is set for it.
    Growing,
}

impl TaskKind {
    /// In one word or two, for people and for programs.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Finding => "finding",
            Self::Birth => "birth",
            Self::WeighIn => "weigh-in",
            Self::Treatment => "treatment",
            Self::Recovery => "recovery",
            Self::Care => "care",
            Self::Step => "before the birth",
            Self::Leaving => "leaving",
            Self::Rule => "rule",
            Self::FollowUp => "follow-up",
            Self::Growing => "growing up",
        }
    }
}

/// For whom a task is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Whom {
    /// The litter as a whole.
    Litter,
    /// Its dam.
    Dam,
    /// These puppies, in the order of the record.
    Puppies(Vec<Id>),
}

/// What to do or type.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TaskAction {
    /// Call the vet.
    CallTheVet,
    /// Take a weigh-in.
    Weigh,
    /// Weigh the dam.
    WeighDam,
    /// Do it, and record a health entry of this kind; `item` names the item of the care plan where
    /// the entry alone would not say so.
    Record {
        /// Kind of the entry.
        kind: HealthKind,
        /// Name of the item.
        item: Option<String>,
    },
    /// Make the papers.
    HandOver,
    /// Something else.
    Say(Advice),
}

/// What is to be done.
#[derive(Debug, Clone, PartialEq)]
pub enum TaskContent {
    /// Look at what was noticed, all of it of one puppy or of the dam, the most urgent first.
    Findings(Vec<Finding>),
    /// Take the temperature of a puppy that was cold again.
    TemperatureAgain {
        /// When; at once where the hour of the reading before was not written.
        at: Option<Moment>,
    },
    /// Feed a puppy by hand.
    FedByHand(FedByHand),
    /// An item of the dam's recovery.
    Recovery(Arc<Item>),
    /// Items of the dam's recovery that are looked at in one go.
    LookOver(Vec<Arc<Item>>),
    /// Ask a family how its puppy is.
    FollowUp {
        /// So many months after it left.
        months: u8,
        /// Name of the family, where it is known.
        family: Option<Text>,
    },
    /// A step of the plan until birth.
    Step(StepKind),
    /// Take the temperature of a dam before birth.
    DamTemperature {
        /// Whether one of the two of that day is taken.
        is_begun: bool,
        /// Her last reading.
        last: Option<LastOfDam>,
    },
    /// The birth is due.
    Birth(Due),
    /// A puppy leaves.
    Leaves {
        /// Name of its family.
        family: Text,
        /// What is still missing.
        missing: Vec<GapKind>,
    },
    /// A puppy was to leave before today.
    LateToLeave {
        /// Name of its family.
        family: Text,
    },
    /// The first day on which a puppy may leave.
    MayLeave,
    /// The last day by which a rule asks for a chip.
    ChipByRule {
        /// Name of the book of rules.
        book: &'static str,
        /// Whom to check with.
        check_with: &'static str,
        /// Where the rule comes from.
        source: RuleSource,
        /// The day on which that was looked at.
        today: Day,
    },
    /// An item of the care plan.
    Care {
        /// The item.
        item: Arc<Item>,
        /// What has to be said beside it.
        remark: Option<Remark>,
        /// Others of its series that are open as well.
        also_open: Vec<Arc<Item>>,
    },
    /// Worm the dam with the first of her puppies.
    WormingWithPuppies,
    /// What puppies learn and meet.
    Growing(Arc<Item>),
    /// A treatment goes on.
    Treatment {
        /// Product.
        product: Text,
        /// Why.
        why: Option<Text>,
    },
    /// Something that was written as next due.
    DueAgain(DueAgain),
    /// A weigh-in.
    WeighIn(WeighInState),
}

/// What a puppy had that is fed by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct FedByHand {
    /// Millilitres in the 24 hours up to the latest feed.
    pub ml: f64,
    /// Feeds in them.
    pub feeds: usize,
    /// Millilitres for each 100 g of its weight.
    pub per_100_g: Option<f64>,
    /// The latest feed.
    pub last: Moment,
    /// Longest time between two feeds, hours.
    pub longest_gap: Option<f64>,
    /// Whether one of them was by tube.
    pub by_tube: bool,
}

/// The last temperature of a dam before birth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LastOfDam {
    /// The reading.
    pub reading: DamTemperature,
    /// Her own mean of the days before, °C.
    pub mean: Option<f64>,
}

/// What was written as next due.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DueAgain {
    /// A worming of the dam.
    DamWorming,
    /// A treatment of the dam against parasites.
    DamParasites,
    /// A vaccination of the dam.
    DamVaccination,
    /// A treatment of puppies against parasites.
    Parasites,
}

/// How a weigh-in stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WeighInState {
    /// To be done so many times that day.
    ToDo {
        /// How many times.
        times: usize,
    },
    /// Some of that day are done.
    Begun {
        /// How many.
        done: usize,
        /// Of how many.
        of: usize,
    },
    /// There was none since the birth.
    Never,
    /// One was missed.
    OneMissed,
    /// There was none for so many days.
    NoneFor {
        /// How many.
        days: i64,
    },
}

/// What to do where no command does it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "each says what it advises")]
pub enum Advice {
    LookAgain,
    CallAtAnyHour,
    WriteCount,
    WriteXRayCount,
    SettleSection,
    WriteProgesterone,
    MakeReady,
    StayNear,
    SetPlacedOrNewDay,
    AgreeDay,
    AsTheVetSaid,
}

/// One thing to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// When.
    pub turn: Turn,
    /// What kind of thing.
    pub kind: TaskKind,
    /// The litter.
    pub litter: Id,
    /// For whom.
    pub whom: Whom,
    /// What.
    pub what: TaskContent,
    /// How many times it is still to be done that day.
    pub times: usize,
    /// Since when it is open or overdue.
    pub since: Option<Day>,
    /// The last day for it.
    pub until: Option<Day>,
    /// What to do or type.
    pub act: TaskAction,
    /// Where the day comes from.
    pub source: TaskSource,
}

/// Where the day of a task comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TaskSource {
    /// A guideline, a record, common practice.
    Cited(&'static str),
    /// A rule of law or of a registry.
    Rule(RuleSource),
}

impl Task {
    /// Whether it is the same, but for whom.
    fn is_like(&self, other: &Self) -> bool {
        let Self {
            turn,
            kind,
            litter,
            whom: _,
            what,
            times,
            since,
            until,
            act,
            source,
        } = self;
        let is_said_alike = match (what, &other.what) {
            (TaskContent::Findings(own), TaskContent::Findings(theirs)) => {
                own.len() == theirs.len()
                    && own
                        .iter()
                        .zip(theirs)
                        .all(|(one, other)| one.is_like(other))
            }
            _ => *what == other.what,
        };
        is_said_alike
            && (turn, kind, litter, times)
                == (&other.turn, &other.kind, &other.litter, &other.times)
            && (since, until, act, source)
                == (&other.since, &other.until, &other.act, &other.source)
    }
}

/// A round through the kennel.
#[derive(Debug, Clone, PartialEq)]
pub struct Rounds {
    /// The day it is for.
    pub today: Day,
    /// The last day it looks at.
    pub last: Day,
    /// What to do, the most urgent first.
    pub tasks: Vec<Task>,
    /// What is to be kept in mind of bitches between litters.
    pub bitches: Vec<seasons::SeasonNote>,
}

impl Rounds {
    /// Whether a finding of a litter stands on the round: as a task, or by the task that kept it
    /// away.
    #[must_use]
    pub fn says(&self, litter: &Id, finding: &Finding) -> bool {
        let is_for = |task: &Task| match (&task.whom, &finding.puppy) {
            (Whom::Dam, _) => finding.is_of_dam(),
            (Whom::Litter, _) => true,
            (Whom::Puppies(ids), Some(puppy)) => ids.contains(puppy),
            (Whom::Puppies(_), None) => false,
        };
        let overdue = |task: &Task, kind| task.kind == kind && task.turn == Turn::Overdue;
        self.tasks
            .iter()
            .filter(|task| task.litter == *litter && is_for(task))
            .any(|task| match (finding.rule(), &task.what) {
                (FindingRule::CareOverdue, _) => overdue(task, TaskKind::Care),
                (FindingRule::WeighInMissed, _) => overdue(task, TaskKind::WeighIn),
                (_, TaskContent::Findings(found)) => {
                    found.iter().any(|known| known.is_like(finding))
                }
                _ => false,
            })
    }
}

/// How many days a date of the dam's that is overdue stays on the round when all puppies of the
/// litter have left.
const REMEMBERED: i64 = 28;

/// What needs doing from today on, `days` ahead.
#[must_use]
pub fn of_kennel(records: &Records, figures: &Figures<'_>, homes: &Homes<'_>, days: u16) -> Rounds {
    let today = records.today;
    let last = today.plus(i64::from(days));
    let limits = thresholds(&records.care_plan.thresholds);
    let mut tasks = Vec::new();
    for folder in records.litters.values() {
        let mut round = Round {
            records,
            figures,
            homes,
            folder,
            limits,
            today,
            last,
            tasks: Vec::new(),
        };
        noticed::tasks(&mut round);
        hours::tasks(&mut round);
        dam::tasks(&mut round);
        weighing::tasks(&mut round);
        care::tasks(&mut round);
        dates::tasks(&mut round);
        follow_up::tasks(&mut round);
        tasks.extend(together(round.tasks));
    }
    // The sort is stable: litters keep their order, and puppies theirs.
    tasks.sort_by_key(|task: &Task| (task.turn, task.kind, task.until));
    Rounds {
        today,
        last,
        tasks,
        bitches: seasons::notes(figures.bitches.iter(), today, last),
    }
}

/// The same thing for several puppies of a litter is one task. The papers of each are made by a
/// command of its own.
fn together(tasks: Vec<Task>) -> Vec<Task> {
    let mut whole: Vec<Task> = Vec::new();
    for task in tasks {
        let alone = task.act == TaskAction::HandOver;
        let same = whole
            .iter_mut()
            .find(|known| !alone && known.is_like(&task));
        match (same.map(|known| &mut known.whom), &task.whom) {
            (Some(Whom::Puppies(known)), Whom::Puppies(more)) => {
                known.extend(
                    more.iter()
                        .filter(|id| !known.contains(id))
                        .cloned()
                        .collect::<Vec<_>>(),
                );
            }
            _ => whole.push(task),
        }
    }
    whole
}

/// One litter on the round.
struct Round<'a> {
    records: &'a Records,
    figures: &'a Figures<'a>,
    homes: &'a Homes<'a>,
    folder: &'a LitterFolder,
    limits: Thresholds,
    today: Day,
    last: Day,
    tasks: Vec<Task>,
}

/// What a task says beside when, for whom and what it is.
struct Rest {
    times: usize,
    since: Option<Day>,
    until: Option<Day>,
    act: TaskAction,
    source: TaskSource,
}

impl<'a> Round<'a> {
    fn task(&mut self, turn: Turn, kind: TaskKind, whom: Whom, what: TaskContent, rest: Rest) {
        let Rest {
            times,
            since,
            until,
            act,
            source,
        } = rest;
        if whom == Whom::Dam && dam::is_dead(self) {
            return;
        }
        self.tasks.push(Task {
            turn,
            kind,
            litter: self.folder.id.clone(),
            whom,
            what,
            times,
            since,
            until,
            act,
            source,
        });
    }

    /// When something is due that begins on a day: today, or later while the round looks so far.
    fn turn(&self, from: Day) -> Option<Turn> {
        if from <= self.today {
            Some(Turn::Today)
        } else {
            (from <= self.last).then_some(Turn::Later(from))
        }
    }

    /// The figures of the litter. Of one that is history they are not needed where none of its
    /// puppies is here.
    fn own(&self) -> &'a LitterFigures {
        &self.figures.litters[&self.folder.id]
    }

    /// Puppies that are alive and here.
    fn here(&self) -> impl Iterator<Item = (&'a Puppy, &'a PuppyFigures)> + use<'a> {
        let (folder, litters) = (self.folder, &self.figures.litters);
        folder
            .living()
            .filter(|puppy| !litters.is_gone(folder, puppy))
            .map(|puppy| (puppy, &litters[&folder.id].puppies[&puppy.id]))
    }

    /// Calendar days since the birth began.
    fn age(&self) -> Option<i64> {
        self.folder
            .litter
            .birth
            .as_ref()
            .map(|birth| self.today.since(birth.on))
    }

    /// Calendar days since one puppy was born.
    fn age_of(&self, puppy: &Puppy) -> Option<i64> {
        self.folder
            .litter
            .born_on(puppy)
            .map(|born| self.today.since(born))
    }
}
