//! Families to be asked how their puppy is, half a year and a year after it left.
//!
//! In: a litter, most often one that is history, and who takes which puppy. Out: tasks. No figures of the litter are asked for: a kennel has many more such litters than young ones. What nobody
//! answers is asked for some weeks and then no more.

use super::{Act, Kind, Rest, Round, Whom};
use crate::husbandry::follow_up::{self, FollowUp};

pub(super) fn tasks(round: &mut Round<'_>) {
    let (folder, litters, today, last) = (round.folder, &round.figures.litters, round.today, round.last);
    for puppy in folder.living() {
        let Some(left) = litters.left_on(folder, puppy).filter(|left| follow_up::may_be_open(*left, today, last)) else { continue };
        for FollowUp { months, from, until, answered } in follow_up::of_puppy(&folder.health, &puppy.id, left) {
            let Some(turn) = round.turn(from).filter(|_| answered.is_none() && today <= until) else { continue };
            let whom = round.homes.of(&folder.id, puppy).map_or_else(|| "its family".to_owned(), |(family, _)| family.name.to_string());
            let after = if months == 6 { "six months" } else { "twelve months" };
            let rest = Rest {
                times: 1,
                since: (from <= today).then_some(from),
                until: Some(until),
                act: Act::Record { kind: "follow_up", item: None },
                source: "common practice, no source; the days are the program’s own".to_owned(),
            };
            let what = format!("{after} after it left: ask {whom} for weight, bite and hips, and how it is");
            round.task(turn, Kind::FollowUp, Whom::Puppies(vec![puppy.id.clone()]), what, rest);
        }
    }
}
