//! Entries of `health.yaml`: worming, vaccination, a check, a temperature, illness, treatment …
//!
//! In: a litter, the kind of entry, for whom. Out: a form with what belongs to that kind; then the
//! entries, and for a chip its number in `litter.yaml` as well. What is given, and how much, the
//! label and the vet say, word for word.

use super::form::{
    ActChoice, ActField, ActFields, ActForm, ActLink, ActPage, AskedSlips, Group, choices,
};
use super::twice;
use super::whom::{label, meant, no_longer_here};
use super::{Act, Halt, Made, ROOT, Scene, at, page_of};
use crate::app::recording::{FileChange, Work};
use crate::app::tending::details::{KindDetails, TypedEntry, readable, speaks_of_amounts, written};
use crate::app::tending::{When, whom};
use crate::audience::words::health as words;
use crate::quantity::{ChipNumber, Day, Temperature};
use crate::records::LitterFolder;
use crate::records::adding::{EntryValue, NewEntry};
use crate::records::changing::Change;
use crate::records::health::{HealthDetail, HealthKind};
use crate::records::problem::key_path;
use std::collections::BTreeSet;

/// What those who are here are asked for by.
const FOR_WHOM: &str = "For whom";

pub(super) const TEND: Act = Act {
    path: "litters/{litter}/tend",
    what: "health entry",
    page,
    make,
};

/// What a kind is called on a page.
pub(super) fn kind_words(kind: HealthKind) -> &'static str {
    match kind {
        HealthKind::Worming => "Worming",
        HealthKind::Parasite => "Against fleas, ticks or mites",
        HealthKind::Vaccination => "Vaccination",
        HealthKind::Check => "A check, by the vet or by you",
        HealthKind::Temperature => "Temperature",
        HealthKind::Feed => "A feed by hand",
        HealthKind::Illness => "Signs of illness",
        HealthKind::Treatment => "Medicine or other treatment",
        HealthKind::Chip => "Chip put in",
        HealthKind::Test => "A test and its result",
        HealthKind::FollowUp => "How it is in its new home",
        HealthKind::Excused => "Not to be done, and why",
        HealthKind::Done => "Done",
    }
}

/// Kinds of which each puppy has a value of its own: they are filled in down a list.
fn is_list(kind: HealthKind) -> bool {
    listed(kind).is_some()
}

/// The detail that is filled in down a list.
fn listed(kind: HealthKind) -> Option<HealthDetail> {
    match kind {
        HealthKind::Temperature => Some(HealthDetail::Value),
        HealthKind::Chip => Some(HealthDetail::Number),
        _ => None,
    }
}

/// The kinds that can be chosen; those that need an item of the care plan come from the round, and
/// what is told of puppies alone waits for them.
pub(super) fn kinds(litter: &LitterFolder) -> Vec<ActLink> {
    let of_plan = [HealthKind::Done, HealthKind::Excused];
    let of_puppies = [HealthKind::Chip, HealthKind::Feed, HealthKind::FollowUp];
    let is_born = !litter.litter.puppies.is_empty();
    HealthKind::ALL
        .into_iter()
        .filter(|kind| !of_plan.contains(kind))
        .filter(|kind| is_born || !of_puppies.contains(kind))
        .map(|kind| {
            let path = format!("{}?kind={}", at(&litter.id, None, "tend"), kind.key());
            ActLink::new(kind_words(kind), path)
        })
        .collect()
}

/// What was typed as this detail in entries of this kind, the newest first.
fn earlier(scene: &Scene<'_>, kind: HealthKind, detail: HealthDetail) -> Vec<String> {
    let is_offered = matches!(
        (kind, detail),
        (
            HealthKind::Worming
                | HealthKind::Parasite
                | HealthKind::Vaccination
                | HealthKind::Treatment,
            HealthDetail::Product
        ) | (
            HealthKind::Vaccination | HealthKind::Check | HealthKind::Chip,
            HealthDetail::By
        )
    );
    if !is_offered {
        return Vec::new();
    }
    let mut known = BTreeSet::new();
    let litters = scene.records.litters.values().rev();
    litters
        .flat_map(|litter| litter.health.iter().rev())
        .filter_map(|entry| {
            let mut said = entry.parts().details.into_iter();
            said.find(|(of, own, _)| (*of, *own) == (kind, detail))
        })
        .map(|(_, _, value)| value.to_string())
        .filter(|words| known.insert(words.clone()))
        .take(8)
        .collect()
}

fn field(scene: &Scene<'_>, kind: HealthKind, detail: HealthDetail, is_needed: bool) -> ActField {
    let (key, said) = (detail.key(), words::detail(kind, detail));
    let field = match detail {
        HealthDetail::Expiry | HealthDetail::NextDue | HealthDetail::Until => {
            ActField::day(key, said.label, None)
        }
        HealthDetail::Weight | HealthDetail::Amount | HealthDetail::Energy => {
            ActField::amount(key, said.label)
        }
        HealthDetail::Findings | HealthDetail::Advice | HealthDetail::Signs | HealthDetail::How
            if kind != HealthKind::Feed =>
        {
            ActField::area(key, said.label)
        }
        _ => ActField::text(key, said.label),
    };
    ActField {
        is_needed,
        ..field.help(said.help).earlier(earlier(scene, kind, detail))
    }
}

/// Fields of a kind: those that it needs, and those that it may have.
pub(super) fn fields(scene: &Scene<'_>, kind: HealthKind) -> (Vec<ActField>, Vec<ActField>) {
    let KindDetails { needs, may } = KindDetails::of(kind);
    let with = |details: Vec<HealthDetail>, is_needed| -> Vec<ActField> {
        let own = details.into_iter().filter(|own| listed(kind) != Some(*own));
        own.map(|detail| field(scene, kind, detail, is_needed))
            .collect()
    };
    (with(needs, true), with(may, false))
}

fn page(scene: &Scene<'_>) -> Option<ActPage> {
    let litter = scene.litter()?;
    let Some(kind) = scene.query.get("kind").and_then(HealthKind::of_key) else {
        return Some(ActPage {
            links: kinds(litter),
            ..page_of(litter, "What was done or seen?")
        });
    };
    let puppies = meant(scene, litter, kind);
    let chosen = scene.query.get("for").unwrap_or_default().split(',');
    let chosen: Vec<&str> = chosen.collect();
    let is_all = matches!(chosen[..], ["all"]);
    let with_dam = !matches!(
        kind,
        HealthKind::Chip | HealthKind::FollowUp | HealthKind::Excused
    );
    let dam = with_dam.then(|| ("dam".to_owned(), format!("{}, the dam", scene.dam(litter))));
    let everybody: Vec<(String, String)> = puppies
        .iter()
        .map(|puppy| (puppy.id.to_string(), label(puppy)))
        .chain(dam)
        .collect();
    let others: Vec<(String, String)> = no_longer_here(scene, litter, kind)
        .into_iter()
        .map(|(puppy, label)| (puppy.id.to_string(), label))
        .collect();
    let is_asked = |id: &str| chosen.contains(&id);
    let are_others_meant = puppies.is_empty() || others.iter().any(|(id, _)| is_asked(id));
    let whom = |label: &str, of: Vec<(String, String)>, is_all: bool| -> Vec<ActField> {
        if of.is_empty() {
            return Vec::new();
        }
        if is_list(kind) {
            let amount = |(id, label): (String, String)| ActField::amount(&id, label);
            return of.into_iter().map(amount).collect();
        }
        let mut ticks: Vec<ActChoice> = choices(of);
        for tick in &mut ticks {
            tick.is_on = is_asked(&tick.value) || (is_all && tick.value != "dam");
        }
        if puppies.len() > 2 && kind != HealthKind::FollowUp && label == FOR_WHOM {
            let all = choices([("all", "All puppies that are here")]);
            ticks.splice(0..0, all);
        }
        vec![ActField::ticks("for", label, ticks)]
    };
    let mut here = whom(FOR_WHOM, everybody, is_all);
    if let [field] = &mut here[..]
        && !is_list(kind)
        && others.is_empty()
    {
        field.is_needed = true;
    }
    let gone = whom("No longer here", others, false);
    let gone = if are_others_meant {
        Group::new("", gone)
    } else {
        Group::shut("No longer here", gone)
    };
    let when = if matches!(kind, HealthKind::Temperature | HealthKind::Feed) {
        ActField::moment("at", "When", scene.now)
    } else {
        ActField::day("on", "On which day", Some(scene.records.today))
    };
    let (mut needs, mut may) = fields(scene, kind);
    if let Some(item) = needs.iter_mut().find(|field| field.name == "item") {
        *item = items(scene, litter, item);
    }
    // What was found is what a check is written down for.
    let found = may
        .iter()
        .position(|field| field.name == HealthDetail::Findings.key());
    needs.extend(found.map(|at| may.remove(at)));
    may.push(ActField::remark());
    let list = if kind == HealthKind::Temperature {
        "with its unit: 38.2 °C; left empty, it was not taken"
    } else {
        "the 15 digits; left empty, it has none yet"
    };
    let legend = if is_list(kind) { list } else { "" };
    let lead = speaks_of_amounts(kind)
        .then(|| "What is given, and how much, the vet and the label say.".to_owned());
    let mut groups = vec![
        Group::new(legend, here),
        gone,
        Group::new("", [vec![when.needed()], needs].concat()),
        Group::shut("More", may),
    ];
    groups.retain(|group| !group.fields.is_empty());
    Some(ActPage {
        lead: Vec::from_iter(lead),
        form: Some(ActForm {
            hidden: vec![("kind".to_owned(), kind.key().to_owned())],
            ..ActForm::recording(groups)
        }),
        ..page_of(litter, kind_words(kind))
    })
}

/// The items of the care plan, of which one or several are meant.
fn items(scene: &Scene<'_>, litter: &LitterFolder, known: &ActField) -> ActField {
    let mut seen = BTreeSet::new();
    let figures = &scene.figures.litters[&litter.id];
    let standings = figures
        .puppies
        .values()
        .flat_map(|puppy| &puppy.care.standings);
    let all = standings
        .filter(|standing| seen.insert(standing.item.id.clone()))
        .map(|standing| (standing.item.id.clone(), standing.item.name.clone()));
    let asked = scene.query.get("item").unwrap_or_default().split(',');
    let asked: Vec<&str> = asked.filter(|item| !item.is_empty()).collect();
    let mut ticks = choices(all);
    for item in &asked {
        if ticks.iter().all(|tick| tick.value != *item) {
            ticks.extend(choices([(*item, *item)]));
        }
    }
    for tick in &mut ticks {
        tick.is_on = asked.contains(&tick.value.as_str());
    }
    ActField::ticks("item", known.label.clone(), ticks).needed()
}

fn make(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let kind = if given.get("act") == Some("excuse") {
        HealthKind::Excused
    } else {
        let typed = given.get("kind").and_then(HealthKind::of_key);
        typed.ok_or(Halt::Gone)?
    };
    let mut slips = AskedSlips::default();
    let when = given
        .moment("at", &mut slips)
        .map(When::At)
        .or_else(|| given.value::<Day>("on", &mut slips).map(When::On));
    let own = KindDetails::of(kind);
    let mut details = Vec::new();
    for detail in own.all().filter(|own| listed(kind) != Some(*own)) {
        if let Some(value) = value(given, detail, &mut slips) {
            details.push((detail, value));
        } else if own.needs.contains(&detail) {
            let label = words::detail(kind, detail).label;
            slips.push(detail.key(), format!("{label}: this is needed"), "");
        }
    }
    let remark = given.words("remark", &mut slips);
    if kind == HealthKind::Excused && remark.is_none() {
        slips.push("remark", "say why it is not to be done", "a few words");
    }
    slips.ask("on", when.as_ref(), "say when it was");
    let Some(when) = when else {
        return Err(slips.into());
    };
    let (entries, mut files) = if is_list(kind) {
        down_the_list(
            scene,
            litter,
            given,
            kind,
            &details,
            remark.as_deref(),
            when,
            &mut slips,
        )
    } else {
        let said = TypedEntry::of(kind, details, remark);
        (
            for_those(scene, litter, given, &said, when, &mut slips),
            Vec::new(),
        )
    };
    slips.none()?;
    let called = (kind, kind_words(kind));
    twice::asked_back(scene, litter, given, called, when.day(), page)?;
    files.insert(
        0,
        (litter.file("health.yaml"), Work::HealthEntries(entries)),
    );
    let to = if given.get("from") == Some("today") {
        format!("{ROOT}today")
    } else {
        at(&litter.id, None, "")
    };
    Ok(Made { files, to })
}

/// What was filled in for a detail, as it is written.
fn value(given: &ActFields, detail: HealthDetail, slips: &mut AskedSlips) -> Option<EntryValue> {
    if detail == HealthDetail::Item {
        let items = given.names("item").map(|item| item.trim().to_owned());
        let items: Vec<String> = items.filter(|item| !item.is_empty()).collect();
        let wrong = items.iter().find_map(|item| readable(detail, item).err());
        if let Some(why) = wrong {
            slips.push("item", why.message, &why.hint);
        }
        return match &items[..] {
            [] => None,
            [one] => Some(EntryValue::One(one.clone())),
            _ => Some(EntryValue::Several(items)),
        };
    }
    let text = given.words(detail.key(), slips)?;
    slips.read(detail.key(), readable(detail, &text));
    Some(written(detail, &text))
}

/// Entries for those who are ticked.
fn for_those(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    given: &ActFields,
    said: &TypedEntry,
    when: When,
    slips: &mut AskedSlips,
) -> Vec<NewEntry> {
    let (dam, puppies): (Vec<&str>, Vec<&str>) =
        given.names("for").partition(|name| *name == "dam");
    if dam.is_empty() && puppies.is_empty() {
        slips.push("for", "say for whom it was", "tick one, several or all");
        return Vec::new();
    }
    let here = meant(scene, litter, said.kind);
    let is_all = puppies.contains(&"all")
        || puppies.len() > 1
            && here.len() == puppies.len()
            && here
                .iter()
                .all(|puppy| puppies.contains(&puppy.id.as_str()));
    let puppies = if is_all {
        "all".to_owned()
    } else {
        puppies.join(",")
    };
    let mut entries = Vec::new();
    for whom in [puppies.as_str(), &dam.concat()]
        .into_iter()
        .filter(|whom| !whom.is_empty())
    {
        // A weight that is too old is left out; whoever wants one types it.
        let found = whom::given(
            scene.records,
            scene.figures,
            &scene.loaded.sources,
            litter,
            Some(whom),
            said,
            when.day(),
            &|_| None,
        );
        match found {
            Ok(found) => entries.extend(found.into_iter().map(|given| {
                said.entry(
                    when.begun(given.whom),
                    given.weight.as_deref(),
                    given.number.as_deref(),
                )
            })),
            Err(_) if said.weighs => slips.push(
                "weight",
                "one of these puppies has no weight by that day",
                "weigh it first, or write here for which weight it was given",
            ),
            Err(why) => slips.push("for", why, ""),
        }
    }
    entries
}

/// Entries of those who have a value in the list; numbers of chips stand with the puppy as well.
#[expect(clippy::too_many_arguments, reason = "one step of `make`")]
fn down_the_list(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    given: &ActFields,
    kind: HealthKind,
    details: &[(HealthDetail, EntryValue)],
    remark: Option<&str>,
    when: When,
    slips: &mut AskedSlips,
) -> (Vec<NewEntry>, Vec<FileChange>) {
    let mut entries = Vec::new();
    let mut chips = Vec::new();
    let gone = no_longer_here(scene, litter, kind).into_iter();
    let puppies = meant(scene, litter, kind)
        .into_iter()
        .chain(gone.map(|(puppy, _)| puppy));
    let names = puppies.map(|puppy| puppy.id.to_string());
    for name in names.chain((kind == HealthKind::Temperature).then(|| "dam".to_owned())) {
        let value = if kind == HealthKind::Chip {
            let number = given.value::<ChipNumber>(&name, slips);
            number.map(|number| number.to_string())
        } else {
            let warmth = given.value::<Temperature>(&name, slips);
            warmth.and_then(|_| given.words(&name, slips))
        };
        let Some(value) = value else { continue };
        let of_list = listed(kind).map(|detail| (detail, EntryValue::One(value.clone())));
        let own = of_list.into_iter().chain(details.iter().cloned()).collect();
        let said = TypedEntry::of(kind, own, remark.map(str::to_owned));
        entries.push(said.entry(when.begun(name.as_str().into()), None, None));
        if kind == HealthKind::Chip {
            chips.push((name, value));
        }
    }
    if entries.is_empty() && slips.0.is_empty() {
        slips.push("", "nothing is filled in", "write at least one value");
    }
    let place = |name: &str| {
        let puppies = &litter.litter.puppies;
        puppies.iter().position(|puppy| puppy.id.as_str() == name)
    };
    let changes: Vec<Change> = chips
        .into_iter()
        .filter_map(|(name, number)| {
            let path = key_path!["puppies", place(&name)?, "chip"];
            Some(Change::set(path, number))
        })
        .collect();
    (entries, Made::of_litter(litter, changes).files)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_kind_and_every_detail_has_words_of_its_own() {
        let words: BTreeSet<&str> = HealthKind::ALL.map(kind_words).into();
        assert_eq!(words.len(), HealthKind::ALL.len(), "{words:?}");
        for kind in HealthKind::ALL {
            // Those of a list are asked for with words of their own.
            let details = kind.details().iter().map(|(detail, _)| *detail);
            let asked = details.filter(|detail| listed(kind) != Some(*detail));
            let labels: Vec<&str> = asked.map(|own| words::detail(kind, own).label).collect();
            let different: BTreeSet<&str> = labels.iter().copied().collect();
            assert_eq!(labels.len(), different.len(), "{kind:?}: {labels:?}");
        }
    }
}
