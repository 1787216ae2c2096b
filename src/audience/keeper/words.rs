//! Small wordings that several pages of the book share.
//!
//! In: times, changes, minutes. Out: text.

use super::{BookContext, thin};
use crate::Dated;
use crate::husbandry::feeding::{Feeding, NEED_SOURCE, TUBE_CAUTIONS};
use crate::husbandry::gestation::{Certainty, Due};
use crate::husbandry::growth::WeightChange;
use crate::husbandry::pedigree::Inbreeding;
use crate::husbandry::place::PlaceInLitter;
use crate::quantity::{Day, Moment, Tenths, many, percent_difference, weight_difference};
use crate::shown::{TOO_FEW_ANCESTORS, percent};

/// A change in words: `+12 g, +5.1 %`.
pub(super) fn change(context: &BookContext<'_>, change: WeightChange) -> String {
    let WeightChange {
        grams,
        percent,
        hours: _,
    } = change;
    by_weight_and_percent(context, grams, percent)
}

/// A change for a day: `+18 g, +6.6 % a day`. Nothing for weights less than four hours apart, where
/// a feed would be counted as growth.
pub(super) fn per_day(context: &BookContext<'_>, change: WeightChange) -> Option<String> {
    let WeightChange {
        grams,
        percent,
        hours,
    } = change;
    let days = hours / 24.0;
    let percent = (1.0 + percent / 100.0).powf(1.0 / days) * 100.0 - 100.0;
    (hours >= 4.0).then(|| by_weight_and_percent(context, grams / days, percent))
}

fn by_weight_and_percent(context: &BookContext<'_>, grams: f64, percent: f64) -> String {
    let (amount, share) = (
        weight_difference(grams, context.ounces),
        percent_difference(percent),
    );
    format!("{amount}, {share}")
}

/// A date and time in words, when there is one.
pub(super) fn when(on: Option<Day>, at: Option<Moment>) -> String {
    at.map(Moment::in_words)
        .or(on.map(|on| Dated::from(on).words))
        .unwrap_or_default()
}

/// Minutes in words: `40 s`, `4 min`, `2 h 05 min`.
#[expect(clippy::cast_possible_truncation, reason = "minutes of one night")]
pub(super) fn minutes(minutes: f64) -> String {
    if minutes < 1.0 {
        return format!("{:.0} s", minutes * 60.0);
    }
    let whole = minutes.round() as i64;
    if whole < 90 {
        format!("{whole} min")
    } else {
        format!("{} h {:02} min", whole / 60, whole % 60)
    }
}

/// A date without its year, for tables whose year is clear: `5 Oct`.
pub(super) fn short(day: Day) -> String {
    day.date().format("%-d %b").to_string()
}

/// A place in words: `2nd of 5`.
pub(super) fn place(place: &PlaceInLitter) -> String {
    let ending = match (place.rank % 10, place.rank % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{}{ending} of {}", place.rank, place.of)
}

/// A date in short: `5 Oct 2026`.
pub(super) fn short_with_year(day: Day) -> String {
    day.date().format("%-d %b %Y").to_string()
}

/// A coefficient of inbreeding alone: `6.25 %`.
pub(super) fn coefficient(inbreeding: &Inbreeding) -> String {
    inbreeding
        .known()
        .map_or_else(|| TOO_FEW_ANCESTORS.to_owned(), percent)
}

/// A coefficient of inbreeding with the depth it rests on.
pub(super) fn inbreeding(inbreeding: &Inbreeding) -> String {
    let Inbreeding {
        coefficient: _,
        deepest,
        complete_generations,
    } = inbreeding;
    if *deepest < 2 {
        return thin::not_known(
            "nobody behind the parents is known",
            "a sire and a dam for each of the two, and a record for each of those",
        );
    }
    let Some(known) = inbreeding.known() else {
        let because = format!(
            "{TOO_FEW_ANCESTORS} ({complete_generations:.1} generations complete, none of them in \
             common)"
        );
        return thin::not_known(&because, "a sire and a dam for those behind them");
    };
    format!(
        "{}, over {} at most, {complete_generations:.1} complete; a lower bound",
        percent(known),
        many(*deepest, "generation")
    )
}

/// What a family told of its grown puppy: `9.6 kg; bite: scissor; hips: A/A; bold and well`.
pub(super) fn told(
    weight: Option<String>,
    bite: Option<&str>,
    hips: Option<&str>,
    how: Option<&str>,
) -> String {
    let parts = [
        weight,
        bite.map(|bite| format!("bite: {bite}")),
        hips.map(|hips| format!("hips: {hips}")),
        how.map(str::to_owned),
    ];
    let said: Vec<String> = parts.into_iter().flatten().collect();
    if said.is_empty() {
        "see the remark".to_owned()
    } else {
        said.join("; ")
    }
}

/// Feeding by hand, in a line for what went in and one for how it compares.
pub(super) fn feeding(context: &BookContext<'_>, feeding: &Feeding) -> Vec<(&'static str, String)> {
    let Feeding {
        last,
        feeds,
        ml,
        grams,
        unknown,
        per_100_g,
        weight,
        hours,
        kcal,
        energetic,
        longest_gap,
        since_last,
        by_tube,
        goes_on: _,
    } = feeding;
    let sums = [
        (*ml > 0.0).then(|| format!("{} ml", Tenths(*ml))),
        (*grams > 0.0).then(|| format!("{} g", Tenths(*grams))),
    ];
    let sums = sums.into_iter().flatten().collect::<Vec<_>>().join(" and ");
    let sums = if sums.is_empty() {
        "no amount is known".to_owned()
    } else {
        sums
    };
    let without = if *unknown > 0 {
        format!(", {unknown} without an amount that can be added")
    } else {
        String::new()
    };
    let window = if *hours < 24.0 {
        format!("{} h", Tenths(*hours))
    } else {
        "24 h".to_owned()
    };
    let per = per_100_g.zip(*weight).map(|(per, weight)| {
        format!(
            "; {} ml for each 100 g ({})",
            Tenths(per),
            context.weight(weight)
        )
    });
    let gap = longest_gap
        .map(|gap| format!(", longest gap {} h", Tenths(gap)))
        .unwrap_or_default();
    let later = if *since_last > 0.0 {
        format!(
            ", {} h before the latest entry of the litter",
            Tenths(*since_last)
        )
    } else {
        String::new()
    };
    let feeds = many(*feeds, "feed");
    let fed = format!(
        "{sums} in {feeds} over {window} up to {}{without}{}",
        last.in_words(),
        per.unwrap_or_default()
    );
    let energy = match (kcal, energetic) {
        (Some(kcal), Some(day)) => {
            format!(
                "{} kcal, {:.0} kcal/kg a day; published need {:.0} kcal/kg ({NEED_SOURCE}): a \
                 comparison, not a plan",
                Tenths(*kcal),
                day.per_kg,
                day.need
            )
        }
        (Some(kcal), None) => format!(
            "{} kcal; how that stands to the need is {}",
            Tenths(*kcal),
            thin::need(feeding)
        ),
        (None, _) => thin::energy(feeding),
    };
    let mut words = vec![
        ("Fed by hand", fed),
        ("Last feed", format!("{}{later}{gap}", last.in_words())),
        ("Energy of the feeds", energy),
    ];
    if *by_tube {
        words.push(("By tube", TUBE_CAUTIONS.to_owned()));
    }
    words
}

/// When a litter is expected, no surer than its anchor.
pub(super) fn expected(due: &Due) -> String {
    match due.known {
        Certainty::ToADay { .. } => format!("expected around {}", due.likely.in_words()),
        Certainty::Within => format!(
            "expected between {} and {}",
            due.from.in_words(),
            due.to.in_words()
        ),
    }
}
