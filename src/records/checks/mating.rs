//! Days around the mating that cannot follow each other, or hardly.
//!
//! In: one litter. Out: problems, each with both places.

use super::out_of_order;
use crate::LitterFolder;
use crate::problem::{Place, Problem, Step, key_path};
use crate::quantity::Day;

/// Days from ovulation to the nearest mating that can give puppies, with room: fertile days are two
/// to four days after ovulation (LH surge + 4 to 6), and sperm live up to about a week (from
/// memory).
const AROUND_OVULATION: std::ops::RangeInclusive<i64> = -9..=7;

pub(super) fn check(folder: &LitterFolder, problems: &mut Vec<Problem>) {
    let file = folder.file("litter.yaml");
    let litter = &folder.litter;
    if let (Some(surge), Some(ovulated)) = (litter.lh_surge, litter.ovulated)
        && surge > ovulated
    {
        let message = format!("the LH surge on {surge} is after the ovulation on {ovulated}");
        let hint = "ovulation follows the surge by about two days: correct one of the two dates";
        problems.push(
            Problem::error(
                "out-of-order",
                Place::path(&file, key_path!["lh_surge"]),
                message,
                hint,
            )
            .and(Place::path(&file, key_path!["ovulated"]), "the ovulation"),
        );
    }
    let before = [
        ("lh_surge", "the LH surge", litter.lh_surge),
        ("ovulated", "the ovulation", litter.ovulated),
    ];
    for (key, what, day) in before
        .into_iter()
        .filter_map(|(key, what, day)| Some((key, what, day?)))
    {
        if let Some(dioestrus) = litter.dioestrus.filter(|dioestrus| *dioestrus <= day) {
            let message =
                format!("the first day of dioestrus, {dioestrus}, is not after {what} on {day}");
            let hint =
                "dioestrus begins about six days after ovulation: correct one of the two dates";
            problems.push(
                Problem::error(
                    "out-of-order",
                    Place::path(&file, key_path!["dioestrus"]),
                    message,
                    hint,
                )
                .and(Place::path(&file, key_path![key]), what),
            );
        }
    }
    let matings = || litter.mated.iter().copied().enumerate();
    // An ovulation after the birth is told of already.
    let ovulated = litter
        .ovulated
        .filter(|day| litter.birth.as_ref().is_none_or(|birth| *day <= birth.on));
    if let Some(ovulated) = ovulated
        && let Some((n, nearest)) = matings().min_by_key(|(_, mated)| mated.since(ovulated).abs())
        && !AROUND_OVULATION.contains(&nearest.since(ovulated))
    {
        let message = format!(
            "the ovulation on {ovulated} is {} days from the nearest mating, on {nearest}",
            nearest.since(ovulated).abs()
        );
        problems.push(
            Problem::warning(
                "ovulation-far-from-mating",
                Place::path(&file, key_path!["ovulated"]),
                message,
                "correct one of the two dates, or add the mating that is missing",
            )
            .and(Place::path(&file, mated_path(n)), "the mating"),
        );
    }
    if let Some(counted) = &litter.counted
        && let Some((n, first)) = matings().min_by_key(|(_, mated): &(usize, Day)| *mated)
        && counted.on <= first
    {
        let message = format!(
            "puppies were counted on {}, and the first mating was on {first}",
            counted.on
        );
        problems.push(
            out_of_order(Place::path(&file, key_path!["counted", "on"]), message)
                .and(Place::path(&file, mated_path(n)), "the first mating"),
        );
    }
}

fn mated_path(n: usize) -> Vec<Step> {
    key_path!["mated", n]
}
