//! New South Wales, Queensland, Victoria.
//!
//! In: nothing. Out: one book each.

use super::super::{Limit, RuleBook};
use super::{AdvertField, LAW, read, rule, second_hand, showing, shows};

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

#[rustfmt::skip] // a table
pub(super) const NEW_SOUTH_WALES: RuleBook = RuleBook {
    id: "new-south-wales",
    country: "AU",
    part: true,
    also: &["au-nsw", "nsw"],
    name: "New South Wales",
    applies_to: "everybody who breeds dogs, a single litter included",
    check_with: "the New South Wales Office of Local Government",
    rules: &[
        rule("new-south-wales-litters-in-life", Limit::LittersInLife { most: 5 }, NSW_ACT),
        rule("new-south-wales-sections-in-life", Limit::SectionsInLife { most: 3 }, NSW_ACT)
            .noting(
                "A vet's approval is part of it; five litters or three sections, whichever comes \
                 first"),
        rule("new-south-wales-leaving", Limit::YoungestLeavingAge { days: 56, over: false },
            NSW_REGISTRY)
            .noting("The page says after they are 8 weeks old"),
        rule("new-south-wales-chip-by", Limit::ChipBy { days: 84 }, NSW_REGISTRY),
        rule("new-south-wales-chip-before-leaving", Limit::ChipBeforeLeaving, NSW_REGISTRY),
    ],
    advert: &showing(NSW_ADVERT, [
        AdvertField::PuppyChip, AdvertField::BreederNumber,
    ]),
    gaps: "Both numbers are meant for puppies under six months. The cap on bitches, staffing and \
           the breeding code, which is to bind all breeders later, are not compared.",
    ..LAW
};

const QUEENSLAND_NUMBER: super::RuleSource = second_hand(
    "Queensland Dog Breeder Register, for dogs born on or after 26 May 2017, as a microchip \
     register gives it",
);

pub(super) const QUEENSLAND: RuleBook = RuleBook {
    id: "queensland",
    country: "AU",
    part: true,
    also: &["au-qld", "qld"],
    name: "Queensland",
    applies_to: "everybody who breeds dogs, by accident included",
    check_with: "Biosecurity Queensland",
    advert: &[shows(AdvertField::SupplyNumber, QUEENSLAND_NUMBER)],
    gaps: "Only the number in adverts was read. Ages, litters, leaving and chips were not.",
    ..LAW
};

const VICTORIA_ADVERT: super::RuleSource = read(
    "Agriculture Victoria, pages on pet sale advertisements and the Pet Exchange Register (rules \
     since 1 July 2019)",
);

#[rustfmt::skip] // a table
pub(super) const VICTORIA: RuleBook = RuleBook {
    id: "victoria",
    country: "AU",
    part: true,
    also: &["au-vic", "vic"],
    name: "Victoria",
    applies_to: "everybody who advertises, sells or gives away a dog",
    check_with: "Animal Welfare Victoria",
    rules: &[
        rule("victoria-chip-before-leaving", Limit::ChipBeforeLeaving, VICTORIA_ADVERT)
            .noting("As an advert shows the chip number, the chip comes before the advert"),
    ],
    advert: &showing(VICTORIA_ADVERT, [
        AdvertField::SourceNumber, AdvertField::PuppyChip,
    ]),
    gaps: "The code of practice for breeding businesses was not read.",
    ..LAW
};
