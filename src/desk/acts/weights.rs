//! Weights: a weigh-in down the list of a litter, and weights that are put right.
//!
//! In: a litter. Out: a field for each puppy with its last weight; what is sent is asked back where
//! it looks like a slip, as `weigh` does on a terminal, and what it says of each puppy stands on
//! the page that follows.

use super::form::{
    ActField, ActFields, ActForm, ActItem, ActLink, ActPage, AskedSlips, Group, Section,
};
use super::whom::label;
use super::{Act, Halt, Made, Scene, at, page_of};
use crate::app::recording::Work;
use crate::audience::words;
use crate::audience::words::weighing::{change, last};
use crate::husbandry::findings::{CAUTIONS, Finding, Urgency};
use crate::husbandry::growth::hours_from;
use crate::husbandry::weighing::{Weighing, most_urgent};
use crate::quantity::{Id, Moment, Weight};
use crate::records::adding::NewEntry;
use crate::records::changing::Change;
use crate::records::problem::key_path;
use crate::records::weights::DAM;
use crate::records::{LitterFolder, sheet};
use std::cmp::Reverse;

pub(super) const WEIGH: Act = Act {
    path: "litters/{litter}/weigh",
    what: "weigh-in",
    page: weigh,
    make: weighed,
};

pub(super) const CORRECT: Act = Act {
    path: "litters/{litter}/puppies/{puppy}/weights",
    what: "weights put right",
    page: correct,
    make: corrected,
};

fn weigh(scene: &Scene<'_>) -> Option<ActPage> {
    let litter = scene.litter()?;
    let weighing = Weighing::new(scene.records, litter);
    let (now, ounces) = (scene.now, scene.ounces());
    let zone = scene.records.kennel.time_zone.0;
    let mut fields = Vec::new();
    if litter.litter.birth.is_some() {
        for puppy in weighing.here() {
            let before = weighing.last_before(&puppy.id, now);
            let hours = before
                .as_ref()
                .map_or(0.0, |point| hours_from(zone, point.at, now));
            let field = ActField::amount(puppy.id.as_str(), label(&puppy));
            fields.push(field.help(last(before.as_ref(), hours, ounces)));
        }
    }
    fields.push(ActField::amount(
        DAM,
        format!("{}, the dam", scene.dam(litter)),
    ));
    let unit = scene.records.bare_unit(litter);
    let said = scene.query.get("at").and_then(|at| at.parse().ok());
    let sections = said.map(|at| answers(scene, litter, &weighing, at));
    let more = vec![ActField::text("by", "Who weighed"), ActField::remark()];
    Some(ActPage {
        lead: vec![format!(
            "A bare number is in {}. Whoever was not on the scale is left empty.",
            unit.name()
        )],
        form: Some(ActForm::saved_by(
            "Save the weights",
            vec![
                Group::new("", fields),
                Group::new("", vec![ActField::moment("at", "When", now).needed()]),
                Group::shut("More", more),
            ],
        )),
        found: sections.unwrap_or_default(),
        ..page_of(litter, "Weigh-in")
    })
}

/// Where stands what the weights of a weigh-in say.
pub(super) fn answers_at(litter: &LitterFolder, at: Moment) -> String {
    let time = at.to_string().replacen(' ', "T", 1);
    format!("{}?at={time}", super::at(&litter.id, None, "weigh"))
}

/// What the weights of a weigh-in say.
fn answers(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    weighing: &Weighing<'_>,
    at: Moment,
) -> Vec<Section> {
    let mut items: Vec<(Option<Urgency>, ActItem)> = Vec::new();
    for puppy in &litter.litter.puppies {
        let Some(said) = weighing.said(&puppy.id, at) else {
            continue;
        };
        let findings = said.findings.iter().map(|finding| {
            let what = words::findings::what(finding, scene.ounces());
            (finding.urgency.words(), what)
        });
        let item = ActItem {
            title: format!("{}: {}", label(puppy), said.weight.show(scene.ounces())),
            words: vec![change(&said, scene.ounces())],
            findings: findings.collect(),
            links: vec![ActLink::new(
                "Put a weight right",
                super::at(&litter.id, Some(&puppy.id), "weights"),
            )],
            ..ActItem::default()
        };
        items.push((most_urgent(&said.findings), item));
    }
    // The most urgent first; the others keep their order.
    items.sort_by_key(|(urgency, _)| Reverse(*urgency));
    let Some((worst, _)) = items.first() else {
        return Vec::new();
    };
    let worst = *worst;
    let mut items: Vec<ActItem> = items.into_iter().map(|(_, item)| item).collect();
    if worst.is_some_and(|worst| worst > Urgency::Steady) {
        let vet = scene.records.kennel.contact.emergency_vet.as_ref();
        let vet = vet
            .filter(|_| worst == Some(Urgency::CallTheVet))
            .map(|vet| format!("emergency vet: {}, {}", vet.clinic, vet.phone));
        items.push(ActItem {
            title: String::new(),
            words: vet.into_iter().chain([CAUTIONS.to_owned()]).collect(),
            ..ActItem::default()
        });
    }
    vec![Section {
        heading: format!("The weigh-in of {}", at.in_words()),
        items,
    }]
}

/// What the program finds of one weight, as it stands beside the others, and whether something
/// asks for a second look. What is urgent stands first: a phone shows little more above its keys.
pub(super) fn found(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    id: &Id,
    (at, weight): (Moment, Weight),
) -> (Vec<String>, bool) {
    let mut weighing = Weighing::new(scene.records, litter);
    weighing.take(id, at, weight);
    let doubts = weighing.doubts(&[at]);
    let own = doubts.iter().filter(|doubt| doubt.puppies.contains(id));
    let own = own.map(|doubt| words::weighing::doubt(&doubt.reason, scene.ounces()));
    let mut lines: Vec<String> = own.collect();
    let mut is_asked = !lines.is_empty();
    if let Some(said) = weighing.said(id, at) {
        let (mut urgent, steady): (Vec<&Finding>, Vec<&Finding>) = said
            .findings
            .iter()
            .partition(|finding| finding.urgency > Urgency::Steady);
        is_asked |= !urgent.is_empty();
        urgent.sort_by_key(|finding| Reverse(finding.urgency));
        let line = |finding: &Finding| {
            let what = words::findings::what(finding, scene.ounces());
            format!("{}: {what}", finding.urgency.words())
        };
        lines = urgent.into_iter().map(line).chain(lines).collect();
        lines.push(change(&said, scene.ounces()));
        lines.extend(steady.into_iter().map(line));
    }
    (lines, is_asked)
}

fn weighed(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let file = litter.file("weights.yaml");
    let unit = scene.records.bare_unit(litter);
    let mut slips = AskedSlips::default();
    let at = given.moment("at", &mut slips);
    slips.ask("at", at.as_ref(), "say when they were weighed");
    let Some(at) = at else {
        return Err(slips.into());
    };
    if let Some(why) = sheet::not_yet(at, scene.latest()) {
        slips.push("at", why.message, &why.hint);
    }
    let mut weights: Vec<(Id, Weight, String)> = Vec::new();
    let puppies = litter.litter.puppies.iter().map(|puppy| &puppy.id);
    let dam: Option<Id> = DAM.parse().ok();
    for id in puppies.chain(&dam) {
        let Some(typed) = given.get(id.as_str()) else {
            continue;
        };
        let puppy = litter.puppy(id);
        if let Some(why) = puppy.and_then(|puppy| sheet::impossible(litter, puppy, at)) {
            slips.push(id.as_str(), why.message, &why.hint);
            continue;
        }
        let typed = slips.read(id.as_str(), Weight::typed(typed, unit));
        weights.extend(typed.map(|(weight, written)| (id.clone(), weight, written)));
    }
    if weights.is_empty() && slips.0.is_empty() {
        slips.push("", "no weight is filled in", "write at least one");
    }
    twice(scene, litter, at, &weights, &mut slips);
    let (by, remark) = (
        given.words("by", &mut slips),
        given.words("remark", &mut slips),
    );
    slips.none()?;
    asked_back(scene, litter, given, at, &weights)?;
    let head = NewEntry::new()
        .with("at", at.to_string())
        .with_some("by", by);
    let body = weights.iter().fold(head, |entry, (id, _, written)| {
        entry.with(id.as_str(), written.as_str())
    });
    let entry = body.with_some("remark", remark);
    Ok(Made {
        files: vec![(file, Work::WeighIns(vec![entry]))],
        to: answers_at(litter, at),
    })
}

/// A second weight for one time would hide the first.
fn twice(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    at: Moment,
    weights: &[(Id, Weight, String)],
    slips: &mut AskedSlips,
) {
    for (id, ..) in weights {
        let known = litter
            .weigh_ins
            .iter()
            .filter(|weigh_in| weigh_in.at.to_the_minute() == at)
            .find_map(|weigh_in| weigh_in.weights.get(id));
        if let Some(known) = known {
            slips.push(
                id.as_str(),
                format!(
                    "there is another weight for {at}: {}",
                    known.show(scene.ounces())
                ),
                "say another time, or put that weight right on the puppy’s page",
            );
        }
    }
}

/// What looks like a slip is asked back once; sent again unchanged, it is meant.
fn asked_back(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    given: &ActFields,
    at: Moment,
    weights: &[(Id, Weight, String)],
) -> Result<(), Halt> {
    let mut weighing = Weighing::new(scene.records, litter);
    for (id, weight, _) in weights {
        weighing.take(id, at, *weight);
    }
    let doubts = weighing.doubts(&[at]);
    let meant: String = weights
        .iter()
        .map(|(id, _, written)| format!("{id}={written};"))
        .chain([at.to_string()])
        .collect();
    if doubts.is_empty() || given.get("meant") == Some(meant.as_str()) {
        return Ok(());
    }
    let Some(page) = weigh(scene) else {
        return Err(Halt::Gone);
    };
    let mut slips = AskedSlips::default();
    for doubt in doubts {
        let own = doubt
            .puppies
            .iter()
            .find(|puppy| weights.iter().any(|(id, ..)| id == *puppy));
        let hint = "weigh again, or look at the scale; sent once more as it is, it is saved";
        slips.push(
            own.map_or("", Id::as_str),
            words::weighing::doubt(&doubt.reason, scene.ounces()),
            hint,
        );
    }
    let page = page.asked_back(given, slips, meant, "Save the weights as they are");
    Err(Halt::Show(Box::new(page)))
}

fn correct(scene: &Scene<'_>) -> Option<ActPage> {
    let (litter, n, puppy) = scene.puppy()?;
    let mut finder = scene.loaded.sources.finder();
    let file = litter.file("weights.yaml");
    let birth = key_path!["puppies", n, "weight"];
    let birth = finder.written(&litter.file("litter.yaml"), &birth);
    let birth = birth.map(|text| text.trim().to_owned());
    let mut fields = vec![ActField::amount("weight", "At birth").with_some(birth)];
    for weigh_in in litter.weigh_ins.iter().rev() {
        if weigh_in.weights.contains_key(&puppy.id) {
            let path = key_path![weigh_in.block, puppy.id.as_str()];
            let written = finder.written(&file, &path).unwrap_or_default();
            let field = ActField::amount(
                &name_of(weigh_in.block, weigh_in.at),
                weigh_in.at.in_words(),
            );
            fields.push(field.with(written.trim().trim_matches(['"', '\''])));
        }
    }
    Some(ActPage {
        lead: vec![
            "Write over what is wrong. A weight that is emptied is taken out of its weigh-in."
                .to_owned(),
        ],
        form: Some(ActForm::saved_by("Save", vec![Group::new("", fields)])),
        ..page_of(litter, format!("The weights of {}", puppy.shown_name()))
    })
}

/// The field of a weight: the place of its weigh-in in the file, and its time.
fn name_of(block: usize, at: Moment) -> String {
    format!("{block} {at}")
}

fn corrected(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let (litter, n, puppy) = scene.puppy().ok_or(Halt::Gone)?;
    let file = litter.file("weights.yaml");
    let unit = scene.records.bare_unit(litter);
    let mut slips = AskedSlips::default();
    let (mut here, mut birth) = (Vec::new(), Vec::new());
    let mut one = |name: &str, path: Vec<_>, old: Option<Weight>, changes: &mut Vec<Change>| {
        let Some(typed) = given.get(name) else {
            // A field that was not sent, because the file changed, is left alone.
            if given.all(name).next().is_some() && old.is_some() {
                changes.push(Change::take_out(path));
            }
            return;
        };
        let typed = slips.read(name, Weight::typed(typed, unit));
        let other = typed.filter(|(weight, _)| old != Some(*weight));
        changes.extend(other.map(|(_, written)| Change::set(path, written)));
    };
    for weigh_in in &litter.weigh_ins {
        if let Some(weight) = weigh_in.weights.get(&puppy.id) {
            let path = key_path![weigh_in.block, puppy.id.as_str()];
            let name = name_of(weigh_in.block, weigh_in.at);
            one(&name, path, Some(*weight), &mut here);
        }
    }
    one(
        "weight",
        key_path!["puppies", n, "weight"],
        puppy.weight,
        &mut birth,
    );
    slips.none()?;
    let files = [(file, here), (litter.file("litter.yaml"), birth)];
    let to = at(&litter.id, Some(&puppy.id), "weights");
    Ok(Made::changed(files, to))
}
