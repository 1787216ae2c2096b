//! Weights given all at once: `fern=231g reed=8.1oz`, or a table of weigh-ins.
//!
//! In: what was typed, or the bytes of a table. Out: all of it at the end of the file in one step,
//! or every problem at its place and the file as it was. What stands in the records already is
//! passed over, so that the same table can be taken in again; a weight that looks like a slip is
//! saved and warned about, or with `--strict` nothing is saved.

use super::told::{Words, short_name};
use super::{Options, WeighInScene};
use crate::Error;
use crate::app::terminal::{self, many};
use crate::app::weigh_ins::{Draft, NewWeights, SecondWeight};
use crate::app::{Outcome, adding as file};
use crate::audience::words::weighing::doubt as doubted;
use crate::husbandry::findings::Urgency;
use crate::husbandry::weighing::{Doubt, Weighing, most_urgent};
use crate::quantity::{Id, Moment, Unreadable, Weight};
use crate::records::adding::weigh_ins;
use crate::records::problem::{Place, Problem};
use crate::records::sheet::{self, Setting, Sheet, TableWeight, Taken};
use crate::records::source::locate;
use crate::records::source::{Source, Sources};
use crate::records::weights::{DAM, WeightsBlock};
use crate::records::{adding, naming, showing};
use std::collections::BTreeMap;
use std::path::Path;

/// What problems call weights that were typed as arguments, and a table that came through a pipe.
const COMMAND_LINE: &str = "the command line";
const STANDARD_INPUT: &str = "standard input";
/// More bytes than this are no table of weigh-ins.
const MOST: u64 = 8 * 1024 * 1024;

pub(super) fn run(scene: &WeighInScene<'_>, options: &Options) -> Result<Outcome, Error> {
    let (name, sheet) = match &options.from {
        Some(path) => table(scene, options, path)?,
        None => (COMMAND_LINE.to_owned(), typed(scene, options)),
    };
    if !sheet.problems.is_empty() {
        return Ok(refused(&name, &sheet.text, sheet.problems));
    }
    let voice = Words::new(&terminal::talk(), scene.records);
    let records = format!("{}/{}", scene.folder.shown_content(), scene.file);
    let first = NewWeights::new(&records, &scene.litter.weigh_ins, &sheet.rows);
    let mut weighing = Weighing::new(scene.records, scene.litter);
    let doubts = first.doubts(&mut weighing);
    let doubts = warnings(&name, &sheet.rows, doubts, voice.ounces);
    if options.strict && !doubts.is_empty() && first.twice.is_empty() {
        let mut outcome = refused(&name, &sheet.text, doubts);
        outcome
            .err
            .push_str("leave --strict out to save them as they are\n");
        return Ok(outcome);
    }
    let mut there = String::new();
    let written = file::change(scene.folder, "weigh", &scene.file, |text| {
        // Another run may have added something since the records were read.
        let new = NewWeights::new(&records, &weigh_ins(&scene.file, text)?, &sheet.rows);
        text.clone_into(&mut there);
        if new.drafts.is_empty() || !new.twice.is_empty() {
            return Ok((None, new));
        }
        let entries: Vec<_> = new.drafts.iter().map(Draft::entry).collect();
        let wanted: Vec<WeightsBlock> = new.drafts.iter().map(Draft::block).collect();
        let added = adding::add::<WeightsBlock>(&scene.file, text, &entries, |new| new == wanted)?;
        Ok((Some(added.text), new))
    })?;
    let new = match written {
        Ok(new) if new.twice.is_empty() => new,
        Ok(new) => {
            let problems = new.twice.into_iter();
            let problems = problems.map(|twice| problem(scene, options, twice));
            let beside = Some((records, there));
            return Ok(refused_beside(
                &name,
                &sheet.text,
                problems.collect(),
                beside,
            ));
        }
        Err(stopped) => return Ok(stopped.outcome(scene.folder)),
    };
    let err = drawn(&name, &sheet.text, doubts, None);
    let out = told(scene, &voice, &new, &weighing, options.from.is_some());
    Ok(Outcome::clean(out).noting(err))
}

/// What is wrong about weights of which there is another for the same time.
fn problem(scene: &WeighInScene<'_>, options: &Options, twice: SecondWeight<'_>) -> Problem {
    let TableWeight {
        puppy,
        written,
        label,
        place,
        ..
    } = twice.given;
    let (whence, word) = if twice.is_new {
        ("stands above", "the first")
    } else {
        ("is in the records", "the one in the records")
    };
    let (at, other) = (twice.at, twice.other);
    let message = format!("{label}`{puppy}` has another weight for {at}: {other} {whence}");
    let hint = other_time(scene, options, puppy, written);
    Problem::error("weight-twice", place.clone(), message, hint).and(twice.place, word)
}

/// What to do about a second weight for one time, with the command that does it.
fn other_time(scene: &WeighInScene<'_>, options: &Options, puppy: &Id, written: &str) -> String {
    let litter = terminal::typed(scene.litter.id.as_str());
    let change = "a weight that is wrong in the records is changed there";
    if let Some(path) = &options.from {
        let table = terminal::typed(&path.display().to_string());
        return format!(
            "correct the time in this row, or take the weight out, then: litterfolio weigh \
             {litter} --from {table}; {change}"
        );
    }
    let weight = terminal::typed(&format!("{puppy}={written}"));
    format!(
        "if it was weighed at another time, say that in place of TIME: litterfolio weigh {litter} \
         {weight} --at TIME; {change}"
    )
}

/// Reads a table.
fn table(
    scene: &WeighInScene<'_>,
    options: &Options,
    path: &Path,
) -> Result<(String, Sheet), Error> {
    let (name, bytes) = if path == Path::new("-") {
        let bytes = terminal::all_input(MOST)
            .map_err(|error| Error::io("read", Path::new(STANDARD_INPUT), error))?;
        (STANDARD_INPUT.to_owned(), bytes)
    } else {
        let failed = |error| Error::io("read the table", path, error);
        // Nobody wants to wait until a large file of another kind is read.
        let bytes = if std::fs::metadata(path).map_err(failed)?.len() > MOST {
            vec![b' '; 9_000_000]
        } else {
            std::fs::read(path).map_err(failed)?
        };
        (path.display().to_string(), bytes)
    };
    let setting = Setting {
        unit: scene.unit,
        zone: scene.records.kennel.time_zone.0,
        latest: scene.latest,
        at: scene.at,
        by: options.by.clone(),
    };
    let sheet = sheet::read(&name, &bytes, scene.litter, &setting);
    Ok((name, sheet))
}

/// Reads weights that were typed as arguments.
fn typed(scene: &WeighInScene<'_>, options: &Options) -> Sheet {
    let text = options.weights.join(" ");
    let (mut start, mut problems, mut weights) = (0, Vec::new(), Vec::<TableWeight>::new());
    let at = scene.at.unwrap_or(scene.now);
    for argument in &options.weights {
        let place = |from: usize, length: usize| {
            Place::bytes(COMMAND_LINE, start + from..start + from + length.max(1))
        };
        match one(scene, argument, at) {
            Ok((puppy, weight, written)) if weights.iter().any(|value| value.puppy == puppy) => {
                let message = format!("`{puppy}` has two weights here ({written} is one)");
                let _ = weight;
                problems.push(Problem::error(
                    "weight-twice",
                    place(0, argument.len()),
                    message,
                    "keep one of them",
                ));
            }
            Ok((puppy, weight, written)) => weights.push(TableWeight {
                puppy,
                weight,
                written,
                label: String::new(),
                place: place(0, argument.len()),
            }),
            Err((from, length, why)) => {
                problems.push(Problem::unreadable(place(from, length), why));
            }
        }
        start += argument.len() + 1;
    }
    let rows = vec![Taken {
        at,
        by: options.by.clone(),
        remark: options.remark.clone(),
        weights,
    }];
    Sheet {
        text,
        rows,
        problems,
    }
}

/// Where in an argument something is wrong, how long that part is, and what.
type Misreading = (usize, usize, Unreadable);

fn one(
    scene: &WeighInScene<'_>,
    argument: &str,
    at: Moment,
) -> Result<(Id, Weight, String), Misreading> {
    let Some((who, weight)) = argument.split_once('=') else {
        let why = Unreadable {
            code: "not-a-weight",
            message: format!("`{argument}` says no weight"),
            hint: "write the puppy and its weight, such as fern=231g".to_owned(),
        };
        return Err((0, argument.len(), why));
    };
    if who.trim().eq_ignore_ascii_case(DAM)
        && let Ok(id) = DAM.parse()
    {
        let (weight, written) =
            Weight::typed(weight, scene.unit).map_err(|why| (who.len() + 1, weight.len(), why))?;
        return Ok((id, weight, written));
    }
    let puppy = naming::puppy(&scene.litter.litter.puppies, who)
        .map_err(|why| (0, who.len(), why.into()))?;
    if let Some(why) = sheet::impossible(scene.litter, puppy, at) {
        return Err((0, who.len(), why));
    }
    let (weight, written) =
        Weight::typed(weight, scene.unit).map_err(|why| (who.len() + 1, weight.len(), why))?;
    Ok((puppy.id.clone(), weight, written))
}

/// Doubts as warnings, each where the weight was given.
fn warnings(name: &str, rows: &[Taken], doubts: Vec<Doubt>, ounces: bool) -> Vec<Problem> {
    let warn = |doubt: Doubt| {
        let values = rows
            .iter()
            .filter(|row| row.at == doubt.at)
            .flat_map(|row| &row.weights);
        let value = values
            .into_iter()
            .find(|value| doubt.puppies.contains(&value.puppy));
        let (label, place) = value.map_or((String::new(), Place::file(name)), |value| {
            (value.label.clone(), value.place.clone())
        });
        let message = format!("{label}{}", doubted(&doubt.reason, ounces));
        Problem::warning(
            "weight-doubtful",
            place,
            message,
            "weigh again, or look at the paper; a weight that is wrong is corrected in \
             weights.yaml",
        )
    };
    doubts.into_iter().map(warn).collect()
}

fn refused(name: &str, text: &str, problems: Vec<Problem>) -> Outcome {
    refused_beside(name, text, problems, None)
}

/// Problems that have a second place in the records: their file, and its text.
fn refused_beside(
    name: &str,
    text: &str,
    problems: Vec<Problem>,
    records: Option<(String, String)>,
) -> Outcome {
    let count = problems.len();
    let err = format!(
        "{}{}; nothing was saved\n",
        drawn(name, text, problems, records),
        many(count, "problem")
    );
    Outcome::problems(err)
}

fn drawn(
    name: &str,
    text: &str,
    problems: Vec<Problem>,
    records: Option<(String, String)>,
) -> String {
    let mut sources = Sources::default();
    sources.insert(name.to_owned(), Source::whole(text));
    if let Some((file, text)) = records {
        let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
        sources.insert(file, Source::whole(text));
    }
    let terminal = terminal::terminal();
    showing::for_people(
        &locate(problems, &sources),
        &sources,
        "",
        terminal.width,
        terminal.colours,
    )
}

/// What was saved, and what it says.
fn told(
    scene: &WeighInScene<'_>,
    voice: &Words,
    new: &NewWeights,
    weighing: &Weighing<'_>,
    is_table: bool,
) -> String {
    let mut out = String::new();
    let latest: BTreeMap<&Id, Moment> = new
        .drafts
        .iter()
        .flat_map(|draft| draft.weights.iter().map(|(id, ..)| (id, draft.at)))
        .fold(BTreeMap::new(), |mut known, (id, at)| {
            let last = known.entry(id).or_insert(at);
            *last = at.max(*last);
            known
        });
    let mut worst: Option<Urgency> = None;
    let puppies = || {
        scene
            .litter
            .litter
            .puppies
            .iter()
            .filter_map(|puppy| Some((puppy, *latest.get(&puppy.id)?)))
    };
    let names = puppies()
        .map(|(puppy, _)| puppy.shown_name().chars().count())
        .max()
        .unwrap_or(0)
        .min(16);
    for (puppy, at) in puppies() {
        let Some(said) = weighing.said(&puppy.id, at) else {
            continue;
        };
        worst = worst.max(most_urgent(&said.findings));
        let name = format!("{:names$}", short_name(puppy, names));
        out.push_str(&format!(
            "{}  {:>9}  {}\n",
            voice.bold(&name),
            said.weight.show(voice.ounces),
            voice.change(&said)
        ));
        out.push_str(&voice.findings(&said.findings, names + 2));
    }
    let path = format!("{}/{}", scene.folder.shown_content(), scene.file);
    let there = match new.there.len() {
        0 => String::new(),
        1 => "1 weight was already there".to_owned(),
        more => format!("{more} weights were already there"),
    };
    let saved = match (new.weights(), is_table) {
        (0, _) => "nothing new".to_owned(),
        (count, false) => format!("{} saved in {path}", many(count, "weight")),
        (count, true) => format!(
            "{} with {} saved in {path}",
            many(new.drafts.len(), "weigh-in"),
            many(count, "weight")
        ),
    };
    let both: Vec<&str> = [saved.as_str(), there.as_str()]
        .into_iter()
        .filter(|text| !text.is_empty())
        .collect();
    out.push_str(&voice.lines(&both.join("; "), 0));
    out + &voice.cautions(worst, scene.records)
}
