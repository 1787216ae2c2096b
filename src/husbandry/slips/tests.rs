//! Slips made by hand, slips planted in simulated litters, and what must hold for any input.

use super::simulated::{Dice, Hardship, SimulatedLitter, USUAL, litter};
use super::*;
use crate::quantity::Id;
use crate::quantity::WeightUnit::{Gram, Kilogram, Ounce, Pound};
use crate::records::{Weighed, off_their_day};
use proptest::prelude::*;
use std::collections::BTreeMap;

const OUNCE: f64 = 28.349_523_125;
const POUND: f64 = 453.592_37;

/// Lines weighed together twice a day from birth.
fn twice_a_day(lines: &[&[f64]]) -> Vec<WeightLine> {
    let line = |grams: &&[f64]| WeightLine {
        marks: (0_u32..)
            .zip(*grams)
            .map(|(n, g)| WrittenWeight {
                weigh_in: n as usize,
                days: f64::from(n) / 2.0,
                grams: *g,
            })
            .collect(),
    };
    lines.iter().map(line).collect()
}

/// Three littermates of about 230 g at birth, ten weights each, honest but for a scatter of 1 to 3
/// %.
const FERN: [f64; 10] = [
    231.0, 226.0, 233.0, 241.0, 246.0, 259.0, 262.0, 275.0, 281.0, 297.0,
];
const REED: [f64; 10] = [
    198.0, 192.0, 199.0, 202.0, 214.0, 216.0, 228.0, 231.0, 245.0, 248.0,
];
const SAGE: [f64; 10] = [
    262.0, 255.0, 258.0, 270.0, 283.0, 288.0, 304.0, 309.0, 326.0, 331.0,
];

fn with(base: [f64; 10], mark: usize, grams: f64) -> [f64; 10] {
    let mut changed = base;
    changed[mark] = grams;
    changed
}

/// The only slip, which must be one in value: line, mark, likely weight, kind.
fn only_value(lines: &[WeightLine]) -> (usize, usize, f64, SlipKind) {
    match slips(lines)[..] {
        [
            Slip::Value {
                line,
                mark,
                likely_grams,
                kind,
                times_likelier,
            },
        ] => {
            assert!((999.9..=MOST_LIKELIER).contains(&times_likelier));
            (line, mark, likely_grams, kind)
        }
        ref other => panic!("not one slip in value: {other:?}"),
    }
}

fn exchange(weigh_in: usize, lines: [usize; 2], slip: &Slip) -> bool {
    match slip {
        Slip::Exchanged {
            weigh_in: w,
            lines: l,
            times_likelier,
        } => *w == weigh_in && *l == lines && *times_likelier >= 1000.0,
        Slip::Value { .. } => false,
    }
}

#[test]
fn honest_littermates_have_no_slip() {
    assert_eq!(slips(&twice_a_day(&[&FERN, &REED, &SAGE])), []);
}

#[test]
fn each_usual_slip_is_explained_at_birth_between_and_in_the_newest_weight() {
    for mark in [0, 1, 4, 8, 9] {
        let honest = FERN[mark];
        for (written, kind) in [
            (honest * 10.0, SlipKind::TooManyDigits),
            (honest * 100.0, SlipKind::TooManyDigits),
            (honest / 10.0, SlipKind::TooFewDigits),
            (honest / 100.0, SlipKind::TooFewDigits),
            (
                (honest / OUNCE * 4.0).round() / 4.0,
                SlipKind::WrongUnit {
                    written: Gram,
                    meant: Ounce,
                },
            ),
            (
                honest * OUNCE,
                SlipKind::WrongUnit {
                    written: Ounce,
                    meant: Gram,
                },
            ),
            (
                honest / POUND * 1000.0,
                SlipKind::WrongUnit {
                    written: Kilogram,
                    meant: Pound,
                },
            ),
            (
                honest * POUND / 1000.0,
                SlipKind::WrongUnit {
                    written: Pound,
                    meant: Kilogram,
                },
            ),
            (
                honest / 1000.0,
                SlipKind::WrongUnit {
                    written: Gram,
                    meant: Kilogram,
                },
            ),
        ] {
            let (line, at, likely, found) =
                only_value(&twice_a_day(&[&REED, &with(FERN, mark, written), &SAGE]));
            assert_eq!(
                (line, at, found),
                (1, mark, kind),
                "{written} g for {honest} g"
            );
            assert!(
                (likely / honest - 1.0).abs() < 0.03,
                "{likely} g for {honest} g"
            );
        }
    }
}

#[test]
fn digits_left_out_and_transposed_are_explained_where_the_weight_is_impossible() {
    // 281 g, newest but one.
    for (written, kind) in [
        (81.0, SlipKind::DigitLeftOut),
        (21.0, SlipKind::DigitLeftOut),
        (821.0, SlipKind::DigitsTransposed),
    ] {
        let (_, at, likely, found) = only_value(&twice_a_day(&[&with(FERN, 8, written), &REED]));
        assert_eq!((at, found), (8, kind), "{written}");
        assert!((likely / 281.0 - 1.0).abs() < 0.05, "{likely}");
    }
    // 281 as 218: 22 % light in the newest weight might be a dying puppy. Nothing is said.
    assert_eq!(
        slips(&twice_a_day(&[&with(FERN, 8, 218.0)[..9], &REED])),
        []
    );
}

#[test]
fn the_first_weigh_in_after_birth_is_told_by_the_littermates() {
    let at_birth = twice_a_day(&[&[231.0], &[21.0], &[262.0], &[240.0]]);
    assert_eq!(only_value(&at_birth).1, 0);
    let birth_wrong = twice_a_day(&[&[2310.0, 226.0], &REED[..2], &SAGE[..2]]);
    assert_eq!(
        (only_value(&birth_wrong).1, only_value(&birth_wrong).3),
        (0, SlipKind::TooManyDigits)
    );
    let second_wrong = twice_a_day(&[&[231.0, 22.6], &REED[..2], &SAGE[..2]]);
    assert_eq!(
        (only_value(&second_wrong).1, only_value(&second_wrong).3),
        (1, SlipKind::TooFewDigits)
    );
    // Alone, two weights cannot say which is wrong: the newest is doubted, as that puppy can still
    // be weighed again.
    assert_eq!(only_value(&twice_a_day(&[&[231.0, 22.6]])).1, 1);
    assert_eq!(
        slips(&twice_a_day(&[&[22.6]])),
        [],
        "a puppy alone may weigh anything"
    );
}

#[test]
fn a_slip_does_not_make_its_neighbours_look_wrong() {
    let line = with(with(FERN, 4, 24.6), 5, 9.0);
    let found = slips(&twice_a_day(&[&REED, &line, &SAGE]));
    let marks: Vec<usize> = found
        .iter()
        .map(|s| {
            if let Slip::Value { line: 1, mark, .. } = s {
                *mark
            } else {
                panic!("{found:?}")
            }
        })
        .collect();
    assert_eq!(marks, [4, 5]);
    let unexplained = with(FERN, 8, 777_777.0);
    assert_eq!(
        slips(&twice_a_day(&[&REED, &unexplained, &SAGE])),
        [],
        "no usual slip explains it, and its neighbours are honest"
    );
}

#[test]
fn a_whole_weigh_in_in_the_wrong_unit_is_seen_in_every_line() {
    let lines = twice_a_day(&[
        &with(FERN, 9, 297.0 / OUNCE),
        &with(REED, 9, 248.0 / OUNCE),
        &with(SAGE, 9, 331.0 / OUNCE),
    ]);
    let found = slips(&lines);
    assert_eq!(found.len(), 3, "{found:?}");
    for slip in &found {
        assert!(
            matches!(
                slip,
                Slip::Value {
                    mark: 9,
                    kind: SlipKind::WrongUnit {
                        written: Gram,
                        meant: Ounce
                    },
                    ..
                }
            ),
            "{slip:?}"
        );
    }
}

#[test]
fn an_exchange_is_seen_between_in_the_newest_and_at_birth() {
    for mark in [0, 4, 8, 9] {
        let lines = twice_a_day(&[
            &with(FERN, mark, REED[mark]),
            &SAGE,
            &with(REED, mark, FERN[mark]),
        ]);
        let found = slips(&lines);
        assert!(
            found.len() == 1 && exchange(mark, [0, 2], &found[0]),
            "weigh-in {mark}: {found:?}"
        );
    }
    // A litter of two, and the newest of four weights.
    let lines = twice_a_day(&[&[262.0, 255.0, 258.0, 202.0], &[198.0, 192.0, 199.0, 270.0]]);
    assert!(exchange(3, [0, 1], &slips(&lines)[0]));
}

#[test]
fn two_exchanges_and_a_slip_in_value_are_told_apart() {
    let fern = with(with(FERN, 3, SAGE[3]), 6, 26.2);
    let sage = with(with(SAGE, 3, FERN[3]), 7, REED[7]);
    let found = slips(&twice_a_day(&[&fern, &with(REED, 7, SAGE[7]), &sage]));
    assert_eq!(found.len(), 3, "{found:?}");
    assert!(
        found.iter().any(|s| exchange(3, [0, 2], s))
            && found.iter().any(|s| exchange(7, [1, 2], s))
    );
    assert!(
        matches!(
            found[2],
            Slip::Value {
                line: 0,
                mark: 6,
                kind: SlipKind::TooFewDigits,
                ..
            }
        ),
        "{found:?}"
    );
}

#[test]
fn an_exchange_of_twins_cannot_be_seen() {
    let twin = FERN.map(|g| g * 1.02);
    assert_eq!(
        slips(&twice_a_day(&[
            &with(FERN, 5, twin[5]),
            &with(twin, 5, FERN[5]),
            &REED
        ])),
        []
    );
}

#[test]
fn trouble_is_never_called_a_slip() {
    let days = |f: &dyn Fn(f64) -> f64| -> Vec<f64> {
        (0_u32..20).map(|n| f(f64::from(n) / 2.0)).collect()
    };
    let wobble = |d: f64| 1.0 + 0.02 * (d * 37.0).sin();
    let steady = days(&|d| (220.0 * (0.06 * d).exp() * wobble(d)).round());
    // Loses 4 % a day from day 3, and crosses a littermate that was lighter.
    let fading = days(&|d| {
        (250.0 * (0.06 * d.min(3.0) - 0.04 * (d - 3.0).max(0.0)).exp() * wobble(d + 0.3)).round()
    });
    // A litter that stands still for two days after a section.
    let still = |base: f64, phase: f64| {
        days(&|d| (base * (0.06 * (d - 2.0).max(0.0)).exp() * wobble(d + phase)).round())
    };
    let thin = days(&|d| (180.0 * (0.02 * d).exp() * wobble(d + 0.7)).round());
    let fat = days(&|d| (180.0 * (0.10 * d).exp() * wobble(d + 0.9)).round());
    let litters: [&[&[f64]]; 4] = [
        &[&steady, &fading, &still(230.0, 0.1)],
        &[&still(210.0, 0.2), &still(230.0, 0.4), &still(260.0, 0.6)],
        &[&fat, &thin],
        &[&fading],
    ];
    for lines in litters {
        // At every weigh-in of their lives.
        for upto in 1..=20 {
            let cut: Vec<&[f64]> = lines.iter().map(|l| &l[..upto]).collect();
            assert_eq!(slips(&twice_a_day(&cut)), [], "{upto} weights");
        }
    }
    // A puppy that loses 12 % in a night and dies before it is weighed again.
    let lost: Vec<f64> = steady[..15]
        .iter()
        .copied()
        .chain([(steady[14] * 0.88).round()])
        .collect();
    assert_eq!(slips(&twice_a_day(&[&lost, &fading[..16], &fat[..16]])), []);
}

#[test]
fn clean_litters_give_no_alarm() {
    // Of 100,000 such litters that the limits were not set on, seven gave a false exchange and none
    // a false slip in value (measured once).
    let (mut marks, mut looks) = (0, 0);
    for seed in 0..200 {
        let clean = litter(seed, USUAL);
        assert_eq!(slips(&clean.lines), [], "litter {seed}");
        marks += clean.lines.iter().map(|l| l.marks.len()).sum::<usize>();
        // Every fifth litter is looked at after each of its weigh-ins, as its keeper would.
        for upto in (0..clean.newest).filter(|_| seed % 5 == 0) {
            let seen = |l: &WeightLine| WeightLine {
                marks: l
                    .marks
                    .iter()
                    .copied()
                    .filter(|m| m.weigh_in <= upto)
                    .collect(),
            };
            assert_eq!(
                slips(&clean.lines.iter().map(seen).collect::<Vec<_>>()),
                [],
                "litter {seed} at weigh-in {upto}"
            );
            looks += 1;
        }
    }
    println!(
        "clean: no alarm in 200 litters with {marks} weights, nor in {looks} looks at growing \
         litters"
    );
}

#[test]
fn a_poor_scale_and_many_fading_puppies_give_next_to_no_alarm() {
    let hard = Hardship {
        scale: 0.02,
        filling: 0.025,
        wriggling: 0.01,
        fading: 0.5,
    };
    let found: Vec<Slip> = (0..200)
        .flat_map(|seed| slips(&litter(10_000 + seed, hard).lines))
        .collect();
    assert!(
        found.len() <= 1 && found.iter().all(|s| matches!(s, Slip::Exchanged { .. })),
        "{found:?}"
    );
}

/// A litter with one exchange: weigh-in, lines, difference of their true weights (on the
/// logarithm).
fn with_exchange(seed: u64) -> Option<(SimulatedLitter, usize, [usize; 2], f64)> {
    let mut planted = litter(seed, USUAL);
    let dice = &mut Dice::new(seed ^ 0x00AB_CDEF);
    for _ in 0..50 {
        let weigh_in = if dice.chance(0.4) {
            planted.newest
        } else {
            dice.one_of(planted.newest + 1)
        };
        let (a, b) = (
            dice.one_of(planted.lines.len()),
            dice.one_of(planted.lines.len()),
        );
        let at = |l: usize| {
            planted.lines[l]
                .marks
                .iter()
                .position(|m| m.weigh_in == weigh_in)
                .filter(|_| planted.lines[l].marks.len() > 2)
        };
        let (Some(i), Some(j)) = (at(a), at(b)) else {
            continue;
        };
        let apart = (planted.truly[a][i] / planted.truly[b][j]).ln().abs();
        if a != b && apart >= 1.08_f64.ln() {
            let grams = planted.lines[a].marks[i].grams;
            planted.lines[a].marks[i].grams = planted.lines[b].marks[j].grams;
            planted.lines[b].marks[j].grams = grams;
            return Some((planted, weigh_in, [a.min(b), a.max(b)], apart));
        }
    }
    None
}

/// `birth`, `newest` or `between`, and days to the nearest other weight of the puppy.
fn place(line: &WeightLine, mark: usize) -> (&'static str, f64) {
    let days = |m: usize| line.marks[m].days;
    let before = if mark > 0 {
        days(mark) - days(mark - 1)
    } else {
        f64::INFINITY
    };
    let after = if mark + 1 < line.marks.len() {
        days(mark + 1) - days(mark)
    } else {
        f64::INFINITY
    };
    (
        if after.is_infinite() {
            "newest"
        } else if before.is_infinite() {
            "birth"
        } else {
            "between"
        },
        before.min(after),
    )
}

#[derive(Default, Clone, Copy)]
struct Rate {
    found: u32,
    of: u32,
}

impl Rate {
    fn count(&mut self, found: bool) {
        self.of += 1;
        self.found += u32::from(found);
    }

    fn share(self) -> f64 {
        f64::from(self.found) / f64::from(self.of)
    }
}

#[test]
fn planted_exchanges_are_found() {
    let mut rates: BTreeMap<(&str, &str, &str), Rate> = BTreeMap::new();
    let (mut wrong, mut planted_in) = (0, 0);
    for (planted, weigh_in, lines, apart) in (0..3000).filter_map(|n| with_exchange(1_000_000 + n))
    {
        planted_in += 1;
        let found = slips(&planted.lines);
        let right = found
            .iter()
            .filter(|s| exchange(weigh_in, lines, s))
            .count();
        wrong += found.len() - right;
        let band = if apart < 1.12_f64.ln() {
            " 8-12 %"
        } else if apart < 1.20_f64.ln() {
            "12-20 %"
        } else {
            "over 20 %"
        };
        let places = lines.map(|l| {
            place(
                &planted.lines[l],
                planted.lines[l]
                    .marks
                    .iter()
                    .position(|m| m.weigh_in == weigh_in)
                    .unwrap(),
            )
        });
        let often = if places.iter().all(|p| p.1 < 1.5) {
            "daily"
        } else {
            "seldom"
        };
        let end = places
            .iter()
            .map(|p| p.0)
            .find(|p| *p != "between")
            .unwrap_or("between");
        rates
            .entry((often, end, band))
            .or_default()
            .count(right == 1);
    }
    for ((often, end, band), rate) in &rates {
        // Measured once with these litters; a little less is asked for. Weights a week apart say
        // little, and that is as it should be.
        let floor = match (*often, *end, *band) {
            ("daily", "between", " 8-12 %") => 0.20,
            ("daily", "between", "12-20 %") => 0.70,
            ("daily", "between", _) => 0.97,
            ("daily", "newest", " 8-12 %") => 0.03,
            ("daily", "newest", "12-20 %") => 0.40,
            ("daily", "newest", _) => 0.92,
            ("daily", "birth", "over 20 %") => 0.75,
            ("seldom", "between", "over 20 %") => 0.55,
            _ => 0.0,
        };
        assert!(
            rate.share() >= floor,
            "{often}, {end}, {band}: {}",
            rate.share()
        );
        println!(
            "exchanged, weighed {often}, {end}, {band}: {:.0} % of {}",
            rate.share() * 100.0,
            rate.of
        );
    }
    assert!(
        planted_in >= 400 && wrong * 50 < planted_in,
        "{wrong} of {planted_in}"
    );
    println!("exchanged: {planted_in} planted, {wrong} wrong reports beside them");
}

/// One of eight usual slips, and what it makes of an honest weight.
fn slipped(n: usize, honest: f64, dice: &mut Dice) -> (&'static str, f64) {
    let text = format!("{honest:.0}");
    let digits: Vec<char> = text.chars().collect();
    let number = |digits: Vec<char>| {
        digits
            .into_iter()
            .collect::<String>()
            .parse::<f64>()
            .unwrap()
    };
    match n {
        0 => ("ten times too heavy", honest * 10.0),
        1 => ("ten times too light", honest / 10.0),
        2 => ("hundred times too light", honest / 100.0),
        3 => ("ounces as grams", (honest / OUNCE * 10.0).round() / 10.0),
        4 => ("grams as ounces", honest * OUNCE),
        5 => ("pounds as kilograms", honest / POUND * 1000.0),
        6 => {
            let mut rest = digits;
            rest.remove(dice.one_of(rest.len()));
            ("a digit left out", number(rest))
        }
        _ => {
            let mut swapped = digits;
            let place = 1 + dice.one_of(swapped.len() - 1);
            swapped.swap(place, place - 1);
            ("digits transposed", number(swapped))
        }
    }
}

#[test]
fn planted_slips_in_value_are_found_and_explained() {
    let mut rates: BTreeMap<(&str, &str), [Rate; 2]> = BTreeMap::new();
    let (mut wrong, mut planted_in) = (0, 0);
    for seed in 2_000_000..2_001_600 {
        let mut planted = litter(seed, USUAL);
        let dice = &mut Dice::new(seed);
        let line = dice.one_of(planted.lines.len());
        let count = planted.lines[line].marks.len();
        if count < 3 {
            continue;
        }
        let mark = if dice.chance(0.4) {
            count - 1
        } else {
            dice.one_of(count)
        };
        let honest = planted.lines[line].marks[mark].grams;
        let (kind, grams) = slipped(dice.one_of(8), honest, dice);
        if (grams / honest - 1.0).abs() < 0.3 || grams < 0.5 {
            continue;
        }
        planted_in += 1;
        planted.lines[line].marks[mark].grams = grams;
        let (end, gap) = place(&planted.lines[line], mark);
        let found = slips(&planted.lines);
        let hit = found.iter().find_map(|s| match s {
            Slip::Value {
                line: l,
                mark: m,
                likely_grams,
                ..
            } if (*l, *m) == (line, mark) => Some(*likely_grams),
            _ => None,
        });
        wrong += found.len() - usize::from(hit.is_some());
        if gap < 2.5 {
            let [all, right] = rates.entry((kind, end)).or_default();
            all.count(hit.is_some());
            if let Some(likely) = hit {
                right.count((likely / honest - 1.0).abs() < 0.08);
            }
        }
    }
    for ((kind, end), [all, right]) in &rates {
        if all.of >= 30 {
            let digits = kind.contains("digit");
            assert!(
                all.share() >= if digits { 0.90 } else { 0.97 }
                    && right.share() >= if digits { 0.78 } else { 0.94 },
                "{kind}, {end}"
            );
        }
        println!(
            "{kind}, {end}: {:.0} % of {} found, of these {:.0} % within 8 % of the truth",
            all.share() * 100.0,
            all.of,
            right.share() * 100.0
        );
    }
    assert!(planted_in >= 400 && wrong <= 5, "{wrong} of {planted_in}");
    println!("slips in value: {planted_in} planted, {wrong} wrong reports beside them");
}

#[test]
fn a_sudden_loss_in_the_newest_weight_is_hardly_ever_explained_away() {
    // An exchange with a littermate that lies just as far the other way by chance cannot be ruled
    // out: 4 in 12,000 litters with a loss of 12 %, 1 with 10 %, none with 8 % (measured once).
    for (loss, most) in [(0.96, 0), (0.92, 0), (0.88, 1)] {
        let mut explained = 0;
        for seed in 600_000..600_300 {
            let mut lost = litter(seed, USUAL);
            let line = Dice::new(seed).one_of(lost.lines.len());
            let Some(mark) = lost.lines[line].marks.last_mut() else {
                continue;
            };
            mark.grams = (mark.grams * loss).round();
            let newest = mark.weigh_in;
            for slip in slips(&lost.lines) {
                assert!(
                    matches!(slip, Slip::Exchanged { .. }),
                    "litter {seed}, line {line}, {loss}: {slip:?}"
                );
                explained += u32::from(
                    matches!(slip, Slip::Exchanged { weigh_in, .. } if weigh_in == newest),
                );
            }
        }
        assert!(explained <= most, "{loss}: {explained}");
    }
}

/// A simulated litter with an exchange and, in a third line, grams written as ounces.
fn with_both(seed: u64) -> Vec<WeightLine> {
    let Some((mut planted, weigh_in, lines, _)) = with_exchange(seed) else {
        return litter(seed, USUAL).lines;
    };
    for (index, line) in planted
        .lines
        .iter_mut()
        .enumerate()
        .filter(|(index, _)| !lines.contains(index))
    {
        if let Some(mark) = line
            .marks
            .iter_mut()
            .find(|m| m.weigh_in + index > weigh_in)
        {
            mark.grams /= OUNCE;
            break;
        }
    }
    planted.lines
}

/// What was found, in an order of its own and without the likelihoods: two lines or a line and a
/// mark, and which.
fn told(found: &[Slip], relabel: impl Fn(usize) -> usize) -> Vec<(usize, usize, usize)> {
    let mut told: Vec<_> = found
        .iter()
        .map(|slip| match *slip {
            Slip::Value { line, mark, .. } => (usize::MAX, relabel(line), mark),
            Slip::Exchanged {
                weigh_in,
                lines: [a, b],
                ..
            } => (
                weigh_in,
                relabel(a).min(relabel(b)),
                relabel(a).max(relabel(b)),
            ),
        })
        .collect();
    told.sort_unstable();
    told
}

/// The weigh-ins of a simulated litter after birth.
fn weigh_ins<'a>(litter: &SimulatedLitter, ids: &'a [Id]) -> Vec<Weighed<'a>> {
    let mut all: BTreeMap<usize, Weighed<'_>> = BTreeMap::new();
    for (line, id) in litter.lines.iter().zip(ids) {
        for mark in line.marks.iter().filter(|mark| mark.weigh_in > 0) {
            let weighed = all.entry(mark.weigh_in).or_insert((mark.days, Vec::new()));
            weighed.1.push((id, mark.grams));
        }
    }
    all.into_values().collect()
}

#[test]
fn a_weigh_in_of_another_day_is_told_and_no_honest_one_is() {
    let hard = Hardship {
        scale: 0.02,
        filling: 0.03,
        wriggling: 0.01,
        fading: 0.5,
    };
    let ids: Vec<Id> = ('a'..='z')
        .map(|c| format!("puppy-{c}").parse().unwrap())
        .collect();
    let (mut planted, mut told) = (0, 0);
    for seed in 0..600 {
        let litter_of = litter(seed, if seed % 2 == 0 { USUAL } else { hard });
        let mut all = weigh_ins(&litter_of, &ids);
        assert_eq!(off_their_day(&all), [], "litter {seed}");
        let dice = &mut Dice::new(seed);
        let Some(n) = (all.len() > 2).then(|| dice.one_of(all.len())) else {
            continue;
        };
        let written = all[n].0 + [-8.0, -5.0, 5.0, 8.0][dice.one_of(4)];
        let last = all.last().map_or(0.0, |(at, _)| *at);
        if !(1.0..last).contains(&written) || all[n].1.len() < 3 || all[n].0 > 28.0 {
            continue;
        }
        all[n].0 = written;
        all.sort_by(|one, other| one.0.total_cmp(&other.0));
        let found = off_their_day(&all);
        let is_right = |n: usize| all[n].0.total_cmp(&written).is_eq();
        assert!(found.iter().all(|(n, _)| is_right(*n)), "{seed}: {found:?}");
        planted += 1;
        told += found.len();
    }
    println!("of {planted} weigh-ins five or eight days off their day, {told} were told");
    assert!(planted > 100 && 2 * told > planted);
}

fn any_line() -> impl Strategy<Value = WeightLine> {
    let days =
        prop_oneof![8 => 0.0..60.0_f64, 4 => (0_u8..8).prop_map(f64::from), 1 => any::<f64>()];
    let grams = prop_oneof![
        8 => 50.0..5000.0_f64,
        4 => (1_u16..2000).prop_map(f64::from),
        1 => any::<f64>(),
        1 => Just(f64::MIN_POSITIVE),
        1 => Just(f64::MAX),
    ];
    let mark = (0_usize..8, days, grams).prop_map(|(weigh_in, days, grams)| WrittenWeight {
        weigh_in,
        days,
        grams,
    });
    prop::collection::vec(mark, 0..14).prop_map(|marks| WeightLine { marks })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_input_is_too_odd(lines in prop::collection::vec(any_line(), 0..7)) {
        for slip in slips(&lines) {
            match slip {
                Slip::Value {
                    line,
                    mark,
                    likely_grams,
                    times_likelier,
                    ..
                } => {
                    prop_assert!(
                        mark < lines[line].marks.len()
                            && likely_grams > 0.0
                            && (999.9..=MOST_LIKELIER).contains(&times_likelier)
                    );
                }
                Slip::Exchanged {
                    lines: [a, b],
                    times_likelier,
                    ..
                } => {
                    prop_assert!(
                        a < b
                            && b < lines.len()
                            && (999.9..=MOST_LIKELIER).contains(&times_likelier)
                    );
                }
            }
        }
    }

    #[test]
    fn the_order_of_the_lines_does_not_matter(
        seed in 0_u64..100_000,
        turn in 1_usize..10,
        mirrored in any::<bool>(),
    ) {
        let lines = with_both(seed);
        let count = lines.len();
        let from = |to: usize| {
            if mirrored {
                count - 1 - (to + turn) % count
            } else {
                (to + turn) % count
            }
        };
        let turned: Vec<WeightLine> = (0..count).map(|to| lines[from(to)].clone()).collect();
        prop_assert_eq!(
            told(&slips(&lines), |line| line),
            told(&slips(&turned), from)
        );
    }

    #[test]
    fn the_size_of_the_breed_does_not_matter(seed in 0_u64..100_000, factor in 0.5..2.0_f64) {
        // Digits do depend on the size of a number: none of these weights is in whole grams.
        let scaled = |factor: f64| {
            let mut lines = with_both(seed);
            lines
                .iter_mut()
                .flat_map(|l| &mut l.marks)
                .for_each(|m| m.grams *= factor * 0.987_123_456_7);
            told(&slips(&lines), |line| line)
        };
        prop_assert_eq!(scaled(1.0), scaled(factor));
    }
}
