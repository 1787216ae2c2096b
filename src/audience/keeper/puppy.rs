//! A puppy as the keeper sees it: every field, its growth and its chart.
//!
//! In: one puppy and its figures. Out: [`PuppyEntry`].

use super::{Desk, Fact, Facts, FindingShown, litter};
use crate::audience::shown::{self, picture, sex};
use crate::audience::{Dated, PictureShown, RibbonShown};
use crate::husbandry::PuppyFigures;
use crate::husbandry::growth::{Change, Growth, Point};
use crate::husbandry::trend::Trend;
use crate::records::LitterFolder;
use crate::records::dog::Registration;
use crate::records::litter::{Fate, Horn, Look, Newborn, Palate, Placenta, Puppy, Vigour};
use serde::Serialize;

/// A puppy in the book.
#[derive(Debug, Clone, Serialize)]
pub struct PuppyEntry {
    /// Name in the records.
    pub id: String,
    /// Name.
    pub name: String,
    /// Ribbon.
    pub ribbon: Option<RibbonShown>,
    /// Place in the order of birth.
    pub order: Option<u32>,
    /// Who it is.
    pub identity: Vec<Fact>,
    /// The hour of its birth.
    pub newborn: Vec<Fact>,
    /// Its trend over the latest weights, in words.
    pub trend: Option<String>,
    /// Findings about it, the most urgent first.
    pub findings: Vec<FindingShown>,
    /// Its weights, newest first.
    pub growth: Vec<GrowthRow>,
    /// Its line in the charts; drawn alone into `puppy_charts[id]`.
    pub chart: Option<ChartLine>,
    /// Its pictures, private ones included.
    pub pictures: Vec<PictureShown>,
}

/// One weight.
#[derive(Debug, Clone, Serialize)]
pub struct GrowthRow {
    /// Local time, or `birth`.
    pub at: String,
    /// Age in days, one decimal.
    pub days: String,
    /// Weight.
    pub weight: String,
    /// Change since the weight before.
    pub change: Option<String>,
    /// Change since birth, %.
    pub since_birth: Option<String>,
}

/// A line in a growth chart.
#[derive(Debug, Clone, Serialize)]
pub struct ChartLine {
    /// Name.
    pub name: String,
    /// Colour of the ribbon, `#rrggbb`.
    pub hex: Option<&'static str>,
    /// Weights.
    pub points: Vec<ChartPoint>,
}

/// A point in a growth chart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ChartPoint {
    /// Days since birth.
    pub days: f64,
    /// Weight, g.
    pub grams: f64,
}

pub(super) fn entry(desk: &mut Desk<'_>, folder: &LitterFolder, puppy: &Puppy) -> PuppyEntry {
    let PuppyFigures { growth: Growth { points }, trend, vigour: _, not_looked_at: _ } = &desk.figures.litters[&folder.id].puppies[&puppy.id];
    let name = puppy.shown_name();
    let chart_points: Vec<ChartPoint> = points.iter().map(|p| ChartPoint { days: p.days, grams: p.weight.grams() }).collect();
    let own = folder.photos.iter().filter(|photo| photo.puppy.as_ref() == Some(&puppy.id));
    let alt = |private: bool| format!("{name}{}", if private { " (private)" } else { "" });
    PuppyEntry {
        id: puppy.id.to_string(),
        ribbon: puppy.ribbon.map(Into::into),
        order: puppy.order,
        identity: identity(puppy),
        newborn: newborn(desk, folder, puppy),
        trend: trend.map(|Trend { per_day, low, high, weights, days }| {
            format!("{per_day:+.1} % a day ({low:+.1} to {high:+.1}), {weights} weights over {days:.1} days")
        }),
        findings: desk.figures.litters[&folder.id]
            .findings
            .iter()
            .filter(|f| f.puppy.as_ref() == Some(&puppy.id))
            .map(|f| litter::finding(folder, f))
            .collect(),
        growth: points.iter().rev().map(|p| growth_row(desk, p)).collect(),
        chart: (chart_points.len() > 1).then(|| ChartLine { name: name.clone(), hex: puppy.ribbon.map(|r| r.hex()), points: chart_points }),
        pictures: own.filter_map(|photo| picture(desk.album, photo, puppy.id.as_str(), alt(photo.private), &mut desk.used)).collect(),
        name,
    }
}

fn identity(puppy: &Puppy) -> Vec<Fact> {
    let Puppy {
        id,
        name: _,
        registered_name,
        ribbon,
        sex: puppy_sex,
        colour,
        markings,
        born: _,
        order: _,
        horn: _,
        weight: _,
        first_breath: _,
        palate: _,
        placenta: _,
        vigour: _,
        newborn: _,
        offer,
        about,
        registration,
        chip,
        fate,
        on,
        cause,
        remarks,
    } = puppy;
    let mut facts = Facts::default();
    facts.say("Id", id).maybe("Registered name", registered_name.as_ref()).maybe("Ribbon", *ribbon).say("Sex", sex(*puppy_sex));
    facts
        .maybe("Colour", colour.as_ref())
        .maybe("Markings", markings.as_ref())
        .say("Offer", shown::offer(*offer))
        .maybe("Public words", about.as_ref());
    facts
        .maybe("Registration", registration.as_ref().map(|Registration { registry, number }| format!("{registry} {number}")))
        .maybe("Chip", chip.as_ref());
    if let Some(fate) = fate {
        facts.say("Fate", if *fate == Fate::Stillborn { "stillborn" } else { "died" });
    }
    facts.day("On", *on).maybe("Cause", cause.as_ref()).maybe("Remarks", remarks.as_ref()).done()
}

fn newborn(desk: &Desk<'_>, folder: &LitterFolder, puppy: &Puppy) -> Vec<Fact> {
    let figures = &desk.figures.litters[&folder.id].puppies[&puppy.id];
    let mut facts = Facts::default();
    facts.maybe("Order", puppy.order);
    if let (Some(born), Some(birth)) = (puppy.born, &folder.litter.birth) {
        facts.say("Born", born.on(birth.on));
    }
    facts
        .maybe("Horn", puppy.horn.map(|h| if h == Horn::Left { "left" } else { "right" }))
        .maybe("Birth weight", puppy.weight.map(|w| desk.weight(w)));
    facts.maybe("First breath after", puppy.first_breath);
    facts.say(
        "Palate",
        match puppy.palate {
            Palate::Intact => "intact",
            Palate::Cleft => "cleft",
            Palate::NotLookedAt => "not looked at",
        },
    );
    facts.say(
        "Placenta",
        match puppy.placenta {
            Placenta::Out => "out",
            Placenta::Retained => "retained",
            Placenta::NotSeen => "not seen",
        },
    );
    for (score, total) in puppy.vigour.iter().zip(&figures.vigour) {
        let sum = total.total.map_or_else(|| "?".to_owned(), |t| t.to_string());
        facts.say("Vigour", format!("at {}: {sum} of 10, {} ({})", score.at, total.class(), items(score)));
    }
    let Newborn { limbs, navel, anus, skull, eyes, tail, skin, suck } = &puppy.newborn;
    for (label, look) in
        [("Limbs", limbs), ("Navel", navel), ("Anus", anus), ("Skull", skull), ("Eyes", eyes), ("Tail", tail), ("Skin", skin), ("Suck", suck)]
    {
        match look {
            Look::Normal => _ = facts.say(label, "normal"),
            Look::Seen(what) => _ = facts.say(label, what),
            Look::NotLookedAt => {}
        }
    }
    if !figures.not_looked_at.is_empty() {
        facts.say("Not looked at yet", figures.not_looked_at.join(", "));
    }
    facts.done()
}

fn items(score: &Vigour) -> String {
    let Vigour { at: _, heart, breathing, reflex, movement, gums, heart_rate, breaths } = score;
    let scored = [("heart", heart), ("breathing", breathing), ("reflex", reflex), ("movement", movement), ("gums", gums)];
    let scored = scored.into_iter().map(|(name, item)| format!("{name} {}", item.map_or_else(|| "?".to_owned(), |s| s.points().to_string())));
    let counted = [heart_rate.map(|r| format!("{r} beats/min")), breaths.map(|r| format!("{r} breaths/min"))];
    scored.chain(counted.into_iter().flatten()).collect::<Vec<_>>().join(", ")
}

fn growth_row(desk: &Desk<'_>, point: &Point) -> GrowthRow {
    let Point { at, days, weight, is_birth, change: changed, since_birth } = point;
    GrowthRow {
        at: if *is_birth { "birth".to_owned() } else { at.to_string() },
        days: format!("{days:.1}"),
        weight: desk.weight(*weight),
        change: changed.map(|c| change(desk, c)),
        since_birth: since_birth.map(|p| format!("{p:+.0} %")),
    }
}

/// A change in words: `+12 g, +5.1 %`.
pub(super) fn change(desk: &Desk<'_>, change: Change) -> String {
    let Change { grams, percent, hours: _ } = change;
    if desk.ounces { format!("{:+.1} oz, {percent:+.1} %", grams / 28.349_523_125) } else { format!("{grams:+.0} g, {percent:+.1} %") }
}

/// A date and time in words, when there is one.
pub(super) fn when(on: Option<crate::quantity::Day>, at: Option<crate::quantity::Moment>) -> String {
    at.map(|at| at.to_string()).or(on.map(|on| Dated::from(on).words)).unwrap_or_default()
}
