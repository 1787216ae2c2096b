//! Weights: the chart and the table.
//!
//! In: the weights of the record and the chart of the page. Out: a drawing, what is drawn behind it
//! in words, and every weight, the oldest first, so that the line can be followed by finger.

use super::{chart, heading, table};
use crate::audience::GrowthChart;
use crate::audience::owner::{PuppyRecord, WeightRecord};
use crate::pdf::Block;
use crate::quantity::{many, weight_difference};
use crate::words;

pub(super) fn blocks(
    record: &PuppyRecord,
    drawn: Option<&GrowthChart>,
    ounces: bool,
) -> Vec<Block> {
    let mut blocks = vec![heading(1, "Weights")];
    if record.weights.is_empty() {
        blocks.push(Block::Paragraph("No weight is recorded.".to_owned()));
        return blocks;
    }
    if let Some((drawing, notes)) =
        drawn.and_then(|drawn| Some((chart::drawing(drawn)?, &drawn.notes)))
    {
        blocks.push(Block::Drawing(drawing));
        blocks.extend(notes.iter().map(|note| Block::Small(note.clone())));
    }
    if let Some(day) = record.doubled_on_day {
        blocks.push(Block::Paragraph(format!(
            "Birth weight doubled on day {day:.1}."
        )));
    }
    let row = |weight: &WeightRecord| {
        let WeightRecord {
            at,
            age_days,
            grams,
            change_grams,
            birth,
        } = weight;
        let change = change_grams.map(|grams| weight_difference(grams, ounces));
        let change = change.unwrap_or_else(|| {
            if *birth {
                "birth weight".to_owned()
            } else {
                String::new()
            }
        });
        [
            words::short_moment(at),
            many(*age_days, "day"),
            words::weight(*grams, ounces),
            change,
        ]
    };
    let columns = [
        ("Weighed", 2.0, false),
        ("Age", 1.2, true),
        ("Weight", 1.3, true),
        ("Since the one before", 1.5, true),
    ];
    blocks.push(table(
        "All weights, the oldest first",
        &columns,
        record.weights.iter().map(row).collect(),
    ));
    blocks
}
