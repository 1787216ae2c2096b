//! How a puppy does in its new home: when to ask, half a year and a year after it left, and what
//! was answered.
//!
//! In: the day on which it left, and the health entries of its litter. Out: [`FollowUpQuestion`]s.
//! They are counted in days, so that they need no calendar; nothing of a litter's figures is
//! needed, since most of the puppies that are asked for belong to litters that are history.

use crate::quantity::{Day, Id};
use crate::records::health::{FollowUp as Answer, HealthEntry};

/// Months after leaving, and the days that are counted for them; ours, as are the two below.
const AFTER: [(u8, i64); 2] = [(6, 182), (12, 365)];
/// Days after leaving from which a family is asked for the first time.
pub const FIRST: i64 = AFTER[0].1;
/// How many days a question stays open.
const OPEN: i64 = 90;
/// How many days before its time an answer counts already; an earlier one is that of the question
/// before.
const EARLY: i64 = 60;

/// One question, and when it was answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FollowUpQuestion {
    /// Months since the puppy left.
    pub months: u8,
    /// The day from which it is asked.
    pub from: Day,
    /// The last day on which it is.
    pub until: Day,
    /// The day of the answer.
    pub answered: Option<Day>,
}

/// The questions for a puppy that left on a day.
#[must_use]
pub fn of_puppy(health: &[HealthEntry], puppy: &Id, left: Day) -> [FollowUpQuestion; 2] {
    let counts_from = |i: usize| AFTER.get(i).map(|(_, days)| left.plus(days - EARLY));
    std::array::from_fn(|i| {
        let (months, days) = AFTER[i];
        let (first, next) = (left.plus(days - EARLY), counts_from(i + 1));
        let answered = answers(health, puppy)
            .map(|(day, _)| day)
            .filter(|day| *day >= first && next.is_none_or(|next| *day < next))
            .min();
        FollowUpQuestion {
            months,
            from: left.plus(days),
            until: left.plus(days + OPEN),
            answered,
        }
    })
}

/// Whether any question can be open between two days for a puppy that left on a day. It is asked of
/// every puppy that ever left, before anything is looked up.
#[must_use]
pub fn may_be_open(left: Day, today: Day, last: Day) -> bool {
    AFTER
        .iter()
        .any(|(_, days)| left.plus(*days) <= last && today <= left.plus(days + OPEN))
}

/// All answers about a puppy, with their days.
pub fn answers<'a>(
    health: &'a [HealthEntry],
    puppy: &'a Id,
) -> impl Iterator<Item = (Day, &'a Answer)> {
    health
        .iter()
        .filter(|entry| entry.is_for(puppy))
        .filter_map(|entry| Some((entry.day()?, entry.follow_up.as_ref()?)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::day;

    fn entries(days: &[&str]) -> Vec<HealthEntry> {
        let text: String = days
            .iter()
            .map(|day| format!("- on: {day}\n  for: thistle\n  follow_up: {{ bite: scissor }}\n"))
            .collect();
        serde_yaml::from_str(&text).unwrap()
    }

    #[test]
    fn an_answer_counts_for_the_question_that_it_is_nearest_to() {
        // Left on 7 June 2025: 182 days later is 6 December, 365 days later 7 June 2026.
        let of = |days: &[&str]| {
            of_puppy(
                &entries(days),
                &"thistle".parse().unwrap(),
                day("2025-06-07"),
            )
            .map(|f| f.answered)
        };
        let [six, twelve] = of_puppy(&[], &"thistle".parse().unwrap(), day("2025-06-07"));
        assert_eq!(
            (six.months, six.from, six.until, six.answered),
            (6, day("2025-12-06"), day("2026-03-06"), None)
        );
        assert_eq!(
            (twelve.months, twelve.from, twelve.until),
            (12, day("2026-06-07"), day("2026-09-05"))
        );
        assert_eq!(
            of(&["2025-07-01"]),
            [None, None],
            "three weeks after it left is no half year"
        );
        assert_eq!(of(&["2025-10-07"]), [Some(day("2025-10-07")), None]);
        assert_eq!(of(&["2026-04-07"]), [Some(day("2026-04-07")), None]);
        assert_eq!(of(&["2026-04-08"]), [None, Some(day("2026-04-08"))]);
        assert_eq!(
            of(&["2029-01-01", "2026-06-10", "2025-12-06"]),
            [Some(day("2025-12-06")), Some(day("2026-06-10"))]
        );
        let other = of_puppy(
            &entries(&["2025-12-06"]),
            &"yarrow".parse().unwrap(),
            day("2025-06-07"),
        );
        assert_eq!(other[0].answered, None, "another puppy's answer");
    }

    #[test]
    fn the_quick_look_says_no_only_where_nothing_is_asked() {
        let left = day("2025-06-07");
        for days in -10..500 {
            let today = left.plus(days);
            for ahead in [0, 1, 7] {
                let last = today.plus(ahead);
                let asked = of_puppy(&[], &"thistle".parse().unwrap(), left)
                    .iter()
                    .any(|f| f.from <= last && today <= f.until);
                assert_eq!(
                    may_be_open(left, today, last),
                    asked,
                    "{days} days after it left"
                );
            }
        }
    }
}
