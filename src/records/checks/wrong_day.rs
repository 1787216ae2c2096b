//! A whole weigh-in that was written with the wrong day.
//!
//! In: a litter's weigh-ins in the order of time. Out: one warning at the `at` of each in which
//! every puppy jumps up and falls back, or falls and jumps back, further than a litter can. One
//! puppy alone is none of this: `husbandry` looks for slips in single weights.

use super::super::WeighIn;
use super::super::problem::{Place, Problem, key_path};
use crate::quantity::Id;
use crate::weights::DAM;

/// Fewer puppies than this prove nothing.
const FEWEST: usize = 3;
/// The most that all puppies of a litter lose and gain a day, on the logarithm of the weight, and
/// what the scale and full stomachs add between two weigh-ins. Ours, outside every published curve.
const LOSS: f64 = 0.05;
const GAIN: f64 = 0.12;
const SCATTER: f64 = 0.08;
/// A weight of another day lies among those of its puppy, or not far outside them; what does not
/// was read in another unit. Ours.
const AMONG: [f64; 2] = [0.8, 1.5];

/// One weigh-in: when, in days, and the grams of each puppy.
pub type Weighed<'a> = (f64, Vec<(&'a Id, f64)>);

pub(super) fn check(file: &str, weigh_ins: &[WeighIn], problems: &mut Vec<Problem>) {
    let Some(first) = weigh_ins.first() else {
        return;
    };
    #[expect(
        clippy::cast_precision_loss,
        reason = "minutes of a litter's life are few"
    )]
    let days = |at: &WeighIn| (at.at.local() - first.at.local()).num_minutes() as f64 / 1440.0;
    let weighed = weigh_ins.iter().map(|at| {
        let puppies = at.weights.iter().filter(|(id, _)| id.as_str() != DAM);
        let grams = puppies.map(|(id, weight)| (id, weight.grams()));
        (days(at), grams.collect())
    });
    let weighed: Vec<Weighed<'_>> = weighed.collect();
    for (n, is_heavy) in off_their_day(&weighed) {
        let WeighIn { at, block, .. } = &weigh_ins[n];
        let how = if is_heavy { "heavier" } else { "lighter" };
        problems.push(Problem::warning(
            "day-doubtful",
            Place::path(file, key_path![*block, "at"]),
            format!("every puppy weighed on {at} is far {how} than before and after it"),
            "is the day right? where it is not, correct the date; the weights stay as they are",
        ));
    }
}

/// The weigh-ins whose weights are of another day, and whether they are too heavy for theirs.
#[must_use]
pub fn off_their_day(weighed: &[Weighed<'_>]) -> Vec<(usize, bool)> {
    let off = |n: usize| {
        let (now, weights) = &weighed[n];
        let (mut heavy, mut light, mut turns) = (true, true, 0);
        for &(id, grams) in weights {
            let near = |(at, all): &Weighed<'_>| Some((*at, grams_of(all, id)?));
            let before = weighed[..n].iter().rev().find_map(near);
            let after = weighed[n + 1..].iter().find_map(near);
            let Some((before, after)) = before.zip(after) else {
                continue;
            };
            let (rose, fell) = change(before, (*now, grams));
            let (rises, falls) = change((*now, grams), after);
            heavy &= rose && falls;
            light &= fell && rises;
            // Of nearly every weigh-in the first puppy says that the day is right.
            if !(heavy || light) || !is_among(weighed, n, id, grams) {
                return None;
            }
            turns += 1;
        }
        (turns >= FEWEST).then_some((n, heavy))
    };
    (0..weighed.len()).filter_map(off).collect()
}

fn grams_of(all: &[(&Id, f64)], id: &Id) -> Option<f64> {
    let own = all.iter().find(|(other, _)| *other == id);
    own.map(|(_, grams)| *grams)
}

/// Whether a puppy gains, and whether it loses, more than any does from one weight to the next.
fn change(from: (f64, f64), to: (f64, f64)) -> (bool, bool) {
    let (days, change) = (to.0 - from.0, (to.1 / from.1).ln());
    (
        change > GAIN * days + SCATTER,
        change < -LOSS * days - SCATTER,
    )
}

/// Whether a weight lies among the others of its puppy.
fn is_among(weighed: &[Weighed<'_>], n: usize, id: &Id, grams: f64) -> bool {
    let others = weighed.iter().enumerate().filter(|(other, _)| *other != n);
    let others = others.filter_map(|(_, (_, all))| grams_of(all, id));
    let (least, most) = others.fold((f64::MAX, 0.0_f64), |(least, most), grams| {
        (least.min(grams), most.max(grams))
    });
    (AMONG[0] * least..=AMONG[1] * most).contains(&grams)
}
