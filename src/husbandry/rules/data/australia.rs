//! New South Wales, Queensland, Victoria.
//!
//! In: nothing. Out: one book each.

use super::super::{Limit, Rule, RuleBook, RuleMaker};
use super::{AdvertField, read, second_hand, shows};

const NSW_ACT: super::RuleSource = second_hand(
    "Prevention of Cruelty to Animals Amendment (Puppy Farming) Act 2024 (New South Wales), from \
     1 December 2025, as the state's veterinary board gives it",
);
const NSW_ADVERT: super::RuleSource = second_hand(
    "Prevention of Cruelty to Animals Amendment (Puppy Farming) Act 2024 (New South Wales), from \
     1 December 2025, as a newsletter and a council give it",
);
const NSW_REGISTRY: super::RuleSource =
    read("the New South Wales Pet Registry's page on breeders' duties (version not noted)");

pub(super) const NEW_SOUTH_WALES: RuleBook = RuleBook {
    id: "new-south-wales",
    kind: RuleMaker::Law,
    country: "AU",
    part: true,
    also: &["au-nsw", "nsw"],
    name: "New South Wales",
    applies_to: "everybody who breeds dogs, a single litter included",
    check_with: "the New South Wales Office of Local Government",
    rules: &[
        Rule {
            id: "new-south-wales-litters-in-life",
            limit: Limit::LittersInLife { most: 5 },
            note: "",
            source: NSW_ACT,
        },
        Rule {
            id: "new-south-wales-sections-in-life",
            limit: Limit::SectionsInLife { most: 3 },
            note: "A vet's approval is part of it; five litters or three sections, whichever \
                   comes first",
            source: NSW_ACT,
        },
        Rule {
            id: "new-south-wales-leaving",
            limit: Limit::YoungestLeavingAge {
                days: 56,
                over: false,
            },
            note: "The page says after they are 8 weeks old",
            source: NSW_REGISTRY,
        },
        Rule {
            id: "new-south-wales-chip-by",
            limit: Limit::ChipBy { days: 84 },
            note: "",
            source: NSW_REGISTRY,
        },
        Rule {
            id: "new-south-wales-chip-before-leaving",
            limit: Limit::ChipBeforeLeaving,
            note: "",
            source: NSW_REGISTRY,
        },
    ],
    advert: &[
        shows(AdvertField::PuppyChip, NSW_ADVERT),
        shows(AdvertField::BreederNumber, NSW_ADVERT),
    ],
    litter_record: &[],
    keep: None,
    gaps: "Both numbers are meant for puppies under six months. The cap on bitches, staffing and \
           the breeding code, which is to bind all breeders later, are not compared.",
};

const QUEENSLAND_NUMBER: super::RuleSource = second_hand(
    "Queensland Dog Breeder Register, for dogs born on or after 26 May 2017, as a microchip \
     register gives it",
);

pub(super) const QUEENSLAND: RuleBook = RuleBook {
    id: "queensland",
    kind: RuleMaker::Law,
    country: "AU",
    part: true,
    also: &["au-qld", "qld"],
    name: "Queensland",
    applies_to: "everybody who breeds dogs, by accident included",
    check_with: "Biosecurity Queensland",
    rules: &[],
    advert: &[shows(AdvertField::SupplyNumber, QUEENSLAND_NUMBER)],
    litter_record: &[],
    keep: None,
    gaps: "Only the number in adverts was read. Ages, litters, leaving and chips were not.",
};

const VICTORIA_ADVERT: super::RuleSource = read(
    "Agriculture Victoria, pages on pet sale advertisements and the Pet Exchange Register (rules \
     since 1 July 2019)",
);

pub(super) const VICTORIA: RuleBook = RuleBook {
    id: "victoria",
    kind: RuleMaker::Law,
    country: "AU",
    part: true,
    also: &["au-vic", "vic"],
    name: "Victoria",
    applies_to: "everybody who advertises, sells or gives away a dog",
    check_with: "Animal Welfare Victoria",
    rules: &[Rule {
        id: "victoria-chip-before-leaving",
        limit: Limit::ChipBeforeLeaving,
        note: "As an advert shows the chip number, the chip comes before the advert",
        source: VICTORIA_ADVERT,
    }],
    advert: &[
        shows(AdvertField::SourceNumber, VICTORIA_ADVERT),
        shows(AdvertField::PuppyChip, VICTORIA_ADVERT),
    ],
    litter_record: &[],
    keep: None,
    gaps: "The code of practice for breeding businesses was not read.",
};
