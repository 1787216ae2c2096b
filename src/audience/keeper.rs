//! What the keeper sees: everything.
//!
//! In: records, figures and prepared pictures. Out: [`Book`]: views for the keeper's book. Every field of every record finds its place here; records are taken apart
//! without `..`, so that none is forgotten.

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
mod overview;
mod people;
mod planning;
mod problems;
mod puppy;
mod rounds;
mod rules;
mod thin;
mod weighing;
mod whelping;
mod words;

pub use ancestry::{AncestryShown, GeneRow, PairRow};
pub use bitch::{BitchLeaf, BitchPage, MatingSheet};
pub use care::{CareCell, CareRow, CareTable, PuppyCare, StandingRow};
pub use clinic::{ClinicSheet, EarlierLitter, SampleRow};
pub use dam::{DamPart, DamWeight, LookRow};
pub use dam_curve::{DamCurve, DamPoint};
pub use dogs::{DogEntry, DogsPage};
pub use export::{Export, export};
pub use find::{FindEntry, FindPage};
pub use finding::FindingShown;
pub use health::HealthRow;
pub use kennel::{DamRow, FiguresPage, GrowthBandRow, SurvivalRow};
pub use litter::{ArrivalRow, LitterLeaf, LitterPage, LitterPages, LitterRow, NoteEntry, WeighInRow, WeighInTable};
pub use overview::OverviewRow;
pub use people::{BeforeLeaving, FamilyEntry, PeoplePage, TakenRow, WaitingEntry};
pub use planning::{Planning, SectionShown, StepRow, WindowRow};
pub use problems::{LineShown, Piece, ProblemShown, ProblemsPage, RelatedShown};
pub use puppy::{GrowthRow, PuppyLink, PuppyPage};
pub use rounds::{
    BitchLine, BitchNote, PuppyTag, RoundsSheet, RoundsShown, TaskGroup, TaskLine, TaskShown, bitch_days, days as task_days, in_full, shown as rounds,
};
pub use rules::{BookShown, RuleRow, RulesShown};
pub use weighing::{AheadFinding, AheadShown, KnownWeighIn, LimitShown, VeryLow, WeighedPuppy, WeighingSheet};
pub use whelping::{BirthWeights, Counted, VigourItem, WhelpingSheet};

use super::{Album, Dated, Keeper, Used, views};
use crate::husbandry::Figures;
use crate::husbandry::age::days_in_words;
use crate::husbandry::care::{Item, items};
use crate::husbandry::findings::CAUTIONS;
use crate::quantity::{Day, Weight};
use crate::records::Records;
use crate::records::care_plan::{CarePlan, Thresholds};
use crate::records::kennel::{Contact, Email, EmergencyVet, Kennel, Licence, Numbers, Units};
use crate::records::problem::{Located, Severity};
use crate::records::promise::Promise;
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// The whole keeper's book.
#[derive(Debug)]
pub struct Book<'a> {
    /// What every page shows around itself.
    pub frame: BookFrame,
    /// The first page.
    pub home: HomePage,
    /// A page for each litter, to be made when it is needed.
    pub litters: Vec<LitterLeaf<'a>>,
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
    /// Whelping sheets for the phone: one for each litter that is expected or was just born, and one for a litter without records.
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

/// Litters that the menu of every page names: with all of them, a book of thousands of litters would be menus.
const LITTERS_IN_MENU: usize = 10;

/// The first page of the book.
#[derive(Debug, Clone, Serialize)]
pub struct HomePage {
    /// What to do today and tomorrow.
    pub rounds: RoundsSheet,
    /// Findings of all litters, the most urgent first, one line for each puppy; steady puppies are left to their litter's page.
    pub findings: Vec<FindingShown>,
    /// How many others the round says.
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
    Some(VetShown { clinic: clinic.to_string(), phone: phone.to_string() })
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
    Keeper: BookFrame, RoundsShown, Export, HomePage, LitterPage, PuppyPage, FindPage, DogsPage, BitchPage, FiguresPage, PeoplePage, GuidePage, ProblemsPage, WeighingSheet,
    WhelpingSheet, ClinicSheet
);

/// Everything for the keeper.
#[must_use]
pub fn book<'a>(records: &'a Records, figures: &'a Figures<'a>, album: &'a Album, problems: &[Located]) -> Book<'a> {
    let Records { today: _, kennel, care_plan, dogs: _, litters, owners, pages: _, portraits: _, print: _ } = records;
    let ounces = kennel.units == Units::Ounces;
    let mut desk = Desk { records, figures, album, ounces, used: Used::new() };
    // What a young litter is held against; shown numbers read back as the same.
    let of_kennel = format!("{:?} {:?}", figures.kennel.usual, figures.kennel.growth);
    let mut leaves: Vec<LitterLeaf<'_>> = litters.par_iter().map(|(_, folder)| litter::leaf(&desk, folder, &of_kennel)).collect();
    for folder in litters.values() {
        litter::use_pictures(&mut desk, folder);
    }
    leaves.sort_by(|a, b| (&b.row.sort_key, &b.row.id).cmp(&(&a.row.sort_key, &a.row.id)));
    let all: Vec<FindingShown> = leaves.iter().flat_map(LitterLeaf::findings).collect();
    let order = |f: &FindingShown| ["call the vet", "watch", "steady"].iter().position(|u| *u == f.urgency);
    let mut findings: Vec<FindingShown> = all.iter().filter(|f| f.urgency != "steady").cloned().collect();
    // Whoever has the most urgent finding comes first, with all that is said of it.
    let mut worst: BTreeMap<String, Option<usize>> = BTreeMap::new();
    for finding in &findings {
        let known = worst.entry(finding.path.clone()).or_insert_with(|| order(finding));
        *known = order(finding).min(*known);
    }
    findings.sort_by_key(|f| worst[&f.path]);
    // Each stands once on the page: what the round says is not said again below it.
    let shown = rounds::shown(records, figures, 1);
    let above_steady = findings.len();
    findings.retain(|finding| !shown.says(finding));
    let on_round = above_steady - findings.len();
    let findings = finding::joined(findings);
    let steady = all.iter().filter(|f| f.rule == "steady").count();
    let whelping: Vec<WhelpingSheet> =
        litters.values().filter_map(|folder| whelping::of_litter(&desk, folder)).chain([whelping::another(&desk)]).collect();
    let rows: Vec<LitterRow> = leaves.iter().map(|leaf| leaf.row.clone()).collect();
    Book {
        frame: BookFrame {
            kennel: kennel.name.to_string(),
            today: figures.today.into(),
            litters: rows.iter().take(LITTERS_IN_MENU).map(|r| (r.name.clone(), r.path.clone())).collect(),
            more_litters: rows.len().saturating_sub(LITTERS_IN_MENU),
        },
        home: HomePage {
            rounds: rounds::sheet(&mut desk, &shown),
            findings,
            on_round,
            steady,
            cautions: CAUTIONS,
            vet: vet(kennel),
            litters: rows,
            whelping: whelping.iter().map(|sheet| (sheet.title.clone(), sheet.path.clone())).collect(),
            warnings: problems.iter().filter(|p| p.problem.severity == Severity::Warning).map(warning).collect(),
            kennel: kennel_facts(kennel),
            policies: kennel.policies.iter().map(policy).collect(),
            care_plan: plan(care_plan),
            thresholds: own_thresholds(&care_plan.thresholds),
        },
        dogs: dogs::page(&mut desk),
        bitches: bitch::leaves(&desk),
        kennel: kennel::page(&desk),
        people: people::page(owners, records, figures),
        find: find::page(records),
        litters: leaves,
        weighing: litters.values().filter_map(|folder| weighing::sheet(records, figures, folder)).collect(),
        whelping,
        clinic: litters.values().filter_map(|folder| clinic::sheet(&desk, folder)).collect(),
        pictures: desk.used,
    }
}

/// Where views are made.
#[derive(Debug)]
struct Desk<'a> {
    records: &'a Records,
    figures: &'a Figures<'a>,
    album: &'a Album,
    ounces: bool,
    used: Used,
}

impl<'a> Desk<'a> {
    /// The same with nothing used yet.
    fn another(&self) -> Desk<'a> {
        Desk { used: Used::new(), ..*self }
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
        self.0.push(Fact { label, value: value.to_string() });
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

fn kennel_facts(kennel: &Kennel) -> Vec<Fact> {
    let Kennel {
        name,
        breed,
        summary,
        contact,
        country,
        region,
        registries,
        time_zone,
        units,
        site,
        licence,
        numbers,
        seen_with_dam,
        leaving_age,
        policies: _,
        as_of,
    } = kennel;
    let Numbers { business, source, breeder, supply } = numbers;
    let Contact { keeper, email: Email(email), phone, town, address, emergency_vet } = contact;
    let mut facts = Facts::default();
    facts.say("Kennel", name).say("Breed", breed).maybe("Summary", summary.as_ref()).say("Keeper", keeper).say("E-mail", email);
    facts.maybe("Telephone", phone.as_ref()).maybe("Town", town.as_ref()).maybe("Address", address.as_ref());
    facts.maybe("Emergency vet", emergency_vet.as_ref().map(|EmergencyVet { clinic, phone }| format!("{clinic}, {phone}")));
    let registries = registries.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
    facts
        .say("Country", country)
        .maybe("Region", region.as_ref())
        .maybe("Registries", (!registries.is_empty()).then_some(registries))
        .say("Time zone", time_zone.0.name());
    facts
        .say("Weights shown in", if *units == Units::Grams { "grams" } else { "pounds and ounces" })
        .maybe("Site", site.as_ref().map(|s| s.as_str()));
    facts.maybe("Licence", licence.as_ref().map(|Licence { number, authority }| format!("{number}, {authority}")));
    facts.maybe("Business number", business.as_ref()).maybe("Source number", source.as_ref());
    facts.maybe("Breeder number", breeder.as_ref()).maybe("Supply number", supply.as_ref());
    facts.maybe("Seen with the dam", seen_with_dam.map(|yes| if yes { "yes" } else { "no" }));
    facts.say("Leaving age", leaving_age.map_or_else(|| "56 days".to_owned(), |age| age.to_string())).day("Today is pinned to", *as_of);
    facts.done()
}

/// The whole plan as it is used: built-in items with the keeper's changes.
fn plan(plan: &CarePlan) -> Vec<PlanRow> {
    items(plan)
        .into_iter()
        .map(|item| {
            let Item {
                id,
                what,
                name,
                from,
                until,
                after_previous,
                source,
                every,
                after_section,
                urgent: _,
                against,
                is_last: _,
                only_between,
                while_weaning,
            } = &*item;
            let (from, until) = (*from, *until);
            let ages = if from == until { days_in_words(from) } else { format!("{} to {}", days_in_words(from), days_in_words(until)) };
            let after = after_previous.map(|(least, most)| format!(", {least} to {most} days after the one before")).unwrap_or_default();
            let after = format!("{after}{}", every.map(|every| format!(", {}", every.words())).unwrap_or_default());
            let after = format!("{after}{}", if *after_section { ", after a section" } else { "" });
            let name = match (*only_between, *while_weaning) {
                (true, _) => format!("{name}, where the second came so early that it is needed"),
                (_, true) => format!("{name}, unless `weaned:` says that they were weaned earlier"),
                _ => name.clone(),
            };
            let against: Vec<&str> = against.iter().map(|disease| disease.name()).collect();
            let name = if against.is_empty() { name } else { format!("{name} (counts when against {})", against.join(", ")) };
            PlanRow { id: id.clone(), what: what.word(), name, ages: format!("{}{after}", ages.replace("born today", "birth")), source }
        })
        .collect()
}

fn own_thresholds(own: &Thresholds) -> Vec<Fact> {
    let Thresholds {
        early_loss,
        total_loss,
        birth_weight_by,
        stand_still,
        least_gain_week_1,
        least_gain_later,
        doubled_by,
        light_at_birth,
        behind_litter,
        cold,
        weigh_in_gap,
    } = own;
    let mut facts = Facts::default();
    facts.maybe("Loss by day 2", *early_loss).maybe("Loss from the highest weight", *total_loss).maybe("Birth weight regained by", *birth_weight_by);
    facts
        .maybe("Time without gain", *stand_still)
        .maybe("Least gain in week 1", *least_gain_week_1)
        .maybe("Least gain in weeks 2 to 4", *least_gain_later);
    facts.maybe("Birth weight doubled by", *doubled_by).maybe("Light at birth", *light_at_birth).maybe("Behind the litter", *behind_litter);
    facts.maybe("Cold", *cold).maybe("Between weigh-ins", *weigh_in_gap).done()
}

/// A policy with the days that become a date for families.
fn policy(policy: &Promise) -> String {
    let Promise { text, within } = policy;
    within.map_or_else(|| text.to_string(), |within| format!("{text} (within {within} of leaving)"))
}
