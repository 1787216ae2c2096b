//! What is missing before a puppy can leave, in words.
//!
//! In: a gap. Out: phrases without full stop: its kind in a word or two, what is missing, and what
//! to do, or where to write it.

use super::{care, findings};
use crate::husbandry::age;
use crate::husbandry::readiness::{GapKind, PaperEntry, PaperField, ReadinessGap};
use crate::quantity::days_said;

/// In one or two words: `chip`, `vaccination`.
#[must_use]
pub fn kind(kind: GapKind) -> &'static str {
    match kind {
        GapKind::Family => "family",
        GapKind::Age => "age",
        GapKind::Finding => "finding",
        GapKind::Chip => "chip",
        GapKind::Check => "vet check",
        GapKind::Worming => "worming",
        GapKind::Vaccination => "vaccination",
        GapKind::Papers => "papers",
        GapKind::Feeding => "feeding",
    }
}

/// What is missing; `ounces` is how the keeper reads weights.
#[must_use]
pub fn missing(gap: &ReadinessGap, ounces: bool) -> String {
    let missing = match gap {
        ReadinessGap::NoFamily => "no family takes this puppy in owners.yaml".to_owned(),
        ReadinessGap::TooYoung { born, on, from } => format!(
            "it is {} old on {on}, and may leave from {from}",
            age::in_words(*born, *on)
        ),
        ReadinessGap::Finding(finding) => format!(
            "{}: {}",
            finding.urgency.words(),
            findings::what(finding, ounces)
        ),
        ReadinessGap::NoChip => "no chip number in the records".to_owned(),
        ReadinessGap::NotRecorded {
            kind: _,
            standing,
            is_late,
        } => {
            let (name, until) = (&standing.item.name, standing.until);
            let because = care::after(standing.remark.as_ref());
            if *is_late {
                format!("{name} was due by {until} and is not recorded{because}")
            } else {
                format!(
                    "{name} is due by {until}, before it leaves, and is not recorded yet{because}"
                )
            }
        }
        ReadinessGap::EntryLacks { entry, day, lacks } => {
            let entry = match entry {
                PaperEntry::Vaccination => "vaccination",
                PaperEntry::Worming => "worming",
            };
            let day = day.map(|day| day.to_string()).unwrap_or_default();
            let lacks: Vec<&str> = lacks.iter().map(|lack| field(*lack)).collect();
            format!("the {entry} of {day} lacks its {}", lacks.join(", "))
        }
        ReadinessGap::NoRegistration => {
            "no registration number, and its parents or littermates have one".to_owned()
        }
        ReadinessGap::NoPhone => "the kennel’s own telephone is missing".to_owned(),
        ReadinessGap::NoEmergencyVet => "no vet for emergencies is named".to_owned(),
        ReadinessGap::NoFeedingNote => "no note tells the family what it eats and when".to_owned(),
    };
    days_said(&missing)
}

fn field(field: PaperField) -> &'static str {
    match field {
        PaperField::Against => "what it is against (`against`)",
        PaperField::Product => "product",
        PaperField::Batch => "batch",
        PaperField::Vet => "vet (`by`)",
        PaperField::Weight => "weight it was given for",
    }
}

/// What to do, or where to write it.
#[must_use]
pub fn hint(gap: &ReadinessGap) -> String {
    let hint = match gap {
        ReadinessGap::NoFamily => {
            "add it under `takes:` of its family; without one there is no sealed page"
        }
        ReadinessGap::TooYoung { from, .. } => {
            return format!(
                "agree on {from} or later under `leaves:` in owners.yaml; many laws allow no \
                 earlier day"
            );
        }
        ReadinessGap::Finding(_) => "look at it first; the keeper’s book has the figures",
        ReadinessGap::NoChip => "write `chip:` in litter.yaml, or a `chip` entry in health.yaml",
        ReadinessGap::NotRecorded { .. } => {
            "write it into health.yaml, or say there why it is not needed (`excused:`)"
        }
        ReadinessGap::EntryLacks { .. } => "write it into that entry of health.yaml",
        ReadinessGap::NoRegistration => "write `registration:` in litter.yaml",
        ReadinessGap::NoPhone => "write `phone:` under `contact:` in kennel.yaml",
        ReadinessGap::NoEmergencyVet => "write `emergency_vet:` under `contact:` in kennel.yaml",
        ReadinessGap::NoFeedingNote => "write a note with `audience: owners` and `topic: feeding`",
    };
    hint.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_gap_is_told_with_what_to_do_about_it() {
        let day = |text: &str| text.parse().unwrap();
        let young = ReadinessGap::TooYoung {
            born: day("2026-10-01"),
            on: day("2026-11-12"),
            from: day("2026-11-26"),
        };
        assert_eq!(kind(young.kind()), "age");
        assert_eq!(
            missing(&young, false),
            "it is 6 weeks old on 12 November 2026, and may leave from 26 November 2026"
        );
        assert!(hint(&young).starts_with("agree on 2026-11-26 or later"));
        let lacks = ReadinessGap::EntryLacks {
            entry: PaperEntry::Vaccination,
            day: Some(day("2026-11-20")),
            lacks: vec![PaperField::Against, PaperField::Vet],
        };
        assert_eq!(kind(lacks.kind()), "papers");
        assert_eq!(
            missing(&lacks, false),
            "the vaccination of 20 November 2026 lacks its what it is against (`against`), vet \
             (`by`)"
        );
        assert_eq!(hint(&lacks), "write it into that entry of health.yaml");
    }
}
