//! Weights and events as tables for spreadsheets (CSV, RFC 4180: CRLF, a header row, UTF-8).
//!
//! In: the record. Out: two tables with the same columns for every puppy, so that two of them can
//! be put below each other. Days are ISO 8601, weights grams, as in the JSON file. What tables
//! share, the byte order mark and the guard against formulas, stands in `cells`.

use super::faults::LetterFault;
use crate::audience::owner::{EventRecord, LookedAt, PuppyRecord, WeightRecord};
use crate::cells;
use crate::quantity::Weight;

const WEIGHTS: [&str; 6] = ["at", "age_days", "grams", "ounces", "change_grams", "birth"];

const EVENTS: [&str; 23] = [
    "on",
    "time",
    "whose",
    "kind",
    "product",
    "active",
    "against",
    "manufacturer",
    "batch",
    "expiry",
    "dose",
    "site",
    "for_grams",
    "given",
    "by",
    "next_due",
    "until",
    "what",
    "findings",
    "advice",
    "looked_at",
    "celsius",
    "reaction",
];

/// One row for each weight, the oldest first.
pub(super) fn weights(record: &PuppyRecord) -> Result<Vec<u8>, LetterFault> {
    table(&WEIGHTS, record.weights.iter().map(weight))
}

fn weight(weight: &WeightRecord) -> [String; 6] {
    let WeightRecord {
        at,
        age_days,
        grams,
        change_grams,
        birth,
    } = weight;
    let ounces = figure(Some(
        (grams / Weight::GRAMS_PER_OUNCE * 100.0).round() / 100.0,
    ));
    [
        at.clone(),
        age_days.to_string(),
        figure(Some(*grams)),
        ounces,
        figure(*change_grams),
        birth.to_string(),
    ]
}

/// One row for each event: the puppy's own, then those of its dam, the oldest first.
pub(super) fn events(record: &PuppyRecord) -> Result<Vec<u8>, LetterFault> {
    let own = record.events.iter().map(|e| event("puppy", e));
    table(
        &EVENTS,
        own.chain(record.dam_events.iter().map(|e| event("dam", e))),
    )
}

fn event(whose: &str, event: &EventRecord) -> [String; 23] {
    let EventRecord {
        on,
        time,
        kind,
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
    } = event;
    let looked_at: Vec<String> = looked_at
        .iter()
        .map(|LookedAt { what, seen }| format!("{what}: {seen}"))
        .collect();
    [
        on.clone(),
        text(time.as_deref()),
        whose.to_owned(),
        kind.word().to_owned(),
        text(product.as_deref()),
        text(active.as_deref()),
        text(Some(&against.join(", "))),
        text(manufacturer.as_deref()),
        text(batch.as_deref()),
        text(expiry.as_deref()),
        text(dose.as_deref()),
        text(site.as_deref()),
        figure(*for_grams),
        text(given.as_deref()),
        text(by.as_deref()),
        text(next_due.as_deref()),
        text(until.as_deref()),
        text(what.as_deref()),
        text(findings.as_deref()),
        text(advice.as_deref()),
        text(Some(&looked_at.join("; "))),
        figure(*celsius),
        text(reaction.as_deref()),
    ]
}

/// A text of a keeper that no spreadsheet takes for a formula.
fn text(text: Option<&str>) -> String {
    cells::guarded(text.unwrap_or_default())
}

/// A number with as many digits as it has, and nothing where there is none.
fn figure(number: Option<f64>) -> String {
    number.map(|n| n.to_string()).unwrap_or_default()
}

fn table<const N: usize>(
    head: &[&str; N],
    rows: impl Iterator<Item = [String; N]>,
) -> Result<Vec<u8>, LetterFault> {
    Ok(cells::table(head, rows)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audience::owner::EventKind;
    use crate::cells::BYTE_ORDER_MARK;
    use crate::papers::samples;

    fn read(bytes: &[u8]) -> Vec<Vec<String>> {
        let plain = bytes.strip_prefix(BYTE_ORDER_MARK).unwrap();
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(plain);
        reader
            .records()
            .map(|row| row.unwrap().iter().map(str::to_owned).collect())
            .collect()
    }

    #[test]
    fn every_weight_has_a_row_and_lines_end_as_the_standard_says() {
        let bytes = weights(&samples::moss()).unwrap();
        let text = String::from_utf8(bytes.clone()).unwrap();
        assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
        assert!(text.ends_with("\r\n"));
        assert_eq!(
            read(&bytes)[..3],
            [
                WEIGHTS.map(str::to_owned).to_vec(),
                ["2026-08-15T09:14", "0", "212", "7.48", "", "true"]
                    .map(str::to_owned)
                    .to_vec(),
                ["2026-08-16T08:00", "1", "208.5", "7.35", "-3.5", "false"]
                    .map(str::to_owned)
                    .to_vec(),
            ]
        );
    }

    #[test]
    fn events_of_the_dam_come_after_those_of_the_puppy() {
        let record = samples::moss();
        let rows = read(&events(&record).unwrap());
        assert_eq!(
            rows.len(),
            1 + record.events.len() + record.dam_events.len()
        );
        let whose: Vec<&str> = rows[1..].iter().map(|row| row[2].as_str()).collect();
        assert!(
            whose.is_sorted_by(|a, b| a >= b) && whose.contains(&"dam"),
            "{whose:?}"
        );
    }

    #[test]
    fn odd_texts_come_back_as_they_were_and_none_is_a_formula() {
        let mut record = samples::moss();
        for odd in [
            "=1+1",
            "+44 1632",
            "-5",
            "@cmd",
            "\t=1",
            "\r=1",
            "＝1",
            "a, \"b\"\nc",
            "🐕",
            "שלום",
            "'s",
        ] {
            record.events.push(EventRecord {
                findings: Some(odd.to_owned()),
                ..EventRecord::of(EventKind::Illness, "2026-10-01")
            });
        }
        let rows = read(&events(&record).unwrap());
        let found: Vec<&str> = rows
            .iter()
            .filter(|row| row[0] == "2026-10-01")
            .map(|row| row[18].as_str())
            .collect();
        assert_eq!(
            found,
            [
                "'=1+1",
                "'+44 1632",
                "'-5",
                "'@cmd",
                "'\t=1",
                "'\r=1",
                "'＝1",
                "a, \"b\"\nc",
                "🐕",
                "שלום",
                "'s"
            ]
        );
    }

    #[test]
    fn a_record_without_anything_makes_tables_with_a_head_only() {
        let record = samples::empty();
        assert_eq!(
            (
                read(&weights(&record).unwrap()).len(),
                read(&events(&record).unwrap()).len()
            ),
            (1, 1)
        );
    }
}
