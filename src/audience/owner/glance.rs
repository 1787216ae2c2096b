//! What a vet asks beside treatments: what was seen at birth and at checks, and what the parents
//! were tested for.
//!
//! In: the record. Out: short lines for the vet's box and the first page of the paper. "Nothing
//! noted" is said only where somebody looked, and only words that are known to be good are left
//! out.

use super::{
    BirthRecord, EventKind, EventRecord, LookedAt, ParentRecord, ScreeningRecord, VigourRecord,
};
use crate::husbandry::pedigree::genes::same_test;
use crate::husbandry::signs::{NewbornLook, newborn};
use crate::quantity::Day;
use serde::Serialize;

/// Seconds to the first breath from which on it is told. Ours.
const LATE_BREATH: u64 = 60;

/// Lines for a vet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Glance {
    /// `nothing noted (palate and navel looked at)`, or what was noted.
    pub at_birth: String,
    /// What the dam was tested for, and which results are missing.
    pub dam_tests: String,
    /// The same of the sire.
    pub sire_tests: String,
    /// What checks found, the latest first.
    pub checks: Vec<CheckSeen>,
}

/// A check in one line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CheckSeen {
    /// The day.
    pub on: String,
    /// Who looked.
    pub by: Option<String>,
    /// `heart: murmur grade 2; advised: listen again`.
    pub said: String,
    /// Whether all that was seen is known to be good.
    pub is_plain: bool,
}

pub(super) fn glance(
    birth: &BirthRecord,
    dam: &ParentRecord,
    sire: &ParentRecord,
    events: &[EventRecord],
) -> Glance {
    Glance {
        at_birth: at_birth(birth),
        dam_tests: tests(dam, sire),
        sire_tests: tests(sire, dam),
        checks: checks(events),
    }
}

/// What the checks among these entries found, the latest first.
#[must_use]
pub fn checks(events: &[EventRecord]) -> Vec<CheckSeen> {
    let checks = events.iter().filter(|event| event.kind == EventKind::Check);
    checks.rev().map(check).collect()
}

/// Words that are good at one part of a check, beside those that are good anywhere and those that
/// are said of newborns. Dry ears are well, dry eyes are not.
const GOOD: &[(&str, &[&str])] = &[
    ("findings", &["nothing abnormal found", "nothing found"]),
    ("heart", &["clear", "no murmur", "no murmur heard"]),
    ("eyes", &["clear"]),
    ("ears", &["clean", "clear", "dry"]),
    ("mouth and bite", &["palate intact", "scissor bite"]),
    ("navel", &["clean", "closed", "dry"]),
    ("testes", &["both down"]),
    ("knees", &["both tight"]),
    ("skin", &["clean", "clear"]),
];

fn is_good(what: &str, seen: &str) -> bool {
    let plain = seen.trim().trim_end_matches('.').to_lowercase();
    let own = GOOD.iter().find(|(part, _)| *part == what);
    plain == "normal"
        || own.is_some_and(|(_, good)| good.contains(&plain.as_str()))
        || newborn(what, seen) == NewbornLook::Good
}

/// Findings, and beside them every part whose words are not known to be good: a murmur that was
/// written at the heart alone must not be missed.
fn check(event: &EventRecord) -> CheckSeen {
    let seems_good = |part: &&LookedAt| is_good(part.what, &part.seen);
    let (good, noted): (Vec<_>, Vec<_>) = event.looked_at.iter().partition(seems_good);
    let findings = event.findings.as_deref();
    let is_plain = noted.is_empty()
        && event.advice.is_none()
        && findings.is_none_or(|words| is_good("findings", words));
    let parts = noted
        .iter()
        .map(|part| format!("{}: {}", part.what, part.seen));
    let mut said: Vec<String> = findings.map(str::to_owned).into_iter().collect();
    said.extend(parts);
    if said.is_empty() && !good.is_empty() {
        let good: Vec<_> = good.iter().map(|part| part.what).collect();
        said.push(format!("nothing noted (looked at: {})", good.join(", ")));
    } else if said.is_empty() {
        said.push("nobody wrote down what was found".to_owned());
    }
    said.extend(event.advice.iter().map(|words| format!("advised: {words}")));
    CheckSeen {
        on: event.on.clone(),
        by: event.by.clone(),
        said: said.join("; "),
        is_plain,
    }
}

fn at_birth(birth: &BirthRecord) -> String {
    let BirthRecord {
        at: _,
        how: _,
        order: _,
        grams: _,
        first_breath_seconds,
        palate,
        vigour,
        looked_at,
    } = birth;
    let mut noted = Vec::new();
    let mut normal = Vec::new();
    match palate {
        Some("intact") => normal.push("palate"),
        Some(palate) => noted.push(format!("palate {palate}")),
        None => {}
    }
    for LookedAt { what, seen } in looked_at {
        if newborn(what, seen) == NewbornLook::Good {
            normal.push(what);
        } else {
            noted.push(format!("{what}: {seen}"));
        }
    }
    if let Some(seconds) = first_breath_seconds.filter(|seconds| *seconds >= LATE_BREATH) {
        noted.push(format!("first breath after {seconds} s"));
    }
    let scored = vigour.iter().filter_map(
        |VigourRecord {
             seconds,
             total,
             class,
         }| Some((*seconds, (*total)?, class)),
    );
    for (seconds, total, class) in scored.clone().filter(|(_, _, class)| *class != NO_DISTRESS) {
        noted.push(format!(
            "vigour {} min after birth: {total} of 10, {class}",
            seconds / 60
        ));
    }
    if scored.clone().count() > 0 && scored.clone().all(|(_, _, class)| class == NO_DISTRESS) {
        normal.push("vigour");
    }
    match (noted.is_empty(), normal.is_empty()) {
        (false, _) => noted.join("; "),
        (true, false) => format!("nothing noted (looked at: {})", normal.join(", ")),
        (true, true) => "nobody wrote down that it was looked at".to_owned(),
    }
}

/// The class of a vigour score that asks for nothing.
const NO_DISTRESS: &str = "no distress";

/// Published results of a parent in one line, and by name those that the other parent has and this
/// one has not.
fn tests(own: &ParentRecord, other: &ParentRecord) -> String {
    let has = |test: &str| {
        own.screening
            .iter()
            .any(|one| same_test(&one.test) == same_test(test))
    };
    let results = own.screening.iter().map(
        |ScreeningRecord {
             test,
             result,
             on,
             by: _,
             valid_until,
             has_run_out,
         }| {
            // There is room for the year, and for the day of a result that says nothing of today.
            let year = on
                .as_deref()
                .and_then(|day| day.get(..4))
                .map(str::to_owned);
            let end = valid_until.as_deref().filter(|_| *has_run_out);
            let end = end.map(|day| day.parse().map_or_else(|_| day.to_owned(), Day::in_words));
            let end = end.map(|day| format!("ran out on {day}"));
            let when: Vec<String> = year.into_iter().chain(end).collect();
            if when.is_empty() {
                format!("{test}: {result}")
            } else {
                format!("{test}: {result} ({})", when.join(", "))
            }
        },
    );
    let gaps = other
        .screening
        .iter()
        .filter(|one| !has(&one.test))
        .map(|one| format!("no published result for {}", one.test));
    let lines: Vec<String> = results.chain(gaps).collect();
    if lines.is_empty() {
        "no result is published".to_owned()
    } else {
        lines.join("; ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::husbandry::testing::each;

    fn birth() -> BirthRecord {
        BirthRecord {
            at: None,
            how: None,
            order: None,
            grams: None,
            first_breath_seconds: None,
            palate: None,
            vigour: Vec::new(),
            looked_at: Vec::new(),
        }
    }

    fn looked(what: &'static str, seen: &str) -> LookedAt {
        LookedAt {
            what,
            seen: seen.to_owned(),
        }
    }

    #[test]
    fn nothing_noted_is_said_only_where_somebody_looked() {
        assert_eq!(
            super::at_birth(&birth()),
            "nobody wrote down that it was looked at"
        );
        let seen = BirthRecord {
            palate: Some("intact"),
            looked_at: vec![looked("navel", "normal"), looked("suck reflex", "strong")],
            first_breath_seconds: Some(40),
            ..birth()
        };
        assert_eq!(
            super::at_birth(&seen),
            "nothing noted (looked at: palate, navel, suck reflex)"
        );
        let noted = BirthRecord {
            palate: Some("cleft"),
            looked_at: vec![looked("tail", "kinked"), looked("navel", "normal")],
            ..birth()
        };
        assert_eq!(super::at_birth(&noted), "palate cleft; tail: kinked");
        let weak = VigourRecord {
            seconds: 300,
            total: Some(4),
            class: "moderate distress".to_owned(),
        };
        let late = BirthRecord {
            first_breath_seconds: Some(90),
            vigour: vec![weak],
            ..birth()
        };
        assert_eq!(
            super::at_birth(&late),
            "first breath after 90 s; vigour 5 min after birth: 4 of 10, moderate distress"
        );
    }

    #[test]
    fn a_gap_of_a_parent_is_named_after_what_the_other_has() {
        let parent = |tests: &[(&str, &str)]| ParentRecord {
            name: "x".to_owned(),
            call_name: None,
            colour: None,
            born: None,
            registration: None,
            screening: tests
                .iter()
                .map(|(test, result)| ScreeningRecord {
                    test: (*test).to_owned(),
                    result: (*result).to_owned(),
                    on: None,
                    by: None,
                    valid_until: None,
                    has_run_out: false,
                })
                .collect(),
        };
        let (dam, sire) = (
            parent(&[("patella", "0/0"), ("von Willebrand", "clear")]),
            parent(&[("Patella", "0/1")]),
        );
        let mut old = parent(&[("eyes", "clear")]);
        old.screening[0].valid_until = Some("2024-02-12".to_owned());
        assert_eq!(super::tests(&old, &old), "eyes: clear");
        old.screening[0].has_run_out = true;
        assert_eq!(
            super::tests(&old, &old),
            "eyes: clear (ran out on 12 February 2024)"
        );
        old.screening[0].on = Some("2023-02-12".to_owned());
        assert_eq!(
            super::tests(&old, &old),
            "eyes: clear (2023, ran out on 12 February 2024)"
        );
        let glance = glance(&birth(), &dam, &sire, &[]);
        assert_eq!(glance.dam_tests, "patella: 0/0; von Willebrand: clear");
        assert_eq!(
            glance.sire_tests,
            "Patella: 0/1; no published result for von Willebrand"
        );
        assert_eq!(
            super::tests(&parent(&[]), &parent(&[])),
            "no result is published"
        );
    }

    fn blank() -> EventRecord {
        EventRecord::of(EventKind::Check, "2026-09-30")
    }

    #[test]
    fn every_part_with_words_of_its_own_is_one_of_a_check() {
        let check = "heart: a\neyes: a\nears: a\nmouth: a\nnavel: a\ntestes: a\nknees: a\nskin: a\n\
                     joints: a\n";
        let check = serde_yaml::from_str(check).unwrap();
        let seen = super::super::events::checked(&check, blank()).looked_at;
        for (part, _) in &super::GOOD[1..] {
            assert!(seen.iter().any(|looked| looked.what == *part), "{part}");
        }
    }

    #[test]
    fn what_a_check_found_is_told_also_where_it_stands_at_one_part_only() {
        let check =
            |findings: Option<&str>, advice: Option<&str>, parts: &[(&'static str, &str)]| {
                let event = EventRecord {
                    findings: findings.map(str::to_owned),
                    advice: advice.map(str::to_owned),
                    looked_at: parts
                        .iter()
                        .map(|(what, seen)| looked(what, seen))
                        .collect(),
                    ..blank()
                };
                let seen = super::checks(&[event]).remove(0);
                (seen.said, seen.is_plain)
            };
        let said = |words: &str, is_plain: bool| (words.to_owned(), is_plain);
        let parts = [
            ("heart", "murmur grade 2 of 6"),
            ("eyes", "clear"),
            ("testes", "left one not down"),
        ];
        each! {
            check(None, None, &parts)
                => said("heart: murmur grade 2 of 6; testes: left one not down", false);
            check(Some("nothing found"), Some("listen again"), &parts[..2])
                => said("nothing found; heart: murmur grade 2 of 6; advised: listen again", false);
            check(None, None, &[("eyes", "clear"), ("navel", "closed")])
                => said("nothing noted (looked at: eyes, navel)", true);
            check(Some("nothing found"), None, &[("heart", "no murmur heard")])
                => said("nothing found", true);
        }
        let part = |what: &'static str, seen: &str| check(None, None, &[(what, seen)]).1;
        assert!(part("mouth and bite", "scissor bite") && part("knees", "both tight"));
        // What is well at one part is not at another.
        assert_eq!(
            check(None, None, &[("eyes", "dry"), ("ears", "dry")]),
            said("eyes: dry", false)
        );
        assert_eq!(
            check(None, None, &[]),
            said("nobody wrote down what was found", true)
        );
    }
}
