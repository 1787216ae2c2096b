//! A litter as the keeper sees it: every field, the table of weigh-ins, health, notes of all audiences, all pictures.
//!
//! In: one litter's folder and its figures. Out: [`LitterPage`].

use super::health::{self, HealthRow};
use super::puppy::{self, PuppyLink, PuppyPage};
use super::{
    AncestryShown, CareTable, DamCurve, DamPart, Desk, Fact, Facts, FindingShown, OverviewRow, Planning, RulesShown, VetShown, ancestry, care, chart,
    dam, dam_curve, finding, overview, planning, rules, thin, weighing, whelping, words,
};
use crate::audience::chart::growth_chart;
use crate::audience::shown::picture;
use crate::audience::{Dated, GrowthChart, PictureShown};
use crate::audience::{caption, made_from};
use crate::husbandry::LitterFigures;
use crate::husbandry::age::in_words;
use crate::husbandry::birth::{Arrival, HornPlacentas, Placentas};
use crate::husbandry::findings::CAUTIONS;
use crate::husbandry::gestation::{self, Due, Known};
use crate::quantity::Id;
use crate::records::litter::{Birth, CountedBy, Fate, Litter, Measured, Measurement, PupCount, Puppy, Sample, Surgery};
use crate::records::note::{Audience, Note, NoteHead, Topic};
use crate::records::weights::DAM;
use crate::records::{LitterFolder, WeighIn};
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

/// A litter's page that is still to be made. Most are as they were, and a page holds every weight of its litter in words.
#[derive(Debug)]
pub struct LitterLeaf<'a> {
    /// The litter.
    pub row: LitterRow,
    /// Hash of all that the page is chosen from: as long as it stays the same, so does the page.
    pub made_from: blake3::Hash,
    desk: Desk<'a>,
    folder: &'a LitterFolder,
}

/// All pages of a litter.
#[derive(Debug)]
pub struct LitterPages {
    /// The litter's own.
    pub litter: LitterPage,
    /// One for each puppy, in the order of birth.
    pub puppies: Vec<PuppyPage>,
}

impl LitterLeaf<'_> {
    /// Makes the pages.
    #[must_use]
    pub fn pages(&self) -> LitterPages {
        let mut desk = self.desk.another();
        let in_order = in_order(self.folder);
        let links: Vec<PuppyLink> = in_order.iter().map(|p| puppy::link(&mut desk, self.folder, p)).collect();
        let puppies = in_order.iter().map(|p| puppy::page(&mut desk, self.folder, p, &links)).collect();
        LitterPages { litter: page(&mut desk, self.folder, links), puppies }
    }

    /// Paths of the puppies' pages, in the order of [`LitterPages::puppies`].
    #[must_use]
    pub fn puppy_paths(&self) -> Vec<String> {
        in_order(self.folder).iter().map(|p| puppy::path(&self.folder.id, &p.id)).collect()
    }

    /// The litter's findings, the most urgent first.
    pub(super) fn findings(&self) -> Vec<FindingShown> {
        self.desk.figures.litters.findings(self.folder).iter().map(|found| finding::shown(self.folder, found)).collect()
    }
}

/// A litter's page in the book.
#[derive(Debug, Clone, Serialize)]
pub struct LitterPage {
    /// The litter.
    pub row: LitterRow,
    /// Mating to birth, as recorded.
    pub mating: Vec<Fact>,
    /// The birth, as recorded.
    pub birth: Vec<Fact>,
    /// Where its weigh-in sheet for the phone lies, below the root of the book; nothing when it is no longer weighed.
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
    /// A weight and the change since the one before, for each column; nothing where a puppy was not weighed.
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

/// A note of any audience.
#[derive(Debug, Clone, Serialize)]
pub struct NoteEntry {
    /// Name of its file without ending.
    pub slug: String,
    /// Date.
    pub date: Dated,
    /// Title.
    pub title: String,
    /// `everyone`, `owners` or `keeper`.
    pub audience: &'static str,
    /// Puppies it is about.
    pub puppies: Vec<String>,
    /// What it is about for families: `feeding` or `routine`.
    pub topic: Option<&'static str>,
    /// Markdown.
    pub text: String,
}

/// The leaf of a litter. `of_kennel` is what its page is shown of the kennel's own figures, in any words.
pub(super) fn leaf<'a>(desk: &Desk<'a>, folder: &'a LitterFolder, of_kennel: &str) -> LitterLeaf<'a> {
    let own = made_from(desk.records, folder, desk.album);
    let made_from = blake3::Hasher::new().update(own.as_bytes()).update(of_kennel.as_bytes()).finalize();
    LitterLeaf { row: row(desk, folder), made_from, desk: desk.another(), folder }
}

/// Notes the pictures that [`page`] uses.
pub(super) fn use_pictures(desk: &mut Desk<'_>, folder: &LitterFolder) {
    for photo in &folder.photos {
        let subject = photo.puppy.as_ref().unwrap_or(&folder.id);
        let _ = picture(desk.album, photo, subject.as_str(), String::new(), &mut desk.used);
    }
}

/// The puppies in the order of birth, those without one last.
fn in_order(folder: &LitterFolder) -> Vec<&Puppy> {
    let mut puppies: Vec<&Puppy> = folder.litter.puppies.iter().collect();
    puppies.sort_by_key(|p| p.order.unwrap_or(u32::MAX));
    puppies
}

fn page(desk: &mut Desk<'_>, folder: &LitterFolder, puppies: Vec<PuppyLink>) -> LitterPage {
    let LitterFolder { id, litter, weigh_ins: _, health, notes, photos, print: _ } = folder;
    let figures = &desk.figures.litters[id];
    let pictures = photos
        .iter()
        .filter(|p| p.puppy.is_none())
        .filter_map(|p| {
            let alt = format!("The {} litter{}", litter.name, if p.private { " (private)" } else { "" });
            let shown = picture(desk.album, p, id.as_str(), alt, &mut desk.used)?;
            Some(shown.with_caption(Some(caption::for_the_keeper(folder, p, desk.album, desk.figures.today))))
        })
        .collect();
    LitterPage {
        row: row(desk, folder),
        mating: mating(desk, litter),
        birth: litter.birth.as_ref().map(birth).unwrap_or_default(),
        weighing: weighing::is_weighed(folder, desk.figures.today).then(|| weighing::path(id)),
        cautions: CAUTIONS,
        vet: super::vet(&desk.records.kennel),
        findings: figures.findings.iter().map(|f| finding::shown(folder, f)).collect(),
        dam: dam::part(desk, folder, figures),
        overview: overview::rows(desk, folder, &puppies),
        whelping: whelping::of_litter(desk, folder).map(|sheet| sheet.path),
        planning: planning::planning(desk, folder, figures),
        dam_before: dam_curve::curve(figures),
        arrivals: arrivals(desk, folder, figures),
        care: care::table(desk, folder),
        ancestry: ancestry::shown(desk, &figures.ancestry, expected_puppies(litter)),
        rules: rules::shown(&figures.rules, desk.figures.today),
        figures: figures_of(desk, litter, figures),
        chart: litter_chart(desk, folder, figures),
        puppies,
        weigh_ins: table(desk, folder, figures),
        health: health.iter().rev().map(|entry| health::row(desk, entry)).collect(),
        notes: notes.iter().map(note).collect(),
        pictures,
    }
}

/// When a litter is expected, no surer than its anchor.
pub(super) fn expected(due: &Due) -> String {
    match due.known {
        Known::ToADay { .. } => format!("expected around {}", due.likely.in_words()),
        Known::Within => format!("expected between {} and {}", due.from.in_words(), due.to.in_words()),
    }
}

fn row(desk: &Desk<'_>, folder: &LitterFolder) -> LitterRow {
    let litter = &folder.litter;
    let born = litter.birth.as_ref().map(|b| b.on);
    let due = if born.is_none() { desk.figures.litters[&folder.id].due } else { None };
    let called = |id: &Id| desk.records.dogs.get(id).map_or_else(|| id.to_string(), |d| d.call_name.as_ref().unwrap_or(&d.name).to_string());
    let state = match (born, due) {
        (Some(born), _) => in_words(born, desk.figures.today),
        (None, Some(due)) => expected(&due),
        (None, None) if litter.came_to_nothing() => "no puppies were found".to_owned(),
        (None, None) => match gestation::no_later_than(&desk.figures.litters[&folder.id].rise) {
            Some(last) => format!("expected by {}", last.in_words()),
            None => "expected; no date to count from".to_owned(),
        },
    };
    LitterRow {
        id: folder.id.to_string(),
        name: litter.name.to_string(),
        path: format!("litters/{}.html", folder.id),
        parents: format!("{} and {}", called(&litter.dam), called(&litter.sire)),
        state,
        puppies: born.map(|_| format!("{} living of {} born", folder.living().count(), litter.puppies.len())),
        last_weighed: folder.weigh_ins.iter().rfind(|w| is_of_puppies(w)).map(|w| w.at.to_string()),
        sort_key: born.or(due.map(|due| due.likely)).map_or_else(String::new, |d| d.to_string()),
    }
}

fn mating(desk: &Desk<'_>, litter: &Litter) -> Vec<Fact> {
    let Litter {
        name: _,
        dam,
        sire,
        about,
        announced,
        mated,
        ovulated,
        lh_surge,
        dioestrus,
        progesterone,
        measured,
        counted,
        adult_weight,
        birth: _,
        weaned,
        puppies: _,
        pictures: _,
        remarks,
    } = litter;
    let full = |id: &Id| desk.records.dogs.get(id).map_or_else(|| id.to_string(), |d| d.name.to_string());
    let mut facts = Facts::default();
    facts.say("Dam", full(dam)).say("Sire", full(sire)).maybe("Public words", about.as_ref()).say("Announced", if *announced { "yes" } else { "no" });
    if !mated.is_empty() {
        facts.say("Mated", mated.iter().map(|d| Dated::from(*d).words).collect::<Vec<_>>().join(", "));
    }
    facts.day("LH surge", *lh_surge).day("Ovulated", *ovulated).day("Dioestrus", *dioestrus);
    for Sample { on, value, laboratory, method } in progesterone {
        let extra: Vec<String> = [laboratory, method].into_iter().flatten().map(ToString::to_string).collect();
        let extra = if extra.is_empty() { String::new() } else { format!(" ({})", extra.join(", ")) };
        facts.say("Progesterone", format!("{}: {value}{extra}", Dated::from(*on).words));
    }
    for Measurement { on, what, size } in measured {
        let what = match what {
            Measured::InnerChamber => "inner chamber",
            Measured::Head => "head",
        };
        facts.say("Measured", format!("{}: {what} {size}", Dated::from(*on).words));
    }
    if let Some(PupCount { by, on, puppies }) = counted {
        let by = match by {
            CountedBy::XRay => "x-ray",
            CountedBy::Ultrasound => "ultrasound",
        };
        facts.say("Counted", format!("{puppies} by {by} on {}", Dated::from(*on).words));
    }
    facts.day("Weaned", *weaned);
    facts.maybe("Adult weight expected", adult_weight.map(|w| desk.weight(w))).maybe("Remarks", remarks.as_ref()).done()
}

fn birth(birth: &Birth) -> Vec<Fact> {
    let Birth { on, how, placentas, surgery, remarks } = birth;
    let mut facts = Facts::default();
    facts.day("Born", Some(*on)).say("How", how.words()).maybe("Placentas accounted for", *placentas);
    if let Some(Surgery { clinic, incisions, adhesions, for_build, remarks }) = surgery {
        facts
            .maybe("Clinic", clinic.as_ref())
            .maybe("Incisions", *incisions)
            .maybe("Adhesions", adhesions.as_ref())
            .maybe("Needed because of build", for_build.map(|yes| if yes { "yes" } else { "no" }))
            .maybe("Surgeon’s remarks", remarks.as_ref());
    }
    facts.maybe("Remarks", remarks.as_ref()).done()
}

fn figures_of(desk: &Desk<'_>, litter: &Litter, figures: &LitterFigures) -> Vec<Fact> {
    let LitterFigures {
        due,
        windows: _,
        steps: _,
        rise,
        dam_before: _,
        leaves_from,
        inbreeding,
        ancestry: _,
        placentas,
        arrivals: _,
        puppies: _,
        places: _,
        rules: _,
        recovery: _,
        findings: _,
        ahead: _,
    } = figures;
    let mut facts = Facts::default();
    if let Some(Due { from, likely, to, anchor, known }) = due {
        let [from, likely, to] = [from, likely, to].map(|d| Dated::from(*d).words);
        let likely = match known {
            Known::ToADay { .. } => format!(", most likely {likely}"),
            Known::Within => String::new(),
        };
        facts.say("Due", format!("{from} to {to}{likely}; counted from {}", anchor.words()));
    } else if litter.birth.is_none() && !litter.came_to_nothing() {
        facts.say("Due", thin::due(litter, rise));
    }
    if litter.birth.is_none() {
        let dam = desk.records.dogs.get(&litter.dam).and_then(|dam| dam.adult_weight);
        facts.maybe("Due by fetal measurements", thin::measured(litter, dam));
    }
    facts.day("May leave from", *leaves_from);
    facts.say("Inbreeding", words::inbreeding(inbreeding));
    let Placentas { puppies, out, horns } = placentas;
    match out {
        Some(out) if puppies > out => facts.say("Placentas", format!("{out} of {puppies} accounted for: ask the vet about the missing")),
        Some(out) if puppies < out => {
            let question = "is one counted twice, or a puppy not entered?";
            facts.say("Placentas", format!("{out} for {}: {question}", words::puppies(*puppies)))
        }
        Some(out) => facts.say("Placentas", format!("{out} for {}", words::puppies(*puppies))),
        None if *puppies > 0 => facts.say("Placentas", "nobody has noted them"),
        None => &mut facts,
    };
    for HornPlacentas { horn, puppies, out } in horns {
        facts.say("Placentas by horn", format!("{}: {out} for {}", horn.word(), words::puppies(*puppies)));
    }
    facts.done()
}

/// Puppies born, or counted, or an ordinary litter of six.
fn expected_puppies(litter: &Litter) -> usize {
    match (&litter.birth, &litter.counted) {
        (Some(_), _) => litter.puppies.len(),
        (None, Some(counted)) => counted.puppies as usize,
        (None, None) => 6,
    }
}

fn litter_chart(desk: &Desk<'_>, folder: &LitterFolder, figures: &LitterFigures) -> Option<GrowthChart> {
    let litter = &folder.litter;
    let lines = litter.puppies.iter().filter_map(|p| chart::line(p, &figures.puppies[&p.id], &figures.findings)).collect();
    growth_chart(format!("Weights of the {} litter", litter.name), lines, chart::mean_birth_weight(litter), &chart::own_growth(desk, folder))
}

fn arrivals(desk: &Desk<'_>, folder: &LitterFolder, figures: &LitterFigures) -> Vec<ArrivalRow> {
    let rows = figures.arrivals.iter().filter_map(|Arrival { puppy, at, since_first, since_previous, first_breath }| {
        let puppy = folder.puppy(puppy)?;
        let mut what: Vec<String> = puppy.horn.iter().map(|h| format!("{} horn", h.word())).collect();
        what.extend(puppy.weight.map(|w| desk.weight(w)));
        what.extend(puppy.fate.filter(|f| *f == Fate::Stillborn).map(|_| "stillborn".to_owned()));
        Some(ArrivalRow {
            name: puppy.shown_name(),
            at: at.local().format("%H:%M").to_string(),
            since_previous: since_previous.map(words::minutes),
            since_first: words::minutes(*since_first),
            first_breath: first_breath.map(|s| s.to_string()),
            what: what.join(", "),
        })
    });
    rows.collect()
}

fn table(desk: &Desk<'_>, folder: &LitterFolder, figures: &LitterFigures) -> WeighInTable {
    let puppies: Vec<_> = folder.litter.puppies.iter().filter(|p| folder.weigh_ins.iter().any(|w| w.weights.contains_key(&p.id))).collect();
    let rows = folder.weigh_ins.iter().rev().filter(|w| is_of_puppies(w)).map(|weigh_in| {
        let WeighIn { at, by, remark, weights, block: _ } = weigh_in;
        let cells = puppies.iter().map(|p| {
            let weight = weights.get(&p.id)?;
            let point = figures.puppies[&p.id].growth.points.iter().find(|point| point.at == *at && !point.is_birth);
            Some((desk.weight(*weight), point.and_then(|point| point.change).map(|c| words::change(desk, c))))
        });
        WeighInRow {
            at: at.to_string(),
            by: by.as_ref().map(ToString::to_string),
            remark: remark.as_ref().map(ToString::to_string),
            cells: cells.collect(),
        }
    });
    WeighInTable { columns: puppies.iter().map(|p| p.shown_name()).collect(), rows: rows.collect() }
}

/// Whether it is of puppies, and not of the dam alone: she has a table of her own.
fn is_of_puppies(weigh_in: &WeighIn) -> bool {
    weigh_in.weights.is_empty() || weigh_in.weights.keys().any(|id| id.as_str() != DAM)
}

pub(super) fn note(note: &Note) -> NoteEntry {
    let Note { slug, head, text } = note;
    let NoteHead { date, title, audience, puppies, topic } = head;
    let audience = match audience {
        Audience::Everyone => "everyone",
        Audience::Owners => "owners",
        Audience::Keeper => "keeper",
    };
    NoteEntry {
        slug: slug.to_string(),
        date: (*date).into(),
        title: title.to_string(),
        audience,
        puppies: puppies.iter().map(ToString::to_string).collect(),
        topic: topic.map(Topic::word),
        text: text.clone(),
    }
}
