//! The rise of progesterone before mating, read from a series of blood samples.
//!
//! In: samples with their assays, and the dates around the mating. Out: a [`ProgesteroneSeries`]:
//! how well the rise is known, and what is odd in the series. A rise counts to the day only where
//! it was looked for at least every second day; anything less is a bracket, a last possible day, or
//! nothing yet.

use crate::quantity::Day;
use crate::records::litter::{Litter, Sample};

/// Progesterone on the day of the LH surge: 2.02 ± 0.18 ng/ml (Kutzler and others 2003,
/// Theriogenology 60:1187-1196).
const BORDER: f64 = 2.0;
/// The same day by radioimmunoassay, nmol/l (Noethling and De Cramer 2019).
const BORDER_RIA: f64 = 6.0;
/// The same day by a chemiluminescence analyser, nmol/l (Noethling and De Cramer 2019).
const BORDER_LIGHT: f64 = 5.1;
/// nmol/l in one ng/ml.
pub const NMOL_PER_NG: f64 = 3.18;
/// A rise is at least 1.5 ng/ml and twice the bitch's own baseline (Kutzler and others 2003); what
/// lies under it is baseline.
const BASELINE_UNDER: f64 = 1.5;
/// Days between two samples up to which the rise between them is known to a day.
const CLOSE: i64 = 2;
/// Samples from this many days on after the first date of a season look for the fall before birth,
/// not for the rise; ours.
const LATE: i64 = 45;

/// How an assay is told from the words of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Assay {
    /// Radioimmunoassay.
    Ria,
    /// Chemiluminescence.
    Light,
    /// Another, or nobody wrote it down.
    Unknown,
}

impl Assay {
    /// The assay of a sample, from `method` or, where that does not tell, from `laboratory`.
    #[must_use]
    pub fn of(sample: &Sample) -> Self {
        let told = [&sample.method, &sample.laboratory]
            .into_iter()
            .flatten()
            .map(|text| Self::named(&text.to_string().to_lowercase()));
        told.into_iter()
            .find(|assay| *assay != Self::Unknown)
            .unwrap_or(Self::Unknown)
    }

    fn named(text: &str) -> Self {
        let has_word = |word| {
            text.split(|c: char| !c.is_alphanumeric())
                .any(|part| part == word)
        };
        if text.contains("radioimmun") || has_word("ria") {
            Self::Ria
        } else if text.contains("chemilum")
            || text.contains("chemolum")
            || has_word("clia")
            || has_word("cleia")
            || has_word("eclia")
        {
            Self::Light
        } else {
            Self::Unknown
        }
    }

    /// The value that stands for the day of the LH surge, ng/ml.
    #[must_use]
    pub fn border(self) -> f64 {
        match self {
            Self::Ria => BORDER_RIA / NMOL_PER_NG,
            Self::Light => BORDER_LIGHT / NMOL_PER_NG,
            Self::Unknown => BORDER,
        }
    }
}

/// How well the rise is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rise {
    /// No sample tells of it.
    NotSampled,
    /// Every sample is under the border, or the rise did not last.
    NotYet {
        /// The last sample.
        last: Day,
    },
    /// The first sample was over the border already.
    NoLater {
        /// Its day.
        day: Day,
    },
    /// Somewhere between two samples.
    Between {
        /// The last one under the border.
        after: Day,
        /// The first one at or over it.
        by: Day,
    },
    /// Known to a day: the samples around it lie no more than two days apart.
    ToADay {
        /// Where a straight line between the two samples crosses the border.
        day: Day,
    },
}

/// What is odd in a series, and is said rather than smoothed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Odd {
    /// Two values for one day. Where the border lies between them the day is left out.
    TwoValues {
        /// The day.
        on: Day,
        /// Whether it is left out.
        left_out: bool,
    },
    /// At the border, but not twice her own baseline.
    NotTwice {
        /// Day of the sample.
        on: Day,
    },
    /// Under the border again after the rise.
    FellAgain {
        /// Day of the sample.
        on: Day,
    },
    /// It rose, fell and rose again.
    Split {
        /// The first sample of the first rise.
        first: Day,
        /// The first sample of the last one.
        again: Day,
    },
    /// Samples of assays that differ.
    Assays,
}

/// What a series says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProgesteroneSeries {
    /// How well the rise is known.
    pub rise: Rise,
    /// What is odd, in the order of time.
    pub odd: Vec<Odd>,
    /// Days on which a sample would have made it known to a day.
    pub missed: Vec<Day>,
}

/// The samples of one day.
struct DaySamples {
    on: Day,
    /// Mean of the values over the border of their assays.
    share: f64,
    ng_per_ml: f64,
}

impl DaySamples {
    fn is_high(&self) -> bool {
        self.share >= 1.0
    }
}

/// From which day on samples look for the fall before birth.
#[must_use]
pub fn late_from(litter: &Litter) -> Option<Day> {
    let dates = litter.mated.iter().copied().chain(
        [litter.ovulated, litter.lh_surge, litter.dioestrus]
            .into_iter()
            .flatten(),
    );
    dates
        .min()
        .or_else(|| litter.progesterone.iter().map(|s| s.on).min())
        .map(|first| first.plus(LATE))
}

/// Reads the series of a litter.
#[must_use]
pub fn read(litter: &Litter) -> ProgesteroneSeries {
    let late = late_from(litter);
    let samples: Vec<&Sample> = litter
        .progesterone
        .iter()
        .filter(|s| late.is_none_or(|late| s.on < late))
        .collect();
    let mut odd = Vec::new();
    let assays = samples.first().map(|s| Assay::of(s).border().to_bits());
    if samples
        .iter()
        .any(|s| Some(Assay::of(s).border().to_bits()) != assays)
    {
        odd.push(Odd::Assays);
    }
    let days = by_day(&samples, &mut odd);
    let rise = rise(&days, &mut odd);
    // After two rises a further sample would not show which of them counts; nor would a second one
    // on a day that has one.
    let is_split = odd.iter().any(|odd| matches!(odd, Odd::Split { .. }));
    let missed = missed(rise)
        .into_iter()
        .filter(|day| !is_split && samples.iter().all(|sample| sample.on != *day))
        .collect();
    ProgesteroneSeries { rise, odd, missed }
}

/// One value a day, in the order of time.
#[expect(clippy::cast_precision_loss, reason = "a day has few samples")]
fn by_day(samples: &[&Sample], odd: &mut Vec<Odd>) -> Vec<DaySamples> {
    let mut sorted: Vec<&Sample> = samples.to_vec();
    sorted.sort_by_key(|s| s.on);
    let mut days = Vec::new();
    for of_day in sorted.chunk_by(|a, b| a.on == b.on) {
        let on = of_day[0].on;
        let shares: Vec<f64> = of_day.iter().map(|s| share(s)).collect();
        let (low, high) = shares.iter().fold((f64::MAX, f64::MIN), |(low, high), s| {
            (low.min(*s), high.max(*s))
        });
        let left_out = low < 1.0 && high >= 1.0;
        if of_day
            .iter()
            .any(|s| (s.value.ng_per_ml() - of_day[0].value.ng_per_ml()).abs() > 1e-9)
        {
            odd.push(Odd::TwoValues { on, left_out });
        }
        if !left_out {
            let count = of_day.len() as f64;
            let ng_per_ml = of_day.iter().map(|s| s.value.ng_per_ml()).sum::<f64>() / count;
            days.push(DaySamples {
                on,
                share: shares.iter().sum::<f64>() / count,
                ng_per_ml,
            });
        }
    }
    days
}

/// A value over the border of its assay. A value written exactly at the border is at it, whatever
/// its unit makes of the last digit.
fn share(sample: &Sample) -> f64 {
    let share = sample.value.ng_per_ml() / Assay::of(sample).border();
    if (share - 1.0).abs() < 1e-9 {
        1.0
    } else {
        share
    }
}

fn rise(days: &[DaySamples], odd: &mut Vec<Odd>) -> Rise {
    let Some(last) = days.last() else {
        return Rise::NotSampled;
    };
    let not_yet = Rise::NotYet { last: last.on };
    let Some(first) = days.iter().position(DaySamples::is_high) else {
        return not_yet;
    };
    let after = first.checked_sub(1).map(|i| days[i].on);
    if let Some(low) = days
        .iter()
        .rposition(|day| !day.is_high())
        .filter(|low| *low > first)
    {
        odd.push(Odd::FellAgain { on: days[low].on });
        let Some(again) = days.get(low + 1) else {
            return not_yet;
        };
        odd.push(Odd::Split {
            first: days[first].on,
            again: again.on,
        });
        // Which of the rises led to ovulation no sample says: any day between may be the one.
        return after.map_or(Rise::NoLater { day: again.on }, |after| Rise::Between {
            after,
            by: again.on,
        });
    }
    let Some(after) = after else {
        return Rise::NoLater {
            day: days[first].on,
        };
    };
    let baseline = baseline(&days[..first]);
    let is_twice =
        |day: &DaySamples| baseline.is_none_or(|baseline| day.ng_per_ml >= 2.0 * baseline - 1e-9);
    if !is_twice(&days[first]) {
        odd.push(Odd::NotTwice { on: days[first].on });
        return days[first..]
            .iter()
            .find(|day| is_twice(day))
            .map_or(not_yet, |by| Rise::Between { after, by: by.on });
    }
    let (low, high) = (&days[first - 1], &days[first]);
    let between = high.on.since(low.on);
    if between > CLOSE {
        return Rise::Between { after, by: high.on };
    }
    #[expect(clippy::cast_precision_loss, reason = "one day or two")]
    let offset = between as f64 * (1.0 - low.share) / (high.share - low.share);
    Rise::ToADay {
        day: low.on.plus(super::whole_days(offset)),
    }
}

/// Her own baseline: the mean of the values under 1.5 ng/ml before the rise.
#[expect(clippy::cast_precision_loss, reason = "a season has few samples")]
fn baseline(before: &[DaySamples]) -> Option<f64> {
    let low: Vec<f64> = before
        .iter()
        .map(|day| day.ng_per_ml)
        .filter(|value| *value < BASELINE_UNDER)
        .collect();
    (!low.is_empty()).then(|| low.iter().sum::<f64>() / low.len() as f64)
}

/// Every second day between two samples that lie too far apart.
fn missed(rise: Rise) -> Vec<Day> {
    match rise {
        Rise::Between { after, by } => (1..)
            .map(|n| after.plus(n * CLOSE))
            .take_while(|day| *day < by)
            .take(4)
            .collect(),
        _ => Vec::new(),
    }
}

/// The last day on which the next sample keeps the rise known to a day; nothing when no sample is
/// waited for.
#[must_use]
pub fn next_sample(rise: Rise) -> Option<Day> {
    match rise {
        Rise::NotYet { last } => Some(last.plus(CLOSE)),
        _ => None,
    }
}
