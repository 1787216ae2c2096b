//! What was written down as illness and has not been closed yet.
//!
//! In: health entries of one animal. Out: [`Unwell`]: what was seen, which signs it fits, and how
//! urgent that is. An entry is closed by a later one that says that all is well, by a check that
//! names no such sign, or by time; how long is our own choice, since no source says it.

use super::Urgency;
use crate::husbandry::signs::{self, Fit, Sign, SignScope};
use crate::quantity::{Day, Moment, Text};
use crate::records::health::{Check, HealthEntry, Illness};
use crate::records::litter::Litter;

/// Illness that is open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unwell {
    /// What was noted, the worst first.
    pub noted: Vec<NotedIllness>,
    /// Days after which it ends by itself.
    pub stays: i64,
    /// Days after which a call is no more than a watch, where that is before it ends.
    pub call_days: Option<i64>,
}

/// One entry that says that an animal is unwell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotedIllness {
    /// Its day.
    pub day: Day,
    /// What was seen, as it was written.
    pub signs: Text,
    /// The signs of an emergency that it names.
    pub fits: Vec<Fit>,
    /// The last check since, which closed nothing: it was the keeper's own, or said that it is no
    /// better.
    pub looked: Option<LaterCheck>,
    /// Whether its own days are over, and nothing was written since that closes it.
    pub is_old: bool,
}

/// A check that closed nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LaterCheck {
    /// Its day.
    pub day: Day,
    /// Who looked.
    pub by: Option<Text>,
    /// What was found.
    pub said: Option<Text>,
}

impl Unwell {
    /// That of the worst sign, or the file where it was written down.
    pub(super) fn source(&self) -> &'static str {
        let worst = self.noted.first().and_then(|noted| noted.fits.first());
        worst.map_or("health.yaml", |fit| fit.sign.source)
    }
}

/// How long an entry stays by itself.
#[derive(Debug, Clone, Copy)]
pub(super) struct EntryDays {
    /// Days of a watch.
    pub(super) watch: i64,
    /// Days of a call.
    pub(super) call: i64,
    /// Days for which it is remembered, as a watch, that nothing closed it; none where that is
    /// less.
    pub(super) remembered: i64,
}

/// What a sign may depend on.
#[derive(Debug, Clone, Copy)]
pub(super) struct SignContext<'a> {
    /// The keeper's name: a check of the keeper's own is none by a vet.
    keeper: &'a str,
    birth: Option<Day>,
    /// Birth of the last puppy whose hour is known.
    last_born: Option<Moment>,
    mating: Option<Day>,
}

impl<'a> SignContext<'a> {
    /// That of a puppy.
    pub(super) fn of_puppy(keeper: &'a str) -> Self {
        Self {
            keeper,
            birth: None,
            last_born: None,
            mating: None,
        }
    }

    /// That of a dam.
    pub(super) fn of_dam(litter: &Litter, keeper: &'a str) -> Self {
        let birth = litter.birth.as_ref().map(|birth| birth.on);
        let born = litter.puppies.iter().filter_map(|p| litter.born_at(p));
        Self {
            keeper,
            birth,
            last_born: born.max(),
            mating: litter.mated.iter().max().copied(),
        }
    }

    /// Whether an entry was written after the last puppy was born; of the day of birth only where
    /// its hours are known.
    fn is_after_birth(&self, on: Written) -> bool {
        let Some(birth) = self.birth else {
            return false;
        };
        match (on.at, self.last_born) {
            (Some(at), Some(born)) => at > born,
            _ => on.day > birth,
        }
    }

    /// Whether more than so many hours have passed since the last puppy; without hours, whether as
    /// many days have passed and one more, so that it is sure.
    fn is_after_hours(&self, on: Written, hours: i64) -> bool {
        let Some(birth) = self.birth else {
            return false;
        };
        match (on.at, self.last_born) {
            (Some(at), Some(born)) => (at.local() - born.local()).num_minutes() > hours * 60,
            _ => on.day.since(birth) > hours / 24,
        }
    }

    /// Whether what was written then is part of labour: shortly before the last puppy was born,
    /// or, where that cannot be told or is to come, by its words.
    fn is_in_labour(&self, on: Written, text: &str) -> bool {
        match (self.birth, on.at, self.last_born) {
            (Some(_), Some(at), Some(born)) => {
                at <= born && born.day().since(on.day) <= LABOUR_DAYS
            }
            (Some(birth), ..) => {
                let before = birth.since(on.day);
                (1..=LABOUR_DAYS).contains(&before) || before == 0 && signs::is_labour(text)
            }
            (None, ..) => {
                let is_time = |mating: Day| on.day.since(mating) >= LABOUR_FROM;
                self.mating.is_none_or(is_time) && signs::is_labour(text)
            }
        }
    }
}

/// Days before the birth of which signs are those of labour; ours.
const LABOUR_DAYS: i64 = 2;
/// Days after the last mating from which labour is labour, and no loss of the litter: the handbooks
/// have births from day 57 on; ours.
const LABOUR_FROM: i64 = 55;

/// When an entry was written.
#[derive(Debug, Clone, Copy)]
struct Written {
    day: Day,
    at: Option<Moment>,
}

/// Illness that is open.
struct Noted<'a> {
    day: Day,
    illness: &'a Illness,
    /// The signs that it names, whether they count or not.
    named: Vec<Fit>,
    /// Those that count.
    fits: Vec<Fit>,
    /// A later check that closed nothing.
    looked: Option<LaterCheck>,
    /// Whether its own days are over.
    is_old: bool,
}

impl Noted<'_> {
    fn urgency(&self) -> Urgency {
        if self.fits.is_empty() || self.is_old {
            Urgency::Watch
        } else {
            Urgency::CallTheVet
        }
    }

    fn kept(self) -> NotedIllness {
        NotedIllness {
            day: self.day,
            signs: self.illness.signs.clone(),
            fits: self.fits,
            looked: self.looked,
            is_old: self.is_old,
        }
    }
}

/// All that is open, the worst first and of two the later, with how urgent that is.
pub(super) fn unwell<'a>(
    entries: impl Iterator<Item = &'a HealthEntry>,
    list: &'static [Sign],
    today: Day,
    since: SignContext<'_>,
    days: EntryDays,
) -> Option<(Urgency, Unwell)> {
    let mut noted = open(entries, list, today, since, days);
    noted.sort_by_key(|noted| std::cmp::Reverse((noted.urgency(), noted.day)));
    let urgency = noted.first()?.urgency();
    let own = match urgency {
        Urgency::CallTheVet => days.call,
        Urgency::Watch | Urgency::Steady => days.watch,
    };
    let stays = own.max(days.remembered);
    let call_days = (urgency == Urgency::CallTheVet && stays > own).then_some(own);
    let noted = noted.into_iter().map(Noted::kept).collect();
    let unwell = Unwell {
        noted,
        stays,
        call_days,
    };
    Some((urgency, unwell))
}

/// All that is open, in the order of time.
fn open<'a>(
    entries: impl Iterator<Item = &'a HealthEntry>,
    list: &'static [Sign],
    today: Day,
    since: SignContext<'_>,
    days: EntryDays,
) -> Vec<Noted<'a>> {
    let longest = days.watch.max(days.call).max(days.remembered);
    let mut recent: Vec<(Day, &HealthEntry)> = entries
        .filter_map(|entry| Some((entry.day()?, entry)))
        .filter(|(day, entry)| {
            (0..=longest).contains(&today.since(*day))
                && (entry.illness.is_some() || entry.check.is_some())
        })
        .collect();
    // The sort is stable: what has no time keeps its place in the file.
    recent.sort_by(|(a, one), (b, other)| {
        let times = one
            .at
            .zip(other.at)
            .map_or(std::cmp::Ordering::Equal, |(one, other)| one.cmp(&other));
        a.cmp(b).then(times)
    });
    let mut noted: Vec<Noted<'a>> = Vec::new();
    for (day, entry) in recent {
        match (&entry.illness, &entry.check) {
            (Some(illness), _) if signs::says_well(&illness.signs, list) => noted.clear(),
            (Some(illness), _) => {
                let on = Written { day, at: entry.at };
                let named = signs::read(&illness.signs, list);
                let mut fits = named.clone();
                fits.retain(|fit| counts(fit, &illness.signs, on, since, &noted));
                // What was labour is over with the birth.
                let was_labour = since.birth.is_some()
                    && since.is_in_labour(on, &illness.signs)
                    && signs::is_labour(&illness.signs);
                if fits.is_empty() && was_labour {
                    continue;
                }
                noted.push(Noted {
                    day,
                    illness,
                    named,
                    fits,
                    looked: None,
                    is_old: false,
                });
            }
            (None, Some(check)) if is_clear(check, list, since.keeper) => noted.clear(),
            (None, Some(check)) => {
                let looked = LaterCheck {
                    day,
                    by: check.by.clone(),
                    said: check.findings.clone(),
                };
                for noted in &mut noted {
                    noted.looked = Some(looked.clone());
                }
            }
            _ => {}
        }
    }
    for noted in &mut noted {
        let own = match noted.urgency() {
            Urgency::CallTheVet => days.call,
            Urgency::Watch | Urgency::Steady => days.watch,
        };
        noted.is_old = today.since(noted.day) > own;
    }
    noted.retain(|noted| !noted.is_old || today.since(noted.day) <= days.remembered);
    noted
}

/// Whether a sign counts that was written then.
fn counts(
    fit: &Fit,
    text: &str,
    on: Written,
    since: SignContext<'_>,
    before: &[Noted<'_>],
) -> bool {
    let day = on.day;
    match fit.sign.when {
        SignScope::Always => true,
        SignScope::AfterHours(hours) => since.is_after_hours(on, hours),
        SignScope::BeforeBirth => since.birth.is_none(),
        SignScope::NotInLabour => !since.is_in_labour(on, text),
        SignScope::AfterBirth(days) => {
            since.is_after_birth(on) && since.birth.is_some_and(|birth| day.since(birth) <= days)
        }
        SignScope::TwoDays => {
            let again = before.iter().any(|noted| {
                (1..=2).contains(&day.since(noted.day))
                    && noted.named.iter().any(|known| known.sign == fit.sign)
            });
            again || signs::has_lasted(text)
        }
        SignScope::AfterMating(from, to) => {
            since.birth.is_none_or(|birth| day < birth)
                && since
                    .mating
                    .is_some_and(|mating| (from..=to).contains(&day.since(mating)))
        }
    }
}

/// Whether a check closes what was noted before it: it names no sign that would be a call, is not
/// the keeper's own and does not say that it is no better; or it says that all is well.
fn is_clear(check: &Check, list: &'static [Sign], keeper: &str) -> bool {
    let mut said = check.said();
    let is_well = || {
        let findings = check.findings.as_ref();
        findings.is_some_and(|text| signs::says_well(text, list))
    };
    said.all(|text| signs::read(text, list).is_empty())
        && (signs::closes(check, keeper) || is_well())
}
