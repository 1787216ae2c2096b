//! A puppy after it left, as the keeper sees it: when its family is asked, and what it told.
//!
//! In: one puppy, the day on which it left, the answers in `health.yaml`. Out: facts; none of a
//! puppy that never left. An answer that is missing is said to be.

use super::{BookContext, Fact, Facts, words};
use crate::Dated;
use crate::husbandry::follow_up::{self, FollowUpQuestion};
use crate::quantity::Day;
use crate::records::LitterFolder;
use crate::records::health;
use crate::records::litter::Puppy;

pub(super) fn facts(context: &BookContext<'_>, folder: &LitterFolder, puppy: &Puppy) -> Vec<Fact> {
    let mut facts = Facts::default();
    let today = context.figures.today;
    for (on, told) in follow_up::answers(&folder.health, &puppy.id) {
        let health::FollowUp {
            weight,
            bite,
            hips,
            how,
            by,
        } = told;
        let words = words::told(
            weight.map(|weight| context.weight(weight)),
            bite.as_deref(),
            hips.as_deref(),
            how.as_deref(),
        );
        let by = by.as_ref().map(|by| format!(" ({by})")).unwrap_or_default();
        facts.say("Told", format!("{}: {words}{by}", date(on)));
    }
    let Some(left) = context
        .figures
        .litters
        .left_on(folder, puppy)
        .filter(|_| puppy.is_alive())
    else {
        return facts.done();
    };
    facts.say("Left", date(left));
    for FollowUpQuestion {
        months,
        from,
        until,
        answered,
    } in follow_up::of_puppy(&folder.health, &puppy.id, left)
    {
        let label = if months == 6 {
            "After six months"
        } else {
            "After twelve months"
        };
        let said = match answered {
            Some(on) => format!("told on {}", date(on)),
            None if today < from => format!("to be asked from {} on", date(from)),
            None if today <= until => format!("to be asked now, until {}", date(until)),
            None => {
                "not known, because no answer is on record; settled by asking the family".to_owned()
            }
        };
        facts.say(label, said);
    }
    facts.done()
}

fn date(day: Day) -> String {
    Dated::from(day).words
}
