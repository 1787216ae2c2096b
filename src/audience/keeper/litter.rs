//! A litter as the keeper sees it: every field, the table of weigh-ins, health, notes of all
//! audiences, all pictures.
//!
//! In: one litter's folder and its figures. Out: [`BookLitterPage`].

mod facts;

use super::health::{self, HealthRow};
use super::note::{self, NoteEntry};
use super::paths;
use super::puppy::{self, BookPuppyPage, PuppyLink};
use super::{
    AncestryShown, BookContext, CareTable, DamCurve, DamPart, Fact, FindingShown, OverviewRow,
    Planning, RulesShown, VetShown, ancestry, care, chart, dam, dam_curve, finding, overview,
    planning, rules, weighing, whelping, words,
};
use crate::caption;
use crate::chart::growth_chart;
use crate::husbandry::age::in_words;
use crate::husbandry::birth::Arrival;
use crate::husbandry::findings::CAUTIONS;
use crate::husbandry::gestation;
use crate::husbandry::{Figures, LitterFigures};
use crate::quantity::Id;
use crate::records::litter::{Fate, Puppy};
use crate::records::weights::DAM;
use crate::records::{LitterFolder, WeighIn};
use crate::shown::picture;
use crate::{GrowthChart, PictureShown};
use serde::Serialize;

/// A litter in the list of the first page.
#[derive(Debug, Clone, Serialize)]
pub struct LitterRow {
    /// Name of its folder.
    pub id: String,
    /// Name.
    pub name: String,
    /// Path below the root of the book.
    pub path: String,
    /// Dam and sire.
    pub parents: String,
    /// `expected around 8 November 2026`, `4 days`, `1 year`.
    pub state: String,
    /// `5 living of 6 born`; nothing while expected.
    pub puppies: Option<String>,
    /// Last weigh-in, in words.
    pub last_weighed: Option<String>,
    /// Day of birth or likely day, for sorting.
    #[serde(skip)]
    pub(super) sort_key: String,
}

/// A litter's page that is still to be made. Most are as they were, and a page holds every weight
/// of its litter in words.
#[derive(Debug)]
pub struct BookLitter<'a> {
    /// The litter.
    pub row: LitterRow,
    context: BookContext<'a>,
    folder: &'a LitterFolder,
}

/// All pages of a litter.
#[derive(Debug)]
pub struct LitterPages {
    /// The litter's own.
    pub litter: BookLitterPage,
    /// One for each puppy, in the order of birth.
    pub puppies: Vec<BookPuppyPage>,
}

impl BookLitter<'_> {
    /// Makes the pages.
    #[must_use]
    pub fn pages(&self) -> LitterPages {
        let mut context = self.context.another();
        let in_order = in_order(self.folder);
        let links: Vec<PuppyLink> = in_order
            .iter()
            .map(|p| puppy::link(&mut context, self.folder, p))
            .collect();
        let puppies = in_order
            .iter()
            .map(|p| puppy::page(&mut context, self.folder, p, &links))
            .collect();
        LitterPages {
            litter: page(&mut context, self.folder, links),
            puppies,
        }
    }

    /// Paths of the puppies' pages, in the order of [`LitterPages::puppies`].
    #[must_use]
    pub fn puppy_paths(&self) -> Vec<String> {
        in_order(self.folder)
            .iter()
            .map(|p| paths::puppy(&self.folder.id, &p.id))
            .collect()
    }

    /// The litter's findings, the most urgent first.
    pub(super) fn findings(&self) -> Vec<FindingShown> {
        self.context
            .figures
            .litters
            .findings(self.folder)
            .iter()
            .map(|found| finding::shown(self.folder, found, self.context.ounces))
            .collect()
    }
}

/// A litter's page in the book.
#[derive(Debug, Clone, Serialize)]
pub struct BookLitterPage {
    /// The litter.
    pub row: LitterRow,
    /// Mating to birth, as recorded.
    pub mating: Vec<Fact>,
    /// The birth, as recorded.
    pub birth: Vec<Fact>,
    /// Where its weigh-in sheet for the phone lies, below the root of the book; nothing when it is
    /// no longer weighed.
    pub weighing: Option<String>,
    /// Findings, the most urgent first.
    pub findings: Vec<FindingShown>,
    /// The dam: findings, recovery, weights.
    pub dam: Option<DamPart>,
    /// The usual cautions, printed with every finding.
    pub cautions: &'static str,
    /// Whom to call at night.
    pub vet: Option<VetShown>,
    /// The living puppies at one glance.
    pub overview: Vec<OverviewRow>,
    /// Path of its whelping sheet, while it has one.
    pub whelping: Option<String>,
    /// What is to be planned, while the litter is expected.
    pub planning: Option<Planning>,
    /// The dam's temperatures before the birth.
    pub dam_before: Option<DamCurve>,
    /// The delivery in the order of time.
    pub arrivals: Vec<ArrivalRow>,
    /// The care plan held against what was done.
    pub care: Option<CareTable>,
    /// What lies behind the mating.
    pub ancestry: AncestryShown,
    /// What region and registries ask, beside this litter.
    pub rules: Option<RulesShown>,
    /// What was computed.
    pub figures: Vec<Fact>,
    /// The puppies, in the order of birth; each has a page of its own.
    pub puppies: Vec<PuppyLink>,
    /// The litter's growth chart; drawn into `litter_chart`.
    pub chart: Option<GrowthChart>,
    /// All weigh-ins.
    pub weigh_ins: WeighInTable,
    /// All health entries, newest first.
    pub health: Vec<HealthRow>,
    /// All notes, newest first.
    pub notes: Vec<NoteEntry>,
    /// Pictures of the litter as a whole.
    pub pictures: Vec<PictureShown>,
}

/// Weigh-ins as a table: a column for each puppy, a row for each weigh-in, newest first.
#[derive(Debug, Clone, Serialize)]
pub struct WeighInTable {
    /// Names of the puppies.
    pub columns: Vec<String>,
    /// The rows.
    pub rows: Vec<WeighInRow>,
}

/// One weigh-in.
#[derive(Debug, Clone, Serialize)]
pub struct WeighInRow {
    /// Local time.
    pub at: String,
    /// Who weighed.
    pub by: Option<String>,
    /// Remark.
    pub remark: Option<String>,
    /// A weight and the change since the one before, for each column; nothing where a puppy was
    /// not weighed.
    pub cells: Vec<Option<(String, Option<String>)>>,
}

/// One puppy's arrival.
#[derive(Debug, Clone, Serialize)]
pub struct ArrivalRow {
    /// Name.
    pub name: String,
    /// Local time.
    pub at: String,
    /// Time since the puppy before, in words.
    pub since_previous: Option<String>,
    /// Time since the first puppy.
    pub since_first: String,
    /// Time to the first breath.
    pub first_breath: Option<String>,
    /// Horn, weight, placenta, in words.
    pub what: String,
}

/// The leaf of a litter.
pub(super) fn leaf<'a>(context: &BookContext<'a>, folder: &'a LitterFolder) -> BookLitter<'a> {
    BookLitter {
        row: row(context, folder),
        context: context.another(),
        folder,
    }
}

/// Notes the pictures that [`page`] uses.
pub(super) fn use_pictures(context: &mut BookContext<'_>, folder: &LitterFolder) {
    for photo in &folder.photos {
        let subject = photo.puppy.as_ref().unwrap_or(&folder.id);
        let _ = picture(
            context.album,
            photo,
            subject.as_str(),
            String::new(),
            &mut context.used,
        );
    }
}

/// The puppies in the order of birth, those without one last.
fn in_order(folder: &LitterFolder) -> Vec<&Puppy> {
    let mut puppies: Vec<&Puppy> = folder.litter.puppies.iter().collect();
    puppies.sort_by_key(|p| p.order.unwrap_or(u32::MAX));
    puppies
}

fn page(
    context: &mut BookContext<'_>,
    folder: &LitterFolder,
    puppies: Vec<PuppyLink>,
) -> BookLitterPage {
    let LitterFolder {
        id,
        litter,
        weigh_ins: _,
        bare_unit: _,
        health,
        notes,
        photos,
    } = folder;
    let figures = &context.figures.litters[id];
    let pictures = photos
        .iter()
        .filter(|p| p.puppy.is_none())
        .filter_map(|p| {
            let alt = format!(
                "The {} litter{}",
                litter.name,
                if p.private { " (private)" } else { "" }
            );
            let shown = picture(context.album, p, id.as_str(), alt, &mut context.used)?;
            Some(shown.with_caption(Some(caption::for_the_keeper(
                folder,
                p,
                context.album,
                context.figures.today,
            ))))
        })
        .collect();
    BookLitterPage {
        row: row(context, folder),
        mating: facts::mating(context, litter),
        birth: litter.birth.as_ref().map(facts::birth).unwrap_or_default(),
        weighing: weighing::is_weighed(folder, context.figures.today).then(|| paths::weighing(id)),
        cautions: CAUTIONS,
        vet: super::vet(&context.records.kennel),
        findings: figures
            .findings
            .iter()
            .map(|f| finding::shown(folder, f, context.ounces))
            .collect(),
        dam: dam::part(context, folder, figures),
        overview: overview::rows(context, folder, &puppies),
        whelping: whelping::path_of(folder, context.figures.today),
        planning: planning::planning(context, folder, figures),
        dam_before: dam_curve::curve(figures),
        arrivals: arrivals(context, folder, figures),
        care: care::table(context, folder),
        ancestry: ancestry::shown(context, &figures.ancestry, facts::expected_puppies(litter)),
        rules: rules::shown(&figures.rules, context.figures.today),
        figures: facts::figures_of(context, litter, figures),
        chart: litter_chart(context, folder, figures),
        puppies,
        weigh_ins: table(context, folder, figures),
        health: health
            .iter()
            .rev()
            .map(|entry| health::row(context, entry))
            .collect(),
        notes: notes.iter().map(note::shown).collect(),
        pictures,
    }
}

/// How far a litter is: when it is expected, how old it is.
pub fn litter_state(figures: &Figures<'_>, folder: &LitterFolder) -> String {
    // Those of a litter that is history are computed for its own pages alone.
    if let Some(birth) = &folder.litter.birth {
        return in_words(birth.on, figures.today);
    }
    let own = &figures.litters[&folder.id];
    match own.due {
        Some(due) => words::expected(&due),
        None if folder.litter.came_to_nothing() => "no puppies were found".to_owned(),
        None => match gestation::no_later_than(&own.rise) {
            Some(last) => format!("expected by {}", last.in_words()),
            None => "expected; no date to count from".to_owned(),
        },
    }
}

fn row(context: &BookContext<'_>, folder: &LitterFolder) -> LitterRow {
    let litter = &folder.litter;
    let born = litter.birth.as_ref().map(|b| b.on);
    let due = if born.is_none() {
        context.figures.litters[&folder.id].due
    } else {
        None
    };
    let called = |id: &Id| {
        context
            .records
            .dogs
            .get(id)
            .map_or_else(|| id.to_string(), |d| d.shown_name().to_string())
    };
    LitterRow {
        id: folder.id.to_string(),
        name: litter.name.to_string(),
        path: paths::litter(&folder.id),
        parents: format!("{} and {}", called(&litter.dam), called(&litter.sire)),
        state: litter_state(context.figures, folder),
        puppies: born.map(|_| {
            format!(
                "{} living of {} born",
                folder.living().count(),
                litter.puppies.len()
            )
        }),
        last_weighed: folder
            .weigh_ins
            .iter()
            .rfind(|w| is_of_puppies(w))
            .map(|w| w.at.to_string()),
        sort_key: born
            .or(due.map(|due| due.likely))
            .map_or_else(String::new, |d| d.to_string()),
    }
}

fn litter_chart(
    context: &BookContext<'_>,
    folder: &LitterFolder,
    figures: &LitterFigures,
) -> Option<GrowthChart> {
    let litter = &folder.litter;
    let lines = litter
        .puppies
        .iter()
        .filter_map(|p| chart::line(p, &figures.puppies[&p.id], &figures.findings))
        .collect();
    growth_chart(
        format!("Weights of the {} litter", litter.name),
        lines,
        chart::mean_birth_weight(litter),
        &chart::own_growth(context, folder),
        context.ounces,
    )
}

fn arrivals(
    context: &BookContext<'_>,
    folder: &LitterFolder,
    figures: &LitterFigures,
) -> Vec<ArrivalRow> {
    let rows = figures.arrivals.iter().filter_map(
        |Arrival {
             puppy,
             at,
             since_first,
             since_previous,
             first_breath,
         }| {
            let puppy = folder.puppy(puppy)?;
            let mut what: Vec<String> = puppy
                .horn
                .iter()
                .map(|h| format!("{} horn", h.word()))
                .collect();
            what.extend(puppy.weight.map(|w| context.weight(w)));
            what.extend(
                puppy
                    .fate
                    .filter(|f| *f == Fate::Stillborn)
                    .map(|_| "stillborn".to_owned()),
            );
            Some(ArrivalRow {
                name: puppy.shown_name(),
                at: at.local().format("%H:%M").to_string(),
                since_previous: since_previous.map(words::minutes),
                since_first: words::minutes(*since_first),
                first_breath: first_breath.map(|s| s.to_string()),
                what: what.join(", "),
            })
        },
    );
    rows.collect()
}

fn table(
    context: &BookContext<'_>,
    folder: &LitterFolder,
    figures: &LitterFigures,
) -> WeighInTable {
    let puppies: Vec<_> = folder
        .litter
        .puppies
        .iter()
        .filter(|p| {
            folder
                .weigh_ins
                .iter()
                .any(|w| w.weights.contains_key(&p.id))
        })
        .collect();
    let rows = folder
        .weigh_ins
        .iter()
        .rev()
        .filter(|w| is_of_puppies(w))
        .map(|weigh_in| {
            let WeighIn {
                at,
                by,
                remark,
                weights,
                block: _,
            } = weigh_in;
            let cells = puppies.iter().map(|p| {
                let weight = weights.get(&p.id)?;
                let point = figures.puppies[&p.id]
                    .growth
                    .points
                    .iter()
                    .find(|point| point.at == *at && !point.is_birth);
                Some((
                    context.weight(*weight),
                    point
                        .and_then(|point| point.change)
                        .map(|c| words::change(context, c)),
                ))
            });
            WeighInRow {
                at: at.to_string(),
                by: by.as_ref().map(ToString::to_string),
                remark: remark.as_ref().map(ToString::to_string),
                cells: cells.collect(),
            }
        });
    WeighInTable {
        columns: puppies.iter().map(|p| p.shown_name()).collect(),
        rows: rows.collect(),
    }
}

/// Whether it is of puppies, and not of the dam alone: she has a table of her own.
fn is_of_puppies(weigh_in: &WeighIn) -> bool {
    weigh_in.weights.is_empty() || weigh_in.weights.keys().any(|id| id.as_str() != DAM)
}
