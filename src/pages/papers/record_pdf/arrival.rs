//! The first days in the new home, on paper.
//!
//! In: what was chosen for the family. Out: food, what is to be done by when, the chip, and when to
//! call a vet. The page says the same in `templates/owner/first-days.html`.

use super::{heading, prose};
use crate::audience::owner::{ChipRule, ChipToRegister, FirstDays, Food, OwnerPage, PromisedBy};
use crate::pdf::Block;
use crate::quantity::capital;
use crate::words;

/// What working days are, beside a date that was counted in them.
const WORKING_DAYS: &str = "Working days are Monday to Friday; public holidays are not known here.";

pub(super) fn blocks(page: &OwnerPage, first: &FirstDays, call_a_vet: &[&str]) -> Vec<Block> {
    let FirstDays {
        food,
        promises,
        vet_is_promised,
        chip,
    } = first;
    let keeper = &page.record.kennel.keeper;
    let mut blocks = vec![
        heading(1, "The first days"),
        heading(2, "What to eat today"),
    ];
    match food {
        Some(Food {
            date,
            text,
            goes_on,
        }) => {
            blocks.extend(prose::blocks(text));
            let more = if *goes_on {
                "; all of it under “Feeding and routine”"
            } else {
                ""
            };
            blocks.push(Block::Small(format!(
                "From {keeper}’s note of {}{more}.",
                words::day(date)
            )));
        }
        None => blocks.push(Block::Paragraph(format!(
            "No note says what it eats: ask {keeper}, and change nothing in the first days."
        ))),
    }
    blocks.push(heading(2, "To the vet, and what else is to be done"));
    let mut steps: Vec<String> = promises.iter().map(step).collect();
    if !vet_is_promised {
        steps.push(
            "Let your own vet see the puppy in the first days, and take this record along (common \
             practice, no source)."
                .to_owned(),
        );
    }
    steps.push(register(chip));
    blocks.push(Block::List(steps));
    let counted = promises
        .iter()
        .any(|promise| promise.working_days && promise.by.is_some());
    let source = chip
        .asked
        .as_ref()
        .map(|asked| format!("{}: {}.", asked.place, asked.source));
    let small: Vec<String> = counted
        .then(|| WORKING_DAYS.to_owned())
        .into_iter()
        .chain(source)
        .collect();
    if !small.is_empty() {
        blocks.push(Block::Small(small.join(" ")));
    }
    blocks.push(heading(2, "Call a vet at any of these"));
    blocks.push(Block::Paragraph(format!(
        "{}.",
        capital(&call_a_vet.join("; "))
    )));
    blocks
}

fn step(promise: &PromisedBy) -> String {
    let PromisedBy {
        text,
        within,
        working_days: _,
        by,
    } = promise;
    let text = text.trim_end_matches('.');
    match by {
        Some(by) => format!(
            "By {}: {text} (within {within} of leaving).",
            words::day(by)
        ),
        None => format!("{text}, within {within} of leaving."),
    }
}

fn register(chip: &ChipToRegister) -> String {
    let ChipToRegister { number, asked } = chip;
    let which = number.as_ref().map_or_else(
        || "the chip, once there is one,".to_owned(),
        |number| format!("the chip {number}"),
    );
    let asks = asked.as_ref().map(
        |ChipRule {
             place,
             details,
             within_days,
             by,
             source: _,
         }| {
            let within = within_days
                .map(|days| format!(" within {days} days"))
                .unwrap_or_default();
            let by = by
                .as_ref()
                .map(|by| format!(", by {}", words::day(by)))
                .unwrap_or_default();
            format!(" {place} asks for {details}{within}{by}.")
        },
    );
    let asks = asks.unwrap_or_else(|| {
        " Ask your vet or your council what the law of your place wants.".to_owned()
    });
    format!(
        "Register yourselves as keepers with the database of {which}: until then a lost dog is \
         not yours there.{asks}"
    )
}
