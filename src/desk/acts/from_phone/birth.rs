//! A birth that a phone noted, and what was looked at afterwards.
//!
//! In: keys of a newborn as the whelping sheet has them, and the records. Out: changes of
//! `litter.yaml`. Several phones note one birth: a puppy that another of them noted, or the desk,
//! is joined where nothing contradicts it, and asked about where it may be the same. Places in the
//! order of birth follow the times. What stands there is kept, and what differs is a question.

use super::super::births::{free_name, place};
use super::super::form::{ActFields, AskedSlips};
use super::super::values::{block, text};
use super::super::{Halt, Made, Scene};
use super::{Decided, NotedBirth, Taking, say_unknown};
use crate::quantity::{BirthTime, Day, Moment, Ribbon};
use crate::records::changing::Change;
use crate::records::litter::{CHECKLIST, Puppy};
use crate::records::problem::key_path;
use crate::records::{Beside, LitterFolder, beside, written_puppies};
use serde_yaml::{Mapping, Value};

/// Keys of a newborn that a phone may say, in the order in which they are written.
const KEYS: [&str; 9] = [
    "ribbon",
    "sex",
    "colour",
    "markings",
    "horn",
    "weight",
    "first_breath",
    "palate",
    "placenta",
];
/// Items of a vigour score.
const SCORED: [&str; 5] = ["heart", "breathing", "reflex", "movement", "gums"];
/// Fields that say which puppy, or how it came.
const ABOUT: [&str; 6] = ["born", "birth", "puppy", "how", "stillborn", "seen"];
/// Two phones that note one birth press within this time of each other, s.
const NEAR: i64 = 60;

/// How a birth is like a puppy of the records.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Likeness {
    /// It is this one.
    Same,
    /// It may be this one.
    Maybe,
    /// It is another.
    Other,
}

/// What is said of a newborn.
struct NewbornTold {
    /// Keys of the records, each with its value.
    keys: Mapping,
    /// Items of the checklist.
    looks: Vec<(&'static str, Value)>,
    /// A vigour score.
    score: Option<Mapping>,
    /// When it was born.
    at: Option<Moment>,
}

/// What becomes of something that the records have otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Differing {
    Ask,
    Take,
    Leave,
}

fn told(given: &ActFields, slips: &mut AskedSlips) -> NewbornTold {
    let mut keys = Mapping::new();
    for key in KEYS {
        if let Some(text) = given.words(key, slips) {
            keys.insert(key.into(), Value::String(text));
        }
    }
    let is_known = |name: &str| {
        let part = |start: &str, all: &[&str]| {
            name.strip_prefix(start)
                .is_some_and(|item| all.contains(&item))
        };
        KEYS.contains(&name)
            || ABOUT.contains(&name)
            || name == "vigour_at"
            || part("vigour_", &SCORED)
            || part("newborn_", &CHECKLIST)
    };
    for (name, _) in given.fields.iter().filter(|(name, _)| !is_known(name)) {
        slips.push("", format!("“{name}” is nothing that is known here"), "");
    }
    let looks = CHECKLIST.iter().filter_map(|item| {
        let words = given.words(&format!("newborn_{item}"), slips)?;
        Some((*item, Value::String(words)))
    });
    NewbornTold {
        keys,
        looks: looks.collect(),
        score: score(given, slips),
        at: exact(given, slips),
    }
}

/// A vigour score, as the records write it.
fn score(given: &ActFields, slips: &mut AskedSlips) -> Option<Mapping> {
    let mut score = Mapping::new();
    score.insert("at".into(), given.words("vigour_at", slips)?.into());
    for item in SCORED {
        if let Some(points) = given.words(&format!("vigour_{item}"), slips) {
            let number = points.parse::<u64>();
            let value = number.map_or(Value::String(points), Value::from);
            score.insert(item.into(), value);
        }
    }
    Some(score)
}

/// A time to the second.
fn exact(given: &ActFields, slips: &mut AskedSlips) -> Option<Moment> {
    let text = given.get("born")?.replacen('T', " ", 1);
    slips.read("born", text.parse())
}

/// A time of birth as it is written: on the litter's day without a day.
fn clock(at: Moment, on: Day) -> String {
    let written = if at.day() == on {
        "%H:%M:%S"
    } else {
        "%Y-%m-%d %H:%M:%S"
    };
    at.local().format(written).to_string()
}

/// A puppy in the records, said in words.
fn in_words(puppy: &Puppy, at: Option<Moment>, known: &Mapping) -> String {
    let text = |key: &str| known.get(key).and_then(Value::as_str).map(str::to_owned);
    let at = at.map(|at| {
        format!(
            "born {}, {}",
            at.day().in_words(),
            at.local().format("%H:%M:%S")
        )
    });
    let parts = [Some(puppy.shown_name()), text("sex"), text("ribbon"), at];
    let parts = parts.into_iter().chain([text("weight")]).flatten();
    parts.collect::<Vec<_>>().join(", ")
}

/// The puppies of a litter, and what is written of each.
fn written(scene: &Scene<'_>, litter: &LitterFolder) -> Vec<Mapping> {
    let text = scene.loaded.sources.text(&litter.file("litter.yaml"));
    let mut all = written_puppies(text.unwrap_or_default());
    all.resize(litter.litter.puppies.len(), Mapping::new());
    all
}

/// Whether both say the same ribbon.
fn ribbon_of(said: &Mapping, known: &Mapping) -> bool {
    let ribbon = said.get("ribbon");
    ribbon.is_some_and(|ribbon| beside(known, "ribbon", ribbon) == Beside::Alike)
}

fn likeness(
    said: &Mapping,
    at: Moment,
    puppy: &Puppy,
    known: &Mapping,
    there: Option<Moment>,
) -> Likeness {
    let holds = |key: &str| said.get(key).map(|value| beside(known, key, value));
    let differs = |key: &str| matches!(holds(key), Some(Beside::Differs(_)));
    let alike = |key: &str| holds(key) == Some(Beside::Alike);
    let by_ribbon = puppy.is_alive() && ribbon_of(said, known);
    if !by_ribbon && differs("ribbon") {
        return Likeness::Other;
    }
    let apart = there.map(|there| (there.local() - at.local()).num_seconds().abs());
    let is_near = apart.map_or(by_ribbon, |apart| apart <= NEAR);
    if !is_near {
        return if by_ribbon {
            Likeness::Maybe
        } else {
            Likeness::Other
        };
    }
    let is_sure = by_ribbon || apart == Some(0) || alike("weight");
    let contradicts = KEYS.iter().any(|key| differs(key));
    if is_sure && alike("sex") && !contradicts {
        Likeness::Same
    } else {
        Likeness::Maybe
    }
}

/// A puppy that was born.
pub(super) fn born(
    scene: &Scene<'_>,
    given: &ActFields,
    taking: Taking<'_>,
    named: &mut Option<String>,
) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let mut slips = AskedSlips::default();
    let told = told(given, &mut slips);
    let at = told.at;
    given.needed(
        "sex",
        "It does not say whether it is female or male",
        &mut slips,
    );
    match at {
        Some(at) if at.day() > scene.now.day() => {
            let message = format!("{} is still to come", clock(at, scene.now.day()));
            slips.push("born", message, "");
        }
        None if slips.0.is_empty() => slips.push("born", "It does not say when", ""),
        _ => {}
    }
    slips.none()?;
    let at = at.ok_or(Halt::Gone)?;
    let known = written(scene, litter);
    let is_known = |id: &str| {
        let mut noted = taking.births.iter();
        let is_seen = given.all("seen").any(|seen| seen == id);
        is_seen
            || noted.any(|b| b.litter == litter.id.as_str() && b.puppy == id && b.who == taking.who)
    };
    let likely = |wanted: Likeness| {
        let mut puppies = litter.litter.puppies.iter().zip(&known).enumerate();
        puppies.find_map(|(i, (puppy, known))| {
            let there = litter.litter.born_at(puppy);
            // Two presses on one phone are two puppies, and so is a press beside a puppy that the
            // phone showed already; unless they wear one ribbon.
            let likeness = if !is_known(puppy.id.as_str()) {
                likeness(&told.keys, at, puppy, known, there)
            } else if puppy.is_alive() && ribbon_of(&told.keys, known) {
                Likeness::Maybe
            } else {
                Likeness::Other
            };
            (likeness == wanted).then_some((i, puppy))
        })
    };
    let same = likely(Likeness::Same);
    let maybe = same.or_else(|| likely(Likeness::Maybe));
    let found = match taking.decided {
        Decided::No => same,
        Decided::Same => maybe,
        Decided::Phone => None,
    };
    if let Some((i, puppy)) = found {
        *named = Some(puppy.id.to_string());
        return Ok(joined(litter, i, &known[i], told));
    }
    if let (Decided::No, Some((i, puppy))) = (taking.decided, maybe) {
        let there = in_words(puppy, litter.litter.born_at(puppy), &known[i]);
        let message = format!("It may be a puppy that the records have: {there}");
        return Err(AskedSlips::one("born", message, "").into());
    }
    if taking.decided == Decided::Same {
        let message = "The records have no puppy that could be this one";
        return Err(AskedSlips::one("born", message, "").into());
    }
    added(litter, given, told, at, named)
}

/// What is missing of a puppy that stands there is added.
fn joined(litter: &LitterFolder, i: usize, known: &Mapping, mut told: NewbornTold) -> Made {
    if let Some((birth, at)) = litter.litter.birth.as_ref().zip(told.at) {
        told.keys.insert("born".into(), clock(at, birth.on).into());
    }
    let mut none = AskedSlips::default();
    let changes = filled(litter, i, known, told, (Differing::Leave, &mut none));
    Made::of_litter(litter, changes)
}

/// Changes that add what is missing.
fn filled(
    litter: &LitterFolder,
    i: usize,
    known: &Mapping,
    told: NewbornTold,
    (differing, slips): (Differing, &mut AskedSlips),
) -> Vec<Change> {
    let name = litter.litter.puppies[i].shown_name();
    let mut changes = Vec::new();
    let empty = Mapping::new();
    let newborn = known.get("newborn").and_then(Value::as_mapping);
    let own = told.keys.iter().filter_map(|(key, value)| {
        let key = key.as_str()?;
        Some((known, key, value, key_path!["puppies", i, key]))
    });
    let looks = told.looks.iter().map(|(item, value)| {
        let path = key_path!["puppies", i, "newborn", *item];
        (newborn.unwrap_or(&empty), *item, value, path)
    });
    for (known, key, value, path) in own.chain(looks) {
        let value = value.clone();
        match (beside(known, key, &value), differing) {
            (Beside::Alike, _) | (Beside::Differs(_), Differing::Leave) => {}
            (Beside::Differs(there), Differing::Ask) => {
                let key = key.replace('_', " ");
                slips.push(
                    "",
                    format!("The records hold for {name}: {key} {there}"),
                    "",
                );
            }
            (Beside::Missing, _) | (Beside::Differs(_), Differing::Take) => {
                changes.push(Change::Set { path, value });
            }
        }
    }
    let score = told.score;
    changes.extend(score.and_then(|score| scored(known, i, score, (&name, differing, slips))));
    changes
}

/// A further puppy, and its place in the order.
fn added(
    litter: &LitterFolder,
    given: &ActFields,
    told: NewbornTold,
    at: Moment,
    named: &mut Option<String>,
) -> Result<Made, Halt> {
    let puppies = &litter.litter.puppies;
    let mut said = told.keys;
    let (mut changes, on) = begun(litter, given, at)?;
    let (order, room) = place(litter, Some(at));
    changes.extend(room);
    let mut remark = None;
    let ribbon = said.get("ribbon").and_then(Value::as_str);
    let worn = ribbon.and_then(|ribbon| ribbon.parse::<Ribbon>().ok());
    let is_worn = |ribbon: Ribbon| {
        puppies
            .iter()
            .any(|p| p.is_alive() && p.ribbon == Some(ribbon))
    };
    if let Some(ribbon) = worn.filter(|ribbon| is_worn(*ribbon)) {
        said.remove("ribbon");
        remark = Some(format!("The phone said ribbon {}.", ribbon.name()));
    }
    let called = said.get("ribbon").and_then(Value::as_str);
    let called = called.map_or_else(|| format!("puppy-{}", puppies.len() + 1), str::to_owned);
    let id = free_name(litter, &called);
    let mut puppy = Mapping::new();
    puppy.insert("id".into(), id.clone().into());
    for key in ["ribbon", "sex", "colour", "markings"] {
        puppy.extend(said.remove(key).map(|value| (key.into(), value)));
    }
    puppy.insert("born".into(), clock(at, on).into());
    puppy.insert("order".into(), order.into());
    puppy.extend(said);
    let score = told.score.map(Value::Mapping);
    puppy.extend(score.map(|score| ("vigour".into(), Value::Sequence(vec![score]))));
    if !told.looks.is_empty() {
        let looks = told.looks.into_iter();
        let looks: Mapping = looks.map(|(item, words)| (item.into(), words)).collect();
        puppy.insert("newborn".into(), Value::Mapping(looks));
    }
    if given.get("stillborn").is_some() {
        puppy.insert("fate".into(), "stillborn".into());
    }
    puppy.extend(remark.map(|remark| ("remarks".into(), remark.into())));
    changes.push(Change::add(key_path!["puppies"], puppy));
    *named = Some(id);
    Ok(Made::of_litter(litter, changes))
}

/// The birth, begun with its first puppy; its day is that of the first puppy, also when that one is
/// told later than others.
fn begun(litter: &LitterFolder, given: &ActFields, at: Moment) -> Result<(Vec<Change>, Day), Halt> {
    let Some(birth) = &litter.litter.birth else {
        let mut slips = AskedSlips::default();
        let how = given.needed("how", "It does not say how the puppies come", &mut slips);
        slips.none()?;
        let value = block([("on", text(Some(at.day()))), ("how", Some(how))]);
        let begun = Change::set(key_path!["birth"], value);
        return Ok((vec![begun], at.day()));
    };
    let days = birth.on.since(at.day());
    // Further away than a night, one of the two is wrong: the records say which rule it breaks.
    if !(1..=2).contains(&days) {
        return Ok((Vec::new(), birth.on));
    }
    let on = key_path!["birth", "on"];
    let mut changes = vec![Change::set(on, at.day().to_string())];
    for (i, puppy) in litter.litter.puppies.iter().enumerate() {
        if let Some(time @ BirthTime::Clock(_)) = puppy.born {
            let born = key_path!["puppies", i, "born"];
            changes.push(Change::set(born, clock(time.on(birth.on), at.day())));
        }
    }
    Ok((changes, at.day()))
}

/// Which puppy is meant by what was looked at.
fn meant(
    litter: &LitterFolder,
    given: &ActFields,
    births: &[NotedBirth],
    at: Option<Moment>,
) -> Result<usize, Halt> {
    let noted = given.get("birth").and_then(|entry| {
        let mut births = births.iter();
        births.find(|birth| birth.entry == entry && birth.litter == litter.id.as_str())
    });
    let name = given
        .get("puppy")
        .or(noted.map(|noted| noted.puppy.as_str()));
    let puppies = litter.litter.puppies.iter();
    if let Some(name) = name {
        let found = puppies.clone().position(|puppy| puppy.id.as_str() == name);
        return found.ok_or_else(|| {
            let mut slips = AskedSlips::default();
            say_unknown(litter, "puppy", [name], &mut slips);
            slips.into()
        });
    }
    // A kill may have lost which puppy the birth became; its time says it as well.
    let mut at_that = puppies
        .enumerate()
        .filter(|(_, puppy)| at.is_some() && litter.litter.born_at(puppy) == at);
    if let (Some((i, _)), None) = (at_that.next(), at_that.next()) {
        return Ok(i);
    }
    let message = "The birth that it belongs to does not stand in the records";
    Err(AskedSlips::one("birth", message, "").into())
}

/// What was looked at of a puppy: what is missing is added.
pub(super) fn looked_at(
    scene: &Scene<'_>,
    given: &ActFields,
    taking: Taking<'_>,
) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let mut slips = AskedSlips::default();
    let told = told(given, &mut slips);
    slips.none()?;
    let i = meant(litter, given, taking.births, told.at)?;
    let known = &written(scene, litter)[i];
    let mut slips = AskedSlips::default();
    let differing = match taking.decided {
        Decided::No => Differing::Ask,
        Decided::Phone => Differing::Take,
        Decided::Same => Differing::Leave,
    };
    let changes = filled(litter, i, known, told, (differing, &mut slips));
    slips.none()?;
    Ok(Made::of_litter(litter, changes))
}

/// A vigour score: one for each time.
fn scored(
    known: &Mapping,
    i: usize,
    score: Mapping,
    (name, differing, slips): (&str, Differing, &mut AskedSlips),
) -> Option<Change> {
    let scores = known.get("vigour").and_then(Value::as_sequence);
    let at = score.get("at")?;
    let same = scores.into_iter().flatten().enumerate().find(|(_, known)| {
        let known = known.as_mapping();
        known.is_some_and(|known| beside(known, "at", at) == Beside::Alike)
    });
    let Some((place, there)) = same else {
        return Some(Change::add(key_path!["puppies", i, "vigour"], score));
    };
    let there = there.as_mapping()?;
    let mut parts = score
        .iter()
        .filter_map(|(key, value)| Some((key.as_str()?, value)));
    if parts.all(|(key, value)| beside(there, key, value) == Beside::Alike) {
        return None;
    }
    if differing == Differing::Ask {
        let at = at.as_str().unwrap_or_default();
        slips.push(
            "",
            format!("The records hold another score of {name} at {at}"),
            "",
        );
    }
    if differing != Differing::Take {
        return None;
    }
    Some(Change::set(key_path!["puppies", i, "vigour", place], score))
}

/// How the puppies come.
pub(super) fn way(scene: &Scene<'_>, given: &ActFields, decided: Decided) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let mut slips = AskedSlips::default();
    let how = given.needed("how", "It does not say how the puppies come", &mut slips);
    let Some(birth) = &litter.litter.birth else {
        slips.push("how", "The records have no birth of this litter yet", "");
        return Err(slips.into());
    };
    slips.none()?;
    let there = birth.how.word();
    if there == how {
        return Ok(Made::of_litter(litter, Vec::new()));
    }
    if decided != Decided::Phone {
        let message = format!("The records say of this birth: {there}");
        return Err(AskedSlips::one("how", message, "").into());
    }
    let change = Change::set(key_path!["birth", "how"], how);
    Ok(Made::of_litter(litter, vec![change]))
}
