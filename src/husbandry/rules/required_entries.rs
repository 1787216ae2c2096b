//! What an advert shows and what the record of a litter holds, beside what a book asks for.
//!
//! In: a book, and lists of what there is. Out: what is missing, by name, with its source. It looks
//! only at whether something is there, never at whether it is right, and a list that comes back
//! empty says nothing about what the book leaves out.

use super::{RuleBook, RuleSource};

/// Something that an advert shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum AdvertField {
    /// Number of the breeder's licence.
    LicenceNumber,
    /// Who issued the licence.
    IssuingAuthority,
    /// A picture in which the dog can be recognised.
    RecognisablePhoto,
    /// The puppy's age.
    Age,
    /// The country in which the puppy lives.
    CountryOfResidence,
    /// The country in which it was born.
    CountryOfOrigin,
    /// The puppy's chip number.
    PuppyChip,
    /// The puppy's chip number, or its mother's.
    PuppyOrDamChip,
    /// Whether the puppy is in a pedigree register or not.
    PedigreeRegisteredOrNot,
    /// How many puppies the litter has.
    NumberInLitter,
    /// The seller's business number, or the litter's number in the register.
    BusinessOrLitterNumber,
    /// The seller's source number.
    SourceNumber,
    /// The breeder's identification number.
    BreederNumber,
    /// The breeder's supply number.
    SupplyNumber,
    /// Puppies are shown together with their biological mother.
    WithBiologicalMother,
}

impl AdvertField {
    /// The field in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::LicenceNumber => "number of the breeding licence",
            Self::IssuingAuthority => "authority that issued the licence",
            Self::RecognisablePhoto => "recognisable picture of the puppy",
            Self::Age => "age of the puppy",
            Self::CountryOfResidence => "country in which the puppy lives",
            Self::CountryOfOrigin => "country in which the puppy was born",
            Self::PuppyChip => "chip number of the puppy",
            Self::PuppyOrDamChip => "chip number of the puppy or of its mother",
            Self::PedigreeRegisteredOrNot => "whether the puppy is in a pedigree register",
            Self::NumberInLitter => "number of puppies in the litter",
            Self::BusinessOrLitterNumber => {
                "business number of the seller, or number of the litter in the register"
            }
            Self::SourceNumber => "source number of the seller",
            Self::BreederNumber => "identification number of the breeder",
            Self::SupplyNumber => "supply number of the breeder",
            Self::WithBiologicalMother => "that the puppy is seen together with its mother",
        }
    }

    /// What meets it: any one of these.
    #[must_use]
    pub fn met_by(self) -> &'static [AdvertFact] {
        match self {
            Self::LicenceNumber => &[AdvertFact::LicenceNumber],
            Self::IssuingAuthority => &[AdvertFact::IssuingAuthority],
            Self::RecognisablePhoto => &[AdvertFact::Photo],
            Self::Age => &[AdvertFact::Age],
            Self::CountryOfResidence => &[AdvertFact::CountryOfResidence],
            Self::CountryOfOrigin => &[AdvertFact::CountryOfOrigin],
            Self::PuppyChip => &[AdvertFact::PuppyChip],
            Self::PuppyOrDamChip => &[AdvertFact::PuppyChip, AdvertFact::DamChip],
            Self::PedigreeRegisteredOrNot => &[AdvertFact::PedigreeOrNot],
            Self::NumberInLitter => &[AdvertFact::NumberInLitter],
            Self::BusinessOrLitterNumber => &[AdvertFact::BusinessNumber, AdvertFact::LitterNumber],
            Self::SourceNumber => &[AdvertFact::SourceNumber],
            Self::BreederNumber => &[AdvertFact::BreederNumber],
            Self::SupplyNumber => &[AdvertFact::SupplyNumber],
            Self::WithBiologicalMother => &[AdvertFact::SeenWithMother],
        }
    }
}

/// Something that an advert has to show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum AdvertFact {
    /// Number of the breeder's licence.
    LicenceNumber,
    /// Who issued the licence.
    IssuingAuthority,
    /// A picture of this puppy.
    Photo,
    /// Age or day of birth.
    Age,
    /// Country where the kennel is.
    CountryOfResidence,
    /// Country of birth.
    CountryOfOrigin,
    /// This puppy's chip number.
    PuppyChip,
    /// The dam's chip number.
    DamChip,
    /// A word on whether the litter is registered.
    PedigreeOrNot,
    /// How many puppies the litter has.
    NumberInLitter,
    /// The seller's business number.
    BusinessNumber,
    /// The litter's number in a pedigree register.
    LitterNumber,
    /// The seller's source number.
    SourceNumber,
    /// The breeder's identification number.
    BreederNumber,
    /// The breeder's supply number.
    SupplyNumber,
    /// A word that puppies are seen with their mother.
    SeenWithMother,
}

/// A field with its source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AdvertItem {
    /// The field.
    pub field: AdvertField,
    /// Where it comes from.
    pub source: RuleSource,
}

/// A field that an advert does not show yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MissingShown {
    /// The field; its words say what to add.
    pub field: AdvertField,
    /// Where it comes from.
    pub source: RuleSource,
    /// Whom to check with.
    pub check_with: &'static str,
}

/// What the book asks an advert to show and `shown` does not have, in the book's order.
#[must_use]
pub fn missing_in_advert(book: &RuleBook, shown: &[AdvertFact]) -> Vec<MissingShown> {
    let missing = book
        .advert
        .iter()
        .filter(|item| !item.field.met_by().iter().any(|one| shown.contains(one)));
    missing
        .map(|item| MissingShown {
            field: item.field,
            source: item.source,
            check_with: book.check_with,
        })
        .collect()
}

/// Something that the record of a litter holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RecordField {
    /// Days of mating.
    MatingDates,
    /// Where the mating took place, and who handled it.
    MatingPlace,
    /// Sire and dam by name and number.
    Parents,
    /// Day of whelping.
    WhelpingDate,
    /// How many were born.
    NumberBorn,
    /// How many were born alive, and how many dead.
    BornAliveAndDead,
    /// Placentas passed.
    Placentas,
    /// Anything else of weight at the birth, and its treatment.
    Events,
    /// The litter's number in the register.
    LitterNumber,
    /// Day of birth.
    BirthDate,
    /// Time of birth.
    BirthTime,
    /// Sex.
    Sex,
    /// Colour.
    Colour,
    /// Markings.
    Markings,
    /// Birth weight.
    Weight,
    /// Vaccinations and worming.
    Treatments,
    /// Chip number.
    Chip,
    /// Day on which the puppy left.
    DateLeft,
    /// Name and address of the new owner.
    Buyer,
    /// Papers given, and when.
    PapersGiven,
    /// Day of death.
    DateOfDeath,
}

/// Of what a record entry is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scope {
    /// Once for the litter.
    Litter,
    /// Once for the litter, if there was anything: never reported as missing.
    LitterIfAny,
    /// For each puppy, stillborn ones included.
    EachPuppy,
    /// For each puppy that is alive, here or gone.
    EachLiving,
    /// For each puppy that has left.
    EachGone,
    /// For each puppy that is dead.
    EachDead,
}

impl RecordField {
    /// The entry in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::MatingDates => "days of mating",
            Self::MatingPlace => "place of mating and who handled it",
            Self::Parents => "sire and dam with their numbers",
            Self::WhelpingDate => "day of whelping",
            Self::NumberBorn => "number of puppies born",
            Self::BornAliveAndDead => "numbers born alive and stillborn",
            Self::Placentas => "placentas passed",
            Self::Events => "other events at the birth",
            Self::LitterNumber => "number of the litter in the register",
            Self::BirthDate => "day of birth",
            Self::BirthTime => "time of birth",
            Self::Sex => "sex",
            Self::Colour => "colour",
            Self::Markings => "markings",
            Self::Weight => "birth weight",
            Self::Treatments => "vaccinations and worming",
            Self::Chip => "chip number",
            Self::DateLeft => "day on which it left",
            Self::Buyer => "name and address of the new owner",
            Self::PapersGiven => "papers given and when",
            Self::DateOfDeath => "day of death",
        }
    }

    /// Of what it is kept.
    #[must_use]
    pub fn scope(self) -> Scope {
        match self {
            Self::MatingDates
            | Self::MatingPlace
            | Self::Parents
            | Self::WhelpingDate
            | Self::NumberBorn
            | Self::BornAliveAndDead
            | Self::Placentas
            | Self::LitterNumber => Scope::Litter,
            Self::Events => Scope::LitterIfAny,
            Self::BirthDate
            | Self::BirthTime
            | Self::Sex
            | Self::Colour
            | Self::Markings
            | Self::Weight => Scope::EachPuppy,
            Self::Treatments | Self::Chip => Scope::EachLiving,
            Self::DateLeft | Self::Buyer | Self::PapersGiven => Scope::EachGone,
            Self::DateOfDeath => Scope::EachDead,
        }
    }
}

/// A record entry with its source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RecordItem {
    /// The entry.
    pub field: RecordField,
    /// Where it comes from.
    pub source: RuleSource,
}

/// Where a puppy is in its life.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PaperStage {
    /// Alive and here.
    Here,
    /// Alive and in its new home.
    Gone,
    /// Stillborn or died.
    Dead,
}

/// What is recorded of one puppy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PuppyHas<'a> {
    /// Its name, as reported back.
    pub name: &'a str,
    /// Where it is in its life.
    pub stage: PaperStage,
    /// Entries that are there.
    pub has: &'a [RecordField],
}

/// What is recorded of a litter that is born.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LitterHas<'a> {
    /// Entries of the litter that are there.
    pub has: &'a [RecordField],
    /// Its puppies, stillborn ones included.
    pub puppies: &'a [PuppyHas<'a>],
}

/// A record entry that is not there yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MissingEntry<'a> {
    /// The entry; its words say what to write down.
    pub field: RecordField,
    /// The puppies it is missing for, in the order given; empty when it is missing for the litter.
    pub puppies: Vec<&'a str>,
    /// Where it comes from.
    pub source: RuleSource,
    /// Whom to check with.
    pub check_with: &'static str,
}

/// What the book asks to be written down of a litter and the record does not hold, in the book's
/// order.
#[must_use]
pub fn missing_in_record<'a>(book: &RuleBook, litter: &LitterHas<'a>) -> Vec<MissingEntry<'a>> {
    let lacking = |item: &RecordItem| {
        let of = |meant: fn(PaperStage) -> bool| -> Vec<&'a str> {
            litter
                .puppies
                .iter()
                .filter(|p| meant(p.stage) && !p.has.contains(&item.field))
                .map(|p| p.name)
                .collect()
        };
        let puppies = match item.field.scope() {
            Scope::Litter => return (!litter.has.contains(&item.field)).then(Vec::new),
            Scope::LitterIfAny => return None,
            Scope::EachPuppy => of(|_| true),
            Scope::EachLiving => of(|stage| stage != PaperStage::Dead),
            Scope::EachGone => of(|stage| stage == PaperStage::Gone),
            Scope::EachDead => of(|stage| stage == PaperStage::Dead),
        };
        (!puppies.is_empty()).then_some(puppies)
    };
    let entry = |item: &RecordItem| {
        let puppies = lacking(item)?;
        Some(MissingEntry {
            field: item.field,
            puppies,
            source: item.source,
            check_with: book.check_with,
        })
    };
    book.litter_record.iter().filter_map(entry).collect()
}
