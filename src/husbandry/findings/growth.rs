//! Rules on weight.
//!
//! In: one puppy's weights and those of its littermates. Out: findings. Ages are those of the
//! latest weight, not of today: a rule never speaks of a day on which nobody weighed. How often
//! thriving litters are warned of, and how early fading puppies are, is measured on simulated
//! litters in `growth/simulated.rs`.

#[cfg(test)]
mod simulated;
use super::{ClosedCall, FindingRule, Noticed, PuppyCase, Start, Urgency};
use crate::birth_weight::Class;
use crate::growth::{Point, StartWeight, StartWeightKind, percent, start_weight, under_mean};
use crate::quantity::{Weight, shown};
use crate::records::litter::Puppy;
use crate::thresholds::{
    CALL_AFTER_HOURS, CALL_UNTIL, CLOSED_FOR, CLOSED_FOR_LATER, DAY_TWO, DOUBLED_LATEST,
    FALLING_BY, FALLING_FOR, FIRST_DAY, FIRST_DAYS, FIRST_WEEK, LATE_LOSS, LATE_LOSS_SURE,
    LIGHT_AT_BIRTH, LOST_TWICE, MEAN_GAIN_LATER, MEAN_GAIN_WEEK_1, NEXT_DAY, NO_GAIN_UNDER,
    ROUNDING, Threshold, Thresholds, UNDER_OWN_GAIN, WEEK_WITHOUT_GAIN,
};
use crate::trend::{self, Trend};
use crate::{curves, doubling};

/// Who asks for a weight at birth.
pub const BIRTH_WEIGHT_SOURCE: &str =
    "Small Animal Clinical Nutrition, 5th ed., box 16-3: weighed within 24 h of birth";

pub(super) fn rules(case: &mut PuppyCase<'_>) {
    missed(case);
    light_at_birth(case);
    let points = &case.own.growth.points;
    let Some(last) = points.last().copied().filter(|p| !p.is_birth) else {
        return;
    };
    loss(case, points, last);
    // Later the handbook gives no share of the weight, and puppies are weighed too seldom to speak
    // of a day.
    if last.days > curves::LAST_DAY {
        late_loss(case, points, last);
        week_without_gain(case, points, last);
        return;
    }
    no_birth_weight(case, points);
    below_own_gain(case, points, last);
    stand_still(case, points, last);
    below_the_band(case, last);
    doubled(case, last);
    behind(case, last);
}

/// A puppy of which nothing else was found, and with enough weights to say so. Said only of a gain
/// within its band: where that is missed by a little, and the weights are too few to tell, nothing
/// is said. In the first days, whose loss the gain still holds, any gain will do, but not a loss.
/// Nor is it said of a weight that is older than the time between weigh-ins at the age of today, or
/// while one of its weights looks misread.
pub(super) fn steady(case: &mut PuppyCase<'_>) {
    let may_be = case.found.is_empty() && !case.is_doubtful();
    let Some(trend) = case.own.trend.filter(|_| may_be) else {
        return;
    };
    let points = &case.own.growth.points;
    let Some(last) = points.last().filter(|last| last.days <= curves::LAST_DAY) else {
        return;
    };
    let is_old = case.today.since(last.at.day()) > case.limits.days_between_weigh_ins_at(case.age);
    let gains = shown(trend.per_day) > 0.0;
    let under_band = last.days > FIRST_DAYS && !gains_well(case, FIRST_DAYS);
    let stands =
        last.days > FIRST_DAY && without_gain_since(points, *last, a_day(case.limits)).is_some();
    let late = last.days >= doubling::PUBLISHED.1 && not_doubled(points, *last).is_some();
    if is_old || !gains || under_band || stands || late {
        return;
    }
    let start = start_weight(points).map(|start| named(case, start));
    let days = last.days;
    case.find_at(days, Urgency::Steady, Noticed::Steady { trend, start });
}

/// A call on an earlier weight of these days that later weights have closed is not dropped without
/// a word: a watch where the puppy cannot be called steady.
pub(super) fn closed(case: &mut PuppyCase<'_>) {
    let points = &case.own.growth.points;
    let Some(last) = points.last().copied().filter(|last| !last.is_birth) else {
        return;
    };
    let urgency = if case.has(FindingRule::Steady) {
        Urgency::Steady
    } else {
        Urgency::Watch
    };
    let mut told: Vec<ClosedCall> = Vec::new();
    for end in (1..points.len()).rev() {
        let (before, then) = (&points[..end], points[end - 1]);
        let limit = if then.days > curves::LAST_DAY {
            CLOSED_FOR_LATER
        } else {
            CLOSED_FOR
        };
        if last.days - then.days > limit.value || then.is_birth {
            break;
        }
        for call in calls(before, case.limits) {
            if told.contains(&call) || case.has(call.rule()) {
                continue;
            }
            told.push(call);
            let noticed = Noticed::CallClosed {
                call,
                at: then.at,
                from: then.weight,
                to: last.weight,
                limit,
            };
            case.find_at(last.days, urgency, noticed);
        }
    }
}

/// The calls that weights up to the last of these make.
fn calls(points: &[Point], limits: &Thresholds) -> Vec<ClosedCall> {
    let mut calls = Vec::new();
    let Some(last) = points.last().filter(|last| !last.is_birth) else {
        return calls;
    };
    if total_loss(points, limits).is_some() {
        calls.push(ClosedCall::TotalLoss);
    } else if lost_late(points).is_some_and(|loss| loss.is_call) {
        calls.push(ClosedCall::LateLoss);
    }
    if early_loss(points, limits).is_some() {
        calls.push(ClosedCall::EarlyLoss);
    }
    if is_under_birth_weight(points, limits) {
        calls.push(ClosedCall::UnderBirthWeight);
    }
    if last.days <= curves::LAST_DAY
        && stands_still(points, limits).is_some_and(|(_, is_call)| is_call)
    {
        calls.push(ClosedCall::NoGain);
    }
    calls
}

/// The least gain at the age of a weight.
fn least_gain(limits: &Thresholds, last: Point) -> Threshold {
    if last.days < FIRST_WEEK {
        limits.least_gain_week_1
    } else {
        limits.least_gain_later
    }
}

/// Days without gain that are spoken of: the limit, less one hour, since nobody weighs to the
/// minute.
fn a_day(limits: &Thresholds) -> f64 {
    (limits.stand_still.value - 1.0) / 24.0
}

/// Whether the gain lies in its band, on a weight later than a day.
pub(super) fn gains_well(case: &PuppyCase<'_>, after: f64) -> bool {
    let last = case
        .own
        .growth
        .points
        .last()
        .filter(|last| last.days > after);
    last.zip(case.own.trend)
        .is_some_and(|(last, trend)| shown(trend.per_day) >= least_gain(case.limits, *last).value)
}

/// The highest weight and how much of it is lost, %, when that is too much.
fn total_loss(points: &[Point], limits: &Thresholds) -> Option<(Weight, f64)> {
    let last = points.last()?;
    let highest = points.iter().map(|p| p.weight).max()?;
    let lost = -percent(highest, last.weight);
    (lost >= limits.total_loss.value - ROUNDING).then_some((highest, lost))
}

/// The weight of day 2 and its change since the first, %, when too much was lost by then and is not
/// regained.
fn early_loss(points: &[Point], limits: &Thresholds) -> Option<(Point, f64)> {
    let (start, last) = (start_weight(points)?, points.last()?);
    let of_day_two = |p: &&Point| {
        !p.is_birth && p.days > start.days && (DAY_TWO[0]..=DAY_TWO[1]).contains(&p.days)
    };
    let day_two = points.iter().rev().find(of_day_two)?;
    let change = percent(start.weight, day_two.weight);
    (change <= -limits.early_loss.value + ROUNDING && last.weight < start.weight)
        .then_some((*day_two, change))
}

fn is_under_birth_weight(points: &[Point], limits: &Thresholds) -> bool {
    let start = start_weight(points);
    start.zip(points.last()).is_some_and(|(start, last)| {
        last.days > limits.birth_weight_by.value && last.weight < start.weight
    })
}

/// How the weight that later ones are held against is called.
fn named(case: &PuppyCase<'_>, start: StartWeight) -> Start {
    match start.is {
        StartWeightKind::Birth => Start::Birth,
        kind => Start::Weighed {
            hours: start.days * 24.0,
            is_timed: case.folder.litter.born_at(case.puppy).is_some(),
            is_first: kind == StartWeightKind::First,
        },
    }
}

/// Without a birth weight and a weight of the first day nobody knows what was lost since birth, nor
/// when it has doubled. That is no news any more once it gains well.
fn no_birth_weight(case: &mut PuppyCase<'_>, points: &[Point]) {
    if start_weight(points).is_none() && !gains_well(case, FIRST_WEEK) {
        let source = BIRTH_WEIGHT_SOURCE;
        case.find(Urgency::Watch, Noticed::NoBirthWeight { source });
    }
}

/// A loss after four weeks.
struct LateLoss {
    from: Point,
    lost: f64,
    limit: Threshold,
    is_call: bool,
}

/// A loss after four weeks, when a growing puppy loses nothing: so much of its highest weight that
/// no full stomach explains it, or at two weigh-ins running. Two weights that are both far down
/// are a call; one odd weight, the highest or the last, is at most a watch.
fn lost_late(points: &[Point]) -> Option<LateLoss> {
    let [earlier @ .., last] = points else {
        return None;
    };
    if last.is_birth || last.days <= curves::LAST_DAY {
        return None;
    }
    let lost = |from: &Point, now: &Point| -percent(from.weight, now.weight) + ROUNDING;
    let highest = |points: &[Point]| points.iter().max_by_key(|p| p.weight).copied();
    let found = |from: Point, limit: Threshold, is_call: bool| {
        Some(LateLoss {
            from,
            lost: -percent(from.weight, last.weight),
            limit,
            is_call,
        })
    };
    if let [before @ .., next_to_last] = earlier
        && let Some(from) = highest(before)
        && [next_to_last, last]
            .iter()
            .all(|p| lost(&from, p) >= LATE_LOSS_SURE.value)
    {
        return found(from, LATE_LOSS_SURE, true);
    }
    let from = highest(earlier)?;
    // Of one heavier weight alone it is not known whether that was a full stomach.
    let heavier = earlier.iter().filter(|p| p.weight > last.weight).count();
    let limit = if heavier > 1 || earlier.len() == 1 {
        LATE_LOSS_SURE
    } else {
        LATE_LOSS
    };
    if lost(&from, last) >= limit.value {
        return found(from, limit, false);
    }
    let [.., from, between, _] = points else {
        return None;
    };
    let twice = from.weight > between.weight && between.weight > last.weight;
    (twice && lost(from, last) >= LOST_TWICE.value).then_some(())?;
    found(*from, LOST_TWICE, false)
}

fn late_loss(case: &mut PuppyCase<'_>, points: &[Point], last: Point) {
    let Some(loss) = lost_late(points).filter(|_| !case.has(FindingRule::TotalLoss)) else {
        return;
    };
    let urgency = if loss.is_call {
        Urgency::CallTheVet
    } else {
        Urgency::Watch
    };
    let noticed = Noticed::LateLoss {
        lost: loss.lost,
        from: loss.from.weight,
        at: loss.from.at,
        now: last.weight,
        is_twice: loss.is_call || loss.limit == LOST_TWICE,
        limit: loss.limit,
    };
    case.find_at(last.days, urgency, noticed);
}

fn loss(case: &mut PuppyCase<'_>, points: &[Point], last: Point) {
    let limits = *case.limits;
    if let Some((highest, lost)) = total_loss(points, &limits) {
        let noticed = Noticed::TotalLoss {
            lost,
            highest,
            now: last.weight,
            limit: limits.total_loss,
        };
        case.find_at(last.days, Urgency::CallTheVet, noticed);
    }
    let Some(first) = start_weight(points) else {
        return;
    };
    let (birth, start) = (first.weight, named(case, first));
    if let Some((point, change)) = early_loss(points, &limits) {
        let noticed = Noticed::EarlyLoss {
            lost: -change,
            days: point.days,
            birth,
            start,
            then: point.weight,
            limit: limits.early_loss,
        };
        case.find_at(point.days, Urgency::CallTheVet, noticed);
    }
    if is_under_birth_weight(points, &limits) {
        let noticed = Noticed::UnderBirthWeight {
            days: last.days,
            now: last.weight,
            birth,
            start,
            limit: limits.birth_weight_by,
        };
        case.find_at(last.days, Urgency::CallTheVet, noticed);
    }
}

/// How far the last weight lies under the one that its own gain until then led to expect, %;
/// nothing where the weights before it are too few, or not of these days.
fn under_own_gain(points: &[Point]) -> Option<f64> {
    let (last, before) = points.split_last()?;
    let latest = before.last().filter(|_| !last.is_birth)?;
    if last.days - latest.days > NEXT_DAY {
        return None;
    }
    let trend = trend::recent(before).or_else(|| trend::latest(before))?;
    // No more is expected of it than the handbook's mean at its age.
    let usual = if last.days < FIRST_WEEK {
        MEAN_GAIN_WEEK_1
    } else {
        MEAN_GAIN_LATER
    };
    let per_day = trend.per_day.min(usual.value);
    let from_each =
        |p: &Point| p.weight.grams().ln() + (1.0 + per_day / 100.0).ln() * (last.days - p.days);
    let mut expected: Vec<f64> = before[before.len().saturating_sub(3)..]
        .iter()
        .map(from_each)
        .collect();
    expected.sort_by(f64::total_cmp);
    let middle = expected.get(1)?;
    Some((1.0 - last.weight.grams() / middle.exp()) * 100.0)
}

fn below_own_gain(case: &mut PuppyCase<'_>, points: &[Point], last: Point) {
    let limit = UNDER_OWN_GAIN;
    let Some(under) = under_own_gain(points).filter(|under| *under >= limit.value) else {
        return;
    };
    if last.days > FIRST_DAYS && !case.has(FindingRule::TotalLoss) {
        let noticed = Noticed::UnderOwnGain {
            under,
            now: last.weight,
            limit,
        };
        case.find_at(last.days, Urgency::Watch, noticed);
    }
}

/// Since when a puppy has gained nothing: the weight at least so many days before the last that is
/// no lighter, and from there back as long as none was lighter.
fn without_gain_since(points: &[Point], last: Point, days: f64) -> Option<Point> {
    let before = points
        .iter()
        .rposition(|p| last.days - p.days >= days)
        .filter(|i| points[*i].weight >= last.weight)?;
    points[..=before]
        .iter()
        .rev()
        .take_while(|p| p.weight >= last.weight)
        .last()
        .copied()
}

/// Since which weight a puppy has gained nothing, and whether that is a call. After the first week
/// a day's gain is not far more than what a weight scatters: there a day without gain counts only
/// when the weight before shows the same, or when this one lies well under the puppy's own trend.
/// Without a trend it counts alone.
fn stands_still(points: &[Point], limits: &Thresholds) -> Option<(Point, bool)> {
    let (last, earlier) = points.split_last()?;
    if last.is_birth || last.days <= FIRST_DAY {
        return None;
    }
    let day = a_day(limits);
    let since = without_gain_since(points, *last, day)?;
    let is_sure = || {
        let twice = earlier
            .last()
            .is_some_and(|before| without_gain_since(earlier, *before, day).is_some());
        twice || under_own_gain(points).is_none_or(|under| under >= NO_GAIN_UNDER.value)
    };
    let is_call = last.days <= CALL_UNTIL || (last.days - since.days) * 24.0 >= CALL_AFTER_HOURS;
    (last.days < FIRST_WEEK || is_sure()).then_some((since, is_call))
}

fn stand_still(case: &mut PuppyCase<'_>, points: &[Point], last: Point) {
    let limit = case.limits.stand_still;
    let Some((before, is_call)) = stands_still(points, case.limits) else {
        return;
    };
    let urgency = if is_call {
        Urgency::CallTheVet
    } else {
        Urgency::Watch
    };
    let noticed = Noticed::NoGain {
        hours: (last.days - before.days) * 24.0,
        from: before.weight,
        to: last.weight,
        limit,
    };
    case.find_at(last.days, urgency, noticed);
}

/// After four weeks puppies are weighed every few days: a week without gain is looked at.
fn week_without_gain(case: &mut PuppyCase<'_>, points: &[Point], last: Point) {
    if let Some(before) = without_gain_since(points, last, WEEK_WITHOUT_GAIN.value) {
        let noticed = Noticed::WeekWithoutGain {
            days: last.days - before.days,
            from: before.weight,
            to: last.weight,
            limit: WEEK_WITHOUT_GAIN,
        };
        case.find_at(last.days, Urgency::Watch, noticed);
    }
}

/// A gain is under its band when the whole of its interval is: that of the usual trend, or that of
/// the last three days, which knows earlier of a puppy that has stopped.
fn below_the_band(case: &mut PuppyCase<'_>, last: Point) {
    let limit = least_gain(case.limits, last);
    // The loss of the first day is left out of it, or half of every litter would be named on the
    // second.
    if last.days <= FIRST_DAYS || case.has(FindingRule::NoGain) {
        return;
    }
    let is_under = |trend: &Trend| shown(trend.high) < limit.value;
    let recent = || trend::recent(&case.own.growth.points);
    let Some(trend) = case
        .own
        .trend
        .filter(is_under)
        .or_else(|| recent().filter(is_under))
    else {
        return;
    };
    let noticed = Noticed::GainUnderBand { trend, limit };
    case.find_at(last.days, Urgency::Watch, noticed);
}

/// The birth weight or what stands for it, where the last weight is not twice as much.
fn not_doubled(points: &[Point], last: Point) -> Option<StartWeight> {
    let start = start_weight(points)?;
    (last.weight.grams() < (2.0 - ROUNDING) * start.weight.grams()).then_some(start)
}

/// Published days differ (8 to 14): who gains as it should is let be for a while.
fn doubled(case: &mut PuppyCase<'_>, last: Point) {
    let limit = case.limits.doubled_by;
    let Some(first) =
        not_doubled(&case.own.growth.points, last).filter(|_| last.days >= limit.value)
    else {
        return;
    };
    if last.days < DOUBLED_LATEST && gains_well(case, FIRST_DAYS) {
        return;
    }
    let noticed = Noticed::NotDoubled {
        days: last.days,
        now: last.weight,
        birth: first.weight,
        start: named(case, first),
        limit,
    };
    case.find_at(last.days, Urgency::Watch, noticed);
}

/// A light puppy is watched until its gain shows that it drinks enough; a very light one through
/// the first week, in which four of five of those that die after birth die (Tønnessen and others
/// 2012, Theriogenology 77:1788-1801: 3.7 % of puppies in week 1, 1 % from then to 8 weeks).
fn light_at_birth(case: &mut PuppyCase<'_>) {
    let limit = case.limits.light_at_birth;
    let (Some(own), Some(figures), Some(birth)) = (
        case.puppy.weight.filter(|_| case.age <= LIGHT_AT_BIRTH),
        case.own.birth_weight,
        case.own.growth.points.first(),
    ) else {
        return;
    };
    let drinks = gains_well(case, FIRST_DAYS);
    if let Some(under) = under_littermates(case, birth, case.folder.litter.born_alive())
        .filter(|under| *under >= limit.value - ROUNDING && !drinks)
    {
        let noticed = Noticed::LightAtBirth {
            under,
            birth: own,
            limit,
        };
        case.find_at(0.0, Urgency::Watch, noticed);
    }
    // Low is half of all puppies by that study: only very low is worth a word.
    let is_over_it = gains_well(case, FIRST_WEEK);
    if let Some(breed) = figures
        .breed
        .filter(|breed| breed.class == Class::VeryLow && !is_over_it)
    {
        let noticed = Noticed::VeryLowBirthWeight { breed, birth: own };
        case.find_at(0.0, Urgency::Watch, noticed);
    }
}

/// Whoever was born small and keeps its place is no watch: a puppy far under its littermates must
/// have fallen further in three days.
fn behind(case: &mut PuppyCase<'_>, last: Point) {
    let limit = case.limits.behind_litter;
    let points = &case.own.growth.points;
    let Some(under) = under_littermates(case, &last, case.folder.living())
        .filter(|under| *under >= limit.value - ROUNDING)
    else {
        return;
    };
    let mut sound = points
        .iter()
        .filter(|p| case.slips.likely(&case.puppy.id, p).is_none());
    let first = sound.clone().next();
    let before = sound.rfind(|p| last.days - p.days >= FALLING_FOR).or(first);
    // With nothing to compare it with, the weight itself speaks.
    if before
        .and_then(|before| under_littermates(case, before, case.folder.living()))
        .is_some_and(|then| under - then < FALLING_BY.value)
    {
        return;
    }
    let noticed = Noticed::BehindLitter {
        under,
        now: last.weight,
        limit,
    };
    case.find_at(last.days, Urgency::Watch, noticed);
}

/// How far a weight lies under the mean of the littermates that were weighed with it, %. The
/// weights at birth are one weigh-in. In place of a weight that looks misread stands what was
/// probably meant, unless the puppy's own does: the whole weigh-in may have been.
fn under_littermates<'a>(
    case: &PuppyCase<'_>,
    point: &Point,
    all: impl Iterator<Item = &'a Puppy>,
) -> Option<f64> {
    let is_sound = case.slips.likely(&case.puppy.id, point).is_none();
    let together =
        |p: &&Point| p.is_birth == point.is_birth && (point.is_birth || p.at == point.at);
    let others = all.filter(|p| p.id != case.puppy.id).filter_map(|p| {
        let points = &case.figures.puppies[&p.id].growth.points;
        let point = points.iter().find(together)?;
        let likely = case.slips.likely(&p.id, point).filter(|_| is_sound);
        Some(likely.unwrap_or_else(|| point.weight.grams()))
    });
    under_mean(point.weight.grams(), &others.collect::<Vec<_>>())
}

fn missed(case: &mut PuppyCase<'_>) {
    let Some(limit) = case
        .limits
        .weigh_in_gap_at(case.age)
        .filter(|_| case.age >= 1)
    else {
        return;
    };
    let days = case.limits.days_between_weigh_ins_at(case.age);
    let last = case
        .own
        .growth
        .points
        .iter()
        .rev()
        .find(|p| !p.is_birth)
        .map(|p| p.at.day());
    if last.is_none_or(|last| case.today.since(last) > days) {
        case.find(Urgency::Watch, Noticed::WeighInMissed { last, limit });
    }
}
