//! A sealed request to a sealed answer.
//!
//! In: bytes of somebody in the network. Out: what was asked for, sealed for the phone that asked;
//! or nothing, whatever the reason: an unknown phone, one that was sent away, a changed message,
//! one that was heard already. Entries are taken one after the other, each once: its id is kept,
//! and stands in the history with its change.

use super::super::Desk;
use super::super::acts::{
    self, Decided, EntryAnswer, NotedBirth, PhoneAct, PhoneEntry, PhoneTaken, Taking,
};
use super::book::{Paired, Question};
use super::hex;
use super::picture::{Arrived, PicturePiece, PieceTold};
use crate::app::terminal;
use crate::audience::phone::{self, PhoneView};
use crate::husbandry;
use crate::sealing::channel::{Channel, Direction, Envelope, Name};
use serde::{Deserialize, Serialize};
use std::sync::PoisonError;

/// The most sittings that one listener remembers. A page that is opened begins one; nobody opens
/// so many in twelve hours.
const SITTINGS: usize = 20_000;
/// The most entries that are taken at once.
const AT_ONCE: usize = 40;

/// What a phone says.
#[derive(Debug, Deserialize)]
struct PhoneMessage {
    /// Entries, in the order in which they were made.
    #[serde(default)]
    entries: Vec<PhoneEntry>,
    /// A piece of a picture.
    piece: Option<PicturePiece>,
}

/// What it is answered.
#[derive(Debug, Serialize)]
struct PhoneAnswer {
    /// What the phone is called here.
    name: String,
    /// Now on the kennel's wall: a phone's own clock may be wrong.
    now: String,
    /// What became of each entry.
    entries: Vec<ToldEntry>,
    /// How much of a picture is there.
    piece: Option<PieceTold>,
    /// Its entries that the keeper has not decided about yet.
    asked: Vec<String>,
    /// What there is to see; nothing while the records cannot be read, and between pieces.
    view: Option<PhoneView>,
}

/// What became of an entry.
#[derive(Debug, Serialize)]
struct ToldEntry {
    id: String,
    became: Became,
    words: String,
    #[serde(flatten)]
    more: EntryAnswer,
}

/// In which way an entry is over for the phone, or not yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
enum Became {
    /// It stands in the records.
    Written,
    /// It stood there before.
    Already,
    /// The keeper decides at the desk.
    Question,
    /// It has to be sent again.
    Later,
    /// It is a picture that cannot be taken in.
    Unfit,
    /// It cannot be taken back.
    Refused,
}

/// Hears a request.
pub(super) fn hear(desk: &Desk, bytes: &[u8]) -> Option<Vec<u8>> {
    let envelope = Envelope::read(bytes)?;
    let (channel, message, phone) = opened(desk, &envelope)?;
    let said: PhoneMessage = serde_json::from_slice(&message).ok()?;
    let told = answered(desk, &phone, said);
    let bytes = serde_json::to_vec(&told).ok()?;
    channel
        .seal(Direction::ToPhone, envelope.number, &bytes)
        .ok()
}

/// Opens a request of a phone that is known, or of one that the code on the screen pairs.
fn opened(
    desk: &Desk,
    envelope: &Envelope<'_>,
) -> Option<(Channel, zeroize::Zeroizing<Vec<u8>>, Paired)> {
    let mut inner = desk.phones.lock();
    let run = inner.now()?.run;
    let known = inner.book(desk).ok()?.phone(&envelope.phone).cloned();
    let code = match &known {
        Some(known) => known.code()?,
        None => inner.offer()?.code.clone(),
    };
    let channel = Channel::new(&code, &envelope.phone, &run, &envelope.sitting);
    let message = channel
        .open(Direction::ToDesk, envelope.number, envelope.sealed)
        .ok()?;
    let listening = inner.now()?;
    let sitting = (envelope.phone, envelope.sitting);
    if listening.sittings.len() >= SITTINGS && !listening.sittings.contains_key(&sitting) {
        return None;
    }
    if !listening
        .sittings
        .entry(sitting)
        .or_default()
        .take(envelope.number)
    {
        return None;
    }
    let phone = match known {
        Some(known) => known,
        None => paired(desk, &mut inner, &envelope.phone)?,
    };
    Some((channel, message, phone))
}

/// Pairs a phone: the code is used up by it.
fn paired(desk: &Desk, inner: &mut super::PhonesNow, id: &Name) -> Option<Paired> {
    let offer = inner.offer()?;
    let phone = Paired::new(hex(id), offer.name.clone(), &offer.code, here_now());
    let book = inner.book(desk).ok()?;
    book.pair(phone.clone());
    if book.save().is_err() {
        book.send_away(&phone.id);
        return None;
    }
    inner.offer = None;
    Some(phone)
}

/// Now by the clock of this machine, for the keeper to read.
fn here_now() -> String {
    terminal::local_time().format("%Y-%m-%d %H:%M").to_string()
}

/// Now on the kennel's wall, to the millisecond; by the clock of this machine while the records
/// cannot be read.
fn now(desk: &Desk) -> String {
    let loaded = desk.records().ok();
    let kennel = loaded
        .as_ref()
        .and_then(|loaded| loaded.records.as_ref())
        .map(|records| &records.kennel);
    let zone = kennel.map(|kennel| kennel.time_zone.0);
    let now = zone.map_or_else(terminal::local_time, |zone| {
        terminal::now().with_timezone(&zone).naive_local()
    });
    let day = kennel
        .and_then(|kennel| kennel.as_of)
        .map_or(now.date(), |pinned| pinned.date());
    day.and_time(now.time())
        .format("%Y-%m-%dT%H:%M:%S%.3f")
        .to_string()
}

fn answered(desk: &Desk, phone: &Paired, said: PhoneMessage) -> PhoneAnswer {
    let pictures = &desk.phones.pictures;
    let piece = said
        .piece
        .as_ref()
        .map(|piece| pictures.take(&phone.id, piece));
    let entries = said.entries.into_iter().take(AT_ONCE);
    // Looking at a picture takes a while, and others can be heard meanwhile.
    let said: Vec<(PhoneEntry, Option<Arrived>)> = entries
        .map(|entry| {
            let is_picture = entry.act == PhoneAct::Picture && entry.is_sound();
            let is_open = is_picture && !is_taken(desk, &entry);
            let arrived = is_open.then(|| pictures.whole(&phone.id, &entry));
            (entry, arrived)
        })
        .collect();
    let taking = desk
        .phones
        .taking
        .lock()
        .unwrap_or_else(PoisonError::into_inner);
    let mut entries = Vec::new();
    for (entry, arrived) in said {
        let mut more = EntryAnswer::default();
        let (became, words) = match arrived {
            Some(Arrived::Waits(why)) => (Became::Later, why.to_owned()),
            Some(Arrived::Unfit(why)) => (Became::Unfit, why),
            Some(Arrived::Whole(bytes)) => pictured(desk, phone, &entry, &bytes),
            None if entry.act == PhoneAct::Back => taken_back(desk, phone, &entry),
            None => taken(desk, phone, (&entry, &[]), &mut more),
        };
        let mut inner = desk.phones.lock();
        let book = inner.book(desk).ok();
        more.puppy = book.and_then(|book| book.puppy_of(&entry.id).map(str::to_owned));
        entries.push(ToldEntry {
            id: entry.id,
            became,
            words,
            more,
        });
    }
    drop(taking);
    let mut inner = desk.phones.lock();
    let questions = inner.book(desk).map(|book| book.questions());
    let own = questions.unwrap_or_default().iter();
    let own = own.filter(|question| question.phone == phone.name);
    let asked = own.map(|question| question.entry.id.clone()).collect();
    drop(inner);
    let loaded = desk.records().ok();
    let records = loaded.as_ref().and_then(|loaded| loaded.records.as_ref());
    PhoneAnswer {
        name: phone.name.clone(),
        now: now(desk),
        entries,
        asked,
        view: records
            .filter(|_| piece.is_none())
            .map(|records| phone::view(records, &husbandry::compute(records))),
        piece,
    }
}

fn is_taken(desk: &Desk, entry: &PhoneEntry) -> bool {
    let mut inner = desk.phones.lock();
    let book = inner.book(desk);
    book.is_ok_and(|book| book.is_taken(&entry.id))
}

/// An entry of this phone that is taken back. One that never came is not taken any more.
fn taken_back(desk: &Desk, phone: &Paired, entry: &PhoneEntry) -> (Became, String) {
    let cannot = || (Became::Later, "The desk cannot write now.".to_owned());
    let target = entry.value("entry").unwrap_or_default();
    if !entry.is_sound() || target.len() > 40 {
        return (
            Became::Refused,
            "This entry is none that the desk knows.".to_owned(),
        );
    }
    let now = here_now();
    let (is_done, is_waiting) = {
        let mut inner = desk.phones.lock();
        let Ok(book) = inner.book(desk) else {
            return cannot();
        };
        if !book.phones().iter().any(|known| known.id == phone.id) {
            return (Became::Later, "This phone was sent away.".to_owned());
        }
        let is_done = book.is_taken(&entry.id);
        let is_waiting = book.question(target).is_some() || !book.is_taken(target);
        (is_done, is_waiting)
    };
    if is_done {
        return (Became::Already, String::new());
    }
    if !is_waiting {
        let who = format!("phone, {}", phone.name);
        let folder = desk.folder();
        let done = folder.and_then(|folder| acts::take_back_entry(&folder, &who, target));
        match done {
            Ok(Ok(())) => desk.wake.recorded(),
            Ok(Err(why)) => return (Became::Refused, why),
            Err(error) => return (Became::Later, format!("{error}.")),
        }
    }
    let mut inner = desk.phones.lock();
    let Ok(book) = inner.book(desk) else {
        return cannot();
    };
    if is_waiting && !book.is_taken(target) {
        book.take(target, &phone.id, &now);
    }
    book.decided(target);
    book.unbear(target);
    book.take(&entry.id, &phone.id, &now);
    if book.save().is_err() {
        return cannot();
    }
    (Became::Written, String::new())
}

/// A picture that is whole. The phone keeps what cannot be taken in: a question would not have it.
fn pictured(desk: &Desk, phone: &Paired, entry: &PhoneEntry, bytes: &[u8]) -> (Became, String) {
    let (became, words) = taken(desk, phone, (entry, bytes), &mut EntryAnswer::default());
    if became != Became::Later {
        desk.phones.pictures.drop(&entry.id);
    }
    (became, words)
}

fn taken(
    desk: &Desk,
    phone: &Paired,
    (entry, picture): (&PhoneEntry, &[u8]),
    more: &mut EntryAnswer,
) -> (Became, String) {
    let nothing = String::new;
    if !entry.is_sound() {
        return (
            Became::Later,
            "This entry is none that the desk knows.".to_owned(),
        );
    }
    let cannot = || (Became::Later, "The desk cannot write now.".to_owned());
    let births = {
        let mut inner = desk.phones.lock();
        let Ok(book) = inner.book(desk) else {
            return cannot();
        };
        // It may have been sent away meanwhile.
        if !book.phones().iter().any(|known| known.id == phone.id) {
            return (Became::Later, "This phone was sent away.".to_owned());
        }
        if let Some(question) = book.question(&entry.id) {
            // The answer was lost, or the phone was.
            return (Became::Question, asked_words(entry, &question.why));
        }
        if book.is_taken(&entry.id) {
            drop(inner);
            // A warning whose answer was lost is told again.
            let folder = desk.folder();
            let found = folder.and_then(|folder| acts::found_again(&folder, entry));
            *more = found.unwrap_or_default();
            return (Became::Already, nothing());
        }
        if entry.act == PhoneAct::Newborn && book.join(entry) {
            book.take(&entry.id, &phone.id, &here_now());
            if book.save().is_err() {
                // What was joined is joined again, and changes nothing then.
                book.forget(&entry.id);
                return cannot();
            }
            return (Became::Question, "Its birth waits at the desk.".to_owned());
        }
        book.births().to_vec()
    };
    let who = format!("phone, {}", phone.name);
    let taking = Taking {
        who: &who,
        decided: Decided::No,
        births: &births,
        picture,
    };
    let done = desk
        .folder()
        .and_then(|folder| acts::take(&folder, entry, taking));
    let (done, told) = match done {
        Ok(done) => done,
        Err(error) => return (Became::Later, format!("{error}.")),
    };
    let (became, words) = match done {
        PhoneTaken::Written(_) => {
            desk.wake.recorded();
            (Became::Written, nothing())
        }
        PhoneTaken::Already => (Became::Already, nothing()),
        PhoneTaken::Question(why) if entry.act == PhoneAct::Picture => return (Became::Unfit, why),
        PhoneTaken::Question(why) => (Became::Question, why),
        PhoneTaken::Later(why) => return (Became::Later, why),
    };
    let mut inner = desk.phones.lock();
    let Ok(book) = inner.book(desk) else {
        return cannot();
    };
    let now = here_now();
    *more = told;
    if let Some(puppy) = more.puppy.clone() {
        book.bear(NotedBirth {
            entry: entry.id.clone(),
            who,
            litter: entry.litter.clone(),
            puppy,
        });
    }
    if became == Became::Question {
        book.ask(Question {
            phone: phone.name.clone(),
            why: words.clone(),
            since: now.clone(),
            entry: entry.clone(),
        });
    }
    book.take(&entry.id, &phone.id, &now);
    // What was written stands in the history; a question stands only here.
    if book.save().is_err() && became == Became::Question {
        book.forget(&entry.id);
        return cannot();
    }
    if became == Became::Question {
        return (became, asked_words(entry, &words));
    }
    (became, words)
}

/// Why an entry is asked about, for the phone: what the records hold of a newborn is more than it
/// is shown.
fn asked_words(entry: &PhoneEntry, why: &str) -> String {
    match entry.act {
        PhoneAct::Newborn => "The records hold something else.".to_owned(),
        _ => why.to_owned(),
    }
}
