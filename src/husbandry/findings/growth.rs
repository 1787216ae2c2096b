//! Rules on weight.
//!
//! In: one puppy's weights and those of its littermates. Out: findings. Ages are those of the latest weight, not of today: a rule never speaks of a day on which nobody weighed.

use super::{Case, Urgency};
use crate::husbandry::curves;
use crate::husbandry::growth::Point;
use crate::quantity::Moment;

pub(super) fn rules(case: &mut Case<'_>) {
    missed(case);
    light_at_birth(case);
    let points = case.own.growth.points.clone();
    let Some(last) = points.last().copied().filter(|p| !p.is_birth) else { return };
    if last.days > curves::LAST_DAY {
        return;
    }
    loss(case, &points, last);
    stand_still(case, &points, last);
    under_the_band(case, last);
    doubling(case, last);
    behind(case, last);
}

/// A puppy without any other finding, and with enough weights to say so.
pub(super) fn steady(case: &mut Case<'_>) {
    let Some(trend) = case.own.trend.filter(|_| case.found.is_empty()) else { return };
    if case.own.growth.points.last().is_some_and(|p| p.days <= curves::LAST_DAY) {
        let what = format!(
            "gains {:.1} % a day ({:.1} to {:.1}) over {} weights in {:.1} days",
            trend.per_day, trend.low, trend.high, trend.weights, trend.days
        );
        case.find(Urgency::Steady, "steady", what, "no other rule spoke".to_owned(), "all rules of this page");
    }
}

fn loss(case: &mut Case<'_>, points: &[Point], last: Point) {
    let limits = *case.limits;
    let grams = last.weight.grams();
    let highest = points.iter().map(|p| p.weight.grams()).fold(0.0, f64::max);
    let lost = (1.0 - grams / highest) * 100.0;
    if lost >= limits.total_loss.value {
        let what = format!("has lost {lost:.1} % of its highest weight ({highest:.0} g to {grams:.0} g)");
        case.find_by(Urgency::CallTheVet, "total-loss", what, format!("{:.0} % or more", limits.total_loss.value), limits.total_loss);
    }
    let Some(birth) = points.first().filter(|p| p.is_birth) else { return };
    let day_two = points.iter().rev().find(|p| !p.is_birth && p.days <= 2.5 && p.days >= 0.5);
    if let Some((point, change)) = day_two.and_then(|p| Some((p, p.since_birth?)))
        && change <= -limits.early_loss.value + 1e-9
        && last.weight < birth.weight
    {
        let what = format!("weighed {:.1} % less than at birth on day {:.0} ({} to {})", -change, point.days, birth.weight, point.weight);
        case.find_by(Urgency::CallTheVet, "early-loss", what, format!("{} % or more by day 2", limits.early_loss.value), limits.early_loss);
    }
    if last.days > limits.birth_weight_by.value && last.weight < birth.weight {
        let what = format!("is still under its birth weight at {:.1} days ({} against {})", last.days, last.weight, birth.weight);
        case.find_by(
            Urgency::CallTheVet,
            "under-birth-weight",
            what,
            format!("after {:.0} days", limits.birth_weight_by.value),
            limits.birth_weight_by,
        );
    }
}

fn stand_still(case: &mut Case<'_>, points: &[Point], last: Point) {
    let limit = case.limits.stand_still;
    // An hour's play: nobody weighs to the minute. In the first day a stand-still is usual.
    let earlier = points.iter().rev().find(|p| (last.days - p.days) * 24.0 >= limit.value - 1.0);
    if let Some(before) = earlier.filter(|_| last.days > 1.0)
        && last.weight <= before.weight
    {
        let hours = (last.days - before.days) * 24.0;
        let urgency = if last.days <= 14.0 { Urgency::CallTheVet } else { Urgency::Watch };
        case.find_by(
            urgency,
            "no-gain",
            format!("has gained nothing in {hours:.0} h ({} to {})", before.weight, last.weight),
            format!("{:.0} h after the first day", limit.value),
            limit,
        );
    }
}

fn under_the_band(case: &mut Case<'_>, last: Point) {
    let limit = if last.days < 7.0 { case.limits.least_gain_week_1 } else { case.limits.least_gain_later };
    let Some(trend) = case.own.trend.filter(|t| t.per_day < limit.value) else { return };
    if !case.has("no-gain") && last.days > 1.0 {
        let what = format!("gains {:.1} % a day ({:.1} to {:.1}) over the last {:.1} days", trend.per_day, trend.low, trend.high, trend.days);
        case.find_by(Urgency::Watch, "gain-under-band", what, format!("at least {} % a day at this age", limit.value), limit);
    }
}

fn doubling(case: &mut Case<'_>, last: Point) {
    let limit = case.limits.doubled_by;
    let Some(birth) = case.own.growth.points.first().filter(|p| p.is_birth) else { return };
    if last.days >= limit.value && last.weight.grams() < 2.0 * birth.weight.grams() {
        let what = format!("has not doubled its birth weight at {:.0} days ({} from {})", last.days, last.weight, birth.weight);
        case.find_by(Urgency::Watch, "not-doubled", what, format!("by day {:.0}", limit.value), limit);
    }
}

/// How far a weight lies under the mean of others, %; nothing for fewer than two others.
#[expect(clippy::cast_precision_loss, reason = "a litter has few puppies")]
fn under_mean(own: f64, others: &[f64]) -> Option<f64> {
    let mean = others.iter().sum::<f64>() / others.len() as f64;
    (others.len() >= 2).then(|| (1.0 - own / mean) * 100.0)
}

fn light_at_birth(case: &mut Case<'_>) {
    let limit = case.limits.light_at_birth;
    let Some(own) = case.puppy.weight.filter(|_| case.age <= 21) else { return };
    let others: Vec<f64> = case.folder.litter.puppies.iter().filter(|p| p.id != case.puppy.id).filter_map(|p| Some(p.weight?.grams())).collect();
    if let Some(under) = under_mean(own.grams(), &others).filter(|under| *under >= limit.value) {
        let what = format!("was {under:.0} % lighter at birth than the mean of its littermates ({own})");
        case.find_by(Urgency::Watch, "light-at-birth", what, format!("{:.0} % or more under the mean of the others", limit.value), limit);
    }
}

fn behind(case: &mut Case<'_>, last: Point) {
    let limit = case.limits.behind_litter;
    let others: Vec<f64> = case.folder.living().filter(|p| p.id != case.puppy.id).filter_map(|p| weight_at(case, p, last.at)).collect();
    if let Some(under) = under_mean(last.weight.grams(), &others).filter(|under| *under >= limit.value) {
        let what = format!("weighs {under:.0} % less than the mean of its littermates at the same weigh-in ({})", last.weight);
        case.find_by(Urgency::Watch, "behind-litter", what, format!("{:.0} % or more under the mean of the others", limit.value), limit);
    }
}

fn weight_at(case: &Case<'_>, puppy: &crate::records::litter::Puppy, at: Moment) -> Option<f64> {
    case.figures.puppies[&puppy.id].growth.points.iter().find(|p| p.at == at && !p.is_birth).map(|p| p.weight.grams())
}

fn missed(case: &mut Case<'_>) {
    let limit = case.limits.weigh_in_gap;
    if case.age > 14 || case.age < 1 {
        return;
    }
    // Today has no hour, so the gap is counted in days, and today's weigh-in may still come.
    #[expect(clippy::cast_possible_truncation, reason = "a gap is a few days at most")]
    let days = (limit.value / 24.0).ceil().max(1.0) as i64;
    let last = case.own.growth.points.iter().rev().find(|p| !p.is_birth).map(|p| p.at.day());
    if last.is_none_or(|last| case.today.since(last) > days) {
        let what = last.map_or_else(|| "has not been weighed since birth".to_owned(), |last| format!("was last weighed on {last}"));
        case.find_by(Urgency::Watch, "weigh-in-missed", what, format!("at least every {:.0} h", limit.value), limit);
    }
}
