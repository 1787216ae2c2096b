//! Tables.
//!
//! In: a caption, heads, rows, and the shares of the width. Out: strips whose head knows how to
//! come again on the next page. It never splits a row that fits a page.

use std::rc::Rc;

use super::NotTypeset;
use super::count;
use super::faces::Face;
use super::galley::{Galley, HAIR, Style, TEXT, lead};
use super::strip::{ContentRole, Ink, InkOwner, Strip, StripCell, running, side_by_side};

const HEAD: Style = Style {
    face: Face::SansBold,
    size: 8.0,
    leading: 10.5,
    grey: 0,
};
const BODY: Style = Style {
    face: Face::Sans,
    size: 9.0,
    leading: 12.0,
    grey: 0,
};
const CAPTION: Style = Style {
    face: Face::SansBold,
    ..TEXT
};

/// Space between two columns.
const GUTTER: f32 = 12.0;
/// Narrowest column, if the table has room for it.
const NARROWEST: f32 = 24.0;
/// More columns than this cannot be read on any of our sheets.
const MOST_COLUMNS: usize = 40;

/// The parts of a table, as the caller gave them.
pub(super) struct TableParts<'a> {
    pub(super) caption: &'a str,
    pub(super) head: &'a [String],
    pub(super) share: &'a [f32],
    pub(super) figures: &'a [bool],
    pub(super) rows: &'a [Vec<String>],
}

/// Where one column stands, and how.
#[derive(Clone, Copy)]
struct PlacedColumn {
    x: f32,
    width: f32,
    figures: bool,
}

/// Sets a table.
pub(super) fn set(galley: &mut Galley, parts: &TableParts<'_>) -> Result<(), NotTypeset> {
    let columns = parts
        .rows
        .iter()
        .map(Vec::len)
        .max()
        .unwrap_or(0)
        .max(parts.head.len());
    if columns > MOST_COLUMNS {
        return Err(NotTypeset::TooManyColumns {
            columns,
            most: MOST_COLUMNS,
        });
    }
    let caption = galley.lines(parts.caption, CAPTION, galley.width);
    if columns == 0 && caption.is_empty() {
        return Ok(());
    }
    if columns == 0 {
        let node = galley.tree.add(ContentRole::Paragraph, None);
        galley.push(
            9.0,
            running(caption, 0.0, CAPTION.look(0.0), InkOwner::Node(node)),
        );
        return Ok(());
    }
    let columns = spread(parts, columns, galley.width);
    let table = galley.tree.add(ContentRole::Table, None);
    let captioned = !caption.is_empty();
    if captioned {
        let node = galley.tree.add(ContentRole::Caption, Some(table));
        let mut strips = running(caption, 0.0, CAPTION.look(0.0), InkOwner::Node(node));
        lead(&mut strips);
        galley.push(9.0, strips);
    }
    let mut head = head_strips(galley, parts, &columns, table);
    // A head that fills much of a page would leave no room for its rows: it is shown once only.
    let again = match head.as_slice() {
        [only] if only.height < galley.height * 0.4 => Some(Rc::new(only.repeated())),
        _ => None,
    };
    if again.is_some() && !parts.rows.is_empty() {
        lead(&mut head);
    }
    galley.push(if captioned { 3.0 } else { 9.0 }, head);
    body(galley, parts, &columns, table, again.as_ref());
    Ok(())
}

fn head_strips(
    galley: &mut Galley,
    parts: &TableParts<'_>,
    columns: &[PlacedColumn],
    table: usize,
) -> Vec<Strip> {
    let section = galley.tree.add(ContentRole::TableHead, Some(table));
    let row = galley.tree.add(ContentRole::Row, Some(section));
    let cells = cells(galley, parts.head, columns, row, true);
    let mut strips = side_by_side(&cells, HEAD.look(2.6), galley.room());
    let right = galley.width;
    if let Some(first) = strips.first_mut() {
        first.inks.push((
            InkOwner::Layout,
            Ink::Rule {
                from: [0.0, 0.0],
                to: [right, 0.0],
                width: 0.8,
                grey: 0,
            },
        ));
    }
    if let Some(last) = strips.last_mut() {
        let y = last.height;
        last.inks.push((
            InkOwner::Layout,
            Ink::Rule {
                from: [0.0, y],
                to: [right, y],
                width: 0.5,
                grey: 0,
            },
        ));
    }
    strips
}

fn body(
    galley: &mut Galley,
    parts: &TableParts<'_>,
    columns: &[PlacedColumn],
    table: usize,
    head: Option<&Rc<Strip>>,
) {
    if parts.rows.is_empty() {
        return;
    }
    let section = galley.tree.add(ContentRole::TableBody, Some(table));
    let room = galley.height - head.map_or(0.0, |head| head.height);
    let last = parts.rows.len() - 1;
    for (nth, row) in parts.rows.iter().enumerate() {
        let node = galley.tree.add(ContentRole::Row, Some(section));
        let cells = cells(galley, row, columns, node, false);
        let mut strips = side_by_side(
            &cells,
            BODY.look(2.0),
            if nth == 0 {
                room.min(galley.room())
            } else {
                room
            },
        );
        for strip in &mut strips {
            strip.head = head.map(Rc::clone);
        }
        if let Some(end) = strips.last_mut() {
            let (y, right) = (end.height, galley.width);
            let (width, grey) = if nth == last { (0.8, 0) } else { (0.4, HAIR) };
            end.inks.push((
                InkOwner::Layout,
                Ink::Rule {
                    from: [0.0, y],
                    to: [right, y],
                    width,
                    grey,
                },
            ));
            // The last row never stands on a page of its own.
            end.keep = nth + 1 == last;
        }
        galley.push(0.0, strips);
    }
}

fn cells(
    galley: &mut Galley,
    texts: &[String],
    columns: &[PlacedColumn],
    row: usize,
    head: bool,
) -> Vec<StripCell> {
    let (style, kind) = if head {
        (HEAD, ContentRole::HeadCell)
    } else {
        (BODY, ContentRole::Cell)
    };
    let mut cells = Vec::with_capacity(columns.len());
    for (nth, column) in columns.iter().enumerate() {
        let owner = InkOwner::Node(galley.tree.add(kind.clone(), Some(row)));
        let text = texts.get(nth).map_or("", String::as_str);
        // Letters are never wider than 1.3 ems: in a very narrow column they become small rather
        // than stand in the next one.
        let size = style.size.min(column.width / 1.3);
        let lines = galley.lines(text, Style { size, ..style }, column.width);
        cells.push(StripCell {
            x: column.x,
            width: column.width,
            right: column.figures,
            lines,
            owner,
        });
    }
    cells
}

/// Spreads the columns over the width by their shares, none narrower than [`NARROWEST`] while there
/// is room.
fn spread(parts: &TableParts<'_>, columns: usize, width: f32) -> Vec<PlacedColumn> {
    let gutter = GUTTER.min(width / count(columns) / 4.0);
    let room = width - gutter * count(columns - 1);
    let narrowest = NARROWEST.min(room / count(columns));
    let possible = |share: &f32| share.is_finite() && *share > 0.0 && *share < 1.0e9;
    let given: Vec<f32> = parts
        .share
        .iter()
        .take(columns)
        .copied()
        .filter(possible)
        .collect();
    let mean = if given.is_empty() {
        1.0
    } else {
        given.iter().sum::<f32>() / count(given.len())
    };
    let shares: Vec<f32> = (0..columns)
        .map(|nth| {
            parts
                .share
                .get(nth)
                .copied()
                .filter(possible)
                .unwrap_or(mean)
        })
        .collect();
    let all: f32 = shares.iter().sum();
    let wanted: Vec<f32> = shares
        .iter()
        .map(|share| (room * share / all).max(narrowest))
        .collect();
    // What the narrowest columns got on top of their share, the others give up in proportion to
    // what they have to spare.
    let over = wanted.iter().sum::<f32>() - room;
    let spare: f32 = wanted.iter().map(|wide| wide - narrowest).sum();
    let part = if spare > 0.0 {
        (over / spare).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let mut x = 0.0;
    let place = |(nth, wide): (usize, f32)| {
        let width = wide - (wide - narrowest) * part;
        let column = PlacedColumn {
            x,
            width,
            figures: parts.figures.get(nth).copied().unwrap_or(false),
        };
        x += width + gutter;
        column
    };
    wanted.into_iter().enumerate().map(place).collect()
}
