//! When the kennel would like to hear of a puppy.
//!
//! In: the day on which it leaves for its family. Out: [`InvitationRecord`]s; none while no day was
//! agreed. What the family told is among the events.

use super::{Case, InvitationRecord, iso};
use crate::husbandry::follow_up::{self, FollowUpQuestion};
use crate::records::owners::Takes;

pub(super) fn invitations(case: &Case<'_>, home: Option<&Takes>) -> Vec<InvitationRecord> {
    let Some(leaves) = home.and_then(|takes| takes.leaves) else {
        return Vec::new();
    };
    let invitation = |asked: FollowUpQuestion| {
        let FollowUpQuestion {
            months,
            from,
            until,
            answered,
        } = asked;
        InvitationRecord {
            months,
            from: from.to_string(),
            until: until.to_string(),
            told: iso(answered),
        }
    };
    follow_up::of_puppy(&case.folder.health, &case.puppy.id, leaves)
        .map(invitation)
        .to_vec()
}
