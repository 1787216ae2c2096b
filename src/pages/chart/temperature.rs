//! The dam's temperatures before birth as SVG.
//!
//! In: [`DamCurve`]. Out: one `<svg>` in the look of the growth charts, with the border of the drop
//! as a dashed line and the drop ringed.

use super::{BOTTOM, LEFT, RIGHT, TOP, WIDTH, escape};
use crate::audience::keeper::DamCurve;
use crate::quantity::Tenths;
use std::fmt::Write;

/// It needs less height than growth.
const HEIGHT: f64 = 240.0;
/// The border of the drop, °C.
const LOW: f64 = 37.5;
/// More labels than this would stand on each other.
const MOST_LABELS: usize = 9;

/// The curve; nothing for a single reading.
pub(crate) fn temperatures(curve: &DamCurve) -> Option<String> {
    let DamCurve {
        points,
        days,
        drop: _,
        source: _,
    } = curve;
    if points.len() < 2 {
        return None;
    }
    let end = days.last().map_or(1.0, |(day, _)| *day).max(1.0);
    let (low, high) = points.iter().fold((LOW, LOW), |(low, high), p| {
        (low.min(p.celsius), high.max(p.celsius))
    });
    let (low, high) = (
        (low * 2.0).floor() / 2.0 - 0.25,
        (high * 2.0).ceil() / 2.0 + 0.25,
    );
    let x = |day: f64| LEFT + day / end * (WIDTH - LEFT - RIGHT);
    let y = |celsius: f64| TOP + (high - celsius) / (high - low) * (HEIGHT - TOP - BOTTOM);
    let (right, foot) = (WIDTH - RIGHT, HEIGHT - BOTTOM);
    let mut svg = String::new();
    let title = "Temperatures of the dam before the birth, in °C";
    let _ = write!(
        svg,
        r#"<svg class="chart" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="{title}"><title>{title}</title>"#
    );
    for half in 0.. {
        let celsius = (low + 0.25) + f64::from(half) * 0.5;
        if celsius > high {
            break;
        }
        let dash = if (celsius - LOW).abs() < 1e-9 {
            r#" stroke-dasharray="6 4""#
        } else {
            ""
        };
        let _ = write!(
            svg,
            r#"<line class="rule"{dash} x1="{LEFT}" x2="{right}" y1="{0}" y2="{0}"/>"#,
            Tenths(y(celsius))
        );
        let _ = write!(
            svg,
            r#"<text class="tick" x="{}" y="{}" text-anchor="end">{celsius:.1}</text>"#,
            Tenths(LEFT - 6.0),
            Tenths(y(celsius) + 4.0)
        );
    }
    for (day, label) in days.iter().step_by(days.len().div_ceil(MOST_LABELS).max(1)) {
        let _ = write!(
            svg,
            r#"<line class="rule" x1="{0}" x2="{0}" y1="{foot}" y2="{1}"/>"#,
            Tenths(x(*day)),
            foot + 5.0
        );
        let _ = write!(
            svg,
            r#"<text class="tick" x="{}" y="{}" text-anchor="middle">{}</text>"#,
            Tenths(x(*day)),
            foot + 18.0,
            escape(label)
        );
    }
    let path = points
        .iter()
        .enumerate()
        .fold(String::new(), |mut path, (n, p)| {
            let _ = write!(
                path,
                "{}{} {}",
                if n == 0 { "M" } else { "L" },
                Tenths(x(p.days)),
                Tenths(y(p.celsius))
            );
            path
        });
    let _ = write!(
        svg,
        r##"<path class="casing" d="{path}"/><path class="line" d="{path}" stroke="#8d8a83"/>"##
    );
    for p in points {
        let (x, y) = (Tenths(x(p.days)), Tenths(y(p.celsius)));
        let _ = write!(
            svg,
            r##"<circle class="mark" cx="{x}" cy="{y}" r="3" fill="#8d8a83"/>"##
        );
        if p.is_drop {
            let _ = write!(svg, r#"<circle class="ring" cx="{x}" cy="{y}" r="8"/>"#);
        }
    }
    svg.push_str("</svg>");
    Some(svg)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audience::keeper::DamPoint;

    fn curve(celsius: &[f64]) -> DamCurve {
        let mut days = -0.5;
        let point = |celsius: &f64| {
            days += 0.5;
            DamPoint {
                days,
                celsius: *celsius,
                when: String::new(),
                temperature: String::new(),
                is_drop: *celsius <= LOW,
            }
        };
        DamCurve {
            points: celsius.iter().map(point).collect(),
            days: vec![(0.0, "1 Oct".to_owned()), (1.0, "2 Oct".to_owned())],
            drop: None,
            source: "",
        }
    }

    #[test]
    fn every_reading_stands_inside_the_field_and_the_drop_is_ringed() {
        let svg = temperatures(&curve(&[38.4, 38.1, 36.9])).unwrap();
        assert_eq!(
            (
                svg.matches(r#"class="mark""#).count(),
                svg.matches(r#"class="ring""#).count()
            ),
            (3, 1)
        );
        assert_eq!(
            svg.matches("stroke-dasharray").count(),
            1,
            "the border of the drop"
        );
        for y in svg
            .split(" cy=\"")
            .skip(1)
            .map(|s| s.split('"').next().unwrap().parse::<f64>().unwrap())
        {
            assert!((TOP..=HEIGHT - BOTTOM).contains(&y), "{y}");
        }
        assert_eq!(
            temperatures(&curve(&[38.4])),
            None,
            "one reading is no curve"
        );
    }
}
