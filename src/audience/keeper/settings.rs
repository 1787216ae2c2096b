//! The kennel as it is set up, for its keeper: its facts, its care plan, its own thresholds.

use super::{Fact, Facts, PlanRow};
use crate::husbandry::age::days_in_words;
use crate::husbandry::care::{Item, items};
use crate::records::care_plan::{CarePlan, OwnThresholds};
use crate::records::kennel::{Contact, Email, EmergencyVet, Kennel, Licence, Numbers, Units};
use crate::records::promise::Promise;
use crate::words::care;

pub(super) fn kennel_facts(kennel: &Kennel) -> Vec<Fact> {
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
    let Numbers {
        business,
        source,
        breeder,
        supply,
    } = numbers;
    let Contact {
        keeper,
        email: Email(email),
        phone,
        town,
        address,
        emergency_vet,
    } = contact;
    let mut facts = Facts::default();
    facts
        .say("Kennel", name)
        .say("Breed", breed)
        .maybe("Summary", summary.as_ref())
        .say("Keeper", keeper)
        .say("E-mail", email);
    facts
        .maybe("Telephone", phone.as_ref())
        .maybe("Town", town.as_ref())
        .maybe("Address", address.as_ref());
    facts.maybe(
        "Emergency vet",
        emergency_vet
            .as_ref()
            .map(|EmergencyVet { clinic, phone }| format!("{clinic}, {phone}")),
    );
    let registries = registries
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join(", ");
    facts
        .say("Country", country)
        .maybe("Region", region.as_ref())
        .maybe("Registries", (!registries.is_empty()).then_some(registries))
        .say("Time zone", time_zone.0.name());
    facts
        .say(
            "Weights shown in",
            if *units == Units::Grams {
                "grams"
            } else {
                "pounds and ounces"
            },
        )
        .maybe("Site", site.as_ref().map(|s| s.as_str()));
    facts.maybe(
        "Licence",
        licence
            .as_ref()
            .map(|Licence { number, authority }| format!("{number}, {authority}")),
    );
    facts
        .maybe("Business number", business.as_ref())
        .maybe("Source number", source.as_ref());
    facts
        .maybe("Breeder number", breeder.as_ref())
        .maybe("Supply number", supply.as_ref());
    facts.maybe(
        "Seen with the dam",
        seen_with_dam.map(|yes| if yes { "yes" } else { "no" }),
    );
    facts
        .say(
            "Leaving age",
            leaving_age.map_or_else(|| "56 days".to_owned(), |age| age.to_string()),
        )
        .day("Today is pinned to", *as_of);
    facts.done()
}

/// The whole plan as it is used: built-in items with the keeper's changes.
pub(super) fn plan(plan: &CarePlan) -> Vec<PlanRow> {
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
            let ages = if from == until {
                days_in_words(from)
            } else {
                format!("{} to {}", days_in_words(from), days_in_words(until))
            };
            let after = after_previous
                .map(|(least, most)| format!(", {least} to {most} days after the one before"))
                .unwrap_or_default();
            let after = format!(
                "{after}{}",
                every
                    .map(|every| format!(", {}", care::every(every)))
                    .unwrap_or_default()
            );
            let after = format!(
                "{after}{}",
                if *after_section {
                    ", after a section"
                } else {
                    ""
                }
            );
            let name = match (*only_between, *while_weaning) {
                (true, _) => format!("{name}, where the second came so early that it is needed"),
                (_, true) => format!("{name}, unless `weaned:` says that they were weaned earlier"),
                _ => name.clone(),
            };
            let against: Vec<&str> = against.iter().map(|disease| disease.name()).collect();
            let name = if against.is_empty() {
                name
            } else {
                format!("{name} (counts when against {})", against.join(", "))
            };
            PlanRow {
                id: id.clone(),
                what: what.word(),
                name,
                ages: format!("{}{after}", ages.replace("born today", "birth")),
                source,
            }
        })
        .collect()
}

pub(super) fn own_thresholds(own: &OwnThresholds) -> Vec<Fact> {
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
    let mut facts = Facts::default();
    facts
        .maybe("Loss by day 2", *early_loss)
        .maybe("Loss from the highest weight", *total_loss)
        .maybe("Birth weight regained by", *birth_weight_by);
    facts
        .maybe("Time without gain", *stand_still)
        .maybe("Least gain in week 1", *least_gain_week_1)
        .maybe("Least gain in weeks 2 to 4", *least_gain_later);
    facts
        .maybe("Birth weight doubled by", *doubled_by)
        .maybe("Light at birth", *light_at_birth)
        .maybe("Behind the litter", *behind_litter);
    facts
        .maybe("Cold", *cold)
        .maybe("Between weigh-ins", *weigh_in_gap)
        .done()
}

/// A policy with the days that become a date for families.
pub(super) fn policy(policy: &Promise) -> String {
    let Promise { text, within } = policy;
    within.map_or_else(
        || text.to_string(),
        |within| format!("{text} (within {within} of leaving)"),
    )
}
