//! `tend`: records what was done for puppies or seen of them, for several at once.
//!
//! In: a litter, a kind of health entry, for whom, when, and its details as typed. Out: entries at
//! the end of `health.yaml`, shown as they stand there. They are read and checked before they are
//! written: an unknown puppy, a dead one, a day that cannot be, each is a problem with a hint, and
//! the file stays as it was. What is given is what the label or the vet says, word for word;
//! nothing here computes an amount, and the weight that is written down is that of the scale.

mod chips;

use crate::app::adding::change;
use crate::app::folder::Folder;
use crate::app::problems;
use crate::app::tending::When;
use crate::app::tending::details::{Details, TypedEntry, speaks_of_amounts};
use crate::app::tending::whom::{self, Given};
use crate::app::{Outcome, terminal, who};
use crate::husbandry::Figures;
use crate::quantity::{ChipNumber, Id, Moment, counted};
use crate::records::adding::{self, NewEntry};
use crate::records::health::{self, HealthKind};
use crate::records::problem::{Located, Place, Problem, Severity};
use crate::records::{LitterFolder, Loaded, Records, load};
use crate::{Error, husbandry};
use std::collections::BTreeSet;
use std::fmt::Write;
use std::path::Path;

/// Options of `tend`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// The litter: its folder or its name
    #[arg(value_name = "LITTER")]
    litter: String,
    /// What was done or seen: worming, parasite, vaccination, check, temperature, feed, illness,
    /// treatment, chip, test, `follow_up`, done, excused
    #[arg(value_name = "KIND")]
    kind: String,
    /// For whom: all, dam, a puppy, or several with commas [default: all, where that can be meant]
    #[arg(long = "for", value_name = "WHO")]
    whom: Option<String>,
    /// The day: 2026-10-09, today or yesterday [default: today]
    #[arg(long, value_name = "DAY", conflicts_with = "at")]
    on: Option<String>,
    /// Day and time, or the time alone for today: 07:30, "2026-10-09 07:30"
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Show what would be added, and write nothing
    #[arg(long)]
    show: bool,
    #[command(flatten)]
    details: Details,
}

impl Options {
    /// The command so far, for a message that completes it, for somebody else where one is named.
    /// Details that were typed are not repeated.
    fn typed(&self, kennel: &Path, for_whom: Option<&str>) -> String {
        let Self {
            litter,
            kind,
            whom,
            on,
            at,
            show: _,
            details: _,
        } = self;
        let mut words = "litterfolio".to_owned();
        if let Some(folder) = terminal::typed_kennel(kennel) {
            let _ = write!(words, " --kennel {folder}");
        }
        let _ = write!(
            words,
            " tend {} {}",
            terminal::typed(litter),
            terminal::typed(kind)
        );
        for (option, value) in [
            ("--for", for_whom.or(whom.as_deref())),
            ("--on", on.as_deref()),
            ("--at", at.as_deref()),
        ] {
            if let Some(value) = value {
                let _ = write!(words, " {option} {}", terminal::typed(value));
            }
        }
        words
    }
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let folder = Folder::new(kennel)?;
    let now = terminal::now();
    let loaded = load(&folder.content, now)?;
    let Some(records) = loaded.records.as_ref() else {
        return Ok(cannot_begin(&folder, &loaded));
    };
    let litter = who::litter(records, &options.litter)?;
    let file = litter.file("health.yaml");
    if errors_in(&loaded, &[&litter.file("litter.yaml"), &file])
        .next()
        .is_some()
    {
        return Ok(cannot_begin(&folder, &loaded));
    }
    let figures = husbandry::compute(records);
    let (details, when, given) =
        said(kennel, options, records, &figures, &loaded, litter, now).map_err(Error::Usage)?;
    let numbers: Vec<(Id, ChipNumber)> = given
        .iter()
        .filter_map(|given| {
            Some((
                given.puppy.clone()?,
                details.number(given.number.as_deref())?,
            ))
        })
        .collect();
    chips::unshared(records, &numbers).map_err(Error::Usage)?;
    let entries: Vec<NewEntry> = given
        .iter()
        .map(|given| entry(when, given, &details))
        .collect();
    let broken: BTreeSet<String> = loaded
        .problems
        .iter()
        .filter(|p| p.problem.severity == Severity::Error)
        .map(|p| p.problem.place.file.clone())
        .collect();
    let mut told = String::new();
    let done = change(&folder, "tend", &file, |text| {
        let added = adding::add::<health::HealthEntry>(&file, text, &entries, |new| {
            new.iter().all(|entry| entry.kinds() == [details.kind])
        })?;
        let problems = new_problems(records, &broken, litter, text, &added.text)?;
        let (errors, warnings): (Vec<Problem>, Vec<Problem>) = problems
            .into_iter()
            .partition(|p| p.severity == Severity::Error);
        if !errors.is_empty() {
            return Err(errors.into_iter().map(refused).collect());
        }
        // The number is written there as well, below.
        let warnings: Vec<Problem> = warnings
            .into_iter()
            .filter(|warning| warning.code != "chip-not-in-litter")
            .collect();
        told = warnings
            .iter()
            .map(|warning| format!("note: {}; {}\n", warning.message, warning.hint))
            .collect::<String>();
        let lines = added.lines().to_owned();
        Ok(((!options.show).then_some(added.text), lines))
    })?;
    let lines = match done {
        Ok(lines) => lines,
        Err(refused) => return Ok(refused.outcome(&folder)),
    };
    let mut out = format!("{}/{file}\n{lines}", folder.shown_content());
    out.push_str(&chips::into_litter(
        &folder,
        litter,
        &numbers,
        options.show,
    )?);
    for line in given.iter().filter_map(|given| given.weighed.as_ref()) {
        let _ = writeln!(out, "{line}");
    }
    let what = counted(entries.len(), "entry", "entries");
    let _ = writeln!(
        out,
        "{what} {}",
        if options.show {
            "shown, nothing was written"
        } else {
            "added"
        }
    );
    if speaks_of_amounts(details.kind) {
        out.push_str("what is given, and how much, the vet and the label say\n");
    }
    Ok(Outcome::clean(out).noting(told))
}

/// What was said, completed at a terminal where something is missing.
fn said(
    kennel: &Path,
    options: &Options,
    records: &Records,
    figures: &Figures<'_>,
    loaded: &Loaded,
    litter: &LitterFolder,
    now: chrono::DateTime<chrono::Utc>,
) -> Result<(TypedEntry, When, Vec<Given>), String> {
    let whom = options.whom.as_deref();
    if options.details.is_chip_without_number(&options.kind) {
        let when = when(options, records, now, HealthKind::Chip)?;
        let several = whom::puppies(records, figures, litter, whom, when.day())?;
        if several.len() > 1 {
            let typed = |puppy: &str| options.typed(kennel, Some(puppy));
            let given = chips::asked(litter, &several, typed)?;
            return Ok((options.details.without_number()?, when, given));
        }
    }
    let details = options
        .details
        .clone()
        .completed(&options.kind, &options.typed(kennel, None))?
        .of_kind(&options.kind)?;
    let when = when(options, records, now, details.kind)?;
    let given = whom::given(
        records,
        figures,
        &loaded.sources,
        litter,
        whom,
        &details,
        when.day(),
        &whom::asked,
    )?;
    Ok((details, when, given))
}

fn entry(when: When, given: &Given, details: &TypedEntry) -> NewEntry {
    details.entry(
        when.begun(given.whom.clone()),
        given.weight.as_deref(),
        given.number.as_deref(),
    )
}

/// What is wrong with the entries that were added, as the checks of all records see it.
fn new_problems(
    records: &Records,
    broken: &BTreeSet<String>,
    litter: &LitterFolder,
    old: &str,
    new: &str,
) -> Result<Vec<Problem>, Vec<Problem>> {
    let file = litter.file("health.yaml");
    let from = adding::list::<health::HealthEntry>(&file, old)?.len();
    let health: Vec<health::HealthEntry> = adding::list(&file, new)?;
    let whole = LitterFolder {
        health: crate::records::Shared::from(health).into(),
        ..litter.clone()
    };
    Ok(crate::records::check_health(records, broken, &whole, from))
}

/// A problem of a line that is not in the file yet: its place is left out, its hint speaks of what
/// was typed.
fn refused(problem: Problem) -> Problem {
    let Problem {
        code,
        severity,
        message,
        place,
        labels: _,
        hint,
    } = problem;
    Problem {
        code,
        severity,
        message,
        place: Place::file(&place.file),
        labels: Vec::new(),
        hint,
    }
}

fn errors_in<'a>(loaded: &'a Loaded, files: &'a [&'a str]) -> impl Iterator<Item = &'a Located> {
    let is_meant = move |p: &&Located| {
        p.problem.severity == Severity::Error && files.contains(&p.problem.place.file.as_str())
    };
    loaded.problems.iter().filter(is_meant)
}

fn cannot_begin(folder: &Folder, loaded: &Loaded) -> Outcome {
    problems::in_the_way(folder, loaded, "nothing was added: these come first")
}

/// When it was, as it was typed.
fn when(
    options: &Options,
    records: &Records,
    now: chrono::DateTime<chrono::Utc>,
    kind: HealthKind,
) -> Result<When, String> {
    let today = records.today;
    let clock = Moment::from(now.with_timezone(&records.kennel.time_zone.0).naive_local());
    let said = |why: crate::quantity::Unreadable| format!("{}; {}", why.message, why.hint);
    match (
        options.on.as_deref().map(str::trim),
        options.at.as_deref().map(str::trim),
    ) {
        (Some("today"), _) => Ok(When::On(today)),
        (Some("yesterday"), _) => Ok(When::On(today.plus(-1))),
        (Some(day), _) if day.contains(':') => {
            Err(format!("`{day}` has a time of day; use --at for it"))
        }
        (Some(day), _) => day.parse().map(When::On).map_err(said),
        (None, Some("now")) => Ok(When::At(clock)),
        // A time alone is today's.
        (None, Some(time)) if !time.contains('-') => format!("{today} {time}")
            .parse()
            .map(When::At)
            .map_err(said),
        (None, Some(at)) => at.parse().map(When::At).map_err(said),
        // These are worth little without their hour; a kennel that pins today has none.
        (None, None)
            if matches!(kind, HealthKind::Temperature | HealthKind::Feed)
                && clock.day() == today =>
        {
            Ok(When::At(clock))
        }
        (None, None) => Ok(When::On(today)),
    }
}
