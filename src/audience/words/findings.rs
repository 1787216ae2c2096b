//! Findings in words: what was noticed, and what it was measured against.
//!
//! In: a finding. Out: phrases without full stop. A limit also says what ends the finding, where
//! something does.

mod expecting;
mod feeding;
mod genes;
mod illness;
mod weights;

pub use expecting::rose_again;

use super::{care, rules, slips};
use crate::husbandry::birth::Placentas;
use crate::husbandry::findings::{
    DamStage, DatedTemperature, Finding, Noticed, Start, TemperatureBand, WeightNoticed,
};
use crate::husbandry::gestation::temperature::DropSign;
use crate::husbandry::thresholds::DOUBLED_LATEST;
use crate::quantity::{Day, Moment, days_said, settled, tenths_with_minus};
use crate::records::litter::CountedBy;
use expecting::{dropped, low_progesterone, window, window_of};
use illness::illness_ends;
use weights::{at_first, held_against, in_passing, missing, why};

/// What ends it that no birth is recorded.
const NO_BIRTH: &str =
    "ends with the birth, or with a count of 0 puppies when she was not in whelp";

/// What was noticed, with its figures; `ounces` is how the keeper reads weights.
#[must_use]
pub fn what(finding: &Finding, ounces: bool) -> String {
    let mut what = noticed(&finding.noticed, ounces);
    if let Some(WeightNoticed {
        days: _,
        last_weighed,
        is_doubtful,
    }) = finding.weight
    {
        if let Some(last) = last_weighed {
            what.push_str(&format!(", when last weighed on {last}"));
        }
        if is_doubtful {
            what.push_str("; look at the slip of the pen first");
        }
    }
    days_said(&what)
}

#[expect(
    clippy::too_many_lines,
    reason = "a flat table, one arm for each finding"
)]
fn noticed(noticed: &Noticed, ounces: bool) -> String {
    match noticed {
        Noticed::Steady { trend, start } => format!(
            "gains {} % a day ({} to {}) over {} weights in {:.1} days{}",
            tenths_with_minus(trend.per_day),
            tenths_with_minus(trend.low),
            tenths_with_minus(trend.high),
            trend.weights,
            trend.days,
            held_against(*start)
        ),
        Noticed::CallClosed {
            call, at, from, to, ..
        } => format!(
            "the call of {at} ({}) is closed: since then {} to {}",
            why(*call),
            from.show(ounces),
            to.show(ounces)
        ),
        Noticed::TotalLoss {
            lost, highest, now, ..
        } => format!(
            "has lost {:.1} % of its highest weight ({} to {})",
            settled(*lost),
            highest.show(ounces),
            now.show(ounces)
        ),
        Noticed::LateLoss {
            lost,
            from,
            at,
            now,
            is_twice,
            ..
        } => format!(
            "has lost {:.1} % since {} ({} to {}){}",
            settled(*lost),
            at.day(),
            from.show(ounces),
            now.show(ounces),
            if *is_twice { ", at two weigh-ins" } else { "" }
        ),
        Noticed::NoBirthWeight { .. } => "has no birth weight, and was not weighed in its first \
                                          day: a loss since birth and doubling cannot be judged"
            .to_owned(),
        Noticed::EarlyLoss {
            lost,
            days,
            birth,
            start,
            then,
            ..
        } => format!(
            "weighed {:.1} % less than {} on day {days:.0} ({} to {}{})",
            settled(*lost),
            match start {
                Start::Birth => "at birth".to_owned(),
                weighed @ Start::Weighed { .. } => in_passing(*weighed),
            },
            birth.show(ounces),
            then.show(ounces),
            missing(*start)
        ),
        Noticed::UnderBirthWeight {
            days,
            now,
            birth,
            start,
            ..
        } => format!(
            "is still under {} at {days:.1} days ({} against {}{})",
            in_passing(*start),
            now.show(ounces),
            birth.show(ounces),
            missing(*start)
        ),
        Noticed::UnderOwnGain { under, now, .. } => format!(
            "weighs {:.0} % less than its own gain of the days before led to expect ({})",
            settled(*under),
            now.show(ounces)
        ),
        Noticed::NoGain {
            hours,
            from,
            to,
            limit,
        } => {
            let how_long = if *hours < 72.0 {
                format!("{:.0} h", hours.max(limit.value))
            } else {
                format!("{:.0} days", hours / 24.0)
            };
            format!(
                "has gained nothing in {how_long} ({} to {})",
                from.show(ounces),
                to.show(ounces)
            )
        }
        Noticed::WeekWithoutGain { days, from, to, .. } => format!(
            "has gained nothing in {days:.0} days ({} to {})",
            from.show(ounces),
            to.show(ounces)
        ),
        Noticed::GainUnderBand { trend, .. } => {
            let way = if trend.per_day < 0.0 {
                "loses"
            } else {
                "gains"
            };
            format!(
                "{way} {} % a day (gain {} to {}) over {:.1} days",
                tenths_with_minus(trend.per_day.abs()),
                tenths_with_minus(trend.low),
                tenths_with_minus(trend.high),
                trend.days
            )
        }
        Noticed::NotDoubled {
            days,
            now,
            birth,
            start,
            ..
        } => format!(
            "has not doubled {} at {days:.0} days ({} from {}{})",
            in_passing(*start),
            now.show(ounces),
            birth.show(ounces),
            missing(*start)
        ),
        Noticed::LightAtBirth { under, birth, .. } => format!(
            "was {:.0} % lighter at birth than the mean of its littermates ({})",
            settled(*under),
            birth.show(ounces)
        ),
        Noticed::VeryLowBirthWeight { breed, birth } => format!(
            "had a very low birth weight for a {} ({})",
            breed.breed,
            birth.show(ounces)
        ),
        Noticed::BehindLitter { under, now, .. } => format!(
            "weighs {:.0} % less than the mean of its littermates at the same weigh-in ({})",
            settled(*under),
            now.show(ounces)
        ),
        Noticed::WeighInMissed { last, .. } => last.map_or_else(
            || "has not been weighed since birth".to_owned(),
            |last| format!("was last weighed on {last}"),
        ),
        Noticed::SlipValue {
            written,
            at,
            likely,
            likely_grams,
            kind,
            ..
        } => format!(
            "looks like a slip of the pen: {} {}: {}; {} would fit",
            written.show(ounces),
            when_written(*at),
            slips::value(written.grams(), *likely_grams, *kind),
            likely.show(ounces)
        ),
        Noticed::SlipExchanged {
            written,
            other_written,
            other,
            at,
            ..
        } => format!(
            "looks like a slip of the pen: {} and {} of {other} {}: {}",
            written.show(ounces),
            other_written.show(ounces),
            when_written(*at),
            slips::EXCHANGED
        ),
        Noticed::LowVigour {
            score,
            total,
            unfinished,
            ..
        } => {
            let since = unfinished.map_or_else(String::new, |minutes| {
                format!("; not scored in full since ({minutes} min)")
            });
            format!(
                "scored {total} of 10 at {} min: {}{since}",
                score.minutes,
                score.class()
            )
        }
        Noticed::PalateCleft { .. } => "has a cleft palate".to_owned(),
        Noticed::NewbornFinding { seen, .. } => {
            let seen: Vec<String> = seen
                .iter()
                .map(|(item, what)| format!("{item}: {what}"))
                .collect();
            format!("was not as usual at birth: {}", seen.join("; "))
        }
        Noticed::NotLookedAt { items, puppies, .. } => {
            let items = items.join(", ");
            match puppies {
                Some(n) => format!("none of the {n} puppies has been looked at: {items}"),
                None => format!("has not been looked at: {items}"),
            }
        }
        Noticed::Illness(unwell) => illness::told("", unwell),
        Noticed::DamIllness(unwell) => illness::told("the dam ", unwell),
        Noticed::OutsideBand {
            reading, is_old, ..
        } => format!("had {}{}", read(reading), silence(*is_old)),
        Noticed::BackInBand { outside, then, .. } => {
            format!("had {}, then {}", read(outside), read(then))
        }
        Noticed::DamTemperature {
            reading, is_old, ..
        } => format!("the dam had {}{}", read(reading), silence(*is_old)),
        Noticed::FedCold { fed, reading, .. } => {
            format!("was fed on {fed}, while cold: {}", read(reading))
        }
        Noticed::FedTooLittle { .. } => feeding::too_little(noticed),
        Noticed::CareOverdue { first, others } => {
            let names: Vec<String> = [first]
                .into_iter()
                .chain(others)
                .map(|item| {
                    let remark = care::after(item.remark.as_ref());
                    format!("{} (by {}{remark})", item.item.name, item.until)
                })
                .collect();
            format!("is overdue for: {}", names.join("; "))
        }
        Noticed::Overdue { last, anchor } => format!(
            "the dam is over her time: her last day was {last}, counted from {}",
            anchor.words()
        ),
        Noticed::PastWindow { last, from } => format!(
            "birth was expected by {last}, counted from {}; speak with the clinic",
            window_of(*from)
        ),
        Noticed::DatesDisagree { best, other } => format!(
            "the dates do not agree: {}, {}",
            window(best),
            window(other)
        ),
        Noticed::OnePuppy {
            counted, speak_by, ..
        } => {
            let by = speak_by.map_or_else(String::new, |by| format!(" by {by}"));
            format!(
                "one puppy was counted on {counted}: it may give too little signal to begin \
                 birth; speak with the clinic{by}"
            )
        }
        Noticed::TemperatureDrop { drop, call, .. } => dropped(drop, *call),
        Noticed::LowProgesterone {
            on, value, state, ..
        } => low_progesterone(*on, *value, *state),
        Noticed::RoseAgain { readings, .. } => rose_again(readings),
        Noticed::LittermatesDied { names, days, .. } => littermates_died(names, *days),
        Noticed::Orphaned { died, .. } => format!(
            "has lost its dam on {died}: it needs milk and warmth by hand until it eats by itself"
        ),
        // A terminal shows no source: when the rule was read is said with it.
        Noticed::BeyondRule { verdict, today } => format!(
            "is not as a rule asks: {} (the rule: {})",
            rules::figures(verdict),
            rules::how_read(verdict.source(), *today)
        ),
        Noticed::AffectedExpected { share, test, .. } => format!(
            "{:.0} % of the puppies may be affected, if {test} is one recessive gene",
            share * 100.0
        ),
        Noticed::GeneOpen { test, risk, .. } => genes::open(test, *risk),
        Noticed::MerleToMerle { .. } => "both parents are merle: puppies with two copies of the \
                                         gene are often deaf or blind"
            .to_owned(),
        Noticed::TestRanOut { test, until, .. } => genes::ran_out(test, *until),
        Noticed::FewerThanCounted {
            by: CountedBy::XRay,
            counted,
            born,
            ..
        } => format!("the X-ray counted {counted} puppies, and {born} are recorded"),
        Noticed::FewerThanCounted { counted, born, .. } => format!(
            "the ultrasound scan counted {counted} puppies, and {born} are recorded; such a count \
             is often one off"
        ),
        Noticed::PlacentaRetained { puppies, .. } => {
            format!("a placenta is noted as retained: {}", puppies.join(", "))
        }
        Noticed::Placentas { out, count, .. } => format!(
            "{out} of {} placentas are accounted for{}",
            count.puppies,
            short_horns(count)
        ),
    }
}

/// What it was measured against, and what ends it.
#[must_use]
#[expect(
    clippy::too_many_lines,
    reason = "a flat table, one arm for each finding"
)]
pub fn limit(finding: &Finding) -> String {
    match &finding.noticed {
        Noticed::Steady { .. } => "no other rule spoke".to_owned(),
        Noticed::CallClosed { limit, .. } => format!(
            "a call is not dropped without a word; ends {:.0} days after it",
            limit.value
        ),
        Noticed::TotalLoss { limit, .. } => {
            format!("{:.0} % or more; ends when less is missing", limit.value)
        }
        Noticed::LateLoss { limit, .. } => format!(
            "{} % or more after four weeks; weigh again within a day; ends when less is missing",
            limit.value
        ),
        Noticed::NoBirthWeight { .. } => "weighed within 24 h of birth; ends when a birth weight \
                                          is written, or when its gain is in the band after the \
                                          first week"
            .to_owned(),
        Noticed::EarlyLoss { limit, start, .. } => format!(
            "{} % or more by day 2; ends when it weighs what it did {}",
            limit.value,
            at_first(*start)
        ),
        Noticed::UnderBirthWeight { limit, start, .. } => format!(
            "after {:.0} days; ends when it weighs what it did {}",
            limit.value,
            at_first(*start)
        ),
        Noticed::UnderOwnGain { limit, .. } => format!(
            "{} % or more; weigh again in a few hours; ends with a weight nearer to it",
            limit.value
        ),
        Noticed::NoGain { limit, .. } => format!(
            "{:.0} h after the first day; ends when it weighs more than a day before",
            limit.value
        ),
        Noticed::WeekWithoutGain { .. } => {
            "a week without gain; ends when it weighs more than a week before".to_owned()
        }
        Noticed::GainUnderBand { limit, .. } => format!(
            "at least {} % a day at this age; ends when the gain may be that again",
            limit.value
        ),
        Noticed::NotDoubled { limit, .. } => format!(
            "by day {:.0}; ends when it has, or before day {DOUBLED_LATEST:.0} when its gain is \
             in the band",
            limit.value
        ),
        Noticed::LightAtBirth { limit, .. } => format!(
            "{:.0} % or more under the mean of the others; ends when its gain is in the band \
             after day 2",
            limit.value
        ),
        Noticed::VeryLowBirthWeight { breed, .. } => format!(
            "under {} g in that breed; ends when its gain is in the band after the first week",
            breed.low_from
        ),
        Noticed::BehindLitter { limit, .. } => format!(
            "{:.0} % or more under the mean of the others, and falling; ends when it keeps its \
             place for three days",
            limit.value
        ),
        Noticed::WeighInMissed { limit, .. } => format!(
            "at least every {:.0} h; ends with the next weigh-in",
            limit.value
        ),
        Noticed::SlipValue { times_likelier, .. }
        | Noticed::SlipExchanged { times_likelier, .. } => format!(
            "{} times likelier than as written; nothing was changed; ends when it is put right",
            slips::likelier(*times_likelier)
        ),
        Noticed::LowVigour { .. } => "under 7; ends on the third day".to_owned(),
        Noticed::PalateCleft { .. } => "none; ends with a check by a vet".to_owned(),
        Noticed::NewbornFinding { .. } => {
            "normal (anus open, eyes and navel closed); ends with a check by a vet".to_owned()
        }
        Noticed::NotLookedAt { .. } => {
            "every item once; ends when each is noted, or after two weeks".to_owned()
        }
        Noticed::Illness(unwell) => illness_ends("it", unwell),
        Noticed::DamIllness(unwell) => illness_ends("she", unwell),
        Noticed::OutsideBand {
            band: TemperatureBand { low, high, .. },
            ..
        } => format!("{low:.1} to {high:.1} °C at that age; ends with a reading inside that"),
        Noticed::BackInBand {
            band: TemperatureBand { low, high, .. },
            ..
        } => format!("{low:.1} to {high:.1} °C at that age; ends after 12 hours inside that"),
        Noticed::DamTemperature {
            stage,
            band: TemperatureBand { low, high, .. },
            ..
        } => {
            let when = match stage {
                DamStage::Expecting => "before a birth",
                DamStage::FirstDay => "in the first 24 h",
                DamStage::Later => "after the first 24 h",
            };
            format!("{low} to {high} °C {when}; ends with a reading inside that")
        }
        Noticed::FedCold { limit, .. } => format!(
            "no feed within an hour of a reading under {:.1} °C",
            limit.value
        ),
        Noticed::FedTooLittle { need, limit, .. } => format!(
            "{:.0} % of {need:.0} kcal/kg, a comparison and no plan: how much it is to have, the \
             vet says; ends when a day’s feeds are nearer to it, or with a weight of the same day \
             that shows a gain in its band",
            limit.value
        ),
        Noticed::CareOverdue { first, .. } => format!(
            "done by {}; ends when it is recorded, or excused",
            first.until
        ),
        Noticed::Overdue { .. } => format!("no birth recorded; {NO_BIRTH}"),
        Noticed::PastWindow { .. } => format!(
            "no date is known to a day, so this is no count of days over her time; {NO_BIRTH}"
        ),
        Noticed::DatesDisagree { .. } => "windows that meet; ends with the birth".to_owned(),
        Noticed::OnePuppy { .. } => "the 62nd day from ovulation, or the first day of a wide \
                                     window; ends with the birth, and is no call once a vet has \
                                     checked her"
            .to_owned(),
        Noticed::TemperatureDrop { drop, .. } => {
            let sign = match drop.sign {
                DropSign::Low => "at or under 37.5 °C".to_owned(),
                DropSign::UnderMean(mean) => {
                    format!("a degree under her own mean of {mean:.1} °C")
                }
            };
            format!("{sign}; ends with the birth, or a check by a vet")
        }
        Noticed::BeyondRule { verdict, .. } => format!(
            "check with {}; ends when the records are as the rule asks",
            verdict.book.check_with
        ),
        Noticed::AffectedExpected { .. } => "tests of both parents; ends with the birth".to_owned(),
        Noticed::LowProgesterone { .. } => {
            "2 ng/ml (6.4 nmol/l) or more until a day or two before \
                                            birth; ends with the birth, or a check by a vet"
                .to_owned()
        }
        Noticed::RoseAgain { .. } => {
            "birth within 33 h of the drop; ends with the birth, the next \
                                      drop, or a check by a vet"
                .to_owned()
        }
        Noticed::LittermatesDied { .. } => "two or more within three days; ends with a check by a \
                                            vet, or a week after the last"
            .to_owned(),
        Noticed::Orphaned { .. } => "its dam's milk; ends at five weeks".to_owned(),
        Noticed::FewerThanCounted { by, .. } => format!(
            "all that were counted; ends when they are recorded, the count is corrected, with a \
             check of her by a vet, or after {}",
            match by {
                CountedBy::XRay => "two weeks",
                CountedBy::Ultrasound => "three days; call when she strains or is unwell",
            }
        ),
        Noticed::GeneOpen { risk, .. } => genes::ends(*risk).to_owned(),
        Noticed::MerleToMerle { .. } => {
            "one parent that is not merle; ends with the birth: speak with the vet about hearing \
             and sight"
                .to_owned()
        }
        Noticed::TestRanOut { .. } => "a result that counts on the day of the mating; ends with a \
                                       newer one, or two weeks after the birth"
            .to_owned(),
        Noticed::PlacentaRetained { .. } => {
            "one out for each puppy; ends with a check of her by a vet, or after two weeks"
                .to_owned()
        }
        Noticed::Placentas { .. } => {
            "one for each puppy; ends when all are noted, with a check of her by a vet, or after \
             two weeks"
                .to_owned()
        }
    }
}

fn when_written(at: Option<Moment>) -> String {
    at.map_or_else(|| "at birth".to_owned(), |at| format!("on {at}"))
}

/// `34.2 °C on 2026-10-05 12:25`.
fn read(reading: &DatedTemperature) -> String {
    let DatedTemperature {
        temperature,
        day,
        at,
    } = reading;
    format!("{temperature} on {}", moment(*day, *at))
}

/// The hour where it is known, or the day.
fn moment(day: Day, at: Option<Moment>) -> String {
    at.map_or_else(|| day.to_string(), |at| at.to_string())
}

fn silence(is_old: bool) -> &'static str {
    if is_old {
        ", and no reading was written since"
    } else {
        ""
    }
}

fn littermates_died(names: &[String], (first, last): (Day, Day)) -> String {
    let when = if first == last {
        format!("on {first}")
    } else {
        format!("from {first} to {last}")
    };
    format!(
        "{} littermates died {when}: {}",
        names.len(),
        names.join(", ")
    )
}

/// From which horn placentas are missing, where that was noted.
fn short_horns(placentas: &Placentas) -> String {
    let short: Vec<String> = placentas
        .horns
        .iter()
        .filter(|h| h.out < h.puppies)
        .map(|h| format!("{} horn {} of {}", h.horn.word(), h.out, h.puppies))
        .collect();
    if short.is_empty() {
        String::new()
    } else {
        format!(" ({})", short.join(", "))
    }
}

#[cfg(test)]
mod tests;
