//! Weights that no puppy can have, and that one usual slip explains.
//!
//! In: the curves of a litter. Out: the slips found; the curves no longer use those marks, nor
//! other marks that stand apart, to judge their neighbours. A line whose weights never move
//! faster than a puppy could is passed over at once. In the others the likeliest reading of the
//! whole line is found (Viterbi's algorithm over "as written" and every explanation), so that
//! two slips in a row, or one in the newest weight, do not make honest weights look wrong. A mark
//! is only reported when it also lies far outside the forecast from all others. Digits that changed
//! places and moved a weight by less (231 to 213) are left alone: they cannot be told from a puppy
//! that wriggled on the scale, nor from one that is in trouble.

use super::curve::{Curves, median, surprise, usual_rate};
use super::explain::{Explanation, explanations};
use super::{MOST_LIKELIER, Slip, SlipKind};
use std::ops::Range;

/// How far a rate of gain may lie from the usual one, per day: in week 1 from a loss of 3.5 % to a
/// gain of 16.5 %, and worse for a while by what follows.
pub const BIOLOGY: f64 = 0.10;
/// How far beyond that the scale, filling and the first day may bring two weights apart (on the
/// logarithm).
pub const BEYOND: f64 = 0.20;
/// Scale of the jumps beyond biology.
pub const JUMP: f64 = 0.045;
/// Degrees of freedom of these jumps, Student's t: far ones are less surprising than for a weight
/// about its curve.
pub const JUMP_FREEDOM: f64 = 3.0;
/// How far beyond it a mark without explanation is left out: twice the weight, or half. Below that
/// it may be a littermate's weight.
pub const APART: f64 = 0.693;
/// What any explanation costs against "as written" (logarithm of a chance of about 1 in 150).
pub const COST: f64 = 5.0;
/// How much less it costs for the newest weight: where nothing else tells two weights apart, the
/// newest is doubted, as that puppy may still be weighed again.
pub const NEWEST: f64 = 0.01;
/// A weight is only called a slip when it is at least 30 % too heavy (ln 1.3) or too light (ln 0.7)
/// …
pub const LEAST_OFF: [f64; 2] = [0.262_364_264_467_491, -0.356_674_943_938_732];
/// … and so many standard deviations, …
pub const FAR: f64 = 6.0;
/// … when the explanation lies within so many (a sixth of how far the written weight lies, but at
/// least the first and at most the second), …
pub const NEAR: [f64; 2] = [2.5, 4.0];
/// … and when that is a thousand times likelier.
pub const LEAST_GAIN: f64 = 6.907_755_278_982_137;
/// Spread of the weights of littermates about their median, on the logarithm: a puppy of half the
/// usual weight lies two of these below.
pub const LITTER_SPREAD: f64 = 0.35;
/// How many of these an explanation may lie from the littermates to be worth a try.
pub const LITTER_REACH: f64 = 2.0;
/// How much of that counts against the puppy's own curve: all littermates may have the same slip,
/// when a whole weigh-in was written in the wrong unit.
pub const LITTER_SHARE: f64 = 0.5;
/// How many marks away a written weight may make an explanation worth a try.
pub const NEARBY: usize = 3;

/// A slip in one value.
#[derive(Debug, Clone, Copy)]
pub(super) struct ValueSlip {
    pub(super) mark: usize,
    /// Logarithm of the likely weight.
    likely: f64,
    kind: SlipKind,
    /// Logarithm of the likelihood ratio.
    gain: f64,
}

impl ValueSlip {
    pub(super) fn slip(self, curves: &Curves) -> Slip {
        let (line, mark) = curves.place(self.mark);
        Slip::Value {
            line,
            mark,
            likely_grams: self.likely.exp(),
            kind: self.kind,
            times_likelier: self.gain.exp().min(MOST_LIKELIER),
        }
    }
}

/// Finds all slips in values, and leaves them and other marks that stand apart out of the curves.
pub(super) fn find(curves: &mut Curves) -> Vec<ValueSlip> {
    let mut found = Vec::new();
    let mut left_out = Vec::new();
    for line in 0..curves.lines() {
        let marks: Vec<usize> = if suspicious(curves, line) {
            curves.marks(line).filter(|m| curves.sound[*m]).collect()
        } else {
            continue;
        };
        // A reading must not lean on another line's reading: marks are left out when all lines are
        // done.
        LineReading::of(curves, line, &marks).judge(curves, &mut found, &mut left_out);
    }
    for mark in left_out {
        curves.sound[mark] = false;
    }
    found
}

/// Whether a mark still lies far off now that exchanges are put right: an exchange may explain what
/// seemed to be a slip in the mark beside it.
pub(super) fn still_off(curves: &Curves, found: &ValueSlip) -> bool {
    let line = curves.marks(curves.place(found.mark).0);
    curves
        .forecast(&line, found.mark)
        .is_none_or(|forecast| far_off(curves.log[found.mark] - forecast.log, forecast.sd))
}

/// Whether a deviation is more than trouble could be.
fn far_off(off: f64, sd: f64) -> bool {
    !(LEAST_OFF[1]..LEAST_OFF[0]).contains(&off) && off.abs() >= FAR * sd
}

/// Whether a weight moves faster than a puppy could, or a puppy with a single weight is far from
/// its littermates.
fn suspicious(curves: &Curves, line: usize) -> bool {
    let mut before: Option<usize> = None;
    for mark in curves.marks(line).filter(|m| curves.sound[*m]) {
        if before.is_some_and(|before| jumps(curves, before, mark)) {
            return true;
        }
        before = Some(mark);
    }
    let mut all = curves.marks(line).filter(|m| curves.sound[*m]);
    match (all.next(), all.next()) {
        (Some(only), None) => several_littermates(curves, line, only)
            .is_some_and(|usual| (curves.log[only] - usual).abs() > FAR * LITTER_SPREAD),
        _ => false,
    }
}

fn jumps(curves: &Curves, from: usize, to: usize) -> bool {
    beyond(
        curves.days[from],
        curves.days[to],
        curves.log[to] - curves.log[from],
    ) > BEYOND
}

/// How far a change lies beyond what a puppy could gain or lose.
fn beyond(from: f64, to: f64, change: f64) -> f64 {
    let days = (to - from).abs();
    let beyond = (change - usual_rate(to) * days).abs() - BIOLOGY * days;
    if beyond > 0.0 { beyond } else { 0.0 }
}

/// Logarithm of the median weight of the others in the same weigh-in, and how many they are;
/// nothing when there are none.
fn littermates(curves: &Curves, line: usize, mark: usize) -> Option<(f64, usize)> {
    let own = curves.marks(line);
    let others = curves
        .weigh_in(curves.weigh_in[mark])
        .iter()
        .filter(|other| !own.contains(other));
    let mut logs: Vec<f64> = others.map(|other| curves.log[*other]).collect();
    median(&mut logs).map(|median| (median, logs.len()))
}

/// The same when there are at least two others: one cannot tell which of two puppies is out of
/// size.
fn several_littermates(curves: &Curves, line: usize, mark: usize) -> Option<f64> {
    littermates(curves, line, mark)
        .filter(|(_, count)| *count > 1)
        .map(|(log, _)| log)
}

/// The likeliest reading of one line.
struct LineReading<'a> {
    line: usize,
    marks: &'a [usize],
    /// Littermates' median at each mark.
    usual: Vec<Option<f64>>,
    /// The weight that is taken for each mark, on the logarithm.
    taken: Vec<f64>,
}

impl<'a> LineReading<'a> {
    fn of(curves: &Curves, line: usize, marks: &'a [usize]) -> Self {
        let usual: Vec<Option<f64>> = marks
            .iter()
            .map(|m| littermates(curves, line, *m).map(|(log, _)| log))
            .collect();
        let choices: Vec<Vec<f64>> = (0..marks.len())
            .map(|at| choices(curves, marks, at, usual[at]))
            .collect();
        let mut reading = Self {
            line,
            marks,
            usual,
            taken: Vec::new(),
        };
        reading.taken = reading.likeliest(curves, &choices);
        reading
    }

    fn likeliest(&self, curves: &Curves, choices: &[Vec<f64>]) -> Vec<f64> {
        let mut scores: Vec<f64> = choices
            .first()
            .map(|first| (0..first.len()).map(|c| self.fits(0, first, c)).collect())
            .unwrap_or_default();
        let mut came_from: Vec<Vec<usize>> = Vec::with_capacity(choices.len());
        for at in 1..choices.len() {
            let (mut next, mut origins) = (
                Vec::with_capacity(choices[at].len()),
                Vec::with_capacity(choices[at].len()),
            );
            for (choice, log) in choices[at].iter().enumerate() {
                let steps = choices[at - 1]
                    .iter()
                    .zip(&scores)
                    .map(|(before, score)| score - self.step(curves, at, log - before));
                let (origin, score) = highest(steps);
                next.push(score + self.fits(at, &choices[at], choice));
                origins.push(origin);
            }
            scores = next;
            came_from.push(origins);
        }
        let mut choice = highest(scores.into_iter()).0;
        let mut taken: Vec<f64> = Vec::with_capacity(choices.len());
        for at in (0..choices.len()).rev() {
            taken.push(choices[at][choice]);
            if at > 0 {
                choice = came_from[at - 1][choice];
            }
        }
        taken.reverse();
        taken
    }

    /// How well a choice sits among the littermates, less what an explanation costs. The first
    /// choice is the weight as written.
    fn fits(&self, at: usize, choices: &[f64], choice: usize) -> f64 {
        let cost = match choice {
            0 => 0.0,
            _ if at + 1 == self.marks.len() => COST - NEWEST,
            _ => COST,
        };
        let share = if self.marks.len() == 1 {
            1.0
        } else {
            LITTER_SHARE
        };
        self.usual[at].map_or(0.0, |usual| {
            -share * surprise((choices[choice] - usual) / LITTER_SPREAD)
        }) - cost
    }

    /// What a change from the mark before costs.
    fn step(&self, curves: &Curves, at: usize, change: f64) -> f64 {
        let z = beyond(
            curves.days[self.marks[at - 1]],
            curves.days[self.marks[at]],
            change,
        ) / JUMP;
        f64::midpoint(JUMP_FREEDOM, 1.0) * (z * z / JUMP_FREEDOM).ln_1p()
    }

    /// Reports the marks of which something else than the written weight is taken, if the forecast
    /// agrees, and leaves out what stands apart.
    fn judge(&self, curves: &mut Curves, found: &mut Vec<ValueSlip>, left_out: &mut Vec<usize>) {
        let written: Vec<f64> = self.marks.iter().map(|m| curves.log[*m]).collect();
        for (mark, taken) in self.marks.iter().zip(&self.taken) {
            curves.log[*mark] = *taken;
        }
        for (at, mark) in self.marks.iter().enumerate() {
            if (self.taken[at] - written[at]).abs() > 0.0 {
                if let Some(slip) = self.report(curves, at, written[at]) {
                    found.push(slip);
                    // A weight that is less far off may yet be a littermate's.
                    if (self.taken[at] - written[at]).abs() > APART {
                        left_out.push(*mark);
                    }
                } else {
                    curves.log[*mark] = written[at];
                }
            }
        }
        left_out.extend(
            (0..self.marks.len())
                .filter(|at| self.stands_apart(curves, *at))
                .map(|at| self.marks[at]),
        );
        for (mark, log) in self.marks.iter().zip(written) {
            curves.log[*mark] = log;
        }
    }

    fn report(&self, curves: &Curves, at: usize, written: f64) -> Option<ValueSlip> {
        let mark = self.marks[at];
        let whole: Range<usize> = curves.marks(self.line);
        let (expected, sd) = match curves.forecast(&whole, mark) {
            Some(forecast) => (forecast.log, forecast.sd),
            None => (several_littermates(curves, self.line, mark)?, LITTER_SPREAD),
        };
        let off = written - expected;
        if !far_off(off, sd) {
            return None;
        }
        let mut all = Vec::new();
        explanations(curves.grams[mark], &mut all);
        let miss = |e: &Explanation| (e.log - expected) / sd;
        let worth = |e: &Explanation| e.share.ln() - miss(e) * miss(e) / 2.0;
        let near = (off.abs() / sd / FAR).clamp(NEAR[0], NEAR[1]);
        let best = all
            .into_iter()
            .filter(|e| miss(e).abs() <= near)
            .max_by(|a, b| worth(a).total_cmp(&worth(b)))?;
        let gain = surprise(off / sd) - surprise(miss(&best));
        (gain >= LEAST_GAIN).then_some(ValueSlip {
            mark,
            likely: best.log,
            kind: best.kind,
            gain,
        })
    }

    /// Whether a mark, as now read, cannot belong to its neighbours, while these belong to each
    /// other.
    fn stands_apart(&self, curves: &Curves, at: usize) -> bool {
        let last = self.marks.len() - 1;
        let jump = |from: usize, to: usize| {
            let (from, to) = (self.marks[from], self.marks[to]);
            beyond(
                curves.days[from],
                curves.days[to],
                curves.log[to] - curves.log[from],
            ) > APART
        };
        match at {
            _ if last < 2 => false,
            0 => jump(0, 1) && !jump(1, 2),
            _ if at == last => jump(at - 1, at) && !jump(at - 2, at - 1),
            _ => jump(at - 1, at) && jump(at, at + 1) && !jump(at - 1, at + 1),
        }
    }
}

/// The weight as written, and those explanations that come near a written weight close by or near
/// the littermates.
fn choices(curves: &Curves, marks: &[usize], at: usize, usual: Option<f64>) -> Vec<f64> {
    let mark = marks[at];
    let mut all = Vec::new();
    explanations(curves.grams[mark], &mut all);
    let nearby = &marks[at.saturating_sub(NEARBY)..marks.len().min(at + NEARBY + 1)];
    let likely = |log: f64| {
        usual.is_some_and(|usual| (log - usual).abs() < LITTER_REACH * LITTER_SPREAD)
            || nearby
                .iter()
                .any(|m| *m != mark && !beyond_reach(curves, *m, mark, log))
    };
    std::iter::once(curves.log[mark])
        .chain(all.into_iter().map(|e| e.log).filter(|log| likely(*log)))
        .collect()
}

fn beyond_reach(curves: &Curves, from: usize, to: usize, log: f64) -> bool {
    beyond(curves.days[from], curves.days[to], log - curves.log[from]) > BEYOND
}

/// The first highest of some scores and where it stands; an earlier one wins a tie, so that what is
/// written wins over an explanation.
fn highest(scores: impl Iterator<Item = f64>) -> (usize, f64) {
    scores
        .enumerate()
        .fold((0, f64::NEG_INFINITY), |best, (index, score)| {
            if score > best.1 { (index, score) } else { best }
        })
}
