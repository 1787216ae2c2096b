//! One litter of the records beside the books of the kennel's region and registries.
//!
//! In: all records and one litter. Out: for each book its verdicts, and what its list of a litter's
//! record still misses. This is the only file of the rules that reads records; the rest
//! compares plain values.

use super::compare::compare_some;
use super::{
    AdvertFact, AdvertField, Chips, EarlierLitter, Limit, LitterHas, Mating, PaperStage, PuppyHas,
    RecordField, RuleBook, RuleSource, Subject, Verdict, books_for, compare, kinship,
    missing_in_advert, missing_in_record,
};
use crate::gestation::Due;
use crate::prospect::PairRules;
use crate::quantity::{Day, Id, Span};
use crate::records::dog::{Dog, Home};
use crate::records::kennel::{Kennel, Numbers};
use crate::records::litter::{Birth, Delivery, Litter, Offer, Puppy};
use crate::records::owners::Homes;
use crate::records::{LitterFolder, Records};

/// One book beside one litter.
#[derive(Debug, Clone)]
pub struct RuleBookFigures {
    /// The book.
    pub book: &'static RuleBook,
    /// A verdict for each of its rules that speaks of this litter.
    pub verdicts: Vec<Verdict>,
    /// What its advert asks for and the listing of a puppy that is to be had does not show.
    pub advert: Vec<MissingAdvert>,
    /// What its list of a litter's record asks for and the records do not hold, for litters that
    /// are born.
    pub missing: Vec<Missing>,
}

/// Something that a record should hold and does not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// What.
    pub field: RecordField,
    /// Names of the puppies; empty when it is missing for the litter.
    pub puppies: Vec<String>,
    /// Where the list comes from.
    pub source: RuleSource,
}

/// Something that an advert should show and does not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MissingAdvert {
    /// What.
    pub field: AdvertField,
    /// Names of the puppies.
    pub puppies: Vec<String>,
    /// Where the list comes from.
    pub source: RuleSource,
}

/// The books of the kennel: the law of its country and region, the registries it names, and those
/// its dogs are registered with.
#[must_use]
pub fn books(records: &Records) -> Vec<&'static RuleBook> {
    let kennel = &records.kennel;
    let own = kennel.registries.iter().map(|name| name.as_str());
    let registered = records
        .dogs
        .values()
        .filter(|dog| dog.home == Home::Here)
        .filter_map(|dog| Some(dog.registration.as_ref()?.registry.as_str()));
    let registries: Vec<&str> = own.chain(registered).collect();
    books_for(&kennel.country, kennel.region.as_deref(), &registries)
}

/// The latest leaving age that the law of the kennel's region asks for. Where it says "over", a day
/// more.
#[must_use]
pub fn leaving_age(kennel: &Kennel) -> Option<Span> {
    let days = |book: &&RuleBook| {
        book.rules.iter().find_map(|rule| match rule.limit {
            Limit::YoungestLeavingAge { days, over } => Some(u32::from(days) + u32::from(over)),
            _ => None,
        })
    };
    books_for(&kennel.country, kennel.region.as_deref(), &[])
        .iter()
        .filter_map(days)
        .max()
        .map(Span::days)
}

/// The books beside one litter. `age` is the age from which the kennel lets puppies go.
#[must_use]
pub fn of_litter(
    records: &Records,
    homes: &Homes<'_>,
    books: &[&'static RuleBook],
    folder: &LitterFolder,
    due: Option<Due>,
    age: Span,
) -> Vec<RuleBookFigures> {
    let mating = mating(records, folder, due, age);
    books
        .iter()
        .map(|book| RuleBookFigures {
            book,
            verdicts: compare(book, &mating),
            advert: missing_advert(records, book, folder),
            missing: folder
                .litter
                .birth
                .as_ref()
                .map(|birth| missing(homes, book, folder, birth))
                .unwrap_or_default(),
        })
        .collect()
}

fn is_section(birth: &Birth) -> bool {
    matches!(
        birth.how,
        Delivery::PlannedSection | Delivery::EmergencySection
    )
}

fn mating(records: &Records, folder: &LitterFolder, due: Option<Due>, age: Span) -> Mating {
    let litter = &folder.litter;
    let dog = |id| records.dogs.get(id);
    let born = |dog: Option<&Dog>| dog.and_then(|d| d.born);
    let whelped = litter.birth.as_ref().map(|b| b.on);
    let is_earlier = |other: Day| {
        whelped
            .or_else(|| litter.mated.iter().min().copied())
            .is_none_or(|this| other < this)
    };
    let of_dam = records
        .litters_of(&litter.dam)
        .filter(|other| other.id != folder.id);
    let earlier = of_dam
        .filter_map(|other| other.litter.birth.as_ref())
        .filter(|birth| is_earlier(birth.on))
        .map(earlier_litter);
    let without = |gone: bool| {
        folder
            .living()
            .filter(|p| p.chip.is_none() && (p.offer == Offer::Placed) == gone)
            .count()
    };
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    Mating {
        today: records.today,
        mated: litter.mated.to_vec(),
        thought_of: None,
        whelped,
        due: due.map(|d| (d.from, d.to)),
        dam_born: born(dog(&litter.dam)),
        sire_born: born(dog(&litter.sire)),
        earlier: earlier.collect(),
        // Of a dam that lives elsewhere nobody here knows all litters.
        all_earlier_known: dog(&litter.dam).is_some_and(|d| d.home == Home::Here),
        by_section: litter.birth.as_ref().map(is_section),
        kinship: kinship(&records.dogs, &litter.sire, &litter.dam),
        leaving_days: u16::try_from(age.as_days()).unwrap_or(u16::MAX),
        chips: Chips {
            chipped: count(folder.living().filter(|p| p.chip.is_some()).count()),
            here_without: count(without(false)),
            left_without: count(without(true)),
        },
    }
}

fn earlier_litter(birth: &Birth) -> EarlierLitter {
    EarlierLitter {
        born: birth.on,
        section: is_section(birth),
        for_build: birth.surgery.as_ref().and_then(|s| s.for_build),
    }
}

/// The books beside a mating that is only thought of, on one of some days. Rules on puppies are
/// left to the litter.
#[must_use]
pub fn of_pair(
    records: &Records,
    books: &[&'static RuleBook],
    sire: &Id,
    dam: &Id,
    days: (Day, Day),
    age: Span,
) -> Vec<PairRules> {
    let dog = |id| records.dogs.get(id);
    let of_dam = records.litters_of(dam);
    let mating = Mating {
        today: records.today,
        mated: Vec::new(),
        thought_of: Some(days),
        whelped: None,
        due: None,
        dam_born: dog(dam).and_then(|d| d.born),
        sire_born: dog(sire).and_then(|d| d.born),
        earlier: of_dam
            .filter_map(|other| other.litter.birth.as_ref())
            .map(earlier_litter)
            .collect(),
        all_earlier_known: dog(dam).is_some_and(|d| d.home == Home::Here),
        by_section: None,
        kinship: kinship(&records.dogs, sire, dam),
        leaving_days: u16::try_from(age.as_days()).unwrap_or(u16::MAX),
        chips: Chips::default(),
    };
    let verdicts = |about| move |limit: Limit| limit.about() == about;
    let of = |book: &&'static RuleBook| PairRules {
        book,
        of_dam: compare_some(book, &mating, verdicts(Subject::Dam)),
        of_both: compare_some(book, &mating, verdicts(Subject::Both)),
    };
    books
        .iter()
        .map(of)
        .filter(|rules| !rules.of_dam.is_empty() || !rules.of_both.is_empty())
        .collect()
}

fn missing(
    homes: &Homes<'_>,
    book: &RuleBook,
    folder: &LitterFolder,
    birth: &Birth,
) -> Vec<Missing> {
    let has = of_the_litter(&folder.litter, birth);
    let own: Vec<(String, PaperStage, Vec<RecordField>)> = folder
        .litter
        .puppies
        .iter()
        .map(|p| (p.shown_name(), stage(p), of_the_puppy(homes, folder, p)))
        .collect();
    let puppies: Vec<PuppyHas<'_>> = own
        .iter()
        .map(|(name, stage, has)| PuppyHas {
            name,
            stage: *stage,
            has,
        })
        .collect();
    missing_in_record(
        book,
        &LitterHas {
            has: &has,
            puppies: &puppies,
        },
    )
    .into_iter()
    .map(|entry| Missing {
        field: entry.field,
        puppies: entry.puppies.iter().map(|n| (*n).to_owned()).collect(),
        source: entry.source,
    })
    .collect()
}

/// What the listings of puppies that are to be had leave out, by field.
fn missing_advert(records: &Records, book: &RuleBook, folder: &LitterFolder) -> Vec<MissingAdvert> {
    let mut missing: Vec<MissingAdvert> = Vec::new();
    for puppy in folder
        .living()
        .filter(|p| p.offer == Offer::Available && folder.litter.announced)
    {
        for lacking in missing_in_advert(book, &shown(records, folder, puppy)) {
            match missing.iter_mut().find(|m| m.field == lacking.field) {
                Some(known) => known.puppies.push(puppy.shown_name()),
                None => missing.push(MissingAdvert {
                    field: lacking.field,
                    puppies: vec![puppy.shown_name()],
                    source: lacking.source,
                }),
            }
        }
    }
    missing
}

/// What the listing of a puppy shows, or would show where the region's rule asks for it.
fn shown(records: &Records, folder: &LitterFolder, puppy: &Puppy) -> Vec<AdvertFact> {
    let kennel = &records.kennel;
    let Numbers {
        business,
        source,
        breeder,
        supply,
    } = &kennel.numbers;
    let dam_chip = records
        .dogs
        .get(&folder.litter.dam)
        .is_some_and(|d| d.chip.is_some());
    [
        (AdvertFact::LicenceNumber, kennel.licence.is_some()),
        (AdvertFact::IssuingAuthority, kennel.licence.is_some()),
        (
            AdvertFact::Photo,
            folder
                .photos
                .iter()
                .any(|p| !p.private && p.puppy.as_ref() == Some(&puppy.id)),
        ),
        (AdvertFact::Age, folder.litter.birth.is_some()),
        (AdvertFact::CountryOfResidence, true),
        (AdvertFact::CountryOfOrigin, true),
        (AdvertFact::PuppyChip, puppy.chip.is_some()),
        (AdvertFact::DamChip, dam_chip),
        (AdvertFact::PedigreeOrNot, true),
        (AdvertFact::NumberInLitter, true),
        (AdvertFact::BusinessNumber, business.is_some()),
        (AdvertFact::SourceNumber, source.is_some()),
        (AdvertFact::BreederNumber, breeder.is_some()),
        (AdvertFact::SupplyNumber, supply.is_some()),
        (
            AdvertFact::SeenWithMother,
            kennel.seen_with_dam == Some(true),
        ),
    ]
    .into_iter()
    .filter_map(|(field, is_shown)| is_shown.then_some(field))
    .collect()
}

fn stage(puppy: &Puppy) -> PaperStage {
    match puppy.offer {
        _ if !puppy.is_alive() => PaperStage::Dead,
        Offer::Placed => PaperStage::Gone,
        _ => PaperStage::Here,
    }
}

/// What is written down of the litter. Numbers born are those of the list of puppies.
fn of_the_litter(litter: &Litter, birth: &Birth) -> Vec<RecordField> {
    let mut has = vec![
        RecordField::Parents,
        RecordField::WhelpingDate,
        RecordField::NumberBorn,
        RecordField::BornAliveAndDead,
    ];
    if !litter.mated.is_empty() {
        has.push(RecordField::MatingDates);
    }
    if crate::birth::placentas(litter).out.is_some() {
        has.push(RecordField::Placentas);
    }
    if birth.remarks.is_some() || litter.remarks.is_some() {
        has.push(RecordField::Events);
    }
    has
}

fn of_the_puppy(homes: &Homes<'_>, folder: &LitterFolder, puppy: &Puppy) -> Vec<RecordField> {
    let own = homes.of(&folder.id, puppy);
    let treated = folder
        .health
        .iter()
        .any(|e| e.is_for(&puppy.id) && (e.worming.is_some() || e.vaccination.is_some()));
    [
        (RecordField::BirthDate, true),
        (RecordField::Sex, true),
        (RecordField::BirthTime, puppy.born.is_some()),
        (RecordField::Colour, puppy.colour.is_some()),
        (RecordField::Markings, puppy.markings.is_some()),
        (RecordField::Weight, puppy.weight.is_some()),
        (RecordField::Treatments, treated),
        (RecordField::Chip, puppy.chip.is_some()),
        (
            RecordField::DateLeft,
            own.is_some_and(|(_, takes)| takes.leaves.is_some()),
        ),
        (
            RecordField::Buyer,
            own.is_some_and(|(family, _)| family.address.is_some()),
        ),
        (RecordField::DateOfDeath, puppy.on.is_some()),
    ]
    .into_iter()
    .filter_map(|(field, held)| held.then_some(field))
    .collect()
}
