//! What was written down as illness and has not been closed yet.
//!
//! In: what was written of one animal. Out: [`Unwell`]: what was seen, which signs it fits, and how
//! urgent that is. An entry is closed by a later one that says that all is well, or by a check that
//! names no such sign. What nobody closed is asked about when its own days are over, and forgotten
//! later; how long is our own choice, since no source says it. A remark, and what keepers found
//! themselves, are read as well: they speak only where they name a sign.

mod written;

pub(super) use written::{AllSaid, of_dam, of_puppy};

use super::Urgency;
use crate::quantity::{Day, Moment, Text};
use crate::records::health::Check;
use crate::records::litter::Litter;
use crate::signs::{self, Fit, Sign, SignScope};
use written::{Said, SaidWhat};

/// Illness that is open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unwell {
    /// What was noted, the worst first.
    pub noted: Vec<NotedIllness>,
    /// Days after which it ends by itself.
    pub stays: i64,
    /// Days after which it is no more than a question how it ended; nothing where it is that
    /// already, or ends by then.
    pub asked_after: Option<i64>,
    /// Whether that is all that is left of it: a question how it ended.
    pub is_question: bool,
}

/// One entry that says that an animal is unwell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotedIllness {
    /// Its day.
    pub day: Day,
    /// What was seen, as it was written.
    pub signs: Text,
    /// Where it was written.
    pub place: SaidIn,
    /// The signs of an emergency that it names.
    pub fits: Vec<Fit>,
    /// The last check since, which closed nothing: it was the keeper's own, or said that it is no
    /// better.
    pub looked: Option<LaterCheck>,
    /// Whether its own days are over, and nothing was written since that closes it.
    pub is_old: bool,
}

/// Where a sign was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SaidIn {
    /// In an entry that says that the animal is unwell.
    Illness,
    /// In a check that the keeper made.
    OwnCheck,
    /// In a check by a vet, who has decided what is to be done.
    VetCheck,
    /// In a remark about this animal.
    Remark,
    /// In a remark about several, which does not say whom it means.
    SharedRemark,
    /// In what was remarked on a newborn, who may be well by now.
    Birth,
}

impl SaidIn {
    /// Whether it speaks only where it names a sign.
    fn is_remark(self) -> bool {
        matches!(self, Self::Remark | Self::SharedRemark | Self::Birth)
    }

    /// Whether it is no call: it may be about another animal or be over, or a vet knows of it.
    fn is_unsure(self) -> bool {
        matches!(self, Self::SharedRemark | Self::Birth | Self::VetCheck)
    }
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
    /// Days until which it is asked how a watch ended.
    pub(super) watch_asked: i64,
    /// Days until which it is asked how a call ended.
    pub(super) call_asked: i64,
}

impl EntryDays {
    /// The days of its own, and those until which it is asked about.
    fn of(self, urgency: Urgency) -> (i64, i64) {
        match urgency {
            Urgency::CallTheVet => (self.call, self.call_asked.max(self.call)),
            Urgency::Watch | Urgency::Steady => (self.watch, self.watch_asked.max(self.watch)),
        }
    }
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
    fn is_after_birth(&self, on: SaidAt) -> bool {
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
    fn is_after_hours(&self, on: SaidAt, hours: i64) -> bool {
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
    fn is_in_labour(&self, on: SaidAt, text: &str) -> bool {
        match (self.birth, on.at, self.last_born) {
            (Some(_), Some(at), Some(born)) => {
                at <= born && born.day().since(on.day) <= LABOUR_DAYS
            }
            (Some(birth), ..) => {
                let before = birth.since(on.day);
                (1..=LABOUR_DAYS).contains(&before) || before == 0 && signs::is_labour(text)
            }
            (None, ..) => self.may_be_labour(on) && signs::is_labour(text),
        }
    }

    /// Whether it is late enough after the mating for a birth.
    fn may_be_labour(&self, on: SaidAt) -> bool {
        let is_time = |mating: Day| on.day.since(mating) >= LABOUR_FROM;
        self.mating.is_none_or(is_time)
    }

    /// Whether birth may have been going on when it was written, and no puppy came since. Of the
    /// day of a birth without hours that cannot be told: then it is so as long as that day or the
    /// next is today.
    fn may_go_on(&self, on: SaidAt, today: Day) -> bool {
        let Some(birth) = self.birth else {
            return self.may_be_labour(on);
        };
        match (on.at, self.last_born) {
            (Some(at), Some(born)) => at >= born && on.day.since(birth) <= LABOUR_LASTS,
            _ if on.day == birth => today.since(birth) <= LABOUR_LASTS,
            _ => (1..=LABOUR_LASTS).contains(&on.day.since(birth)),
        }
    }
}

/// Days before the birth of which signs are those of labour; ours.
const LABOUR_DAYS: i64 = 2;
/// Days after that of the birth on which another puppy may still come; ours.
const LABOUR_LASTS: i64 = 1;
/// Days after the last mating from which labour is labour, and no loss of the litter: the handbooks
/// have births from day 57 on; ours.
const LABOUR_FROM: i64 = 55;

/// When something was written.
#[derive(Debug, Clone, Copy)]
struct SaidAt {
    day: Day,
    at: Option<Moment>,
}

/// Illness that is open.
struct OpenIllness<'a> {
    day: Day,
    text: &'a Text,
    place: SaidIn,
    /// The signs that it names, whether they count or not.
    named: Vec<Fit>,
    /// Those that count.
    fits: Vec<Fit>,
    /// A later check that closed nothing.
    looked: Option<LaterCheck>,
    /// Whether its own days are over.
    is_old: bool,
}

impl OpenIllness<'_> {
    fn urgency(&self) -> Urgency {
        if self.is_old {
            Urgency::Watch
        } else {
            self.own_urgency()
        }
    }

    /// How urgent it was in its own days.
    fn own_urgency(&self) -> Urgency {
        if self.fits.is_empty() || self.place.is_unsure() {
            Urgency::Watch
        } else {
            Urgency::CallTheVet
        }
    }

    /// Its own days, and those until which it is asked about. Nobody is asked about what is unsure,
    /// or about a remark that would count on a second day only.
    fn days(&self, days: EntryDays) -> (i64, i64) {
        match days.of(self.own_urgency()) {
            (own, _) if self.place.is_unsure() => (own, own),
            (own, _) if self.place.is_remark() && self.fits.is_empty() => (own, own),
            both => both,
        }
    }

    fn kept(self) -> NotedIllness {
        NotedIllness {
            day: self.day,
            signs: self.text.clone(),
            place: self.place,
            fits: self.fits,
            looked: self.looked,
            is_old: self.is_old,
        }
    }
}

/// All that is open, the worst first and of two the later, with how urgent that is.
pub(super) fn unwell(
    written: AllSaid<'_>,
    list: &'static [Sign],
    today: Day,
    since: SignContext<'_>,
    days: EntryDays,
) -> Option<(Urgency, Unwell)> {
    let mut noted = open(written, list, today, since, days);
    noted.sort_by_key(|noted| {
        std::cmp::Reverse((
            noted.urgency(),
            !noted.is_old,
            noted.own_urgency(),
            noted.day,
        ))
    });
    let first = noted.first()?;
    let urgency = first.urgency();
    let (own, stays) = first.days(days);
    let is_question = first.is_old;
    let asked_after = (!is_question && stays > own).then_some(own);
    let noted = noted.into_iter().map(OpenIllness::kept).collect();
    let unwell = Unwell {
        noted,
        stays,
        asked_after,
        is_question,
    };
    Some((urgency, unwell))
}

/// All that is open, in the order of time.
fn open<'a>(
    written: AllSaid<'a>,
    list: &'static [Sign],
    today: Day,
    since: SignContext<'_>,
    days: EntryDays,
) -> Vec<OpenIllness<'a>> {
    let longest = [days.watch, days.call, days.watch_asked, days.call_asked];
    let longest = longest.into_iter().max().unwrap_or_default();
    let recent = written
        .in_order()
        .into_iter()
        .filter(|said| (0..=longest).contains(&today.since(said.day)));
    let mut noted: Vec<OpenIllness<'a>> = Vec::new();
    for Said { day, at, what } in recent {
        let on = SaidAt { day, at };
        let mut beside = None;
        let (text, place) = match what {
            SaidWhat::Illness(signs) if signs::says_well(signs, list) => {
                noted.clear();
                continue;
            }
            SaidWhat::Illness(signs) => (signs, SaidIn::Illness),
            SaidWhat::Check(check) if is_clear(check, list, since.keeper) => {
                noted.clear();
                continue;
            }
            SaidWhat::Check(check) => {
                let found = check.findings.as_ref();
                match found.filter(|found| !signs::read(found, list).is_empty()) {
                    Some(found) if signs::is_own(check, since.keeper) => (found, SaidIn::OwnCheck),
                    Some(found) if noted.is_empty() => (found, SaidIn::VetCheck),
                    _ => {
                        look_at(&mut noted, day, check);
                        continue;
                    }
                }
            }
            SaidWhat::Remark {
                text,
                about,
                is_shared,
            } => {
                beside = about;
                let place = if is_shared {
                    SaidIn::SharedRemark
                } else {
                    SaidIn::Remark
                };
                (text, place)
            }
            SaidWhat::Born(text) => (text, SaidIn::Birth),
        };
        let named = match beside {
            Some(about) => signs::read(&format!("{about}: {text}"), list),
            None => signs::read(text, list),
        };
        let mut fits = named.clone();
        fits.retain(|fit| counts(fit, text, on, place, since, &noted, today));
        // What was labour is over with the birth.
        let was_labour =
            since.birth.is_some() && since.is_in_labour(on, text) && signs::is_labour(text);
        // A remark that names no sign says nothing; one that counts on the second day is kept for
        // that.
        let may_count = |fit: &Fit| fit.sign.when == SignScope::TwoDays;
        let says_nothing = place.is_remark() && !named.iter().any(may_count);
        if fits.is_empty() && (was_labour || says_nothing) {
            continue;
        }
        noted.push(OpenIllness {
            day,
            text,
            place,
            named,
            fits,
            looked: None,
            is_old: false,
        });
    }
    for noted in &mut noted {
        noted.is_old = today.since(noted.day) > noted.days(days).0;
    }
    noted.retain(|noted| today.since(noted.day) <= noted.days(days).1);
    noted
}

/// What was noted before a check that closed nothing is told with it.
fn look_at(noted: &mut [OpenIllness<'_>], day: Day, check: &Check) {
    let looked = LaterCheck {
        day,
        by: check.by.clone(),
        said: check.findings.clone(),
    };
    for noted in noted {
        noted.looked = Some(looked.clone());
    }
}

/// Whether a sign counts that was written then.
fn counts(
    fit: &Fit,
    text: &str,
    on: SaidAt,
    place: SaidIn,
    since: SignContext<'_>,
    before: &[OpenIllness<'_>],
    today: Day,
) -> bool {
    let day = on.day;
    match fit.sign.when {
        SignScope::Always => true,
        SignScope::AfterHours(hours) => since.is_after_hours(on, hours),
        SignScope::BeforeBirth => since.birth.is_none(),
        SignScope::InLabour => since.may_go_on(on, today),
        // Beside a temperature in the days of birth, panting is what is waited for.
        SignScope::NotInLabour if place != SaidIn::Illness && since.birth.is_none() => {
            !since.may_be_labour(on)
        }
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
            // A clear discharge, thirst or a lost meal are usual in a bitch in whelp: nobody who
            // only remarked on it was worried.
            !place.is_remark()
                && since.birth.is_none_or(|birth| day < birth)
                && since
                    .mating
                    .is_some_and(|mating| (from..=to).contains(&day.since(mating)))
        }
    }
}

/// Whether a check closes what was noted before it: it names no sign that would be a call, is not
/// the keeper's own and does not say that it is no better; or it says that all is well.
pub(super) fn is_clear(check: &Check, list: &'static [Sign], keeper: &str) -> bool {
    let mut said = check.said();
    let is_well = || {
        let findings = check.findings.as_ref();
        findings.is_some_and(|text| signs::says_well(text, list))
    };
    said.all(|text| signs::read(text, list).is_empty())
        && (signs::closes(check, keeper) || is_well())
}
