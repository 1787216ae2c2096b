//! The keeper's page of phones: listening or not, the code, phones, and questions.
//!
//! In: forms of the desk. Out: pages; a listener that begins or ends; a phone sent away; a question
//! decided, which is a change as any other.

use super::super::Desk;
use super::super::acts::{self, Decided, NotedBirth, PhoneAct, PhoneEntry, PhoneTaken, Taking};
use super::super::forms::{in_words, puppies};
use super::super::page::{self, beside};
use super::super::posted::{Fields, SavedNotice};
use super::listening::open;
use super::{CODE_HOLDS, PairingOffer, network, square};
use crate::Error;
use crate::app::{secrets, terminal};
use crate::quantity::Id;
use crate::sealing::code::AccessCode;
use axum::Router;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use serde::Serialize;
use std::net::SocketAddr;
use std::sync::Arc;

const PATH: &str = "/-desk/phones";
/// The longest name of a phone, characters.
const LONGEST_NAME: usize = 40;

#[derive(Default, Serialize)]
struct PhonesPage {
    token: String,
    saved: Option<u64>,
    /// What is wrong.
    slip: Option<String>,
    /// Where it is listened, and until when.
    listening: Option<ListeningShown>,
    /// The same, where this machine has that address no longer: no phone is heard there.
    gone: Option<ListeningShown>,
    code: Option<CodeShown>,
    cards: Vec<CardShown>,
    phones: Vec<PhoneShown>,
    questions: Vec<QuestionShown>,
    /// What the next phone is called, unless it gets another name.
    next: String,
}

#[derive(Serialize)]
struct ListeningShown {
    address: String,
    until: String,
}

#[derive(Serialize)]
struct CodeShown {
    name: String,
    code: String,
    link: String,
    svg: Option<String>,
    until: String,
}

#[derive(Serialize)]
struct CardShown {
    name: String,
    address: String,
    is_first: bool,
}

#[derive(Serialize)]
struct PhoneShown {
    id: String,
    name: String,
    since: String,
    last: Option<String>,
}

#[derive(Serialize)]
struct QuestionShown {
    id: String,
    phone: String,
    words: String,
    litter: String,
    why: String,
    since: String,
    /// Whether it is a birth, which may be one that the records have.
    is_birth: bool,
    /// Whether its litter is there: without it, it can only be dropped.
    can_be_written: bool,
    /// What the phone says, to be put right where it cannot be written.
    values: Vec<ValueShown>,
}

/// A value of an entry.
#[derive(Serialize)]
struct ValueShown {
    /// Its place among the fields of the entry.
    place: usize,
    label: String,
    value: String,
    /// Whom it can be for, where it says that: names in the records, and what they are called.
    choices: Vec<(String, String)>,
}

/// Fields that say what an entry is and whom it is for, and are no values.
const NO_VALUES: [&str; 10] = [
    "kind", "for", "puppy", "puppies", "item", "audience", "title", "whose", "entry", "seen",
];

/// The values of an entry; of a birth, that is for the puppy's own page. Where it is for somebody
/// who is no puppy of the litter now, that can be chosen as well.
fn values(entry: &PhoneEntry, puppies: &[(String, String)]) -> Vec<ValueShown> {
    if !matches!(
        entry.act,
        PhoneAct::Weigh | PhoneAct::Tend | PhoneAct::Remark
    ) {
        return Vec::new();
    }
    let label = |name: &str| match name {
        "at" => "When".to_owned(),
        "on" | "date" => "On which day".to_owned(),
        other => in_words(other),
    };
    // Down a list of temperatures a name stands twice.
    let says_whom = |name: &str| match name {
        "for" | "puppies" => true,
        "puppy" => entry.act == PhoneAct::Weigh,
        _ => false,
    };
    let is_known = |value: &str| {
        let known = puppies.iter().any(|(id, _)| id == value);
        known || ["all", "dam", ""].contains(&value)
    };
    let fields = entry.fields.iter().enumerate();
    fields
        .filter_map(|(place, (name, value))| {
            let shown = |label, choices| ValueShown {
                place,
                label,
                value: value.clone(),
                choices,
            };
            if says_whom(name) && !is_known(value) {
                let stranger = (value.clone(), format!("{value}: not in this litter"));
                let choices = [stranger].into_iter().chain(puppies.iter().cloned());
                return Some(shown("For whom".to_owned(), choices.collect()));
            }
            let is_value = !NO_VALUES.contains(&name.as_str());
            is_value.then(|| shown(label(name), Vec::new()))
        })
        .collect()
}

/// The entry with its values as the keeper put them right.
fn put_right(entry: &PhoneEntry, fields: &Fields, puppies: &[(String, String)]) -> PhoneEntry {
    let mut entry = entry.clone();
    for ValueShown { place, value, .. } in values(&entry, puppies) {
        let typed = fields.get(&format!("value.{place}")).unwrap_or(&value);
        typed.trim().clone_into(&mut entry.fields[place].1);
    }
    entry
}

pub(crate) fn routes() -> Router<Arc<Desk>> {
    Router::new().route(PATH, get(show).post(act))
}

async fn show(State(desk): State<Arc<Desk>>, Query(noted): Query<SavedNotice>) -> Response {
    beside(move || shown(&desk, StatusCode::OK, (noted.saved, None), None)).await
}

/// The puppies of a litter: names in the records, and what they are called.
fn puppies_of(desk: &Desk, litter: &str) -> Vec<(String, String)> {
    if is_litter(desk, litter) {
        puppies(&desk.content(), litter)
    } else {
        Vec::new()
    }
}

/// Whether the records have a litter of this name.
fn is_litter(desk: &Desk, name: &str) -> bool {
    let file = format!("litters/{name}/litter.yaml");
    name.parse::<Id>().is_ok() && desk.content().join(file).is_file()
}

fn shown(
    desk: &Desk,
    status: StatusCode,
    (saved, slip): (Option<u64>, Option<String>),
    typed: Option<&Fields>,
) -> Response {
    match view(desk, typed) {
        Ok(view) => page::render(
            status,
            "phones.html",
            &PhonesPage {
                saved,
                slip,
                ..view
            },
        ),
        Err(error) => page::stopped(&error),
    }
}

/// A time of the clock of this machine, to the minute.
fn shown_time(at: std::time::SystemTime) -> String {
    let at: chrono::DateTime<chrono::Local> = at.into();
    at.format("%H:%M").to_string()
}

fn view(desk: &Desk, typed: Option<&Fields>) -> Result<PhonesPage, Error> {
    let mut inner = desk.phones.lock();
    let listening = inner
        .now()
        .map(|listening| (listening.address, shown_time(listening.until)));
    let cards = network::cards();
    let is_there = |at: &SocketAddr| network::is_there(at.ip(), &cards);
    let code = listening.as_ref().and_then(|(address, _)| {
        // A link to an address that is gone leads nowhere.
        if !is_there(address) {
            return None;
        }
        let offer = inner.offer()?;
        let link = format!("http://{address}/#{}", offer.code);
        Some(CodeShown {
            name: offer.name.clone(),
            code: offer.code.to_string(),
            svg: square::svg(&link, "QR code that connects the phone"),
            link: format!("http://{address}/"),
            until: shown_time(offer.until),
        })
    });
    let book = inner.book(desk)?;
    let (listening, gone) = match listening {
        Some((address, until)) => {
            let shown = ListeningShown {
                address: address.to_string(),
                until,
            };
            if is_there(&address) {
                (Some(shown), None)
            } else {
                (None, Some(shown))
            }
        }
        None => (None, None),
    };
    let questions = book.questions().iter().map(|question| {
        let entry = &question.entry;
        let puppies = puppies_of(desk, &entry.litter);
        let typed = typed.filter(|typed| typed.get("entry") == Some(&entry.id));
        let values = typed.map_or_else(
            || values(entry, &puppies),
            |typed| values(&put_right(entry, typed, &puppies), &puppies),
        );
        QuestionShown {
            id: question.entry.id.clone(),
            phone: question.phone.clone(),
            words: question.entry.words.clone(),
            litter: question.entry.litter.clone(),
            why: question.why.clone(),
            since: question.since.clone(),
            is_birth: question.entry.act == PhoneAct::Born,
            // The number of a chip stands with the puppy: that is written at the desk alone.
            can_be_written: is_litter(desk, &entry.litter) && entry.value("kind") != Some("chip"),
            values,
        }
    });
    let names: Vec<&str> = book
        .phones()
        .iter()
        .map(|phone| phone.name.as_str())
        .collect();
    let next = (1..=names.len() + 1)
        .map(|n| format!("Phone {n}"))
        .find(|name| !names.contains(&name.as_str()));
    Ok(PhonesPage {
        token: desk.gate.token(),
        listening,
        gone,
        code,
        cards: cards
            .into_iter()
            .enumerate()
            .map(|(place, card)| CardShown {
                name: card.name,
                address: card.address.to_string(),
                is_first: place == 0,
            })
            .collect(),
        phones: book
            .phones()
            .iter()
            .map(|phone| PhoneShown {
                id: phone.id.clone(),
                name: phone.name.clone(),
                since: phone.since.clone(),
                last: phone.last.clone(),
            })
            .collect(),
        questions: questions.collect(),
        next: next.unwrap_or_default(),
        ..PhonesPage::default()
    })
}

async fn act(State(desk): State<Arc<Desk>>, fields: Fields) -> Response {
    // The listener runs where this does, and the rest takes a while.
    let handle = tokio::runtime::Handle::current();
    beside(move || {
        let _here = handle.enter();
        let done = match fields.get("act").unwrap_or_default() {
            "open" => begun(&desk, &fields),
            "shut" => {
                desk.phones.shut();
                Ok(PATH.to_owned())
            }
            "code" => coded(&desk, &fields),
            "away" => away(&desk, &fields),
            "decide" => decided(&desk, &fields),
            _ => return page::lost(),
        };
        match done {
            Ok(to) => Redirect::to(&to).into_response(),
            Err(error) => shown(
                &desk,
                StatusCode::UNPROCESSABLE_ENTITY,
                (None, Some(format!("{error}."))),
                Some(&fields),
            ),
        }
    })
    .await
}

fn begun(desk: &Arc<Desk>, fields: &Fields) -> Result<String, Error> {
    let typed = fields.get("address").unwrap_or_default();
    let address = typed
        .parse()
        .map_err(|_| Error::Usage(format!("“{typed}” is no address of this machine")))?;
    open(desk, address)?;
    Ok(PATH.to_owned())
}

/// Draws a code for one phone.
fn coded(desk: &Desk, fields: &Fields) -> Result<String, Error> {
    let name = fields.get("name").unwrap_or_default();
    let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
    let is_plain = name
        .chars()
        .all(|c| !c.is_control() && c != '(' && c != ')');
    if name.is_empty() || name.chars().count() > LONGEST_NAME || !is_plain {
        return Err(Error::Usage(format!(
            "a phone needs a name of up to {LONGEST_NAME} letters, without brackets"
        )));
    }
    let mut inner = desk.phones.lock();
    if inner.now().is_none() {
        return Err(Error::Usage("phones are not listened to now".to_owned()));
    }
    if inner
        .book(desk)?
        .phones()
        .iter()
        .any(|known| known.name == name)
    {
        return Err(Error::Usage(format!("there is a phone “{name}” already")));
    }
    let code =
        AccessCode::generate(&mut secrets::random).map_err(|why| Error::Usage(why.to_string()))?;
    inner.offer = Some(PairingOffer {
        code,
        name,
        until: terminal::clock() + CODE_HOLDS,
    });
    Ok(PATH.to_owned())
}

fn away(desk: &Desk, fields: &Fields) -> Result<String, Error> {
    let mut inner = desk.phones.lock();
    let book = inner.book(desk)?;
    if book.send_away(fields.get("phone").unwrap_or_default()) {
        book.save()?;
    }
    Ok(PATH.to_owned())
}

/// What the keeper decided: the phone's word, once more as it is, or the records as they are.
fn decided(desk: &Desk, fields: &Fields) -> Result<String, Error> {
    let id = fields.get("entry").unwrap_or_default();
    let (question, births) = {
        let mut inner = desk.phones.lock();
        let book = inner.book(desk)?;
        let births = book.births().to_vec();
        let mut found = book.questions().iter();
        (found.find(|known| known.entry.id == id).cloned(), births)
    };
    let Some(question) = question else {
        return Ok(PATH.to_owned());
    };
    let mut to = PATH.to_owned();
    let decided = match (fields.get("take"), fields.get("same")) {
        (Some(_), _) => Some(Decided::Phone),
        (None, Some(_)) => Some(Decided::Same),
        (None, None) => None,
    };
    let mut noted = None;
    if let Some(decided) = decided {
        let who = format!("phone, {}", question.phone);
        let taking = Taking {
            who: &who,
            decided,
            births: &births,
            picture: &[],
        };
        let (done, told) = acts::take(
            &desk.folder()?,
            &put_right(
                &question.entry,
                fields,
                &puppies_of(desk, &question.entry.litter),
            ),
            taking,
        )?;
        match done {
            PhoneTaken::Written(number) => {
                desk.wake.recorded();
                to = format!("{PATH}?saved={number}");
            }
            PhoneTaken::Already => {}
            PhoneTaken::Question(why) | PhoneTaken::Later(why) => return Err(Error::Usage(why)),
        }
        noted = told.puppy.map(|puppy| NotedBirth {
            entry: id.to_owned(),
            who,
            litter: question.entry.litter.clone(),
            puppy,
        });
    }
    let mut inner = desk.phones.lock();
    let book = inner.book(desk)?;
    if let Some(noted) = noted {
        book.bear(noted);
    }
    book.decided(id);
    book.save()?;
    Ok(to)
}
