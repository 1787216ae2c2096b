//! What holds of whatever was read: every place of a problem is a part of its text, and every
//! problem can be shown in all ways there are.
//!
//! In: records as they were read. Out: nothing, or a panic.

use litterfolio::records::{Loaded, showing};

pub fn all_can_be_shown(loaded: &Loaded) {
    for found in &loaded.problems {
        let places = found
            .labels
            .iter()
            .map(|(place, part, _)| (place, *part))
            .chain([(&found.problem.place, found.range)]);
        for (place, part) in places {
            let text = loaded.sources.text(&place.file).unwrap_or_default();
            assert!(
                text.get(part.bytes()).is_some(),
                "{} of {place:?} is no part of its text",
                part.start()
            );
        }
    }
    let _ = showing::for_people(&loaded.problems, &loaded.sources, "content", 80, false);
    let _ = showing::for_programs(&loaded.problems, &loaded.sources);
}
