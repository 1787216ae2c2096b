//! How many puppies were stillborn, and how many of the live-born died by day 1, 7, 21 and 56.
//!
//! In: what is known of each puppy's life. Out: [`Survival`], each share with its denominator,
//! those left out and an interval. An unknown outcome leaves the denominator: in a survey of 3,410
//! puppies born by section 2,641 were known alive after a week, which is 77 % of all and 80 % of
//! those with an answer, as printed (Moon and others 1998, JAVMA 213:365). A living litter that is
//! too young for a day is left out whole, its dead as well: else only its dead would count, and the
//! share would be too high.

use super::numbers::Share;

/// The days by which deaths are counted.
pub const DAYS: [u16; 4] = [1, 7, 21, 56];

/// How a life went, as far as known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Born dead.
    Stillborn,
    /// Died so many calendar days after birth, 0 on the day itself; nothing when the day is not
    /// known.
    Died(Option<i64>),
    /// No death is known.
    NoDeathKnown,
}

/// What is known of one puppy.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Life {
    /// How it went.
    pub end: End,
    /// Calendar days from birth to today, whatever became of the puppy.
    pub days_since_birth: i64,
    /// The age in calendar days up to which it is known to have lived: its age today, or when it
    /// left, or at its last weigh-in. For a known day of death it does not matter.
    pub known_alive_until: i64,
}

/// Shares of puppies that were stillborn or died.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Survival {
    /// Stillborn, of all born.
    pub stillborn: Share,
    /// Died by the end of each of [`DAYS`], of the live-born.
    pub by_day: [(u16, Share); 4],
}

/// Counts the fates of puppies.
#[must_use]
pub fn survival(lives: &[Life]) -> Survival {
    let stillborn = lives
        .iter()
        .filter(|life| life.end == End::Stillborn)
        .count();
    Survival {
        stillborn: Share::new(stillborn, lives.len(), 0),
        by_day: DAYS.map(|day| (day, died_by(lives, day))),
    }
}

fn died_by(lives: &[Life], day: u16) -> Share {
    let (mut dead, mut lived, mut unknown) = (0, 0, 0);
    for life in lives.iter().filter(|life| life.end != End::Stillborn) {
        match life.dead_by(i64::from(day)) {
            Some(true) => dead += 1,
            Some(false) => lived += 1,
            None => unknown += 1,
        }
    }
    Share::new(dead, dead + lived, unknown)
}

impl Life {
    /// Whether a live-born puppy was dead by the end of a day of its life; nothing when that is not
    /// known, or not yet.
    fn dead_by(&self, day: i64) -> Option<bool> {
        if self.days_since_birth < day {
            return None;
        }
        match self.end {
            End::Stillborn => None,
            End::Died(Some(on)) => Some(on <= day),
            _ if self.known_alive_until >= day => Some(false),
            // It is dead today, and today is that day.
            End::Died(None) if self.days_since_birth == day => Some(true),
            End::Died(None) | End::NoDeathKnown => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn life(end: End, days_since_birth: i64, known_alive_until: i64) -> Life {
        Life {
            end,
            days_since_birth,
            known_alive_until,
        }
    }

    fn counts(share: Share) -> (usize, usize, usize) {
        (share.count, share.of, share.unknown)
    }

    fn by_day(lives: &[Life]) -> [(usize, usize, usize); 4] {
        survival(lives).by_day.map(|(_, share)| counts(share))
    }

    #[test]
    fn deaths_are_counted_among_the_live_born_by_their_day() {
        let old = |end| life(end, 400, 400);
        let lives = [
            old(End::Stillborn),
            old(End::Died(Some(0))),
            old(End::Died(Some(1))),
            old(End::Died(Some(2))),
            old(End::Died(Some(21))),
            old(End::NoDeathKnown),
        ];
        let found = survival(&lives);
        assert_eq!(counts(found.stillborn), (1, 6, 0));
        assert_eq!(
            found.by_day.map(|(day, share)| (day, counts(share))),
            [
                (1, (2, 5, 0)),
                (7, (3, 5, 0)),
                (21, (4, 5, 0)),
                (56, (4, 5, 0))
            ]
        );
    }

    #[test]
    fn a_puppy_counts_up_to_the_day_it_was_last_known() {
        // It left on day 30 and nobody has written since.
        assert_eq!(
            by_day(&[life(End::NoDeathKnown, 400, 30)]),
            [(0, 1, 0), (0, 1, 0), (0, 1, 0), (0, 0, 1)]
        );
        // Died, nobody wrote when: last weighed on day 9.
        assert_eq!(
            by_day(&[life(End::Died(None), 400, 9)]),
            [(0, 1, 0), (0, 1, 0), (0, 0, 1), (0, 0, 1)]
        );
        // The same, but today is day 21: by now it is dead.
        assert_eq!(
            by_day(&[life(End::Died(None), 21, 9)]),
            [(0, 1, 0), (0, 1, 0), (1, 1, 0), (0, 0, 1)]
        );
    }

    #[test]
    fn a_litter_that_is_too_young_for_a_day_is_left_out_with_its_dead() {
        // Three days old, one of four died on day 2. Counted by their dead alone, such litters
        // would show 100 % lost.
        let lives = [
            life(End::Died(Some(2)), 3, 2),
            life(End::NoDeathKnown, 3, 3),
            life(End::NoDeathKnown, 3, 3),
            life(End::NoDeathKnown, 3, 3),
        ];
        assert_eq!(by_day(&lives), [(0, 4, 0), (0, 0, 4), (0, 0, 4), (0, 0, 4)]);
    }

    #[test]
    fn unknown_outcomes_leave_the_denominator() {
        // Moon and others 1998: of 3,410 puppies born by section 2,641 were alive after 7 days;
        // printed as 80 %, while 2,641 / 3,410 is 77 %. The number without an answer is not
        // printed; with 109 of them the printed share comes out.
        let known = life(End::NoDeathKnown, 400, 7);
        let lives: Vec<Life> = [
            (known, 2_641),
            (life(End::Died(Some(3)), 400, 3), 660),
            (life(End::NoDeathKnown, 400, 1), 109),
        ]
        .into_iter()
        .flat_map(|(l, n)| vec![l; n])
        .collect();
        let share = survival(&lives).by_day[1].1;
        assert_eq!(counts(share), (660, 3_301, 109));
        assert!((1.0 - share.value().unwrap() - 0.80).abs() < 0.005);
        assert!(
            (2_641.0_f64 / 3_410.0 - 0.774).abs() < 0.0005,
            "all 3,410 below the line would say 77 %"
        );
    }

    #[test]
    fn survival_to_discharge_after_sections() {
        // Vet Surg 2022, 51:1052-1060: 238 of 240 puppies of planned and 209 of 240 of emergency
        // sections lived to discharge, printed as 99.2 % and 87.1 %. The intervals do not
        // meet. Ends of the intervals by scipy, see the tests of shares.
        let of = |dead: usize| -> Vec<Life> {
            (0..240)
                .map(|i| {
                    life(
                        if i < dead {
                            End::Died(Some(1))
                        } else {
                            End::NoDeathKnown
                        },
                        90,
                        90,
                    )
                })
                .collect()
        };
        let [planned, emergency] = [2, 31].map(|dead| survival(&of(dead)).by_day[0].1);
        assert!((1.0 - planned.value().unwrap() - 0.992).abs() < 0.0005);
        assert!((1.0 - emergency.value().unwrap() - 0.871).abs() < 0.0005);
        assert!(planned.high < emergency.low);
        assert!((1.0 - planned.high - 0.970_130_262_011_108_1).abs() < 1e-12);
    }

    #[test]
    fn without_puppies_nothing_is_known() {
        let nothing = survival(&[]);
        assert_eq!(nothing.stillborn.value(), None);
        assert!(
            nothing
                .by_day
                .iter()
                .all(|(_, share)| share.value().is_none())
        );
    }

    fn any_life() -> impl Strategy<Value = Life> {
        let end = prop_oneof![
            Just(End::Stillborn),
            Just(End::NoDeathKnown),
            proptest::option::of(-2..90_i64).prop_map(End::Died)
        ];
        (end, -3..120_i64, -3..120_i64).prop_map(|(end, born, known)| life(end, born, known))
    }

    proptest! {
        #[test]
        fn everybody_is_counted_once_in_any_order(
            mut lives in proptest::collection::vec(any_life(), 0..30),
        ) {
            let found = survival(&lives);
            let live_born = lives.len() - found.stillborn.count;
            for (_, share) in found.by_day {
                prop_assert_eq!(share.of + share.unknown, live_born);
                prop_assert!(share.count <= share.of);
                prop_assert!(
                    share
                        .value()
                        .is_none_or(|value| share.low <= value && value <= share.high)
                );
            }
            lives.reverse();
            prop_assert_eq!(survival(&lives), found);
        }
    }
}
