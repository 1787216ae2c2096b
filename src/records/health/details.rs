//! The details of health entries: which belong to which kind, and what an entry says in each.
//!
//! In: an entry. Out: its [`EntryParts`]: each [`HealthDetail`] that it has, with its
//! [`DetailValue`], in schema order. What a kind has stands in one list below, which takes the
//! records apart without `..`: a new field does not compile until it is a detail there, and then
//! everybody who names details has to name it.

use super::{
    Check, ChipImplant, Feed, FollowUp, HealthEntry, HealthKind, Illness, LabTest, Parasite,
    Treatment, Vaccination,
};
use crate::OneOrMany;
use crate::quantity::{ChipNumber, Day, Energy, FeedAmount, Id, Moment, Temperature, Text, Weight};
use std::fmt;

/// What a detail says.
#[derive(Debug, Clone, Copy)]
pub enum DetailValue<'a> {
    /// Words.
    Text(&'a Text),
    /// Several words, at least one.
    Texts(&'a [Text]),
    /// A day.
    Day(Day),
    /// A weight.
    Weight(Weight),
    /// A temperature.
    Temperature(Temperature),
    /// How much was fed.
    Amount(&'a FeedAmount),
    /// Energy of what was fed.
    Energy(Energy),
    /// The number of a chip.
    Number(&'a ChipNumber),
    /// Items of the care plan, at least one.
    Items(&'a [Id]),
}

/// As it is written in the records, several with commas.
impl fmt::Display for DetailValue<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Text(text) => text.fmt(f),
            Self::Texts(texts) => joined(texts, f),
            Self::Day(day) => day.fmt(f),
            Self::Weight(weight) => weight.fmt(f),
            Self::Temperature(temperature) => temperature.fmt(f),
            Self::Amount(amount) => amount.fmt(f),
            Self::Energy(energy) => energy.fmt(f),
            Self::Number(number) => number.fmt(f),
            Self::Items(ids) => joined(ids, f),
        }
    }
}

fn joined<T: fmt::Display>(all: &[T], f: &mut fmt::Formatter<'_>) -> fmt::Result {
    for (i, one) in all.iter().enumerate() {
        write!(f, "{}{one}", if i == 0 { "" } else { ", " })?;
    }
    Ok(())
}

/// A field of an entry, which may say nothing.
trait DetailField {
    fn said(&self) -> Option<DetailValue<'_>>;
}

impl<T: DetailField> DetailField for Option<T> {
    fn said(&self) -> Option<DetailValue<'_>> {
        self.as_ref()?.said()
    }
}

macro_rules! fields {
    ($($type:ty: $of:expr;)*) => {$(
        impl DetailField for $type {
            fn said(&self) -> Option<DetailValue<'_>> {
                let of: fn(&$type) -> Option<DetailValue<'_>> = $of;
                of(self)
            }
        }
    )*};
}

fields! {
    Text: |text| Some(DetailValue::Text(text));
    OneOrMany<Text>: |texts| (!texts.is_empty()).then_some(DetailValue::Texts(texts));
    Day: |day| Some(DetailValue::Day(*day));
    Weight: |weight| Some(DetailValue::Weight(*weight));
    Temperature: |temperature| Some(DetailValue::Temperature(*temperature));
    FeedAmount: |amount| Some(DetailValue::Amount(amount));
    Energy: |energy| Some(DetailValue::Energy(*energy));
    ChipNumber: |number| Some(DetailValue::Number(number));
    OneOrMany<Id>: |ids| (!ids.is_empty()).then_some(DetailValue::Items(ids));
}

/// A record with its details.
trait Detailed {
    /// All that it can have, and whether an entry is worth nothing without.
    const HAS: &'static [(HealthDetail, bool)];
    /// What it says in each, in the same order.
    fn details(&self) -> Values<'_>;
}

macro_rules! details {
    ($($record:ident { $($field:ident $detail:ident $($needed:ident)?),* })*) => {$(
        impl Detailed for $record {
            const HAS: &'static [(HealthDetail, bool)] = &[
                $((HealthDetail::$detail, details!(@ $($needed)?))),*
            ];
            fn details(&self) -> Values<'_> {
                let Self { $($field),* } = self;
                vec![$($field.said()),*]
            }
        }
    )*};
    (@ needed) => { true };
    (@) => { false };
}

details! {
    Parasite {
        product Product needed, active Active, batch Batch, weight Weight, given Given, by By,
        next_due NextDue
    }
    Vaccination {
        against Against, product Product needed, manufacturer Manufacturer, batch Batch,
        expiry Expiry, dose Dose, site Site, by By, next_due NextDue, reaction Reaction
    }
    Check {
        by By needed, findings Findings, advice Advice, heart Heart, eyes Eyes, ears Ears,
        mouth Mouth, navel Navel, testes Testes, knees Knees, skin Skin, joints Joints
    }
    Feed { what What needed, amount Amount, how How, energy Energy }
    Illness { signs Signs needed, advice Advice, by By }
    Treatment { product Product needed, why Why, given Given, by By, until Until }
    ChipImplant { number Number needed, by By, site Site }
    LabTest { what What needed, result Result needed, by By }
    FollowUp { weight Weight, bite Bite, hips Hips, how How, by By }
}

impl HealthKind {
    /// The details of this kind, in schema order, and whether an entry is worth nothing without.
    #[must_use]
    pub fn details(self) -> &'static [(HealthDetail, bool)] {
        match self {
            Self::Worming | Self::Parasite => Parasite::HAS,
            Self::Vaccination => Vaccination::HAS,
            Self::Check => Check::HAS,
            Self::Temperature => &[(HealthDetail::Value, true)],
            Self::Feed => Feed::HAS,
            Self::Illness => Illness::HAS,
            Self::Treatment => Treatment::HAS,
            Self::Chip => ChipImplant::HAS,
            Self::Test => LabTest::HAS,
            Self::FollowUp => FollowUp::HAS,
            Self::Done | Self::Excused => &[(HealthDetail::Item, true)],
        }
    }
}

/// An entry, taken apart: whoever shows it decides on each part.
#[derive(Debug)]
pub struct EntryParts<'a> {
    /// The day.
    pub on: Option<Day>,
    /// Day and time.
    pub at: Option<Moment>,
    /// For whom it is.
    pub whom: &'a [Id],
    /// Every detail that was written, in schema order, with the kind to which it belongs.
    pub details: Vec<(HealthKind, HealthDetail, DetailValue<'a>)>,
    /// Anything worth keeping.
    pub remark: Option<&'a Text>,
}

/// What is said in each detail of one kind, in schema order.
type Values<'a> = Vec<Option<DetailValue<'a>>>;

impl HealthEntry {
    /// All that it says.
    #[must_use]
    pub fn parts(&self) -> EntryParts<'_> {
        let (on, at, whom, remark) = (self.on, self.at, &self.whom, self.remark.as_ref());
        let details = self.said().into_iter().flat_map(|(kind, values)| {
            let own = kind.details().iter().zip(values.unwrap_or_default());
            own.filter_map(move |((detail, _), value)| Some((kind, *detail, value?)))
        });
        EntryParts {
            on,
            at,
            whom,
            details: details.collect(),
            remark,
        }
    }

    /// What this entry says, in schema order: one kind, where nothing is wrong with it.
    #[must_use]
    pub fn kinds(&self) -> Vec<HealthKind> {
        let said = self.said().into_iter();
        said.filter_map(|(kind, values)| values.map(|_| kind))
            .collect()
    }

    /// The kinds of all entries, with what this one says in each.
    fn said(&self) -> [(HealthKind, Option<Values<'_>>); 13] {
        fn of<T: Detailed>(record: Option<&T>) -> Option<Values<'_>> {
            record.map(T::details)
        }
        fn one(field: &impl DetailField) -> Option<Values<'_>> {
            field.said().map(|value| vec![Some(value)])
        }
        // What is no detail is a part of its own.
        let Self {
            on: _,
            at: _,
            whom: _,
            remark: _,
            worming,
            parasite,
            vaccination,
            check,
            temperature,
            feed,
            illness,
            treatment,
            chip,
            test,
            follow_up,
            done,
            excused,
        } = self;
        [
            (HealthKind::Worming, of(worming.as_ref())),
            (HealthKind::Parasite, of(parasite.as_ref())),
            (HealthKind::Vaccination, of(vaccination.as_ref())),
            (HealthKind::Check, of(check.as_ref())),
            (HealthKind::Temperature, one(temperature)),
            (HealthKind::Feed, of(feed.as_ref())),
            (HealthKind::Illness, of(illness.as_ref())),
            (HealthKind::Treatment, of(treatment.as_ref())),
            (HealthKind::Chip, of(chip.as_ref())),
            (HealthKind::Test, of(test.as_ref())),
            (HealthKind::FollowUp, of(follow_up.as_ref())),
            (HealthKind::Done, one(done)),
            (HealthKind::Excused, one(excused)),
        ]
    }
}

impl Check {
    /// All that it says was found; the advice is left out.
    pub fn said(&self) -> impl Iterator<Item = &Text> {
        let found = Self::HAS.iter().zip(self.details());
        found.filter_map(|((detail, _), value)| match (detail, value?) {
            (HealthDetail::By | HealthDetail::Advice, _) => None,
            (_, DetailValue::Text(text)) => Some(text),
            _ => None,
        })
    }
}

macro_rules! keys {
    ($($detail:ident $key:literal $doc:literal)*) => {
        /// A detail of an entry.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum HealthDetail {
            $(#[doc = $doc] $detail),*
        }

        impl HealthDetail {
            /// Its key in `health.yaml`; a temperature and items of the plan have none of their
            /// own, and these words at the desk.
            #[must_use]
            pub fn key(self) -> &'static str {
                match self { $(Self::$detail => $key),* }
            }
        }
    };
}

keys! {
    Product "product" "Product."
    Active "active" "Active substance."
    Manufacturer "manufacturer" "Manufacturer of a vaccine."
    Batch "batch" "Batch."
    Expiry "expiry" "Expiry date of the vial."
    Weight "weight" "The weight it was given for, or that of a grown puppy."
    Given "given" "What was given, in the words of the label or the vet."
    Against "against" "Diseases a vaccination is against."
    Dose "dose" "Which of a series of vaccinations."
    Site "site" "Where on the body."
    By "by" "Who did it or says so."
    NextDue "next_due" "When it is due again."
    Until "until" "Until when a treatment goes on."
    Why "why" "Why a treatment is given."
    Reaction "reaction" "A reaction to a vaccination."
    Findings "findings" "What a check found."
    Advice "advice" "What was advised."
    Heart "heart" "Heart, in a check."
    Eyes "eyes" "Eyes, in a check."
    Ears "ears" "Ears, in a check."
    Mouth "mouth" "Mouth, in a check."
    Navel "navel" "Navel, in a check."
    Testes "testes" "Testes, in a check."
    Knees "knees" "Knees, in a check."
    Skin "skin" "Skin, in a check."
    Joints "joints" "Joints, in a check."
    Signs "signs" "Signs of illness."
    Value "value" "A temperature."
    What "what" "What was fed, or tested."
    Amount "amount" "How much was fed."
    How "how" "How it was fed, or how a grown puppy is."
    Energy "energy" "Energy of what was fed."
    Bite "bite" "Bite of a grown puppy."
    Hips "hips" "Hips of a grown puppy."
    Result "result" "Result of a test."
    Number "number" "Number of a chip."
    Item "item" "Items of the care plan."
}

impl HealthDetail {
    /// The parts that a check looks at.
    pub const PARTS: [Self; 9] = [
        Self::Heart,
        Self::Eyes,
        Self::Ears,
        Self::Mouth,
        Self::Navel,
        Self::Testes,
        Self::Knees,
        Self::Skin,
        Self::Joints,
    ];
}
