//! A bitch between litters: her seasons, the next one, days on which to sample, and the weeks after
//! a heat in which pyometra is to be thought of.
//!
//! In: her seasons as they were written, and the matings and litters of hers. Out: a [`Cycle`]. A
//! heat that nobody wrote down is counted back from ovulation, mating or birth, and says so. Her
//! own interval is given from two intervals on; until then the published range stands, and the
//! cycle says what would settle it.

use crate::cache::Computed;
use crate::quantity::{Day, Id};
use crate::records::dog::{Dog, Home, Season, Sex};
use crate::records::{LitterFolder, Records};
use std::collections::BTreeMap;
use std::ops::Index;

/// Days from the first bleeding to ovulation, by which a heat is counted back from a mating. Common
/// practice, no source.
const TO_OVULATION: i64 = 12;
/// Days from ovulation to birth.
const TO_BIRTH: i64 = 63;
/// How far a heat that is counted back may be off, days. Our own choice.
const DOUBT: i64 = 7;
/// A mating belongs to a season that began at most so many days before. Our own choice.
const WITHIN_SEASON: i64 = 45;
/// Two starts closer than this are one season that was split. Our own choice.
const ONE_SEASON: i64 = 100;
/// In a longer interval a season was probably not written down. Our own choice: bitches that come
/// in season once a year still count.
const LONGEST: i64 = 450;
/// Intervals from which on her own is given. Our own choice.
const FEWEST: usize = 2;
/// The least spread of her own interval to either side, days: two equal intervals are no proof that
/// she is regular. Our own choice.
const LEAST_SPREAD: i64 = 14;
/// Published interval between seasons: 5 to 10 months (handbooks), in days.
const PUBLISHED: (i64, i64) = (152, 304);
/// By how much an interval with a litter in it is longer, days: 52 in Labradors, 58 in German
/// Shepherds, 84 in Beagles (Linde-Forsberg and Wallen 1992, from its abstract); least, middle,
/// most.
const LONGER_AFTER_LITTER: (i64, i64, i64) = (52, 58, 84);
/// How long a season lasts whose end was not written down, days. Common practice, no source.
const LASTS: i64 = 21;
/// Pyometra comes most often 2 to 10 weeks after a heat (practices' pages), in days.
const PYOMETRA: (i64, i64) = (14, 70);
/// Day of a season on which the first progesterone sample is taken. Common practice, no source.
const FIRST_SAMPLE: i64 = 5;
/// Days from one sample to the next: only so is a rise known to the day.
pub const BETWEEN_SAMPLES: i64 = 2;
/// Days of a season on which bitches are mated, first and last. Common practice, no source.
const MATED_ON: (i64, i64) = (9, 15);

/// One heat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Heat {
    /// First day of bleeding.
    pub start: Day,
    /// Last day, where it was written.
    pub end: Option<Day>,
    /// Whether the start was written down; else it is counted back.
    pub recorded: bool,
    /// Day of ovulation, where it is known.
    pub ovulated: Option<Day>,
    /// What became of it.
    pub then: Then,
}

/// What became of a heat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Then {
    /// No litter, as far as is known.
    Nothing,
    /// She was mated, and it is not known yet whether she carries.
    Mated,
    /// She carries, or has whelped.
    Litter,
}

/// Something that cannot be said yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotKnown {
    /// Why.
    pub because: &'static str,
    /// What would settle it.
    pub settled_by: &'static str,
}

/// Her own interval between seasons without a litter, days from start to start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OwnInterval {
    /// Intervals it rests on.
    pub of: usize,
    /// The middle one.
    pub median: i64,
    /// The shortest.
    pub least: i64,
    /// The longest.
    pub most: i64,
    /// How far counted-back starts may be off, days.
    pub doubt: i64,
}

/// What the next season is expected from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Her own interval.
    Own,
    /// Her own intervals after litters.
    OwnAfterLitter,
    /// Her own interval, and what is published for after a litter.
    OwnAndLonger,
    /// The published range.
    Published,
    /// The published range, and what is published for after a litter.
    PublishedAndLonger,
}

/// The next season.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Next {
    /// First day.
    pub from: Day,
    /// Most likely day, where her own interval is known.
    pub likely: Option<Day>,
    /// Last day.
    pub to: Day,
    /// What it is expected from.
    pub basis: Basis,
}

/// Days on which to sample progesterone in a season that has begun.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sampling {
    /// The first sample.
    pub from: Day,
    /// The last, unless the rise came before.
    pub to: Day,
    /// Days of her earlier seasons on which she ovulated, counted from the first bleeding.
    pub ovulated_on: Vec<i64>,
}

/// Some days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// First day.
    pub from: Day,
    /// Last day.
    pub to: Day,
}

/// The seasons of one bitch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cycle {
    /// Her heats, the oldest first.
    pub heats: Vec<Heat>,
    /// Intervals that are too long to be one.
    pub missed: usize,
    /// Her own interval.
    pub own: Result<OwnInterval, NotKnown>,
    /// Her next season; nothing when she is spayed.
    pub next: Option<Result<Next, NotKnown>>,
    /// Days on which to sample, while she is in season and may be bred from.
    pub sampling: Option<Sampling>,
    /// The weeks after her latest heat in which pyometra is to be thought of, until they are over.
    pub pyometra: Option<Window>,
}

/// The seasons of several bitches. Who looks at those of one has read what is known of her, and of
/// no other.
#[derive(Debug)]
pub struct Cycles<'a> {
    records: &'a Records,
    bitches: BTreeMap<&'a Id, Computed<Cycle>>,
}

impl Cycles<'_> {
    /// The seasons of one.
    #[must_use]
    pub fn get(&self, bitch: &Id) -> Option<&Cycle> {
        let computed = self.bitches.get(bitch)?;
        Some(computed.get_or_init(|| {
            let litters: Vec<&LitterFolder> = self.records.litters_of(bitch).collect();
            cycle(&self.records.dogs[bitch], &litters, self.records.today)
        }))
    }

    /// Whether she is one of them.
    #[must_use]
    pub fn contains_key(&self, bitch: &Id) -> bool {
        self.bitches.contains_key(bitch)
    }

    /// The names of all.
    pub fn keys(&self) -> impl Iterator<Item = &Id> {
        self.bitches.keys().copied()
    }

    /// All with their seasons.
    pub fn iter(&self) -> impl Iterator<Item = (&Id, &Cycle)> {
        self.keys().filter_map(|id| Some((id, self.get(id)?)))
    }
}

impl Index<&Id> for Cycles<'_> {
    type Output = Cycle;

    fn index(&self, bitch: &Id) -> &Cycle {
        #[expect(clippy::expect_used, reason = "as any map it has those that it has")]
        self.get(bitch).expect("a bitch that lives here")
    }
}

/// The bitches that live here, each with her seasons.
#[must_use]
pub fn of_kennel(records: &Records) -> Cycles<'_> {
    let here = records
        .dogs
        .iter()
        .filter(|(_, dog)| dog.sex == Sex::Female && dog.home == Home::Here && dog.died.is_none());
    Cycles {
        records,
        bitches: here.map(|(id, _)| (id, Computed::new())).collect(),
    }
}

fn cycle(dog: &Dog, litters: &[&LitterFolder], today: Day) -> Cycle {
    let heats = heats(&dog.seasons, litters);
    let intervals = intervals(&heats);
    let own = own(&intervals);
    let last = heats.last().copied();
    let spayed = dog.neutered.is_some();
    Cycle {
        missed: heats
            .windows(2)
            .filter(|pair| pair[1].start.since(pair[0].start) > LONGEST)
            .count(),
        next: (!spayed).then(|| next(last, own, &intervals)),
        sampling: last
            .filter(|_| dog.can_breed())
            .and_then(|heat| sampling(heat, &heats, today)),
        pyometra: last
            .filter(|_| !spayed)
            .and_then(pyometra)
            .filter(|window| today <= window.to),
        own,
        heats,
    }
}

/// Heats that were written down, and those that a mating, an ovulation or a birth shows.
fn heats(seasons: &[Season], litters: &[&LitterFolder]) -> Vec<Heat> {
    let written = |Season {
                       start,
                       end,
                       remarks: _,
                   }: &Season| Heat {
        start: *start,
        end: *end,
        recorded: true,
        ovulated: None,
        then: Then::Nothing,
    };
    let mut heats: Vec<Heat> = seasons.iter().map(written).collect();
    for folder in litters {
        let litter = &folder.litter;
        let birth = litter.birth.as_ref().map(|birth| birth.on);
        let ovulated = litter.ovulated.or(litter.lh_surge.map(|day| day.plus(2)));
        let Some(middle) = ovulated
            .or(litter.mated.iter().min().copied())
            .or(birth.map(|day| day.plus(-TO_BIRTH)))
        else {
            continue;
        };
        let then = match &litter.counted {
            _ if birth.is_some() => Then::Litter,
            Some(counted) if counted.puppies > 0 => Then::Litter,
            Some(_) => Then::Nothing,
            None => Then::Mated,
        };
        let own = heats.iter_mut().filter(|heat| {
            heat.recorded && (0..=WITHIN_SEASON).contains(&middle.since(heat.start))
        });
        if let Some(heat) = own.max_by_key(|heat| heat.start) {
            heat.ovulated = heat.ovulated.or(ovulated);
            heat.then = heat.then.max(then);
        } else {
            heats.push(Heat {
                start: middle.plus(-TO_OVULATION),
                end: None,
                recorded: false,
                ovulated,
                then,
            });
        }
    }
    heats.sort_by_key(|heat| (heat.start, heat.recorded));
    let mut whole: Vec<Heat> = Vec::new();
    for heat in heats {
        match whole
            .last_mut()
            .filter(|before| heat.start.since(before.start) < ONE_SEASON)
        {
            Some(before) => {
                *before = Heat {
                    then: before.then.max(heat.then),
                    ..heat
                }
            }
            None => whole.push(heat),
        }
    }
    whole
}

/// From the start of one heat to that of the next.
#[derive(Debug, Clone, Copy)]
struct Interval {
    days: i64,
    after_litter: bool,
    doubt: i64,
}

fn doubt(heat: &Heat) -> i64 {
    if heat.recorded { 0 } else { DOUBT }
}

fn intervals(heats: &[Heat]) -> Vec<Interval> {
    let between = |pair: &[Heat]| Interval {
        days: pair[1].start.since(pair[0].start),
        after_litter: pair[0].then == Then::Litter,
        doubt: doubt(&pair[0]) + doubt(&pair[1]),
    };
    heats
        .windows(2)
        .map(between)
        .filter(|interval| interval.days <= LONGEST)
        .collect()
}

fn middle_of(intervals: &[Interval], after_litter: bool) -> Option<OwnInterval> {
    let mut of: Vec<&Interval> = intervals
        .iter()
        .filter(|interval| interval.after_litter == after_litter)
        .collect();
    of.sort_by_key(|interval| interval.days);
    let (least, most) = (of.first()?.days, of.last()?.days);
    // Of an even number the mean of the middle two.
    let median = i64::midpoint(of[(of.len() - 1) / 2].days, of[of.len() / 2].days);
    let doubt = of.iter().map(|interval| interval.doubt).max().unwrap_or(0);
    (of.len() >= FEWEST).then_some(OwnInterval {
        of: of.len(),
        median,
        least,
        most,
        doubt,
    })
}

fn own(intervals: &[Interval]) -> Result<OwnInterval, NotKnown> {
    middle_of(intervals, false).ok_or(NotKnown {
        because: "fewer than two intervals without a litter between them are on record",
        settled_by: "the first day of each season, under `seasons` in her file",
    })
}

fn next(
    last: Option<Heat>,
    own: Result<OwnInterval, NotKnown>,
    intervals: &[Interval],
) -> Result<Next, NotKnown> {
    let last = last.ok_or(NotKnown {
        because: "no season, mating or litter of hers is on record",
        settled_by: "the first day of her latest season, under `seasons` in her file",
    })?;
    let start = last.start;
    let by = |OwnInterval {
                  of: _,
                  median,
                  least,
                  most,
                  doubt: of_interval,
              }: OwnInterval,
              basis| {
        let doubt = of_interval.max(doubt(&last));
        let (from, to) = (
            (least - doubt).min(median - LEAST_SPREAD),
            (most + doubt).max(median + LEAST_SPREAD),
        );
        Next {
            from: start.plus(from),
            likely: Some(start.plus(median)),
            to: start.plus(to),
            basis,
        }
    };
    let published = || Next {
        from: start.plus(PUBLISHED.0 - doubt(&last)),
        likely: None,
        to: start.plus(PUBLISHED.1 + doubt(&last)),
        basis: Basis::Published,
    };
    let without = own.map_or_else(|_| published(), |own| by(own, Basis::Own));
    // As long as she may carry, she is expected to.
    if last.then == Then::Nothing {
        return Ok(without);
    }
    if let Some(after) = middle_of(intervals, true) {
        return Ok(by(after, Basis::OwnAfterLitter));
    }
    let (least, middle, most) = LONGER_AFTER_LITTER;
    let Next {
        from,
        likely,
        to,
        basis,
    } = without;
    let basis = if basis == Basis::Own {
        Basis::OwnAndLonger
    } else {
        Basis::PublishedAndLonger
    };
    Ok(Next {
        from: from.plus(least),
        likely: likely.map(|day| day.plus(middle)),
        to: to.plus(most),
        basis,
    })
}

/// Whether a heat that was written down goes on.
fn goes_on(heat: &Heat, today: Day) -> bool {
    heat.recorded && heat.start <= today && today <= heat.end.unwrap_or(heat.start.plus(LASTS))
}

fn sampling(heat: Heat, heats: &[Heat], today: Day) -> Option<Sampling> {
    if !goes_on(&heat, today) || heat.ovulated.is_some() || heat.then == Then::Litter {
        return None;
    }
    let before = heats
        .iter()
        .filter(|before| before.recorded && before.start < heat.start);
    let ovulated_on: Vec<i64> = before
        .filter_map(|before| Some(before.ovulated?.since(before.start)))
        .collect();
    // If she once ovulated early, sampling begins earlier.
    let first = ovulated_on
        .iter()
        .map(|day| day - FIRST_SAMPLE)
        .fold(FIRST_SAMPLE, i64::min)
        .max(1);
    Some(Sampling {
        from: heat.start.plus(first),
        to: heat.start.plus(LASTS),
        ovulated_on,
    })
}

/// From two weeks after the end of a heat to ten. A bitch that carries or has whelped has other
/// dangers, which are watched elsewhere.
fn pyometra(heat: Heat) -> Option<Window> {
    let end = heat.end.unwrap_or(heat.start.plus(LASTS));
    let doubt = doubt(&heat);
    (heat.then != Then::Litter).then(|| Window {
        from: end.plus(PYOMETRA.0 - doubt),
        to: end.plus(PYOMETRA.1 + doubt),
    })
}

/// On which days she might be mated next, and whether they rest on her seasons; else they are
/// today.
#[must_use]
pub fn mating_days(cycle: Option<&Cycle>, today: Day) -> (Window, bool) {
    let unknown = (
        Window {
            from: today,
            to: today,
        },
        false,
    );
    let Some(cycle) = cycle else { return unknown };
    if let Some(heat) = cycle
        .heats
        .last()
        .filter(|heat| goes_on(heat, today) && heat.then == Then::Nothing)
    {
        let to = heat.start.plus(MATED_ON.1).max(today);
        return (
            Window {
                from: heat.start.plus(MATED_ON.0).max(today).min(to),
                to,
            },
            true,
        );
    }
    match cycle.next {
        Some(Ok(next)) if next.to >= today => (
            Window {
                from: next.from.plus(MATED_ON.0).max(today),
                to: next.to.plus(MATED_ON.1),
            },
            true,
        ),
        _ => unknown,
    }
}

/// Something about a bitch that stands on the round, below the tasks: it is to be kept in mind, not
/// to be ticked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeasonNote {
    /// The bitch.
    pub dog: Id,
    /// What.
    pub what: NoteKind,
    /// First day.
    pub from: Day,
    /// Last day.
    pub to: Day,
}

/// What is to be kept in mind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoteKind {
    /// She is in season: samples, if she is to be mated.
    Sampling,
    /// Pyometra is to be thought of.
    Pyometra,
    /// Her season may begin.
    SeasonExpected,
}

/// What is to be kept in mind between today and another day.
#[must_use]
pub fn notes<'a>(
    cycles: impl IntoIterator<Item = (&'a Id, &'a Cycle)>,
    today: Day,
    last: Day,
) -> Vec<SeasonNote> {
    let mut notes = Vec::new();
    for (dog, cycle) in cycles {
        let mut open = |what, from: Day, to: Day| {
            if from <= last && to >= today {
                notes.push(SeasonNote {
                    dog: dog.clone(),
                    what,
                    from,
                    to,
                });
            }
        };
        if let Some(Sampling {
            from,
            to,
            ovulated_on: _,
        }) = cycle.sampling
        {
            open(NoteKind::Sampling, from, to);
        }
        if let Some(Window { from, to }) = cycle.pyometra {
            open(NoteKind::Pyometra, from, to);
        }
        // The published range is half a year wide: that is no news.
        if let Some(Ok(Next {
            from,
            likely: Some(_),
            to,
            basis: _,
        })) = cycle.next
        {
            open(NoteKind::SeasonExpected, from, to);
        }
    }
    notes
}

#[cfg(test)]
mod tests;
