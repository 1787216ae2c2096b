//! Today's round, each task ticked where it stands.
//!
//! In: the round of `husbandry`, said as in the book. Out: the tasks under their headings. What is
//! recorded as a health entry has its own small form that asks only for what is missing; the rest
//! leads to where it is done.

use super::form::{ActField, ActFields, ActForm, ActItem, ActLink, ActPage, Group, Section};
use super::health::{fields, kind_words};
use super::{Act, Halt, Made, ROOT, Scene, at};
use crate::audience::keeper::{self, TaskShown};
use crate::audience::words::rounds::advice as advice_words;
use crate::husbandry::findings::{CAUTIONS, FindingRule};
use crate::husbandry::rounds::{
    self, Advice, Task, TaskAction as Do, TaskContent, TaskKind, Turn, Whom,
};
use crate::quantity::Id;
use crate::records::health::HealthKind;

pub(super) const TODAY: Act = Act {
    path: "today",
    what: "round",
    page,
    make: nothing,
};

/// How many days the round looks ahead.
const AHEAD: u16 = 1;

fn page(scene: &Scene<'_>) -> Option<ActPage> {
    let homes = scene.records.owners.homes();
    let round = rounds::of_kennel(scene.records, scene.figures, &homes, AHEAD);
    let shown = keeper::round_shown(scene.records, scene.figures, round.clone());
    let tomorrow = scene.records.today.plus(1);
    let mut sections: Vec<Section> = Vec::new();
    for (task, shown) in round.tasks.iter().zip(&shown.tasks) {
        let day = keeper::in_full(&shown.day);
        let heading = match task.turn {
            Turn::CallTheVet => "Call the vet".to_owned(),
            Turn::Overdue => "Overdue".to_owned(),
            Turn::Today => format!("Today, {day}"),
            Turn::Later(day_of) if day_of == tomorrow => format!("Tomorrow, {day}"),
            Turn::Later(_) => format!("Later, {day}"),
        };
        let item = item(scene, task, shown);
        match sections.last_mut().filter(|known| known.heading == heading) {
            Some(section) => section.items.push(item),
            None => sections.push(Section {
                heading,
                items: vec![item],
            }),
        }
    }
    let lead = if sections.is_empty() {
        "Nothing is on the round today or tomorrow."
    } else {
        CAUTIONS
    };
    Some(ActPage {
        above: scene.records.kennel.name.to_string(),
        title: "Today’s round".to_owned(),
        lead: vec![lead.to_owned()],
        sections,
        links: vec![ActLink::new("All litters", format!("{ROOT}litters"))],
        ..ActPage::default()
    })
}

fn item(scene: &Scene<'_>, task: &Task, shown: &TaskShown) -> ActItem {
    let days = keeper::task_days(shown);
    let times = if shown.times > 1 {
        format!("{} times", shown.times)
    } else {
        String::new()
    };
    let words = [&shown.litter_name, &days, &times];
    let words: Vec<String> = words
        .into_iter()
        .filter(|words| !words.is_empty())
        .cloned()
        .collect();
    let mut item = ActItem {
        words: vec![words.join(", ")],
        ..ActItem::titled(format!("{}: {}", shown.who, shown.what))
    };
    let litter = &task.litter;
    let later = matches!(task.turn, Turn::Later(_));
    match &task.act {
        Do::CallTheVet => item.words.push(shown.act.clone()),
        Do::Weigh if later => {}
        Do::Weigh => item
            .links
            .push(ActLink::new("Weigh the litter", at(litter, None, "weigh"))),
        Do::WeighDam => item
            .links
            .push(ActLink::new("Weigh her", at(litter, None, "weigh"))),
        Do::Record { kind, item: named } => {
            record(scene, task, (*kind, named.as_deref()), &mut item);
        }
        Do::HandOver => {
            if let Whom::Puppies(ids) = &task.whom {
                item.links.extend(ids.iter().map(|id| {
                    ActLink::new("Papers for leaving", at(litter, Some(id), "handover"))
                }));
            }
        }
        Do::Say(advice) => {
            item.words.push(advice_words(*advice).to_owned());
            item.links
                .extend(ways_of_advice(*advice, litter, &task.whom));
        }
    }
    if let TaskContent::Findings(found) = &task.what
        && found
            .iter()
            .any(|found| found.rule() == FindingRule::NotLookedAt)
    {
        let to = at(litter, None, "newborns");
        item.links.push(ActLink::new("Newborn checks", to));
    }
    item
}

/// Where that is done which an advice asks for.
fn ways_of_advice(advice: Advice, litter: &Id, whom: &Whom) -> Vec<ActLink> {
    match advice {
        Advice::WriteCount | Advice::WriteXRayCount | Advice::WriteProgesterone => {
            let to = at(litter, None, "pregnancy");
            vec![ActLink::new("Write it down", to)]
        }
        Advice::SetPlacedOrNewDay | Advice::AgreeDay => {
            let ids = match whom {
                Whom::Puppies(ids) => ids.as_slice(),
                Whom::Dam | Whom::Litter => &[],
            };
            let home = |id| ActLink::new("Its new home", at(litter, Some(id), "home"));
            ids.iter().map(home).collect()
        }
        _ => Vec::new(),
    }
}

/// How a task is recorded where it stands.
fn record(
    scene: &Scene<'_>,
    task: &Task,
    (kind, named): (HealthKind, Option<&str>),
    item: &mut ActItem,
) {
    let whom = match &task.whom {
        Whom::Dam => "dam".to_owned(),
        Whom::Litter => "all".to_owned(),
        Whom::Puppies(ids) => ids
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join(","),
    };
    let of_plan = match &task.what {
        TaskContent::Care { item, .. } => Some(item.id.clone()),
        _ => None,
    };
    let plan = named.map(str::to_owned).or(of_plan);
    let asked = plan
        .as_deref()
        .map(|plan| format!("&item={plan}"))
        .unwrap_or_default();
    let tend = at(&task.litter, None, "tend");
    let path = format!("{tend}?kind={}&for={whom}{asked}", kind.key());
    // Those with a value for each puppy, and those with much to say, have a page of their own.
    // How an illness ended is said in words.
    let has_page = task.kind == TaskKind::Finding
        || matches!(
            kind,
            HealthKind::Temperature
                | HealthKind::Chip
                | HealthKind::Feed
                | HealthKind::FollowUp
                | HealthKind::Illness
        );
    let is_of_some = whom != "all";
    if has_page || !is_of_some {
        item.links.push(ActLink::new(kind_words(kind), path));
    } else {
        let (needs, _) = fields(scene, kind);
        let needs: Vec<ActField> = needs
            .into_iter()
            .filter(|field| field.name != "item")
            .collect();
        let today = scene.records.today.to_string();
        let hidden = [
            ("kind", kind.key()),
            ("for", whom.as_str()),
            ("on", today.as_str()),
            ("from", "today"),
        ]
        .into_iter()
        .chain(named.map(|plan| ("item", plan)))
        .map(|(name, value)| (name.to_owned(), value.to_owned()))
        .collect();
        item.forms.push(ActForm {
            action: path.clone(),
            hidden,
            about: item.title.clone(),
            ..ActForm::saved_by("Done today", vec![Group::new("", needs)])
        });
        item.links
            .push(ActLink::new("Another day, or more to say", path));
    }
    if let (Some(plan), true) = (plan, task.kind == TaskKind::Care && is_of_some) {
        let path = format!("{tend}?kind=excused&for={whom}&item={plan}");
        item.links.push(ActLink::new("Not to be done", path));
    }
}

/// Nothing is sent to a page that only leads on: its forms go to where something is recorded.
pub(super) fn nothing(_: &Scene<'_>, _: &ActFields) -> Result<Made, Halt> {
    Err(Halt::Gone)
}
