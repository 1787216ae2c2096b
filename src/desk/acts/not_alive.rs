//! What the page of a puppy's home says when the puppy is not alive.
//!
//! In: the puppy, and the family that is entered for it. Out: a page on which the family can be
//! taken off, and nothing else.

use super::form::{ActForm, ActPage, Button};
use super::page_of;
use crate::records::LitterFolder;
use crate::records::litter::{Fate, Puppy};
use crate::records::owners::Family;

/// A puppy that died or was born dead has no home to come; a family may be entered for it still.
pub(super) fn not_alive(litter: &LitterFolder, puppy: &Puppy, family: Option<&Family>) -> ActPage {
    let name = puppy.shown_name();
    let fate = match puppy.fate {
        Some(Fate::Stillborn) => "was born dead",
        _ => "died",
    };
    let (lead, form) = match family {
        Some(family) => {
            let lead = format!(
                "{name} {fate}, and {} is still entered for it. Once they know, it can be taken \
                 out of what they take. What was agreed stays in the history.",
                family.name
            );
            let button = Button::new("withdraw", "They know: take it out of what they take");
            let form = ActForm {
                buttons: vec![button],
                ..ActForm::default()
            };
            (lead, Some(form))
        }
        None => (
            format!("{name} {fate}, and no family is entered for it."),
            None,
        ),
    };
    ActPage {
        lead: vec![lead],
        form,
        ..page_of(litter, name)
    }
}
