//! Breed registries: they bind those who register with them.
//!
//! In: nothing. Out: one book each.

use super::super::{Dams, Keep, Limit, Oldest, Relation, RuleBook};
use super::{REGISTRY, RecordField, holding, read, rule, second_hand};

/// What two registries ask to avoid.
const CLOSEST: Limit = Limit::NoCloseMating {
    relations: &[Relation::ParentAndOffspring, Relation::FullSiblings],
};

const KENNEL_CLUB: super::RuleSource = read(
    "The Kennel Club (UK), litter registration questions and answers, for litters born from 1 \
     January 2012 (version not noted)",
);

#[rustfmt::skip] // a table
pub(super) const THE_KENNEL_CLUB: RuleBook = RuleBook {
    id: "the-kennel-club",
    country: "GB",
    also: &[
        "kennel-club",
        "kc",
        "royal-kennel-club",
        "the-kennel-club-uk",
        "kennel-club-uk",
    ],
    name: "The Kennel Club (UK)",
    check_with: "The Kennel Club, registrations",
    rules: &[
        rule("the-kennel-club-dam-youngest", Limit::DamYoungestAtMating { months: 12 },
            KENNEL_CLUB),
        rule("the-kennel-club-dam-oldest", Limit::DamOldestAtWhelping(Oldest::before(96)),
            KENNEL_CLUB)
            .noting(
                "Exceptions on application before the mating, for a dam with an earlier \
                 registered litter and a vet's letter (rule B22c(2))"),
        rule("the-kennel-club-litters-in-life", Limit::LittersInLife { most: 4 }, KENNEL_CLUB),
        rule("the-kennel-club-after-sections", Limit::NoMatingAfterSections { sections: 2 },
            KENNEL_CLUB)
            .noting(
                "Exceptions for scientifically proven welfare reasons, on application before the \
                 mating"),
        rule("the-kennel-club-close-mating", CLOSEST, KENNEL_CLUB)
            .noting(
                "The words are father and daughter, mother and son, brother and sister; we read \
                 the last as full siblings. Exceptions are rare"),
    ],
    gaps: "The dam is resident in the United Kingdom when she whelps, and both parents are \
           registered; neither is compared. Breed rules and health tests are not here.",
    ..REGISTRY
};

const AKC_AGES: super::RuleSource = read(
    "American Kennel Club, Rules Applying to Registration and Discipline, chapter 3 section 5 \
     (version not noted)",
);
const AKC_RECORDS: super::RuleSource = second_hand(
    "American Kennel Club, regulations for record keeping, as breeders' pages of 2005 to 2015 \
     give them",
);
const AKC_EXCEPTION: &str = "Otherwise the registry asks for proof";
const AKC_OVER: &str = "Otherwise the registry asks for proof. The text says over twelve years of \
                        age, which we read as after the twelfth birthday";

#[rustfmt::skip] // a table
pub(super) const AKC: RuleBook = RuleBook {
    id: "akc",
    country: "US",
    also: &["american-kennel-club"],
    name: "American Kennel Club",
    check_with: "the American Kennel Club, registrations",
    rules: &[
        rule("akc-dam-youngest", Limit::DamYoungestAtMating { months: 8 }, AKC_AGES)
            .noting(AKC_EXCEPTION),
        rule("akc-dam-oldest", Limit::DamOldestAtMating(Oldest::through(144), Dams::All), AKC_AGES)
            .noting(AKC_OVER),
        rule("akc-sire-youngest", Limit::SireYoungestAtMating { months: 7 }, AKC_AGES)
            .noting(AKC_EXCEPTION),
        rule("akc-sire-oldest", Limit::SireOldestAtMating(Oldest::through(144)), AKC_AGES)
            .noting(AKC_OVER),
    ],
    litter_record: &holding(AKC_RECORDS, [
        RecordField::MatingDates, RecordField::MatingPlace, RecordField::Parents,
        RecordField::WhelpingDate, RecordField::NumberBorn, RecordField::LitterNumber,
        RecordField::Sex, RecordField::Colour, RecordField::Markings, RecordField::DateLeft,
        RecordField::Buyer, RecordField::PapersGiven, RecordField::DateOfDeath,
    ]),
    keep: Some(Keep {
        years: 5,
        after: "after the dog has died, was sold or was given away",
        source: AKC_RECORDS,
    }),
    gaps: "Records are written at once, and kept on paper too where they are kept on a computer. \
           Records of each dog, and parentage tests, are not listed here.",
    ..REGISTRY
};

const DUTCH: super::RuleSource = read(
    "Raad van Beheer, Kynologisch Reglement, articles VIII.1 and VIII.2, on its own page, version \
     of 1 December 2020",
);

#[rustfmt::skip] // a table
pub(super) const RAAD_VAN_BEHEER: RuleBook = RuleBook {
    id: "raad-van-beheer",
    country: "NL",
    also: &[
        "nhsb",
        "dutch-kennel-club",
        "raad-van-beheer-op-kynologisch-gebied",
    ],
    name: "Raad van Beheer (Dutch Kennel Club)",
    check_with: "the Raad van Beheer",
    rules: &[
        rule("raad-van-beheer-dam-youngest", Limit::DamYoungestAtMating { months: 16 }, DUTCH),
        rule("raad-van-beheer-first-litter-oldest",
            Limit::DamOldestAtMating(Oldest::through(72), Dams::WithoutEarlierLitter), DUTCH)
            .noting("For a dam that has had no puppies"),
        rule("raad-van-beheer-dam-oldest",
            Limit::DamOldestAtMating(Oldest::through(108), Dams::WithEarlierLitter),
            second_hand(
                "Raad van Beheer, Kynologisch Reglement, article VIII.1(3), changed on 17 April \
                 2020, as a breed club's page gives it"
            ))
            .noting(
                "For a dam that has had puppies; for matings from 17 April 2020, before that 96 \
                 months. A breed club may be stricter: ask yours"),
        rule("raad-van-beheer-litters-in-life", Limit::LittersInLife { most: 5 }, DUTCH)
            .noting(
                "No mating after the day on which the fifth litter is born; a litter of dead or \
                 unripe puppies counts"),
        rule("raad-van-beheer-between-births", Limit::MonthsBetweenBirths { months: 12 }, DUTCH)
            .noting(
                "Counted from birth to birth since 2016; older pages count 10 and 24 months from \
                 mating to mating"),
        rule("raad-van-beheer-close-mating", Limit::NoCloseMating { relations: &Relation::ALL },
            DUTCH)
            .noting("Half siblings since 1 December 2020"),
    ],
    gaps: "Breed clubs have further rules of their own.",
    ..REGISTRY
};

const DOGS_VICTORIA_RECORDS: super::RuleSource =
    read("Dogs Victoria, Regulations part 20, 20.1.22, in its gazette of February 2023");

#[rustfmt::skip] // a table
pub(super) const DOGS_VICTORIA: RuleBook = RuleBook {
    id: "dogs-victoria",
    country: "AU",
    also: &["victorian-canine-association"],
    name: "Dogs Victoria",
    applies_to: "its members",
    check_with: "Dogs Victoria",
    litter_record: &holding(DOGS_VICTORIA_RECORDS, [
        RecordField::MatingDates, RecordField::Parents, RecordField::WhelpingDate,
        RecordField::BornAliveAndDead, RecordField::Events, RecordField::BirthDate,
        RecordField::Sex, RecordField::Colour, RecordField::Markings, RecordField::Chip,
        RecordField::Treatments, RecordField::Buyer,
    ]),
    gaps: "Chip numbers are recorded at 8 weeks. Health declarations, returned dogs and the rest \
           of the part are not listed here, nor are its rules on ages and litters.",
    ..REGISTRY
};

#[rustfmt::skip] // a table
pub(super) const FCI: RuleBook = RuleBook {
    id: "fci",
    country: "BE",
    also: &["federation-cynologique-internationale"],
    name: "FCI",
    applies_to: "breeders under a member of the federation; it is a recommendation",
    check_with: "your national kennel club, which sets the ages itself",
    rules: &[
        rule("fci-close-mating", CLOSEST,
            second_hand(
                "FCI, international breeding strategies, as a summary gives them (version not \
                 noted)"
            ))
            .noting("A recommendation"),
    ],
    gaps: "Ages, numbers of litters and sections are left to the members.",
    ..REGISTRY
};
