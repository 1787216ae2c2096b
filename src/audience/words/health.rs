//! What the details of health entries are called, in the keeper's book and at the desk.
//!
//! In: a kind of entry and one of its details. Out: [`DetailWords`].

use crate::records::health::{HealthDetail as Detail, HealthKind};

/// What a detail is called.
#[derive(Debug, Clone, Copy)]
pub struct DetailWords {
    /// In the book: one word, where it can be.
    pub in_book: &'static str,
    /// At the desk, where it is asked for.
    pub label: &'static str,
    /// A word on it there; nothing, where the label says it all.
    pub help: &'static str,
}

/// In the book and at the desk alike.
const fn called(label: &'static str) -> DetailWords {
    DetailWords {
        in_book: label,
        label,
        help: "",
    }
}

impl DetailWords {
    const fn in_book(self, in_book: &'static str) -> Self {
        Self { in_book, ..self }
    }

    const fn help(self, help: &'static str) -> Self {
        Self { help, ..self }
    }
}

/// What a detail of this kind is called.
#[must_use]
pub fn detail(kind: HealthKind, detail: Detail) -> DetailWords {
    match (detail, kind) {
        (Detail::Product, _) => called("Product").help("as it is printed on the label"),
        (Detail::Active, _) => called("Active substance")
            .in_book("Active")
            .help("as it is printed on the label"),
        (Detail::Batch, _) => called("Batch"),
        (Detail::Manufacturer, _) => called("Manufacturer"),
        (Detail::Expiry, _) => called("Expiry date of the vial").in_book("Expiry"),
        (Detail::Weight, HealthKind::FollowUp) => called("Weight").help("with its unit: 24 kg"),
        (Detail::Weight, _) => called("Weight it was given for")
            .in_book("For weight")
            .help(
                "with its unit; left empty, the last weigh-in of each puppy is written, where it \
                 is at most three days old",
            ),
        (Detail::Given, _) => called("What was given")
            .in_book("Given")
            .help("in the words of the label or the vet; this program computes no amount"),
        (Detail::Against, _) => called("Against").help("diseases, with commas"),
        (Detail::Dose, _) => called("Which of the series")
            .in_book("Dose")
            .help("first, second …"),
        (Detail::Site, _) => called("Where on the body").in_book("Site"),
        (Detail::By, HealthKind::Chip) => called("Who put it in").in_book("By"),
        (Detail::By, HealthKind::Test) => called("Laboratory").in_book("By"),
        (Detail::By, HealthKind::Check) => called("Who looked")
            .in_book("By")
            .help("vet and practice, or you"),
        (Detail::By, HealthKind::Illness) => called("Who advised").in_book("By"),
        (Detail::By, HealthKind::Treatment) => called("Who prescribed it").in_book("By"),
        (Detail::By, _) => called("Who did it or says so").in_book("By"),
        (Detail::NextDue, _) => called("Due again on").in_book("Next due"),
        (Detail::Until, _) => called("Goes on until").in_book("Until"),
        (Detail::Why, _) => called("Why"),
        (Detail::Reaction, _) => called("Reaction").help("in words, if there was one"),
        (Detail::Findings, _) => called("What was found").in_book("Findings"),
        (Detail::Advice, _) => called("What was advised").in_book("Advice"),
        (Detail::Signs, _) => called("What was seen").in_book("Signs"),
        (Detail::What, HealthKind::Feed) => called("What was fed").in_book("Feed"),
        (Detail::What, _) => called("What was tested").in_book("Test"),
        (Detail::Amount, _) => called("How much")
            .in_book("Amount")
            .help("with its unit: 3.5 ml"),
        (Detail::How, HealthKind::Feed) => called("How").help("bottle, tube, spoon"),
        (Detail::How, _) => called("How it is"),
        (Detail::Energy, _) => called("Energy, as the packet says")
            .in_book("Energy")
            .help("1.1 kcal/ml"),
        (Detail::Result, _) => called("Result"),
        (Detail::Bite, _) => called("Bite"),
        (Detail::Hips, _) => called("Hips").help("the result of their X-ray, or how it moves"),
        (Detail::Heart, _) => called("Heart"),
        (Detail::Eyes, _) => called("Eyes"),
        (Detail::Ears, _) => called("Ears"),
        (Detail::Mouth, _) => called("Mouth and bite").in_book("Mouth"),
        (Detail::Navel, _) => called("Navel"),
        (Detail::Testes, _) => called("Testes"),
        (Detail::Knees, _) => called("Knees"),
        (Detail::Skin, _) => called("Skin"),
        (Detail::Joints, _) => called("Joints"),
        (Detail::Number, _) => called("Number"),
        (Detail::Value, _) => called("Temperature"),
        (Detail::Item, HealthKind::Excused) => {
            called("Item of the care plan").in_book("Items not needed")
        }
        (Detail::Item, _) => called("Item of the care plan").in_book("Items"),
    }
}
