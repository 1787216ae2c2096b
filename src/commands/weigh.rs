//! `weigh`: take a weigh-in of one litter.
//!
//! In: the kennel's folder, a litter, and weights: asked for on the terminal, given as `fern=231g`,
//! or in a table. Out: blocks at the end of the litter's `weights.yaml`, and at once what changed
//! and what is noticed. The dialogue saves after every puppy; weights given otherwise are taken in
//! all together or not at all. Other lines of the file are never touched.

mod dialogue;
mod draft;
mod given;
mod told;

use crate::Error;
use crate::app::folder::Folder;
use crate::app::problems;
use crate::app::terminal::{self, many};
use crate::app::{Outcome, Status, who};
use crate::husbandry::recovery::Stand;
use crate::quantity::{Moment, Text, Unreadable, Weight, WeightUnit};
use crate::records::problem::Severity;
use crate::records::{LitterFolder, Loaded, Records, load, sheet};
use std::path::{Path, PathBuf};

/// Options of `weigh`.
#[derive(Debug, Clone, clap::Args)]
#[command(
    after_help = "Weights are typed as the scale shows them: 231, 231g, 8.1oz, \"8 1/4 oz\", \"1 \
                  lb 2\". A bare number is in the unit at the head of the litter's weights.yaml, \
                  or else in the `units` of kennel.yaml.\n\nA table has one row for each \
                  weigh-in: a column `at` (or `date` and `time`), perhaps `by` and `remark`, and \
                  one for each puppy, named by id, name or ribbon: `fern (g)`. What stands in the \
                  records already is passed over."
)]
pub(super) struct Options {
    /// The litter: its id or name, or how it begins
    #[arg(value_name = "LITTER")]
    litter: String,
    /// Weights by id, name or ribbon, such as fern=231g or dam=9.2kg; a name alone is asked for,
    /// and without any each puppy is
    #[arg(value_name = "PUPPY=WEIGHT", conflicts_with = "from")]
    weights: Vec<String>,
    /// When they were weighed: "2026-10-06 07:30", or 07:30 today [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Who weighs
    #[arg(long, value_name = "NAME", value_parser = words)]
    by: Option<Text>,
    /// Anything worth keeping about this weigh-in
    #[arg(long, value_name = "TEXT", conflicts_with = "from", value_parser = words)]
    remark: Option<Text>,
    /// Take in a table of weigh-ins (CSV); `-` reads it from standard input
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    /// Save nothing when a weight looks like a slip; only with weights or a table given
    #[arg(long)]
    strict: bool,
}

/// Everything a weigh-in needs to know.
struct WeighInScene<'a> {
    folder: &'a Folder,
    records: &'a Records,
    litter: &'a LitterFolder,
    /// Its `weights.yaml`, below the content folder.
    file: String,
    /// The unit of a bare number.
    unit: WeightUnit,
    /// The time now.
    now: Moment,
    /// The latest time that a weigh-in can have.
    latest: Moment,
    /// The time that was typed.
    at: Option<Moment>,
}

/// Asks for the weights of those who were only named; where nobody answers, says what to type.
fn with_weights(kennel: &Path, options: &Options) -> Result<Options, Error> {
    let mut whole = options.clone();
    // Beside weights a name without one is a slip, which is told at its place.
    let only_named = !options.weights.iter().any(|typed| typed.contains('='));
    for typed in whole.weights.iter_mut().filter(|_| only_named) {
        let Some(weight) = terminal::value(&format!("Weight of {}, with its unit: ", typed.trim()))
        else {
            let folder = terminal::typed_kennel(kennel)
                .map(|folder| format!("--kennel {folder} "))
                .unwrap_or_default();
            let all: Vec<String> = options
                .weights
                .iter()
                .map(|one| terminal::typed(&format!("{}=WEIGHT", one.trim())))
                .collect();
            return Err(Error::Usage(format!(
                "`{}` says no weight; nothing was saved. Say it as, with the weight and its unit \
                 in place of WEIGHT: litterfolio {folder}weigh {} {}",
                typed.trim(),
                terminal::typed(&options.litter),
                all.join(" ")
            )));
        };
        *typed = format!("{}={weight}", typed.trim());
    }
    Ok(whole)
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let options = &with_weights(kennel, options)?;
    let folder = Folder::new(kennel)?;
    let loaded = load(&folder.content, terminal::now())?;
    let Some(records) = &loaded.records else {
        return Ok(in_the_way(&folder, &loaded, &|file| file == "kennel.yaml"));
    };
    let litter = match who::litter(records, &options.litter) {
        Ok(litter) => litter,
        // Its own file may be the reason why it is not there.
        Err(error) => {
            let is_own = |file: &str| {
                file.strip_prefix("litters/")
                    .is_some_and(|rest| rest.starts_with(options.litter.as_str()))
            };
            return if has_errors(&loaded, &is_own) {
                Ok(in_the_way(&folder, &loaded, &is_own))
            } else {
                Err(error)
            };
        }
    };
    let files = [litter.file("litter.yaml"), litter.file("weights.yaml")];
    let is_own = |file: &str| files.iter().any(|own| own == file);
    if has_errors(&loaded, &is_own) {
        return Ok(in_the_way(&folder, &loaded, &is_own));
    }
    // Before the birth there is the dam to weigh.
    let only_dam = !options.weights.is_empty()
        && options
            .weights
            .iter()
            .all(|typed| typed.trim_start().to_lowercase().starts_with("dam="));
    if (litter.litter.puppies.is_empty() || litter.litter.birth.is_none()) && !only_dam {
        return Err(Error::Usage(format!(
            "{} is not born yet: write `birth` and `puppies` into {}",
            litter.litter.name, files[0]
        )));
    }
    let [_, file] = files;
    let unit = records.bare_unit(litter);
    let now = terminal::wall_time(&records.kennel);
    let latest = terminal::latest_time(&records.kennel, now);
    let at = options
        .at
        .as_deref()
        .map(|typed| time(typed, now))
        .transpose()?;
    if let Some(why) = at.and_then(|at| sheet::not_yet(at, latest)) {
        return Err(usage("--at", &why));
    }
    let scene = WeighInScene {
        folder: &folder,
        records,
        litter,
        file,
        unit,
        now,
        latest,
        at,
    };
    let mut outcome = match (&options.from, options.weights.is_empty()) {
        (None, true) => dialogue::run(&scene, options).and_then(|(outcome, whole)| {
            if whole {
                with_dam(&scene, options, outcome)
            } else {
                Ok(outcome)
            }
        }),
        _ => given::run(&scene, options),
    }?;
    let elsewhere = loaded
        .problems
        .iter()
        .filter(|p| p.problem.severity == Severity::Error)
        .count();
    if elsewhere > 0 && outcome.status == Status::Clean {
        outcome.err.push_str(&format!(
            "note: other records have {}; `litterfolio inspect` shows them\n",
            many(elsewhere, "problem")
        ));
    }
    Ok(outcome)
}

/// While her weight is due, the dam is asked for when the puppies are done.
fn with_dam(
    scene: &WeighInScene<'_>,
    options: &Options,
    mut outcome: Outcome,
) -> Result<Outcome, Error> {
    if !terminal::is_answered() || !dam_is_due(scene) {
        return Ok(outcome);
    }
    let name = scene
        .records
        .dogs
        .get(&scene.litter.litter.dam)
        .map(|dog| dog.shown_name().to_string());
    let mut question = format!(
        "{}, the dam (Enter passes her over): ",
        name.unwrap_or_else(|| scene.litter.litter.dam.to_string())
    );
    terminal::say(&outcome.out);
    outcome.out.clear();
    while let Some(weight) = terminal::value(&question) {
        if let Err(why) = Weight::typed(&weight, scene.unit) {
            question = format!("{}; {} (Enter passes her over): ", why.message, why.hint);
            continue;
        }
        return given::run(
            scene,
            &Options {
                weights: vec![format!("dam={weight}")],
                remark: None,
                strict: false,
                ..options.clone()
            },
        );
    }
    Ok(outcome)
}

fn dam_is_due(scene: &WeighInScene<'_>) -> bool {
    let figures = crate::husbandry::compute(scene.records);
    let looks = &figures.litters[&scene.litter.id].recovery;
    looks.iter().any(|look| {
        look.item.is_weight_of_dam() && matches!(look.stand, Stand::Due | Stand::Overdue)
    })
}

/// A time as typed: with its day, or of today.
fn time(typed: &str, now: Moment) -> Result<Moment, Error> {
    let with_day = if typed.contains('-') {
        typed.trim().to_owned()
    } else {
        format!("{} {}", now.day(), typed.trim())
    };
    with_day
        .parse()
        .map(Moment::to_the_minute)
        .map_err(|why| usage("--at", &why))
}

/// A text as an option.
fn words(typed: &str) -> Result<Text, String> {
    typed
        .parse()
        .map_err(|why: Unreadable| format!("{}; {}", why.message, why.hint))
}

fn usage(option: &str, why: &Unreadable) -> Error {
    Error::Usage(format!("{option}: {}; {}", why.message, why.hint))
}

fn has_errors(loaded: &Loaded, is_own: &dyn Fn(&str) -> bool) -> bool {
    loaded
        .problems
        .iter()
        .any(|p| p.problem.severity == Severity::Error && is_own(&p.problem.place.file))
}

/// The problems that must be mended first, and no others.
fn in_the_way(folder: &Folder, loaded: &Loaded, is_own: &dyn Fn(&str) -> bool) -> Outcome {
    let problems = loaded
        .problems
        .iter()
        .filter(|p| p.problem.severity == Severity::Error && is_own(&p.problem.place.file));
    let loaded = Loaded {
        problems: problems.cloned().collect(),
        sources: loaded.sources.clone(),
        ..Loaded::default()
    };
    problems::in_the_way(folder, &loaded, "nothing was weighed")
}
