//! What a caller hands to the typesetter: a document of blocks, and vector drawings inside it.
//!
//! In: nothing. Out: plain data without behaviour.
//! These types never know what the pages are about, and never hold a font, a file name or a clock.

/// The sheet that the document is printed on, always upright.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PageSize {
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 8.5 × 11 inches.
    Letter,
}

/// A whole document, in reading order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Document {
    /// Title in the window's bar and the metadata. When empty, the first [`Block::Title`] stands
    /// in for it.
    pub title: String,
    /// Language of the text, BCP 47 such as `en` or `en-GB`. Anything else becomes `en`.
    pub language: String,
    /// Author in the metadata; empty for none.
    pub author: String,
    /// Date of making in the metadata as year, month and day; `None` writes no date at all.
    pub made: Option<(u16, u8, u8)>,
    /// Sheet size.
    pub paper: PageSize,
    /// Running header at the left of each page; cut with an ellipsis when it is longer than the
    /// line.
    pub head: String,
    /// Running footer at the left of each page, cut likewise; "page 2 of 5" stands at the right.
    pub foot: String,
    /// Colour (red, green, blue) of one thin bar beside the title. It is never the only signal for
    /// anything.
    pub accent: Option<[u8; 3]>,
    /// The blocks, in reading order.
    pub blocks: Vec<Block>,
}

/// One block of a document. A line feed in any text starts a new line; other runs of spaces count
/// as one space.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// The title in large serif letters, with lines in small type under it.
    Title {
        /// The title itself; a title without any letter leaves the whole block out except `under`.
        text: String,
        /// Lines under it.
        under: Vec<String>,
    },
    /// A heading, kept with what follows, and listed in the outline.
    Heading {
        /// 1 or 2; other numbers are taken as the nearest, and a 2 before any 1 counts as 1.
        level: u8,
        /// Its words; a heading without any is left out.
        text: String,
    },
    /// Running text.
    Paragraph(String),
    /// Running text in smaller type.
    Small(String),
    /// A list with bullets.
    List(Vec<String>),
    /// Labels and values on ruled lines.
    Facts {
        /// 1 or 2 facts side by side.
        columns: u8,
        /// Label and value.
        facts: Vec<(String, String)>,
    },
    /// A table; its head is repeated on every page, and a row is split only when it is taller than
    /// a page.
    Table {
        /// Caption above the table; empty for none.
        caption: String,
        /// Column heads.
        head: Vec<String>,
        /// Share of the width for each column, in any unit; a missing or impossible share counts
        /// as the mean of the others.
        share: Vec<f32>,
        /// Columns that hold figures: right-aligned, all digits equally wide.
        figures: Vec<bool>,
        /// The rows; a short row is filled up with empty cells, a long one adds columns.
        rows: Vec<Vec<String>>,
    },
    /// A ruled box with a title in bold type.
    Caution {
        /// Title of the box.
        title: String,
        /// Paragraphs in it.
        lines: Vec<String>,
    },
    /// A vector drawing, kept in one piece.
    Drawing(Drawing),
    /// Square modules such as a QR code has, printed black with a quiet zone of four modules around
    /// them.
    Squares {
        /// What it says, for readers who do not see it.
        alt: String,
        /// Number of modules along one side, without the quiet zone.
        side: usize,
        /// `side × side` modules, row by row from the top left, `true` for dark; missing ones are
        /// light.
        dark: Vec<bool>,
        /// Printed width of the dark part in millimetres, without the quiet zone, 5 to 150.
        mm: f32,
    },
    /// An access code in large letters of equal width; a group between spaces or hyphens is never
    /// broken if it fits a line.
    Code(String),
    /// What follows starts on a new page. Never leaves an empty page.
    NewPage,
}

/// A vector drawing in its own coordinates, x to the right, y downwards, scaled to the width of the
/// text.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// What it shows, for readers who do not see it.
    pub alt: String,
    /// Width in its own units, 0.01 to 1,000,000.
    pub width: f32,
    /// Height in its own units, 0.01 to 1,000,000.
    pub height: f32,
    /// Shapes, painted in this order and clipped to the drawing. A shape with a number that is not
    /// finite is left out.
    pub shapes: Vec<Shape>,
}

/// One shape of a drawing. All lengths are in the drawing's units.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A straight line.
    Line {
        /// Where it starts: x and y.
        from: [f32; 2],
        /// Where it ends: x and y.
        to: [f32; 2],
        /// How it is drawn.
        stroke: Stroke,
    },
    /// Straight lines through points.
    Path {
        /// The points: x and y.
        points: Vec<[f32; 2]>,
        /// Whether the last point is joined to the first.
        closed: bool,
        /// Paint inside, none if `None`.
        fill: Option<Paint>,
        /// Line along it, none if `None`.
        stroke: Option<Stroke>,
    },
    /// A circle.
    Circle {
        /// Its centre: x and y.
        centre: [f32; 2],
        /// Its radius.
        radius: f32,
        /// Paint inside, none if `None`.
        fill: Option<Paint>,
        /// Line along it, none if `None`.
        stroke: Option<Stroke>,
    },
    /// One line of black sans text; moved, and shrunk if it must be, so that it stays inside the
    /// drawing's width.
    Text {
        /// Where it is anchored, x.
        x: f32,
        /// Its baseline, y.
        y: f32,
        /// Which part of the text stands at `x`.
        anchor: TextAnchor,
        /// Type size.
        size: f32,
        /// The words.
        text: String,
    },
}

/// What a surface is painted with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paint {
    /// Red, green, blue.
    pub colour: [u8; 3],
    /// From 0 (not seen) to 1 (covers all).
    pub opacity: f32,
}

/// How a line is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// Red, green, blue.
    pub colour: [u8; 3],
    /// Width of the line in the drawing's units; nothing is drawn for 0.
    pub width: f32,
    /// Lengths of dashes and gaps in turn, in the drawing's units; empty for a full line.
    pub dash: Vec<f32>,
}

/// Which part of a text stands at its x.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TextAnchor {
    /// The text starts at x.
    #[default]
    Start,
    /// The text is centred on x.
    Middle,
    /// The text ends at x.
    End,
}
