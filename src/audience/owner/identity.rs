//! Who the puppy is, who its parents are, and who bred it.
//!
//! In: kennel, puppy, dogs. Out: the parts of the record that name them. Of the parents only what
//! is published, and their registration.

use super::{
    Case, ChipRecord, IdentityRecord, InbreedingRecord, KennelRecord, ParentRecord,
    ScreeningRecord, VetRecord, iso, text,
};
use crate::husbandry::pedigree::Inbreeding;
use crate::quantity::{Day, Id};
use crate::records::Records;
use crate::records::dog::{Dog, Registration, Screening};
use crate::records::health::ChipImplant;
use crate::records::kennel::{Contact, Email, EmergencyVet, Kennel, Licence};
use crate::records::litter::Puppy;

pub(super) fn kennel(kennel: &Kennel) -> KennelRecord {
    let Kennel {
        name,
        breed: _,
        summary: _,
        contact,
        country,
        region,
        registries: _,
        time_zone,
        units: _,
        site,
        licence,
        numbers: _,
        seen_with_dam: _,
        leaving_age: _,
        policies: _,
        as_of: _,
    } = kennel;
    let Contact {
        keeper,
        email: Email(email),
        phone,
        town,
        address,
        emergency_vet,
    } = contact;
    KennelRecord {
        name: name.to_string(),
        keeper: keeper.to_string(),
        email: email.to_string(),
        phone: text(phone.as_ref()),
        address: text(address.as_ref().or(town.as_ref())),
        country: country.to_string(),
        region: text(region.as_ref()),
        time_zone: time_zone.0.name().to_owned(),
        site: site.as_ref().map(|site| site.as_str().to_owned()),
        licence: licence
            .as_ref()
            .map(|Licence { number, authority }| format!("{number}, {authority}")),
        emergency_vet: emergency_vet
            .as_ref()
            .map(|EmergencyVet { clinic, phone }| VetRecord {
                clinic: clinic.to_string(),
                phone: phone.to_string(),
            }),
    }
}

pub(super) fn puppy(case: &Case<'_>) -> IdentityRecord {
    let Puppy {
        id,
        name: _,
        registered_name,
        ribbon,
        sex,
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
        offer: _,
        about,
        registration,
        chip: _,
        weaned: _,
        returned: _,
        fate: _,
        on: _,
        cause: _,
        remarks: _,
    } = case.puppy;
    let dam = case.records.dogs.get(&case.folder.litter.dam);
    IdentityRecord {
        id: format!("{}/{id}", case.folder.id),
        name: case.puppy.shown_name(),
        registered_name: text(registered_name.as_ref()),
        species: "dog",
        breed: dam
            .and_then(|dam| dam.breed.as_ref())
            .unwrap_or(&case.records.kennel.breed)
            .to_string(),
        sex: sex.word(),
        colour: text(colour.as_ref()),
        markings: text(markings.as_ref()),
        ribbon: ribbon.map(|ribbon| ribbon.name()),
        born: iso(case.born()),
        litter: case.folder.litter.name.to_string(),
        chip: chip(case),
        registration: registered(registration.as_ref()),
        about: text(about.as_ref()),
    }
}

/// The chip: its number from the puppy or from the entry that put it in.
fn chip(case: &Case<'_>) -> Option<ChipRecord> {
    let entry = case
        .folder
        .health
        .iter()
        .filter(|e| e.is_for(&case.puppy.id))
        .find_map(|e| Some((e.day(), e.chip.as_ref()?)));
    let number = case
        .puppy
        .chip
        .as_ref()
        .or(entry.map(|(_, chip)| &chip.number))?;
    let (on, by, site) = match entry {
        Some((
            on,
            ChipImplant {
                number: _,
                by,
                site,
            },
        )) => (iso(on), text(by.as_ref()), text(site.as_ref())),
        None => (None, None, None),
    };
    Some(ChipRecord {
        number: number.to_string(),
        on,
        by,
        site,
    })
}

pub(super) fn parent(records: &Records, id: &Id) -> ParentRecord {
    let Some(dog) = records.dogs.get(id) else {
        return ParentRecord {
            name: id.to_string(),
            ..ParentRecord::default()
        };
    };
    let Dog {
        name,
        call_name,
        sex: _,
        born,
        died: _,
        colour,
        breed: _,
        sire: _,
        dam: _,
        home: _,
        about: _,
        photo: _,
        registration,
        chip: _,
        adult_weight: _,
        screening,
        seasons: _,
        neutered: _,
        retired: _,
        remarks: _,
    } = dog;
    ParentRecord {
        name: name.to_string(),
        call_name: text(call_name.as_ref()),
        colour: text(colour.as_ref()),
        born: iso(*born),
        registration: registered(registration.as_ref()),
        screening: screening
            .iter()
            .filter_map(|screening| published(screening, records.today))
            .collect(),
    }
}

fn published(screening: &Screening, today: Day) -> Option<ScreeningRecord> {
    let Screening {
        test,
        result,
        on,
        by,
        valid_until,
        publish,
    } = screening;
    publish.then(|| ScreeningRecord {
        test: test.to_string(),
        result: result.to_string(),
        on: iso(*on),
        by: text(by.as_ref()),
        valid_until: iso(*valid_until),
        has_run_out: screening.has_run_out(today),
    })
}

fn registered(registration: Option<&Registration>) -> Option<String> {
    registration.map(|Registration { registry, number }| format!("{registry} {number}"))
}

/// Nothing where too few ancestors are known to say.
pub(super) fn inbreeding(inbreeding: &Inbreeding) -> Option<InbreedingRecord> {
    let Inbreeding {
        coefficient: _,
        deepest,
        complete_generations,
    } = *inbreeding;
    Some(InbreedingRecord {
        coefficient: inbreeding.known()?,
        deepest,
        complete_generations,
    })
}
