//! What needs doing today and tomorrow, over all litters: the round a keeper makes.
//!
//! In: records, figures, who takes which puppy, and how many days to look ahead. Out: [`Rounds`]: [`Task`]s, the most urgent first, each with whom it is for, since or until when, and what to do.
//! Days are those of the calendar: today has no hour here. What is done is known from the records alone, and a task that nobody wrote down as done comes again. Nothing names a dose.

mod care;
mod dam;
mod dates;
mod follow_up;
mod hours;
#[cfg(test)]
mod tests;
mod weighing;

use super::findings::Urgency;
use super::thresholds::{Thresholds, thresholds};
use super::{Figures, LitterFigures, PuppyFigures, seasons};
use crate::quantity::{Day, Id};
use crate::records::litter::Puppy;
use crate::records::owners::Homes;
use crate::records::{LitterFolder, Records};

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
pub enum Kind {
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

impl Kind {
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
pub enum Act {
    /// Call the vet.
    CallTheVet,
    /// Take a weigh-in.
    Weigh,
    /// Weigh the dam.
    WeighDam,
    /// Do it, and record a health entry of this kind; `item` names the item of the care plan where the entry alone would not say so.
    Record {
        /// Kind of the entry: `worming`.
        kind: &'static str,
        /// Name of the item.
        item: Option<String>,
    },
    /// Make the papers.
    HandOver,
    /// In words.
    Say(&'static str),
}

/// One thing to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Task {
    /// When.
    pub turn: Turn,
    /// What kind of thing.
    pub kind: Kind,
    /// The litter.
    pub litter: Id,
    /// For whom.
    pub whom: Whom,
    /// What, a phrase without full stop.
    pub what: String,
    /// How many times it is still to be done that day.
    pub times: usize,
    /// Since when it is open or overdue.
    pub since: Option<Day>,
    /// The last day for it.
    pub until: Option<Day>,
    /// What to do or type.
    pub act: Act,
    /// Where the day comes from.
    pub source: String,
}

/// A round through the kennel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rounds {
    /// The day it is for.
    pub today: Day,
    /// The last day it looks at.
    pub last: Day,
    /// What to do, the most urgent first.
    pub tasks: Vec<Task>,
    /// What is to be kept in mind of bitches between litters.
    pub bitches: Vec<seasons::Note>,
}

/// Age in days up to which a litter is on the round with all its puppies; after that only what is newly due.
const YOUNG: i64 = 84;
/// How many days a date of the dam's that is overdue stays on the round when all puppies of the litter have left.
const REMEMBERED: i64 = 28;

/// What needs doing from today on, `days` ahead.
#[must_use]
pub fn of_kennel(records: &Records, figures: &Figures<'_>, homes: &Homes<'_>, days: u16) -> Rounds {
    let today = records.today;
    let last = today.plus(i64::from(days));
    let limits = thresholds(&records.care_plan.thresholds);
    let mut tasks = Vec::new();
    for folder in records.litters.values() {
        let mut round = Round { records, figures, homes, folder, limits, today, last, tasks: Vec::new() };
        round.findings();
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
    Rounds { today, last, tasks, bitches: seasons::notes(&figures.bitches, today, last) }
}

/// The same thing for several puppies of a litter is one task. The papers of each are made by a command of its own.
fn together(tasks: Vec<Task>) -> Vec<Task> {
    let mut whole: Vec<Task> = Vec::new();
    for task in tasks {
        let alone = task.act == Act::HandOver;
        let same = whole.iter_mut().find(|known| !alone && Task { whom: known.whom.clone(), ..task.clone() } == **known);
        match (same.map(|known| &mut known.whom), &task.whom) {
            (Some(Whom::Puppies(known)), Whom::Puppies(more)) => {
                known.extend(more.iter().filter(|id| !known.contains(id)).cloned().collect::<Vec<_>>());
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
    act: Act,
    source: String,
}

impl<'a> Round<'a> {
    fn task(&mut self, turn: Turn, kind: Kind, whom: Whom, what: impl Into<String>, rest: Rest) {
        let Rest { times, since, until, act, source } = rest;
        self.tasks.push(Task { turn, kind, litter: self.folder.id.clone(), whom, what: what.into(), times, since, until, act, source });
    }

    /// When something is due that begins on a day: today, or later while the round looks so far.
    fn turn(&self, from: Day) -> Option<Turn> {
        if from <= self.today { Some(Turn::Today) } else { (from <= self.last).then_some(Turn::Later(from)) }
    }

    /// The figures of the litter. Of one that is history they are not needed where none of its puppies is here.
    fn own(&self) -> &'a LitterFigures {
        &self.figures.litters[&self.folder.id]
    }

    /// Puppies that are alive and here.
    fn here(&self) -> impl Iterator<Item = (&'a Puppy, &'a PuppyFigures)> + use<'a> {
        let (folder, litters) = (self.folder, &self.figures.litters);
        folder.living().filter(|puppy| !litters.is_gone(folder, puppy)).map(|puppy| (puppy, &litters[&folder.id].puppies[&puppy.id]))
    }

    /// Calendar days since the birth began.
    fn age(&self) -> Option<i64> {
        self.folder.litter.birth.as_ref().map(|birth| self.today.since(birth.on))
    }

    /// Calendar days since one puppy was born.
    fn age_of(&self, puppy: &Puppy) -> Option<i64> {
        self.folder.litter.born_on(puppy).map(|born| self.today.since(born))
    }

    /// Whatever was noticed above steady, all that is said of one puppy together. Care and weigh-ins have tasks of their own.
    fn findings(&mut self) {
        let found = self.figures.litters.findings(self.folder);
        let with_own_tasks = ["care-overdue", "weigh-in-missed"];
        let mut said: Vec<(Whom, Urgency, Vec<&str>, &'static str)> = Vec::new();
        for finding in found.iter().filter(|f| f.urgency > Urgency::Steady && !with_own_tasks.contains(&f.rule)) {
            let whom = match &finding.puppy {
                Some(id) => Whom::Puppies(vec![id.clone()]),
                None if finding.is_of_dam() => Whom::Dam,
                None => Whom::Litter,
            };
            // They come with the most urgent first.
            match said.iter_mut().find(|(known, ..)| whom != Whom::Litter && *known == whom) {
                Some((.., what, _)) => what.push(&finding.what),
                None => said.push((whom, finding.urgency, vec![&finding.what], finding.source)),
            }
        }
        for (whom, urgency, what, source) in said {
            let (turn, act) = match urgency {
                Urgency::CallTheVet => (Turn::CallTheVet, Act::CallTheVet),
                Urgency::Watch | Urgency::Steady => (Turn::Today, Act::Say("look again; the figures stand in the keeper’s book")),
            };
            self.task(turn, Kind::Finding, whom, what.join("; "), Rest { times: 1, since: None, until: None, act, source: source.to_owned() });
        }
    }
}
