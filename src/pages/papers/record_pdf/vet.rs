//! What a vet wants first, and whom to ask.
//!
//! In: the record. Out: identity, vaccinations, wormings, the last weight and what is due next,
//! made to fit page one of an ordinary record; and, for the last page, the contacts.

use super::{fact, facts, heading, in_a_row, lines, table};
use crate::audience::owner::{
    CareRecord, CareState, CheckSeen, ChipRecord, EventKind, EventRecord, Glance, KennelRecord,
    PuppyRecord, VetRecord, WeightRecord,
};
use crate::pdf::Block;
use crate::quantity::{capital, many};
use crate::words;

pub(super) fn blocks(record: &PuppyRecord, glance: &Glance, ounces: bool) -> Vec<Block> {
    let Glance {
        at_birth,
        dam_tests,
        sire_tests,
        checks,
    } = glance;
    let wide = [
        ("At birth", at_birth),
        ("Tests of dam", dam_tests),
        ("Tests of sire", sire_tests),
    ];
    let wide = wide.map(|(label, line)| (label.to_owned(), line.clone()));
    let mut blocks = vec![
        heading(1, "For your vet"),
        identity(record, ounces),
        Block::Facts {
            columns: 1,
            facts: wide.to_vec(),
        },
    ];
    blocks.push(noted(record, checks));
    // What is missing belongs on page one, however long the tables below grow.
    blocks.extend(not_recorded(record));
    blocks.extend(before_leaving(record));
    blocks.push(heading(2, "Vaccinations"));
    let given = of_kind(record, EventKind::Vaccination);
    blocks.push(if given.is_empty() {
        none("No vaccination is recorded.")
    } else {
        vaccinations(&given)
    });
    blocks.push(heading(2, "Wormings"));
    let given = of_kind(record, EventKind::Worming);
    blocks.push(if given.is_empty() {
        none("No worming is recorded.")
    } else {
        against_parasites(&given, ounces)
    });
    blocks.push(heading(2, "What is due next"));
    blocks.extend(due(record));
    blocks
}

/// Entries of one kind, the oldest first.
pub(super) fn of_kind(record: &PuppyRecord, kind: EventKind) -> Vec<&EventRecord> {
    record.events.iter().filter(|e| e.kind == kind).collect()
}

/// What a vet must not miss: illnesses, treatments, tests, and what checks found. The latest first;
/// checks at which all was good stand last, and what does not fit is further down.
fn noted(record: &PuppyRecord, checks: &[CheckSeen]) -> Block {
    const MOST: usize = 6;
    let said = |on: &str, words: &str, by: Option<&String>| {
        let by = by.map(|by| format!(" ({by})")).unwrap_or_default();
        (
            on.to_owned(),
            format!("{}: {words}{by}", words::short_day(on)),
        )
    };
    let event = |event: &EventRecord| {
        let words = match event.kind {
            EventKind::Illness => in_words([
                event.findings.clone(),
                event
                    .advice
                    .as_ref()
                    .map(|words| format!("advised: {words}")),
            ]),
            EventKind::Treatment => format!(
                "treated: {}",
                in_words([event.product.clone(), event.what.clone()])
            ),
            EventKind::Test => format!(
                "test, {}: {}",
                event.what.as_deref().unwrap_or("not recorded"),
                event.findings.as_deref().unwrap_or("no result recorded")
            ),
            _ => return None,
        };
        Some(said(&event.on, &words, event.by.as_ref()))
    };
    let check = |check: &CheckSeen| said(&check.on, &check.said, check.by.as_ref());
    let odd = checks.iter().filter(|check| !check.is_plain).map(check);
    let mut lines: Vec<_> = record.events.iter().filter_map(event).chain(odd).collect();
    // ISO days sort as text; of one day, what was written down later comes first.
    lines.reverse();
    lines.sort_by(|(a, _), (b, _)| b.cmp(a));
    lines.extend(checks.iter().filter(|check| check.is_plain).map(check));
    if lines.is_empty() {
        return none("No illness, treatment, test or check is recorded.");
    }
    let more = lines.len().saturating_sub(MOST);
    lines.truncate(MOST);
    let mut lines: Vec<String> = lines.into_iter().map(|(_, line)| line).collect();
    if more > 0 {
        lines.push(format!(
            "and {more} more; see “Checks, illness and treatment”"
        ));
    }
    Block::Caution {
        title: "Illness and findings".to_owned(),
        lines,
    }
}

fn in_words(parts: [Option<String>; 2]) -> String {
    parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

fn none(words: &str) -> Block {
    Block::Paragraph(words.to_owned())
}

fn identity(record: &PuppyRecord, ounces: bool) -> Block {
    let PuppyRecord {
        puppy,
        kennel,
        family,
        weights,
        events,
        ..
    } = record;
    let chip = puppy.chip.as_ref().map(
        |ChipRecord {
             number,
             on,
             by,
             site,
         }| {
            let put_in = in_a_row([on.as_deref().map(words::day), site.clone(), by.clone()]);
            lines([Some(number.clone()), put_in])
        },
    );
    let weight = weights.last().map(
        |WeightRecord {
             at,
             age_days,
             grams,
             ..
         }| {
            format!(
                "{} on {}, {} old",
                words::weight(*grams, ounces),
                words::short_day(at.get(..10).unwrap_or(at)),
                many(*age_days, "day")
            )
        },
    );
    // The tables may run on to the next page; what was given last stands here.
    let worming = events
        .iter()
        .rfind(|event| event.kind == EventKind::Worming)
        .map(|event| {
            let what = event
                .product
                .as_ref()
                .or(event.active.as_ref())
                .map_or("product not recorded", String::as_str);
            format!("{}: {what}", words::short_day(&event.on))
        });
    let emergency = kennel
        .emergency_vet
        .as_ref()
        .map(|VetRecord { clinic, phone }| format!("{clinic}\n{phone}"));
    facts([
        fact(
            "Microchip",
            Some(chip.unwrap_or_else(|| "not recorded".to_owned())),
        ),
        fact("Registration", puppy.registration.as_deref()),
        fact("Born", puppy.born.as_deref().map(words::day)),
        fact("Last weight", weight),
        fact("Last worming", worming),
        fact("Colour", puppy.colour.as_deref()),
        fact("Markings", puppy.markings.as_deref()),
        fact("Family", family.as_ref().map(|family| family.name.as_str())),
        fact(
            "Leaves the breeder",
            family
                .as_ref()
                .and_then(|family| family.leaves.as_deref())
                .map(words::day),
        ),
        fact(
            "Breeder",
            Some(lines([
                in_a_row([Some(kennel.keeper.clone()), Some(kennel.name.clone())]),
                kennel.phone.clone(),
            ])),
        ),
        fact("Emergency vet", emergency),
    ])
}

fn vaccinations(given: &[&EventRecord]) -> Block {
    let row = |event: &&EventRecord| {
        let EventRecord {
            on,
            against,
            manufacturer,
            product,
            batch,
            expiry,
            dose,
            site,
            by,
            next_due,
            reaction,
            ..
        } = *event;
        let expiry = expiry
            .as_deref()
            .map(|expiry| format!("expires {}", words::short_day(expiry)));
        [
            when(event, on),
            lines([
                Some(against.join(", ")),
                dose.as_ref().map(|dose| format!("{dose} of the series")),
            ]),
            lines([product.clone(), manufacturer.clone()]),
            lines([batch.clone(), expiry]),
            lines([by.clone(), site.clone()]),
            lines([next_due.as_deref().map(words::short_day)]),
            lines([reaction.clone()]),
        ]
    };
    let columns = [
        ("Date", 1.3, false),
        ("Against", 2.6, false),
        ("Vaccine", 1.9, false),
        ("Batch", 1.5, false),
        ("By, where", 1.9, false),
        ("Next due", 1.3, false),
        ("Reaction", 1.3, false),
    ];
    table("", &columns, given.iter().map(row).collect())
}

/// Wormings, and treatments against fleas and ticks.
pub(super) fn against_parasites(given: &[&EventRecord], ounces: bool) -> Block {
    let row = |event: &&EventRecord| {
        let EventRecord {
            on,
            product,
            active,
            batch,
            for_grams,
            given,
            by,
            next_due,
            ..
        } = *event;
        let weight = for_grams
            .map(|grams| words::weight(grams, ounces))
            .unwrap_or_default();
        [
            when(event, on),
            lines([product.clone(), active.clone()]),
            lines([batch.clone()]),
            weight,
            lines([given.clone()]),
            lines([by.clone()]),
            lines([next_due.as_deref().map(words::short_day)]),
        ]
    };
    let columns = [
        ("Date", 1.3, false),
        ("Product", 2.0, false),
        ("Batch", 1.1, false),
        ("For a weight of", 1.1, true),
        ("Given", 1.7, false),
        ("By", 1.4, false),
        ("Next due", 1.3, false),
    ];
    table("", &columns, given.iter().map(row).collect())
}

/// The day of an entry, and its hour where it was written down.
pub(super) fn when(event: &EventRecord, on: &str) -> String {
    let day = words::short_day(on);
    event
        .time
        .as_ref()
        .map_or_else(|| day.clone(), |time| format!("{day}, {time}"))
}

/// What was due by the day of leaving and has no entry: a vet must not take it for done.
fn not_recorded(record: &PuppyRecord) -> Option<Block> {
    let missing = record
        .care
        .iter()
        .filter(|item| item.state == CareState::NotRecorded && item.kind.is_veterinary());
    let line = |item: &CareRecord| {
        format!(
            "{}, planned for {} to {}",
            capital(&item.name),
            words::short_day(&item.from),
            words::short_day(&item.until)
        )
    };
    let lines: Vec<String> = missing.map(line).collect();
    (!lines.is_empty()).then(|| Block::Caution {
        title: "Not recorded by the breeder".to_owned(),
        lines,
    })
}

/// What the breeder still had to see to when the paper was made. It is read long after that, so it
/// says what is true when nothing came later.
fn before_leaving(record: &PuppyRecord) -> Vec<Block> {
    let theirs: Vec<&CareRecord> = record
        .care
        .iter()
        .filter(|item| item.state == CareState::BeforeLeaving && item.kind.is_veterinary())
        .collect();
    if theirs.is_empty() {
        return Vec::new();
    }
    let leaves = record
        .family
        .as_ref()
        .and_then(|family| family.leaves.as_deref())
        .map(|day| format!(" on {}", words::day(day)))
        .unwrap_or_default();
    let then = format!(
        "There was no entry of these by {}. Unless a later record has one, they are not recorded \
         by the breeder.",
        words::day(&record.up_to)
    );
    vec![
        heading(
            2,
            format!(
                "For the breeder, before {} leaves{leaves}",
                record.puppy.name
            ),
        ),
        Block::Paragraph(then),
        to_do(&theirs),
    ]
}

fn due(record: &PuppyRecord) -> Vec<Block> {
    let open: Vec<&CareRecord> = record
        .care
        .iter()
        .filter(|item| is_to_come(item, record) && item.kind.is_veterinary())
        .collect();
    if open.is_empty() {
        return vec![none(
            "No item of the care plan is still to come. Ask your vet what is due next.",
        )];
    }
    std::iter::once(to_do(&open))
        .chain(sources(&open))
        .collect()
}

fn to_do(items: &[&CareRecord]) -> Block {
    let row = |item: &&CareRecord| {
        let CareRecord {
            name,
            from,
            until,
            source,
            ..
        } = *item;
        [
            capital(name),
            words::short_day(from),
            words::short_day(until),
            words::short_source(source).to_owned(),
        ]
    };
    let columns = [
        ("What", 2.8, false),
        ("From", 1.2, false),
        ("Until", 1.2, false),
        ("Where the days come from", 2.4, false),
    ];
    table("", &columns, items.iter().map(row).collect())
}

/// Whether an item is open, or the family's because the breeder did not see to it, and its days
/// were not over by the latest entry. ISO days sort as text.
pub(super) fn is_to_come(item: &CareRecord, record: &PuppyRecord) -> bool {
    (item.state == CareState::Open || item.for_family) && item.until >= record.up_to
}

/// Sources in full, each once.
pub(super) fn sources(items: &[&CareRecord]) -> Option<Block> {
    let longer = items
        .iter()
        .map(|item| words::source(&item.source))
        .filter(|source| words::short_source(source) != *source);
    let mut full: Vec<String> = longer.map(capital).collect();
    full.sort_unstable();
    full.dedup();
    (!full.is_empty()).then(|| Block::Small(full.join(". ") + "."))
}

/// `new-south-wales` as people write it.
fn place_name(region: &str) -> String {
    region.split('-').map(capital).collect::<Vec<_>>().join(" ")
}

/// Whom to ask, on the last page.
pub(super) fn contacts(record: &PuppyRecord) -> Vec<Block> {
    let KennelRecord {
        name,
        keeper,
        email,
        phone,
        address,
        country,
        region,
        time_zone,
        site,
        licence,
        emergency_vet,
    } = &record.kennel;
    let place = in_a_row([
        address.clone(),
        region.as_deref().map(place_name),
        Some(country.clone()),
    ]);
    vec![
        heading(1, "Contacts"),
        facts([
            fact("Breeder", Some(keeper.as_str())),
            fact("Kennel", Some(name.as_str())),
            fact("Telephone", phone.as_deref()),
            fact("E-mail", Some(email.as_str())),
            fact("Address", place),
            fact("Site", site.as_deref()),
            fact("Licence", licence.as_deref()),
            fact(
                "Emergency vet",
                emergency_vet
                    .as_ref()
                    .map(|vet| format!("{}, {}", vet.clinic, vet.phone)),
            ),
            fact("Times in this record", Some(time_zone.as_str())),
        ]),
    ]
}
