//! From words to glyphs, and from glyphs to lines.
//!
//! In: any text, a face, a size, a width. Out: shaped text, cut into lines that are no wider than
//! the width. Every glyph knows which bytes of the text it stands for, so that a reader gets the
//! very words back. It never fails: a character that no face has becomes the sign for an unknown
//! one, and is remembered with the words around it.

use std::collections::BTreeMap;
use std::ops::Range;
use std::rc::Rc;

use krilla::surface::Location;
use krilla::text::{Glyph as PdfGlyph, GlyphId};
use rustybuzz::{Direction, Language, Script, ShapePlan, UnicodeBuffer, script};

use super::NotTypeset;
use super::clean::clean;
use super::faces::{Cut, Face, Faces};

/// Whether a line may end after a glyph.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum After {
    /// Never: the glyph is in the middle of a letter with marks.
    Inside,
    /// Only when a word is wider than the line.
    Letter,
    /// Yes.
    May,
    /// It must.
    Must,
}

/// One glyph in its place; all lengths in ems.
#[derive(Clone, Debug)]
pub(super) struct Glyph {
    pub(super) face: Face,
    id: u16,
    advance: f32,
    dx: f32,
    dy: f32,
    range: Range<usize>,
    space: bool,
    after: After,
}

impl PdfGlyph for Glyph {
    fn glyph_id(&self) -> GlyphId {
        GlyphId::new(u32::from(self.id))
    }
    fn text_range(&self) -> Range<usize> {
        self.range.clone()
    }
    fn x_advance(&self, size: f32) -> f32 {
        self.advance * size
    }
    fn x_offset(&self, size: f32) -> f32 {
        self.dx * size
    }
    fn y_offset(&self, size: f32) -> f32 {
        self.dy * size
    }
    fn y_advance(&self, _size: f32) -> f32 {
        0.0
    }
    fn location(&self) -> Option<Location> {
        None
    }
}

/// Text that has been shaped, without a size.
#[derive(Debug)]
pub(super) struct Shaped {
    /// The cleaned text.
    pub(super) text: String,
    glyphs: Vec<Glyph>,
}

/// One line of shaped text at a size.
#[derive(Clone, Debug)]
pub(super) struct TextLine {
    shaped: Rc<Shaped>,
    range: Range<usize>,
    /// Width in points, without the space at its end.
    pub(super) width: f32,
    /// Size in points.
    pub(super) size: f32,
    /// 0 for black to 255 for white.
    pub(super) grey: u8,
}

impl TextLine {
    /// The whole text of which the line is a part.
    pub(super) fn text(&self) -> &str {
        &self.shaped.text
    }

    /// Whether any glyph stands for a character that no face has.
    #[cfg(test)]
    pub(super) fn has_unknown(&self, faces: &Faces) -> bool {
        self.glyphs()
            .iter()
            .any(|glyph| glyph.id == faces.cut(glyph.face).unknown.0)
    }

    /// The words of this line alone.
    pub(super) fn words(&self) -> &str {
        let glyphs = self.glyphs();
        let start = glyphs.first().map_or(0, |glyph| glyph.range.start);
        let end = glyphs.last().map_or(0, |glyph| glyph.range.end);
        self.shaped.text.get(start..end).unwrap_or_default()
    }

    /// Whether the line ends inside a word.
    pub(super) fn splits_a_group(&self) -> bool {
        let ends = self.range.end < self.shaped.glyphs.len();
        ends && self
            .glyphs()
            .last()
            .is_some_and(|glyph| matches!(glyph.after, After::Inside | After::Letter))
    }

    fn glyphs(&self) -> &[Glyph] {
        self.shaped
            .glyphs
            .get(self.range.clone())
            .unwrap_or_default()
    }

    /// The glyphs in runs of one face, each with where it starts, in points from the start of the
    /// line.
    pub(super) fn runs(&self) -> impl Iterator<Item = (f32, Face, &[Glyph])> {
        let mut x = 0.0;
        self.glyphs()
            .chunk_by(|a, b| a.face == b.face)
            .filter_map(move |run| {
                let at = x;
                x += run
                    .iter()
                    .map(|glyph| glyph.advance * self.size)
                    .sum::<f32>();
                run.first().map(|first| (at, first.face, run))
            })
    }
}

/// The shaper: keeps its plans and what it shaped while one document is set.
pub(super) struct Shaper {
    faces: &'static Faces,
    language: Option<Language>,
    plans: BTreeMap<(Face, Script), ShapePlan>,
    seen: BTreeMap<Face, BTreeMap<String, Rc<Shaped>>>,
    buffer: Option<UnicodeBuffer>,
    /// What no face has, each with the words in which it stood first.
    unprinted: BTreeMap<char, String>,
}

/// A stretch of text in one face and one script.
struct Run {
    face: Face,
    script: Script,
    known: bool,
    range: Range<usize>,
}

impl Shaper {
    pub(super) fn new(language: &str) -> Result<Self, NotTypeset> {
        let faces = Faces::built_in()?;
        Ok(Self {
            faces,
            language: language.parse().ok(),
            plans: BTreeMap::new(),
            seen: BTreeMap::new(),
            buffer: None,
            unprinted: BTreeMap::new(),
        })
    }

    /// The faces it draws from.
    pub(super) fn faces(&self) -> &'static Faces {
        self.faces
    }

    /// The characters that were to be set and that no face has, each with the words in which it
    /// stood first.
    pub(super) fn into_unprinted(self) -> BTreeMap<char, String> {
        self.unprinted
    }

    /// Cleans and shapes a text.
    pub(super) fn shape(&mut self, face: Face, text: &str) -> Rc<Shaped> {
        if let Some(known) = self.seen.get(&face).and_then(|texts| texts.get(text)) {
            return Rc::clone(known);
        }
        let mut cleaned = clean(text);
        if !cleaned.is_empty() {
            // A space at the end keeps the words of two texts apart for those who hear them or copy
            // them.
            cleaned.push(' ');
        }
        let mut glyphs = Vec::with_capacity(cleaned.len());
        for run in self.runs(face, &cleaned) {
            self.shape_run(&run, &cleaned, &mut glyphs);
        }
        for glyph in glyphs
            .iter()
            .filter(|glyph| glyph.id == self.faces.cut(glyph.face).unknown.0)
        {
            for letter in cleaned
                .get(glyph.range.clone())
                .into_iter()
                .flat_map(str::chars)
            {
                self.unprinted
                    .entry(letter)
                    .or_insert_with(|| around(&cleaned, &glyph.range));
            }
        }
        mark_breaks(&cleaned, &mut glyphs, face == Face::Mono);
        let shaped = Rc::new(Shaped {
            text: cleaned,
            glyphs,
        });
        self.seen
            .entry(face)
            .or_default()
            .insert(text.to_owned(), Rc::clone(&shaped));
        shaped
    }

    /// Cuts a text into stretches of one face and one script; line feeds fall out between them.
    fn runs(&self, face: Face, text: &str) -> Vec<Run> {
        let mut runs: Vec<Run> = Vec::new();
        let (mut script, mut broken) = (script::LATIN, true);
        for (at, letter) in text.char_indices() {
            if letter == '\n' {
                broken = true;
                continue;
            }
            script = script_of(letter).unwrap_or(script);
            let (with, known) = self.face_for(face, letter);
            let range = at..at + letter.len_utf8();
            match runs.last_mut() {
                Some(run)
                    if !broken
                        && known
                        && run.known
                        && run.face == with
                        && run.script == script =>
                {
                    run.range.end = range.end;
                }
                _ => runs.push(Run {
                    face: with,
                    script,
                    known,
                    range,
                }),
            }
            broken = false;
        }
        runs
    }

    fn face_for(&self, face: Face, letter: char) -> (Face, bool) {
        let second = if face == Face::Mono {
            Face::Sans
        } else {
            Face::Symbols
        };
        let substitutes = [face, second, Face::Symbols, Face::Others];
        let found = substitutes
            .into_iter()
            .find(|&with| self.faces.cut(with).has(letter));
        (found.unwrap_or(face), found.is_some())
    }

    fn shape_run(&mut self, run: &Run, text: &str, glyphs: &mut Vec<Glyph>) {
        let cut = self.faces.cut(run.face);
        if !run.known {
            glyphs.push(unknown(cut, run.face, run.range.clone()));
            return;
        }
        let mut buffer = self.buffer.take().unwrap_or_default();
        for (at, letter) in text
            .get(run.range.clone())
            .unwrap_or_default()
            .char_indices()
        {
            buffer.add(
                letter,
                u32::try_from(run.range.start + at).unwrap_or(u32::MAX),
            );
        }
        buffer.set_direction(Direction::LeftToRight);
        buffer.set_script(run.script);
        let language = self.language.as_ref();
        let plan = self.plans.entry((run.face, run.script)).or_insert_with(|| {
            ShapePlan::new(
                &cut.shaper,
                Direction::LeftToRight,
                Some(run.script),
                language,
                &[],
            )
        });
        let shaped = rustybuzz::shape_with_plan(&cut.shaper, plan, buffer);
        let infos = shaped.glyph_infos();
        for (nth, (info, place)) in infos.iter().zip(shaped.glyph_positions()).enumerate() {
            let start = info.cluster as usize;
            let next = infos
                .iter()
                .skip(nth)
                .map(|other| other.cluster as usize)
                .find(|&cluster| cluster > start);
            let range = start..next.unwrap_or(run.range.end);
            let Some(id) = u16::try_from(info.glyph_id).ok().filter(|&id| id != 0) else {
                glyphs.push(unknown(cut, run.face, range));
                continue;
            };
            let ems = |units: i32| em_units(units) * cut.per_unit;
            glyphs.push(Glyph {
                face: run.face,
                id,
                advance: ems(place.x_advance),
                dx: ems(place.x_offset),
                dy: ems(place.y_offset),
                range,
                space: false,
                after: After::Letter,
            });
        }
        self.buffer = Some(shaped.clear());
    }
}

/// The words around a part of a text.
fn around(text: &str, part: &Range<usize>) -> String {
    const LETTERS: usize = 24;
    let (before, rest) = text.split_at_checked(part.start).unwrap_or_default();
    let start = before
        .char_indices()
        .rev()
        .take(LETTERS)
        .last()
        .map_or(before.len(), |(at, _)| at);
    let end = rest
        .char_indices()
        .nth(LETTERS)
        .map_or(rest.len(), |(at, _)| at);
    // From a whole word on, where there is one.
    let whole = |left: &'_ str| left.find(' ').map_or(0, |blank| blank + 1);
    let (begin, left) = if start > 0 {
        ("… ", &before[start + whole(&before[start..])..])
    } else {
        ("", before)
    };
    let (right, finish) = if end < rest.len() {
        (&rest[..end], " …")
    } else {
        (rest, "")
    };
    format!("{begin}{}{}{finish}", left.trim_start(), right.trim_end()).replace('\n', "")
}

fn unknown(cut: &Cut, face: Face, range: Range<usize>) -> Glyph {
    Glyph {
        face,
        id: cut.unknown.0,
        advance: cut.advance(cut.unknown),
        dx: 0.0,
        dy: 0.0,
        range,
        space: false,
        after: After::Letter,
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "lengths in a font are far below the 24 bits that an f32 holds exactly"
)]
fn em_units(units: i32) -> f32 {
    units as f32
}

fn script_of(letter: char) -> Option<Script> {
    match letter {
        '\u{300}'..='\u{36F}' => None,
        '\u{370}'..='\u{3FF}' | '\u{1F00}'..='\u{1FFF}' => Some(script::GREEK),
        '\u{400}'..='\u{52F}'
        | '\u{1C80}'..='\u{1C8F}'
        | '\u{2DE0}'..='\u{2DFF}'
        | '\u{A640}'..='\u{A69F}' => Some(script::CYRILLIC),
        _ if letter.is_alphabetic() => Some(script::LATIN),
        _ => None,
    }
}

/// Writes into each glyph whether a line may end after it. Dates and ranges such as 2026-10-09 stay
/// whole, the groups of a code do not.
fn mark_breaks(text: &str, glyphs: &mut [Glyph], code: bool) {
    let ends: Vec<Option<usize>> = glyphs
        .iter()
        .skip(1)
        .map(|next| Some(next.range.start))
        .chain([None])
        .collect();
    for (glyph, next_start) in glyphs.iter_mut().zip(ends) {
        if next_start.is_some_and(|start| start < glyph.range.end) {
            glyph.after = After::Inside;
            continue;
        }
        let (before, rest) = text.split_at_checked(glyph.range.end).unwrap_or((text, ""));
        let mut back = before.chars().rev();
        let (last, previous, next) = (back.next(), back.next(), rest.chars().next());
        glyph.space = last == Some(' ');
        glyph.after = match (previous, last, next) {
            (_, _, Some('\n')) => After::Must,
            (_, Some(' '), _) => After::May,
            (Some(a), Some('-' | '/' | '\u{2010}' | '\u{2013}' | '\u{2014}'), Some(b))
                if a.is_alphanumeric() && b.is_alphanumeric() =>
            {
                if a.is_numeric() && b.is_numeric() && !code {
                    After::Letter
                } else {
                    After::May
                }
            }
            _ => After::Letter,
        };
    }
}

/// Where a line may end: after how many glyphs, and how wide it is then.
type LineEnd = (usize, f32);

/// Cuts shaped text into lines of at most `width` points; only a single letter that is wider than
/// that still is.
pub(super) fn break_lines(shaped: &Rc<Shaped>, size: f32, grey: u8, width: f32) -> Vec<TextLine> {
    let mut lines = Vec::new();
    let (mut start, mut at, mut x, mut solid) = (0, 0, 0.0_f32, 0.0_f32);
    let (mut may, mut letter): (Option<LineEnd>, Option<LineEnd>) = (None, None);
    let line = |range: Range<usize>, width: f32| TextLine {
        shaped: Rc::clone(shaped),
        range,
        width,
        size,
        grey,
    };
    while let Some(glyph) = shaped.glyphs.get(at) {
        let wider = x + glyph.advance * size;
        if wider > width + 0.01
            && !glyph.space
            && let Some((end, reached)) = may.or(letter)
        {
            lines.push(line(start..end, reached));
            (start, at, x, solid, may, letter) = (end, end, 0.0, 0.0, None, None);
            continue;
        }
        at += 1;
        x = wider;
        solid = if glyph.space { solid } else { x };
        match glyph.after {
            After::Inside => {}
            After::Letter => letter = Some((at, solid)),
            After::May => may = Some((at, solid)),
            After::Must => {
                lines.push(line(start..at, solid));
                (start, x, solid, may, letter) = (at, 0.0, 0.0, None, None);
            }
        }
    }
    if at > start {
        lines.push(line(start..at, solid));
    }
    lines
}
