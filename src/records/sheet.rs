//! A table of weigh-ins, as a spreadsheet or a phone gives it: one row for each weigh-in, one
//! column for each puppy.
//!
//! In: the bytes of a CSV file and the litter. Out: [`Sheet`]: the weigh-ins in the order of rows,
//! and every problem with its row and column as the spreadsheet counts them. What a cell means is
//! never guessed where it could mean two things: a date such as 03/04/2026 is a problem unless
//! another row tells which number is the day.

mod cells;
mod columns;
mod times;

use super::problem::{Place, Problem};
use super::{LitterFolder, litter::Puppy};
use crate::quantity::{Id, Moment, Text, Unreadable, Weight, WeightUnit};
use cells::{Cell, Row};
use chrono_tz::Tz;
use columns::{Column, Columns, NoColumn};

/// What a sheet is read with.
#[derive(Debug, Clone)]
pub struct Setting {
    /// The unit of a bare number.
    pub unit: WeightUnit,
    /// The kennel's time zone, for times that carry their own.
    pub zone: Tz,
    /// The latest time a weigh-in can have been.
    pub latest: Moment,
    /// The time of the one row of a sheet that has no column for it.
    pub at: Option<Moment>,
    /// Who weighed, where a row does not say.
    pub by: Option<Text>,
}

/// A table that was read.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// The text that problems stand in.
    pub text: String,
    /// Rows that could be read.
    pub rows: Vec<Taken>,
    /// Everything that is wrong; a sheet with problems is not taken in.
    pub problems: Vec<Problem>,
}

/// One weigh-in that is to be written down.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// When, to the minute.
    pub at: Moment,
    /// Who weighed.
    pub by: Option<Text>,
    /// Anything worth keeping.
    pub remark: Option<Text>,
    /// The weights.
    pub weights: Vec<TableWeight>,
}

/// One weight that is to be written down.
#[derive(Debug, Clone, PartialEq)]
pub struct TableWeight {
    /// Whose.
    pub puppy: Id,
    /// How much.
    pub weight: Weight,
    /// As the records will write it.
    pub written: String,
    /// Where it was typed, such as `row 3, column B: `; empty on the command line.
    pub label: String,
    /// The place of a problem about it.
    pub place: Place,
}

/// Reads a table; `name` is what problems call it.
#[must_use]
pub fn read(name: &str, bytes: &[u8], folder: &LitterFolder, setting: &Setting) -> Sheet {
    let text = match cells::decode(bytes) {
        Ok(text) => text,
        Err(why) => {
            return Sheet {
                text: String::new(),
                rows: Vec::new(),
                problems: vec![Problem::unreadable(Place::file(name), why)],
            };
        }
    };
    let mut reader = SheetReader {
        name,
        folder,
        setting,
        rows: Vec::new(),
        problems: Vec::new(),
    };
    reader.read(&text);
    let SheetReader { rows, problems, .. } = reader;
    Sheet {
        text,
        rows,
        problems,
    }
}

/// Why a weigh-in of this puppy cannot have been at this time.
#[must_use]
pub fn impossible(folder: &LitterFolder, puppy: &Puppy, at: Moment) -> Option<Unreadable> {
    let birth = folder.litter.birth.as_ref()?;
    let id = &puppy.id;
    if puppy
        .born
        .map(|born| born.on(birth.on).to_the_minute())
        .is_some_and(|born| at < born)
        || at.day() < birth.on
    {
        let born = puppy.born.map_or_else(
            || birth.on.to_string(),
            |born| born.on(birth.on).to_string(),
        );
        return Some(Unreadable::new(
            "before-birth",
            format!("{at} is before `{id}` was born ({born})"),
            "look at the day and the time, and put them right",
        ));
    }
    let died = puppy
        .on
        .or((puppy.fate == Some(super::litter::Fate::Stillborn)).then_some(birth.on))
        .filter(|_| !puppy.is_alive());
    if died.is_some_and(|died| died < at.day()) || (!puppy.is_alive() && died.is_none()) {
        let when = died.map(|died| format!(" on {died}")).unwrap_or_default();
        return Some(Unreadable::new(
            "after-death",
            format!("`{id}` died{when}, before {at}"),
            "look at the name, the day and the time, and put them right",
        ));
    }
    None
}

/// Why nothing can have been weighed at this time.
#[must_use]
pub fn not_yet(at: Moment, latest: Moment) -> Option<Unreadable> {
    (at > latest).then(|| {
        Unreadable::new(
            "in-the-future",
            format!("{at} is still to come"),
            format!("now it is {latest}: put the day or the time right"),
        )
    })
}

struct SheetReader<'a> {
    name: &'a str,
    folder: &'a LitterFolder,
    setting: &'a Setting,
    rows: Vec<Taken>,
    problems: Vec<Problem>,
}

impl SheetReader<'_> {
    fn read(&mut self, text: &str) {
        let rows = match cells::rows(text) {
            Ok(rows) => rows,
            Err(at) => {
                let hint = "close the quote, or write the table again from your spreadsheet";
                let place = Place::bytes(self.name, at..at + 1);
                return self.problems.push(Problem::error(
                    "quote-open",
                    place,
                    "a quote opens here and is never closed",
                    hint,
                ));
            }
        };
        let mut rows = rows.iter().filter(|row| !row.is_blank());
        let Some(head) = rows.next() else {
            let hint = "the first row names the columns: at,by,remark and the puppies";
            return self.problems.push(Problem::error(
                "sheet-empty",
                Place::file(self.name),
                "this table is empty",
                hint,
            ));
        };
        let rows: Vec<&Row> = rows.collect();
        let columns = Columns::of(head, &self.folder.litter.puppies, |cell, why| {
            let number = head
                .cells
                .iter()
                .position(|known| known.range == cell.range)
                .unwrap_or(usize::MAX);
            let below = rows
                .iter()
                .filter_map(|row| row.cells.get(number))
                .map(|cell| cell.text.as_str());
            let looks_like = || columns::looks_like(below, self.setting.zone)?.name();
            let why = match why {
                NoColumn::Other(why) => why,
                NoColumn::Word(why) => match looks_like() {
                    Some(name) => Unreadable {
                        hint: format!(
                            "these cells look like days or times: call the column `{name}`"
                        ),
                        ..why
                    },
                    None => why,
                },
            };
            self.problems.push(problem(self.name, head, cell, why));
        });
        let is_said = self.setting.at.is_some() && rows.len() == 1;
        if !columns.say_when() && !is_said {
            let hint =
                "add a column `at` with day and time; for a table of one row, --at says it as well";
            let place = Place::bytes(self.name, head.range());
            self.problems.push(Problem::error(
                "time-missing",
                place,
                "no column says when",
                hint,
            ));
        }
        if rows.is_empty() {
            let place = Place::bytes(self.name, head.range());
            self.problems.push(Problem::error(
                "sheet-empty",
                place,
                "below its first row this table is empty",
                "write one row for each weigh-in",
            ));
        }
        let order = times::Order::of(rows.iter().flat_map(|row| columns.days(row)));
        for row in rows {
            self.row(row, &columns, order);
        }
    }

    fn say(&mut self, row: &Row, cell: &Cell, why: Unreadable) {
        self.problems.push(problem(self.name, row, cell, why));
    }

    fn row(&mut self, row: &Row, columns: &Columns, order: times::Order) {
        let at = self.when(row, columns, order);
        let (mut by, mut remark, mut weights) = (self.setting.by.clone(), None, Vec::new());
        for (cell, column) in row
            .cells
            .iter()
            .zip(columns.list.iter().map(Some).chain(std::iter::repeat(None)))
        {
            let text = cell.text.trim();
            if cells::is_blank(text) {
                continue;
            }
            match column {
                Some(Column::By) => self.words(row, cell, &mut by),
                Some(Column::Remark) => self.words(row, cell, &mut remark),
                Some(Column::Puppy(id, unit)) => {
                    weights.extend(self.weight(row, cell, id, *unit, at));
                }
                Some(Column::Unknown | Column::At | Column::Date | Column::Time) => {}
                Some(Column::Blank) => {
                    let why = Unreadable::new(
                        "column-unnamed",
                        "this column has no name in the first row",
                        "write the puppy's id above it",
                    );
                    self.say(row, cell, why);
                }
                None => {
                    let hint = "decimal commas need another sign between the columns, such as \
                                `;`, or quotes around the number";
                    self.say(
                        row,
                        cell,
                        Unreadable::new(
                            "cell-beyond",
                            "this cell stands beyond the last column",
                            hint,
                        ),
                    );
                }
            }
        }
        if let Some(at) = at {
            if let Some(why) = not_yet(at, self.setting.latest) {
                let cell = columns.time_cell(row);
                self.say(row, cell, why);
            }
            self.rows.push(Taken {
                at,
                by,
                remark,
                weights,
            });
        }
    }

    fn when(&mut self, row: &Row, columns: &Columns, order: times::Order) -> Option<Moment> {
        if !columns.say_when() {
            return self.setting.at;
        }
        match columns.when(row, order, self.setting.zone) {
            Ok(at) => Some(at.to_the_minute()),
            Err((cell, why)) => {
                self.say(row, cell, why);
                None
            }
        }
    }

    fn words(&mut self, row: &Row, cell: &Cell, to: &mut Option<Text>) {
        match cell.text.parse() {
            Ok(text) => *to = Some(text),
            Err(why) => self.say(row, cell, why),
        }
    }

    fn weight(
        &mut self,
        row: &Row,
        cell: &Cell,
        id: &Id,
        unit: Option<WeightUnit>,
        at: Option<Moment>,
    ) -> Option<TableWeight> {
        let puppy = self.folder.puppy(id);
        if let Some(why) = at
            .zip(puppy)
            .and_then(|(at, puppy)| impossible(self.folder, puppy, at))
        {
            self.say(row, cell, why);
            return None;
        }
        match Weight::typed(&cell.text, unit.unwrap_or(self.setting.unit)) {
            Ok((weight, written)) => {
                let place = Place::bytes(self.name, cell.range.clone());
                Some(TableWeight {
                    puppy: id.clone(),
                    weight,
                    written,
                    label: label(row, cell),
                    place,
                })
            }
            Err(why) => {
                self.say(row, cell, why);
                None
            }
        }
    }
}

/// `row 3, column B: `, as a spreadsheet counts.
fn label(row: &Row, cell: &Cell) -> String {
    format!("row {}, column {}: ", row.number, cell.letters())
}

fn problem(name: &str, row: &Row, cell: &Cell, why: Unreadable) -> Problem {
    let Unreadable {
        code,
        message,
        hint,
    } = why;
    // A cell without a character is shown by its row.
    let range = if cell.range.is_empty() {
        row.range()
    } else {
        cell.range.clone()
    };
    Problem::error(
        code,
        Place::bytes(name, range),
        format!("{}{message}", label(row, cell)),
        hint,
    )
}

#[cfg(test)]
mod tests;
