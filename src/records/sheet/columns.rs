//! What the columns of a table are.
//!
//! In: the cells of the first row. Out: [`Columns`]. A puppy's column is named by id, name or
//! ribbon, and may say its unit: `fern (g)`.

use super::cells::{Cell, Row, is_blank};
use super::times::{self, Order};
use crate::litter::Puppy;
use crate::naming::{self, PuppyNameError};
use crate::quantity::{Id, Moment, Ribbon, Unreadable, WeightUnit};
use crate::reading;
use crate::weights::DAM;
use chrono_tz::Tz;
use std::collections::BTreeMap;

/// Words for day and time at the head of a table, in the languages whose spreadsheets are likely
/// (from memory).
const DATE: &[&str] = &[
    "date", "day", "datum", "tag", "dag", "jour", "fecha", "día", "dia", "data", "giorno", "dato",
    "päivä", "pvm", "dzień", "den", "dátum", "дата",
];
const TIME: &[&str] = &[
    "time",
    "zeit",
    "uhrzeit",
    "uhr",
    "heure",
    "tijd",
    "hora",
    "ora",
    "orario",
    "tid",
    "klokkeslæt",
    "klokkeslett",
    "klockslag",
    "aika",
    "klo",
    "godzina",
    "czas",
    "čas",
    "hodina",
    "idő",
    "время",
];
const AND: &[&str] = &[
    "/", "-", "&", "and", "und", "et", "en", "y", "e", "og", "och", "ja", "i", "a",
];

/// A head in words of another language: day, time, or both in one (`Datum / Uhrzeit`).
fn in_other_words(head: &str) -> Option<Column> {
    let spaced = head.replace('/', " / ").replace(':', " ");
    let mut words = spaced.split_whitespace().filter(|word| !AND.contains(word));
    let day = |word: &str| DATE.contains(&word);
    let time = |word: &str| TIME.contains(&word);
    match (words.next()?, words.next(), words.next()) {
        (first, None, _) if day(first) => Some(Column::Date),
        (first, None, _) if time(first) => Some(Column::Time),
        (first, Some(second), None)
            if (day(first) && time(second)) || (time(first) && day(second)) =>
        {
            Some(Column::At)
        }
        _ => None,
    }
}

/// What the cells below a head look like, where its word is not known.
pub(super) fn looks_like<'a>(cells: impl Iterator<Item = &'a str>, zone: Tz) -> Option<Column> {
    let mut alike: Option<Column> = None;
    for text in cells.filter(|text| !is_blank(text)) {
        // Which number is the day does not matter here.
        let order = Order::DayFirst;
        let kind = if times::moment(text, order, zone).is_ok() {
            Column::At
        } else if times::day(text, order)
            .or_else(|_| times::day(text, Order::MonthFirst))
            .is_ok()
        {
            Column::Date
        } else if text.contains(':') && times::time(text).is_ok() {
            Column::Time
        } else {
            return None;
        };
        if alike.as_ref().is_some_and(|known| *known != kind) {
            return None;
        }
        alike = Some(kind);
    }
    alike
}

/// One column.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Column {
    /// Day and time.
    At,
    Date,
    Time,
    By,
    Remark,
    /// A puppy, and the unit of bare numbers below.
    Puppy(Id, Option<WeightUnit>),
    /// Without a name.
    Blank,
    /// Reported already.
    Unknown,
}

/// Why a head is no column.
#[derive(Debug)]
pub(super) enum NoColumn {
    /// Its word is not known: the cells below may tell what it is.
    Word(Unreadable),
    /// Whatever the cells below are.
    Other(Unreadable),
}

/// The columns of a table.
#[derive(Debug)]
pub(super) struct Columns {
    pub(super) list: Vec<Column>,
}

/// A cell of a row, and what is wrong with it.
pub(super) type ColumnFault<'a> = (&'a Cell, Unreadable);

impl Columns {
    pub(super) fn of(head: &Row, puppies: &[Puppy], mut say: impl FnMut(&Cell, NoColumn)) -> Self {
        let mut list = Vec::new();
        let mut seen: BTreeMap<String, String> = BTreeMap::new();
        for cell in &head.cells {
            let column = match Column::of(&cell.text, puppies) {
                Ok(column) => column,
                Err(why) => {
                    say(cell, why);
                    Column::Unknown
                }
            };
            if let Some(name) = column.name() {
                if let Some(first) = seen.get(&name) {
                    let message = format!("`{name}` has a column already ({first})");
                    let why = Unreadable::new("column-twice", message, "take one of the two out");
                    say(cell, NoColumn::Other(why));
                    list.push(Column::Unknown);
                    continue;
                }
                seen.insert(name, cell.letters());
            }
            list.push(column);
        }
        if !list
            .iter()
            .any(|column| matches!(column, Column::Puppy(..) | Column::Unknown))
        {
            let known: Vec<&str> = puppies.iter().map(|puppy| puppy.id.as_str()).collect();
            let hint = format!("name a column after each puppy: {}", known.join(", "));
            let why = Unreadable::new("column-missing", "no column is a puppy's", hint);
            say(&head.cells[0], NoColumn::Other(why));
        }
        Self { list }
    }

    /// Whether the columns say when a weigh-in was.
    pub(super) fn say_when(&self) -> bool {
        // A column that could not be understood may have been meant to.
        self.list
            .iter()
            .any(|column| matches!(column, Column::At | Column::Date | Column::Unknown))
    }

    fn cell<'a>(&self, row: &'a Row, column: &Column) -> Option<&'a Cell> {
        row.cells
            .get(self.list.iter().position(|known| known == column)?)
    }

    /// The texts of a row that hold a day.
    pub(super) fn days<'a>(&self, row: &'a Row) -> impl Iterator<Item = &'a str> {
        [Column::At, Column::Date]
            .map(|column| self.cell(row, &column))
            .into_iter()
            .flatten()
            .map(|cell| cell.text.as_str())
    }

    /// The cell that a problem with the time of a row stands in.
    pub(super) fn time_cell<'a>(&self, row: &'a Row) -> &'a Cell {
        self.cell(row, &Column::At)
            .or_else(|| self.cell(row, &Column::Date))
            .unwrap_or(&row.cells[0])
    }

    /// When the weigh-in of a row was.
    pub(super) fn when<'a>(
        &self,
        row: &'a Row,
        order: Order,
        zone: Tz,
    ) -> Result<Moment, ColumnFault<'a>> {
        let here = self.time_cell(row);
        let missing = || {
            Unreadable::new(
                "time-missing",
                "this row does not say when",
                "write day and time, such as 2026-10-06 07:30",
            )
        };
        let at = self
            .cell(row, &Column::At)
            .filter(|cell| !is_blank(&cell.text));
        if let Some(at) = at {
            // A column `at` with the day alone may have its time in a column of its own.
            if let (Some(time), Ok(day)) =
                (self.cell(row, &Column::Time), times::day(&at.text, order))
            {
                return times::time(&time.text)
                    .map(|time| day.date().and_time(time).into())
                    .map_err(|why| (time, why));
            }
            return times::moment(&at.text, order, zone).map_err(|why| (at, why));
        }
        let date = self
            .cell(row, &Column::Date)
            .filter(|cell| !is_blank(&cell.text))
            .ok_or_else(|| (here, missing()))?;
        let Some(time) = self.cell(row, &Column::Time) else {
            // Without a column for the time the day may hold it.
            return times::moment(&date.text, order, zone).map_err(|why| (date, why));
        };
        let day = times::day(&date.text, order).map_err(|why| (date, why))?;
        let time = times::time(&time.text).map_err(|why| (time, why))?;
        Ok(day.date().and_time(time).into())
    }
}

impl Column {
    fn of(text: &str, puppies: &[Puppy]) -> Result<Self, NoColumn> {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let lower = text.to_lowercase();
        match lower.as_str() {
            "" => return Ok(Self::Blank),
            "at" => return Ok(Self::At),
            "by" => return Ok(Self::By),
            "remark" => return Ok(Self::Remark),
            _ => {}
        }
        let (word, inside) = match text
            .strip_suffix([')', ']'])
            .and_then(|text| text.split_once(['(', '[']))
        {
            Some((word, inside)) => (word.trim(), Some(inside.trim().to_lowercase())),
            None => (text.as_str(), None),
        };
        if word.eq_ignore_ascii_case(DAM)
            && let Ok(id) = DAM.parse::<Id>()
        {
            return weighed_column(id, inside.as_deref(), None);
        }
        match naming::puppy(puppies, word) {
            Ok(puppy) => puppy_column(puppy, inside.as_deref()),
            // Words that a puppy might be called come after the puppies.
            Err(why) => match lower.as_str() {
                "when" | "date and time" | "date time" | "datetime" | "date/time" | "timestamp" => {
                    Ok(Self::At)
                }
                "weighed by" | "who" => Ok(Self::By),
                "remarks" | "note" | "notes" => Ok(Self::Remark),
                head => match in_other_words(head) {
                    Some(column) => Ok(column),
                    None => Err(unknown(word, why)),
                },
            },
        }
    }

    /// What it is called by; what is called alike must not stand in a table twice.
    pub(super) fn name(&self) -> Option<String> {
        Some(match self {
            Self::At => "at".to_owned(),
            Self::Date => "date".to_owned(),
            Self::Time => "time".to_owned(),
            Self::By => "by".to_owned(),
            Self::Remark => "remark".to_owned(),
            Self::Puppy(id, _) => id.to_string(),
            Self::Blank | Self::Unknown => return None,
        })
    }
}

fn puppy_column(puppy: &Puppy, inside: Option<&str>) -> Result<Column, NoColumn> {
    weighed_column(puppy.id.clone(), inside, puppy.ribbon)
}

fn weighed_column(id: Id, inside: Option<&str>, own: Option<Ribbon>) -> Result<Column, NoColumn> {
    let Some(inside) = inside.filter(|inside| !inside.is_empty()) else {
        return Ok(Column::Puppy(id, None));
    };
    if inside
        .parse::<Ribbon>()
        .is_ok_and(|ribbon| own == Some(ribbon))
        || inside == id.as_str()
    {
        return Ok(Column::Puppy(id, None));
    }
    match inside.parse::<WeightUnit>() {
        Ok(unit) => Ok(Column::Puppy(id, Some(unit))),
        Err(_) => Err(NoColumn::Other(Unreadable::new(
            "unit-unknown",
            format!("`{inside}` is neither a unit of weight nor the ribbon of `{id}`"),
            format!("write `{id} (g)`"),
        ))),
    }
}

/// A word that is no column: one that is near to no puppy may have been meant for another column.
fn unknown(word: &str, error: PuppyNameError) -> NoColumn {
    let own = ["at", "date", "time", "by", "remark"];
    match error {
        PuppyNameError::Unknown(why) => {
            let hint = reading::suggestion(word, &own).unwrap_or_else(|| {
                format!("{}; other columns are at, date, time, by, remark", why.hint)
            });
            NoColumn::Word(Unreadable { hint, ..why })
        }
        PuppyNameError::Mistyped(why) => NoColumn::Word(why),
        PuppyNameError::Ambiguous(why) => NoColumn::Other(why),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heads_for_day_and_time_are_understood_in_other_languages() {
        for (head, column) in [
            ("Datum", Column::Date),
            ("Uhrzeit", Column::Time),
            ("Fecha", Column::Date),
            ("heure", Column::Time),
            ("Datum / Uhrzeit", Column::At),
            ("date et heure", Column::At),
            ("Fecha y hora", Column::At),
            ("date", Column::Date),
            ("Date/Time", Column::At),
            ("when", Column::At),
        ] {
            assert_eq!(Column::of(head, &[]).ok(), Some(column), "{head}");
        }
        assert!(Column::of("Gewicht", &[]).is_err() && Column::of("date of birth", &[]).is_err());
    }

    #[test]
    fn a_column_of_days_or_times_is_asked_for_whatever_it_is_called() {
        let like = |cells: &[&str]| looks_like(cells.iter().copied(), chrono_tz::Europe::London);
        assert_eq!(like(&["2026-10-06", "", "07.10.2026"]), Some(Column::Date));
        assert_eq!(like(&["07:30", "19:30"]), Some(Column::Time));
        assert_eq!(like(&["2026-10-06 07:30"]), Some(Column::At));
        assert_eq!(like(&["212", "231 g"]), None);
        assert_eq!(like(&["2026-10-06", "231"]), None);
        assert_eq!(like(&[]), None);
    }
}
