//! The Netherlands, Germany, France.
//!
//! In: nothing. Out: one book each. The rules of kennel clubs are with the registries.

use super::super::{Limit, RuleBook};
use super::{AdvertField, LAW, rule, second_hand, showing};

#[rustfmt::skip] // a table
pub(super) const NETHERLANDS: RuleBook = RuleBook {
    id: "netherlands",
    country: "NL",
    name: "Netherlands",
    applies_to: "everybody who breeds dogs",
    check_with: "the Netherlands Enterprise Agency (RVO)",
    rules: &[
        rule("netherlands-between-births", Limit::MonthsBetweenBirths { months: 12 },
            second_hand(
                "Besluit houders van dieren (in force since 2014), article 3.4(3), as breeders' \
                 pages quote it"
            ))
            .noting("Counted from birth to birth"),
    ],
    gaps: "Leaving age, chips and the further conditions of article 3.4 were not read in the \
           present version.",
    ..LAW
};

#[rustfmt::skip] // a table
pub(super) const GERMANY: RuleBook = RuleBook {
    id: "germany",
    country: "DE",
    name: "Germany",
    applies_to: "everybody who keeps or breeds dogs",
    check_with: "your district's veterinary office",
    rules: &[
        rule("germany-leaving", Limit::YoungestLeavingAge { days: 56, over: true },
            second_hand(
                "Tierschutz-Hundeverordnung (2001), paragraph 2(4), as quoted; the ordinance was \
                 changed later"
            ))
            .noting(
                "The text says over eight weeks; earlier only where a vet finds it needed for the \
                 dam or the puppies"),
    ],
    gaps: "Care, housing and the duties of commercial breeders were not read.",
    ..LAW
};

const FRANCE_ADVERT: super::RuleSource = second_hand(
    "Code rural et de la pêche maritime, articles L214-8 and following, as in force since 2016, \
     as several pages give it",
);

#[rustfmt::skip] // a table
pub(super) const FRANCE: RuleBook = RuleBook {
    id: "france",
    country: "FR",
    name: "France",
    applies_to: "everybody who sells a puppy of a bitch of their own",
    check_with: "your department's animal protection authority (DDPP) or chamber of agriculture",
    rules: &[
        rule("france-leaving", Limit::YoungestLeavingAge { days: 56, over: true }, FRANCE_ADVERT)
            .noting("The text says over eight weeks"),
        rule("france-chip-before-leaving", Limit::ChipBeforeLeaving,
            second_hand(
                "Code rural et de la pêche maritime, article L212-10, as a veterinary practice \
                 gives it (version not noted)"
            ))
            .noting("A tattoo serves as well"),
    ],
    advert: &showing(FRANCE_ADVERT, [
        AdvertField::Age, AdvertField::PuppyOrDamChip, AdvertField::PedigreeRegisteredOrNot,
        AdvertField::NumberInLitter, AdvertField::BusinessOrLitterNumber,
    ]),
    gaps: "The litter's number serves in place of the business number only for those who sell one \
           registered litter a year. How unregistered dogs are called in an advert, and the \
           papers that go with the puppy (among them a certificate signed at least seven days \
           before), are not compared.",
    ..LAW
};
