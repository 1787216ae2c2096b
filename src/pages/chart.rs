//! Growth charts as SVG.
//!
//! In: lines of weights over days. Out: one `<svg>` that takes the page's ink and paper. Lines
//! differ in colour, marker and dash, and each carries its name at its end; a white ribbon's line
//! has an ink edge. Text of a keeper is escaped.

mod scale;
mod temperature;

pub(super) use temperature::temperatures;

pub(super) use scale::{BOTTOM, HEIGHT, LEFT, RIGHT, Scale, TOP, WIDTH};

use crate::audience::{Behind, ChartLine, GrowthChart};
use crate::quantity::Tenths;
use std::fmt::Write;

/// Dash patterns, so that lines can be told apart without colour.
const DASHES: &[&str] = &["", "7 3", "2 3", "9 3 2 3", "4 4", "12 4"];

/// A growth chart; nothing when there are no two weights to draw a line between.
pub(super) fn growth(chart: &GrowthChart) -> Option<String> {
    let GrowthChart {
        title,
        lines,
        behind,
        notes: _,
        since,
        ounces,
    } = chart;
    let scale = Scale::of(lines, *ounces)?;
    let mut svg = String::new();
    let title = escape(title);
    let _ = write!(
        svg,
        r#"<svg class="chart" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="{title}"><title>{title}</title>"#
    );
    if let Some(behind) = behind {
        published(&mut svg, &scale, behind);
    }
    axes(&mut svg, &scale, since);
    for (i, line) in lines.iter().enumerate() {
        draw(&mut svg, &scale, line, i);
    }
    names(&mut svg, &scale, lines);
    svg.push_str("</svg>");
    Some(svg)
}

/// Published growth, clipped to the field of the chart: an inner `<svg>` clips by itself.
fn published(svg: &mut String, scale: &Scale, behind: &Behind) {
    let Behind { band, maximum, own } = behind;
    let (width, height) = (WIDTH - LEFT - RIGHT, HEIGHT - TOP - BOTTOM);
    let _ = write!(
        svg,
        r#"<svg x="{LEFT}" y="{TOP}" width="{width}" height="{height}" viewBox="{LEFT} {TOP} {width} {height}">"#
    );
    for (class, area) in [("band", band), ("own-band", own)] {
        if area.len() < 2 {
            continue;
        }
        let upper = area.iter().map(|(d, _, most)| (*d, *most));
        let lower = area.iter().rev().map(|(d, least, _)| (*d, *least));
        let _ = write!(
            svg,
            r#"<path class="{class}" d="{}Z"/>"#,
            path(scale, upper.chain(lower))
        );
    }
    if maximum.len() > 1 {
        let _ = write!(
            svg,
            r#"<path class="maximum" d="{}"/>"#,
            path(scale, maximum.iter().copied())
        );
    }
    svg.push_str("</svg>");
}

fn path(scale: &Scale, points: impl Iterator<Item = (f64, f64)>) -> String {
    points
        .enumerate()
        .fold(String::new(), |mut path, (n, (days, grams))| {
            let _ = write!(
                path,
                "{}{} {}",
                if n == 0 { "M" } else { "L" },
                Tenths(scale.x(days)),
                Tenths(scale.y(grams))
            );
            path
        })
}

fn axes(svg: &mut String, scale: &Scale, since: &str) {
    let right = WIDTH - RIGHT;
    for (y, label) in scale.weights() {
        let _ = write!(
            svg,
            r#"<line class="rule" x1="{LEFT}" x2="{right}" y1="{0}" y2="{0}"/>"#,
            Tenths(y)
        );
        let _ = write!(
            svg,
            r#"<text class="tick" x="{}" y="{}" text-anchor="end">{label}</text>"#,
            Tenths(LEFT - 6.0),
            Tenths(y + 4.0)
        );
    }
    for (x, label) in scale.ages() {
        let (x, foot) = (Tenths(x), HEIGHT - BOTTOM);
        let _ = write!(
            svg,
            r#"<line class="rule" x1="{x}" x2="{x}" y1="{}" y2="{}"/>"#,
            Tenths(foot),
            Tenths(foot + 5.0)
        );
        let _ = write!(
            svg,
            r#"<text class="tick" x="{x}" y="{}" text-anchor="middle">{label}</text>"#,
            Tenths(foot + 18.0)
        );
    }
    let word = scale.unit();
    let _ = write!(
        svg,
        r#"<text class="tick" x="{}" y="{}" text-anchor="middle">{word} {since}</text>"#,
        Tenths(f64::midpoint(LEFT, right)),
        Tenths(HEIGHT - 6.0)
    );
}

fn draw(svg: &mut String, scale: &Scale, line: &ChartLine, i: usize) {
    let path = path(scale, line.points.iter().map(|p| (p.days, p.grams)));
    let colour = line.hex.unwrap_or("#8d8a83");
    let dash = DASHES[i % DASHES.len()];
    let _ = write!(
        svg,
        r#"<path class="casing" d="{path}"/><path class="line" d="{path}" stroke="{colour}" stroke-dasharray="{dash}"/>"#
    );
    // Beyond some sixty marks they would only thicken the line.
    let every = line.points.len().div_ceil(60).max(1);
    for p in line.points.iter().step_by(every) {
        let (x, y) = (scale.x(p.days), scale.y(p.grams));
        let (left, top) = (
            if i % 4 == 1 { x - 2.7 } else { x },
            y - [0.0, 2.7, 3.8, 3.8][i % 4],
        );
        let (x, y) = (Tenths(left), Tenths(top));
        let _ = match i % 4 {
            0 => write!(
                svg,
                r#"<circle class="mark" cx="{x}" cy="{y}" r="3" fill="{colour}"/>"#
            ),
            1 => write!(
                svg,
                r#"<rect class="mark" x="{x}" y="{y}" width="5.4" height="5.4" fill="{colour}"/>"#
            ),
            2 => write!(
                svg,
                r#"<path class="mark" d="M{x} {y}l3.6 6.4h-7.2z" fill="{colour}"/>"#
            ),
            _ => write!(
                svg,
                r#"<path class="mark" d="M{x} {y}l3.8 3.8l-3.8 3.8l-3.8 -3.8z" fill="{colour}"/>"#
            ),
        };
    }
    for p in line.points.iter().filter(|p| p.marked) {
        let _ = write!(
            svg,
            r#"<circle class="ring" cx="{}" cy="{}" r="8"/>"#,
            Tenths(scale.x(p.days)),
            Tenths(scale.y(p.grams))
        );
    }
}

/// Each line's name at its end, moved apart where they would cover each other. A line that ends
/// early has its name beside its last mark.
fn names(svg: &mut String, scale: &Scale, lines: &[ChartLine]) {
    let last = scale.last_day();
    let mut ends: Vec<(f64, &str)> = Vec::new();
    for line in lines {
        let Some(end) = line.points.last() else {
            continue;
        };
        if end.days < last * 0.8 {
            let (x, y) = (
                Tenths(scale.x(end.days) + 9.0),
                Tenths(scale.y(end.grams) + 4.0),
            );
            let _ = write!(
                svg,
                r#"<text class="name" x="{x}" y="{y}">{}</text>"#,
                escape(&line.name)
            );
        } else {
            ends.push((scale.y(end.grams), &line.name));
        }
    }
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut below = f64::MIN;
    for (y, name) in &mut ends {
        *y = y.max(below + 14.0);
        below = *y;
        let _ = write!(
            svg,
            r#"<text class="name" x="{}" y="{}">{}</text>"#,
            Tenths(WIDTH - RIGHT + 8.0),
            Tenths(*y + 4.0),
            escape(name)
        );
    }
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audience::ChartPoint;

    fn line(name: &str, grams: &[f64]) -> ChartLine {
        let mut days = -1.0;
        let points = grams.iter().map(|grams| {
            days += 1.0;
            ChartPoint {
                days,
                grams: *grams,
                marked: *grams < 210.0,
            }
        });
        ChartLine {
            name: name.to_owned(),
            hex: Some("#4d7c4f"),
            points: points.collect(),
        }
    }

    fn chart(lines: Vec<ChartLine>, behind: Option<Behind>) -> Option<String> {
        growth(&GrowthChart {
            title: "Weights".to_owned(),
            lines,
            behind,
            notes: Vec::new(),
            since: "since birth",
            ounces: false,
        })
    }

    #[test]
    fn every_weight_is_drawn_inside_the_chart_and_names_are_escaped() {
        let svg = chart(
            vec![
                line("Fern <b>", &[212.0, 209.0, 240.0]),
                line("Reed", &[212.0, 230.0, 241.0]),
            ],
            None,
        )
        .unwrap();
        assert_eq!(svg.matches(r#"class="mark""#).count(), 6);
        assert_eq!(
            svg.matches(r#"class="ring""#).count(),
            1,
            "the weight that a finding is about"
        );
        assert!(svg.contains("Fern &lt;b&gt;") && !svg.contains("<b>"));
        for y in svg
            .split(" cy=\"")
            .skip(1)
            .map(|s| s.split('"').next().unwrap().parse::<f64>().unwrap())
        {
            assert!((TOP..=HEIGHT - BOTTOM).contains(&y), "{y}");
        }
    }

    #[test]
    fn published_growth_lies_behind_the_lines() {
        let behind = Behind {
            band: vec![(0.0, 200.0, 200.0), (2.0, 220.0, 242.0)],
            maximum: vec![(0.0, 200.0), (2.0, 258.0)],
            own: Vec::new(),
        };
        let svg = chart(vec![line("Fern", &[212.0, 209.0, 240.0])], Some(behind)).unwrap();
        let at = |class: &str| svg.find(class).unwrap();
        assert!(
            at("class=\"band\"") < at("class=\"maximum\"")
                && at("class=\"maximum\"") < at("class=\"line\"")
        );
        assert!(
            !svg.contains("own-band"),
            "nothing of our own, nothing drawn"
        );
    }

    #[test]
    fn a_line_that_ends_early_has_its_name_at_its_end() {
        let svg = chart(
            vec![
                line("Teal", &[212.0, 205.0]),
                line("Reed", &[212.0, 230.0, 241.0, 250.0]),
            ],
            None,
        )
        .unwrap();
        let x = |name: &str| {
            let text = svg
                .split("<text class=\"name\"")
                .find(|t| t.contains(name))
                .unwrap();
            text.split('"').nth(1).unwrap().parse::<f64>().unwrap()
        };
        assert!(x("Teal") < WIDTH / 2.0 && x("Reed") > WIDTH - RIGHT);
    }

    /// What is written beside the rules, from the lowest on.
    fn rules(grams: &[f64], ounces: bool) -> Vec<String> {
        let scale = Scale::of(&[line("Fern", grams)], ounces).unwrap();
        let rules = scale.weights();
        let inside = |y: f64| (TOP - 0.01..=HEIGHT - BOTTOM + 0.01).contains(&y);
        assert!(rules.iter().all(|(y, _)| inside(*y)), "{rules:?}");
        rules.into_iter().map(|(_, label)| label).collect()
    }

    #[test]
    fn rules_stand_on_whole_grams_or_on_whole_ounces() {
        assert_eq!(
            rules(&[212.0, 240.0], false),
            ["200 g", "210 g", "220 g", "230 g", "240 g"]
        );
        // 8 oz are 226.8 g, 16 oz are a pound of 453.59237 g (common practice, no source).
        assert_eq!(
            rules(&[170.0, 453.0], true),
            [
                "2 oz", "4 oz", "6 oz", "8 oz", "10 oz", "12 oz", "14 oz", "1 lb"
            ]
        );
        assert_eq!(
            rules(&[200.0, 900.0], true),
            ["0 oz", "8 oz", "1 lb", "1 lb 8", "2 lb"]
        );
        assert_eq!(
            rules(&[300.0, 5200.0], true),
            ["0 oz", "5 lb", "10 lb", "15 lb"]
        );
    }

    #[test]
    fn one_weight_makes_no_line() {
        assert_eq!(chart(vec![line("a", &[212.0])], None), None);
        assert_eq!(chart(vec![], None), None);
    }
}
