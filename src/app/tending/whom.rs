//! For whom an entry is, and what each weighed last.
//!
//! In: who was typed, the litter, the day. Out: one [`Given`] for each entry: where each puppy has
//! its own weight, one for each puppy. `all` means everybody who is here: whoever had died or had
//! left by that day is not meant, and then the names are written out.

use super::details::TypedEntry;
use crate::husbandry::growth::Point;
use crate::husbandry::{Figures, LitterFigures};
use crate::quantity::{Day, Id, Unreadable, Weight};
use crate::records::adding::EntryValue;
use crate::records::litter::Puppy;
use crate::records::naming;
use crate::records::problem::key_path;
use crate::records::source::Sources;
use crate::records::{LitterFolder, Records};
use crate::terminal;

/// Whom one entry is for.
#[derive(Debug, Clone)]
pub struct Given {
    /// As it is written behind `for`.
    pub whom: EntryValue,
    /// The weight it was given for, as it is written.
    pub weight: Option<String>,
    /// What is said of that weight.
    pub weighed: Option<String>,
    /// The one puppy it is for.
    pub puppy: Option<Id>,
    /// The number of its own chip.
    pub number: Option<String>,
}

impl Given {
    /// For one puppy, with nothing more.
    pub fn one(puppy: &Puppy) -> Self {
        Self {
            whom: puppy.id.to_string().into(),
            weight: None,
            weighed: None,
            puppy: Some(puppy.id.clone()),
            number: None,
        }
    }
}

/// How many days a weight may be old and still be that of the day. Ours: in the second and third
/// week a puppy gains about a tenth of its weight in so long.
const WEIGHT_HOLDS: i64 = 3;

/// Whom the entries are for.
#[expect(
    clippy::too_many_arguments,
    reason = "what is known, what was typed, and how to ask"
)]
pub fn given(
    records: &Records,
    figures: &Figures<'_>,
    sources: &Sources,
    litter: &LitterFolder,
    typed: Option<&str>,
    said: &TypedEntry,
    day: Day,
    ask: Ask<'_>,
) -> Result<Vec<Given>, String> {
    let own = &figures.litters[&litter.id];
    let typed = match typed.map(str::trim) {
        Some("") => return Err("--for is empty; write all, dam or the names of puppies".to_owned()),
        Some(typed) => typed,
        None if said.may_be_for_all() => "all",
        None => {
            return Err(format!(
                "say for whom the `{}` is: --for with the name of a puppy, several with commas, \
                 all, or dam",
                said.kind.key()
            ));
        }
    };
    let names: Vec<&str> = typed
        .split(',')
        .map(str::trim)
        .filter(|name| !name.is_empty())
        .collect();
    if matches!(names[..], ["dam"]) {
        return Ok(vec![Given {
            whom: "dam".into(),
            weight: None,
            weighed: None,
            puppy: None,
            number: None,
        }]);
    }
    let is_all = matches!(names[..], ["all"]);
    let puppies = if is_all {
        here(records, litter, own, day)
    } else {
        named(litter, &names)?
    };
    if puppies.is_empty() {
        return Err(format!(
            "no puppy of {} was here on {day}",
            litter.litter.name
        ));
    }
    if said.weighs {
        return puppies
            .iter()
            .map(|puppy| with_weight(sources, litter, own, puppy, day, ask))
            .collect();
    }
    let alive = litter
        .litter
        .puppies
        .iter()
        .filter(|p| p.is_alive() || p.on.is_some_and(|died| died >= day))
        .count();
    let whom = match &puppies[..] {
        _ if is_all && puppies.len() == alive => "all".into(),
        [one] => one.id.to_string().into(),
        several => EntryValue::Several(several.iter().map(|puppy| puppy.id.to_string()).collect()),
    };
    let puppy = if let [one] = &puppies[..] {
        Some(one.id.clone())
    } else {
        None
    };
    Ok(vec![Given {
        whom,
        weight: None,
        weighed: None,
        puppy,
        number: None,
    }])
}

/// The puppies that are meant by what was typed; none for the dam.
pub fn puppies<'a>(
    records: &Records,
    figures: &Figures<'_>,
    litter: &'a LitterFolder,
    typed: Option<&str>,
    day: Day,
) -> Result<Vec<&'a Puppy>, String> {
    let names: Vec<&str> = typed
        .unwrap_or_default()
        .split(',')
        .map(str::trim)
        .filter(|name| !name.is_empty())
        .collect();
    match names[..] {
        ["all"] => Ok(here(records, litter, &figures.litters[&litter.id], day)),
        ["dam"] => Ok(Vec::new()),
        _ => named(litter, &names),
    }
}

/// Puppies that were alive and here on a day.
fn here<'a>(
    records: &Records,
    litter: &'a LitterFolder,
    own: &LitterFigures,
    day: Day,
) -> Vec<&'a Puppy> {
    let homes = records.owners.homes();
    let had_left = |puppy: &Puppy| {
        let figures = &own.puppies[&puppy.id];
        let agreed = homes
            .of(&litter.id, puppy)
            .and_then(|(_, takes)| takes.leaves)
            .or(figures.leaves_from);
        figures.is_gone && agreed.is_none_or(|left| left <= day)
    };
    let was_alive = |puppy: &Puppy| puppy.is_alive() || puppy.on.is_some_and(|died| died > day);
    litter
        .litter
        .puppies
        .iter()
        .filter(|puppy| was_alive(puppy) && !had_left(puppy))
        .collect()
}

/// Puppies by id, name or ribbon.
fn named<'a>(litter: &'a LitterFolder, names: &[&str]) -> Result<Vec<&'a Puppy>, String> {
    let mut found: Vec<&Puppy> = Vec::new();
    for name in names {
        if matches!(*name, "all" | "dam") {
            return Err(format!(
                "`{name}` stands beside other names; write `--for {name}` alone, or the names \
                 alone"
            ));
        }
        let puppy = naming::puppy(&litter.litter.puppies, name)
            .map_err(Unreadable::from)
            .map_err(|why| format!("{}; {}", why.message, why.hint))?;
        if !found.iter().any(|known| known.id == puppy.id) {
            found.push(puppy);
        }
    }
    Ok(found)
}

/// A puppy with its last weight by that day, and how old it is.
fn with_weight(
    sources: &Sources,
    litter: &LitterFolder,
    own: &LitterFigures,
    puppy: &Puppy,
    day: Day,
    ask: Ask<'_>,
) -> Result<Given, String> {
    let growth = &own.puppies[&puppy.id].growth;
    let Some(point) = growth
        .points
        .iter()
        .rev()
        .find(|point| point.at.day() <= day)
    else {
        return Err(format!(
            "{} has no weight by {day}; weigh it first, or say --weight",
            puppy.id
        ));
    };
    let weight = written(sources, litter, puppy, point);
    let name = puppy.shown_name();
    let when = if point.is_birth {
        "at birth".to_owned()
    } else {
        format!("at the weigh-in of {}", point.at)
    };
    let days = day.since(point.at.day());
    if days > WEIGHT_HOLDS {
        let last =
            format!("{name}: {weight} {when}, {days} days before, is not its weight of that day");
        return Ok(match ask(&last) {
            Some(weight) => Given {
                weighed: Some(format!("{name}: {weight}, as you said")),
                weight: Some(weight),
                ..Given::one(puppy)
            },
            None => Given {
                weighed: Some(format!(
                    "{last}: no weight was written; weigh it, and say --weight"
                )),
                ..Given::one(puppy)
            },
        });
    }
    let age = match days {
        0 => "the same day".to_owned(),
        1 => "the day before".to_owned(),
        days => format!("{days} days before"),
    };
    Ok(Given {
        weighed: Some(format!("{name}: {weight} {when}, {age}")),
        weight: Some(weight),
        ..Given::one(puppy)
    })
}

/// Asks for the weight of the day, told what is known; nothing where nobody answers.
pub type Ask<'a> = &'a dyn Fn(&str) -> Option<String>;

/// Asks at the terminal for the weight of the day until the answer is one, or nothing.
pub fn asked(last: &str) -> Option<String> {
    let mut question = format!("{last}. What does it weigh? (231 g; Enter writes no weight) ");
    loop {
        let answer = terminal::value(&question)?;
        match answer.parse::<Weight>() {
            Ok(_) => return Some(answer),
            Err(why) => {
                question = format!("{}; {} (Enter writes no weight) ", why.message, why.hint);
            }
        }
    }
}

/// A weight as the keeper wrote it where it carries its unit, and in grams where not.
fn written(sources: &Sources, litter: &LitterFolder, puppy: &Puppy, point: &Point) -> String {
    let place = if point.is_birth {
        let n = litter.litter.puppies.iter().position(|p| p.id == puppy.id);
        n.map(|n| ("litter.yaml", key_path!["puppies", n, "weight"]))
    } else {
        let block = litter
            .weigh_ins
            .iter()
            .find(|w| w.at == point.at && w.weights.get(&puppy.id) == Some(&point.weight))
            .map(|w| w.block);
        block.map(|block| ("weights.yaml", key_path![block, puppy.id.as_str()]))
    };
    let text = place.and_then(|(file, path)| sources.finder().written(&litter.file(file), &path));
    let same = text.map(|text| text.trim().to_owned()).filter(|text| {
        text.parse::<Weight>()
            .is_ok_and(|weight| weight == point.weight)
    });
    same.unwrap_or_else(|| format!("{} g", point.weight.grams()))
}
