//! Breed registries: they bind those who register with them.
//!
//! In: nothing. Out: one book each.

use super::super::{Dams, Keep, Limit, Oldest, Relation, Rule, RuleBook, RuleMaker};
use super::{RecordField, holds, read, second_hand};

const KENNEL_CLUB: super::RuleSource = read(
    "The Kennel Club (UK), litter registration questions and answers, for litters born from 1 \
     January 2012 (version not noted)",
);

pub(super) const THE_KENNEL_CLUB: RuleBook = RuleBook {
    id: "the-kennel-club",
    kind: RuleMaker::Registry,
    country: "GB",
    part: false,
    also: &[
        "kennel-club",
        "kc",
        "royal-kennel-club",
        "the-kennel-club-uk",
        "kennel-club-uk",
    ],
    name: "The Kennel Club (UK)",
    applies_to: "those who register a litter there",
    check_with: "The Kennel Club, registrations",
    rules: &[
        Rule {
            id: "the-kennel-club-dam-youngest",
            limit: Limit::DamYoungestAtMating { months: 12 },
            note: "",
            source: KENNEL_CLUB,
        },
        Rule {
            id: "the-kennel-club-dam-oldest",
            limit: Limit::DamOldestAtWhelping(Oldest {
                months: 96,
                on_the_day: false,
                or: None,
            }),
            note: "Exceptions on application before the mating, for a dam with an earlier \
                   registered litter and a vet's letter (rule B22c(2))",
            source: KENNEL_CLUB,
        },
        Rule {
            id: "the-kennel-club-litters-in-life",
            limit: Limit::LittersInLife { most: 4 },
            note: "",
            source: KENNEL_CLUB,
        },
        Rule {
            id: "the-kennel-club-after-sections",
            limit: Limit::NoMatingAfterSections { sections: 2 },
            note: "Exceptions for scientifically proven welfare reasons, on application before \
                   the mating",
            source: KENNEL_CLUB,
        },
        Rule {
            id: "the-kennel-club-close-mating",
            limit: Limit::NoCloseMating {
                relations: &[Relation::ParentAndOffspring, Relation::FullSiblings],
            },
            note: "The words are father and daughter, mother and son, brother and sister; we read \
                   the last as full siblings. Exceptions are rare",
            source: KENNEL_CLUB,
        },
    ],
    advert: &[],
    litter_record: &[],
    keep: None,
    gaps: "The dam is resident in the United Kingdom when she whelps, and both parents are \
           registered; neither is compared. Breed rules and health tests are not here.",
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

pub(super) const AKC: RuleBook = RuleBook {
    id: "akc",
    kind: RuleMaker::Registry,
    country: "US",
    part: false,
    also: &["american-kennel-club"],
    name: "American Kennel Club",
    applies_to: "those who register a litter there",
    check_with: "the American Kennel Club, registrations",
    rules: &[
        Rule {
            id: "akc-dam-youngest",
            limit: Limit::DamYoungestAtMating { months: 8 },
            note: AKC_EXCEPTION,
            source: AKC_AGES,
        },
        Rule {
            id: "akc-dam-oldest",
            limit: Limit::DamOldestAtMating(
                Oldest {
                    months: 144,
                    on_the_day: true,
                    or: None,
                },
                Dams::All,
            ),
            note: AKC_OVER,
            source: AKC_AGES,
        },
        Rule {
            id: "akc-sire-youngest",
            limit: Limit::SireYoungestAtMating { months: 7 },
            note: AKC_EXCEPTION,
            source: AKC_AGES,
        },
        Rule {
            id: "akc-sire-oldest",
            limit: Limit::SireOldestAtMating(Oldest {
                months: 144,
                on_the_day: true,
                or: None,
            }),
            note: AKC_OVER,
            source: AKC_AGES,
        },
    ],
    advert: &[],
    litter_record: &[
        holds(RecordField::MatingDates, AKC_RECORDS),
        holds(RecordField::MatingPlace, AKC_RECORDS),
        holds(RecordField::Parents, AKC_RECORDS),
        holds(RecordField::WhelpingDate, AKC_RECORDS),
        holds(RecordField::NumberBorn, AKC_RECORDS),
        holds(RecordField::LitterNumber, AKC_RECORDS),
        holds(RecordField::Sex, AKC_RECORDS),
        holds(RecordField::Colour, AKC_RECORDS),
        holds(RecordField::Markings, AKC_RECORDS),
        holds(RecordField::DateLeft, AKC_RECORDS),
        holds(RecordField::Buyer, AKC_RECORDS),
        holds(RecordField::PapersGiven, AKC_RECORDS),
        holds(RecordField::DateOfDeath, AKC_RECORDS),
    ],
    keep: Some(Keep {
        years: 5,
        after: "after the dog has died, was sold or was given away",
        source: AKC_RECORDS,
    }),
    gaps: "Records are written at once, and kept on paper too where they are kept on a computer. \
           Records of each dog, and parentage tests, are not listed here.",
};

const DUTCH: super::RuleSource = read(
    "Raad van Beheer, Kynologisch Reglement, articles VIII.1 and VIII.2, on its own page, version \
     of 1 December 2020",
);

pub(super) const RAAD_VAN_BEHEER: RuleBook = RuleBook {
    id: "raad-van-beheer",
    kind: RuleMaker::Registry,
    country: "NL",
    part: false,
    also: &[
        "nhsb",
        "dutch-kennel-club",
        "raad-van-beheer-op-kynologisch-gebied",
    ],
    name: "Raad van Beheer (Dutch Kennel Club)",
    applies_to: "those who register a litter there",
    check_with: "the Raad van Beheer",
    rules: &[
        Rule {
            id: "raad-van-beheer-dam-youngest",
            limit: Limit::DamYoungestAtMating { months: 16 },
            note: "",
            source: DUTCH,
        },
        Rule {
            id: "raad-van-beheer-first-litter-oldest",
            limit: Limit::DamOldestAtMating(
                Oldest {
                    months: 72,
                    on_the_day: true,
                    or: None,
                },
                Dams::WithoutEarlierLitter,
            ),
            note: "For a dam that has had no puppies",
            source: DUTCH,
        },
        Rule {
            id: "raad-van-beheer-dam-oldest",
            limit: Limit::DamOldestAtMating(
                Oldest {
                    months: 108,
                    on_the_day: true,
                    or: None,
                },
                Dams::WithEarlierLitter,
            ),
            note: "For a dam that has had puppies; for matings from 17 April 2020, before that 96 \
                   months. A breed club may be stricter: ask yours",
            source: second_hand(
                "Raad van Beheer, Kynologisch Reglement, article VIII.1(3), changed on 17 April \
                 2020, as a breed club's page gives it",
            ),
        },
        Rule {
            id: "raad-van-beheer-litters-in-life",
            limit: Limit::LittersInLife { most: 5 },
            note: "No mating after the day on which the fifth litter is born; a litter of dead or \
                   unripe puppies counts",
            source: DUTCH,
        },
        Rule {
            id: "raad-van-beheer-between-births",
            limit: Limit::MonthsBetweenBirths { months: 12 },
            note: "Counted from birth to birth since 2016; older pages count 10 and 24 months \
                   from mating to mating",
            source: DUTCH,
        },
        Rule {
            id: "raad-van-beheer-close-mating",
            limit: Limit::NoCloseMating {
                relations: &Relation::ALL,
            },
            note: "Half siblings since 1 December 2020",
            source: DUTCH,
        },
    ],
    advert: &[],
    litter_record: &[],
    keep: None,
    gaps: "Breed clubs have further rules of their own.",
};

const DOGS_VICTORIA_RECORDS: super::RuleSource =
    read("Dogs Victoria, Regulations part 20, 20.1.22, in its gazette of February 2023");

pub(super) const DOGS_VICTORIA: RuleBook = RuleBook {
    id: "dogs-victoria",
    kind: RuleMaker::Registry,
    country: "AU",
    part: false,
    also: &["victorian-canine-association"],
    name: "Dogs Victoria",
    applies_to: "its members",
    check_with: "Dogs Victoria",
    rules: &[],
    advert: &[],
    litter_record: &[
        holds(RecordField::MatingDates, DOGS_VICTORIA_RECORDS),
        holds(RecordField::Parents, DOGS_VICTORIA_RECORDS),
        holds(RecordField::WhelpingDate, DOGS_VICTORIA_RECORDS),
        holds(RecordField::BornAliveAndDead, DOGS_VICTORIA_RECORDS),
        holds(RecordField::Events, DOGS_VICTORIA_RECORDS),
        holds(RecordField::BirthDate, DOGS_VICTORIA_RECORDS),
        holds(RecordField::Sex, DOGS_VICTORIA_RECORDS),
        holds(RecordField::Colour, DOGS_VICTORIA_RECORDS),
        holds(RecordField::Markings, DOGS_VICTORIA_RECORDS),
        holds(RecordField::Chip, DOGS_VICTORIA_RECORDS),
        holds(RecordField::Treatments, DOGS_VICTORIA_RECORDS),
        holds(RecordField::Buyer, DOGS_VICTORIA_RECORDS),
    ],
    keep: None,
    gaps: "Chip numbers are recorded at 8 weeks. Health declarations, returned dogs and the rest \
           of the part are not listed here, nor are its rules on ages and litters.",
};

pub(super) const FCI: RuleBook = RuleBook {
    id: "fci",
    kind: RuleMaker::Registry,
    country: "BE",
    part: false,
    also: &["federation-cynologique-internationale"],
    name: "FCI",
    applies_to: "breeders under a member of the federation; it is a recommendation",
    check_with: "your national kennel club, which sets the ages itself",
    rules: &[Rule {
        id: "fci-close-mating",
        limit: Limit::NoCloseMating {
            relations: &[Relation::ParentAndOffspring, Relation::FullSiblings],
        },
        note: "A recommendation",
        source: second_hand(
            "FCI, international breeding strategies, as a summary gives them (version not noted)",
        ),
    }],
    advert: &[],
    litter_record: &[],
    keep: None,
    gaps: "Ages, numbers of litters and sections are left to the members.",
};
