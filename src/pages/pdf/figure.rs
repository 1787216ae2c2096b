//! Drawings and square codes as paths.
//!
//! In: shapes in coordinates of their own. Out: a plate in points from its top left corner.
//! It never hands on a number that is not finite, or one that a page cannot hold.

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Rect};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, Stroke as PdfStroke, StrokeDash};

use super::clean::clean_line;
use super::count;
use super::document::{Drawing, Paint, Shape, Stroke, TextAnchor};
use super::faces::Face;
use super::text::{Shaper, TextLine, break_lines};

/// Furthest that a point may lie from the plate's corner, in points.
const FARTHEST: f32 = 20_000.0;
/// Modules left white around a square code.
const QUIET: f32 = 4.0;
const POINTS_PER_MM: f32 = 72.0 / 25.4;

/// A drawing that is ready for the page.
pub(super) struct Plate {
    pub(super) width: f32,
    pub(super) height: f32,
    pub(super) pieces: Vec<FigurePiece>,
}

/// A path and how it is painted.
pub(super) struct Outline {
    pub(super) path: Path,
    pub(super) fill: Option<Fill>,
    pub(super) stroke: Option<PdfStroke>,
}

/// One thing to paint.
pub(super) enum FigurePiece {
    /// An outline, filled or drawn along or both.
    Outline(Box<Outline>),
    /// A line of text on its baseline.
    Words { x: f32, y: f32, line: TextLine },
}

/// Scales a drawing to a width, or to a height if that is less; `None` for a drawing without a
/// possible size.
pub(super) fn drawing(
    shaper: &mut Shaper,
    drawing: &Drawing,
    width: f32,
    height: f32,
) -> Option<Plate> {
    let possible = 0.01..=1.0e6;
    if !possible.contains(&drawing.width) || !possible.contains(&drawing.height) {
        return None;
    }
    let scale = (width / drawing.width).min(height / drawing.height);
    let (width, height) = (drawing.width * scale, drawing.height * scale);
    let mut pieces = Vec::with_capacity(drawing.shapes.len());
    for shape in &drawing.shapes {
        let piece = match shape {
            Shape::Line { from, to, stroke } => outline(
                lines(&[*from, *to], false, scale),
                None,
                Some(stroke),
                scale,
            ),
            Shape::Path {
                points,
                closed,
                fill,
                stroke,
            } => outline(lines(points, *closed, scale), *fill, stroke.as_ref(), scale),
            Shape::Circle {
                centre,
                radius,
                fill,
                stroke,
            } => outline(
                circle(*centre, *radius, scale),
                *fill,
                stroke.as_ref(),
                scale,
            ),
            Shape::Text {
                x,
                y,
                anchor,
                size,
                text,
            } => words(
                shaper,
                [*x * scale, *y * scale],
                *anchor,
                *size * scale,
                text,
                width,
            ),
        };
        pieces.extend(piece);
    }
    Some(Plate {
        width,
        height,
        pieces,
    })
}

/// The modules of a square code as one path, so that no gaps show between them; never wider than
/// `most` points with its quiet zone.
pub(super) fn squares(side: usize, dark: &[bool], mm: f32, most: f32) -> Option<Plate> {
    if side == 0 || !mm.is_finite() {
        return None;
    }
    let module = (mm.clamp(5.0, 150.0) * POINTS_PER_MM / count(side))
        .min(most / (count(side) + QUIET * 2.0));
    let mut path = PathBuilder::new();
    for (row, modules) in dark.chunks(side).take(side).enumerate() {
        let y = (count(row) + QUIET) * module;
        let mut column = 0;
        for run in modules.chunk_by(|a, b| a == b) {
            let x = (count(column) + QUIET) * module;
            column += run.len();
            if run.first() == Some(&true)
                && let Some(bar) = Rect::from_xywh(x, y, count(run.len()) * module, module)
            {
                path.push_rect(bar);
            }
        }
    }
    let wide = (count(side) + QUIET * 2.0) * module;
    let fill = Some(paint(Paint {
        colour: [0, 0, 0],
        opacity: 1.0,
    }));
    let pieces = path
        .finish()
        .map(|path| {
            FigurePiece::Outline(Box::new(Outline {
                path,
                fill,
                stroke: None,
            }))
        })
        .into_iter()
        .collect();
    Some(Plate {
        width: wide,
        height: wide,
        pieces,
    })
}

fn outline(
    path: Option<Path>,
    fill: Option<Paint>,
    stroke: Option<&Stroke>,
    scale: f32,
) -> Option<FigurePiece> {
    let (fill, stroke) = (
        fill.map(paint),
        stroke.and_then(|stroke| line_along(stroke, scale)),
    );
    if fill.is_none() && stroke.is_none() {
        return None;
    }
    Some(FigurePiece::Outline(Box::new(Outline {
        path: path?,
        fill,
        stroke,
    })))
}

fn lines(points: &[[f32; 2]], closed: bool, scale: f32) -> Option<Path> {
    let mut path = PathBuilder::new();
    for (nth, point) in points.iter().enumerate() {
        let (x, y) = (held(point[0] * scale)?, held(point[1] * scale)?);
        if nth == 0 {
            path.move_to(x, y);
        } else {
            path.line_to(x, y);
        }
    }
    if closed {
        path.close();
    }
    path.finish()
}

/// A circle of four curves; 0.5523 is the share of the radius at which their handles stand.
fn circle(centre: [f32; 2], radius: f32, scale: f32) -> Option<Path> {
    let (x, y, r) = (
        held(centre[0] * scale)?,
        held(centre[1] * scale)?,
        held(radius * scale)?,
    );
    if r <= 0.0 {
        return None;
    }
    let h = r * 0.5523;
    let mut path = PathBuilder::new();
    path.move_to(x + r, y);
    path.cubic_to(x + r, y + h, x + h, y + r, x, y + r);
    path.cubic_to(x - h, y + r, x - r, y + h, x - r, y);
    path.cubic_to(x - r, y - h, x - h, y - r, x, y - r);
    path.cubic_to(x + h, y - r, x + r, y - h, x + r, y);
    path.close();
    path.finish()
}

fn words(
    shaper: &mut Shaper,
    at: [f32; 2],
    anchor: TextAnchor,
    size: f32,
    text: &str,
    width: f32,
) -> Option<FigurePiece> {
    let ([x, y], size) = ([held(at[0])?, held(at[1])?], held(size)?.min(200.0));
    if size < 0.1 {
        return None;
    }
    let shaped = shaper.shape(Face::Sans, &clean_line(text));
    let wide = break_lines(&shaped, size, 0, f32::INFINITY).first()?.width;
    let size = if wide > width {
        size * width / wide
    } else {
        size
    };
    let line = break_lines(&shaped, size, 0, f32::INFINITY)
        .into_iter()
        .next()?;
    let x = match anchor {
        TextAnchor::Start => x,
        TextAnchor::Middle => x - line.width / 2.0,
        TextAnchor::End => x - line.width,
    };
    Some(FigurePiece::Words {
        x: x.min(width - line.width).max(0.0),
        y,
        line,
    })
}

fn paint(paint: Paint) -> Fill {
    let [red, green, blue] = paint.colour;
    // What is not a number covers all, as paint does that says nothing of opacity.
    let opacity = NormalizedF32::new(paint.opacity.clamp(0.0, 1.0)).unwrap_or(NormalizedF32::ONE);
    Fill {
        paint: rgb::Color::new(red, green, blue).into(),
        opacity,
        ..Fill::default()
    }
}

fn line_along(stroke: &Stroke, scale: f32) -> Option<PdfStroke> {
    let width = held(stroke.width * scale).filter(|width| *width > 0.0)?;
    let [red, green, blue] = stroke.colour;
    let array: Vec<f32> = stroke.dash.iter().map(|length| length * scale).collect();
    let usable = array.iter().all(|length| (0.0..FARTHEST).contains(length))
        && array.iter().sum::<f32>() > 0.05;
    let dash = usable.then_some(StrokeDash { array, offset: 0.0 });
    Some(PdfStroke {
        paint: rgb::Color::new(red, green, blue).into(),
        width,
        dash,
        ..PdfStroke::default()
    })
}

/// A length that a page can hold; far ones end at the edge of what is possible.
fn held(length: f32) -> Option<f32> {
    length
        .is_finite()
        .then(|| length.clamp(-FARTHEST, FARTHEST))
}
