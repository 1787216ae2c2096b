//! When a litter is due, and what is to be planned until then.
//!
//! In: dates, progesterone and fetal measurements of one mating. Out: a [`Due`] window from each
//! anchor, the best first, and the [`PlanStep`]s that are counted from it. The best anchor is
//! trusted alone: mixing a good one with a poor one would only blur it. The others are shown beside
//! it, and when they contradict it, that is said. Every window says how well its anchor is
//! known: section days, and a call because she is over her time, come only from one that is known
//! to a day.

pub mod rise;
pub mod temperature;

use crate::quantity::{Day, Weight};
use crate::records::litter::{CountedBy, Litter, Measured, Measurement};
use rise::{ProgesteroneSeries, Rise};

/// Days from ovulation to birth, to which all steps are counted (Pontikaki and others, Hellenic J
/// Companion Anim Med 13(1): 63 ± 1).
const FROM_OVULATION: i64 = 63;
/// Days from the first rise of progesterone to birth (Kutzler and others 2003, Theriogenology
/// 60:1187-1196: 65 ± 1).
const FROM_RISE: i64 = 65;
/// Days from mating to birth (the handbooks' range; 56 to 72 from a single mating, Linde-Forsberg).
const FROM_MATING: (i64, i64) = (57, 72);
/// The last day from ovulation that clinics call safe: past it without birth is a call.
const LAST_SAFE: i64 = 65;

/// A due window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Due {
    /// First day of the window.
    pub from: Day,
    /// Most likely day; of a bracket and of matings no more than its middle.
    pub likely: Day,
    /// Last day of the window.
    pub to: Day,
    /// What it was computed from.
    pub anchor: Anchor,
    /// How well that is known.
    pub known: Certainty,
}

/// How well an anchor is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Certainty {
    /// To a day, within so many days.
    ToADay {
        /// Days that birth lies earlier or later.
        spread: i64,
    },
    /// Somewhere in a span of days.
    Within,
}

/// What a due window was computed from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Ovulation: 63 ± 1 days (Pontikaki and others, Hellenic J Companion Anim Med 13(1)).
    Ovulation,
    /// LH surge: 65 ± 1 days (Concannon; Pontikaki and others).
    LhSurge,
    /// A rise of progesterone between samples at most two days apart: 65 ± 1 days (Kutzler and
    /// others 2003), and a day for where it lies between them.
    Progesterone,
    /// First day of cytological dioestrus: 57 ± 1 days (De Cramer and Noethling).
    Dioestrus,
    /// A rise of progesterone somewhere between two samples: each of them carried forward, 65 ± 1
    /// days.
    Bracket,
    /// Fetal measurements by the formulas of Luvoni and Grioni 2000 (J Small Anim Pract 41:292-294,
    /// from memory), within 2 days for 82 to 95 % of scans (Beccaglia and Luvoni 2012).
    Measured,
    /// Mating: 57 to 72 days.
    Mating,
}

impl Anchor {
    /// The anchor in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Ovulation => "ovulation (63 ± 1 days)",
            Self::LhSurge => "LH surge (65 ± 1 days)",
            Self::Progesterone => "rise of progesterone, known to a day (65 ± 2 days)",
            Self::Dioestrus => "first day of dioestrus (57 ± 1 days)",
            Self::Bracket => {
                "rise of progesterone somewhere between two samples (65 ± 1 days from each)"
            }
            Self::Measured => "fetal measurements (± 2 days)",
            Self::Mating => "mating (57 to 72 days)",
        }
    }

    /// Where its length comes from.
    #[must_use]
    pub fn source(self) -> &'static str {
        match self {
            Self::Ovulation => "Pontikaki and others, Hellenic J Companion Anim Med 13(1)",
            Self::LhSurge => "Concannon; Pontikaki and others, Hellenic J Companion Anim Med 13(1)",
            Self::Progesterone | Self::Bracket => {
                "Kutzler and others 2003, Theriogenology 60:1187-1196"
            }
            Self::Dioestrus => "De Cramer and Noethling, abstract",
            Self::Measured => {
                "Luvoni and Grioni 2000, J Small Anim Pract 41:292-294 (from memory); Beccaglia \
                 and Luvoni 2012, doi 10.1111/rda.12006"
            }
            Self::Mating => "handbooks; Linde-Forsberg: 56 to 72 from a single mating",
        }
    }
}

impl Due {
    fn to_a_day(anchor: Anchor, day: Day, days: i64, spread: i64) -> Self {
        let likely = day.plus(days);
        Self {
            from: likely.plus(-spread),
            likely,
            to: likely.plus(spread),
            anchor,
            known: Certainty::ToADay { spread },
        }
    }

    fn within(anchor: Anchor, from: Day, to: Day) -> Self {
        Self {
            from,
            likely: from.plus(to.since(from) / 2),
            to,
            anchor,
            known: Certainty::Within,
        }
    }

    /// Whether its anchor is known to a day.
    #[must_use]
    pub fn is_to_a_day(&self) -> bool {
        matches!(self.known, Certainty::ToADay { .. })
    }

    /// The last day on which she is not over her time: the 65th from ovulation, or the 72nd from
    /// the last mating. Nothing from an anchor that says less.
    #[must_use]
    pub fn last_day(&self) -> Option<Day> {
        match (self.known, self.anchor) {
            (Certainty::ToADay { .. }, _) => Some(self.likely.plus(LAST_SAFE - FROM_OVULATION)),
            (Certainty::Within, Anchor::Mating) => Some(self.to),
            (Certainty::Within, _) => None,
        }
    }
}

/// A due window from each anchor that the record has: those known to a day first, as their kinds
/// stand in [`Anchor`]; then the others, the narrowest first. `dam` is the adult weight of the dam,
/// which fetal measurements need.
#[must_use]
pub fn windows(litter: &Litter, dam: Option<Weight>) -> Vec<Due> {
    let rise = rise::read(litter).rise;
    let (first, last) = (litter.mated.iter().min(), litter.mated.iter().max());
    let mating = first.zip(last).map(|(first, last)| {
        let middle = first.plus(last.since(*first) / 2);
        let (least, most) = FROM_MATING;
        Due {
            likely: middle.plus(FROM_OVULATION),
            ..Due::within(Anchor::Mating, first.plus(least), last.plus(most))
        }
    });
    let risen = match rise {
        Rise::ToADay { day } => Some(Due::to_a_day(Anchor::Progesterone, day, FROM_RISE, 2)),
        Rise::Between { after, by } => Some(Due::within(
            Anchor::Bracket,
            after.plus(FROM_RISE - 1),
            by.plus(FROM_RISE + 1),
        )),
        Rise::NotSampled | Rise::NotYet { .. } | Rise::NoLater { .. } => None,
    };
    let (risen, bracket) = if risen.is_some_and(|due| due.is_to_a_day()) {
        (risen, None)
    } else {
        (None, risen)
    };
    let mut wide: Vec<Due> = [
        bracket,
        measured(&litter.measured, dam)
            .map(|day| Due::within(Anchor::Measured, day.plus(-2), day.plus(2))),
        mating,
    ]
    .into_iter()
    .flatten()
    .collect();
    wide.sort_by_key(|due| due.to.since(due.from));
    [
        litter
            .ovulated
            .map(|day| Due::to_a_day(Anchor::Ovulation, day, FROM_OVULATION, 1)),
        litter
            .lh_surge
            .map(|day| Due::to_a_day(Anchor::LhSurge, day, 65, 1)),
        risen,
        litter
            .dioestrus
            .map(|day| Due::to_a_day(Anchor::Dioestrus, day, 57, 1)),
    ]
    .into_iter()
    .flatten()
    .chain(wide)
    .collect()
}

/// The day after which she is over her time, and the window that says so.
#[must_use]
pub fn last_day(windows: &[Due]) -> Option<(Day, &Due)> {
    windows.iter().find_map(|due| Some((due.last_day()?, due)))
}

/// The last day of birth by a series whose first sample was over the border already: the rise was
/// that day at the latest.
#[must_use]
pub fn no_later_than(reading: &ProgesteroneSeries) -> Option<Day> {
    match reading.rise {
        Rise::NoLater { day } => Some(day.plus(FROM_RISE + 1)),
        _ => None,
    }
}

/// Days from a scan to birth, from a size in mm: (a − size) / b for bitches under 10 kg and for
/// those of 10 kg and more; heavier ones than 25 kg borrow the second (Luvoni and Grioni 2000, J
/// Small Anim Pract 41:292-294, formulas from memory). Nothing outside 5 to 40 days before birth,
/// where the formulas were not made.
#[must_use]
pub fn days_to_birth(what: Measured, mm: f64, dam: Weight) -> Option<f64> {
    let small = dam.grams() < 10_000.0;
    let (a, b) = match (what, small) {
        (Measured::InnerChamber, true) => (68.68, 1.53),
        (Measured::InnerChamber, false) => (82.13, 1.8),
        (Measured::Head, true) => (25.11, 0.61),
        (Measured::Head, false) => (29.18, 0.7),
    };
    Some((a - mm) / b).filter(|days| (5.0..=40.0).contains(days))
}

/// The day of birth by all fetal measurements: the middle one of what each says, of two the later.
fn measured(measurements: &[Measurement], dam: Option<Weight>) -> Option<Day> {
    let dam = dam?;
    let mut days: Vec<Day> = measurements
        .iter()
        .filter_map(|Measurement { on, what, size }| {
            Some(on.plus(whole_days(days_to_birth(*what, size.mm(), dam)?)))
        })
        .collect();
    days.sort();
    days.get(days.len() / 2).copied()
}

#[expect(clippy::cast_possible_truncation, reason = "a pregnancy has few days")]
fn whole_days(days: f64) -> i64 {
    days.round() as i64
}

/// What is planned before a birth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepKind {
    /// The next blood sample, so that the rise of progesterone is known to a day.
    Progesterone,
    /// A scan of the pregnancy by ultrasound.
    Scan,
    /// An X-ray that counts the puppies.
    XRay,
    /// The whelping place is made up.
    Nest,
    /// The temperature of the dam is taken twice a day.
    Temperature,
    /// Days in which a section can be planned.
    Section,
}

impl StepKind {
    /// Where its days come from.
    #[must_use]
    pub fn source(self) -> &'static str {
        match self {
            Self::Progesterone => {
                "Kutzler and others 2003 took serial samples; that two days are the most between \
                 two is ours"
            }
            Self::Scan => {
                "veterinary teaching: days 21 to 30, heartbeats from day 23 to 25; here days 25 to \
                 30 after ovulation"
            }
            Self::XRay => {
                "skeletons are certain 46 to 49 days after the LH surge (Concannon and Rendano \
                 1983, Am J Vet Res 44:1506-1511); a count is surer from day 55 on"
            }
            Self::Nest | Self::Temperature => "common practice, no source",
            Self::Section => {
                "our rule: day 61 to 65 from ovulation, less the spread of the anchor on both \
                 sides; clinics name days 61 to 63, and look at her progesterone first"
            }
        }
    }
}

/// Something to be planned before a birth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlanStep {
    /// What.
    pub kind: StepKind,
    /// First day.
    pub from: Day,
    /// Last day.
    pub to: Day,
}

impl PlanStep {
    /// Whether the records say that it is done. An X-ray that counted was also a sign of pregnancy.
    #[must_use]
    pub fn is_done(&self, litter: &Litter) -> bool {
        let counted = litter.counted.as_ref().map(|counted| counted.by);
        match self.kind {
            StepKind::Scan => counted.is_some(),
            StepKind::XRay => counted == Some(CountedBy::XRay),
            _ => false,
        }
    }
}

/// Days in which a section can be planned with the clinic.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SectionWindow {
    /// First day.
    pub from: Day,
    /// Last day.
    pub to: Day,
    /// Days that the anchor lies earlier or later.
    pub spread: i64,
}

/// Why there are no section days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoSection {
    /// No date says when she ovulated.
    NoAnchorToADay,
    /// What is known does not agree.
    DatesDisagree,
}

/// Days for a section: from ovulation + 61 + s to + 65 - s, with s the spread of the anchor; where
/// that is empty, day 63 alone. The rule is ours; clinics name days 61 to 63, and another source
/// calls one or two days early problematic.
///
/// # Errors
/// Without an anchor that is known to a day, and where another window does not meet its own.
pub fn section(windows: &[Due]) -> Result<SectionWindow, NoSection> {
    let best = windows.first().ok_or(NoSection::NoAnchorToADay)?;
    let Certainty::ToADay { spread } = best.known else {
        return Err(NoSection::NoAnchorToADay);
    };
    if !contradicting(windows).is_empty() {
        return Err(NoSection::DatesDisagree);
    }
    let ovulation = best.likely.plus(-FROM_OVULATION);
    let (from, to) = (61 + spread, LAST_SAFE - spread);
    let (from, to) = if from <= to {
        (from, to)
    } else {
        (FROM_OVULATION, FROM_OVULATION)
    };
    Ok(SectionWindow {
        from: ovulation.plus(from),
        to: ovulation.plus(to),
        spread,
    })
}

/// The day by which to speak with the clinic when one puppy was counted: the 62nd from ovulation,
/// or the first day of a wide window. One puppy gives little signal to begin birth.
#[must_use]
pub fn speak_by(due: &Due) -> Day {
    if due.is_to_a_day() {
        due.likely.plus(62 - FROM_OVULATION)
    } else {
        due.from
    }
}

/// What is to be planned until birth, in the order of time. The clinic decides on the day.
#[must_use]
pub fn steps(windows: &[Due], reading: &ProgesteroneSeries) -> Vec<PlanStep> {
    let is_known = windows.first().is_some_and(Due::is_to_a_day);
    let mut steps = Vec::new();
    if let Some(by) = rise::next_sample(reading.rise).filter(|_| !is_known) {
        steps.push(PlanStep {
            kind: StepKind::Progesterone,
            from: by.plus(-1),
            to: by,
        });
    }
    let Some(due) = windows.first() else {
        return steps;
    };
    let ovulation = due.likely.plus(-FROM_OVULATION);
    let step = |kind, from: i64, to: i64| PlanStep {
        kind,
        from: ovulation.plus(from),
        to: ovulation.plus(to),
    };
    steps.extend([
        step(StepKind::Scan, 25, 30),
        step(StepKind::XRay, 53, 60),
        step(StepKind::Nest, 53, 60),
        PlanStep {
            kind: StepKind::Temperature,
            from: due.from.min(due.likely.plus(-6)).plus(-1),
            to: due.to.max(due.likely.plus(2)),
        },
    ]);
    if let Ok(SectionWindow { from, to, .. }) = section(windows) {
        steps.push(PlanStep {
            kind: StepKind::Section,
            from,
            to,
        });
    }
    steps.sort_by_key(|s| (s.from, s.to));
    steps
}

/// Anchors whose windows do not meet that of the best one.
#[must_use]
pub fn contradicting(windows: &[Due]) -> Vec<Due> {
    let Some(best) = windows.first() else {
        return Vec::new();
    };
    windows
        .iter()
        .filter(|other| other.to < best.from || other.from > best.to)
        .copied()
        .collect()
}

#[cfg(test)]
mod tests;
