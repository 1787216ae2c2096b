//! How far a text is YAML, and how deeply it is nested.

use saphyr_parser::{Event, Parser};

/// Deeper nesting than this is no record of ours.
pub(super) const DEEPEST: usize = 40;

/// The line (from 1) at which a text stops to be YAML; beyond all lines when it is, or is nested
/// too deeply to tell.
pub(super) fn stops_at(text: &str) -> usize {
    let mut depth = 0_usize;
    for event in Parser::new_from_str(text) {
        match event {
            Err(error) => return error.marker().line(),
            Ok((Event::SequenceStart(..) | Event::MappingStart(..), _)) if depth >= DEEPEST => {
                break;
            }
            Ok((Event::SequenceStart(..) | Event::MappingStart(..), _)) => depth += 1,
            Ok((Event::SequenceEnd | Event::MappingEnd, _)) => depth = depth.saturating_sub(1),
            Ok(_) => {}
        }
    }
    usize::MAX
}
