//! England, Scotland, Wales, Northern Ireland.
//!
//! In: nothing. Out: one book each. They are conditions of a breeding licence, except the duty to
//! chip, which is everybody's.

use super::super::{Dams, Keep, Limit, Oldest, RuleBook};
use super::{
    AdvertField, LAW, RecordField, holding, read, recalled, rule, second_hand, showing, shows,
};

/// Schedule 6 paragraph 6(7) of SI 2018/486, which we could not read.
const ENGLAND_RECORDS: super::RuleSource =
    recalled("SI 2018/486 (England, 2018), Schedule 6 paragraph 6, records of whelping and sale");
const ENGLAND_ADVERT: super::RuleSource =
    read("SI 2018/486 (England, 2018), Schedule 6 paragraph 1(2)");
const ENGLAND_LIMITS: super::RuleSource =
    read("SI 2018/486 (England, 2018), Schedule 6 paragraph 6");

#[rustfmt::skip] // a table
pub(super) const ENGLAND: RuleBook = RuleBook {
    id: "england",
    country: "GB",
    part: true,
    also: &["gb-eng", "eng"],
    name: "England",
    applies_to: "holders of a dog breeding licence: three or more litters in 12 months, unless no \
                 puppy is sold, or breeding as a business; chips: every keeper",
    check_with: "your local council, which licenses dog breeding",
    rules: &[
        rule("england-dam-youngest", Limit::DamYoungestAtMating { months: 12 }, ENGLAND_LIMITS),
        rule("england-between-births", Limit::MonthsBetweenBirths { months: 12 }, ENGLAND_LIMITS)
            .noting("Counted from birth to birth"),
        rule("england-litters-in-life", Limit::LittersInLife { most: 6 }, ENGLAND_LIMITS),
        rule("england-after-sections", Limit::NoMatingAfterSections { sections: 2 },
            ENGLAND_LIMITS),
        rule("england-leaving", Limit::YoungestLeavingAge { days: 56, over: false },
            read("SI 2018/486 (England, 2018), Schedule 6 paragraph 1(5) and (7)"))
            .noting(
                "Except where parting is needed for the health or welfare of the puppy, its \
                 litter or its mother"),
        rule("england-chip-by", Limit::ChipBy { days: 56 },
            second_hand("SI 2023/468 (England, 2023), regulation 3, and SI 2015/108 before it"))
            .noting("A vet may certify that a puppy should wait"),
        rule("england-chip-before-leaving", Limit::ChipBeforeLeaving, ENGLAND_LIMITS)
            .noting("The chip is registered to the licence holder first"),
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
    litter_record: &holding(ENGLAND_RECORDS, [
        RecordField::BirthDate, RecordField::BirthTime, RecordField::Sex, RecordField::Colour,
        RecordField::Weight, RecordField::Placentas, RecordField::NumberBorn, RecordField::Events,
        RecordField::MatingDates, RecordField::Chip, RecordField::DateLeft,
    ]),
    keep: Some(Keep {
        years: 3,
        after: "",
        source: recalled("SI 2018/486 (England, 2018), general conditions on records"),
    }),
    gaps: "A seller who is licensed to sell pets shows country of residence and country of origin \
           as well (Schedule 3 paragraph 2). Records of each breeding dog, housing, transport and \
           health are not listed here.",
    ..LAW
};

const SCOTLAND_LIMITS: super::RuleSource =
    read("SSI 2021/84 (Scotland, 2021), Schedule 6 paragraph 8(3)");
const SCOTLAND_RECORDS: super::RuleSource =
    read("SSI 2021/84 (Scotland, 2021), Schedule 6 paragraph 8(7)");
const SCOTLAND_ADVERT: super::RuleSource = read(
    "Scottish Government, guidance for dog breeders on SSI 2021/84 (2021), annex B, \
     advertisements and sales",
);

#[rustfmt::skip] // a table
pub(super) const SCOTLAND: RuleBook = RuleBook {
    id: "scotland",
    country: "GB",
    part: true,
    also: &["gb-sct", "sct"],
    name: "Scotland",
    applies_to: "holders of a dog breeding licence: three or more litters in 12 months, or \
                 breeding as a business; chips: every keeper",
    check_with: "your local council, which licenses dog breeding",
    rules: &[
        rule("scotland-dam-youngest", Limit::DamYoungestAtMating { months: 12 }, SCOTLAND_LIMITS),
        rule("scotland-dam-oldest", Limit::DamOldestAtMating(Oldest::before(96), Dams::All),
            SCOTLAND_LIMITS),
        rule("scotland-between-births", Limit::MonthsBetweenBirths { months: 12 }, SCOTLAND_LIMITS)
            .noting("Counted from birth to birth"),
        rule("scotland-litters-in-life", Limit::LittersInLife { most: 6 }, SCOTLAND_LIMITS),
        rule("scotland-after-sections", Limit::NoMatingAfterSections { sections: 2 },
            SCOTLAND_LIMITS),
        rule("scotland-after-section-for-build", Limit::NoMatingAfterSectionForBuild,
            SCOTLAND_LIMITS),
        rule("scotland-leaving", Limit::YoungestLeavingAge { days: 56, over: false },
            recalled("SSI 2021/84 (Scotland, 2021), Schedule 6, conditions on sale")),
        rule("scotland-chip-by", Limit::ChipBy { days: 56 },
            read(
                "SSI 2016/58 (Scotland, 2016), as the Scottish Government's guidance for local \
                 authorities gives it"
            ))
            .noting("A vet may certify that a puppy should wait"),
        rule("scotland-chip-before-leaving", Limit::ChipBeforeLeaving,
            read("SSI 2021/84 (Scotland, 2021), Schedule 6 paragraph 8(4)"))
            .noting("The chip is registered to the licence holder first"),
    ],
    advert: &showing(SCOTLAND_ADVERT, [
        AdvertField::LicenceNumber, AdvertField::IssuingAuthority, AdvertField::RecognisablePhoto,
    ]),
    litter_record: &holding(SCOTLAND_RECORDS, [
        RecordField::BirthDate, RecordField::Sex, RecordField::Colour,
    ]),
    gaps: "We could not read the lists of advert fields and of whelping records to their ends; \
           both go on. The council sets how many bitches and litters a licence covers. The \
           Welfare of Dogs (Scotland) Act 2025 adds a code of practice for selling and buying.",
    ..LAW
};

const WALES_LIMITS: super::RuleSource = second_hand(
    "WSI 2014/3266 (Wales, 2014), as a licensing council's page and a report of 2014 give it",
);
const WALES_CHIP: super::RuleSource =
    second_hand("the draft of 2014 of the Welsh regulations on microchipping of dogs");

#[rustfmt::skip] // a table
pub(super) const WALES: RuleBook = RuleBook {
    id: "wales",
    country: "GB",
    part: true,
    also: &["gb-wls", "wls"],
    name: "Wales",
    applies_to: "holders of a dog breeding licence: three or more breeding bitches, and three or \
                 more litters bred, advertised or supplied in 12 months, or puppies sold as a \
                 business; chips: every keeper",
    check_with: "your local council, which licenses dog breeding",
    rules: &[
        rule("wales-dam-youngest", Limit::DamYoungestAtMating { months: 12 }, WALES_LIMITS),
        rule("wales-between-births", Limit::MonthsBetweenBirths { months: 12 }, WALES_LIMITS)
            .noting("Counted from birth to birth"),
        rule("wales-litters-in-life", Limit::LittersInLife { most: 6 }, WALES_LIMITS),
        rule("wales-chip-by", Limit::ChipBy { days: 56 }, WALES_CHIP),
        rule("wales-chip-before-leaving", Limit::ChipBeforeLeaving, WALES_CHIP),
    ],
    gaps: "Leaving age, adverts and records were not read, nor the made version of the chip \
           regulations. A review in 2019 recommended changes.",
    ..LAW
};

#[rustfmt::skip] // a table
pub(super) const NORTHERN_IRELAND: RuleBook = RuleBook {
    id: "northern-ireland",
    country: "GB",
    part: true,
    also: &["gb-nir", "nir"],
    name: "Northern Ireland",
    applies_to: "holders of a dog breeding licence",
    check_with: "your district council, which licenses dog breeding",
    rules: &[
        rule("northern-ireland-chip-by", Limit::ChipBy { days: 56 },
            read(
                "SR 2013/43 (Northern Ireland, 2013), Schedule 4 paragraph 11, in the draft that \
                 was made, and SR 2012/132, regulation 8, as made"
            ))
            .noting(
                "The text says before 8 weeks of age. Under a block licence a vet may certify \
                 that a chip would harm the dog's health (SR 2012/132, regulation 8(4))"),
    ],
    gaps: "Only the paragraph on chips was read. Ages, litters, leaving, adverts and records were \
           not.",
    ..LAW
};
