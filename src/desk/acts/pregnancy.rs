//! What comes before a birth: matings, progesterone, ovulation, the count; and that a mating came
//! to nothing.
//!
//! In: a litter that is expected. Out: a form of four small parts, of which any may be filled in;
//! then the changes of `litter.yaml`. The days that follow are computed from them.

use super::form::{
    ActField, ActFields, ActForm, ActItem, ActLink, ActPage, AskedSlips, Group, Section, choices,
};
use super::values::{block, text};
use super::{Act, Halt, Made, Scene, at, page_of};
use crate::quantity::{Day, Progesterone};
use crate::records::LitterFolder;
use crate::records::changing::Change;
use crate::records::problem::key_path;

pub(super) const PREGNANCY: Act = Act {
    path: "litters/{litter}/pregnancy",
    what: "before the birth",
    page,
    make,
};

fn page(scene: &Scene<'_>) -> Option<ActPage> {
    let litter = scene.litter()?;
    let here = scene.records.today;
    let counted = litter.litter.counted.as_ref();
    let ways = [("ultrasound", "Ultrasound"), ("x-ray", "X-ray")];
    let by = counted.map_or("", |count| count.by.word());
    let groups = vec![
        Group::new("A mating", vec![ActField::day("mated", "Mated on", None)]),
        Group::new(
            "A blood sample",
            vec![
                ActField::amount("progesterone", "Progesterone")
                    .help("with its unit, such as 5.6 ng/ml or 18 nmol/l"),
                ActField::day("sampled", "Taken on", Some(here)),
                ActField::text("laboratory", "Laboratory"),
            ],
        ),
        Group::new(
            "Ovulation",
            vec![
                ActField::day("ovulated", "Ovulated on", litter.litter.ovulated)
                    .help("where it is known"),
            ],
        ),
        Group::new(
            "The count",
            vec![
                ActField::choice("by", "Counted by", choices(ways)).with(by),
                ActField::day("counted_on", "Counted on", counted.map(|count| count.on)),
                ActField::amount("puppies", "How many puppies")
                    .help("0 where none were found: the mating came to nothing, or they were lost")
                    .with_some(counted.map(|count| count.puppies)),
            ],
        ),
    ];
    let record = format!("/-desk/form/{}", litter.file("litter.yaml"));
    let mut page = ActPage {
        lead: vec!["Fill in what is new, and leave the rest as it stands.".to_owned()],
        form: Some(ActForm::recording(groups)),
        sections: Vec::from_iter(known(litter)),
        ..page_of(litter, "Before the birth")
    };
    let label = "Put right or take out what was written";
    page.links.push(ActLink::new(label, record));
    Some(page)
}

/// What is known already.
fn known(litter: &LitterFolder) -> Option<Section> {
    let mated = litter.litter.mated.iter();
    let mated = mated.map(|day| format!("Mated on {}", day.in_words()));
    let samples = litter.litter.progesterone.iter().map(|sample| {
        let by = sample.laboratory.as_ref();
        let by = by.map_or_else(String::new, |by| format!(", {by}"));
        format!(
            "Progesterone {} on {}{by}",
            sample.value,
            sample.on.in_words()
        )
    });
    let items = mated.chain(samples).map(ActItem::titled).collect();
    Section::of("Written down so far", items)
}

fn make(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let mut slips = AskedSlips::default();
    let mut changes = Vec::new();
    if let Some(day) = given.value::<Day>("mated", &mut slips) {
        changes.extend(mating(scene, litter, day));
    }
    changes.extend(sample(scene, litter, given, &mut slips));
    let ovulated = given.value::<Day>("ovulated", &mut slips);
    match (ovulated, litter.litter.ovulated) {
        (Some(day), before) if before != Some(day) => {
            changes.push(Change::set(key_path!["ovulated"], day.to_string()));
        }
        (None, Some(_)) if slips.0.is_empty() => {
            changes.push(Change::take_out(key_path!["ovulated"]));
        }
        _ => {}
    }
    changes.extend(count(litter, given, &mut slips));
    slips.none()?;
    Ok(Made {
        to: at(&litter.id, None, "pregnancy"),
        ..Made::of_litter(litter, changes)
    })
}

/// One more day of mating. A day may stand by itself or in a list.
fn mating(scene: &Scene<'_>, litter: &LitterFolder, day: Day) -> Option<Change> {
    let known = &litter.litter.mated;
    if known.contains(&day) {
        return None;
    }
    let written = scene
        .loaded
        .sources
        .finder()
        .written(&litter.file("litter.yaml"), &["mated".into()]);
    let is_alone = written.is_some_and(|text| !text.trim_start().starts_with(['[', '-']));
    let path = key_path!["mated"];
    Some(if is_alone {
        let days = known.iter().chain([&day]).map(ToString::to_string);
        Change::set(path, days.collect::<Vec<_>>())
    } else {
        Change::add(path, day.to_string())
    })
}

/// One more sample, behind those that were taken before it.
fn sample(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    given: &ActFields,
    slips: &mut AskedSlips,
) -> Option<Change> {
    let laboratory = given.words("laboratory", slips);
    let on = given.value::<Day>("sampled", slips);
    let Some(typed) = given.get("progesterone") else {
        if laboratory.is_some() {
            slips.push("progesterone", "say which value was measured", "");
        }
        return None;
    };
    given.value::<Progesterone>("progesterone", slips)?;
    if on.is_some_and(|on| on > scene.records.today) {
        slips.push("sampled", "this day is still to come", "");
    }
    slips.ask("sampled", on.as_ref(), "say on which day it was taken");
    let known = &litter.litter.progesterone;
    let later = known
        .iter()
        .position(|known| on.is_some_and(|on| known.on > on));
    Some(Change::Add {
        path: key_path!["progesterone"],
        at: later,
        value: block([
            ("on", text(on)),
            ("value", Some(typed.to_owned())),
            ("laboratory", laboratory),
        ])
        .into(),
    })
}

/// The count, when it is another than the one that is written.
fn count(litter: &LitterFolder, given: &ActFields, slips: &mut AskedSlips) -> Option<Change> {
    let before = litter.litter.counted.as_ref();
    let by = given.get("by");
    let on = given.value::<Day>("counted_on", slips);
    let puppies = given.get("puppies");
    if by.is_none() && on.is_none() && puppies.is_none() {
        let is_out = before.is_some() && slips.0.is_empty();
        return is_out.then(|| Change::take_out(key_path!["counted"]));
    }
    let number = puppies.and_then(|typed| typed.parse::<u32>().ok());
    if by.is_none() {
        slips.push("by", "say how they were counted", "");
    }
    if on.is_none() && given.get("counted_on").is_none() {
        slips.push("counted_on", "say when they were counted", "");
    }
    let Some(number) = number else {
        slips.push(
            "puppies",
            "say how many, as a number",
            "0 where none were found",
        );
        return None;
    };
    let is_same = before.is_some_and(|before| {
        Some(before.by.word()) == by && Some(before.on) == on && before.puppies == number
    });
    if is_same {
        return None;
    }
    let mut count = block([("by", text(by)), ("on", text(on))]);
    count.insert("puppies".into(), number.into());
    Some(Change::set(key_path!["counted"], count))
}
