//! What a phone at the box sees: the litters of now and the round, and nothing else of the kennel.
//!
//! In: records and figures. Out: [`PhoneView`]. A phone may lie about, and may be lost: so it is
//! told names, ribbons, last weights, tasks and what was noted at a birth, and never a family, an
//! address, a number of a chip, a code or what the keeper remarked. Records are taken apart without
//! `..` here and in `phone/whelping.rs`.

mod whelping;

pub use whelping::{PhoneNewborn, PhoneWhelping};

use super::keeper::{self, TaskShown, TaskUrgency};
use super::{RibbonShown, views};
use crate::husbandry::Figures;
use crate::husbandry::findings::CAUTIONS;
use crate::husbandry::rounds::{self, Task, TaskAction, TaskKind, Whom};
use crate::husbandry::weighing::{FAR_ABOVE, FAR_ABOVE_A_DAY, FAR_BELOW};
use crate::quantity::Day;
use crate::records::litter::{Litter, Puppy};
use crate::records::weights::DAM;
use crate::records::{LitterFolder, Records, WeighIn};
use serde::Serialize;

/// Somebody at the box with a phone that the keeper connected.
#[derive(Debug)]
pub enum Phone {}

/// All that a phone is told.
#[derive(Debug, Clone, Serialize)]
pub struct PhoneView {
    /// Name of the kennel.
    pub kennel: String,
    /// Whether weights are shown in ounces.
    pub ounces: bool,
    /// The usual cautions.
    pub cautions: &'static str,
    /// Changes of weight that are asked about before they are kept.
    pub far_off: FarOff,
    /// The litters of now.
    pub litters: Vec<PhoneLitter>,
    /// The round of today, the most urgent first.
    pub tasks: Vec<PhoneTask>,
}

views!(Phone: PhoneView);

/// Changes of weight since the last one that are asked about.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct FarOff {
    /// Below this, %.
    pub below: f64,
    /// Above this, %.
    pub above: f64,
    /// And this more for each day between the two, percentage points.
    pub above_a_day: f64,
}

/// A litter that is carried, or was born and is no history yet.
#[derive(Debug, Clone, Serialize)]
pub struct PhoneLitter {
    /// Name of its folder.
    pub id: String,
    /// Name.
    pub name: String,
    /// What its dam is called.
    pub dam: String,
    /// The last weight of the dam.
    pub dam_last: Option<LastWeight>,
    /// Whether it is born.
    pub is_born: bool,
    /// The puppies that are here.
    pub puppies: Vec<PhonePuppy>,
    /// Its birth, while it is expected and in the days after it.
    pub whelping: Option<PhoneWhelping>,
}

/// A puppy that is here.
#[derive(Debug, Clone, Serialize)]
pub struct PhonePuppy {
    /// Name in the records.
    pub id: String,
    /// Name.
    pub name: String,
    /// Ribbon.
    pub ribbon: Option<RibbonShown>,
    /// Its last weight.
    pub last: Option<LastWeight>,
}

/// A weight, and when it was taken.
#[derive(Debug, Clone, Serialize)]
pub struct LastWeight {
    /// As it is shown.
    pub shown: String,
    /// The weight in grams.
    pub grams: f64,
    /// When, on the kennel's wall; nothing for a weight at birth without a time.
    pub at: Option<String>,
}

/// One thing to do.
#[derive(Debug, Clone, Serialize)]
pub struct PhoneTask {
    /// `call the vet`, `overdue` or `today`.
    pub urgency: TaskUrgency,
    /// Name of the litter's folder.
    pub litter: String,
    /// Name of the litter.
    pub litter_name: String,
    /// For whom, in words.
    pub who: String,
    /// What.
    pub what: String,
    /// How many times it is still to be done.
    pub times: usize,
    /// What is recorded when it was done; nothing where it is done elsewhere.
    pub tick: Option<TaskTick>,
}

/// What is recorded when a task was done.
#[derive(Debug, Clone, Serialize)]
pub struct TaskTick {
    /// `weigh`, or a kind of entry of `health.yaml`.
    pub kind: &'static str,
    /// For whom: `dam`, `all`, or the names of puppies in the records.
    pub whom: Vec<String>,
    /// The item of the care plan, where the entry alone would not say so.
    pub item: Option<String>,
}

/// What a phone is told now.
#[must_use]
pub fn view(records: &Records, figures: &Figures<'_>) -> PhoneView {
    let ounces = records.kennel.is_read_in_ounces();
    let round = rounds::of_kennel(records, figures, &records.owners.homes(), 0);
    let shown = keeper::round_shown(records, figures, round.clone());
    let tasks = round.tasks.iter().zip(shown.tasks);
    let litters = records.litters.values();
    let litters: Vec<PhoneLitter> = litters
        .filter(|folder| !folder.is_history(figures.today))
        .filter(|folder| !folder.litter.came_to_nothing())
        .map(|folder| litter(records, figures, folder, ounces))
        .filter(|litter| {
            !(litter.is_born && litter.puppies.is_empty()) || litter.whelping.is_some()
        })
        .collect();
    // What is not to be seen there cannot be ticked there either.
    let is_here = |id: &str| litters.iter().any(|litter| litter.id == id);
    let tasks = tasks
        .filter_map(|(task, shown)| phone_task(task, shown))
        .map(|task| PhoneTask {
            tick: task.tick.clone().filter(|_| is_here(&task.litter)),
            ..task
        })
        .collect();
    PhoneView {
        kennel: records.kennel.name.to_string(),
        ounces,
        cautions: CAUTIONS,
        far_off: FarOff {
            below: FAR_BELOW,
            above: FAR_ABOVE,
            above_a_day: FAR_ABOVE_A_DAY,
        },
        tasks,
        litters,
    }
}

fn litter(
    records: &Records,
    figures: &Figures<'_>,
    folder: &LitterFolder,
    ounces: bool,
) -> PhoneLitter {
    let LitterFolder {
        id,
        litter: of_litter,
        weigh_ins,
        bare_unit: _,
        health: _,
        notes: _,
        photos: _,
    } = folder;
    let Litter {
        name,
        dam,
        sire: _,
        about: _,
        announced: _,
        mated: _,
        ovulated: _,
        lh_surge: _,
        dioestrus: _,
        progesterone: _,
        measured: _,
        counted: _,
        adult_weight: _,
        birth,
        weaned: _,
        puppies,
        pictures: _,
        remarks: _,
    } = &***of_litter;
    let called = records.dogs.get(dam);
    PhoneLitter {
        id: id.to_string(),
        name: name.to_string(),
        dam: called.map_or_else(|| dam.to_string(), |dog| dog.shown_name().to_string()),
        dam_last: last_of(weigh_ins, DAM, ounces),
        is_born: birth.is_some(),
        puppies: puppies
            .iter()
            .filter(|puppy| puppy.is_alive() && !figures.litters.is_gone(folder, puppy))
            .map(|of| puppy(of, birth.as_ref().map(|birth| birth.on), weigh_ins, ounces))
            .collect(),
        whelping: whelping::of_litter(records, figures, folder, ounces),
    }
}

fn puppy(of: &Puppy, born_on: Option<Day>, weigh_ins: &[WeighIn], ounces: bool) -> PhonePuppy {
    let Puppy {
        id,
        name: _,
        registered_name: _,
        ribbon,
        sex: _,
        colour: _,
        markings: _,
        born,
        order: _,
        horn: _,
        weight,
        first_breath: _,
        palate: _,
        placenta: _,
        vigour: _,
        newborn: _,
        offer: _,
        about: _,
        registration: _,
        chip: _,
        weaned: _,
        returned: _,
        fate: _,
        on: _,
        cause: _,
        remarks: _,
    } = of;
    let at_birth = weight.map(|weight| LastWeight {
        shown: weight.show(ounces),
        grams: weight.grams(),
        at: born
            .zip(born_on)
            .map(|(born, on)| born.on(on).to_the_minute().to_string()),
    });
    PhonePuppy {
        id: id.to_string(),
        name: of.shown_name(),
        ribbon: ribbon.map(Into::into),
        last: last_of(weigh_ins, id.as_str(), ounces).or(at_birth),
    }
}

fn last_of(weigh_ins: &[WeighIn], id: &str, ounces: bool) -> Option<LastWeight> {
    weigh_ins.iter().rev().find_map(|weigh_in| {
        let WeighIn {
            at,
            by: _,
            remark: _,
            weights,
            block: _,
        } = weigh_in;
        let (_, weight) = weights.iter().find(|(known, _)| known.as_str() == id)?;
        Some(LastWeight {
            shown: weight.show(ounces),
            grams: weight.grams(),
            at: Some(at.to_string()),
        })
    })
}

/// A task as a phone sees it; nothing of what has to do with families.
fn phone_task(task: &Task, shown: TaskShown) -> Option<PhoneTask> {
    match task.kind {
        TaskKind::Leaving | TaskKind::FollowUp => return None,
        TaskKind::Finding
        | TaskKind::Birth
        | TaskKind::WeighIn
        | TaskKind::Treatment
        | TaskKind::Recovery
        | TaskKind::Care
        | TaskKind::Step
        | TaskKind::Rule
        | TaskKind::Growing => {}
    }
    let TaskShown {
        urgency,
        day: _,
        kind: _,
        litter,
        litter_name,
        dam: _,
        puppies: _,
        is_for_all: _,
        is_weigh_in: _,
        who,
        what,
        times,
        since: _,
        until: _,
        act: _,
        source: _,
    } = shown;
    let whom = match &task.whom {
        Whom::Dam => vec!["dam".to_owned()],
        Whom::Litter => vec!["all".to_owned()],
        Whom::Puppies(ids) => ids.iter().map(ToString::to_string).collect(),
    };
    let tick = match &task.act {
        TaskAction::Weigh | TaskAction::WeighDam => Some(("weigh", None)),
        TaskAction::Record { kind, item } => Some((kind.key(), item.clone())),
        TaskAction::CallTheVet | TaskAction::HandOver | TaskAction::Say(_) => None,
    };
    Some(PhoneTask {
        urgency,
        litter,
        litter_name,
        who,
        what,
        times,
        tick: tick.map(|(kind, item)| TaskTick { kind, whom, item }),
    })
}
