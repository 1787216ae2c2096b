//! Families to be asked how their puppy is, half a year and a year after it left.
//!
//! In: a litter, most often one that is history, and who takes which puppy. Out: tasks. No figures
//! of the litter are asked for: a kennel has many more such litters than young ones. What nobody
//! answers is asked for some weeks and then no more.

use super::{Rest, Round, TaskAction, TaskContent, TaskKind, TaskSource, Whom};
use crate::follow_up::{self, FollowUpQuestion};
use crate::records::health::HealthKind;

pub(super) fn tasks(round: &mut Round<'_>) {
    let (folder, litters, today, last) = (
        round.folder,
        &round.figures.litters,
        round.today,
        round.last,
    );
    for puppy in folder.living() {
        let Some(left) = litters
            .left_on(folder, puppy)
            .filter(|left| follow_up::may_be_open(*left, today, last))
        else {
            continue;
        };
        for FollowUpQuestion {
            months,
            from,
            until,
            answered,
        } in follow_up::of_puppy(&folder.health, &puppy.id, left)
        {
            let Some(turn) = round
                .turn(from)
                .filter(|_| answered.is_none() && today <= until)
            else {
                continue;
            };
            let family = round.homes.of(&folder.id, puppy);
            let family = family.map(|(family, _)| family.name.clone());
            let rest = Rest {
                times: 1,
                since: (from <= today).then_some(from),
                until: Some(until),
                act: TaskAction::Record {
                    kind: HealthKind::FollowUp,
                    item: None,
                },
                source: TaskSource::Cited(
                    "common practice, no source; the days are the program’s own",
                ),
            };
            let what = TaskContent::FollowUp { months, family };
            round.task(
                turn,
                TaskKind::FollowUp,
                Whom::Puppies(vec![puppy.id.clone()]),
                what,
                rest,
            );
        }
    }
}
