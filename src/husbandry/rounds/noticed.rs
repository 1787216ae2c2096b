//! What was noticed on the round.
//!
//! In: the findings of a litter. Out: tasks: a call first, what is watched, and the question how an
//! illness ended that nobody closed.

use super::{Advice, Rest, Round, TaskAction, TaskContent, TaskKind, TaskSource, Turn, Whom};
use crate::findings::{Finding, FindingRule, Urgency};
use crate::records::health::HealthKind;

/// Whatever was noticed above steady, all that is said of one puppy together. Care and
/// weigh-ins have tasks of their own.
pub(super) fn tasks(round: &mut Round<'_>) {
    let found = round.figures.litters.findings(round.folder);
    let has_own_task = |rule| matches!(rule, FindingRule::CareOverdue | FindingRule::WeighInMissed);
    let mut said: Vec<(Whom, Vec<&Finding>)> = Vec::new();
    for finding in found
        .iter()
        .filter(|f| f.urgency > Urgency::Steady && !has_own_task(f.rule()))
    {
        let whom = match &finding.puppy {
            Some(id) => Whom::Puppies(vec![id.clone()]),
            None if finding.is_of_dam() => Whom::Dam,
            None => Whom::Litter,
        };
        // They come with the most urgent first.
        match said
            .iter_mut()
            .find(|(known, _)| whom != Whom::Litter && *known == whom)
        {
            Some((_, findings)) => findings.push(finding),
            None => said.push((whom, vec![finding])),
        }
    }
    for (whom, findings) in said {
        let Some(first) = findings.first() else {
            continue;
        };
        let (turn, act) = match first.urgency {
            Urgency::CallTheVet => (Turn::CallTheVet, TaskAction::CallTheVet),
            // A check says who looked and what was found, and closes what was asked.
            Urgency::Watch if findings.iter().all(|f| f.is_question()) => {
                let kind = HealthKind::Check;
                (Turn::Today, TaskAction::Record { kind, item: None })
            }
            Urgency::Watch | Urgency::Steady => (Turn::Today, TaskAction::Say(Advice::LookAgain)),
        };
        let rest = Rest {
            times: 1,
            since: None,
            until: None,
            act,
            source: TaskSource::Cited(first.source()),
        };
        let what = TaskContent::Findings(findings.into_iter().cloned().collect());
        round.task(turn, TaskKind::Finding, whom, what, rest);
    }
}
