//! The words of verdicts, and the tone of every text.

use super::*;
use crate::husbandry::rules::samples::{natural, nothing_known, ordinary, section, verdict, worst};
use crate::husbandry::rules::{CAUTION, Mating, MonthRead, all, compare};
use crate::husbandry::testing::day;

/// The figures of a verdict, what is not known, what is noted and where it comes from.
fn whole(verdict: &Verdict) -> String {
    let missing = match &verdict.state {
        Compliance::CannotTell(missing) => unknown(missing),
        Compliance::Within | Compliance::Ahead | Compliance::Beyond => String::new(),
    };
    let rule = verdict.rule;
    let source = cite(rule.source, day("2026-11-30"));
    let parts = [figures(verdict), missing, rule.note.to_owned(), source];
    let said = parts.into_iter().filter(|part| !part.is_empty());
    said.collect::<Vec<_>>().join("; ")
}

#[test]
fn the_words_hold_the_figures_the_source_and_whom_to_check_with() {
    let mating = Mating {
        earlier: vec![natural("2023-01-10"), section("2025-01-10", None)],
        by_section: Some(true),
        ..ordinary()
    };
    let litters = verdict("scotland-litters-in-life", &mating);
    assert_eq!(
        figures(&litters),
        "third litter of this dam in the records; the rule asks for at most 6 in her life"
    );
    assert_eq!(
        cite(litters.source(), day("2026-11-30")),
        "SSI 2021/84 (Scotland, 2021), Schedule 6 paragraph 8(3) (read in the source, 2026-11)"
    );
    let what = |rule| figures(&verdict(rule, &mating));
    assert_eq!(
        what("scotland-after-sections"),
        "1 litter by section before this one, and this one makes it full; the rule asks for no \
         further mating after 2"
    );
    assert_eq!(
        what("scotland-dam-oldest"),
        "the dam was mated on 3 May 2026 and reaches 8 years on 27 February 2030; the rule asks \
         for mating before the dam is 8 years old"
    );
    assert_eq!(
        what("scotland-between-births"),
        "she whelped on 4 July 2026, her litter before was born on 10 January 2025, and 12 months \
         are full on 10 January 2026; the rule asks for at least 12 months from birth to birth"
    );
    assert_eq!(
        what("raad-van-beheer-dam-youngest"),
        "the dam was mated on 1 May 2026 and reaches 16 months on 27 June 2023; the rule asks for \
         at least 16 months at mating"
    );
    assert_eq!(
        what("scotland-chip-by"),
        "5 of 5 puppies with a chip number in the records; the rule asks for a chip by 8 weeks, \
         day 56, 29 August 2026"
    );
    assert!(
        cite(
            verdict("scotland-leaving", &mating).source(),
            day("2026-11-30")
        )
        .contains("from memory, check")
    );
    assert_eq!(
        figures(&verdict(
            "scotland-litters-in-life",
            &Mating {
                earlier: vec![natural("2020-01-01"); 10],
                ..ordinary()
            }
        ))
        .split(" of")
        .next(),
        Some("litter 11")
    );
}

#[test]
fn what_is_not_known_is_said() {
    let missing = |rule: &str, mating: &Mating| match verdict(rule, mating).state {
        Compliance::CannotTell(missing) => unknown(&missing),
        state => panic!("{rule}: {state:?}"),
    };
    assert_eq!(
        missing("scotland-dam-youngest", &nothing_known()),
        "the day of mating"
    );
    let leap = Mating {
        dam_born: Some(day("2024-02-29")),
        mated: vec![day("2025-02-28")],
        ..ordinary()
    };
    assert_eq!(
        missing("scotland-dam-youngest", &leap),
        "whether 2025-02-28 or 2025-03-01 counts, as the month has no such day"
    );
    let late = Mating {
        dam_born: Some(day("2027-01-01")),
        ..ordinary()
    };
    assert_eq!(
        missing("scotland-dam-youngest", &late),
        "a date of birth of the dam before that day; 2027-01-01 cannot be right"
    );
    let expected = Mating {
        whelped: None,
        mated: vec![day("2026-01-10")],
        ..ordinary()
    };
    let text = figures(&verdict("the-kennel-club-dam-oldest", &expected));
    assert!(
        text.contains("expected to whelp between 6 March 2026 and 23 March 2026"),
        "{text}"
    );
}

#[test]
fn every_source_says_when_it_was_read_and_how_sure_we_are() {
    let today = day("2026-11-30");
    for book in all() {
        let rules = book.rules.iter().map(|rule| rule.source);
        let advert = book.advert.iter().map(|item| item.source);
        let record = book.litter_record.iter().map(|item| item.source);
        for source in rules.chain(advert).chain(record) {
            let text = cite(source, today);
            assert!(text.contains("2026-11"), "{text}: when it was read is said");
            assert_eq!(
                source.sure == Sure::FromMemory,
                text.contains("from memory, check"),
                "{text}"
            );
        }
    }
}

#[test]
fn a_rule_that_was_read_more_than_two_years_ago_is_to_be_read_again() {
    let source = RuleSource {
        text: "a law of 2014",
        read: MonthRead {
            year: 2026,
            month: 11,
        },
        sure: Sure::SecondHand,
    };
    assert_eq!(
        cite(source, day("2028-11-30")),
        "a law of 2014 (second-hand, 2026-11)"
    );
    assert_eq!(
        cite(source, day("2028-12-01")),
        "a law of 2014 (second-hand, 2026-11; read it again)"
    );
    assert!(
        cite(source, day("2029-01-01")).ends_with("read it again)"),
        "in a later year, in whatever month"
    );
}

/// Every text that a user can be shown, with the rule or book it belongs to.
fn texts() -> Vec<(String, String)> {
    let mut texts = vec![("caution".to_owned(), CAUTION.to_owned())];
    let source = |texts: &mut Vec<(String, String)>, of: &str, source: RuleSource| {
        texts.push((of.to_owned(), cite(source, day("2026-11-30"))));
    };
    for book in all() {
        texts.extend(
            [book.name, book.applies_to, book.check_with, book.gaps]
                .map(|t| (book.id.to_owned(), t.to_owned())),
        );
        book.advert
            .iter()
            .for_each(|item| source(&mut texts, book.id, item.source));
        book.litter_record
            .iter()
            .for_each(|item| source(&mut texts, book.id, item.source));
        texts.extend(
            book.advert
                .iter()
                .map(|item| (book.id.to_owned(), item.field.words().to_owned())),
        );
        texts.extend(
            book.litter_record
                .iter()
                .map(|item| (book.id.to_owned(), item.field.words().to_owned())),
        );
        for mating in [ordinary(), nothing_known(), worst()] {
            texts.extend(
                compare(book, &mating)
                    .iter()
                    .map(|verdict| (verdict.rule.id.to_owned(), whole(verdict))),
            );
        }
    }
    texts
}

#[test]
fn no_text_judges_threatens_or_advises() {
    for (of, text) in texts() {
        let small = text.to_lowercase();
        for word in [
            "illegal",
            "unlawful",
            "you must",
            "must not",
            "forbidden",
            "offence",
            "prosecut",
            "penalt",
            "breach",
            "legal advice",
            "guilty",
            "allowed to",
        ] {
            assert!(!small.contains(word), "{of}: `{word}` in `{text}`");
        }
        assert!(!text.contains("  ") && !text.contains(".."), "{of}: {text}");
    }
    let verdicts = || {
        [ordinary(), nothing_known(), worst()]
            .into_iter()
            .flat_map(|m| all().iter().flat_map(move |book| compare(book, &m)))
    };
    assert!(verdicts().count() > 100);
    for verdict in verdicts() {
        let text = figures(&verdict);
        assert!(text.contains("the rule asks for "), "{text}");
        assert!(!text.ends_with('.'), "{text}");
    }
}
