//! The kennel in figures: sizes, survival, birth weights, growth, dams.
//!
//! In: figures of the kennel. Out: [`FiguresPage`]. Each figure says how many litters or puppies it
//! rests on; where there are not enough, it says that instead.

use super::{BookContext, words};
use crate::Dated;
use crate::husbandry::kennel::birth_weights::{BirthWeights, Spread};
use crate::husbandry::kennel::dams::DamRecord;
use crate::husbandry::kennel::growth_bands::{BandOfDay, FEWEST_LITTERS, FEWEST_PUPPIES};
use crate::husbandry::kennel::litters::LitterSizes;
use crate::husbandry::kennel::numbers::{Share, Summary};
use crate::husbandry::kennel::survival::Survival;
use crate::husbandry::kennel::{KennelFigures, NotEnough};
use crate::quantity::{Id, Weight};
use crate::words::kennel::not_enough;
use serde::Serialize;
use std::collections::BTreeMap;

/// The kennel in figures.
#[derive(Debug, Clone, Serialize)]
pub struct FiguresPage {
    /// All litters, then each year: label, litters, born, born alive.
    pub sizes: Vec<(String, usize, String, String)>,
    /// Stillbirth and deaths by day: what, share, 95 % interval, how many are not known.
    pub survival: Vec<SurvivalRow>,
    /// Birth weights: of whom, and quantiles or why there are none.
    pub births: Vec<(&'static str, String)>,
    /// Growth by day of age: day, puppies, litters, quantiles.
    pub growth: Vec<GrowthBandRow>,
    /// Why there are no bands, when there are none.
    pub growth_note: Option<String>,
    /// A row for each dam.
    pub dams: Vec<DamRow>,
}

/// A share with its interval.
#[derive(Debug, Clone, Serialize)]
pub struct SurvivalRow {
    /// What is counted.
    pub what: String,
    /// `3 of 41`.
    pub count: String,
    /// The share, %.
    pub share: Option<String>,
    /// Its 95 % interval, %.
    pub interval: String,
    /// Of how many it is not known.
    pub unknown: usize,
}

/// Growth on one day of age, as multiples of the birth weight.
#[derive(Debug, Clone, Serialize)]
pub struct GrowthBandRow {
    /// Day of age.
    pub day: u16,
    /// Puppies it rests on.
    pub puppies: usize,
    /// Their litters.
    pub litters: usize,
    /// 10th, 25th, 50th, 75th and 90th percentile.
    pub quantiles: Vec<String>,
}

/// The record of a dam.
#[derive(Debug, Clone, Serialize)]
pub struct DamRow {
    /// Name.
    pub name: String,
    /// Litters, and from when to when.
    pub litters: String,
    /// Sections.
    pub sections: String,
    /// Puppies born, born alive.
    pub born: String,
    /// Puppies raised.
    pub raised: String,
    /// What surgeons noted of adhesions.
    pub adhesions: String,
}

pub(super) fn page(context: &BookContext<'_>) -> FiguresPage {
    let KennelFigures {
        sizes,
        by_year,
        survival,
        births,
        usual: _,
        growth,
        dams,
        parents: _,
    } = context.figures.kennel();
    let years = by_year
        .iter()
        .rev()
        .map(|(year, sizes)| size_row(year.to_string(), sizes));
    let rows: Vec<GrowthBandRow> = growth
        .iter()
        .filter(|b| b.day % 7 == 0 || b.day < 7)
        .filter_map(band_row)
        .collect();
    FiguresPage {
        sizes: sizes
            .iter()
            .map(|all| size_row("all years".to_owned(), all))
            .chain(years)
            .collect(),
        survival: survival_rows(survival),
        births: birth_rows(context, births),
        growth_note: rows.is_empty().then(|| {
            let most = growth
                .iter()
                .map(|b| (b.puppies, b.litters))
                .max()
                .unwrap_or((0, 0));
            format!(
                "Not known yet, because quantiles take {FEWEST_PUPPIES} puppies of \
                 {FEWEST_LITTERS} past litters, and there are {} of {}; settled by further \
                 litters that are weighed.",
                most.0, most.1
            )
        }),
        growth: rows,
        dams: dam_rows(context, dams),
    }
}

fn size_row(label: String, sizes: &LitterSizes) -> (String, usize, String, String) {
    let LitterSizes {
        litters,
        born,
        live_born,
        by_size: _,
        by_live_size: _,
    } = sizes;
    let words = |summary: &Summary| {
        let Summary {
            n: _,
            mean,
            median,
            least,
            most,
            deviation,
        } = summary;
        let spread = deviation.map(|d| format!(" ± {d:.1}")).unwrap_or_default();
        if *litters == 1 {
            format!("{mean:.0}")
        } else {
            format!("{mean:.1}{spread}, median {median:.1}, {least:.0} to {most:.0}")
        }
    };
    (label, *litters, words(born), words(live_born))
}

fn survival_rows(survival: &Survival) -> Vec<SurvivalRow> {
    let Survival { stillborn, by_day } = survival;
    let row = |what: String, share: &Share| {
        let Share {
            count,
            of,
            unknown,
            low,
            high,
        } = *share;
        SurvivalRow {
            what,
            // All rows of deaths are about the same puppies; of some the day has not come, or
            // nobody wrote.
            count: if unknown == 0 {
                format!("{count} of {of}")
            } else {
                format!("{count} of {of} that are old enough and known of")
            },
            share: share.value().map(|v| format!("{:.1} %", v * 100.0)),
            interval: if of > 0 {
                format!("{:.1} to {:.1} %", low * 100.0, high * 100.0)
            } else {
                "not known yet: no puppy is old enough".to_owned()
            },
            unknown,
        }
    };
    let deaths = by_day.iter().map(|(day, share)| {
        row(
            format!(
                "died by day {day}, of {} born alive",
                share.of + share.unknown
            ),
            share,
        )
    });
    std::iter::once(row("stillborn, of all born".to_owned(), stillborn))
        .chain(deaths)
        .collect()
}

fn birth_rows(context: &BookContext<'_>, births: &BirthWeights) -> Vec<(&'static str, String)> {
    let BirthWeights {
        all,
        females,
        males,
    } = births;
    let words = |part: &Result<Spread, NotEnough>| match part {
        Err(few) => not_enough(*few),
        Ok(Spread {
            n,
            mean,
            deviation,
            least,
            p10,
            p25,
            median,
            p75,
            p90,
            most,
        }) => {
            let show = |grams: f64| {
                Weight::from_grams(grams)
                    .map(|w| context.weight(w))
                    .unwrap_or_default()
            };
            format!(
                "{n} puppies: mean {} ± {}; {} to {}; tenths at {} and {}, quarters at {}, {} and \
                 {}",
                show(*mean),
                show(*deviation),
                show(*least),
                show(*most),
                show(*p10),
                show(*p90),
                show(*p25),
                show(*median),
                show(*p75)
            )
        }
    };
    vec![
        ("all", words(all)),
        ("bitches", words(females)),
        ("dogs", words(males)),
    ]
}

fn band_row(band: &BandOfDay) -> Option<GrowthBandRow> {
    let BandOfDay {
        day,
        puppies,
        litters,
        band,
    } = band;
    let band = band.as_ref()?;
    let quantiles = [band.p10, band.p25, band.median, band.p75, band.p90]
        .map(|q| format!("{q:.2}"))
        .to_vec();
    Some(GrowthBandRow {
        day: *day,
        puppies: *puppies,
        litters: *litters,
        quantiles,
    })
}

fn dam_rows(context: &BookContext<'_>, dams: &BTreeMap<Id, DamRecord>) -> Vec<DamRow> {
    let row = |(id, record): (&Id, &DamRecord)| {
        let DamRecord {
            litters,
            planned_sections,
            emergency_sections,
            first,
            latest,
            born,
            live_born,
            raised,
            raised_of_born,
            raised_unknown,
            adhesions,
        } = record;
        let day = |day: &Option<crate::quantity::Day>| {
            day.map(|d| Dated::from(d).words).unwrap_or_default()
        };
        let when = if litters == &1 {
            day(first)
        } else {
            format!("{} to {}", day(first), day(latest))
        };
        let open = if *raised_unknown > 0 {
            format!("; not grown yet: {raised_unknown}")
        } else {
            String::new()
        };
        DamRow {
            name: context
                .records
                .dogs
                .get(id)
                .map_or_else(|| id.to_string(), |d| d.name.to_string()),
            litters: format!("{litters} ({when})"),
            sections: match planned_sections + emergency_sections {
                0 => "none".to_owned(),
                _ => format!("{planned_sections} planned, {emergency_sections} emergency"),
            },
            born: format!("{born}, {live_born} alive"),
            raised: if *raised_of_born > 0 {
                format!("{raised} of {raised_of_born}{open}")
            } else {
                "not grown yet".to_owned()
            },
            adhesions: adhesions
                .iter()
                .map(|(on, text)| format!("{}: {text}", words::short_with_year(*on)))
                .collect::<Vec<_>>()
                .join("; "),
        }
    };
    dams.iter().map(row).collect()
}
