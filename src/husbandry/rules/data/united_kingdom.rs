//! England, Scotland, Wales, Northern Ireland.
//!
//! In: nothing. Out: one book each. They are conditions of a breeding licence, except the duty to
//! chip, which is everybody's.

use super::super::{Dams, Keep, Limit, Oldest, Rule, RuleBook, RuleMaker};
use super::{AdvertField, RecordField, holds, read, recalled, second_hand, shows};

/// Schedule 6 paragraph 6(7) of SI 2018/486, which we could not read.
const ENGLAND_RECORDS: super::RuleSource =
    recalled("SI 2018/486 (England, 2018), Schedule 6 paragraph 6, records of whelping and sale");
const ENGLAND_ADVERT: super::RuleSource =
    read("SI 2018/486 (England, 2018), Schedule 6 paragraph 1(2)");
const ENGLAND_LIMITS: super::RuleSource =
    read("SI 2018/486 (England, 2018), Schedule 6 paragraph 6");

pub(super) const ENGLAND: RuleBook = RuleBook {
    id: "england",
    kind: RuleMaker::Law,
    country: "GB",
    part: true,
    also: &["gb-eng", "eng"],
    name: "England",
    applies_to: "holders of a dog breeding licence: three or more litters in 12 months, unless no \
                 puppy is sold, or breeding as a business; chips: every keeper",
    check_with: "your local council, which licenses dog breeding",
    rules: &[
        Rule {
            id: "england-dam-youngest",
            limit: Limit::DamYoungestAtMating { months: 12 },
            note: "",
            source: ENGLAND_LIMITS,
        },
        Rule {
            id: "england-between-births",
            limit: Limit::MonthsBetweenBirths { months: 12 },
            note: "Counted from birth to birth",
            source: ENGLAND_LIMITS,
        },
        Rule {
            id: "england-litters-in-life",
            limit: Limit::LittersInLife { most: 6 },
            note: "",
            source: ENGLAND_LIMITS,
        },
        Rule {
            id: "england-after-sections",
            limit: Limit::NoMatingAfterSections { sections: 2 },
            note: "",
            source: ENGLAND_LIMITS,
        },
        Rule {
            id: "england-leaving",
            limit: Limit::YoungestLeavingAge {
                days: 56,
                over: false,
            },
            note: "Except where parting is needed for the health or welfare of the puppy, its \
                   litter or its mother",
            source: read("SI 2018/486 (England, 2018), Schedule 6 paragraph 1(5) and (7)"),
        },
        Rule {
            id: "england-chip-by",
            limit: Limit::ChipBy { days: 56 },
            note: "A vet may certify that a puppy should wait",
            source: second_hand(
                "SI 2023/468 (England, 2023), regulation 3, and SI 2015/108 before it",
            ),
        },
        Rule {
            id: "england-chip-before-leaving",
            limit: Limit::ChipBeforeLeaving,
            note: "The chip is registered to the licence holder first",
            source: ENGLAND_LIMITS,
        },
    ],
    advert: &[
        shows(AdvertField::LicenceNumber, ENGLAND_ADVERT),
        shows(AdvertField::IssuingAuthority, ENGLAND_ADVERT),
        shows(AdvertField::RecognisablePhoto, ENGLAND_ADVERT),
        shows(AdvertField::Age, ENGLAND_ADVERT),
        shows(
            AdvertField::WithBiologicalMother,
            read(
                "SI 2018/486 (England, 2018), Schedule 6 paragraph 1(6): how puppies are shown, \
                 not what an advert says",
            ),
        ),
    ],
    litter_record: &[
        holds(RecordField::BirthDate, ENGLAND_RECORDS),
        holds(RecordField::BirthTime, ENGLAND_RECORDS),
        holds(RecordField::Sex, ENGLAND_RECORDS),
        holds(RecordField::Colour, ENGLAND_RECORDS),
        holds(RecordField::Weight, ENGLAND_RECORDS),
        holds(RecordField::Placentas, ENGLAND_RECORDS),
        holds(RecordField::NumberBorn, ENGLAND_RECORDS),
        holds(RecordField::Events, ENGLAND_RECORDS),
        holds(RecordField::MatingDates, ENGLAND_RECORDS),
        holds(RecordField::Chip, ENGLAND_RECORDS),
        holds(RecordField::DateLeft, ENGLAND_RECORDS),
    ],
    keep: Some(Keep {
        years: 3,
        after: "",
        source: recalled("SI 2018/486 (England, 2018), general conditions on records"),
    }),
    gaps: "A seller who is licensed to sell pets shows country of residence and country of origin \
           as well (Schedule 3 paragraph 2). Records of each breeding dog, housing, transport and \
           health are not listed here.",
};

const SCOTLAND_LIMITS: super::RuleSource =
    read("SSI 2021/84 (Scotland, 2021), Schedule 6 paragraph 8(3)");
const SCOTLAND_RECORDS: super::RuleSource =
    read("SSI 2021/84 (Scotland, 2021), Schedule 6 paragraph 8(7)");
const SCOTLAND_ADVERT: super::RuleSource = read(
    "Scottish Government, guidance for dog breeders on SSI 2021/84 (2021), annex B, \
     advertisements and sales",
);

pub(super) const SCOTLAND: RuleBook = RuleBook {
    id: "scotland",
    kind: RuleMaker::Law,
    country: "GB",
    part: true,
    also: &["gb-sct", "sct"],
    name: "Scotland",
    applies_to: "holders of a dog breeding licence: three or more litters in 12 months, or \
                 breeding as a business; chips: every keeper",
    check_with: "your local council, which licenses dog breeding",
    rules: &[
        Rule {
            id: "scotland-dam-youngest",
            limit: Limit::DamYoungestAtMating { months: 12 },
            note: "",
            source: SCOTLAND_LIMITS,
        },
        Rule {
            id: "scotland-dam-oldest",
            limit: Limit::DamOldestAtMating(
                Oldest {
                    months: 96,
                    on_the_day: false,
                    or: None,
                },
                Dams::All,
            ),
            note: "",
            source: SCOTLAND_LIMITS,
        },
        Rule {
            id: "scotland-between-births",
            limit: Limit::MonthsBetweenBirths { months: 12 },
            note: "Counted from birth to birth",
            source: SCOTLAND_LIMITS,
        },
        Rule {
            id: "scotland-litters-in-life",
            limit: Limit::LittersInLife { most: 6 },
            note: "",
            source: SCOTLAND_LIMITS,
        },
        Rule {
            id: "scotland-after-sections",
            limit: Limit::NoMatingAfterSections { sections: 2 },
            note: "",
            source: SCOTLAND_LIMITS,
        },
        Rule {
            id: "scotland-after-section-for-build",
            limit: Limit::NoMatingAfterSectionForBuild,
            note: "",
            source: SCOTLAND_LIMITS,
        },
        Rule {
            id: "scotland-leaving",
            limit: Limit::YoungestLeavingAge {
                days: 56,
                over: false,
            },
            note: "",
            source: recalled("SSI 2021/84 (Scotland, 2021), Schedule 6, conditions on sale"),
        },
        Rule {
            id: "scotland-chip-by",
            limit: Limit::ChipBy { days: 56 },
            note: "A vet may certify that a puppy should wait",
            source: read(
                "SSI 2016/58 (Scotland, 2016), as the Scottish Government's guidance for local \
                 authorities gives it",
            ),
        },
        Rule {
            id: "scotland-chip-before-leaving",
            limit: Limit::ChipBeforeLeaving,
            note: "The chip is registered to the licence holder first",
            source: read("SSI 2021/84 (Scotland, 2021), Schedule 6 paragraph 8(4)"),
        },
    ],
    advert: &[
        shows(AdvertField::LicenceNumber, SCOTLAND_ADVERT),
        shows(AdvertField::IssuingAuthority, SCOTLAND_ADVERT),
        shows(AdvertField::RecognisablePhoto, SCOTLAND_ADVERT),
    ],
    litter_record: &[
        holds(RecordField::BirthDate, SCOTLAND_RECORDS),
        holds(RecordField::Sex, SCOTLAND_RECORDS),
        holds(RecordField::Colour, SCOTLAND_RECORDS),
    ],
    keep: None,
    gaps: "We could not read the lists of advert fields and of whelping records to their ends; \
           both go on. The council sets how many bitches and litters a licence covers. The \
           Welfare of Dogs (Scotland) Act 2025 adds a code of practice for selling and buying.",
};

const WALES_LIMITS: super::RuleSource = second_hand(
    "WSI 2014/3266 (Wales, 2014), as a licensing council's page and a report of 2014 give it",
);
const WALES_CHIP: super::RuleSource =
    second_hand("the draft of 2014 of the Welsh regulations on microchipping of dogs");

pub(super) const WALES: RuleBook = RuleBook {
    id: "wales",
    kind: RuleMaker::Law,
    country: "GB",
    part: true,
    also: &["gb-wls", "wls"],
    name: "Wales",
    applies_to: "holders of a dog breeding licence: three or more breeding bitches, and three or \
                 more litters bred, advertised or supplied in 12 months, or puppies sold as a \
                 business; chips: every keeper",
    check_with: "your local council, which licenses dog breeding",
    rules: &[
        Rule {
            id: "wales-dam-youngest",
            limit: Limit::DamYoungestAtMating { months: 12 },
            note: "",
            source: WALES_LIMITS,
        },
        Rule {
            id: "wales-between-births",
            limit: Limit::MonthsBetweenBirths { months: 12 },
            note: "Counted from birth to birth",
            source: WALES_LIMITS,
        },
        Rule {
            id: "wales-litters-in-life",
            limit: Limit::LittersInLife { most: 6 },
            note: "",
            source: WALES_LIMITS,
        },
        Rule {
            id: "wales-chip-by",
            limit: Limit::ChipBy { days: 56 },
            note: "",
            source: WALES_CHIP,
        },
        Rule {
            id: "wales-chip-before-leaving",
            limit: Limit::ChipBeforeLeaving,
            note: "",
            source: WALES_CHIP,
        },
    ],
    advert: &[],
    litter_record: &[],
    keep: None,
    gaps: "Leaving age, adverts and records were not read, nor the made version of the chip \
           regulations. A review in 2019 recommended changes.",
};

pub(super) const NORTHERN_IRELAND: RuleBook = RuleBook {
    id: "northern-ireland",
    kind: RuleMaker::Law,
    country: "GB",
    part: true,
    also: &["gb-nir", "nir"],
    name: "Northern Ireland",
    applies_to: "holders of a dog breeding licence",
    check_with: "your district council, which licenses dog breeding",
    rules: &[Rule {
        id: "northern-ireland-chip-by",
        limit: Limit::ChipBy { days: 56 },
        note: "The text says before 8 weeks of age. Under a block licence a vet may certify that \
               a chip would harm the dog's health (SR 2012/132, regulation 8(4))",
        source: read(
            "SR 2013/43 (Northern Ireland, 2013), Schedule 4 paragraph 11, in the draft that was \
             made, and SR 2012/132, regulation 8, as made",
        ),
    }],
    advert: &[],
    litter_record: &[],
    keep: None,
    gaps: "Only the paragraph on chips was read. Ages, litters, leaving, adverts and records were \
           not.",
};
