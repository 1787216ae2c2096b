//! Rules on weight.
//!
//! In: one puppy's weights and those of its littermates. Out: findings. Ages are those of the latest weight, not of today: a rule never speaks of a day on which nobody weighed.

use super::{Case, Threshold, Urgency};
use crate::husbandry::birth_weight::Class;
use crate::husbandry::curves;
use crate::husbandry::growth::{Point, under_mean};
use crate::husbandry::thresholds::{LIGHT_AT_BIRTH, WEEK_WITHOUT_GAIN};
use crate::quantity::Moment;

pub(super) fn rules(case: &mut Case<'_>) {
    missed(case);
    light_at_birth(case);
    let points = case.own.growth.points.clone();
    let Some(last) = points.last().copied().filter(|p| !p.is_birth) else { return };
    loss(case, &points, last);
    // Later the handbook gives no share of the weight, and puppies are weighed too seldom to speak of a day.
    if last.days > curves::LAST_DAY {
        week_without_gain(case, &points, last);
        return;
    }
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
    let highest = points.iter().map(|p| p.weight).max().unwrap_or(last.weight);
    let lost = (1.0 - grams / highest.grams()) * 100.0;
    if lost >= limits.total_loss.value {
        let what = format!("has lost {lost:.1} % of its highest weight ({} to {})", case.show(highest), case.show(last.weight));
        case.find_at(last.days, Urgency::CallTheVet, "total-loss", what, format!("{:.0} % or more", limits.total_loss.value), limits.total_loss);
    }
    let Some(birth) = points.first().filter(|p| p.is_birth) else { return };
    let day_two = points.iter().rev().find(|p| !p.is_birth && p.days <= 2.5 && p.days >= 0.5);
    if let Some((point, change)) = day_two.and_then(|p| Some((p, p.since_birth?)))
        && change <= -limits.early_loss.value + 1e-9
        && last.weight < birth.weight
    {
        let what = format!(
            "weighed {:.1} % less than at birth on day {:.0} ({} to {})",
            -change,
            point.days,
            case.show(birth.weight),
            case.show(point.weight)
        );
        let (days, limit) = (point.days, format!("{} % or more by day 2", limits.early_loss.value));
        case.find_at(days, Urgency::CallTheVet, "early-loss", what, limit, limits.early_loss);
    }
    if last.days > limits.birth_weight_by.value && last.weight < birth.weight {
        let what =
            format!("is still under its birth weight at {:.1} days ({} against {})", last.days, case.show(last.weight), case.show(birth.weight));
        case.find_at(
            last.days,
            Urgency::CallTheVet,
            "under-birth-weight",
            what,
            format!("after {:.0} days", limits.birth_weight_by.value),
            limits.birth_weight_by,
        );
    }
}

/// Since when a puppy has gained nothing: the weight at least so many days before the last that is no lighter, and from there back as long as none was lighter.
fn without_gain_since(points: &[Point], last: Point, days: f64) -> Option<Point> {
    let before = points.iter().rposition(|p| last.days - p.days >= days).filter(|i| points[*i].weight >= last.weight)?;
    points[..=before].iter().rev().take_while(|p| p.weight >= last.weight).last().copied()
}

fn stand_still(case: &mut Case<'_>, points: &[Point], last: Point) {
    let limit = case.limits.stand_still;
    // An hour's play: nobody weighs to the minute. In the first day a stand-still is usual.
    let Some(before) = without_gain_since(points, last, (limit.value - 1.0) / 24.0).filter(|_| last.days > 1.0) else { return };
    let hours = (last.days - before.days) * 24.0;
    let how_long = if hours < 72.0 { format!("{:.0} h", hours.max(limit.value)) } else { format!("{:.0} days", hours / 24.0) };
    let urgency = if last.days <= 14.0 || hours >= 72.0 { Urgency::CallTheVet } else { Urgency::Watch };
    let what = format!("has gained nothing in {how_long} ({} to {})", case.show(before.weight), case.show(last.weight));
    case.find_at(last.days, urgency, "no-gain", what, format!("{:.0} h after the first day", limit.value), limit);
}

/// After four weeks puppies are weighed every few days: a week without gain is looked at.
fn week_without_gain(case: &mut Case<'_>, points: &[Point], last: Point) {
    if let Some(before) = without_gain_since(points, last, WEEK_WITHOUT_GAIN.value) {
        let days = last.days - before.days;
        let what = format!("has gained nothing in {days:.0} days ({} to {})", case.show(before.weight), case.show(last.weight));
        case.find_at(last.days, Urgency::Watch, "no-gain", what, "a week without gain".to_owned(), WEEK_WITHOUT_GAIN);
    }
}

fn under_the_band(case: &mut Case<'_>, last: Point) {
    let limit = if last.days < 7.0 { case.limits.least_gain_week_1 } else { case.limits.least_gain_later };
    // What is printed decides; and the loss of the first day is left out of it, or half of every litter would be named on the second.
    let printed = |value: f64| (value * 10.0).round() / 10.0;
    let Some(trend) = case.own.trend.filter(|t| printed(t.per_day) < limit.value && last.days > 2.5) else { return };
    if !case.has("no-gain") {
        let way = if trend.per_day < 0.0 { "loses" } else { "gains" };
        let (rate, days) = (trend.per_day.abs(), trend.days);
        let what = format!("{way} {rate:.1} % a day (gain {:.1} to {:.1}) over {days:.1} days", trend.low, trend.high);
        case.find_at(last.days, Urgency::Watch, "gain-under-band", what, format!("at least {} % a day at this age", limit.value), limit);
    }
}

fn doubling(case: &mut Case<'_>, last: Point) {
    let limit = case.limits.doubled_by;
    let Some(birth) = case.own.growth.points.first().filter(|p| p.is_birth) else { return };
    if last.days >= limit.value && last.weight.grams() < 2.0 * birth.weight.grams() {
        let what = format!("has not doubled its birth weight at {:.0} days ({} from {})", last.days, case.show(last.weight), case.show(birth.weight));
        case.find_at(last.days, Urgency::Watch, "not-doubled", what, format!("by day {:.0}", limit.value), limit);
    }
}

fn light_at_birth(case: &mut Case<'_>) {
    let limit = case.limits.light_at_birth;
    let (Some(own), Some(figures)) = (case.puppy.weight.filter(|_| case.age <= LIGHT_AT_BIRTH), case.own.birth_weight) else { return };
    if let Some(under) = figures.under_littermates.filter(|under| *under >= limit.value) {
        let what = format!("was {under:.0} % lighter at birth than the mean of its littermates ({})", case.show(own));
        case.find_at(0.0, Urgency::Watch, "light-at-birth", what, format!("{:.0} % or more under the mean of the others", limit.value), limit);
    }
    // Low is half of all puppies by that study: only very low is worth a word.
    if let Some(breed) = figures.breed.filter(|breed| breed.class == Class::VeryLow) {
        let what = format!("had a very low birth weight for a {} ({})", breed.breed, case.show(own));
        let limit = Threshold { value: breed.low_from, source: breed.source };
        case.find_at(0.0, Urgency::Watch, "very-low-birth-weight", what, format!("under {} g in that breed", breed.low_from), limit);
    }
}

fn behind(case: &mut Case<'_>, last: Point) {
    let limit = case.limits.behind_litter;
    let others: Vec<f64> = case.folder.living().filter(|p| p.id != case.puppy.id).filter_map(|p| weight_at(case, p, last.at)).collect();
    if let Some(under) = under_mean(last.weight.grams(), &others).filter(|under| *under >= limit.value) {
        let what = format!("weighs {under:.0} % less than the mean of its littermates at the same weigh-in ({})", case.show(last.weight));
        case.find_at(last.days, Urgency::Watch, "behind-litter", what, format!("{:.0} % or more under the mean of the others", limit.value), limit);
    }
}

fn weight_at(case: &Case<'_>, puppy: &crate::records::litter::Puppy, at: Moment) -> Option<f64> {
    case.figures.puppies[&puppy.id].growth.points.iter().find(|p| p.at == at && !p.is_birth).map(|p| p.weight.grams())
}

fn missed(case: &mut Case<'_>) {
    let Some(limit) = case.limits.weigh_in_gap_at(case.age).filter(|_| case.age >= 1) else { return };
    // Today has no hour, so the gap is counted in days, and today's weigh-in may still come.
    #[expect(clippy::cast_possible_truncation, reason = "a gap is a few days at most")]
    let days = (limit.value / 24.0).ceil().max(1.0) as i64;
    let last = case.own.growth.points.iter().rev().find(|p| !p.is_birth).map(|p| p.at.day());
    if last.is_none_or(|last| case.today.since(last) > days) {
        let what = last.map_or_else(|| "has not been weighed since birth".to_owned(), |last| format!("was last weighed on {last}"));
        case.find_by(Urgency::Watch, "weigh-in-missed", what, format!("at least every {:.0} h", limit.value), limit);
    }
}
