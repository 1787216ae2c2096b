//! The round as the keeper sees it: what to do today and tomorrow, for whom, since or until when,
//! and what to type.
//!
//! In: the tasks of a round. Out: [`RoundsShown`], for programs and for the terminal, and
//! [`RoundsSheet`], the same under headings, for paper. The names and values that programs read
//! stay as they are: `litterfolio schema rounds` describes them.

use super::{BookContext, VetShown, bitch, dam, puppy, vet};
use crate::husbandry::Figures;
use crate::husbandry::findings::CAUTIONS;
use crate::husbandry::rounds::{self, Rounds, Task, TaskAction, TaskKind, Turn, Whom};
use crate::husbandry::seasons::{NoteKind, SeasonNote};
use crate::quantity::{Day, Id};
use crate::records::litter::Puppy;
use crate::records::{LitterFolder, Records};
use crate::{Dated, PictureShown, RibbonShown, words};
use schemars::JsonSchema;
use serde::Serialize;

/// A round through the kennel.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct RoundsShown {
    /// Name of the kennel.
    pub kennel: String,
    /// The day it is for.
    pub today: String,
    /// The last day it looks at.
    pub last: String,
    /// Whom to call out of hours.
    pub emergency_vet: Option<VetShown>,
    /// The usual cautions.
    pub cautions: &'static str,
    /// Those of a dam, while one is on the round.
    pub dam_cautions: Option<String>,
    /// What to do, the most urgent first.
    pub tasks: Vec<TaskShown>,
    /// What is to be kept in mind of bitches between litters; nothing of it is to be ticked.
    pub bitches: Vec<BitchNote>,
}

/// Something to be kept in mind of a bitch.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct BitchNote {
    /// The dog's file.
    pub dog: String,
    /// The name it comes to.
    pub name: String,
    /// What.
    pub what: String,
    /// First day.
    pub from: String,
    /// Last day.
    pub until: String,
    /// Where the days come from.
    pub source: &'static str,
}

/// How soon a task is to be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum TaskUrgency {
    /// At once: the vet is called.
    #[serde(rename = "call the vet")]
    CallTheVet,
    /// Its last day is over.
    Overdue,
    /// Today.
    Today,
    /// Tomorrow.
    Tomorrow,
    /// On a later day.
    Later,
}

/// One thing to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct TaskShown {
    /// `call the vet`, `overdue`, `today`, `tomorrow` or `later`.
    #[schemars(with = "String")]
    pub urgency: TaskUrgency,
    /// The day it is for; today for what is urgent or overdue.
    pub day: String,
    /// `finding`, `birth`, `weigh-in`, `treatment`, `recovery`, `care`, `before the birth`,
    /// `leaving`, `rule`, `follow-up` or `growing up`.
    pub kind: &'static str,
    /// Folder of the litter.
    pub litter: String,
    /// Name of the litter.
    pub litter_name: String,
    /// Whether it is for the dam.
    pub dam: bool,
    /// The puppies it is for; none when it is for the litter or the dam.
    pub puppies: Vec<PuppyTag>,
    /// Whether these are several, and all that are here.
    #[serde(skip)]
    pub is_for_all: bool,
    /// Whether it is a weigh-in.
    #[serde(skip)]
    pub is_weigh_in: bool,
    /// For whom, in words: `Fern, Reed`, `all 5`, the dam's or the litter's name.
    pub who: String,
    /// What.
    pub what: String,
    /// How many times it is still to be done that day.
    pub times: usize,
    /// Since when it is open or overdue.
    pub since: Option<String>,
    /// The last day for it.
    pub until: Option<String>,
    /// What to do or type.
    #[serde(rename = "do")]
    pub act: String,
    /// Where the day comes from.
    pub source: String,
}

/// A puppy by name and ribbon.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PuppyTag {
    /// Name in the records.
    pub id: String,
    /// Name.
    pub name: String,
    /// Name of its ribbon.
    pub ribbon: Option<&'static str>,
}

/// The round under headings, for a page and for the wall.
#[derive(Debug, Clone, Serialize)]
pub struct RoundsSheet {
    /// `call the vet`, `overdue`, `today`, `tomorrow` and later days, those that have tasks.
    pub groups: Vec<TaskGroup>,
    /// The last day it looks at.
    pub last: Dated,
    /// The cautions of a dam, while one is on the round.
    pub dam_cautions: Option<String>,
    /// What is to be kept in mind of bitches between litters.
    pub bitches: Vec<BitchLine>,
}

/// Something to be kept in mind of a bitch, on the sheet.
#[derive(Debug, Clone, Serialize)]
pub struct BitchLine {
    /// What.
    pub note: BitchNote,
    /// Days in words: `5 Oct to 30 Nov`.
    pub days: String,
    /// Path of her page below the root of the book.
    pub path: String,
}

/// All tasks of one heading.
#[derive(Debug, Clone, Serialize)]
pub struct TaskGroup {
    /// Heading: `Call the vet`, `Today` …
    pub title: String,
    /// `call the vet`, `overdue`, `today`, `tomorrow` or `later`.
    pub urgency: TaskUrgency,
    /// The tasks, each with the ribbons of its puppies and where its litter stands in the book.
    pub tasks: Vec<TaskLine>,
}

/// One task on the sheet.
#[derive(Debug, Clone, Serialize)]
pub struct TaskLine {
    /// The task.
    pub task: TaskShown,
    /// Ribbons, where it is for a few puppies.
    pub ribbons: Vec<RibbonShown>,
    /// The newest picture of the puppy, where it is for one.
    pub picture: Option<PictureShown>,
    /// Days in words: `since 3 Oct`, `until 12 Oct`.
    pub days: String,
    /// What to do or type.
    pub act: String,
    /// Whether what to do is typed.
    pub typed: bool,
    /// Path of the puppy's or the litter's page below the root of the book.
    pub path: String,
}

/// The round, `days` ahead.
#[must_use]
pub fn shown(records: &Records, figures: &Figures<'_>, days: u16) -> RoundsShown {
    let round = rounds::of_kennel(records, figures, &records.owners.homes(), days);
    shown_of(records, figures, round)
}

/// A round that was made already.
#[must_use]
pub fn shown_of(records: &Records, figures: &Figures<'_>, round: Rounds) -> RoundsShown {
    let Rounds {
        today,
        last,
        tasks,
        bitches,
    } = round;
    let vet = vet(&records.kennel);
    let tasks = tasks.into_iter().filter_map(|task| {
        Some(shown_task(
            records,
            records.litters.get(&task.litter)?,
            figures,
            vet.as_ref(),
            today,
            task,
        ))
    });
    let tasks: Vec<TaskShown> = tasks.collect();
    let tells_pyometra = bitches.iter().any(|note| note.what == NoteKind::Pyometra);
    RoundsShown {
        kennel: records.kennel.name.to_string(),
        today: today.to_string(),
        last: last.to_string(),
        dam_cautions: tasks
            .iter()
            .any(|task| task.dam)
            .then(|| dam::cautions(!tells_pyometra)),
        tasks,
        bitches: bitches
            .iter()
            .map(|note| bitch_note(records, note))
            .collect(),
        emergency_vet: vet,
        cautions: CAUTIONS,
    }
}

fn shown_task(
    records: &Records,
    folder: &LitterFolder,
    figures: &Figures<'_>,
    vet: Option<&VetShown>,
    today: Day,
    task: Task,
) -> TaskShown {
    let Task {
        turn,
        kind,
        litter,
        whom,
        what,
        times,
        since,
        until,
        act,
        source,
    } = task;
    let (urgency, day) = match turn {
        Turn::CallTheVet => (TaskUrgency::CallTheVet, today),
        Turn::Overdue => (TaskUrgency::Overdue, today),
        Turn::Today => (TaskUrgency::Today, today),
        Turn::Later(day) if day.since(today) == 1 => (TaskUrgency::Tomorrow, day),
        Turn::Later(day) => (TaskUrgency::Later, day),
    };
    let here: Vec<&Puppy> = folder
        .living()
        .filter(|p| !figures.litters.is_gone(folder, p))
        .collect();
    // One that is asked after has left.
    let named =
        |ids: &[Id]| -> Vec<&Puppy> { folder.living().filter(|p| ids.contains(&p.id)).collect() };
    let dam = whom == Whom::Dam;
    let mut is_for_all = false;
    let (puppies, who, for_whom) = match &whom {
        Whom::Litter => (Vec::new(), "the litter".to_owned(), "all".to_owned()),
        Whom::Dam => {
            let dam = records.dogs.get(&folder.litter.dam);
            (
                Vec::new(),
                dam.map_or_else(
                    || folder.litter.dam.to_string(),
                    |d| d.shown_name().to_string(),
                ),
                "dam".to_owned(),
            )
        }
        Whom::Puppies(ids) => {
            let meant = named(ids);
            is_for_all = meant.len() == here.len()
                && meant.len() > 1
                && meant
                    .iter()
                    .all(|puppy| here.iter().any(|p| p.id == puppy.id));
            let tags: Vec<PuppyTag> = meant.into_iter().map(tag).collect();
            let names: Vec<String> = tags.iter().map(|tag| tag.name.clone()).collect();
            let who = if is_for_all {
                format!("all {}", tags.len())
            } else {
                names.join(", ")
            };
            // `all` means every living puppy, those that have left too.
            let is_whole = is_for_all && tags.len() == folder.living().count();
            let ids = tags
                .iter()
                .map(|tag| tag.id.clone())
                .collect::<Vec<_>>()
                .join(",");
            (tags, who, if is_whole { "all".to_owned() } else { ids })
        }
    };
    TaskShown {
        urgency,
        day: day.to_string(),
        kind: kind.word(),
        act: in_words(&act, &litter, &for_whom, &puppies, vet),
        litter: litter.to_string(),
        litter_name: folder.litter.name.to_string(),
        dam,
        puppies,
        is_for_all,
        is_weigh_in: kind == TaskKind::WeighIn,
        who,
        what: words::rounds::what(&what, records.kennel.is_read_in_ounces()),
        times,
        since: since.map(|day| day.to_string()),
        until: until.map(|day| day.to_string()),
        source: words::rounds::source(source, today),
    }
}

fn bitch_note(records: &Records, note: &SeasonNote) -> BitchNote {
    let SeasonNote {
        dog,
        what,
        from,
        to,
    } = note;
    let (what, source) = bitch::note(*what);
    BitchNote {
        name: records
            .dogs
            .get(dog)
            .map_or_else(|| dog.to_string(), |d| d.shown_name().to_string()),
        dog: dog.to_string(),
        what,
        from: from.to_string(),
        until: to.to_string(),
        source,
    }
}

fn tag(puppy: &Puppy) -> PuppyTag {
    PuppyTag {
        id: puppy.id.to_string(),
        name: puppy.shown_name(),
        ribbon: puppy.ribbon.map(|ribbon| ribbon.name()),
    }
}

/// What a line that is typed begins with.
const TYPED: &str = "litterfolio ";

impl RoundsShown {
    /// The same, with commands that run from where the keeper is, who named the kennel's folder.
    #[must_use]
    pub fn typed_with(mut self, folder: &str) -> Self {
        for task in &mut self.tasks {
            if let Some(rest) = task.act.strip_prefix(TYPED) {
                task.act = format!("{TYPED}--kennel {folder} {rest}");
            }
        }
        self
    }
}

impl TaskShown {
    /// Whether what to do is a command.
    #[must_use]
    pub fn is_typed(&self) -> bool {
        self.act.starts_with(TYPED)
    }
}

/// What to do, in words or as it is typed.
fn in_words(
    act: &TaskAction,
    litter: &Id,
    for_whom: &str,
    puppies: &[PuppyTag],
    vet: Option<&VetShown>,
) -> String {
    match act {
        TaskAction::CallTheVet => vet.map_or_else(
            || "call the vet".to_owned(),
            |VetShown { clinic, phone }| format!("call the vet: {clinic}, {phone}"),
        ),
        TaskAction::Weigh => format!("{TYPED}weigh {litter}"),
        TaskAction::WeighDam => format!("{TYPED}weigh {litter} dam"),
        TaskAction::Record {
            kind,
            item: Some(item),
        } => format!(
            "{TYPED}tend {litter} {} --item {item} --for {for_whom}",
            kind.key()
        ),
        TaskAction::Record { kind, item: None } => {
            format!("{TYPED}tend {litter} {} --for {for_whom}", kind.key())
        }
        // One puppy is meant: a round makes a task of each.
        TaskAction::HandOver => puppies
            .iter()
            .map(|puppy| format!("{TYPED}handover {litter}/{}", puppy.id))
            .collect::<Vec<_>>()
            .join(" && "),
        TaskAction::Say(advice) => words::rounds::advice(*advice).to_owned(),
    }
}

/// The same under headings.
pub(super) fn sheet(context: &mut BookContext<'_>, shown: &RoundsShown) -> RoundsSheet {
    let mut groups: Vec<TaskGroup> = Vec::new();
    for task in &shown.tasks {
        let on = |title: &str| format!("{title}, {}", in_full(&task.day));
        let title = match task.urgency {
            TaskUrgency::CallTheVet => "Call the vet".to_owned(),
            TaskUrgency::Overdue => "Overdue".to_owned(),
            TaskUrgency::Today => on("Today"),
            TaskUrgency::Tomorrow => on("Tomorrow"),
            TaskUrgency::Later => on("Later"),
        };
        let line = line(context, task);
        match groups.last_mut().filter(|group| group.title == title) {
            Some(group) => group.tasks.push(line),
            None => groups.push(TaskGroup {
                title,
                urgency: task.urgency,
                tasks: vec![line],
            }),
        }
    }
    let last = shown.last.parse().unwrap_or(context.records.today);
    let bitches = shown.bitches.iter().map(|note| BitchLine {
        note: note.clone(),
        days: bitch_days(note),
        path: format!("bitches/{}.html", note.dog),
    });
    RoundsSheet {
        groups,
        last: Dated::from(last),
        bitches: bitches.collect(),
        dam_cautions: shown.dam_cautions.clone(),
    }
}

fn line(context: &mut BookContext<'_>, task: &TaskShown) -> TaskLine {
    let folder = context.records.litters.get(task.litter.as_str());
    let ribbon = |tag: &PuppyTag| {
        folder?
            .litter
            .puppies
            .iter()
            .find(|p| p.id.as_str() == tag.id)?
            .ribbon
            .map(RibbonShown::from)
    };
    // For one puppy the line leads to its own page.
    let one = if let [one] = &task.puppies[..] {
        Some(one)
    } else {
        None
    };
    let rest = one.map(|one| format!("/{}", one.id)).unwrap_or_default();
    let picture = one.and_then(|one| {
        let folder = folder?;
        puppy::link(
            context,
            folder,
            folder
                .litter
                .puppies
                .iter()
                .find(|p| p.id.as_str() == one.id)?,
        )
        .picture
    });
    TaskLine {
        picture,
        ribbons: if task.is_for_all {
            Vec::new()
        } else {
            task.puppies.iter().filter_map(ribbon).collect()
        },
        days: days(task),
        act: task.act.clone(),
        typed: task.is_typed(),
        path: format!("litters/{}{rest}.html", task.litter),
        task: task.clone(),
    }
}

/// From and until when, in short.
#[must_use]
pub fn bitch_days(note: &BitchNote) -> String {
    let short = |day: &str| {
        day.parse()
            .map_or_else(|_| day.to_owned(), super::words::short)
    };
    format!("{} to {}", short(&note.from), short(&note.until))
}

/// Since and until when, in short.
pub fn days(task: &TaskShown) -> String {
    let short = |day: &Option<String>| Some(super::words::short(day.as_ref()?.parse().ok()?));
    match (short(&task.since), short(&task.until)) {
        (_, Some(until)) if task.until.as_ref() == Some(&task.day) => format!("last day {until}"),
        (_, Some(until)) => format!("until {until}"),
        (Some(since), None) if task.is_weigh_in => format!("last {since}"),
        (Some(since), None) => format!("since {since}"),
        (None, None) => String::new(),
    }
}

/// `Friday 9 October 2026`.
#[must_use]
pub fn in_full(day: &str) -> String {
    day.parse::<Day>().map_or_else(
        |_| day.to_owned(),
        |day| day.date().format("%A %-d %B %Y").to_string(),
    )
}
