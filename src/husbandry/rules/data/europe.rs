//! The Netherlands, Germany, France.
//!
//! In: nothing. Out: one book each. The rules of kennel clubs are with the registries.

use super::super::{Limit, Rule, RuleBook, RuleMaker};
use super::{AdvertField, second_hand, shows};

pub(super) const NETHERLANDS: RuleBook = RuleBook {
    id: "netherlands",
    kind: RuleMaker::Law,
    country: "NL",
    part: false,
    also: &[],
    name: "Netherlands",
    applies_to: "everybody who breeds dogs",
    check_with: "the Netherlands Enterprise Agency (RVO)",
    rules: &[Rule {
        id: "netherlands-between-births",
        limit: Limit::MonthsBetweenBirths { months: 12 },
        note: "Counted from birth to birth",
        source: second_hand(
            "Besluit houders van dieren (in force since 2014), article 3.4(3), as breeders' pages \
             quote it",
        ),
    }],
    advert: &[],
    litter_record: &[],
    keep: None,
    gaps: "Leaving age, chips and the further conditions of article 3.4 were not read in the \
           present version.",
};

pub(super) const GERMANY: RuleBook = RuleBook {
    id: "germany",
    kind: RuleMaker::Law,
    country: "DE",
    part: false,
    also: &[],
    name: "Germany",
    applies_to: "everybody who keeps or breeds dogs",
    check_with: "your district's veterinary office",
    rules: &[Rule {
        id: "germany-leaving",
        limit: Limit::YoungestLeavingAge {
            days: 56,
            over: true,
        },
        note: "The text says over eight weeks; earlier only where a vet finds it needed for the \
               dam or the puppies",
        source: second_hand(
            "Tierschutz-Hundeverordnung (2001), paragraph 2(4), as quoted; the ordinance was \
             changed later",
        ),
    }],
    advert: &[],
    litter_record: &[],
    keep: None,
    gaps: "Care, housing and the duties of commercial breeders were not read.",
};

const FRANCE_ADVERT: super::RuleSource = second_hand(
    "Code rural et de la pêche maritime, articles L214-8 and following, as in force since 2016, \
     as several pages give it",
);

pub(super) const FRANCE: RuleBook = RuleBook {
    id: "france",
    kind: RuleMaker::Law,
    country: "FR",
    part: false,
    also: &[],
    name: "France",
    applies_to: "everybody who sells a puppy of a bitch of their own",
    check_with: "your department's animal protection authority (DDPP) or chamber of agriculture",
    rules: &[
        Rule {
            id: "france-leaving",
            limit: Limit::YoungestLeavingAge {
                days: 56,
                over: true,
            },
            note: "The text says over eight weeks",
            source: FRANCE_ADVERT,
        },
        Rule {
            id: "france-chip-before-leaving",
            limit: Limit::ChipBeforeLeaving,
            note: "A tattoo serves as well",
            source: second_hand(
                "Code rural et de la pêche maritime, article L212-10, as a veterinary practice \
                 gives it (version not noted)",
            ),
        },
    ],
    advert: &[
        shows(AdvertField::Age, FRANCE_ADVERT),
        shows(AdvertField::PuppyOrDamChip, FRANCE_ADVERT),
        shows(AdvertField::PedigreeRegisteredOrNot, FRANCE_ADVERT),
        shows(AdvertField::NumberInLitter, FRANCE_ADVERT),
        shows(AdvertField::BusinessOrLitterNumber, FRANCE_ADVERT),
    ],
    litter_record: &[],
    keep: None,
    gaps: "The litter's number serves in place of the business number only for those who sell one \
           registered litter a year. How unregistered dogs are called in an advert, and the \
           papers that go with the puppy (among them a certificate signed at least seven days \
           before), are not compared.",
};
