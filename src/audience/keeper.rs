//! What the keeper sees: everything.
//!
//! In: records, figures and prepared pictures. Out: [`Book`]: views for the keeper's book. Every
//! field of every record finds its place here; records are taken apart without `..`, so that none
//! is forgotten.

mod ancestry;
mod bitch;
mod care;
mod chart;
mod clinic;
mod dam;
mod dam_curve;
mod dogs;
mod export;
mod find;
mod finding;
mod follow_up;
mod health;
mod kennel;
mod litter;
mod note;
mod overview;
pub mod paths;
mod people;
mod planning;
mod problems;
mod puppy;
mod rounds;
mod rules;
mod settings;
mod thin;
mod weighing;
mod whelping;
mod words;

pub use ancestry::{AncestryShown, GeneRow, PairRow};
pub use bitch::{BitchLeaf, BitchPage, MatingSheet};
pub use care::{CareCell, CareRow, CareTable, PuppyCare, StandingRow};
pub use clinic::{ClinicSheet, EarlierLitterRow, SampleRow};
pub use dam::{DamPart, DamWeight, LookRow};
pub use dam_curve::{DamCurve, DamPoint};
pub use dogs::{DogEntry, DogsPage};
pub use export::{Export, export};
pub use find::{FindEntry, FindPage};
pub use finding::FindingShown;
pub use health::HealthRow;
pub use kennel::{DamRow, FiguresPage, GrowthBandRow, SurvivalRow};
pub use litter::{
    ArrivalRow, BookLitter, BookLitterPage, LitterPages, LitterRow, WeighInRow, WeighInTable,
    litter_state,
};
pub use note::NoteEntry;
pub use overview::OverviewRow;
pub use people::{BeforeLeaving, FamilyEntry, PeoplePage, TakenRow, WaitingEntry};
pub use planning::{Planning, SectionShown, StepRow, WindowRow};
pub use problems::{LineShown, ProblemShown, ProblemsPage, RelatedShown, TextPiece};
pub use puppy::{BookPuppyPage, GrowthRow, PuppyLink};
pub use rounds::{
    BitchLine, BitchNote, PuppyTag, RoundsSheet, RoundsShown, TaskGroup, TaskLine, TaskShown,
    TaskUrgency, bitch_days, days as task_days, in_full, shown as rounds, shown_of as round_shown,
};
pub use rules::{RuleBookShown, RuleRow, RulesShown};
pub use weighing::{
    AheadFinding, AheadShown, KnownWeighIn, LimitShown, VeryLow, WeighedPuppy, WeighingSheet,
};
pub(crate) use whelping::of_litter as whelping_sheet;
pub use whelping::{BirthWeightsShown, Counted, VigourItem, WhelpingSheet};

use super::{Album, Dated, Keeper, Used, views};
use crate::husbandry::Figures;
use crate::husbandry::findings::{CAUTIONS, FindingRule, Urgency};
use crate::quantity::{Day, Weight};
use crate::records::kennel::{EmergencyVet, Kennel};
use crate::records::problem::{Located, Severity};
use crate::records::{LitterFolder, Records};
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// The whole keeper's book.
#[derive(Debug)]
pub struct Book<'a> {
    /// What every page shows around itself.
    pub frame: BookFrame,
    /// The first page.
    pub home: BookHomePage,
    /// A page for each litter, to be made when it is needed.
    pub litters: Vec<BookLitter<'a>>,
    /// A weigh-in sheet for the phone for each litter that is weighed.
    pub weighing: Vec<WeighingSheet>,
    /// All dogs.
    pub dogs: DogsPage,
    /// A page for each bitch that lives here, to be made when it is needed.
    pub bitches: Vec<BitchLeaf<'a>>,
    /// The kennel in figures.
    pub kennel: FiguresPage,
    /// Families and waiting list.
    pub people: PeoplePage,
    /// Everything by name.
    pub find: FindPage,
    /// Whelping sheets for the phone: one for each litter that is expected or was just born, and
    /// one for a litter without records.
    pub whelping: Vec<WhelpingSheet>,
    /// A sheet for the clinic for each litter that is expected.
    pub clinic: Vec<ClinicSheet>,
    /// The pictures these pages use.
    pub pictures: Used,
}

/// What every page of the book shows around itself.
#[derive(Debug, Clone, Serialize)]
pub struct BookFrame {
    /// Name of the kennel.
    pub kennel: String,
    /// The day it was written.
    pub today: Dated,
    /// The newest litters: name and path below the root of the book.
    pub litters: Vec<(String, String)>,
    /// How many more there are; the first page lists them.
    pub more_litters: usize,
}

/// Litters that the menu of every page names: with all of them, a book of thousands of litters
/// would be menus.
const LITTERS_IN_MENU: usize = 10;

/// The first page of the book.
#[derive(Debug, Clone, Serialize)]
pub struct BookHomePage {
    /// What to do today and tomorrow.
    pub rounds: RoundsSheet,
    /// Findings of all litters, the most urgent first, one line for each puppy; steady puppies are
    /// left to their litter's page.
    pub findings: Vec<FindingShown>,
    /// How many findings are left out here, since the round has them.
    pub on_round: usize,
    /// How many puppies are steady.
    pub steady: usize,
    /// The usual cautions, printed with every finding.
    pub cautions: &'static str,
    /// Whom to call at night.
    pub vet: Option<VetShown>,
    /// Litters, newest first.
    pub litters: Vec<LitterRow>,
    /// Whelping sheets: name of the litter and path below the root of the book.
    pub whelping: Vec<(String, String)>,
    /// Warnings about the records; errors never get this far.
    pub warnings: Vec<WarningEntry>,
    /// The kennel's own record.
    pub kennel: Vec<Fact>,
    /// Its policies.
    pub policies: Vec<String>,
    /// The care plan as it is used.
    pub care_plan: Vec<PlanRow>,
    /// Its own values for findings.
    pub thresholds: Vec<Fact>,
}

/// A page of the book that says something to the keeper in words alone.
#[derive(Debug, Clone, Serialize)]
pub struct GuidePage {
    /// Title.
    pub title: &'static str,
    /// Markdown, with headings from the second level.
    pub text: &'static str,
}

/// A practice to call out of hours.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct VetShown {
    /// Name.
    pub clinic: String,
    /// Telephone, as written.
    pub phone: String,
}

/// The practice to call out of hours, shown wherever a finding may say that a vet should be called.
fn vet(kennel: &Kennel) -> Option<VetShown> {
    let EmergencyVet { clinic, phone } = kennel.contact.emergency_vet.as_ref()?;
    Some(VetShown {
        clinic: clinic.to_string(),
        phone: phone.to_string(),
    })
}

/// A warning about a record.
#[derive(Debug, Clone, Serialize)]
pub struct WarningEntry {
    /// File below the content folder, with line.
    pub place: String,
    /// What is odd.
    pub message: String,
    /// What to do.
    pub hint: String,
}

/// A label and what it says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fact {
    /// Label.
    pub label: &'static str,
    /// Value in words.
    pub value: String,
}

/// One item of the care plan.
#[derive(Debug, Clone, Serialize)]
pub struct PlanRow {
    /// Its id.
    pub id: String,
    /// Kind.
    pub what: &'static str,
    /// Name.
    pub name: String,
    /// Ages, in words.
    pub ages: String,
    /// Where the ages come from.
    pub source: &'static str,
}

views!(
    Keeper: BookFrame, RoundsShown, Export, BookHomePage, BookLitterPage, BookPuppyPage, FindPage,
    DogsPage,
    BitchPage, FiguresPage, PeoplePage, GuidePage, ProblemsPage, WeighingSheet,
    WhelpingSheet, ClinicSheet
);

/// Everything for the keeper.
#[must_use]
pub fn book<'a>(
    records: &'a Records,
    figures: &'a Figures<'a>,
    album: &'a Album,
    problems: &[Located],
) -> Book<'a> {
    let Records {
        today: _,
        kennel,
        care_plan,
        dogs: _,
        litters,
        owners,
        pages: _,
        portraits: _,
        litters_by_dam: _,
        digests: _,
    } = records;
    let ounces = kennel.is_read_in_ounces();
    let mut context = BookContext {
        records,
        figures,
        album,
        ounces,
        used: Used::new(),
    };
    let folders: Vec<&LitterFolder> = litters.values().collect();
    let mut leaves: Vec<BookLitter<'_>> = folders
        .par_iter()
        .map(|folder| litter::leaf(&context, folder))
        .collect();
    for folder in litters.values() {
        litter::use_pictures(&mut context, folder);
    }
    leaves.sort_by(|a, b| (&b.row.sort_key, &b.row.id).cmp(&(&a.row.sort_key, &a.row.id)));
    let all: Vec<FindingShown> = leaves.iter().flat_map(BookLitter::findings).collect();
    let mut findings: Vec<FindingShown> = all
        .iter()
        .filter(|f| f.finding.urgency > Urgency::Steady)
        .cloned()
        .collect();
    // Whoever has the most urgent finding comes first, with all that is said of it.
    let mut worst: BTreeMap<String, Urgency> = BTreeMap::new();
    for shown in &findings {
        let urgency = shown.finding.urgency;
        let known = worst.entry(shown.path.clone()).or_insert(urgency);
        *known = urgency.max(*known);
    }
    findings.sort_by_key(|f| Reverse(worst[&f.path]));
    // Each stands once on the page: what the round says is not said again below it.
    let round = crate::husbandry::rounds::of_kennel(records, figures, &records.owners.homes(), 1);
    let above_steady = findings.len();
    findings.retain(|shown| !round.says(&shown.litter_id, &shown.finding));
    let shown = rounds::shown_of(records, figures, round);
    let on_round = above_steady - findings.len();
    let findings = finding::joined(findings);
    let steady = all
        .iter()
        .filter(|f| f.finding.rule() == FindingRule::Steady)
        .count();
    let whelping: Vec<WhelpingSheet> = litters
        .values()
        .filter_map(|folder| whelping::of_litter(records, figures, folder))
        .chain([whelping::another(records)])
        .collect();
    let rows: Vec<LitterRow> = leaves.iter().map(|leaf| leaf.row.clone()).collect();
    Book {
        frame: BookFrame {
            kennel: kennel.name.to_string(),
            today: figures.today.into(),
            litters: rows
                .iter()
                .take(LITTERS_IN_MENU)
                .map(|r| (r.name.clone(), r.path.clone()))
                .collect(),
            more_litters: rows.len().saturating_sub(LITTERS_IN_MENU),
        },
        home: BookHomePage {
            rounds: rounds::sheet(&mut context, &shown),
            findings,
            on_round,
            steady,
            cautions: CAUTIONS,
            vet: vet(kennel),
            litters: rows,
            whelping: whelping
                .iter()
                .map(|sheet| (sheet.title.clone(), sheet.path.clone()))
                .collect(),
            warnings: problems
                .iter()
                .filter(|p| p.problem.severity == Severity::Warning)
                .map(warning)
                .collect(),
            kennel: settings::kennel_facts(kennel),
            policies: kennel.policies.iter().map(settings::policy).collect(),
            care_plan: settings::plan(care_plan),
            thresholds: settings::own_thresholds(&care_plan.thresholds),
        },
        dogs: dogs::page(&mut context),
        bitches: bitch::leaves(&context),
        kennel: kennel::page(&context),
        people: people::page(owners, records, figures),
        find: find::page(records),
        litters: leaves,
        weighing: litters
            .values()
            .filter_map(|folder| weighing::sheet(records, figures, folder))
            .collect(),
        whelping,
        clinic: litters
            .values()
            .filter_map(|folder| clinic::sheet(&context, folder))
            .collect(),
        pictures: context.used,
    }
}

/// What views are made from, and the pictures they have used so far.
#[derive(Debug)]
struct BookContext<'a> {
    records: &'a Records,
    figures: &'a Figures<'a>,
    album: &'a Album,
    ounces: bool,
    used: Used,
}

impl<'a> BookContext<'a> {
    /// The same with nothing used yet.
    fn another(&self) -> BookContext<'a> {
        BookContext {
            used: Used::new(),
            ..*self
        }
    }

    fn weight(&self, weight: Weight) -> String {
        weight.show(self.ounces)
    }
}

/// Collects what was said, leaving out what was not.
#[derive(Default)]
struct Facts(Vec<Fact>);

impl Facts {
    fn say(&mut self, label: &'static str, value: impl std::fmt::Display) -> &mut Self {
        self.0.push(Fact {
            label,
            value: value.to_string(),
        });
        self
    }

    fn maybe(&mut self, label: &'static str, value: Option<impl std::fmt::Display>) -> &mut Self {
        if let Some(value) = value {
            self.say(label, value);
        }
        self
    }

    fn day(&mut self, label: &'static str, day: Option<Day>) -> &mut Self {
        self.maybe(label, day.map(|d| Dated::from(d).words))
    }

    fn done(&mut self) -> Vec<Fact> {
        std::mem::take(&mut self.0)
    }
}

fn warning(located: &Located) -> WarningEntry {
    WarningEntry {
        place: format!("{}:{}", located.problem.place.file, located.line),
        message: located.problem.message.clone(),
        hint: located.problem.hint.clone(),
    }
}
