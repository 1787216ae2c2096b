//! A puppy as the keeper sees it: every field, its growth and its chart, what was done for it and
//! written about it.
//!
//! In: one puppy and its figures. Out: [`BookPuppyPage`], and [`PuppyLink`] wherever a puppy is
//! named.

mod identity;

use super::health::{self, HealthRow};
use super::note::{self, NoteEntry};
use super::paths;
use super::{
    BookContext, Fact, Facts, FindingShown, PuppyCare, VetShown, care, chart, finding, follow_up,
    thin, words,
};
use crate::caption;
use crate::chart::growth_chart;
use crate::husbandry::age::{at_in_words, in_words};
use crate::husbandry::birth_weight::BreedClass;
use crate::husbandry::findings::CAUTIONS;
use crate::husbandry::growth::{Growth, Point};
use crate::husbandry::place::PlaceInLitter;
use crate::husbandry::trend::Trend;
use crate::husbandry::weaned::{self, WeanedGain};
use crate::husbandry::{BirthWeight, LitterFigures, PuppyFigures};
use crate::quantity::{
    Weight, percent_difference, tenths_difference, tenths_with_minus, whole_percent_difference,
};
use crate::records::litter::{Fate, Puppy};
use crate::records::{HISTORY, LitterFolder};
use crate::shown::picture;
use crate::words::kennel::not_enough;
use crate::{GrowthChart, PictureShown, RibbonShown};
use serde::Serialize;

/// A puppy wherever it is named: its page, its ribbon, what it looks like.
#[derive(Debug, Clone, Serialize)]
pub struct PuppyLink {
    /// Name in the records.
    pub id: String,
    /// Name.
    pub name: String,
    /// Ribbon.
    pub ribbon: Option<RibbonShown>,
    /// `stillborn` or `died`; nothing of a living puppy.
    pub fate: Option<&'static str>,
    /// Path of its page below the root of the book.
    pub path: String,
    /// Its newest picture.
    pub picture: Option<PictureShown>,
}

/// A puppy's page in the book.
#[derive(Debug, Clone, Serialize)]
pub struct BookPuppyPage {
    /// Who it is, and where this page stands.
    pub link: PuppyLink,
    /// Name of the litter, and path of its page.
    pub litter: (String, String),
    /// All puppies of the litter, in the order of birth.
    pub littermates: Vec<PuppyLink>,
    /// The usual cautions, printed with every finding.
    pub cautions: &'static str,
    /// Whom to call at night.
    pub vet: Option<VetShown>,
    /// Place in the order of birth.
    pub order: Option<u32>,
    /// Who it is.
    pub identity: Vec<Fact>,
    /// The hour of its birth.
    pub newborn: Vec<Fact>,
    /// Trend, place among the littermates and the like.
    pub figures: Vec<Fact>,
    /// Findings about it, the most urgent first.
    pub findings: Vec<FindingShown>,
    /// Its weights, newest first.
    pub growth: Vec<GrowthRow>,
    /// Its own chart; drawn into `puppy_chart`.
    pub chart: Option<GrowthChart>,
    /// The care plan held against what was done for it.
    pub care: Option<PuppyCare>,
    /// When its family is asked how it is, and what it told.
    pub follow_up: Vec<Fact>,
    /// Health entries that name it, newest first.
    pub health: Vec<HealthRow>,
    /// Notes that are about it, newest first.
    pub notes: Vec<NoteEntry>,
    /// Its pictures, private ones included.
    pub pictures: Vec<PictureShown>,
}

/// A puppy by name, with its newest picture.
pub(super) fn link(
    context: &mut BookContext<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
) -> PuppyLink {
    let own = folder
        .photos
        .iter()
        .filter(|photo| photo.puppy.as_ref() == Some(&puppy.id));
    let newest = own
        .max_by_key(|photo| caption::in_time(folder, photo, context.album, context.figures.today));
    let alt = format!("Picture of {}", puppy.shown_name());
    let picture = newest.and_then(|photo| {
        picture(
            context.album,
            photo,
            puppy.id.as_str(),
            alt,
            &mut context.used,
        )
    });
    PuppyLink {
        id: puppy.id.to_string(),
        name: puppy.shown_name(),
        ribbon: puppy.ribbon.map(Into::into),
        fate: puppy.fate.map(Fate::word),
        path: paths::puppy(&folder.id, &puppy.id),
        picture,
    }
}

/// One weight.
#[derive(Debug, Clone, Serialize)]
pub struct GrowthRow {
    /// Local time, or `birth`.
    pub at: String,
    /// Age: hours in the first two days, then days and weeks.
    pub age: String,
    /// Weight.
    pub weight: String,
    /// Change since the weight before.
    pub change: Option<String>,
    /// The same for a day.
    pub per_day: Option<String>,
    /// Place among those weighed together.
    pub place: Option<String>,
    /// Change since birth, %.
    pub since_birth: Option<String>,
}

pub(super) fn page(
    context: &mut BookContext<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
    littermates: &[PuppyLink],
) -> BookPuppyPage {
    let litter = &context.figures.litters[&folder.id];
    let figures = &litter.puppies[&puppy.id];
    let PuppyFigures {
        growth: Growth { points },
        trend: _,
        birth_weight: _,
        adult_weight: _,
        vigour: _,
        not_looked_at: _,
        care,
        feeding: _,
        is_gone: _,
        is_stillborn: _,
        leaves_from: _,
    } = figures;
    let weighed_together = litter.places(&puppy.id);
    let name = puppy.shown_name();
    let own = folder
        .photos
        .iter()
        .filter(|photo| photo.puppy.as_ref() == Some(&puppy.id));
    let alt = |private: bool| format!("{name}{}", if private { " (private)" } else { "" });
    let lines = chart::line(puppy, figures, &litter.findings)
        .into_iter()
        .collect();
    BookPuppyPage {
        link: link(context, folder, puppy),
        litter: (folder.litter.name.to_string(), paths::litter(&folder.id)),
        littermates: littermates.to_vec(),
        cautions: CAUTIONS,
        vet: super::vet(&context.records.kennel),
        order: puppy.order,
        identity: identity::identity(puppy),
        newborn: identity::newborn(context, folder, puppy),
        figures: growth_figures(context, folder, puppy, litter),
        findings: litter
            .findings
            .iter()
            .filter(|f| f.puppy.as_ref() == Some(&puppy.id))
            .map(|f| finding::shown(folder, f, context.ounces))
            .collect(),
        growth: points
            .iter()
            .rev()
            .map(|p| growth_row(context, folder, puppy, weighed_together, p))
            .collect(),
        chart: growth_chart(
            format!("Weight of {name}"),
            lines,
            puppy.weight.map(Weight::grams),
            &chart::own_growth(context, folder),
            context.ounces,
        ),
        care: care::of_puppy(context, care),
        follow_up: follow_up::facts(context, folder, puppy),
        pictures: own
            .filter_map(|photo| {
                let shown = picture(
                    context.album,
                    photo,
                    puppy.id.as_str(),
                    alt(photo.private),
                    &mut context.used,
                )?;
                Some(shown.with_caption(Some(caption::for_the_keeper(
                    folder,
                    photo,
                    context.album,
                    context.figures.today,
                ))))
            })
            .collect(),
        health: folder
            .health
            .iter()
            .rev()
            .filter(|entry| entry.is_for(&puppy.id))
            .map(|entry| health::row(context, entry))
            .collect(),
        notes: folder
            .notes
            .iter()
            .filter(|one| one.head.puppies.contains(&puppy.id))
            .map(note::shown)
            .collect(),
    }
}

/// The growth of a puppy in a few figures.
fn growth_figures(
    context: &BookContext<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
    litter: &LitterFigures,
) -> Vec<Fact> {
    let figures = &litter.puppies[&puppy.id];
    let mut facts = Facts::default();
    if let (Some(weight), Some(class)) = (puppy.weight, figures.birth_weight) {
        for words in birth_weight(context, folder, puppy, weight.grams(), &class) {
            facts.say("Birth weight", words);
        }
    } else {
        facts.say(
            "Birth weight",
            thin::not_known(
                "it is not on record",
                "`weight:` of the puppy in litter.yaml, where somebody still knows it",
            ),
        );
    }
    if puppy.is_alive() && !figures.is_gone {
        facts.day("May leave from", figures.leaves_from);
    }
    if puppy.is_alive() || figures.doubling().is_some() {
        facts.say("Birth weight doubled", thin::doubled(figures));
    }
    facts.maybe(
        "Trend",
        figures.trend.map(
            |Trend {
                 per_day,
                 low,
                 high,
                 weights,
                 days,
             }| {
                format!(
                    "{} a day ({} to {}), {weights} weights over {days:.1} days",
                    percent_difference(per_day),
                    tenths_difference(low),
                    tenths_difference(high)
                )
            },
        ),
    );
    if figures.trend.is_none() && puppy.is_alive() && !figures.is_gone {
        facts.say("Trend", thin::trend(figures));
    }
    if let Some(WeanedGain {
        per_kg,
        low,
        high,
        adult,
        weights,
        days,
    }) = figures.weaned()
    {
        let published = figures
            .growth
            .points
            .last()
            .and_then(|p| weaned::published(p.days));
        let beside = published
            .map(|(least, most)| format!("; handbook: {least:.0} to {most:.0} at this age"))
            .unwrap_or_default();
        facts.say(
            "Since weaning",
            format!(
                "{} g a day per kg of {} adult weight ({} to {}), {weights} weights over \
                 {days:.0} days{beside}",
                tenths_with_minus(per_kg),
                context.weight(adult),
                tenths_with_minus(low),
                tenths_with_minus(high)
            ),
        );
    }
    if let Some(feeding) = &figures.feeding {
        for (label, words) in words::feeding(context, feeding) {
            facts.say(label, words);
        }
    } else {
        facts.maybe("Fed by hand", thin::feeds_without_hour(folder, puppy));
    }
    facts
        .maybe("Place by weight", places(litter.places(&puppy.id)))
        .done()
}

/// How far a place lies from the mean of the litter.
fn deviations(place: &PlaceInLitter) -> String {
    place
        .z
        .map(|z| format!(" ({} SD)", tenths_difference(z)))
        .unwrap_or_default()
}

/// A birth weight against littermates, kennel and breed.
fn birth_weight(
    context: &BookContext<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
    grams: f64,
    class: &BirthWeight,
) -> Vec<String> {
    let BirthWeight {
        under_littermates,
        breed,
    } = class;
    let mut words = Vec::new();
    words.extend(match *under_littermates {
        Ok(under) if under.abs() < 0.5 => Some("at the mean of its littermates".to_owned()),
        Ok(under) => {
            let side = if under > 0.0 { "under" } else { "above" };
            Some(format!(
                "{:.0} % {side} the mean of its littermates",
                under.abs()
            ))
        }
        Err(why) => thin::among_littermates(folder, puppy, why),
    });
    let age = folder
        .litter
        .birth
        .as_ref()
        .map_or(0, |birth| context.figures.today.since(birth.on));
    // An earlier litter is one of those the range was made from.
    if age <= HISTORY {
        words.push(match context.figures.usual_birth_weights() {
            Ok(range) => format!(
                "{} ({:.0} to {:.0} g in {} puppies of earlier litters)",
                range.class(grams).words(),
                range.from,
                range.to,
                range.n
            ),
            Err(few) => format!("against the kennel’s own: {}", not_enough(few)),
        });
    }
    words.extend(breed.map(|b| {
        let BreedClass {
            breed,
            class,
            low_from,
            normal_from,
            puppies,
            source,
        } = b;
        // A weight that is rounded for show may look as if it stood on the other side of a border.
        let weight = if grams.fract() == 0.0 {
            String::new()
        } else {
            format!("{grams:.1} g is ")
        };
        format!(
            "{weight}{} for the breed ({breed}, {puppies} puppies: normal from {normal_from} g, \
             very low under {low_from} g; {source})",
            class.words()
        )
    }));
    words
}

/// Place now and at first, with how far from the mean.
fn places(places: &[PlaceInLitter]) -> Option<String> {
    let last = places.last()?;
    let first = places.first().filter(|first| first.days < last.days);
    let before = first.map(|first| {
        format!(
            "; {} at {}{}",
            words::place(first),
            if first.days > 0.0 { "first" } else { "birth" },
            deviations(first)
        )
    });
    Some(format!(
        "{}{}{}",
        words::place(last),
        deviations(last),
        before.unwrap_or_default()
    ))
}

fn growth_row(
    context: &BookContext<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
    places: &[PlaceInLitter],
    point: &Point,
) -> GrowthRow {
    let Point {
        at,
        days,
        weight,
        is_birth,
        change: changed,
        since_birth,
    } = point;
    let age = match (folder.litter.born_at(puppy), folder.litter.born_on(puppy)) {
        _ if *is_birth => String::new(),
        (Some(born), _) => at_in_words(born, *at, context.records.kennel.time_zone.0),
        (None, Some(on)) => in_words(on, at.day()),
        (None, None) => String::new(),
    };
    GrowthRow {
        at: if *is_birth {
            "birth".to_owned()
        } else {
            at.to_string()
        },
        age,
        weight: context.weight(*weight),
        change: changed.map(|c| words::change(context, c)),
        per_day: changed.and_then(|c| words::per_day(context, c)),
        place: places
            .iter()
            .find(|p| (p.days - days).abs() < 1e-9)
            .map(|p| format!("{}{}", words::place(p), deviations(p))),
        since_birth: since_birth.map(whole_percent_difference),
    }
}
