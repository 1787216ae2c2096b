//! When a litter is due.
//!
//! In: dates and progesterone of one mating. Out: a [`Due`] window with the anchor it was computed from. The best anchor is trusted alone: mixing a good
//! one with a poor one would only blur it.

use crate::quantity::Day;
use crate::records::litter::{Litter, Sample};

/// Progesterone on the day of the LH surge: 2.02 ± 0.18 ng/ml (Kutzler and others 2003, Theriogenology 60:1187-1196).
const LH_PROGESTERONE: f64 = 2.0;

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
            Self::Dioestrus => "first day of dioestrus (57 ± 2 days)",
            Self::Mating => "mating (58 to 68 days)",
        }
    }
}

/// The due window of a litter, from the best anchor its record has.
#[must_use]
pub fn due(litter: &Litter) -> Option<Due> {
    let around =
        |anchor, day: Day, days: i64, spread: i64| Due { from: day.plus(days - spread), likely: day.plus(days), to: day.plus(days + spread), anchor };
    litter
        .ovulated
        .map(|day| around(Anchor::Ovulation, day, 63, 1))
        .or_else(|| litter.lh_surge.map(|day| around(Anchor::LhSurge, day, 65, 1)))
        .or_else(|| lh_day(&litter.progesterone).map(|day| around(Anchor::Progesterone, day, 65, 2)))
        .or_else(|| litter.dioestrus.map(|day| around(Anchor::Dioestrus, day, 57, 2)))
        .or_else(|| {
            let (first, last) = (litter.mated.iter().min()?, litter.mated.iter().max()?);
            let middle = first.plus(last.since(*first) / 2);
            Some(Due { from: first.plus(58), likely: middle.plus(63), to: last.plus(68), anchor: Anchor::Mating })
        })
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
        #[expect(clippy::cast_precision_loss, clippy::cast_possible_truncation, reason = "days between two blood samples are few")]
        let offset = (days as f64 * share).round() as i64;
        Some(pair[0].on.plus(offset))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn litter(yaml: &str) -> Litter {
        serde_yaml::from_str(&format!("name: L\ndam: d\nsire: s\n{yaml}")).unwrap()
    }

    #[test]
    fn the_anchors_agree_on_one_cycle() {
        // Pontikaki and others: LH 65, ovulation 63, dioestrus 57; with ovulation two days and dioestrus eight days after LH (Eilts and others 2005) all give one day.
        let lh: Day = "2024-01-01".parse().unwrap();
        let likely = |yaml: &str| due(&litter(yaml)).unwrap().likely;
        assert_eq!(likely(&format!("lh_surge: {lh}")), lh.plus(65));
        assert_eq!(likely(&format!("ovulated: {}", lh.plus(2))), lh.plus(65));
        assert_eq!(likely(&format!("dioestrus: {}", lh.plus(8))), lh.plus(65));
    }

    #[test]
    fn the_best_anchor_is_trusted_alone() {
        let due = due(&litter("mated: [2024-01-05]\novulated: 2024-01-03\nlh_surge: 2024-01-09")).unwrap();
        assert_eq!((due.anchor, due.from, due.to), (Anchor::Ovulation, "2024-03-05".parse().unwrap(), "2024-03-07".parse().unwrap()));
    }

    #[test]
    fn progesterone_is_interpolated_in_either_unit_and_later_falls_do_not_matter() {
        let ng = due(&litter("progesterone: [{on: 2024-01-01, value: 1 ng/ml}, {on: 2024-01-03, value: 3 ng/ml}, {on: 2024-03-01, value: 1 ng/ml}]"))
            .unwrap();
        let nmol = due(&litter("progesterone: [{on: 2024-01-03, value: 9.54 nmol/l}, {on: 2024-01-01, value: 3.18 nmol/l}]")).unwrap();
        assert_eq!(ng.likely, "2024-01-02".parse::<Day>().unwrap().plus(65));
        assert_eq!(ng, nmol);
        assert_eq!(due(&litter("progesterone: [{on: 2024-01-03, value: 9 ng/ml}]")), None, "a rise that was missed is no anchor");
    }

    #[test]
    fn without_any_date_there_is_no_window() {
        assert_eq!(due(&litter("")), None);
    }
}
