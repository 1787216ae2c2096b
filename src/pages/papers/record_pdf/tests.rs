//! Tests of the record as a document: everything of the record is in it, in the words a vet reads.

use super::*;
use crate::audience::owner::{CareState, EventKind, EventRecord};
use crate::papers::samples;
use crate::pdf::typeset;

fn made(record: PuppyRecord) -> Document {
    document(
        &samples::page(record, None),
        "7ZK4-0QWM-0000-1111-2222",
        Sheet::A4,
    )
}

/// All words of a document in their order.
fn said(blocks: &[Block]) -> String {
    let mut words: Vec<String> = Vec::new();
    for block in blocks {
        match block {
            Block::Title { text, under } => {
                words.extend(std::iter::once(text).chain(under).cloned());
            }
            Block::Heading { text, .. }
            | Block::Paragraph(text)
            | Block::Small(text)
            | Block::Code(text) => words.push(text.clone()),
            Block::List(items) | Block::Caution { lines: items, .. } => {
                words.extend(items.iter().cloned());
            }
            Block::Facts { facts, .. } => words.extend(
                facts
                    .iter()
                    .map(|(label, value)| format!("{label}: {value}")),
            ),
            Block::Table {
                caption,
                head,
                rows,
                ..
            } => words.extend(
                std::iter::once(caption)
                    .chain(head)
                    .chain(rows.iter().flatten())
                    .cloned(),
            ),
            Block::Drawing(drawing) => words.push(drawing.alt.clone()),
            Block::Squares { alt, .. } => words.push(alt.clone()),
            Block::NewPage => {}
        }
    }
    words.join("\n")
}

#[test]
fn what_a_vet_wants_first_comes_first() {
    let words = said(&made(samples::moss()).blocks);
    let place = |word: &str| {
        words
            .find(word)
            .unwrap_or_else(|| panic!("{word} in {words}"))
    };
    let order = [
        "Moss",
        "941000012345678",
        "2410 g on 9 Oct 2026, 55 days old",
        "5 Oct 2026: nothing unusual; navel: small hernia; advised: look at the navel again",
        "B-4471",
        "VP-2231",
        "Second vaccination",
        "Check on 5 October 2026",
        "All weights",
        "natural",
        "Dam:",
        "Planned and not recorded by the breeder",
        "What Moss eats",
        "When to call a vet",
        "Contacts",
    ];
    for pair in order.windows(2) {
        assert!(
            place(pair[0]) < place(pair[1]) || pair[1] == "When to call a vet",
            "{pair:?}"
        );
    }
}

#[test]
fn every_figure_of_the_record_is_on_paper() {
    let record = samples::moss();
    let words = said(&made(record.clone()).blocks);
    for weight in &record.weights {
        assert!(
            words.contains(&words::weight(weight.grams, false))
                && words.contains(&words::short_moment(&weight.at)),
            "{weight:?}"
        );
    }
    for event in record
        .events
        .iter()
        .chain(&record.dam_events)
        .filter(|e| e.kind != EventKind::Care)
    {
        let EventRecord {
            on,
            time,
            kind: _,
            product,
            active,
            against,
            manufacturer,
            batch,
            expiry,
            dose,
            site,
            for_grams,
            given,
            by,
            next_due,
            until,
            what,
            findings,
            advice,
            looked_at,
            celsius,
            reaction,
        } = event.clone();
        let texts = [
            time,
            product,
            active,
            manufacturer,
            batch,
            dose,
            site,
            given,
            by,
            what,
            findings,
            advice,
            reaction,
        ];
        let days = [expiry, next_due, until]
            .into_iter()
            .flatten()
            .map(|day| words::short_day(&day));
        let figures = [
            for_grams.map(|grams| words::weight(grams, false)),
            celsius.map(|celsius| celsius.to_string()),
        ];
        let looked = looked_at.into_iter().map(|looked| looked.seen);
        for word in texts
            .into_iter()
            .flatten()
            .chain(days)
            .chain(figures.into_iter().flatten())
            .chain(against)
            .chain(looked)
        {
            assert!(words.contains(&word), "{word} of {event:?}");
        }
        assert!(
            words.contains(&words::short_day(&on)) || words.contains(&words::day(&on)),
            "{on}"
        );
    }
    for word in [
        "6.25 %",
        "2.5 complete",
        "Birth weight doubled on day 10.4",
        "kinked at its tip",
        "9 of 10, no distress, 5 minutes after birth",
        "weaned late",
        "KM-DB-0083",
    ] {
        assert!(words.contains(word), "{word}");
    }
}

#[test]
fn a_record_without_anything_says_so_and_makes_nothing_up() {
    let words = said(&made(samples::empty()).blocks);
    for word in [
        "Microchip: not recorded",
        "No vaccination is recorded",
        "No worming is recorded",
        "No check, illness or treatment is recorded",
        "No weight is recorded",
        "No test result is published",
        "Palate: not recorded",
    ] {
        assert!(words.contains(word), "{word} in {words}");
    }
    assert!(!words.to_lowercase().contains("healthy"));
}

#[test]
fn columns_have_the_heads_of_what_stands_in_them() {
    let blocks = made(samples::moss()).blocks;
    let head_over = |cell: &str| {
        let tables = blocks.iter().filter_map(|block| {
            if let Block::Table { head, rows, .. } = block {
                Some((head, rows))
            } else {
                None
            }
        });
        let mut found = tables
            .flat_map(|(head, rows)| rows.iter().flat_map(move |row| row.iter().zip(head)))
            .filter(|(at, _)| at.contains(cell))
            .map(|(_, head)| head.clone());
        found.next().unwrap_or_else(|| panic!("{cell}"))
    };
    for (cell, head) in [
        ("B-4471", "Batch"),
        ("0/0", "Result"),
        ("Patella", "Test"),
        ("4 Mar 2025", "Date"),
        ("9.2 kg", "For a weight of"),
        ("V-77", "Batch"),
        ("hears on both sides", "Result"),
        ("birth weight", "Since the one before"),
        ("bland food", "Advice"),
        ("5 Sep 2026 to", "Planned for"),
    ] {
        assert_eq!(head_over(cell), head, "{cell}");
    }
}

#[test]
fn what_fell_before_the_latest_entry_is_not_said_to_be_due_next() {
    let mut record = samples::moss();
    record.up_to = "2027-04-11".to_owned();
    let words = said(&made(record).blocks);
    assert!(words.contains("No item of the care plan is still to come"));
    assert!(
        words.find("Planned and not recorded").unwrap() < words.find("Second vaccination").unwrap()
    );
}

#[test]
fn what_the_breeder_did_not_record_stands_on_the_first_page() {
    let mut record = samples::moss();
    let words = said(&made(record.clone()).blocks);
    let place = |words: &str, part: &str| {
        words
            .find(part)
            .unwrap_or_else(|| panic!("{part} in {words}"))
    };
    // The sample’s check at three weeks has no entry.
    assert!(
        place(
            &words,
            "Vet check at 3 weeks, planned for 5 Sep 2026 to 12 Sep 2026"
        ) < place(&words, "What is due next")
    );
    for item in record
        .care
        .iter_mut()
        .filter(|item| item.id == "check-3-weeks")
    {
        (item.state, item.from, item.until) = (
            CareState::BeforeLeaving,
            "2026-10-12".to_owned(),
            "2026-10-16".to_owned(),
        );
    }
    let words = said(&made(record).blocks);
    let (begins, then) = (
        place(
            &words,
            "For the breeder, before Moss leaves on 17 October 2026",
        ),
        place(&words, "What is due next"),
    );
    assert!(
        words[begins..then].contains("no entry of these by 9 October 2026")
            && words[begins..then].contains("Vet check at 3 weeks"),
        "{words}"
    );
    assert!(
        words[begins..then].contains("not recorded by the breeder"),
        "{words}"
    );
}

#[test]
fn what_the_breeder_did_not_see_to_and_may_still_be_done_is_due_next() {
    let mut record = samples::moss();
    for item in record
        .care
        .iter_mut()
        .filter(|item| item.id == "check-3-weeks")
    {
        (item.from, item.until, item.for_family) =
            ("2026-10-12".to_owned(), "2026-10-23".to_owned(), true);
    }
    let words = said(&made(record).blocks);
    let next = &words
        [words.find("What is due next").unwrap()..words.find("Check on 5 October 2026").unwrap()];
    assert!(
        next.contains("Vet check at 3 weeks") && next.contains("23 Oct 2026"),
        "{next}"
    );
}

#[test]
fn head_and_foot_say_whose_record_it_is_and_how_to_check_it() {
    let document = made(samples::moss());
    assert_eq!(
        document.head,
        "Moss · Whinmorrow · health and weight record"
    );
    assert_eq!(
        document.foot,
        "Entries up to 9 October 2026 · belongs to the file marked 7ZK4-0QWM-0000-1111-2222"
    );
    assert_eq!(document.accent, Some([0x4d, 0x7c, 0x4f]));
}

#[test]
fn odd_records_are_typeset_like_any_other() {
    for record in [samples::empty(), samples::odd(40), samples::odd(5000)] {
        let document = made(record);
        let pdf = typeset(&document).unwrap();
        assert!(pdf.starts_with(b"%PDF-"));
        assert_eq!(pdf, typeset(&document).unwrap());
    }
}

#[test]
fn page_one_names_treatments_and_tests_and_says_where_nothing_is_recorded() {
    let mut record = samples::moss();
    record.events.push(EventRecord {
        product: Some("Metrovin".to_owned()),
        what: Some("loose droppings".to_owned()),
        ..EventRecord::of(EventKind::Treatment, "2026-10-06")
    });
    record.events.push(EventRecord {
        what: Some("giardia".to_owned()),
        findings: Some("positive".to_owned()),
        ..EventRecord::of(EventKind::Test, "2026-10-07")
    });
    let words = said(&made(record).blocks);
    let place = |word: &str| {
        words
            .find(word)
            .unwrap_or_else(|| panic!("{word}: {words}"))
    };
    let first = [
        "7 Oct 2026: test, giardia: positive",
        "6 Oct 2026: treated: Metrovin; loose droppings",
        "5 Oct 2026: nothing unusual; navel: small hernia",
        "VP-2231",
    ];
    for pair in first.windows(2) {
        assert!(place(pair[0]) < place(pair[1]), "{pair:?}: {words}");
    }
    let nothing = said(&made(samples::empty()).blocks);
    assert!(nothing.contains("No illness, treatment, test or check is recorded."));
}

#[test]
fn a_vet_sees_the_birth_and_the_tests_of_both_parents_at_a_glance() {
    let words = said(&made(samples::moss()).blocks);
    let place = |word: &str| {
        words
            .find(word)
            .unwrap_or_else(|| panic!("{word} in {words}"))
    };
    assert!(place("Last worming: ") < place("Vaccinations"));
    for line in [
        "At birth: tail: kinked at its tip",
        "Tests of dam: Patella: 0/0",
        "Tests of sire: no published result for Patella",
    ] {
        assert!(place(line) < place("Vaccinations"), "{line}");
    }
}

#[test]
fn the_first_days_stand_before_the_history_with_their_dates() {
    let words = said(&made(samples::moss()).blocks);
    let place = |word: &str| {
        words
            .find(word)
            .unwrap_or_else(|| panic!("{word} in {words}"))
    };
    for line in [
        "Four meals a day, soaked.",
        "By 23 October 2026: Take the puppy to your vet (within 5 working days of leaving).",
        "Working days are Monday to Friday; public holidays are not known here.",
        "Register yourselves as keepers with the database of the chip 941000012345678",
        "Scotland asks for your name, address, telephone and e-mail.",
        "Call a vet at any of these",
    ] {
        assert!(
            place("The first days") < place(line) && place(line) < place("All weights"),
            "{line}"
        );
    }
    // Nothing is known: what is not known is said, and no date is made up.
    let mut page = samples::page(samples::empty(), None);
    page.first_days.food = None;
    page.first_days.promises.clear();
    page.first_days.vet_is_promised = false;
    page.first_days.chip = crate::audience::owner::ChipToRegister {
        number: None,
        asked: None,
    };
    let words = said(&document(&page, "", Sheet::A4).blocks);
    for line in [
        "No note says what it eats: ask Isla Fennick",
        "Let your own vet see the puppy in the first days",
        "the chip, once there is one,",
    ] {
        assert!(words.contains(line), "{line}: {words}");
    }
    assert!(!words.contains("By "), "{words}");
}
