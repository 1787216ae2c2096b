//! The words of tests of the parents: genes of which the puppies' share cannot be computed, and
//! results that had run out.
//!
//! In: what is open. Out: phrases without full stop.

use crate::husbandry::pedigree::genes::{CopyCount, OpenRisk};
use crate::husbandry::prospect::MissingTest;
use crate::quantity::Day;
use crate::records::dog::Sex;

/// `DM: the dam is affected, and the sire has no result that counts: puppies may be affected`.
pub(super) fn open(test: &str, risk: OpenRisk) -> String {
    let OpenRisk {
        of,
        status,
        other_untested,
    } = risk;
    let (own, other) = match of {
        Sex::Female => ("dam", "sire"),
        Sex::Male => ("sire", "dam"),
    };
    let is = match status {
        CopyCount::Clear => "is clear",
        CopyCount::Carrier => "is a carrier",
        CopyCount::Affected => "is affected",
    };
    if other_untested {
        format!(
            "{test}: the {own} {is}, and the {other} has no result that counts: puppies may be \
             affected"
        )
    } else {
        format!("{test}: the {own} {is}, and it is not simply recessive: puppies may be affected")
    }
}

pub(super) fn ends(risk: OpenRisk) -> &'static str {
    if risk.other_untested {
        "tests of both parents; ends with a result of the other parent, or with the birth"
    } else {
        "tests of both parents; ends with the birth"
    }
}

/// `eye examination: that of the dam had run out on 2024-02-12, before the mating`.
pub(super) fn ran_out(MissingTest { of, test, why: _ }: &MissingTest, until: Day) -> String {
    let whose = match of {
        Sex::Female => "dam",
        Sex::Male => "sire",
    };
    format!("{test}: that of the {whose} had run out on {until}, before the mating")
}
