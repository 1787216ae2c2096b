//! When a litter is due, and what is to be planned until then.
//!
//! In: dates, progesterone and fetal measurements of one mating. Out: a [`Due`] window from each anchor, the best first, and the [`Step`]s that are counted from it. The best anchor is
//! trusted alone: mixing a good one with a poor one would only blur it. The others are shown beside it, and when they contradict it, that is said.

use crate::quantity::{Day, Weight};
use crate::records::litter::{CountedBy, Litter, Measured, Measurement, Sample};

/// Progesterone on the day of the LH surge: 2.02 ± 0.18 ng/ml (Kutzler and others 2003, Theriogenology 60:1187-1196).
const LH_PROGESTERONE: f64 = 2.0;
/// Days from ovulation to birth, to which all steps are counted (Pontikaki and others, Hellenic J Companion Anim Med 13(1): 63 ± 1).
const FROM_OVULATION: i64 = 63;

/// A due window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Due {
    /// First day of the window.
    pub from: Day,
    /// Most likely day.
    pub likely: Day,
    /// Last day of the window.
    pub to: Day,
    /// What it was computed from.
    pub anchor: Anchor,
}

/// What a due window was computed from, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Anchor {
    /// Ovulation: 63 ± 1 days (Pontikaki and others, Hellenic J Companion Anim Med 13(1)).
    Ovulation,
    /// LH surge: 65 ± 1 days (Concannon; Pontikaki and others).
    LhSurge,
    /// First progesterone value over 2 ng/ml, taken for the day of the LH surge: 65 days, within 2 days (Kutzler and others 2003).
    Progesterone,
    /// Fetal measurements by the formulas of Luvoni and Grioni 2000 (J Small Anim Pract 41:292-294, from memory), within 2 days for 82 to 95 % of scans (Beccaglia and Luvoni 2012).
    Measured,
    /// First day of cytological dioestrus: 57 ± 2 days (Pontikaki and others).
    Dioestrus,
    /// Mating: 58 to 68 days is what is usually given.
    Mating,
}

impl Anchor {
    /// The anchor in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Ovulation => "ovulation (63 ± 1 days)",
            Self::LhSurge => "LH surge (65 ± 1 days)",
            Self::Progesterone => "rise of progesterone over 2 ng/ml (65 ± 2 days)",
            Self::Measured => "fetal measurements (± 2 days)",
            Self::Dioestrus => "first day of dioestrus (57 ± 2 days)",
            Self::Mating => "mating (58 to 68 days)",
        }
    }

    /// Where its length comes from.
    #[must_use]
    pub fn source(self) -> &'static str {
        match self {
            Self::Ovulation | Self::Dioestrus => "Pontikaki and others, Hellenic J Companion Anim Med 13(1)",
            Self::LhSurge => "Concannon; Pontikaki and others, Hellenic J Companion Anim Med 13(1)",
            Self::Progesterone => "Kutzler and others 2003, Theriogenology 60:1187-1196",
            Self::Measured => "Luvoni and Grioni 2000, J Small Anim Pract 41:292-294 (from memory); Beccaglia and Luvoni 2012, doi 10.1111/rda.12006",
            Self::Mating => "usual teaching; Okkens and others 2001 saw 58 to 65 after one mating on the best day",
        }
    }

    /// Whether a section can be planned from it without another look at the dam's hormones.
    fn is_hormonal(self) -> bool {
        matches!(self, Self::Ovulation | Self::LhSurge | Self::Progesterone)
    }
}

/// A due window from each anchor that the record has, the best first. `dam` is the adult weight of the dam, which fetal measurements need.
#[must_use]
pub fn windows(litter: &Litter, dam: Option<Weight>) -> Vec<Due> {
    let around =
        |anchor, day: Day, days: i64, spread: i64| Due { from: day.plus(days - spread), likely: day.plus(days), to: day.plus(days + spread), anchor };
    let matings = || {
        let (first, last) = (litter.mated.iter().min()?, litter.mated.iter().max()?);
        let middle = first.plus(last.since(*first) / 2);
        Some(Due { from: first.plus(58), likely: middle.plus(FROM_OVULATION), to: last.plus(68), anchor: Anchor::Mating })
    };
    [
        litter.ovulated.map(|day| around(Anchor::Ovulation, day, FROM_OVULATION, 1)),
        litter.lh_surge.map(|day| around(Anchor::LhSurge, day, 65, 1)),
        lh_day(&litter.progesterone).map(|day| around(Anchor::Progesterone, day, 65, 2)),
        measured(&litter.measured, dam).map(|day| around(Anchor::Measured, day, 0, 2)),
        litter.dioestrus.map(|day| around(Anchor::Dioestrus, day, 57, 2)),
        matings(),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The day on which progesterone passed 2 ng/ml, between two samples by a straight line. Nothing when the first sample is already above, since the rise was missed.
fn lh_day(samples: &[Sample]) -> Option<Day> {
    let mut samples: Vec<&Sample> = samples.iter().collect();
    samples.sort_by_key(|s| s.on);
    samples.windows(2).find_map(|pair| {
        let (low, high) = (pair[0].value.ng_per_ml(), pair[1].value.ng_per_ml());
        if !(low < LH_PROGESTERONE && high >= LH_PROGESTERONE) {
            return None;
        }
        let share = (LH_PROGESTERONE - low) / (high - low);
        let days = pair[1].on.since(pair[0].on);
        #[expect(clippy::cast_precision_loss, reason = "days between two blood samples are few")]
        let offset = whole_days(days as f64 * share);
        Some(pair[0].on.plus(offset))
    })
}

/// Days from a scan to birth, from a size in mm: (a − size) / b for bitches under 10 kg and for those of 10 kg and more; heavier ones than 25 kg borrow the second
/// (Luvoni and Grioni 2000, J Small Anim Pract 41:292-294, formulas from memory). Nothing outside 5 to 40 days before birth, where the formulas were not made.
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
    let mut days: Vec<Day> =
        measurements.iter().filter_map(|Measurement { on, what, size }| Some(on.plus(whole_days(days_to_birth(*what, size.mm(), dam)?)))).collect();
    days.sort();
    days.get(days.len() / 2).copied()
}

#[expect(clippy::cast_possible_truncation, reason = "a pregnancy has few days")]
fn whole_days(days: f64) -> i64 {
    days.round() as i64
}

/// Something to be planned before a birth.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// Stable name.
    pub id: &'static str,
    /// What, in words.
    pub what: &'static str,
    /// First day.
    pub from: Day,
    /// Last day.
    pub to: Day,
    /// Where the days come from.
    pub source: &'static str,
}

impl Step {
    /// Whether the records say that it is done. An X-ray that counted was also a sign of pregnancy.
    #[must_use]
    pub fn is_done(&self, litter: &Litter) -> bool {
        let counted = litter.counted.as_ref().map(|counted| counted.by);
        match self.id {
            "scan" => counted.is_some(),
            "x-ray" => counted == Some(CountedBy::XRay),
            _ => false,
        }
    }
}

/// What is to be planned until birth, in the order of time. A window for a section is given only when the anchor is a hormone or ovulation; the vet decides on the day.
#[must_use]
pub fn steps(due: &Due) -> Vec<Step> {
    let ovulation = due.likely.plus(-FROM_OVULATION);
    let step = |id, what, from: i64, to: i64, source| Step { id, what, from: ovulation.plus(from), to: ovulation.plus(to), source };
    let mut steps = vec![
        step(
            "scan",
            "pregnancy scan by ultrasound",
            25,
            30,
            "veterinary teaching: days 21 to 30, heartbeats from day 23 to 25; here days 25 to 30 after ovulation",
        ),
        step(
            "x-ray",
            "X-ray to count the puppies",
            53,
            60,
            "skeletons are certain 46 to 49 days after the LH surge (Concannon and Rendano 1983, Am J Vet Res 44:1506-1511); a count is surer from day 55 on",
        ),
        step("nest", "whelping place made up and shown to the dam", 53, 60, "common practice, no source"),
        Step {
            id: "temperature",
            what: "temperature of the dam twice a day",
            from: due.likely.plus(-7),
            to: due.to.max(due.likely.plus(2)),
            source: "common practice, no source",
        },
    ];
    if due.anchor.is_hormonal() {
        steps.push(step(
            "section",
            "window in which a section can be planned with the vet",
            61,
            65,
            "clinics' rule: 61 to 65 days from ovulation; with one or two puppies progesterone may not fall (Cortes and others 2025, Theriogenology 117593)",
        ));
    }
    steps.sort_by_key(|s| (s.from, s.to));
    steps
}

/// Anchors whose windows do not meet that of the best one.
#[must_use]
pub fn contradicting(windows: &[Due]) -> Vec<Due> {
    let Some(best) = windows.first() else { return Vec::new() };
    windows.iter().filter(|other| other.to < best.from || other.from > best.to).copied().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn litter(yaml: &str) -> Litter {
        serde_yaml::from_str(&format!("name: L\ndam: d\nsire: s\n{yaml}")).unwrap()
    }

    fn due(litter: &Litter, dam: Option<Weight>) -> Option<Due> {
        windows(litter, dam).into_iter().next()
    }

    fn best(yaml: &str) -> Option<Due> {
        due(&litter(yaml), None)
    }

    #[test]
    fn the_anchors_agree_on_one_cycle() {
        // Pontikaki and others: LH 65, ovulation 63, dioestrus 57; with ovulation two days and dioestrus eight days after LH (Eilts and others 2005) all give one day.
        let lh: Day = "2024-01-01".parse().unwrap();
        let likely = |yaml: &str| best(yaml).unwrap().likely;
        assert_eq!(likely(&format!("lh_surge: {lh}")), lh.plus(65));
        assert_eq!(likely(&format!("ovulated: {}", lh.plus(2))), lh.plus(65));
        assert_eq!(likely(&format!("dioestrus: {}", lh.plus(8))), lh.plus(65));
    }

    #[test]
    fn the_best_anchor_is_trusted_alone_and_a_contradiction_is_seen() {
        let windows = windows(&litter("mated: [2024-01-05]\novulated: 2024-01-03\nlh_surge: 2024-01-09"), None);
        let due = windows[0];
        assert_eq!((due.anchor, due.from, due.to), (Anchor::Ovulation, "2024-03-05".parse().unwrap(), "2024-03-07".parse().unwrap()));
        assert_eq!(contradicting(&windows).iter().map(|d| d.anchor).collect::<Vec<_>>(), [Anchor::LhSurge]);
    }

    #[test]
    fn progesterone_is_interpolated_in_either_unit_and_later_falls_do_not_matter() {
        let ng =
            best("progesterone: [{on: 2024-01-01, value: 1 ng/ml}, {on: 2024-01-03, value: 3 ng/ml}, {on: 2024-03-01, value: 1 ng/ml}]").unwrap();
        let nmol = best("progesterone: [{on: 2024-01-03, value: 9.54 nmol/l}, {on: 2024-01-01, value: 3.18 nmol/l}]").unwrap();
        assert_eq!(ng.likely, "2024-01-02".parse::<Day>().unwrap().plus(65));
        assert_eq!(ng, nmol);
        assert_eq!(best("progesterone: [{on: 2024-01-03, value: 9 ng/ml}]"), None, "a rise that was missed is no anchor");
    }

    #[test]
    fn fetal_measurements_count_back_from_birth() {
        // Luvoni and Grioni 2000 (formulas from memory): small dams, chamber 30 mm 25.28 days, head 20 mm 8.38; medium, chamber 30 mm 28.96, head 20 mm 13.11.
        let small: Weight = "9.1 kg".parse().unwrap();
        let medium: Weight = "18 kg".parse().unwrap();
        for (what, mm, dam, days) in [
            (Measured::InnerChamber, 20.0, small, 31.82),
            (Measured::InnerChamber, 30.0, small, 25.28),
            (Measured::Head, 15.0, small, 16.57),
            (Measured::Head, 20.0, small, 8.38),
            (Measured::InnerChamber, 20.0, medium, 34.52),
            (Measured::InnerChamber, 30.0, medium, 28.96),
            (Measured::Head, 15.0, medium, 20.26),
            (Measured::Head, 20.0, medium, 13.11),
        ] {
            assert!((days_to_birth(what, mm, dam).unwrap() - days).abs() < 0.005, "{what:?} {mm}");
        }
        assert_eq!(days_to_birth(Measured::Head, 25.0, small), None, "too close to birth for the formula");
        let yaml = "measured: [{on: 2024-03-01, what: head, size: 20 mm}, {on: 2024-02-10, what: inner chamber, size: 30 mm}]";
        let due = due(&litter(yaml), Some(small)).unwrap();
        assert_eq!((due.anchor, due.likely), (Anchor::Measured, "2024-03-09".parse().unwrap()));
        assert_eq!(best(yaml), None, "without the dam's weight nothing is known");
    }

    #[test]
    fn steps_stand_in_their_published_windows() {
        let ovulation: Day = "2024-01-03".parse().unwrap();
        let steps = steps(&best(&format!("ovulated: {ovulation}")).unwrap());
        let of = |id: &str| steps.iter().find(|s| s.id == id).map(|s| (s.from.since(ovulation), s.to.since(ovulation))).unwrap();
        assert_eq!(of("section"), (61, 65), "clinics' rule: 61 to 65 days from ovulation");
        // Concannon and Rendano 1983: certain 46 to 49 days after the LH surge, which is 44 to 47 after ovulation.
        assert!(of("x-ray").0 >= 47);
        // Veterinary teaching: scan from day 21 to 30.
        assert!(of("scan").0 >= 21 && of("scan").1 <= 30);
        assert!(!super::steps(&best("mated: 2024-01-03").unwrap()).iter().any(|s| s.id == "section"), "a mating date is not enough");
    }

    #[test]
    fn without_any_date_there_is_no_window() {
        assert_eq!(best(""), None);
    }
}
