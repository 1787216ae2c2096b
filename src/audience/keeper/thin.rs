//! Figures that cannot be given yet: why, and what would settle it. Nothing that the book computes
//! disappears without a word.
//!
//! In: the records and figures of a puppy or litter whose evidence is too thin. Out: sentences that
//! begin with "not known".

use crate::husbandry::doubling::{self, Doubling};
use crate::husbandry::feeding::{self, Feeding};
use crate::husbandry::gestation::{self, rise::Rise};
use crate::husbandry::trend;
use crate::husbandry::{NoMean, PuppyFigures};
use crate::quantity::{Tenths, Weight};
use crate::records::LitterFolder;
use crate::records::litter::{Litter, Puppy, Vigour};

/// What is said of a figure that is not known.
pub(super) fn not_known(because: &str, settled_by: &str) -> String {
    format!("not known yet, because {because}; settled by {settled_by}")
}

/// A trend that cannot be told.
pub(super) fn trend(figures: &PuppyFigures) -> String {
    let points = &figures.growth.points;
    let (n, days) = (
        points.len(),
        points
            .first()
            .zip(points.last())
            .map_or(0.0, |(first, last)| last.days - first.days),
    );
    let have = match n {
        0 => "there is none".to_owned(),
        1 => "there is one".to_owned(),
        _ => format!("there are {n} over {} days", Tenths(days)),
    };
    let because = format!(
        "it takes at least {} weights over {} days, and {have}",
        trend::FEWEST,
        Tenths(trend::SHORTEST)
    );
    not_known(&because, "further weigh-ins")
}

/// When a birth weight doubled.
pub(super) fn doubled(figures: &PuppyFigures) -> String {
    let (from, to) = doubling::PUBLISHED;
    let published = format!("published: day {from:.0} to {to:.0}");
    let points = &figures.growth.points;
    let Some(birth) = points.first().filter(|point| point.is_birth) else {
        return not_known(
            "its birth weight is not on record",
            "`weight:` of the puppy in litter.yaml, where somebody still knows it",
        );
    };
    let Some(last) = points.last().filter(|point| !point.is_birth) else {
        return not_known("it has not been weighed since its birth", "weigh-ins");
    };
    match figures.doubling() {
        Some(Doubling::On(day)) => format!("on day {day:.1} ({published})"),
        Some(Doubling::Expected(day)) => {
            format!("expected on day {day:.0} at the present trend ({published})")
        }
        None if last.weight.grams() >= 2.0 * birth.weight.grams() => {
            format!(
                "it has, and its day is not known, because it lies between two weigh-ins more \
                 than a week apart; settled by nothing any more ({published})"
            )
        }
        None if figures.trend.is_none() => {
            format!(
                "not yet; when it will is {} ({published})",
                not_known("the trend is not known", "further weigh-ins")
            )
        }
        None => {
            let because = "at the gain of these days it would be after four weeks, or that gain \
                           is not sure to be one";
            format!(
                "not yet; when it will is {} ({published})",
                not_known(because, "further weigh-ins")
            )
        }
    }
}

/// What a vigour score lacks.
pub(super) fn vigour(score: &Vigour) -> String {
    let Vigour {
        at: _,
        heart,
        breathing,
        reflex,
        movement,
        gums,
        heart_rate,
        breaths,
    } = score;
    let items = [
        ("heart", heart.is_some() || heart_rate.is_some()),
        ("breathing", breathing.is_some() || breaths.is_some()),
        ("reflex", reflex.is_some()),
        ("movement", movement.is_some()),
        ("gums", gums.is_some()),
    ];
    let missing: Vec<&str> = items
        .into_iter()
        .filter(|(_, scored)| !scored)
        .map(|(name, _)| name)
        .collect();
    not_known(
        &format!("nobody scored {}", missing.join(", ")),
        "a score of all five items",
    )
}

/// A birth weight that cannot be compared with those of the littermates; nothing where there are
/// fewer than two to compare it with.
pub(super) fn among_littermates(
    folder: &LitterFolder,
    puppy: &Puppy,
    why: NoMean,
) -> Option<String> {
    let others = folder
        .litter
        .born_alive()
        .filter(|other| other.id != puppy.id)
        .count();
    let (because, settled_by) = match why {
        NoMean::TooFew => (
            "fewer than two of those born alive with it have a birth weight",
            "`weight:` of the others in litter.yaml",
        ),
        NoMean::Misread => (
            "a birth weight of the litter looks misread",
            "the weight that was meant, in litter.yaml",
        ),
    };
    (others > 1).then(|| {
        format!(
            "against its littermates: {}",
            not_known(because, settled_by)
        )
    })
}

/// Feeds of a puppy of which none has its hour.
pub(super) fn feeds_without_hour(folder: &LitterFolder, puppy: &Puppy) -> Option<String> {
    let fed = folder
        .health
        .iter()
        .any(|entry| entry.feed.is_some() && entry.is_for(&puppy.id));
    fed.then(|| {
        not_known(
            "no feed of it was written with its hour",
            "`at:` and a date and time, in place of `on:`",
        )
    })
}

/// Why the energy of feeds is not held against a need.
pub(super) fn need(feeding: &Feeding) -> String {
    if feeding.weight.is_none() {
        not_known(
            "no weight of it before the last feed is on record",
            "a weigh-in",
        )
    } else if feeding.hours < feeding::A_DAY {
        not_known(
            &format!(
                "feeds are known over {} h, and a day’s need is for a day",
                Tenths(feeding.hours)
            ),
            "feeds of a whole day, each with its hour",
        )
    } else {
        "not known, because nothing is published for puppies over four weeks".to_owned()
    }
}

/// Why the energy of feeds is not known.
pub(super) fn energy(feeding: &Feeding) -> String {
    let (because, settled_by) = if feeding.unknown > 0 {
        (
            format!(
                "{} of {} feeds have no amount in ml or g",
                feeding.unknown, feeding.feeds
            ),
            "amounts in ml or g",
        )
    } else {
        (
            "that of a product is not on record, or in another unit than its feeds".to_owned(),
            "`energy:` from the packet, beside one feed of each product",
        )
    };
    not_known(&because, settled_by)
}

/// When an expected litter is due, where no date opens a window.
pub(super) fn due(litter: &Litter, rise: &gestation::rise::ProgesteroneSeries) -> String {
    let dates =
        "`mated:`, `ovulated:`, `lh_surge:`, `dioestrus:` or progesterone samples in litter.yaml";
    match rise.rise {
        Rise::NoLater { day } => {
            let last = gestation::no_later_than(rise).map_or_else(String::new, |last| {
                format!("; by {} at the latest", last.in_words())
            });
            let because = format!(
                "the first sample, on {}, was over the border already{last}",
                day.in_words()
            );
            not_known(
                &because,
                "the days of mating, the first day of dioestrus, or fetal measurements",
            )
        }
        Rise::NotYet { last } => not_known(
            &format!(
                "the last sample, on {}, showed no rise that lasted",
                last.in_words()
            ),
            dates,
        ),
        _ if !litter.measured.is_empty() => not_known(
            "no date is on record, and the fetal measurements could not be used",
            dates,
        ),
        _ => not_known("no date of this mating is on record", dates),
    }
}

/// Fetal measurements that no window could be counted from; nothing where there is none, or one
/// was.
pub(super) fn measured(litter: &Litter, dam: Option<Weight>) -> Option<String> {
    if litter.measured.is_empty() {
        return None;
    }
    let Some(dam) = dam else {
        return Some(not_known(
            "the formulas need the weight of the dam, and it is not on record",
            "`adult_weight` in her file",
        ));
    };
    let is_usable = litter
        .measured
        .iter()
        .any(|one| gestation::days_to_birth(one.what, one.size.mm(), dam).is_some());
    (!is_usable).then(|| {
        not_known(
            "no size lies within 5 to 40 days before birth, for which the formulas were made",
            "another scan in those days",
        )
    })
}
