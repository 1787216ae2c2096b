//! What the keeper sees: everything.
//!
//! In: records, figures and prepared pictures. Out: [`Book`]: views for the keeper's book. Every field of every record finds its place here; records are taken apart
//! without `..`, so that none is forgotten.

mod dogs;
mod health;
mod litter;
mod people;
mod puppy;

pub use dogs::{DogEntry, DogsPage};
pub use health::HealthRow;
pub use litter::{LitterPage, LitterRow, NoteEntry, WeighInRow, WeighInTable};
pub use people::{FamilyEntry, PeoplePage, TakenRow, WaitingEntry};
pub use puppy::{ChartLine, ChartPoint, GrowthRow, PuppyEntry};

use super::{Album, Dated, Keeper, RibbonShown, Used, views};
use crate::husbandry::Figures;
use crate::husbandry::findings::CAUTIONS;
use crate::quantity::{Day, Span, Text, Weight};
use crate::records::Records;
use crate::records::care_plan::{CareItem, CareKind, CarePlan, Thresholds};
use crate::records::kennel::{Contact, Email, EmergencyVet, Kennel, Licence, Units};
use crate::records::problem::{Located, Severity};
use serde::Serialize;

/// The whole keeper's book.
#[derive(Debug, Clone)]
pub struct Book {
    /// What every page shows around itself.
    pub frame: BookFrame,
    /// The first page.
    pub home: HomePage,
    /// A page for each litter.
    pub litters: Vec<LitterPage>,
    /// All dogs.
    pub dogs: DogsPage,
    /// Families and waiting list.
    pub people: PeoplePage,
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
    /// Litters: name and path below the root of the book.
    pub litters: Vec<(String, String)>,
}

/// The first page of the book.
#[derive(Debug, Clone, Serialize)]
pub struct HomePage {
    /// Findings of all litters, the most urgent first; steady puppies are left to their litter's page.
    pub findings: Vec<FindingShown>,
    /// How many puppies are steady.
    pub steady: usize,
    /// The usual cautions, printed with every finding.
    pub cautions: &'static str,
    /// Litters, newest first.
    pub litters: Vec<LitterRow>,
    /// Warnings about the records; errors never get this far.
    pub warnings: Vec<WarningEntry>,
    /// The kennel's own record.
    pub kennel: Vec<Fact>,
    /// Its policies.
    pub policies: Vec<String>,
    /// Its own changes to the care plan.
    pub care_plan: Vec<PlanRow>,
    /// Its own values for findings.
    pub thresholds: Vec<Fact>,
}

/// A finding, wherever findings are shown.
#[derive(Debug, Clone, Serialize)]
pub struct FindingShown {
    /// `steady`, `watch` or `call the vet`.
    pub urgency: &'static str,
    /// Stable name of the rule.
    pub rule: &'static str,
    /// The puppy, or the litter.
    pub who: String,
    /// The puppy's ribbon.
    pub ribbon: Option<RibbonShown>,
    /// Name of the litter.
    pub litter: String,
    /// Where it stands in the book, below its root.
    pub path: String,
    /// What was noticed.
    pub what: String,
    /// The value it was measured against.
    pub limit: String,
    /// Where that value comes from.
    pub source: &'static str,
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
}

views!(Keeper: BookFrame, HomePage, LitterPage, DogsPage, PeoplePage);

/// Everything for the keeper.
#[must_use]
pub fn book(records: &Records, figures: &Figures, album: &Album, problems: &[Located]) -> Book {
    let Records { today: _, kennel, care_plan, dogs: _, litters, owners, pages: _, portraits: _ } = records;
    let mut desk = Desk { records, figures, album, ounces: kennel.units == Units::Ounces, used: Used::new() };
    let mut pages: Vec<LitterPage> = litters.values().map(|folder| litter::page(&mut desk, folder)).collect();
    pages.sort_by(|a, b| (&b.row.sort_key, &b.row.id).cmp(&(&a.row.sort_key, &a.row.id)));
    let all: Vec<&FindingShown> = pages.iter().flat_map(|p| &p.findings).collect();
    let order = |f: &FindingShown| ["call the vet", "watch", "steady"].iter().position(|u| *u == f.urgency);
    let mut findings: Vec<FindingShown> = all.iter().filter(|f| f.urgency != "steady").map(|f| (*f).clone()).collect();
    findings.sort_by_key(order);
    let steady = all.len() - findings.len();
    let rows: Vec<LitterRow> = pages.iter().map(|p| p.row.clone()).collect();
    Book {
        frame: BookFrame {
            kennel: kennel.name.to_string(),
            today: figures.today.into(),
            litters: rows.iter().map(|r| (r.name.clone(), r.path.clone())).collect(),
        },
        home: HomePage {
            findings,
            steady,
            cautions: CAUTIONS,
            litters: rows,
            warnings: problems.iter().filter(|p| p.problem.severity == Severity::Warning).map(warning).collect(),
            kennel: kennel_facts(kennel),
            policies: kennel.policies.iter().map(ToString::to_string).collect(),
            care_plan: plan(care_plan),
            thresholds: own_thresholds(&care_plan.thresholds),
        },
        dogs: dogs::page(&mut desk),
        people: people::page(owners, records),
        litters: pages,
        pictures: desk.used,
    }
}

/// Where views are made.
struct Desk<'a> {
    records: &'a Records,
    figures: &'a Figures,
    album: &'a Album,
    ounces: bool,
    used: Used,
}

impl Desk<'_> {
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
    let Kennel { name, breed, summary, contact, country, region, time_zone, units, site, licence, leaving_age, policies: _, as_of } = kennel;
    let Contact { keeper, email: Email(email), phone, town, address, emergency_vet } = contact;
    let mut facts = Facts::default();
    facts.say("Kennel", name).say("Breed", breed).maybe("Summary", summary.as_ref()).say("Keeper", keeper).say("E-mail", email);
    facts.maybe("Telephone", phone.as_ref()).maybe("Town", town.as_ref()).maybe("Address", address.as_ref());
    facts.maybe("Emergency vet", emergency_vet.as_ref().map(|EmergencyVet { clinic, phone }| format!("{clinic}, {phone}")));
    facts.say("Country", country).maybe("Region", region.as_ref()).say("Time zone", time_zone.0.name());
    facts
        .say("Weights shown in", if *units == Units::Grams { "grams" } else { "pounds and ounces" })
        .maybe("Site", site.as_ref().map(|s| s.as_str()));
    facts.maybe("Licence", licence.as_ref().map(|Licence { number, authority }| format!("{number}, {authority}")));
    facts.say("Leaving age", leaving_age.map_or_else(|| "56 days".to_owned(), |age| age.to_string())).day("Today is pinned to", *as_of);
    facts.done()
}

fn plan(plan: &CarePlan) -> Vec<PlanRow> {
    let CarePlan { items, thresholds: _ } = plan;
    let age = |span: Option<Span>| span.map(|s| crate::husbandry::age::in_words(i64::try_from(s.as_days()).unwrap_or(0)));
    items
        .iter()
        .map(|CareItem { id, what, name, from, until, skip }| PlanRow {
            id: id.to_string(),
            what: care_kind(*what),
            name: name.as_ref().map_or_else(String::new, Text::to_string),
            ages: match (skip, age(*from), age(*until)) {
                (true, _, _) => "left out".to_owned(),
                (false, Some(from), Some(until)) => format!("{from} to {until}"),
                (false, Some(from), None) => format!("from {from}"),
                (false, None, Some(until)) => format!("until {until}"),
                (false, None, None) => String::new(),
            },
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

fn care_kind(kind: CareKind) -> &'static str {
    match kind {
        CareKind::Worming => "worming",
        CareKind::Vaccination => "vaccination",
        CareKind::Chip => "chip",
        CareKind::Check => "check",
        CareKind::Milestone => "milestone",
        CareKind::Socialisation => "socialisation",
    }
}
