//! The kennel's own record, its changes to the care plan and its pages, for the export.
//!
//! In: `kennel.yaml`, `care-plan.yaml`, `pages/`. Out: the same, field by field.

use super::amounts::{Celsius, Pen, Seconds, Share, day, text, texts};
use crate::quantity::Span;
use crate::records::care_plan::{
    CareItem, CarePlan, OwnThresholds, VaccinationSchedule, WormingSchedule,
};
use crate::records::kennel::{Contact, Email, EmergencyVet, Kennel, Licence, Numbers, Units};
use crate::records::note::{Page, PageHead};
use crate::records::problem::key_path;
use crate::records::promise::{DatedPromise, Promise};
use schemars::JsonSchema;
use serde::Serialize;

/// The kennel.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct KennelExport {
    pub name: String,
    pub breed: String,
    pub summary: Option<String>,
    pub keeper: String,
    pub email: String,
    pub phone: Option<String>,
    pub town: Option<String>,
    pub address: Option<String>,
    pub emergency_vet_clinic: Option<String>,
    pub emergency_vet_phone: Option<String>,
    pub country: String,
    pub region: Option<String>,
    pub registries: Vec<String>,
    pub time_zone: String,
    pub units: &'static str,
    pub site: Option<String>,
    pub licence_number: Option<String>,
    pub licence_authority: Option<String>,
    pub business_number: Option<String>,
    pub source_number: Option<String>,
    pub breeder_number: Option<String>,
    pub supply_number: Option<String>,
    pub seen_with_dam: Option<bool>,
    pub leaving_age: Option<Seconds>,
    pub policies: Vec<PromiseExport>,
    pub as_of: Option<String>,
}

/// A sentence that the kennel stands by.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PromiseExport {
    pub text: String,
    /// Within how many days of leaving: `5 working days`.
    pub within: Option<String>,
}

fn policy(policy: &Promise) -> PromiseExport {
    let Promise { text, within } = policy;
    PromiseExport {
        text: text.to_string(),
        within: within.map(|within| within.to_string()),
    }
}

fn dated(promise: &DatedPromise) -> PromiseExport {
    let DatedPromise { text, within } = promise;
    PromiseExport {
        text: text.to_string(),
        within: Some(within.to_string()),
    }
}

pub(super) fn kennel(pen: &mut Pen<'_>, kennel: &Kennel) -> KennelExport {
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
        policies,
        as_of,
    } = kennel;
    let Contact {
        keeper,
        email: Email(email),
        phone,
        town,
        address,
        emergency_vet,
    } = contact;
    let Numbers {
        business,
        source,
        breeder,
        supply,
    } = numbers;
    let vet = emergency_vet
        .as_ref()
        .map(|EmergencyVet { clinic, phone }| (clinic.to_string(), phone.to_string()))
        .unzip();
    let licence = licence
        .as_ref()
        .map(|Licence { number, authority }| (number.to_string(), authority.to_string()))
        .unzip();
    "kennel.yaml".clone_into(&mut pen.file);
    KennelExport {
        name: name.to_string(),
        breed: breed.to_string(),
        summary: text(summary),
        keeper: keeper.to_string(),
        email: email.to_string(),
        phone: text(phone),
        town: text(town),
        address: text(address),
        emergency_vet_clinic: vet.0,
        emergency_vet_phone: vet.1,
        country: country.to_string(),
        region: text(region),
        registries: texts(registries),
        time_zone: time_zone.0.name().to_owned(),
        units: if *units == Units::Grams { "g" } else { "oz" },
        site: site.as_ref().map(|site| site.as_str().to_owned()),
        licence_number: licence.0,
        licence_authority: licence.1,
        business_number: text(business),
        source_number: text(source),
        breeder_number: text(breeder),
        supply_number: text(supply),
        seen_with_dam: *seen_with_dam,
        leaving_age: pen.span(*leaving_age, key_path!["leaving_age"]),
        policies: policies.iter().map(policy).collect(),
        as_of: day(*as_of),
    }
}

/// Changes to the care plan.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CarePlanExport {
    pub worming: &'static str,
    pub vaccination: &'static str,
    /// Whether leptospirosis is core, where that was written.
    pub leptospirosis: Option<bool>,
    pub thresholds: ThresholdsExport,
    pub items: Vec<CareItemExport>,
}

/// The keeper's own values for findings.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ThresholdsExport {
    pub early_loss: Option<Share>,
    pub total_loss: Option<Share>,
    pub birth_weight_by: Option<Seconds>,
    pub stand_still: Option<Seconds>,
    pub least_gain_week_1: Option<Share>,
    pub least_gain_later: Option<Share>,
    pub doubled_by: Option<Seconds>,
    pub light_at_birth: Option<Share>,
    pub behind_litter: Option<Share>,
    pub cold: Option<Celsius>,
    pub weigh_in_gap: Option<Seconds>,
}

/// One item of the plan.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CareItemExport {
    pub id: String,
    pub what: &'static str,
    pub name: Option<String>,
    pub from: Option<Seconds>,
    pub until: Option<Seconds>,
    pub skip: bool,
}

pub(super) fn care_plan(pen: &mut Pen<'_>, plan: &CarePlan) -> CarePlanExport {
    let CarePlan {
        worming,
        vaccination,
        leptospirosis,
        items,
        thresholds,
    } = plan;
    "care-plan.yaml".clone_into(&mut pen.file);
    CarePlanExport {
        worming: match worming {
            WormingSchedule::Esccap => "ESCCAP GL1",
            WormingSchedule::Capc => "CAPC",
        },
        vaccination: match vaccination {
            VaccinationSchedule::Wsava2024 => "WSAVA 2024",
            VaccinationSchedule::Wsava2010 => "WSAVA 2010",
            VaccinationSchedule::Aaha2022 => "AAHA 2022",
        },
        leptospirosis: *leptospirosis,
        thresholds: own_thresholds(pen, thresholds),
        items: items
            .iter()
            .enumerate()
            .map(|(i, item)| care_item(pen, i, item))
            .collect(),
    }
}

fn own_thresholds(pen: &mut Pen<'_>, own: &OwnThresholds) -> ThresholdsExport {
    let OwnThresholds {
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
    let at = |key: &str| key_path!["thresholds", key];
    ThresholdsExport {
        early_loss: pen.share(*early_loss, at("early_loss")),
        total_loss: pen.share(*total_loss, at("total_loss")),
        birth_weight_by: pen.span(*birth_weight_by, at("birth_weight_by")),
        stand_still: pen.span(*stand_still, at("stand_still")),
        least_gain_week_1: pen.share(*least_gain_week_1, at("least_gain_week_1")),
        least_gain_later: pen.share(*least_gain_later, at("least_gain_later")),
        doubled_by: pen.span(*doubled_by, at("doubled_by")),
        light_at_birth: pen.share(*light_at_birth, at("light_at_birth")),
        behind_litter: pen.share(*behind_litter, at("behind_litter")),
        cold: pen.temperature(*cold, at("cold")),
        weigh_in_gap: pen.span(*weigh_in_gap, at("weigh_in_gap")),
    }
}

fn care_item(pen: &mut Pen<'_>, i: usize, item: &CareItem) -> CareItemExport {
    let CareItem {
        id,
        what,
        name,
        from,
        until,
        skip,
    } = item;
    let mut span = |span: Option<Span>, key: &str| pen.span(span, key_path!["items", i, key]);
    CareItemExport {
        id: id.to_string(),
        what: what.word(),
        from: span(*from, "from"),
        until: span(*until, "until"),
        name: text(name),
        skip: *skip,
    }
}

/// A public page of the kennel's own.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PageExport {
    pub file: String,
    pub title: String,
    pub order: u32,
    pub summary: Option<String>,
    pub questions: Vec<String>,
    pub promises: Vec<PromiseExport>,
    /// Markdown.
    pub text: String,
}

pub(super) fn page(page: &Page) -> PageExport {
    let Page {
        slug,
        head:
            PageHead {
                title,
                order,
                summary,
                questions,
                promises,
            },
        text: body,
    } = page;
    PageExport {
        file: format!("pages/{slug}.md"),
        title: title.to_string(),
        order: *order,
        summary: text(summary),
        questions: questions.iter().map(ToString::to_string).collect(),
        promises: promises.iter().map(dated).collect(),
        text: body.clone(),
    }
}
