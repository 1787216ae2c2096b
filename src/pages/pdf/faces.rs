//! The type faces: parsed once from the bytes inside the program.
//!
//! In: seven font files cut to European scripts and signs (see `fonts/README.md`). Out: for each
//! face what the shaper and the PDF writer need. It never reads a font from the machine, so that
//! every machine makes the same pages.

use std::sync::LazyLock;

use krilla::text::Font;
use rustybuzz::ttf_parser::GlyphId;

use super::NotTypeset;

/// A type face that is built in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Face {
    /// Sans: data and running text.
    Sans,
    /// Bold sans: column heads.
    SansBold,
    /// Serif: the title.
    Serif,
    /// Bold serif: headings.
    SerifBold,
    /// Letters of equal width: codes.
    Mono,
    /// Arrows, comparisons and a few signs that the others lack.
    Symbols,
    /// What none of those has: rarer letters and signs, of a family that does not match.
    Others,
}

/// One parsed face.
pub(super) struct Cut {
    /// For measuring and shaping.
    pub(super) shaper: rustybuzz::Face<'static>,
    /// For writing.
    pub(super) font: Font,
    /// One divided by the units of the em square.
    pub(super) per_unit: f32,
    /// The glyph that stands for a character which no face has.
    pub(super) unknown: GlyphId,
}

impl Cut {
    fn new(data: &'static [u8]) -> Option<Self> {
        let shaper = rustybuzz::Face::from_slice(data, 0)?;
        let font = Font::new(data.into(), 0)?;
        let unknown = shaper.glyph_index('\u{FFFD}').unwrap_or_default();
        Some(Self {
            per_unit: 1.0 / font.units_per_em(),
            shaper,
            font,
            unknown,
        })
    }

    /// Whether the face can draw this character.
    pub(super) fn has(&self, letter: char) -> bool {
        self.shaper
            .glyph_index(letter)
            .is_some_and(|glyph| glyph.0 != 0)
    }

    /// Advance width of a glyph, in ems.
    pub(super) fn advance(&self, glyph: GlyphId) -> f32 {
        f32::from(self.shaper.glyph_hor_advance(glyph).unwrap_or(0)) * self.per_unit
    }
}

/// All faces.
pub(super) struct Faces {
    sans: Cut,
    sans_bold: Cut,
    serif: Cut,
    serif_bold: Cut,
    mono: Cut,
    symbols: Cut,
    others: Cut,
}

impl Faces {
    /// The faces of the program, parsed at the first call.
    pub(super) fn built_in() -> Result<&'static Self, NotTypeset> {
        static FACES: LazyLock<Option<Faces>> = LazyLock::new(Faces::parse);
        FACES.as_ref().ok_or(NotTypeset::Fonts)
    }

    fn parse() -> Option<Self> {
        Some(Self {
            sans: Cut::new(include_bytes!("fonts/NotoSans-Regular.ttf"))?,
            sans_bold: Cut::new(include_bytes!("fonts/NotoSans-Bold.ttf"))?,
            serif: Cut::new(include_bytes!("fonts/NotoSerif-Regular.ttf"))?,
            serif_bold: Cut::new(include_bytes!("fonts/NotoSerif-Bold.ttf"))?,
            mono: Cut::new(include_bytes!("fonts/NotoSansMono-Regular.ttf"))?,
            symbols: Cut::new(include_bytes!("fonts/Symbols.ttf"))?,
            others: Cut::new(include_bytes!("fonts/Others.ttf"))?,
        })
    }

    /// The parsed face.
    pub(super) fn cut(&self, face: Face) -> &Cut {
        match face {
            Face::Sans => &self.sans,
            Face::SansBold => &self.sans_bold,
            Face::Serif => &self.serif,
            Face::SerifBold => &self.serif_bold,
            Face::Mono => &self.mono,
            Face::Symbols => &self.symbols,
            Face::Others => &self.others,
        }
    }
}
