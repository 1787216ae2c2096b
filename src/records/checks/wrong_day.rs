//! A whole weigh-in that was written with the wrong day.
//!
//! In: a litter's weigh-ins in the order of time. Out: one warning at the `at` of each in which
//! every puppy jumps up and falls back, or falls and jumps back, further than a litter can. One
//! puppy alone is none of this: `husbandry` looks for slips in single weights.

use super::super::WeighIn;
use super::super::problem::{Place, Problem, key_path};
use crate::quantity::Id;
use crate::records::weights::DAM;
use std::collections::BTreeMap;

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
pub(crate) type Weighed = (f64, BTreeMap<Id, f64>);

pub(super) fn check(file: &str, weigh_ins: &[WeighIn], problems: &mut Vec<Problem>) {
    let Some(first) = weigh_ins.first() else {
        return;
    };
    #[expect(
        clippy::cast_precision_loss,
        reason = "minutes of a litter's life are few"
    )]
    let days = |at: &WeighIn| (at.at.local() - first.at.local()).num_minutes() as f64 / 1440.0;
    let grams = |at: &WeighIn| {
        let puppies = at.weights.iter().filter(|(id, _)| id.as_str() != DAM);
        puppies
            .map(|(id, weight)| (id.clone(), weight.grams()))
            .collect()
    };
    let weighed: Vec<Weighed> = weigh_ins.iter().map(|at| (days(at), grams(at))).collect();
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
pub(crate) fn off_their_day(weighed: &[Weighed]) -> Vec<(usize, bool)> {
    let off = |n: usize| {
        let (now, weights) = &weighed[n];
        let turns = weights.iter().filter_map(|(id, grams)| {
            let near = |(at, all): &Weighed| Some((*at, *all.get(id)?));
            let before = weighed[..n].iter().rev().find_map(near)?;
            let after = weighed[n + 1..].iter().find_map(near)?;
            let others = weighed.iter().enumerate().filter(|(other, _)| *other != n);
            let others = others.filter_map(|(_, (_, all))| all.get(id).copied());
            let (least, most) = others.fold((f64::MAX, 0.0_f64), |(least, most), grams| {
                (least.min(grams), most.max(grams))
            });
            let change = |from: (f64, f64), to: (f64, f64)| {
                let (days, change) = (to.0 - from.0, (to.1 / from.1).ln());
                (
                    change > GAIN * days + SCATTER,
                    change < -LOSS * days - SCATTER,
                )
            };
            let here = (*now, *grams);
            let (rose, fell) = change(before, here);
            let (rises, falls) = change(here, after);
            let is_among = (AMONG[0] * least..=AMONG[1] * most).contains(grams);
            Some((is_among && rose && falls, is_among && fell && rises))
        });
        let turns: Vec<(bool, bool)> = turns.collect();
        let is_heavy = turns.iter().all(|(heavy, _)| *heavy);
        let is_off = is_heavy || turns.iter().all(|(_, light)| *light);
        (is_off && turns.len() >= FEWEST).then_some((n, is_heavy))
    };
    (0..weighed.len()).filter_map(off).collect()
}
