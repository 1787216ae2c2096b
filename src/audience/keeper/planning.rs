//! What is to be planned before a birth, and how sure the dates are.
//!
//! In: the figures of an expected litter. Out: [`Planning`]: the window of every anchor, what the
//! progesterone series says and what would settle it, days for a section, and each step with how it
//! stands today.

use super::paths;
use super::{BookContext, Fact, Facts};
use crate::husbandry::gestation::rise::{Odd, ProgesteroneSeries, Rise, next_sample};
use crate::husbandry::gestation::temperature::{DamTemperatures, Drop, RoseAgain};
use crate::husbandry::gestation::{Due, NoSection, PlanStep, SectionWindow};
use crate::husbandry::{LitterFigures, gestation};
use crate::quantity::Day;
use crate::records::LitterFolder;
use crate::records::litter::{CountedBy, PupCount, Sample};
use crate::{Dated, words};
use serde::Serialize;

/// Progesterone under which clinics call a dam ready: 2 ng/ml, 6.4 nmol/l (a practice's figure).
const READY: f64 = 2.0;

/// The plan of an expected litter.
#[derive(Debug, Clone, Serialize)]
pub struct Planning {
    /// A window for each anchor, the one that is trusted first.
    pub windows: Vec<WindowRow>,
    /// What the progesterone series says of the rise; nothing without a sample.
    pub rise: Option<String>,
    /// What would have settled it, or will.
    pub settled_by: Option<String>,
    /// What is odd in the series.
    pub odd: Vec<String>,
    /// Days for a section, or why there are none.
    pub section: SectionShown,
    /// What a clinic will want to know before a section, as far as it is on record.
    pub clinic: Vec<Fact>,
    /// Path of the sheet for the clinic.
    pub sheet: String,
    /// What is to be done, by date.
    pub steps: Vec<StepRow>,
}

/// Days for a section.
#[derive(Debug, Clone, Serialize)]
pub struct SectionShown {
    /// First and last day.
    pub days: Option<(Dated, Dated)>,
    /// How they were counted, or why there are none and what would settle it.
    pub why: String,
}

/// The window of one anchor.
#[derive(Debug, Clone, Serialize)]
pub struct WindowRow {
    /// What it is counted from.
    pub anchor: &'static str,
    /// First day.
    pub from: Dated,
    /// Most likely day; nothing where only a span of days is known.
    pub likely: Option<Dated>,
    /// Last day.
    pub to: Dated,
    /// Whether it is the one that is trusted.
    pub trusted: bool,
    /// Whether it does not meet the trusted one.
    pub contradicts: bool,
    /// Where its length comes from.
    pub source: &'static str,
}

/// One step.
#[derive(Debug, Clone, Serialize)]
pub struct StepRow {
    /// What.
    pub what: &'static str,
    /// First day.
    pub from: Dated,
    /// Last day.
    pub to: Dated,
    /// `now`, `in 12 days`, `over`, `done`.
    pub state: String,
    /// Where the days come from.
    pub source: &'static str,
}

pub(super) fn planning(
    context: &BookContext<'_>,
    folder: &LitterFolder,
    figures: &LitterFigures,
) -> Option<Planning> {
    let (litter, today) = (&folder.litter, context.figures.today);
    if litter.birth.is_some() || litter.came_to_nothing() {
        return None;
    }
    let contradicting = gestation::contradicting(&figures.windows);
    let windows = figures.windows.iter().enumerate().map(|(i, window)| {
        let Due {
            from,
            likely,
            to,
            anchor,
            known: _,
        } = *window;
        WindowRow {
            anchor: anchor.words(),
            from: from.into(),
            likely: window.is_to_a_day().then(|| likely.into()),
            to: to.into(),
            trusted: i == 0,
            contradicts: contradicting.contains(window),
            source: anchor.source(),
        }
    });
    let steps = figures
        .steps
        .iter()
        .map(|step @ PlanStep { kind, from, to }| StepRow {
            what: words::rounds::step(*kind),
            from: (*from).into(),
            to: (*to).into(),
            state: match from.since(today) {
                _ if step.is_done(litter) => "done".to_owned(),
                1 => "tomorrow".to_owned(),
                days @ 2.. => format!("in {days} days"),
                _ if *to < today => "over".to_owned(),
                _ => "now".to_owned(),
            },
            source: kind.source(),
        });
    Some(Planning {
        windows: windows.collect(),
        rise: rise(&figures.rise),
        settled_by: settled_by(&figures.rise, today),
        odd: figures.rise.odd.iter().map(odd).collect(),
        section: section(figures),
        clinic: wanted(folder, figures),
        sheet: paths::clinic(&folder.id),
        steps: steps.collect(),
    })
}

/// What the series says of the rise.
pub(super) fn rise(reading: &ProgesteroneSeries) -> Option<String> {
    Some(match reading.rise {
        Rise::NotSampled => return None,
        Rise::NotYet { last } => format!(
            "no lasting rise up to the last sample on {}",
            last.in_words()
        ),
        Rise::NoLater { day } => {
            let by = gestation::no_later_than(reading).map_or_else(String::new, |last| {
                format!(", so birth by {}", last.in_words())
            });
            format!(
                "the rise was on {} at the latest{by}; its day is not known, because no sample \
                 before it was under the border",
                day.in_words()
            )
        }
        Rise::Between { after, by } => {
            format!(
                "the rise lies between {} and {}; its day is not known",
                after.in_words(),
                by.in_words()
            )
        }
        Rise::ToADay { day } => format!("the rise is known to a day: {}", day.in_words()),
    })
}

/// What would have settled it, or will.
pub(super) fn settled_by(reading: &ProgesteroneSeries, today: Day) -> Option<String> {
    let later = "a smear for the first day of dioestrus settles it too, and early fetal \
                 measurements narrow it";
    match reading.rise {
        Rise::NotYet { .. } => {
            let by = next_sample(reading.rise)?;
            Some(if by >= today {
                format!(
                    "the next sample by {}: more than two days after the last, and the rise is no \
                     longer known to a day",
                    by.in_words()
                )
            } else {
                format!(
                    "a sample by {} would have kept it known to a day; take the next one now if \
                     she is in season",
                    by.in_words()
                )
            })
        }
        Rise::NoLater { .. } => Some(format!(
            "an earlier sample, still under the border, would have settled it; {later}"
        )),
        Rise::Between { .. } if reading.missed.is_empty() => Some(later.to_owned()),
        Rise::Between { .. } => {
            let days: Vec<String> = reading.missed.iter().map(|day| day.in_words()).collect();
            let samples = if days.len() == 1 {
                "a sample on"
            } else {
                "samples on"
            };
            Some(format!(
                "{samples} {} would have settled it; {later}",
                days.join(", ")
            ))
        }
        Rise::NotSampled | Rise::ToADay { .. } => None,
    }
}

pub(super) fn odd(odd: &Odd) -> String {
    match odd {
        Odd::TwoValues { on, left_out: true } => {
            format!(
                "two values on {}, one under the border and one over it: the day is left out",
                on.in_words()
            )
        }
        Odd::TwoValues {
            on,
            left_out: false,
        } => format!("two values on {}: their mean is used", on.in_words()),
        Odd::NotTwice { on } => {
            format!(
                "on {} the value had reached the border, but was not twice her own baseline: that \
                 day alone is no rise",
                on.in_words()
            )
        }
        Odd::FellAgain { on } => format!("on {} it was under the border again", on.in_words()),
        Odd::Split { first, again } => {
            format!(
                "it rose by {}, fell and rose again by {}: a split season, or a wrong value; any \
                 day between may be the one",
                first.in_words(),
                again.in_words()
            )
        }
        Odd::Assays => "the samples were measured by assays that differ; each is held against the \
                        border of its own"
            .to_owned(),
    }
}

/// Days for a section, or why there are none.
pub(super) fn section(figures: &LitterFigures) -> SectionShown {
    match gestation::section(&figures.windows) {
        Ok(SectionWindow { from, to, spread }) => {
            let anchor = figures.due.map_or("", |due| due.anchor.words());
            let counted = if from == to {
                "day 63 from ovulation alone".to_owned()
            } else {
                format!("day {} to {} from ovulation", 61 + spread, 65 - spread)
            };
            SectionShown {
                days: Some((from.into(), to.into())),
                why: format!("{counted}, by {anchor}. Our rule; settle it with the clinic."),
            }
        }
        Err(NoSection::DatesDisagree) => SectionShown {
            days: None,
            why: "Not known yet, because the dates on record do not agree; settled with the \
                  clinic, by her progesterone, temperature and a scan."
                .to_owned(),
        },
        Err(NoSection::NoAnchorToADay) => SectionShown {
            days: None,
            why: "Not known yet, because no date is known to the day: ovulation, LH surge, a rise \
                  of progesterone between samples at most two days apart, or the first day of \
                  dioestrus; settled with the clinic, by her progesterone, temperature and a scan."
                .to_owned(),
        },
    }
}

/// What a clinic will want before a section, and what the records have of it.
pub(super) fn wanted(folder: &LitterFolder, figures: &LitterFigures) -> Vec<Fact> {
    let litter = &folder.litter;
    let mut facts = Facts::default();
    let late = gestation::rise::late_from(litter);
    let last = litter
        .progesterone
        .iter()
        .filter(|s| late.is_some_and(|late| s.on >= late))
        .max_by_key(|s| s.on);
    facts.say(
        "Progesterone before birth",
        match last {
            Some(Sample { on, value, .. }) => {
                let stands = if value.ng_per_ml() < READY {
                    "under"
                } else {
                    "not under"
                };
                format!(
                    "{value} on {}: {stands} 2 ng/ml (6.4 nmol/l), the clinics' sign",
                    on.in_words()
                )
            }
            None => "none on record; clinics look for less than 2 ng/ml (6.4 nmol/l)".to_owned(),
        },
    );
    facts.say("Temperature", temperature(&figures.dam_before));
    facts.say(
        "Counted",
        match &litter.counted {
            Some(PupCount { by, on, puppies }) => {
                let by = if *by == CountedBy::XRay {
                    "X-ray"
                } else {
                    "ultrasound"
                };
                let one = match figures.due.filter(|_| *puppies == 1) {
                    Some(due) => format!(
                        "; one puppy may give too little signal to begin birth: speak with the \
                         clinic by {}",
                        gestation::speak_by(&due).in_words()
                    ),
                    None => String::new(),
                };
                format!("{puppies} by {by} on {}{one}", on.in_words())
            }
            None => "no count on record".to_owned(),
        },
    );
    if litter
        .counted
        .as_ref()
        .is_none_or(|counted| counted.by != CountedBy::XRay)
    {
        facts.say("X-ray", "none on record");
    }
    facts.say(
        "Scan before the section",
        "kidneys and gut movement of the puppies: the clinic's to look at",
    );
    facts.done()
}

fn temperature(dam: &DamTemperatures) -> String {
    let Some(last) = dam.readings.last() else {
        return "none on record".to_owned();
    };
    let when = |reading: &gestation::temperature::DamTemperature| {
        reading
            .at
            .map_or_else(|| reading.day.in_words(), |at| at.to_string())
    };
    let drop = match &dam.drop {
        Some(Drop {
            reading,
            sign: _,
            birth: [first, _, last],
            call,
        }) => {
            format!(
                "; the drop was seen on {} ({}): birth likely from {first} to {last}, call when \
                 none by {call}",
                when(reading),
                reading.temperature
            )
        }
        None => dam.rose_again.map_or_else(
            || "; no drop seen".to_owned(),
            |RoseAgain { low, warm: _ }| {
                format!(
                    "; {} on {} was followed by her usual warmth and no birth",
                    low.temperature,
                    when(&low)
                )
            },
        ),
    };
    format!("last {} on {}{drop}", last.temperature, when(last))
}
