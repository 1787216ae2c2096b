//! Days and times as spreadsheets write them.
//!
//! In: `2026-10-06 07:30`, `06.10.2026 07:30`, `6/10/26 7:30 PM`, `06-Oct-26`. Out: a day, a time
//! or both. Where a day and a month cannot be told apart, nothing is guessed: [`Order::of`] looks
//! at all rows of the table, and if none of them tells, the day is a problem.

use crate::quantity::{Day, Moment, Unreadable};
use chrono::{DateTime, NaiveDate, NaiveTime};
use chrono_tz::Tz;

/// Which of two numbers is the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Order {
    /// 25/04/2026 stands in the table.
    DayFirst,
    /// 04/25/2026 stands in the table.
    MonthFirst,
    /// No row tells.
    Unknown,
    /// Some rows say one, some the other.
    Mixed,
}

impl Order {
    /// What the rows of a table tell.
    pub(super) fn of<'a>(texts: impl Iterator<Item = &'a str>) -> Self {
        texts.fold(Self::Unknown, |known, text| {
            let told = match numbers(day_part(text)) {
                Some(([first, second, _], sign)) if sign != '.' && first <= 31 => {
                    match (first > 12, second > 12) {
                        (true, false) => Self::DayFirst,
                        (false, true) => Self::MonthFirst,
                        _ => return known,
                    }
                }
                _ => return known,
            };
            match known {
                Self::Unknown => told,
                known if known == told => known,
                _ => Self::Mixed,
            }
        })
    }
}

/// A day with its time.
pub(super) fn moment(text: &str, order: Order, zone: Tz) -> Result<Moment, Unreadable> {
    let text = text.trim();
    // A time that says its distance from UTC is turned to the clock on the kennel's wall.
    if let Ok(instant) = DateTime::parse_from_rfc3339(&text.replacen(' ', "T", 1)) {
        return Ok(instant.with_timezone(&zone).naive_local().into());
    }
    let date = day_part(text);
    let time = text[date.len()..].trim_start_matches(['T', ',', ' ']);
    let day = day(date, order)?;
    if time.is_empty() {
        return Err(Unreadable::new(
            "time-missing",
            format!("`{text}` has no time of day"),
            format!("write `{day} 07:30`"),
        ));
    }
    Ok(day.date().and_time(self::time(time)?).into())
}

/// The part of a text in which the day stands.
fn day_part(text: &str) -> &str {
    let text = text.trim();
    // `6 Oct 2026` holds blanks itself: a time begins with the number before a colon.
    let until_time = text.find(':').map_or(text, |colon| {
        text[..colon].trim_end_matches(|c: char| c.is_ascii_digit())
    });
    until_time.trim_end_matches(['T', ',', ' '])
}

/// Three numbers and the sign between them; months may be English words.
fn numbers(text: &str) -> Option<([u32; 3], char)> {
    let sign = text.chars().find(|c| matches!(c, '-' | '/' | '.' | ' '))?;
    let parts: Vec<&str> = text
        .trim_end_matches('.')
        .split(sign)
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect();
    let [first, second, third] = parts[..] else {
        return None;
    };
    let number = |part: &str| {
        (part.len() <= 4 && part.bytes().all(|b| b.is_ascii_digit())).then(|| part.parse().ok())?
    };
    Some(([number(first)?, number(second)?, number(third)?], sign))
}

/// A day.
pub(super) fn day(text: &str, order: Order) -> Result<Day, Unreadable> {
    let text = text.trim();
    let not = || {
        Unreadable::new(
            "not-a-date",
            format!("`{text}` is not a date of the calendar"),
            "write year-month-day, such as 2026-10-06",
        )
    };
    if let Some(day) = with_month_name(text) {
        return day.ok_or_else(not);
    }
    let Some(([first, second, third], sign)) = numbers(text) else {
        return Err(day_number(text).unwrap_or_else(not));
    };
    if text.find(sign) == Some(4) {
        return on(first, second, third).ok_or_else(not);
    }
    let year = if third < 100 { 2000 + third } else { third };
    // Points between the numbers are written where the day stands first.
    let day_first = if sign == '.' || first == second || first > 12 {
        true
    } else if second > 12 {
        false
    } else {
        match order {
            Order::DayFirst => true,
            Order::MonthFirst => false,
            Order::Unknown | Order::Mixed => return Err(two_ways(text, [first, second], year)),
        }
    };
    let (day, month) = if day_first {
        (first, second)
    } else {
        (second, first)
    };
    on(year, month, day).ok_or_else(not)
}

fn on(year: u32, month: u32, day: u32) -> Option<Day> {
    let date = NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)?;
    date.format("%Y-%m-%d").to_string().parse().ok()
}

fn two_ways(text: &str, [first, second]: [u32; 2], year: u32) -> Unreadable {
    let one = on(year, second, first)
        .map(|day| day.to_string())
        .unwrap_or_default();
    let other = on(year, first, second)
        .map(|day| day.to_string())
        .unwrap_or_default();
    Unreadable::new(
        "date-unclear",
        format!("`{text}` can be two days"),
        format!("write `{one}` or `{other}`"),
    )
}

/// `06-Oct-26`, `6 October 2026`: nothing when there is no month's name in it.
#[expect(
    clippy::option_option,
    reason = "no month's name is not the same as no such day"
)]
fn with_month_name(text: &str) -> Option<Option<Day>> {
    const MONTHS: [&str; 12] = [
        "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
    ];
    let parts: Vec<&str> = text
        .split(['-', '/', '.', ' ', ','])
        .filter(|part| !part.is_empty())
        .collect();
    let [first, second, third] = parts[..] else {
        return None;
    };
    let (day, month) = if first.starts_with(|c: char| c.is_ascii_alphabetic()) {
        (second, first)
    } else {
        (first, second)
    };
    let begin = month
        .get(..3)
        .filter(|_| month.bytes().all(|b| b.is_ascii_alphabetic()))?
        .to_ascii_lowercase();
    let month = MONTHS
        .iter()
        .position(|name| *name == begin)
        .and_then(|index| u32::try_from(index + 1).ok())?;
    let (Ok(day), Ok(year)) = (day.parse::<u32>(), third.parse::<u32>()) else {
        return Some(None);
    };
    Some(on(
        if third.len() == 2 { 2000 + year } else { year },
        month,
        day,
    ))
}

/// Spreadsheets count days from the end of 1899; such a number is no date to a reader.
fn day_number(text: &str) -> Option<Unreadable> {
    let number: f64 = text.replacen(',', ".", 1).parse().ok()?;
    (20_000.0..80_000.0).contains(&number).then(|| {
        let hint = "give the column the format of a date in your spreadsheet program, and save \
                    the table again";
        Unreadable::new(
            "day-number",
            format!("`{text}` is a spreadsheet's number for a day"),
            hint,
        )
    })
}

/// A time of day: `7:30`, `07:30:15`, `7.30`, `7:30 PM`.
pub(super) fn time(text: &str) -> Result<NaiveTime, Unreadable> {
    let text = text.trim();
    let not = || {
        Unreadable::new(
            "not-a-time",
            format!("`{text}` is not a time of day"),
            "write hours and minutes, such as 07:30",
        )
    };
    let lower = text
        .to_ascii_lowercase()
        .replace("a.m.", "am")
        .replace("p.m.", "pm");
    let (clock, half) = match (lower.strip_suffix("am"), lower.strip_suffix("pm")) {
        (Some(clock), _) => (clock.trim(), Some(0)),
        (_, Some(clock)) => (clock.trim(), Some(12)),
        _ => (lower.as_str(), None),
    };
    let parts: Vec<&str> = clock.split([':', '.']).collect();
    let number = |part: &str, most: usize| {
        (!part.is_empty() && part.len() <= most && part.bytes().all(|b| b.is_ascii_digit()))
            .then(|| part.parse::<u32>().ok())?
    };
    let read = || {
        let hour = number(parts.first()?, 2)?;
        let minute = parts
            .get(1)
            .filter(|part| part.len() == 2)
            .and_then(|part| number(part, 2))?;
        let second = if let Some(part) = parts.get(2) {
            number(part, 2)?
        } else {
            0
        };
        let hour = match half {
            Some(half) if (1..=12).contains(&hour) => hour % 12 + half,
            Some(_) => return None,
            None => hour,
        };
        NaiveTime::from_hms_opt(hour, minute, second).filter(|_| parts.len() <= 4)
    };
    read().ok_or_else(not)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(text: &str, order: Order) -> Result<String, &'static str> {
        moment(text, order, Tz::Europe__London)
            .map(|at| at.to_string())
            .map_err(|why| why.code)
    }

    #[test]
    fn what_spreadsheets_write_is_read() {
        for text in [
            "2026-10-16 07:30",
            "2026-10-16T07:30",
            "2026-10-16T07:30:59",
            "2026-10-16T06:30:00Z",
            "2026-10-16 09:30:00+03:00",
            "2026/10/16 7:30",
            "16.10.2026 07:30",
            "16.10.26, 7.30",
            "16/10/2026 07:30:00",
            "10/16/2026 7:30 AM",
            "10/16/26 7:30am",
            "16-10-2026 07:30",
            "16-Oct-26 07:30",
            "16 October 2026 07:30",
            "Oct 16, 2026 7:30 a.m.",
        ] {
            let text = text.replace("7.30", "7:30");
            assert_eq!(
                at(&text, Order::Unknown),
                Ok("2026-10-16 07:30".to_owned()),
                "{text}"
            );
        }
        assert_eq!(
            at("10/16/2026 12:05 AM", Order::Unknown),
            Ok("2026-10-16 00:05".to_owned())
        );
        assert_eq!(
            at("10/16/2026 12:05 PM", Order::Unknown),
            Ok("2026-10-16 12:05".to_owned())
        );
        assert_eq!(
            time("7.30").unwrap(),
            NaiveTime::from_hms_opt(7, 30, 0).unwrap()
        );
    }

    #[test]
    fn a_date_that_can_be_two_days_is_refused_unless_the_table_tells() {
        let why = day("03/04/2026", Order::Unknown).unwrap_err();
        assert_eq!(
            (why.code, why.hint.as_str()),
            ("date-unclear", "write `2026-04-03` or `2026-03-04`")
        );
        assert_eq!(
            day("03/04/2026", Order::Mixed).unwrap_err().code,
            "date-unclear"
        );
        assert_eq!(
            day("03/04/2026", Order::DayFirst).unwrap().to_string(),
            "2026-04-03"
        );
        assert_eq!(
            day("03/04/2026", Order::MonthFirst).unwrap().to_string(),
            "2026-03-04"
        );
        assert_eq!(
            day("03.04.2026", Order::Unknown).unwrap().to_string(),
            "2026-04-03"
        );
        assert_eq!(
            day("04/04/2026", Order::Unknown).unwrap().to_string(),
            "2026-04-04"
        );
        let order = |texts: &[&str]| Order::of(texts.iter().copied());
        assert_eq!(
            order(&["03/04/2026 08:00", "25/04/2026 08:00"]),
            Order::DayFirst
        );
        assert_eq!(order(&["04/25/26 8:00 PM"]), Order::MonthFirst);
        assert_eq!(order(&["04/25/2026", "25/04/2026"]), Order::Mixed);
        assert_eq!(
            order(&["2026-04-25", "25.04.2026", "03/04/2026", ""]),
            Order::Unknown
        );
    }

    #[test]
    fn what_is_no_time_says_so() {
        for (text, code) in [
            ("46301.3125", "day-number"),
            ("46301", "day-number"),
            ("2026-10-16", "time-missing"),
            ("2026-02-30 07:30", "not-a-date"),
            ("32.10.2026 07:30", "not-a-date"),
            ("13/13/2026 07:30", "not-a-date"),
            ("16 Oct 2026 25:00", "not-a-time"),
            ("2026-10-16 13:30 PM", "not-a-time"),
            ("2026-10-16 7:3", "not-a-time"),
            ("0206-10-16 07:30", "not-a-date"),
            ("yesterday", "not-a-date"),
            ("", "not-a-date"),
        ] {
            assert_eq!(at(text, Order::Unknown), Err(code), "{text}");
        }
    }

    proptest! {
        #[test]
        fn no_text_makes_it_panic(
            text in "\\PC{0,30}",
            numbers in "[0-9]{0,5}[-/. T:]{0,2}[0-9]{0,3}[-/. ,]{0,2}[0-9]{0,5}[ \
                T,]{0,2}[0-9]{0,3}:?[0-9]{0,3} ?(am|PM)?",
        ) {
            for text in [text, numbers] {
                let _ = (
                    at(&text, Order::DayFirst),
                    time(&text),
                    Order::of([text.as_str()].into_iter()),
                );
            }
        }
    }
}
