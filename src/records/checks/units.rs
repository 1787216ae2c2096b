//! A unit at the head of the weights that cannot be the one of the scale.
//!
//! In: one litter's weigh-ins and birth weights. Out: one problem at the `unit`, in place of a
//! riddle at each weight and at the birth weights, which are right.

use super::super::LitterFolder;
use super::super::litter::possible_birth_weight;
use super::super::problem::{Place, Problem, key_path};
use super::Checked;
use crate::quantity::{Weight, WeightUnit};

/// Days after birth of which weights are looked at: later nobody doubts the unit for the first
/// time.
const DAYS: i64 = 56;
/// Fewer weights than this prove nothing.
const FEWEST: usize = 2;
/// Share of the weights that must be impossible as written, and possible in another unit.
const SHARE: f64 = 0.8;
/// Days in which the heaviest growth that is believed doubles a weight, and the lightest share of
/// the birth weight. Ours, far outside every published curve.
const DOUBLES_IN: f64 = 6.0;
const LIGHTEST: f64 = 0.5;
/// The most times the birth weight that is believed within [`DAYS`]. Ours.
const MOST_TIMES: f64 = 40.0;

/// One weight under a head: grams as written, the birth weight if it is known, days since birth.
struct WeightUnderHead {
    puppy: usize,
    grams: f64,
    birth: Option<f64>,
    days: f64,
}

impl WeightUnderHead {
    /// Whether a weight `times` this one could be of the puppy.
    fn could_be(&self, times: f64) -> bool {
        let grams = self.grams * times;
        let most = 2.0 * (self.days / DOUBLES_IN).exp2().min(MOST_TIMES);
        let (least, heaviest) = match self.birth {
            Some(birth) => (birth * LIGHTEST, birth * most),
            None => (
                possible_birth_weight().start() * LIGHTEST,
                possible_birth_weight().end() * most,
            ),
        };
        (least..=heaviest).contains(&grams)
    }

    /// How far a weight `times` this one is from what may be expected, on the logarithm: a puppy
    /// doubles its birth weight in about nine days (common practice, no source).
    fn off(&self, times: f64) -> f64 {
        let birth = self.birth.unwrap_or(300.0);
        (self.grams * times / birth).ln().abs().min(
            (self.grams * times / (birth * (self.days / 9.0).exp2()))
                .ln()
                .abs(),
        )
    }
}

pub(super) fn check(records: &Checked<'_>, folder: &LitterFolder, problems: &mut Vec<Problem>) {
    let file = folder.file("weights.yaml");
    let Some(birth) = folder
        .litter
        .birth
        .as_ref()
        .filter(|_| !records.is_broken(&file))
    else {
        return;
    };
    let mut blocks: Vec<_> = folder.weigh_ins.iter().collect();
    blocks.sort_by_key(|weigh_in| weigh_in.block);
    let mut next = 0;
    let mut under: Vec<WeightUnderHead> = Vec::new();
    let mut head: Option<usize> = None;
    for weigh_in in blocks {
        // Blocks that are no weigh-in name a unit.
        if weigh_in.block > next {
            doubt(&file, folder, head, &under, problems);
            under.clear();
            head = Some(weigh_in.block - 1);
        }
        next = weigh_in.block + 1;
        let days = weigh_in.at.day().since(birth.on);
        if head.is_none() || !(0..=DAYS).contains(&days) {
            continue;
        }
        for (n, puppy) in folder.litter.puppies.iter().enumerate() {
            if let Some(weight) = weigh_in.weights.get(&puppy.id) {
                let days = f64::from(i32::try_from(days).unwrap_or(i32::MAX));
                under.push(WeightUnderHead {
                    puppy: n,
                    grams: weight.grams(),
                    birth: puppy.weight.map(Weight::grams),
                    days,
                });
            }
        }
    }
    doubt(&file, folder, head, &under, problems);
}

/// Slips between units that are worth naming: what stands at the head, what the scale showed.
const SLIPS: [(WeightUnit, WeightUnit); 8] = {
    use WeightUnit::{Gram, Kilogram, Ounce, Pound};
    [
        (Ounce, Gram),
        (Gram, Ounce),
        (Kilogram, Gram),
        (Gram, Kilogram),
        (Pound, Ounce),
        (Ounce, Pound),
        (Pound, Gram),
        (Gram, Pound),
    ]
};

/// Says which unit would fit, when that of a head does not. Which one stands there is not kept, so
/// the slip is told by its factor: the one that leaves most weights possible, and of those
/// the one that brings them nearest to where they should be.
fn doubt(
    file: &str,
    folder: &LitterFolder,
    head: Option<usize>,
    under: &[WeightUnderHead],
    problems: &mut Vec<Problem>,
) {
    let Some(head) = head.filter(|_| under.len() >= FEWEST) else {
        return;
    };
    let share = |times: f64| {
        let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
        count(
            under
                .iter()
                .filter(|weighed| weighed.could_be(times))
                .count(),
        ) / count(under.len())
    };
    if share(1.0) > 1.0 - SHARE {
        return;
    }
    let far = |times: f64| under.iter().map(|weighed| weighed.off(times)).sum::<f64>();
    let fitting = SLIPS
        .iter()
        .map(|(written, meant)| (meant, meant.grams() / written.grams()))
        .filter(|(_, times)| share(*times) >= SHARE);
    let Some((meant, _)) = fitting.min_by(|(_, a), (_, b)| far(*a).total_cmp(&far(*b))) else {
        return;
    };
    let Some((puppy, written)) = under.first().and_then(|w| {
        Some((
            folder.litter.puppies.get(w.puppy)?,
            Weight::from_grams(w.grams)?,
        ))
    }) else {
        return;
    };
    let message = format!("in this unit `{}` weighed {written}", puppy.id);
    let hint = format!(
        "if the scale showed {0}, write `unit: {0}`; the birth weights stay as they are",
        meant.name()
    );
    let mut problem = Problem::error(
        "unit-doubtful",
        Place::path(file, key_path![head, "unit"]),
        message,
        hint,
    );
    if let Some(n) = under
        .first()
        .map(|first| first.puppy)
        .filter(|_| puppy.weight.is_some())
    {
        problem = problem.and(
            Place::path(
                &folder.file("litter.yaml"),
                key_path!["puppies", n, "weight"],
            ),
            "its birth",
        );
    }
    problems.push(problem);
}
