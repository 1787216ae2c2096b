//! How often an item of the plan comes again.

/// How often an item of the dam's recovery comes again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Every {
    /// It is done once.
    Once,
    /// Daily in the first week after the birth, every second day in the second, then once a week.
    Fading,
    /// So many days apart.
    Days(i64),
    /// It goes on all the time, and nobody ticks it.
    Always,
}

impl Every {
    /// Days from a look at an age in days to the next.
    pub(crate) fn gap(self, age: i64) -> i64 {
        match self {
            Self::Fading => match age {
                ..7 => 1,
                7..14 => 2,
                _ => 7,
            },
            Self::Days(days) => days,
            Self::Once | Self::Always => 0,
        }
    }
}
