//! The growth chart on paper.
//!
//! In: the chart as the page has it. Out: a drawing with the same scale. Ink only: the line is
//! black with its marks, the published band grey, the maximum dotted. Nothing of the published
//! growth is drawn outside the field.

use crate::audience::{Behind, ChartLine, GrowthChart};
use crate::chart::{BOTTOM, HEIGHT, LEFT, RIGHT, Scale, TOP, WIDTH};
use crate::pdf::{Drawing, Paint, Shape, Stroke, TextAnchor};
use crate::words;

const INK: [u8; 3] = [24, 24, 24];
const GREY: [u8; 3] = [110, 110, 110];
/// Size of the words, in units of the chart; on paper about 8 points.
const SIZE: f32 = 12.0;
/// Beyond some sixty marks they would only thicken the line.
const MARKS: usize = 60;

/// The chart as a drawing; nothing for fewer than two weights.
pub(super) fn drawing(chart: &GrowthChart) -> Option<Drawing> {
    let GrowthChart {
        title,
        lines,
        behind,
        notes: _,
        since: _,
        ounces,
    } = chart;
    let scale = Scale::of(lines, *ounces)?;
    let mut shapes = Vec::new();
    if let Some(behind) = behind {
        published(&mut shapes, &scale, behind);
    }
    axes(&mut shapes, &scale);
    for line in lines {
        draw(&mut shapes, &scale, line);
    }
    let ends = lines
        .iter()
        .filter_map(|line| Some((line.points.first()?, line.points.last()?)));
    let words = ends
        .map(|(first, last)| {
            let weight = |grams: f64| {
                if *ounces {
                    words::weight(grams, true)
                } else {
                    format!("{grams:.0} g")
                }
            };
            let (first, day) = (weight(first.grams), last.days);
            format!("{first} at first, {} on day {day:.0}", weight(last.grams))
        })
        .collect::<Vec<_>>()
        .join("; ");
    Some(Drawing {
        alt: format!("{title}: {words}. All weights stand in the table below."),
        width: narrow(WIDTH),
        height: narrow(HEIGHT),
        shapes,
    })
}

/// The drawing's numbers are of single precision: a thousandth of a point is enough on paper.
#[expect(
    clippy::cast_possible_truncation,
    reason = "less precise, and what is beyond its range is left out by the typesetter"
)]
fn narrow(number: f64) -> f32 {
    number as f32
}

fn point(scale: &Scale, days: f64, grams: f64) -> [f32; 2] {
    [narrow(scale.x(days)), narrow(scale.y(grams))]
}

fn stroke(colour: [u8; 3], width: f32, dash: &[f32]) -> Stroke {
    Stroke {
        colour,
        width,
        dash: dash.to_vec(),
    }
}

fn published(shapes: &mut Vec<Shape>, scale: &Scale, behind: &Behind) {
    let Behind { band, maximum, own } = behind;
    let inside = |grams: f64| grams.clamp(scale.bottom(), scale.top());
    for (area, opacity) in [(band, 0.22), (own, 0.35)] {
        if area.len() > 1 {
            let upper = area
                .iter()
                .map(|(days, _, most)| point(scale, *days, inside(*most)));
            let lower = area
                .iter()
                .rev()
                .map(|(days, least, _)| point(scale, *days, inside(*least)));
            let fill = Some(Paint {
                colour: GREY,
                opacity,
            });
            shapes.push(Shape::Path {
                points: upper.chain(lower).collect(),
                closed: true,
                fill,
                stroke: None,
            });
        }
    }
    let points = until_the_top(maximum, scale.top())
        .into_iter()
        .map(|(days, grams)| point(scale, days, inside(grams)))
        .collect::<Vec<_>>();
    if points.len() > 1 {
        shapes.push(Shape::Path {
            points,
            closed: false,
            fill: None,
            stroke: Some(stroke(GREY, 1.2, &[1.5, 3.0])),
        });
    }
}

/// A rising curve as far as it stays in the field, and the place where it leaves it.
fn until_the_top(curve: &[(f64, f64)], top: f64) -> Vec<(f64, f64)> {
    let mut inside = Vec::new();
    for (n, (days, grams)) in curve.iter().enumerate() {
        if *grams <= top {
            inside.push((*days, *grams));
            continue;
        }
        if let Some((day, below)) = n.checked_sub(1).and_then(|before| curve.get(before)) {
            inside.push((day + (days - day) * (top - below) / (grams - below), top));
        }
        break;
    }
    inside
}

fn axes(shapes: &mut Vec<Shape>, scale: &Scale) {
    let (left, right, floor) = (narrow(LEFT), narrow(WIDTH - RIGHT), narrow(HEIGHT - BOTTOM));
    let text = |x: f32, y: f32, anchor, text: String| Shape::Text {
        x,
        y,
        anchor,
        size: SIZE,
        text,
    };
    for (y, label) in scale.weights() {
        let y = narrow(y);
        shapes.push(Shape::Line {
            from: [left, y],
            to: [right, y],
            stroke: stroke([205, 205, 205], 0.7, &[]),
        });
        shapes.push(text(left - 6.0, y + 4.0, TextAnchor::End, label));
    }
    for (x, label) in scale.ages() {
        let x = narrow(x);
        shapes.push(Shape::Line {
            from: [x, floor],
            to: [x, floor + 5.0],
            stroke: stroke(INK, 0.7, &[]),
        });
        shapes.push(text(x, floor + 18.0, TextAnchor::Middle, label));
    }
    shapes.push(Shape::Line {
        from: [left, narrow(TOP)],
        to: [left, floor],
        stroke: stroke(INK, 0.7, &[]),
    });
    shapes.push(Shape::Line {
        from: [left, floor],
        to: [right, floor],
        stroke: stroke(INK, 0.7, &[]),
    });
    shapes.push(text(
        left.midpoint(right),
        narrow(HEIGHT) - 6.0,
        TextAnchor::Middle,
        format!("{} since birth", scale.unit()),
    ));
}

fn draw(shapes: &mut Vec<Shape>, scale: &Scale, line: &ChartLine) {
    let ChartLine {
        name,
        hex: _,
        points,
    } = line;
    let path: Vec<[f32; 2]> = points
        .iter()
        .map(|p| point(scale, p.days, p.grams))
        .collect();
    let every = path.len().div_ceil(MARKS).max(1);
    let marks = path.iter().step_by(every).map(|centre| Shape::Circle {
        centre: *centre,
        radius: 2.6,
        fill: Some(Paint {
            colour: INK,
            opacity: 1.0,
        }),
        stroke: None,
    });
    let marks: Vec<Shape> = marks.collect();
    let end = path.last().copied();
    shapes.push(Shape::Path {
        points: path,
        closed: false,
        fill: None,
        stroke: Some(stroke(INK, 1.5, &[])),
    });
    shapes.extend(marks);
    if let Some([x, y]) = end {
        shapes.push(Shape::Text {
            x: x + 8.0,
            y: y + 4.0,
            anchor: TextAnchor::Start,
            size: SIZE,
            text: name.clone(),
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audience::ChartPoint;

    fn chart(grams: &[f64], behind: Option<Behind>) -> GrowthChart {
        let points = (0_i32..)
            .zip(grams)
            .map(|(day, grams)| ChartPoint {
                days: f64::from(day),
                grams: *grams,
                marked: false,
            })
            .collect();
        GrowthChart {
            title: "Weight of Moss".to_owned(),
            lines: vec![ChartLine {
                name: "Moss".to_owned(),
                hex: None,
                points,
            }],
            behind,
            notes: Vec::new(),
            since: "since birth",
            ounces: false,
        }
    }

    fn corners(shapes: &[Shape]) -> impl Iterator<Item = [f32; 2]> {
        shapes.iter().flat_map(|shape| match shape {
            Shape::Path { points, .. } => points.clone(),
            Shape::Circle { centre, .. } => vec![*centre],
            _ => Vec::new(),
        })
    }

    #[test]
    fn nothing_is_drawn_outside_the_field_however_fast_published_growth_is() {
        let behind = Behind {
            band: vec![(0.0, 100.0, 200.0), (2.0, 900.0, 9000.0)],
            maximum: vec![(0.0, 200.0), (1.0, 5000.0), (2.0, 9000.0)],
            own: vec![(0.0, 1.0, 1e9)],
        };
        let drawing = drawing(&chart(&[212.0, 209.0, 240.0], Some(behind))).unwrap();
        for [x, y] in corners(&drawing.shapes) {
            assert!(
                (LEFT..=WIDTH - RIGHT).contains(&f64::from(x))
                    && (TOP - 0.01..=HEIGHT - BOTTOM + 0.01).contains(&f64::from(y)),
                "{x} {y}"
            );
        }
        assert!(
            drawing.shapes.iter().any(|shape| match shape {
                Shape::Path {
                    stroke: Some(Stroke { dash, .. }),
                    ..
                } => !dash.is_empty(),
                _ => false,
            }),
            "the maximum, as far as it is inside"
        );
    }

    #[test]
    fn every_weight_has_its_mark_and_the_words_say_where_the_line_goes() {
        let drawing = drawing(&chart(&[212.0, 209.0, 240.4], None)).unwrap();
        assert_eq!(
            drawing
                .shapes
                .iter()
                .filter(|s| matches!(s, Shape::Circle { .. }))
                .count(),
            3
        );
        assert_eq!(
            drawing.alt,
            "Weight of Moss: 212 g at first, 240 g on day 2. All weights stand in the table below."
        );
    }

    #[test]
    fn one_weight_makes_no_chart() {
        assert_eq!(drawing(&chart(&[212.0], None)), None);
    }
}
