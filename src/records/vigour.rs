//! Vigour scores of a newborn, and the counts that are worth points.

use crate::quantity::Span;
use schemars::JsonSchema;
use serde::Deserialize;

/// A vigour score after Veronesi and others 2009: five items, 0 to 2 each.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Vigour {
    /// Time after birth.
    #[schemars(title = "Time after birth")]
    pub at: Span,
    /// Heart rate, scored.
    pub heart: Option<Score>,
    /// Respiratory effort, scored.
    pub breathing: Option<Score>,
    /// Reflex irritability, scored.
    pub reflex: Option<Score>,
    /// Motility, scored.
    pub movement: Option<Score>,
    /// Colour of the mucous membranes, scored.
    pub gums: Option<Score>,
    /// Heart beats per minute, as counted.
    #[schemars(title = "Heart beats a minute")]
    pub heart_rate: Option<u32>,
    /// Breaths per minute, as counted.
    #[schemars(title = "Breaths a minute")]
    pub breaths: Option<u32>,
}

/// Beats a minute that score 1; fewer score 0, more 2 (Veronesi and others 2009, Theriogenology
/// 72:401-407; the bands from memory).
pub const HEART_RATES_SCORED: (u32, u32) = (180, 220);

/// Breaths a minute that score 1; fewer score 0, more 2 (the same source, from memory).
pub const BREATHS_SCORED: (u32, u32) = (6, 15);

/// The score that a count is worth beside its band: both ends of the band score 1.
#[must_use]
pub fn points_of_rate(count: u32, (low, high): (u32, u32)) -> u8 {
    u8::from(count >= low) + u8::from(count > high)
}

/// 0, 1 or 2.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Score(u8);

impl Score {
    /// 0, 1 or 2.
    #[must_use]
    pub fn points(self) -> u8 {
        self.0
    }
}

impl std::str::FromStr for Score {
    type Err = crate::quantity::Unreadable;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text.trim() {
            "0" => Ok(Self(0)),
            "1" => Ok(Self(1)),
            "2" => Ok(Self(2)),
            other => Err(crate::quantity::Unreadable::new(
                "out-of-range",
                format!("`{other}` is no score"),
                "each item is scored 0, 1 or 2; leave it out when nobody looked",
            )),
        }
    }
}

crate::quantity::read_from_text!(Score, "Score", { "type": "integer", "minimum": 0, "maximum": 2 });
