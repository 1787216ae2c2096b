//! The weights of a litter as curves on the logarithm of the weight, and the forecast of a mark
//! from its neighbours.
//!
//! In: the lines as written. Out: `Curves`, in which marks that are believed to be slips can be
//! left out, and `WeightForecast`s with their uncertainty. A forecast never looks at the mark
//! itself, and there is none without another mark.

use super::WeightLine;
use std::ops::Range;

/// Usual scatter of one weight about its puppy's curve: 1-2 % of the scale and 2-3 % of filling,
/// less what all puppies share in one weigh-in (common practice, no source).
pub const SCATTER: f64 = 0.025;
/// How far a curve may wander from a straight line, per day (our estimate; in simulated litters
/// forecasts are then a little less sure than they could be).
pub const WANDER: f64 = 0.02;
/// How much more it may wander, per day, in the first day and a half: a loss of up to 10 % occurs
/// there, and puppies differ in it.
pub const FIRST_WANDER: f64 = 0.03;
/// Days that this lasts.
pub const FIRST: f64 = 1.5;
/// How far a puppy's own rate of gain may lie from the usual rate of its age, per day: a puppy that
/// loses 4 % a day in week 1 lies two and a half times as far.
pub const RATE_SPREAD: f64 = 0.04;
/// Marks looked at on each side.
pub const EACH_SIDE: usize = 5;
/// Usual gain a day on the logarithm of the weight, each with the age in days until which it holds:
/// 5-10 % in week 1 (less, for the loss of the first day), 3.5-6 % in weeks 2 to 4 …
pub const USUAL_RATES: [(f64, f64); 2] = [(7.0, 0.065), (28.0, 0.047)];
/// … then 2 g per kg of adult weight, which is about 2.5 % (Small Animal Clinical Nutrition 5th
/// ed., Table 16-1).
pub const LATER_RATE: f64 = 0.025;
/// Degrees of freedom of the scatter, Student's t: its tails are heavier than those of the normal
/// distribution, as a puppy that wriggles on the scale is no slip of the pen.
pub const FREEDOM: f64 = 8.0;

/// All marks of a litter, line after line.
pub(super) struct Curves {
    /// Where each line begins, and at the end where the last one stops.
    starts: Vec<usize>,
    /// Days since birth.
    pub(super) days: Vec<f64>,
    /// Natural logarithm of the weight in grams; 0 for a mark that cannot be used.
    pub(super) log: Vec<f64>,
    /// The weight as written, grams.
    pub(super) grams: Vec<f64>,
    /// Number of the weigh-in.
    pub(super) weigh_in: Vec<usize>,
    /// Whether the mark may be used to judge others.
    pub(super) sound: Vec<bool>,
    /// All usable marks, those of one weigh-in together.
    pub(super) together: Vec<usize>,
}

/// What a mark should be, from its neighbours.
#[derive(Debug, Clone, Copy)]
pub(super) struct WeightForecast {
    /// Logarithm of the weight.
    pub(super) log: f64,
    /// Standard deviation of a weight about it, its own scatter included.
    pub(super) sd: f64,
    /// How many marks it rests on.
    pub(super) marks: usize,
    /// Whether there are marks before and after.
    pub(super) both_sides: bool,
}

impl Curves {
    /// The curves of a litter. Marks whose weight is not above 0, or whose time or weight is no
    /// number, are never used.
    pub(super) fn of(lines: &[WeightLine]) -> Self {
        let count = lines.iter().map(|l| l.marks.len()).sum();
        let mut curves = Self {
            starts: Vec::with_capacity(lines.len() + 1),
            days: Vec::with_capacity(count),
            log: Vec::with_capacity(count),
            grams: Vec::with_capacity(count),
            weigh_in: Vec::with_capacity(count),
            sound: Vec::with_capacity(count),
            together: Vec::with_capacity(count),
        };
        curves.starts.push(0);
        for line in lines {
            for mark in &line.marks {
                let usable = mark.days.is_finite() && mark.grams.is_finite() && mark.grams > 0.0;
                if usable {
                    curves.together.push(curves.days.len());
                }
                curves.days.push(mark.days);
                curves.log.push(if usable { mark.grams.ln() } else { 0.0 });
                curves.grams.push(mark.grams);
                curves.weigh_in.push(mark.weigh_in);
                curves.sound.push(usable);
            }
            curves.starts.push(curves.days.len());
        }
        curves.together.sort_by_key(|mark| curves.weigh_in[*mark]);
        curves
    }

    /// Number of marks.
    pub(super) fn len(&self) -> usize {
        self.days.len()
    }

    /// Number of lines.
    pub(super) fn lines(&self) -> usize {
        self.starts.len() - 1
    }

    /// The marks of a line.
    pub(super) fn marks(&self, line: usize) -> Range<usize> {
        self.starts[line]..self.starts[line + 1]
    }

    /// The line of a mark and its index there.
    pub(super) fn place(&self, mark: usize) -> (usize, usize) {
        let line = self.starts.partition_point(|start| *start <= mark) - 1;
        (line, mark - self.starts[line])
    }

    /// The usable marks of each weigh-in.
    pub(super) fn weigh_ins(&self) -> impl Iterator<Item = &[usize]> {
        self.together
            .chunk_by(|a, b| self.weigh_in[*a] == self.weigh_in[*b])
    }

    /// The usable marks of one weigh-in.
    pub(super) fn weigh_in(&self, number: usize) -> &[usize] {
        let from = self
            .together
            .partition_point(|mark| self.weigh_in[*mark] < number);
        let to = self
            .together
            .partition_point(|mark| self.weigh_in[*mark] <= number);
        &self.together[from..to]
    }

    /// What a mark of these marks of one line should be, from the sound marks around it: a straight
    /// line through up to five on each side, the nearer ones counting more, its rate drawn
    /// towards the usual rate of that age (a linear regression with a normal prior on the slope).
    /// Nothing when there is no other sound mark.
    pub(super) fn forecast(&self, line: &Range<usize>, mark: usize) -> Option<WeightForecast> {
        let here = self.days[mark];
        let rate = usual_rate(here);
        let mut sums = Sums {
            weight: 0.0,
            x: 0.0,
            xx: 1.0 / (RATE_SPREAD * RATE_SPREAD),
            y: 0.0,
            xy: 0.0,
        };
        let mut take = |other: usize| {
            let gap = self.days[other] - here;
            let drift = wander(here, self.days[other]);
            sums.add(
                1.0 / (SCATTER * SCATTER + drift * drift),
                gap,
                self.log[other] - rate * gap,
            );
            gap.abs()
        };
        let (mut before, mut after) = (0, 0);
        let (mut gap_before, mut gap_after) = (f64::INFINITY, f64::INFINITY);
        for other in (line.start..mark)
            .rev()
            .filter(|other| self.sound[*other])
            .take(EACH_SIDE)
        {
            gap_before = gap_before.min(take(other));
            before += 1;
        }
        for other in (mark + 1..line.end)
            .filter(|other| self.sound[*other])
            .take(EACH_SIDE)
        {
            gap_after = gap_after.min(take(other));
            after += 1;
        }
        // Between two marks a curve cannot wander as far as beyond the last.
        let gap = match (before, after) {
            (0, 0) => return None,
            (0, _) => gap_after,
            (_, 0) => gap_before,
            _ => gap_before * gap_after / (gap_before + gap_after).max(f64::MIN_POSITIVE),
        };
        let (log, variance) = sums.solve()?;
        let sd = (SCATTER * SCATTER + variance + (WANDER * gap) * (WANDER * gap)).sqrt();
        (log.is_finite() && sd.is_finite()).then_some(WeightForecast {
            log,
            sd,
            marks: before + after,
            both_sides: before > 0 && after > 0,
        })
    }
}

/// Sums of a weighted straight line.
struct Sums {
    weight: f64,
    x: f64,
    xx: f64,
    y: f64,
    xy: f64,
}

impl Sums {
    fn add(&mut self, weight: f64, x: f64, y: f64) {
        self.weight += weight;
        self.x += weight * x;
        self.xx += weight * x * x;
        self.y += weight * y;
        self.xy += weight * x * y;
    }

    /// Value at x = 0 and its variance.
    fn solve(&self) -> Option<(f64, f64)> {
        let determinant = self.weight * self.xx - self.x * self.x;
        (determinant > 0.0).then(|| {
            (
                (self.xx * self.y - self.x * self.xy) / determinant,
                self.xx / determinant,
            )
        })
    }
}

/// How far a curve may wander between two ages.
fn wander(one: f64, other: f64) -> f64 {
    let first = (one.max(other).min(FIRST) - one.min(other).max(0.0)).max(0.0);
    WANDER * (one - other).abs() + FIRST_WANDER * first
}

/// Usual gain a day at an age, on the logarithm of the weight.
pub(super) fn usual_rate(days: f64) -> f64 {
    USUAL_RATES
        .iter()
        .find(|(until, _)| days < *until)
        .map_or(LATER_RATE, |(_, rate)| *rate)
}

/// How much likelier a mark at its forecast is than one that lies `z` standard deviations away, as
/// a logarithm.
pub(super) fn surprise(z: f64) -> f64 {
    f64::midpoint(FREEDOM, 1.0) * (z * z / FREEDOM).ln_1p()
}

/// The median of some numbers, which are sorted; nothing when there are none.
pub(super) fn median(values: &mut [f64]) -> Option<f64> {
    values.sort_unstable_by(f64::total_cmp);
    let middle = values.len() / 2;
    let upper = *values.get(middle)?;
    Some(if values.len() % 2 == 1 {
        upper
    } else {
        f64::midpoint(values[middle - 1], upper)
    })
}
