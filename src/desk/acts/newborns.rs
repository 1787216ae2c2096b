//! The newborn checks of a whole litter, down a list.
//!
//! In: a litter. Out: for each living puppy the parts of the checklist as its record has them, and
//! its palate; then changes of `litter.yaml`. A field that is left empty changes nothing, and what
//! the checks found stands on the page that follows.

use super::super::forms::shape::{self, Form, Kind};
use super::form::{
    ActField, ActFieldKind, ActFields, ActForm, ActItem, ActPage, AskedSlips, Group, Section,
    choices,
};
use super::whom::label;
use super::{Act, Halt, Made, Scene, at, page_of};
use crate::audience::words;
use crate::husbandry::findings::{CAUTIONS, FindingRule};
use crate::quantity::capital;
use crate::records::LitterFolder;
use crate::records::changing::Change;
use crate::records::litter::{Look, Palate, Puppy};
use crate::records::problem::key_path;

pub(super) const NEWBORNS: Act = Act {
    path: "litters/{litter}/newborns",
    what: "newborn checks",
    page,
    make,
};

const NORMAL: &str = "normal";
/// What says that all the rest of a puppy is normal.
const REST: &str = "rest";

/// The checklist as the form of a puppy's record has it.
fn checklist() -> Option<Form> {
    let block = |kind: &Kind, key: &str| match kind {
        Kind::Block(form) => Some(form.field(key)?.kind.clone()),
        _ => None,
    };
    let Kind::List(puppy) = block(&shape::of("litter")?, "puppies")? else {
        return None;
    };
    match block(&puppy, "newborn")? {
        Kind::Block(form) => Some(form),
        _ => None,
    }
}

fn name(puppy: &Puppy, part: &str) -> String {
    format!("{}.{part}", puppy.id)
}

fn page(scene: &Scene<'_>) -> Option<ActPage> {
    let litter = scene.litter()?;
    let checklist = checklist()?;
    let groups = litter.living().map(|puppy| {
        let stands = |stands: &str| match stands {
            "" => String::new(),
            stands => format!("so far: {stands}"),
        };
        let palate = Some(puppy.palate.word()).filter(|_| puppy.palate != Palate::NotLookedAt);
        let ways = ["intact", "cleft"].map(|way| (way, capital(way)));
        let palate = ActField::choice(&name(puppy, "palate"), "Palate", choices(ways))
            .help(stands(palate.unwrap_or_default()));
        let parts = puppy.newborn.looks().into_iter().map(|(part, look)| {
            let field = checklist.field(part);
            let label = field.map_or(part, |field| &field.label);
            let help = match look {
                Look::NotLookedAt => field.map_or_else(String::new, |field| field.help.clone()),
                Look::Normal => stands(NORMAL),
                Look::Seen(words) => stands(words.as_ref()),
            };
            ActField::text(&name(puppy, part), label)
                .earlier(vec![NORMAL.to_owned()])
                .help(help)
        });
        let rest = "Everything was looked at: what is not known yet is normal";
        let rest = ActField::new(&name(puppy, REST), rest, ActFieldKind::Tick);
        let is_open = !scene.figures.litters[&litter.id].puppies[&puppy.id]
            .not_looked_at
            .is_empty();
        Group {
            is_shut: !is_open,
            is_row: true,
            ..Group::new(
                &label(puppy),
                [rest, palate].into_iter().chain(parts).collect(),
            )
        }
    });
    Some(ActPage {
        lead: vec![
            "Write “normal”, or what was seen. What is left empty stays as it is; with the tick, \
             what was not known is normal."
                .to_owned(),
        ],
        form: Some(ActForm::saved_by("Save the checks", groups.collect())),
        found: Vec::from_iter(found(scene, litter)),
        ..page_of(litter, "Newborn checks")
    })
}

/// What the checks found that is not as it should be.
fn found(scene: &Scene<'_>, litter: &LitterFolder) -> Option<Section> {
    let is_of_checks =
        |rule| matches!(rule, FindingRule::PalateCleft | FindingRule::NewbornFinding);
    let findings = scene.figures.litters.findings(litter);
    let items = findings
        .iter()
        .filter(|found| is_of_checks(found.rule()))
        .filter_map(|found| {
            let what = words::findings::what(found, scene.ounces());
            Some(ActItem {
                title: label(litter.puppy(found.puppy.as_ref()?)?),
                findings: vec![(found.urgency.words(), what)],
                ..ActItem::default()
            })
        });
    let mut items: Vec<ActItem> = items.collect();
    if !items.is_empty() {
        items.push(ActItem {
            words: vec![CAUTIONS.to_owned()],
            ..ActItem::default()
        });
    }
    Section::of("Found so far", items)
}

fn make(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let mut slips = AskedSlips::default();
    let mut changes = Vec::new();
    let puppies = litter.litter.puppies.iter().enumerate();
    for (n, puppy) in puppies.filter(|(_, puppy)| puppy.is_alive()) {
        let is_normal = given.get(&name(puppy, REST)).is_some();
        let mut set = |path, value: &str| changes.push(Change::set(path, value));
        let said = given.get(&name(puppy, "palate")).unwrap_or_default();
        let palate = [Palate::Intact, Palate::Cleft]
            .into_iter()
            .find(|way| way.word() == said);
        match palate {
            Some(palate) if palate != puppy.palate => {
                set(key_path!["puppies", n, "palate"], palate.word());
            }
            None if is_normal && puppy.palate == Palate::NotLookedAt => {
                set(key_path!["puppies", n, "palate"], Palate::Intact.word());
            }
            _ => {}
        }
        for (part, look) in puppy.newborn.looks() {
            let path = key_path!["puppies", n, "newborn", part];
            let field = name(puppy, part);
            match given.value::<Look>(&field, &mut slips) {
                Some(seen) if seen != *look => set(path, given.get(&field).unwrap_or_default()),
                None if is_normal && *look == Look::NotLookedAt => set(path, NORMAL),
                _ => {}
            }
        }
    }
    if changes.is_empty() && slips.0.is_empty() {
        slips.push("", "nothing new is filled in", "write at least one");
    }
    slips.none()?;
    Ok(Made {
        to: at(&litter.id, None, "newborns"),
        ..Made::of_litter(litter, changes)
    })
}
