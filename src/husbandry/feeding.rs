//! Feeding by hand: how much went in, beside what the handbooks say that a puppy needs.
//!
//! In: the feeds of one puppy, its weights. Out: [`Feeding`]. It is a comparison, never a plan:
//! what a puppy is given, the vet and the packet say. The window is the 24 hours up to the latest
//! feed, which counts; one of exactly 24 hours earlier does not. Feeds without a time are left out.

use super::growth::{Point, instant};
use crate::quantity::{Day, Energy, FeedAmount, Moment, Text, Weight};
use crate::records::LitterFolder;
use crate::records::health::{Feed, HealthEntry};
use crate::records::litter::Puppy;
use chrono_tz::Tz;

/// Where the need comes from.
pub const NEED_SOURCE: &str =
    "Dog Owner’s Home Veterinary Handbook: 60, 70, 80, 90 kcal per lb and day in weeks 1 to 4";
/// That need in weeks 1 to 4, kcal for each kg of body weight and day: 60, 70, 80 and 90 by
/// 0.45359237 kg/lb.
const NEED: [f64; 4] = [132.0, 154.0, 176.0, 198.0];

/// Cautions for a puppy that is fed by tube (home veterinary handbooks).
pub const TUBE_CAUTIONS: &str = "By tube only when a vet or somebody trained has shown you, with \
                                 the length measured for this puppy and marked; only a warm \
                                 puppy, milk at body heat; stop at any cough or struggle, and \
                                 call.";

/// Days after the last feed for which feeding by hand goes on.
const GOES_ON: i64 = 1;
/// More than any milk for puppies has, kcal/ml: that of a bitch has about 1.5 and replacers have
/// about 1; ours.
const RICHEST_MILK: f64 = 2.0;
/// Hours of feeding that have to be known before a day's sum is held against a day's need; ours.
pub const A_DAY: f64 = 20.0;

/// The feeding of one puppy by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Feeding {
    /// The latest feed.
    pub last: Moment,
    /// Feeds in the 24 hours up to it.
    pub feeds: usize,
    /// Millilitres in them.
    pub ml: f64,
    /// Grams in them.
    pub grams: f64,
    /// Feeds among them whose amount is not a quantity.
    pub unknown: usize,
    /// Millilitres for each 100 g of the last weight before the latest feed.
    pub per_100_g: Option<f64>,
    /// That weight.
    pub weight: Option<Weight>,
    /// Hours over which feeds are known, at most 24.
    pub hours: f64,
    /// Energy in the 24 hours, kcal; nothing where that of a product is not known.
    pub kcal: Option<f64>,
    /// The same for each kg of body weight, or, where the energy of a product is not known, what it
    /// is at most, beside the published need; nothing where neither can be said, and while less
    /// than a day is known.
    pub energetic: Option<Energetic>,
    /// Longest time between two feeds in the 24 hours, from the one before them on, hours.
    pub longest_gap: Option<f64>,
    /// Hours from the latest feed to the latest time that is written in the litter's health
    /// entries and weigh-ins.
    pub since_last: f64,
    /// Whether one of the feeds was by tube.
    pub by_tube: bool,
    /// Whether it goes on.
    pub goes_on: bool,
}

/// The energy of a day's feeds beside the published need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Energetic {
    /// Energy for each kg of body weight.
    pub per_kg: f64,
    /// The published need of that week.
    pub need: f64,
    /// Whether it is what the feeds hold at most.
    pub is_most: bool,
}

struct Fed<'a> {
    at: Moment,
    hours: f64,
    feed: &'a Feed,
}

/// The feeding of a puppy; nothing where no feed has its hour.
#[must_use]
#[expect(
    clippy::cast_precision_loss,
    reason = "seconds of a puppy's life are far below 2^53"
)]
pub fn of_puppy(
    folder: &LitterFolder,
    puppy: &Puppy,
    points: &[Point],
    zone: Tz,
    today: Day,
) -> Option<Feeding> {
    let hours = |at: Moment| instant(zone, at).timestamp() as f64 / 3600.0;
    let mut fed: Vec<Fed<'_>> = folder
        .health
        .iter()
        .filter(|entry| entry.is_for(&puppy.id))
        .filter_map(|entry| {
            Some(Fed {
                at: entry.at?,
                hours: hours(entry.at?),
                feed: entry.feed.as_ref()?,
            })
        })
        .filter(|fed| fed.at.day() <= today)
        .collect();
    fed.sort_by(|a, b| a.hours.total_cmp(&b.hours));
    let last = fed.last()?;
    let window = fed
        .iter()
        .position(|fed| fed.hours > last.hours - 24.0)
        .unwrap_or(0);
    let inside = &fed[window..];
    let (mut ml, mut grams, mut unknown, mut kcal) = (0.0, 0.0, 0, Some(0.0));
    for Fed { at, feed, .. } in inside {
        match &feed.amount {
            Some(FeedAmount::Millilitres(value)) => ml += value,
            Some(FeedAmount::Grams(value)) => grams += value,
            Some(FeedAmount::Words(_)) | None => unknown += 1,
        }
        let own = feed
            .amount
            .as_ref()
            .and_then(|amount| energy(folder, feed, *at)?.of(amount));
        kcal = kcal.zip(own).map(|(sum, own)| sum + own);
    }
    let gaps = fed[window.saturating_sub(1)..]
        .windows(2)
        .map(|two| two[1].hours - two[0].hours);
    let weight = points
        .iter()
        .rev()
        .find(|point| point.at <= last.at)
        .map(|point| point.weight);
    // A feed before the window tells that the whole of it is known.
    let known = if window > 0 {
        24.0
    } else {
        last.hours - fed.first().map_or(last.hours, |first| first.hours)
    };
    let age = folder
        .litter
        .born_on(puppy)
        .map(|born| last.at.day().since(born));
    let need = age
        .and_then(|age| NEED.get(usize::try_from(age).ok()? / 7))
        .copied();
    let per_kg = kcal
        .zip(weight)
        .map(|(kcal, weight)| kcal / weight.grams() * 1000.0);
    let need = need.filter(|_| known >= A_DAY);
    // Powder is richer than any milk, and of words nobody knows how much they are.
    let is_milk = unknown == 0 && grams <= 0.0;
    let most = weight
        .filter(|_| is_milk)
        .map(|weight| ml * RICHEST_MILK / weight.grams() * 1000.0);
    let energetic = need.and_then(|need| {
        Some(Energetic {
            per_kg: per_kg.or(most)?,
            need,
            is_most: per_kg.is_none(),
        })
    });
    let latest = folder
        .health
        .iter()
        .filter_map(|entry| entry.at)
        .chain(folder.weigh_ins.iter().map(|w| w.at))
        .filter(|at| at.day() <= today)
        .max();
    Some(Feeding {
        last: last.at,
        feeds: inside.len(),
        ml,
        grams,
        unknown,
        per_100_g: weight
            .filter(|_| ml > 0.0)
            .map(|weight| ml / weight.grams() * 100.0),
        weight,
        hours: known,
        kcal,
        energetic,
        longest_gap: gaps.max_by(f64::total_cmp),
        since_last: latest.map_or(0.0, |latest| hours(latest) - last.hours),
        by_tube: inside
            .iter()
            .filter_map(|fed| fed.feed.how.as_ref())
            .any(is_tube),
        goes_on: today.since(last.at.day()) <= GOES_ON,
    })
}

/// The energy of what was fed: as it was written with it, or before it for the same product in this
/// litter.
fn energy(folder: &LitterFolder, feed: &Feed, at: Moment) -> Option<Energy> {
    let same = |entry: &&HealthEntry| {
        entry.at.is_none_or(|known| known <= at)
            && entry
                .feed
                .as_ref()
                .is_some_and(|known| known.what == feed.what)
    };
    feed.energy.or_else(|| {
        folder
            .health
            .iter()
            .rev()
            .filter(same)
            .find_map(|entry| entry.feed.as_ref()?.energy)
    })
}

fn is_tube(how: &Text) -> bool {
    let how = how.to_string().to_lowercase();
    ["tube", "sonde", "gavage"]
        .iter()
        .any(|word| how.contains(word))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compute;
    use crate::testing::kennel;

    fn feeding(feeds: &str) -> Option<Feeding> {
        let litter = "name: L\ndam: d\nsire: s\nbirth: { on: 2026-10-01, how: natural }\npuppies: \
                      [{ id: a, sex: female, born: \"08:00\", weight: 240 g }]\n";
        let weights = "- { at: 2026-10-03 08:00, a: 250 g }\n";
        let files = [
            ("litters/l/litter.yaml", litter),
            ("litters/l/weights.yaml", weights),
            ("litters/l/health.yaml", feeds),
        ];
        compute(&kennel("2026-10-04", None, &files)).litters["l"].puppies["a"]
            .feeding
            .clone()
    }

    fn fed(at: &str, amount: &str, more: &str) -> String {
        format!(
            "- {{ at: 2026-10-{at}, for: a, feed: {{ what: milk replacer, amount: {amount}{more} \
             }} }}\n"
        )
    }

    #[test]
    fn a_day_of_feeds_is_added_up_and_held_against_the_published_need() {
        // Handbook: 132 kcal/kg in week 1, so 33.0 kcal for 250 g. Eleven feeds of 3 ml at 1
        // kcal/ml are 33 kcal.
        let mut feeds = fed("03 05:00", "9 ml", ", energy: 1 kcal/ml");
        for hour in (6..=24).step_by(2) {
            let (day, hour) = if hour == 24 { ("04", 0) } else { ("03", hour) };
            feeds.push_str(&fed(&format!("{day} {hour:02}:00"), "3 ml", ""));
        }
        feeds.push_str(&fed("04 05:00", "3 ml", ""));
        let feeding = feeding(&feeds).unwrap();
        assert_eq!(
            (feeding.feeds, feeding.ml, feeding.unknown),
            (11, 33.0, 0),
            "the feed of exactly 24 hours before is out"
        );
        assert!(
            (feeding.per_100_g.unwrap() - 13.2).abs() < 1e-9,
            "33 ml on 250 g"
        );
        assert_eq!(feeding.kcal, Some(33.0));
        let day = feeding.energetic.unwrap();
        assert!((day.per_kg - 132.0).abs() < 1e-9 && (day.need - 132.0).abs() < 1e-9);
        assert!(!day.is_most);
        assert_eq!(feeding.longest_gap, Some(5.0), "from midnight to five");
        assert!(feeding.goes_on && !feeding.by_tube);
    }

    #[test]
    fn thin_feeding_is_held_against_nothing() {
        let feeding = feeding(
            &(fed("04 06:00", "3 ml", ", energy: 1 kcal/ml, how: stomach tube")
                + &fed("04 09:00", "a few drops", "")),
        )
        .unwrap();
        assert_eq!(
            (
                feeding.feeds,
                feeding.ml,
                feeding.unknown,
                feeding.kcal,
                feeding.energetic
            ),
            (2, 3.0, 1, None, None)
        );
        assert_eq!(
            (feeding.hours, feeding.longest_gap, feeding.since_last),
            (3.0, Some(3.0), 0.0)
        );
        assert!(feeding.by_tube);
        assert!(
            super::tests::feeding(
                "- { on: 2026-10-04, for: a, feed: { what: milk, amount: 3 ml } }\n"
            )
            .is_none(),
            "nobody knows when"
        );
    }
}
