//! The United States and some of its states.
//!
//! In: nothing. Out: one book each. About half of the states have a law on the age of sale; only
//! those that we read are here.

use super::super::{Keep, Limit, RuleBook};
use super::{LAW, RecordField, holding, read, recalled, rule, second_hand};

/// The table of state laws on the age of sale, kept by a law school.
const TABLE: &str = "state laws on the sale of young puppies, table of the Animal Legal and \
                     Historical Center (version not noted)";

/// A book with a leaving age and nothing else.
const NOTHING: RuleBook = RuleBook {
    country: "US",
    part: true,
    applies_to: "sellers of puppies; whether that means every breeder was not read",
    check_with: "your state's department of agriculture",
    gaps: "Only the age at which puppies are sold was read.",
    ..LAW
};

#[rustfmt::skip] // a table
pub(super) const UNITED_STATES: RuleBook = RuleBook {
    id: "united-states",
    part: false,
    name: "United States",
    applies_to: "breeders and dealers licensed under the Animal Welfare Act, when they ship \
                 puppies",
    check_with: "the United States Department of Agriculture (Animal Care)",
    rules: &[
        rule("united-states-leaving", Limit::YoungestLeavingAge { days: 56, over: false },
            recalled("9 CFR 2.130, transport of dogs (version not noted)"))
            .noting("And weaned"),
    ],
    gaps: "The records that licensed breeders keep are not listed here. States have rules of \
           their own.",
    ..NOTHING
};

#[rustfmt::skip] // a table
pub(super) const CALIFORNIA: RuleBook = RuleBook {
    id: "california",
    also: &["us-ca", "ca"],
    name: "California",
    rules: &[
        rule("california-leaving", Limit::YoungestLeavingAge { days: 56, over: false },
            second_hand(TABLE))
            .noting("Unless a vet approves it; selling means handing over"),
    ],
    gaps: "Breeders of three or more litters or 20 or more dogs in 12 months give the buyer a \
           written disclosure (Health and Safety Code 122045 to 122110), which is not compared.",
    ..NOTHING
};

#[rustfmt::skip] // a table
pub(super) const NEVADA: RuleBook = RuleBook {
    id: "nevada",
    also: &["us-nv", "nv"],
    name: "Nevada",
    rules: &[
        rule("nevada-leaving", Limit::YoungestLeavingAge { days: 56, over: false },
            second_hand(TABLE))
            .noting("Or once it eats unaided, whichever is later"),
    ],
    ..NOTHING
};

const NEW_YORK_RECORDS: super::RuleSource =
    read("New York Agriculture and Markets Law, section 402 (version not noted)");

#[rustfmt::skip] // a table
pub(super) const NEW_YORK: RuleBook = RuleBook {
    id: "new-york",
    also: &["us-ny", "ny"],
    name: "New York",
    applies_to: "pet dealers; whether a breeder is one was not read",
    rules: &[
        rule("new-york-leaving", Limit::YoungestLeavingAge { days: 56, over: false },
            second_hand(TABLE)),
    ],
    litter_record: &holding(NEW_YORK_RECORDS, [
        RecordField::BirthDate, RecordField::Sex, RecordField::Colour, RecordField::Markings,
        RecordField::Treatments, RecordField::Buyer,
    ]),
    keep: Some(Keep {
        years: 2,
        after: "",
        source: NEW_YORK_RECORDS,
    }),
    gaps: "Where a dog came from, when, its age, breed and identification are recorded as well.",
    ..NOTHING
};

#[rustfmt::skip] // a table
pub(super) const TEXAS: RuleBook = RuleBook {
    id: "texas",
    also: &["us-tx", "tx"],
    name: "Texas",
    applies_to: "licensed breeders",
    check_with: "the Texas Department of Licensing and Regulation",
    rules: &[
        rule("texas-leaving", Limit::YoungestLeavingAge { days: 56, over: false },
            second_hand(
                "Texas rules for licensed dog breeders, as a summary gives them (version not \
                 noted)"
            )),
    ],
    ..NOTHING
};

#[rustfmt::skip] // a table
pub(super) const VIRGINIA: RuleBook = RuleBook {
    id: "virginia",
    also: &["us-va", "va"],
    name: "Virginia",
    rules: &[
        rule("virginia-leaving", Limit::YoungestLeavingAge { days: 49, over: false },
            second_hand(TABLE)),
    ],
    ..NOTHING
};

#[rustfmt::skip] // a table
pub(super) const WISCONSIN: RuleBook = RuleBook {
    id: "wisconsin",
    also: &["us-wi", "wi"],
    name: "Wisconsin",
    rules: &[
        rule("wisconsin-leaving", Limit::YoungestLeavingAge { days: 49, over: false },
            second_hand(TABLE)),
    ],
    ..NOTHING
};
