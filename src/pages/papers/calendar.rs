//! What is due next, for the family's calendar (iCalendar, RFC 5545).
//!
//! In: the record. Out: a calendar of all-day events, each on the first day of an item of care;
//! where it may wait, its name says until when. Milestones and practice with sounds and people are
//! not in it: they are on the page. An invitation to tell how the grown puppy is stands there as
//! well. The event marks nobody as busy, and reminds of an open item at nine in the morning of the
//! day before its first day.
//!
//! **A second file puts right what the first one said.** The UID of an item is made from kennel,
//! puppy and item, never from its days; DTSTAMP and SEQUENCE are made from the day of the latest
//! entry, so both grow with the record. Then, by what became of an item:
//!
//! - done: left out. A calendar is for what is still to be done; what was done stands in the
//!   record.
//! - not needed: STATUS:CANCELLED, which a published event may have (RFC 5546, 3.2.1), since it
//!   will indeed not take place.
//! - not recorded by the breeder: its name says so. Whoever looks there is the one who can ask.
//!   Where its days go on after the day of leaving, it stands on that day.
//! - to be done by the breeder before leaving: its name says so, and its text what is true when no
//!   later record says that it was done.
//!
//! Never: the clock or random numbers. The crate would ask both for a DTSTAMP or UID that is
//! missing, in a reminder too, so every component gets its own. Nor its folding: its last part of a
//! line can have 76 octets, so lines are folded here.

use super::faults::LetterFault;
use crate::audience::owner::{CareRecord, CareState, InvitationRecord, KennelRecord, PuppyRecord};
use crate::words;
use chrono::{Days, NaiveDate, NaiveTime};
use icalendar::{Alarm, Calendar, Component, Event, EventLike, EventStatus, Property};
use sha2::{Digest, Sha256};

/// Fifteen hours before the first day begins: nine in the morning of the day before.
const REMINDER: &str = "-PT15H";

/// The calendar; nothing when nothing would be in it, since a calendar without a component is none
/// (RFC 5545, 3.6).
pub(super) fn calendar(record: &PuppyRecord) -> Result<Option<Vec<u8>>, LetterFault> {
    let care = record
        .care
        .iter()
        .filter(|item| item.kind.is_veterinary())
        .filter_map(|item| event(record, item));
    let events: Vec<Event> = care
        .chain(
            record
                .invitations
                .iter()
                .filter_map(|asked| invitation(record, asked)),
        )
        .collect();
    if events.is_empty() {
        return Ok(None);
    }
    let mut calendar = Calendar::empty();
    calendar.append_property(Property::new("VERSION", "2.0"));
    calendar.append_property(Property::new(
        "PRODID",
        concat!("-//litterfolio//", env!("CARGO_PKG_VERSION"), "//EN"),
    ));
    calendar.append_property(Property::new("METHOD", "PUBLISH"));
    let name = plain(&format!("{}: care", record.puppy.name));
    // The crate does not know that NAME (RFC 7986) is a text, and would leave its commas bare.
    calendar.append_property(
        Property::new("NAME", &name)
            .add_parameter("VALUE", "TEXT")
            .done(),
    );
    calendar.append_property(Property::new("X-WR-CALNAME", &name));
    calendar.extend(events);
    let mut text = String::new();
    std::fmt::Write::write_fmt(&mut text, format_args!("{calendar}"))?;
    Ok(Some(folded(&text).into_bytes()))
}

/// Folds lines at 75 octets, the blank that marks a continuation counted (RFC 5545, 3.1), and never
/// within a character.
fn folded(text: &str) -> String {
    const MOST: usize = 75;
    let mut out = String::with_capacity(text.len());
    for line in text.replace("\r\n ", "").split_terminator("\r\n") {
        let mut length = 0;
        for c in line.chars() {
            if length + c.len_utf8() > MOST {
                out.push_str("\r\n ");
                length = 1;
            }
            out.push(c);
            length += c.len_utf8();
        }
        out.push_str("\r\n");
    }
    out
}

/// What an item of care is in the calendar. What is done, and days that are none, have no place in
/// it.
fn event(record: &PuppyRecord, item: &CareRecord) -> Option<Event> {
    let CareRecord {
        id: _,
        kind: _,
        name,
        from,
        until,
        state,
        on: _,
        why,
        source,
        for_family,
    } = item;
    let mut first = day(from)?;
    let ends = (from != until).then(|| format!("until {}", words::day(until)));
    let (mut words, notes) = match state {
        CareState::Open => (
            vec![
                window(from, until),
                "The vet decides: ask your practice for the right day.".to_owned(),
            ],
            [ends, None],
        ),
        CareState::NotNeeded => (
            vec![why.as_ref().map_or_else(
                || "Not needed.".to_owned(),
                |why| format!("Not needed: {why}"),
            )],
            [None, None],
        ),
        CareState::NotRecorded => {
            // Days that are over by then are the family's no more.
            let leaves = record
                .family
                .as_ref()
                .and_then(|family| day(family.leaves.as_deref()?))
                .filter(|_| *for_family);
            first = leaves.map_or(first, |leaves| first.max(leaves));
            let ask = "Not recorded by the breeder: ask whether it was done, and tell your vet."
                .to_owned();
            (
                vec![window(from, until), ask],
                [
                    Some("not recorded by the breeder".to_owned()),
                    ends.filter(|_| *for_family),
                ],
            )
        }
        CareState::BeforeLeaving => {
            let then = format!(
                "For the breeder, before {} leaves. There was no entry by {}: unless a later \
                 record has one it is not recorded by the breeder; ask, and tell your vet.",
                record.puppy.name,
                words::day(&record.up_to)
            );
            (
                vec![window(from, until), then],
                [Some("for the breeder, before leaving".to_owned()), ends],
            )
        }
        CareState::Done => return None,
    };
    let notes: Vec<String> = notes.into_iter().flatten().collect();
    let note = if notes.is_empty() {
        String::new()
    } else {
        format!(" ({})", notes.join(", "))
    };
    words.push(format!(
        "Where the days come from: {}.",
        words::source(source)
    ));
    words.push(contact(&record.kennel));
    let summary = plain(&format!("{}: {}{note}", record.puppy.name, small(name)));
    let (stamp, sequence) = stamp(&record.up_to);

    let mut event = Event::new();
    event
        .uid(&uid(record, &item.id, "event"))
        .timestamp(stamp)
        .sequence(sequence);
    event
        .summary(&summary)
        .description(&plain(&words.join("\n")))
        .starts(first)
        .ends(first.checked_add_days(Days::new(1))?);
    event
        .add_property("TRANSP", "TRANSPARENT")
        .add_property("CONTACT", plain(&contact(&record.kennel)));
    event.status(if *state == CareState::NotNeeded {
        EventStatus::Cancelled
    } else {
        EventStatus::Confirmed
    });
    if *state == CareState::Open {
        let mut alarm = Alarm::display(&summary, -chrono::TimeDelta::hours(15));
        alarm
            .add_property("TRIGGER", REMINDER)
            .uid(&uid(record, &item.id, "reminder"))
            .timestamp(stamp);
        event.append_component(alarm.done());
    }
    Some(event.done())
}

/// An invitation to tell how the puppy is, until that is told: on its first day, without a
/// reminder, since nobody has to.
fn invitation(record: &PuppyRecord, asked: &InvitationRecord) -> Option<Event> {
    let InvitationRecord {
        months,
        from,
        until: _,
        told,
    } = asked;
    let first = day(from).filter(|_| told.is_none())?;
    let words = format!(
        "Our puppy is {} If you like, tell us the weight, the bite, the hips where they were \
         X-rayed, and whatever else there is. Nobody has to.",
        words::months_with_you(*months)
    );
    let summary = plain(&format!(
        "{}: news for {}",
        record.puppy.name, record.kennel.name
    ));
    let (stamp, sequence) = stamp(&record.up_to);
    let mut event = Event::new();
    event
        .uid(&uid(record, &format!("news-{months}-months"), "event"))
        .timestamp(stamp)
        .sequence(sequence);
    event
        .summary(&summary)
        .description(&plain(&format!("{words}\n{}", contact(&record.kennel))));
    event
        .starts(first)
        .ends(first.checked_add_days(Days::new(1))?);
    event
        .add_property("TRANSP", "TRANSPARENT")
        .add_property("CONTACT", plain(&contact(&record.kennel)));
    event.status(EventStatus::Confirmed);
    Some(event.done())
}

fn window(from: &str, until: &str) -> String {
    if from == until {
        format!("Due on {}.", words::day(from))
    } else {
        format!(
            "Due between {} and {}.",
            words::day(from),
            words::day(until)
        )
    }
}

fn contact(kennel: &KennelRecord) -> String {
    let parts = [
        Some(&kennel.name),
        Some(&kennel.keeper),
        kennel.phone.as_ref(),
        Some(&kennel.email),
    ];
    parts
        .into_iter()
        .flatten()
        .map(String::as_str)
        .collect::<Vec<_>>()
        .join(", ")
}

fn day(iso: &str) -> Option<NaiveDate> {
    NaiveDate::parse_from_str(iso, "%Y-%m-%d").ok()
}

/// The day of the latest entry as a time stamp, and the days from the year 2000 until then as a
/// number that grows.
fn stamp(up_to: &str) -> (chrono::DateTime<chrono::Utc>, u32) {
    let first = NaiveDate::from_ymd_opt(2000, 1, 1).unwrap_or_default();
    let day = day(up_to).unwrap_or(first).max(first);
    (
        day.and_time(NaiveTime::MIN).and_utc(),
        u32::try_from((day - first).num_days()).unwrap_or_default(),
    )
}

/// A name for an item that stays the same: a UUID of version 8 (RFC 9562, 5.8), made from a hash.
fn uid(record: &PuppyRecord, item: &str, part: &str) -> String {
    let mut hasher = Sha256::new();
    for word in [
        "litterfolio calendar",
        &record.kennel.name,
        &record.puppy.id,
        item,
        part,
    ] {
        // Lengths keep "ab", "c" and "a", "bc" apart.
        hasher.update(word.len().to_be_bytes());
        hasher.update(word);
    }
    let mut id = [0_u8; 16];
    id.iter_mut()
        .zip(hasher.finalize())
        .for_each(|(to, from)| *to = from);
    id[6] = id[6] & 0x0f | 0x80;
    id[8] = id[8] & 0x3f | 0x80;
    let hex: String = id.iter().map(|byte| format!("{byte:02x}")).collect();
    [
        &hex[..8],
        &hex[8..12],
        &hex[12..16],
        &hex[16..20],
        &hex[20..],
    ]
    .join("-")
}

/// A name within a sentence: `Second vaccination` becomes `second vaccination`, `DNA profile`
/// stays.
fn small(name: &str) -> String {
    let mut chars = name.chars();
    match (chars.next(), chars.clone().next()) {
        (Some(first), Some(second)) if !second.is_uppercase() => {
            first.to_lowercase().chain(chars).collect()
        }
        _ => name.to_owned(),
    }
}

/// Text without control characters, which a calendar must not hold (RFC 5545, 3.3.11); line ends
/// are escaped by the crate.
fn plain(text: &str) -> String {
    text.replace("\r\n", "\n")
        .chars()
        .filter(|c| *c == '\n' || !c.is_control())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::papers::samples;

    fn text(record: &PuppyRecord) -> String {
        String::from_utf8(calendar(record).unwrap().unwrap()).unwrap()
    }

    /// Lines with the folding undone.
    fn lines(text: &str) -> Vec<String> {
        text.replace("\r\n ", "")
            .split("\r\n")
            .map(str::to_owned)
            .collect()
    }

    fn event_of(text: &str, name: &str) -> Vec<String> {
        let all = lines(text);
        let end = all
            .iter()
            .position(|l| l.starts_with("SUMMARY") && l.contains(name))
            .unwrap();
        let begin = all[..end]
            .iter()
            .rposition(|l| l == "BEGIN:VEVENT")
            .unwrap();
        let length = all[begin..].iter().position(|l| l == "END:VEVENT").unwrap();
        all[begin..=begin + length].to_vec()
    }

    #[test]
    fn an_open_item_stands_on_its_first_day_with_its_last_in_words_and_a_reminder() {
        let event = event_of(&text(&samples::moss()), "second vaccination");
        for line in [
            "SUMMARY:Moss: second vaccination (until 21 November 2026)",
            "DTSTART;VALUE=DATE:20261107",
            "DTEND;VALUE=DATE:20261108",
            "DTSTAMP:20261009T000000Z",
            "SEQUENCE:9778",
            "TRANSP:TRANSPARENT",
            "TRIGGER:-PT15H",
            "ACTION:DISPLAY",
        ] {
            assert!(event.iter().any(|l| l == line), "{line} in {event:#?}");
        }
        let description = event
            .iter()
            .find(|l| {
                l.starts_with("DESCRIPTION:Due between 7 November 2026 and 21 November 2026.")
            })
            .unwrap();
        assert!(
            description.contains("The vet decides")
                && description.contains(r"Whinmorrow\, Isla Fennick"),
            "{description}"
        );
    }

    #[test]
    fn a_later_file_puts_right_what_an_earlier_one_said() {
        let earlier = samples::moss();
        let mut later = earlier.clone();
        later.up_to = "2026-11-10".to_owned();
        later
            .care
            .iter_mut()
            .filter(|item| item.id == "vaccination-2")
            .for_each(|item| item.from = "2026-11-12".to_owned());
        let uid = |event: &[String]| event.iter().find(|l| l.starts_with("UID")).unwrap().clone();
        let (before, after) = (
            event_of(&text(&earlier), "second vaccination"),
            event_of(&text(&later), "second vaccination"),
        );
        assert_eq!(uid(&before), uid(&after));
        assert!(
            after.iter().any(|l| l == "DTSTART;VALUE=DATE:20261112")
                && after.iter().any(|l| l == "SEQUENCE:9810"),
            "{after:#?}"
        );
    }

    #[test]
    fn what_is_done_is_not_in_it_what_is_not_needed_is_cancelled_and_what_nobody_recorded_is_said()
    {
        let text = text(&samples::moss());
        assert!(
            !text.contains("worming at 2 weeks")
                && !text.contains("first vaccination")
                && !text.contains("eyes open"),
            "{text}"
        );
        assert!(
            event_of(&text, "worming at 6 weeks")
                .iter()
                .any(|l| l == "STATUS:CANCELLED")
        );
        let missing = event_of(&text, "vet check at 3 weeks (not recorded by the breeder)");
        assert!(
            missing.iter().any(|l| l == "DTSTART;VALUE=DATE:20260905")
                && !missing.iter().any(|l| l == "BEGIN:VALARM"),
            "{missing:#?}"
        );
    }

    #[test]
    fn what_the_breeder_has_to_see_to_says_so_and_what_goes_on_after_leaving_stands_on_that_day() {
        let mut record = samples::moss();
        for item in record
            .care
            .iter_mut()
            .filter(|item| item.id == "vaccination-2")
        {
            (item.state, item.from, item.until) = (
                CareState::NotRecorded,
                "2026-10-10".to_owned(),
                "2026-10-24".to_owned(),
            );
        }
        let event = event_of(&text(&record), "second vaccination");
        assert!(
            event.iter().any(|l| l
                == "SUMMARY:Moss: second vaccination (not recorded by the breeder\\, until 24 \
                    October 2026)"),
            "{event:#?}"
        );
        assert!(
            event.iter().any(|l| l == "DTSTART;VALUE=DATE:20261017"),
            "it left on 17 October: {event:#?}"
        );
        record
            .care
            .iter_mut()
            .filter(|item| item.id == "vaccination-2")
            .for_each(|item| item.state = CareState::BeforeLeaving);
        let event = event_of(&text(&record), "second vaccination");
        assert!(
            event.iter().any(|l| l == "DTSTART;VALUE=DATE:20261010")
                && !event.iter().any(|l| l == "BEGIN:VALARM"),
            "{event:#?}"
        );
        let words = event.iter().find(|l| l.starts_with("DESCRIPTION")).unwrap();
        assert!(
            words.contains("no entry by 9 October 2026")
                && words.contains("not recorded by the breeder"),
            "{words}"
        );
    }

    #[test]
    fn names_of_events_are_uuids_and_differ() {
        let text = text(&samples::moss());
        let mut uids: Vec<String> = lines(&text)
            .into_iter()
            .filter_map(|l| l.strip_prefix("UID:").map(str::to_owned))
            .collect();
        assert!(
            uids.iter()
                .all(|u| u.len() == 36 && u.as_bytes()[14] == b'8' && u.is_ascii()),
            "{uids:?}"
        );
        let all = uids.len();
        uids.sort();
        uids.dedup();
        assert_eq!(uids.len(), all);
    }

    #[test]
    fn lines_are_folded_at_75_octets_whatever_stands_in_them() {
        let mut record = samples::moss();
        record.puppy.name = "Łódź, the \"🐕\" of\r\nall;\u{7}עברית ".repeat(9);
        for item in &mut record.care {
            item.source = "ŵ".repeat(400) + " 🐕🐕 " + &"long words ".repeat(70);
        }
        let text = text(&record);
        assert!(text.split("\r\n").all(|line| line.len() <= 75), "{text}");
        assert!(!text.replace("\r\n", "").contains(['\r', '\n', '\u{7}']));
        assert!(
            lines(&text)
                .iter()
                .any(|l| l.contains(r#"Łódź\, the "🐕" of\nall\;עברית"#)),
            "{text}"
        );
        assert_eq!(text, self::text(&record), "neither clock nor chance");
    }

    #[test]
    fn a_line_of_any_length_is_folded_and_comes_back_whole() {
        for length in 60..400 {
            let line = "ab ŵ🐕".chars().cycle().take(length).collect::<String>();
            let text = folded(&format!("{line}\r\nEND\r\n"));
            assert!(text.split("\r\n").all(|part| part.len() <= 75), "{length}");
            assert_eq!(text.replace("\r\n ", ""), format!("{line}\r\nEND\r\n"));
        }
    }

    #[test]
    fn a_record_without_care_makes_no_calendar() {
        assert_eq!(calendar(&samples::empty()).unwrap(), None);
    }
}
