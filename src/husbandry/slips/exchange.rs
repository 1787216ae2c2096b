//! Two puppies' weights exchanged in one weigh-in.
//!
//! In: the curves, without the marks that stand apart. Out: exchanges. What all puppies share in a
//! weigh-in (a feed, another scale, a litter that stands still) is taken out first; then each
//! two weights are compared as written and exchanged. The likeliest exchange is put right in the
//! copy that is searched before the next is looked for, so that it does not spoil the forecasts
//! of its neighbours. A rotation of three is not looked for.

use super::curve::{Curves, median, surprise};
use super::{MOST_LIKELIER, Slip};

/// Least likelihood ratio of any exchange.
pub const LEAST: f64 = 1000.0;
/// The least for a weight between others, for each puppy of the litter. Say that one weigh-in in
/// 200 has an exchange (our guess): in a litter of six a given pair then has a chance of 1 in
/// 3,000, and an exchange that just passes is four times likelier than none. The more puppies, the
/// more of them can be taken for each other by chance; in simulated litters false alarms grew with
/// the number of puppies rather than with that of pairs.
pub const BETWEEN: f64 = 2000.0;
/// The same for the first or the newest weight. There the forecast is less sure than simulated
/// litters would have it, so the ratio is understated.
pub const AT_AN_END: f64 = 400.0;
/// How far, in standard deviations, an exchanged weight may lie from its new curve …
pub const FITS: f64 = 3.0;
/// … or this share of how far it lay from its own, as weights that differ much need not fit to the
/// gram.
pub const FITS_PART: f64 = 0.5;
/// The most exchanges that are looked for in a litter. A record with more is not what we think it
/// is.
pub const MOST: usize = 40;
/// How many deviations of the usual size are taken as seen before any: few weights say little about
/// how much a litter scatters.
pub const SEEN_BEFORE: f64 = 40.0;
/// The least and the most that a litter is believed to scatter, against the usual.
pub const SCALE: [f64; 2] = [0.7, 2.5];
/// Two readings of a line are equally smooth when they differ by less (a logarithm of likelihood).
pub const EQUAL: f64 = 0.7;
/// A normal distribution's standard deviation by its median deviation.
pub const NORMAL: f64 = 1.482_602_218_505_602;

/// What was found.
pub(super) struct Exchanges {
    pub(super) slips: Vec<Slip>,
    /// The marks of them.
    pub(super) marks: Vec<usize>,
}

/// One mark against its forecast.
#[derive(Clone, Copy)]
struct Judged {
    /// Logarithm of the written weight, less the forecast, less what all share.
    off: f64,
    /// What all puppies of the weigh-in share.
    shared: f64,
    /// Standard deviation; infinite when there is no forecast.
    sd: f64,
    /// How many marks the forecast rests on.
    marks: usize,
    both_sides: bool,
}

/// All marks against their forecasts.
struct Judgement {
    marks: Vec<Judged>,
    /// How much more, or less, the weights of this litter scatter than is usual.
    scale: f64,
}

/// Two marks of one weigh-in that fit better exchanged.
#[derive(Clone, Copy)]
struct Candidate {
    marks: [usize; 2],
    /// Logarithm of the likelihood ratio.
    gain: f64,
}

/// Finds all exchanges, and puts the weights right in the curves.
pub(super) fn find(curves: &mut Curves) -> Exchanges {
    let mut found = Exchanges {
        slips: Vec::new(),
        marks: Vec::new(),
    };
    if curves.lines() < 2 {
        return found;
    }
    let mut judgement = Judgement {
        marks: Vec::with_capacity(curves.len()),
        scale: 1.0,
    };
    while found.slips.len() < MOST {
        judge(curves, &mut judgement);
        let candidates = passing(curves, &judgement, &found.marks);
        let Some(Candidate {
            marks: [a, b],
            gain,
        }) = best(curves, &judgement, &candidates)
        else {
            break;
        };
        curves.log.swap(a, b);
        curves.sound[a] = true;
        curves.sound[b] = true;
        found.marks.extend([a, b]);
        found.slips.push(Slip::Exchanged {
            weigh_in: curves.weigh_in[a],
            lines: lines_of(curves, [a, b]),
            times_likelier: gain.exp().min(MOST_LIKELIER),
        });
    }
    found
}

/// Holds every mark against its forecast.
fn judge(curves: &Curves, judgement: &mut Judgement) {
    let judged = &mut judgement.marks;
    judged.clear();
    for line in 0..curves.lines() {
        let marks = curves.marks(line);
        judged.extend(marks.clone().map(|mark| {
            curves.forecast(&marks, mark).map_or(
                Judged {
                    off: 0.0,
                    shared: 0.0,
                    sd: f64::INFINITY,
                    marks: 0,
                    both_sides: false,
                },
                |f| Judged {
                    off: curves.log[mark] - f.log,
                    shared: 0.0,
                    sd: f.sd,
                    marks: f.marks,
                    both_sides: f.both_sides,
                },
            )
        }));
    }
    let mut offs: Vec<f64> = Vec::with_capacity(curves.lines() + 1);
    for group in curves.weigh_ins() {
        offs.clear();
        offs.extend(
            group
                .iter()
                .filter(|mark| judged[**mark].marks > 0)
                .map(|mark| judged[*mark].off),
        );
        let shared = shared(&mut offs);
        for mark in group {
            judged[*mark].off -= shared;
            judged[*mark].shared = shared;
        }
    }
    let scale = scale(curves, judged);
    for one in judged.iter_mut() {
        one.sd *= scale;
    }
    judgement.scale = scale;
}

/// What all puppies of a weigh-in share: the median of their deviations and of none at all, so that
/// of two puppies one that has lost much does not seem to take the other along.
fn shared(offs: &mut Vec<f64>) -> f64 {
    if offs.len() < 2 {
        return 0.0;
    }
    offs.push(0.0);
    median(offs).unwrap_or(0.0)
}

/// How much more, or less, the weights of this litter scatter than is usual, from the median of all
/// deviations.
#[expect(clippy::cast_precision_loss, reason = "a litter has few weights")]
fn scale(curves: &Curves, judged: &[Judged]) -> f64 {
    let used = judged
        .iter()
        .zip(&curves.sound)
        .filter(|(one, sound)| **sound && one.marks > 1);
    let mut z: Vec<f64> = used.map(|(one, _)| (one.off / one.sd).abs()).collect();
    if z.is_empty() {
        return 1.0;
    }
    let (count, middle) = (z.len() as f64, z.len() / 2);
    // Among few weights one exchange spoils most forecasts: what is seen is bounded before it is
    // averaged.
    let seen =
        (NORMAL * *z.select_nth_unstable_by(middle, f64::total_cmp).1).clamp(SCALE[0], SCALE[1]);
    ((seen * seen * count + SEEN_BEFORE) / (count + SEEN_BEFORE)).sqrt()
}

/// All exchanges that pass, between marks that are not settled.
#[expect(clippy::cast_precision_loss, reason = "a litter has few puppies")]
fn passing(curves: &Curves, judgement: &Judgement, settled: &[usize]) -> Vec<Candidate> {
    let judged = &judgement.marks;
    let puppies = curves.lines() as f64;
    let between = (puppies * BETWEEN).ln();
    let at_an_end = (puppies * AT_AN_END).max(LEAST).ln();
    // One of two exchanged weights is too heavy for its puppy and the other too light; most
    // weigh-ins have no such two.
    let odd = |mark: usize| judged[mark].off.abs() > judged[mark].sd;
    let mut passing = Vec::new();
    for group in curves.weigh_ins() {
        for (index, &a) in group.iter().enumerate().filter(|(_, a)| odd(**a)) {
            for &b in group[index + 1..]
                .iter()
                .filter(|b| odd(**b) && judged[**b].off * judged[a].off < 0.0)
            {
                let Some(gain) = gain(curves, judged, a, b) else {
                    continue;
                };
                let least = if judged[a].both_sides && judged[b].both_sides {
                    between
                } else {
                    at_an_end
                };
                if gain >= least && !settled.contains(&a) && !settled.contains(&b) {
                    passing.push(Candidate {
                        marks: [a, b],
                        gain,
                    });
                }
            }
        }
    }
    passing
}

/// Logarithm of how many times likelier two weights are exchanged than as written; nothing unless
/// each of them fits its new curve, and better than its own.
fn gain(curves: &Curves, judged: &[Judged], a: usize, b: usize) -> Option<f64> {
    let apart = curves.log[b] - curves.log[a];
    let now = [judged[a].off / judged[a].sd, judged[b].off / judged[b].sd];
    let then = [
        (judged[a].off + apart) / judged[a].sd,
        (judged[b].off - apart) / judged[b].sd,
    ];
    let fits = |side: usize| {
        then[side].abs() < now[side].abs()
            && then[side].abs() <= FITS.max(now[side].abs() * FITS_PART)
    };
    (fits(0) && fits(1) && curves.place(a).0 != curves.place(b).0)
        .then(|| surprise(now[0]) + surprise(now[1]) - surprise(then[0]) - surprise(then[1]))
}

/// The likeliest exchange. An exchange makes its neighbours look odd too, above all where weights
/// are few: of all that pass between the same two puppies, the one after which both lines are
/// smoothest is taken, and of equals the latest, as those puppies may still be weighed again.
fn best(curves: &mut Curves, judgement: &Judgement, candidates: &[Candidate]) -> Option<Candidate> {
    let likeliest = candidates
        .iter()
        .max_by(|one, other| one.gain.total_cmp(&other.gain))?;
    let lines = lines_of(curves, likeliest.marks);
    let mut best: Option<(f64, Candidate)> = None;
    for candidate in candidates {
        if lines_of(curves, candidate.marks) == lines {
            let rough = rough_after(curves, judgement, lines, candidate.marks);
            if best.is_none_or(|(least, _)| rough <= least + EQUAL) {
                best = Some((rough, *candidate));
            }
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// How badly the marks of two lines fit their forecasts once two of them are exchanged.
fn rough_after(
    curves: &mut Curves,
    judgement: &Judgement,
    lines: [usize; 2],
    [a, b]: [usize; 2],
) -> f64 {
    curves.log.swap(a, b);
    let sound = [
        std::mem::replace(&mut curves.sound[a], true),
        std::mem::replace(&mut curves.sound[b], true),
    ];
    let mut rough = 0.0;
    for marks in lines.map(|line| curves.marks(line)) {
        for mark in marks.clone().filter(|mark| curves.sound[*mark]) {
            let forecast = curves.forecast(&marks, mark);
            rough += forecast.map_or(0.0, |f| {
                surprise(
                    (curves.log[mark] - f.log - judgement.marks[mark].shared)
                        / (f.sd * judgement.scale),
                )
            });
        }
    }
    curves.log.swap(a, b);
    [curves.sound[a], curves.sound[b]] = sound;
    rough
}

/// The lines of two marks, the lower first.
fn lines_of(curves: &Curves, [a, b]: [usize; 2]) -> [usize; 2] {
    let (one, other) = (curves.place(a).0, curves.place(b).0);
    [one.min(other), one.max(other)]
}
