//! What a phone says, recorded as the daily acts record it.
//!
//! In: a [`PhoneEntry`], the records as they stand under the lock. Out: one change, with the
//! phone's name as who made it; or that it stands so already; or words on why it cannot be written,
//! with what the records hold instead. A weight joins the weigh-in of its minute. Nothing that
//! somebody else wrote is changed, unless the keeper decided so at the desk. Births stand in
//! `from_phone/birth.rs`.

mod birth;

use super::form::{ActFields, AskedSlips, Upload};
use super::health::TEND;
use super::notes::NOTE;
use super::pictures::PICTURES;
use super::weights::found;
use super::{Halt, Made, Scene, with_scene};
use crate::Error;
use crate::app::adding::asked;
use crate::app::folder::Folder;
use crate::app::recording::{Mode, Stop, Work, record};
use crate::app::taking_back::{take_back, undone};
use crate::output::newest;
use crate::quantity::{Id, Moment, Weight};
use crate::records::adding::NewEntry;
use crate::records::changing::Change;
use crate::records::health::HealthKind;
use crate::records::problem::{Severity, key_path};
use crate::records::sheet;
use crate::records::weights::DAM;
use crate::records::{LitterFolder, Loaded, WeighIn};
use serde::{Deserialize, Serialize};

/// The longest text that a phone may send for one field, bytes.
const LONGEST: usize = 4_000;
/// The most fields of one entry.
const MOST: usize = 60;

/// One entry of a phone.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct PhoneEntry {
    /// Drawn on the phone: by it, an entry is taken once.
    pub(crate) id: String,
    /// What kind of entry it is.
    pub(crate) act: PhoneAct,
    /// Folder of the litter.
    pub(crate) litter: String,
    /// What it was about, as the phone showed it: for a question at the desk.
    pub(crate) words: String,
    /// Names and values, as the page of the act has them.
    pub(crate) fields: Vec<(String, String)>,
}

/// Kinds of entries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum PhoneAct {
    /// One weight: `puppy`, `at`, `weight`.
    Weigh,
    /// An entry of `health.yaml`, with the fields of its page.
    Tend,
    /// A note for the keeper alone: `date`, `title`, `text`, `puppies`.
    Remark,
    /// A puppy that was born: `born` to the second, `sex`, `how`, keys of a newborn, and `seen`:
    /// each puppy that stood on the phone when it was pressed.
    Born,
    /// What was looked at afterwards: keys of a newborn, and which it is by `puppy`, or by `birth`
    /// (the entry) and `born`.
    Newborn,
    /// How the puppies come: `how`.
    How,
    /// A picture of `whose`, for its family and the keeper.
    Picture,
    /// An earlier entry of this phone is taken back: `entry`.
    Back,
}

/// A birth that a phone noted, and the puppy that it became.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct NotedBirth {
    /// The entry of the phone.
    pub(crate) entry: String,
    /// Who made the change.
    pub(crate) who: String,
    /// Folder of the litter.
    pub(crate) litter: String,
    /// Name of the puppy in the records.
    pub(crate) puppy: String,
}

/// What is known while an entry is taken.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Taking<'a> {
    /// Who makes the change.
    pub(crate) who: &'a str,
    pub(crate) decided: Decided,
    /// Births that phones noted before.
    pub(crate) births: &'a [NotedBirth],
    /// The picture of an entry that has one.
    pub(crate) picture: &'a [u8],
}

/// What became of an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum PhoneTaken {
    /// It was written, as this change.
    Written(u64),
    /// It stands so already.
    Already,
    /// The keeper has to decide: why.
    Question(String),
    /// Not now: why. The phone keeps it and says it again.
    Later(String),
}

/// Whether what the records hold may be replaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Decided {
    /// Nobody was asked.
    No,
    /// The keeper takes what the phone says.
    Phone,
    /// The keeper says that a birth is one that the records have.
    Same,
}

impl PhoneEntry {
    /// Whether its parts are of a size and shape that this program sends.
    pub(crate) fn is_sound(&self) -> bool {
        let is_id = (16..=40).contains(&self.id.len())
            && self
                .id
                .bytes()
                .all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b));
        let fits = |text: &str| text.len() <= LONGEST;
        let fields = self.fields.iter();
        is_id
            && fits(&self.litter)
            && fits(&self.words)
            && self.fields.len() <= MOST
            && fields
                .clone()
                .all(|(name, value)| fits(name) && fits(value))
    }

    /// How its id stands in the history, where a kill right after writing leaves it.
    pub(crate) fn mark(&self) -> String {
        format!("entry {}", self.id)
    }

    /// A field.
    pub(crate) fn value(&self, name: &str) -> Option<&str> {
        let mut named = self.fields.iter().filter(|(known, _)| known == name);
        named.next().map(|(_, value)| value.as_str())
    }

    fn given(&self) -> ActFields {
        let mut fields = self.fields.clone();
        if self.act == PhoneAct::Remark {
            fields.retain(|(name, _)| name != "audience" && name != "act");
            fields.push(("audience".to_owned(), "keeper".to_owned()));
        }
        if self.act == PhoneAct::Picture {
            fields.retain(|(name, _)| name == "whose");
            fields.push(("audience".to_owned(), "photos-private".to_owned()));
        }
        ActFields {
            fields,
            files: Vec::new(),
            is_sent: true,
        }
    }
}

/// The id in the words of a change that a phone made.
pub(crate) fn marked(what: &str) -> Option<&str> {
    let (_, mark) = what.rsplit_once("entry ")?;
    Some(mark.trim_end_matches(')'))
}

/// What is told of an entry besides what became of it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub(crate) struct EntryAnswer {
    /// Of a birth: the name of its puppy in the records.
    pub(crate) puppy: Option<String>,
    /// Of a weight: what the program found.
    pub(crate) found: Vec<String>,
    /// Whether something of that asks for a second look.
    pub(crate) is_asked: bool,
}

/// Takes an entry in.
pub(crate) fn take(
    folder: &Folder,
    entry: &PhoneEntry,
    taking: Taking<'_>,
) -> Result<(PhoneTaken, EntryAnswer), Error> {
    let Ok(litter) = entry.litter.parse::<Id>() else {
        return Ok((
            PhoneTaken::Question(gone().to_owned()),
            EntryAnswer::default(),
        ));
    };
    let (what, mut given) = (word(entry), entry.given());
    if !taking.picture.is_empty() {
        given.files.push(Upload {
            name: entry.id.clone(),
            bytes: taking.picture.to_vec(),
        });
    }
    let ids = [("litter", litter)];
    let query = ActFields::default();
    let words = format!("{what}, {} ({})", entry.litter, entry.mark());
    let asked = asked(taking.who, &words);
    let mut is_broken = false;
    let mut told = EntryAnswer::default();
    let done = record::<Halt>(folder, &asked, Mode::Make, |standing| {
        is_broken = has_errors(standing.now, &entry.litter);
        if is_broken {
            return Err(Stop::Refused(Halt::Gone));
        }
        let made = with_scene(standing.now, &ids, &query, |scene| {
            let made = match entry.act {
                PhoneAct::Weigh => weighed(scene, &given, taking.decided, &mut told),
                PhoneAct::Tend => tended(scene, &given),
                PhoneAct::Remark => remarked(scene, &given),
                PhoneAct::Born => birth::born(scene, &given, taking, &mut told.puppy),
                PhoneAct::Newborn => birth::looked_at(scene, &given, taking),
                PhoneAct::How => birth::way(scene, &given, taking.decided),
                PhoneAct::Picture => (PICTURES.make)(scene, &given),
                // It changes the history, and never comes here.
                PhoneAct::Back => Err(Halt::Gone),
            };
            made.map(|made| made.files)
        });
        made.unwrap_or_else(|| {
            is_broken = true;
            Err(Halt::Gone)
        })
        .map_err(Stop::Refused)
    })?;
    if is_broken {
        let words = "Records of this litter have problems; they are to be mended at the desk \
                     first.";
        return Ok((PhoneTaken::Later(words.to_owned()), EntryAnswer::default()));
    }
    let became = match done {
        Ok(done) => done.number.map_or(PhoneTaken::Already, PhoneTaken::Written),
        Err(Halt::Slips(AskedSlips(slips))) => {
            let words = slips.iter().map(|slip| slip.message.as_str());
            PhoneTaken::Question(words.collect::<Vec<_>>().join("; "))
        }
        Err(Halt::Show(_) | Halt::Look(..)) => {
            PhoneTaken::Question("It has to be looked at.".to_owned())
        }
        Err(Halt::Gone) => PhoneTaken::Question(gone().to_owned()),
    };
    let is_in = matches!(became, PhoneTaken::Written(_) | PhoneTaken::Already);
    let told = if is_in { told } else { EntryAnswer::default() };
    Ok((became, told))
}

/// What the program finds of a weight that was taken before, as it stands in the records now;
/// nothing of other entries, and of a weight that stands there no more.
pub(crate) fn found_again(folder: &Folder, entry: &PhoneEntry) -> Result<EntryAnswer, Error> {
    let (PhoneAct::Weigh, Ok(id)) = (entry.act, entry.litter.parse::<Id>()) else {
        return Ok(EntryAnswer::default());
    };
    let loaded = folder.records()?;
    let (given, query) = (entry.given(), ActFields::default());
    let answer = with_scene(&loaded, &[("litter", id)], &query, |scene| {
        let litter = scene.litter()?;
        let at = given.moment("at", &mut AskedSlips::default())?;
        let id = given.get("puppy")?.parse::<Id>().ok()?;
        let weight = weights_of(litter, at).find_map(|of| of.weights.get(&id).copied())?;
        let (found, is_asked) = found(scene, litter, &id, (at, weight));
        Some(EntryAnswer {
            puppy: None,
            found,
            is_asked,
        })
    });
    Ok(answer.flatten().unwrap_or_default())
}

/// The weigh-ins of a minute.
fn weights_of(litter: &LitterFolder, at: Moment) -> impl Iterator<Item = &WeighIn> {
    let weigh_ins = litter.weigh_ins.iter();
    weigh_ins.filter(move |weigh_in| weigh_in.at.to_the_minute() == at)
}

/// Takes back what an entry of this phone wrote, by the rule of the desk; why not, where it is not.
pub(crate) fn take_back_entry(
    folder: &Folder,
    who: &str,
    id: &str,
) -> Result<Result<(), String>, Error> {
    let history = newest(&folder.state, usize::MAX);
    let undone = undone(&history);
    let mut own = history.iter().filter(|change| {
        change.undoes.is_none() && change.who == who && marked(&change.what) == Some(id)
    });
    let Some(change) = own.next() else {
        return Ok(Err(
            "It changed nothing that could be taken back.".to_owned()
        ));
    };
    if undone.contains(&change.number) {
        return Ok(Ok(()));
    }
    match take_back(folder, who, Some(change.number)) {
        Ok(_) => Ok(Ok(())),
        Err(Error::Usage(why)) => Ok(Err(format!("{why}."))),
        Err(error) => Err(error),
    }
}

/// Whether files of a litter cannot be read: what is missing there may stand in them.
fn has_errors(loaded: &Loaded, litter: &str) -> bool {
    let folder = format!("litters/{litter}/");
    let problems = loaded.problems.iter().map(|located| &located.problem);
    problems
        .filter(|problem| problem.severity == Severity::Error)
        .any(|problem| problem.place.file.starts_with(&folder))
}

const fn gone() -> &'static str {
    "There is no such litter in the records now."
}

fn word(entry: &PhoneEntry) -> &'static str {
    match entry.act {
        PhoneAct::Weigh => "weight",
        PhoneAct::Tend => "health entry",
        PhoneAct::Remark => "remark",
        PhoneAct::Born | PhoneAct::How => "birth",
        PhoneAct::Newborn => "newborn",
        PhoneAct::Picture => "picture",
        PhoneAct::Back => "taking back",
    }
}

/// Says of names that are no puppy of the litter now: it may have another name meanwhile.
fn say_unknown<'a>(
    litter: &LitterFolder,
    field: &'static str,
    names: impl IntoIterator<Item = &'a str>,
    slips: &mut AskedSlips,
) {
    for name in names {
        if !name.parse().is_ok_and(|id| litter.puppy(&id).is_some()) {
            let message = format!("There is no puppy “{name}” in this litter now");
            slips.push(field, message, "");
        }
    }
}

/// One weight of one puppy, or of the dam.
fn weighed(
    scene: &Scene<'_>,
    given: &ActFields,
    decided: Decided,
    told: &mut EntryAnswer,
) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let mut slips = AskedSlips::default();
    let name = given.needed(
        "puppy",
        "It does not say which puppy was weighed",
        &mut slips,
    );
    let at = given.moment("at", &mut slips);
    let file = litter.file("weights.yaml");
    let typed = given.get("weight").unwrap_or_default();
    let typed = Weight::typed(typed, scene.records.bare_unit(litter));
    let weight = slips.read("weight", typed);
    let id = name.parse::<Id>().ok();
    let puppy = id.as_ref().and_then(|id| litter.puppy(id));
    if name != DAM {
        say_unknown(litter, "puppy", [name.as_str()], &mut slips);
    }
    if let Some(at) = at {
        let latest = scene.now;
        if let Some(why) = sheet::not_yet(at, latest).filter(|_| at.day() > latest.day()) {
            slips.push("at", why.message, &why.hint);
        }
        if let Some(why) = puppy.and_then(|puppy| sheet::impossible(litter, puppy, at)) {
            slips.push("at", why.message, &why.hint);
        }
    } else if slips.0.is_empty() {
        slips.push("at", "It does not say when", "");
    }
    slips.none()?;
    let (Some(at), Some((weight, written)), Some(id)) = (at, weight, id) else {
        return Err(Halt::Gone);
    };
    let of_minute = || weights_of(litter, at);
    let known = of_minute().find_map(|weigh_in| Some((weigh_in, *weigh_in.weights.get(&id)?)));
    let set = |block: usize| Change::set(key_path![block, id.as_str()], written.as_str());
    let work = match known {
        Some((_, known)) if known == weight => None,
        Some((weigh_in, _)) if decided == Decided::Phone => {
            Some(Work::Changed(vec![set(weigh_in.block)]))
        }
        Some((_, known)) => {
            let message = format!("The records hold another weight for {at}: {known}");
            return Err(AskedSlips::one("weight", message, "").into());
        }
        None => Some(match of_minute().next() {
            Some(weigh_in) => Work::Changed(vec![set(weigh_in.block)]),
            None => Work::WeighIns(vec![
                NewEntry::new()
                    .with("at", at.to_string())
                    .with(id.as_str(), written),
            ]),
        }),
    };
    let (found, is_asked) = found(scene, litter, &id, (at, weight));
    told.found = found;
    told.is_asked = is_asked;
    Ok(Made {
        files: work.map(|work| (file, work)).into_iter().collect(),
        to: String::new(),
    })
}

/// An entry of `health.yaml`. The number of a chip is the desk's: it stands with the puppy.
fn tended(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let kind = given.get("kind").and_then(HealthKind::of_key);
    if kind.is_none_or(|kind| kind == HealthKind::Chip) {
        let message = "This kind of entry is made at the desk";
        return Err(AskedSlips::one("kind", message, "").into());
    }
    // Down a list, a value stands behind the name of a puppy.
    let named = given.names("for").chain(given.all("puppy"));
    let mut slips = AskedSlips::default();
    let puppies = named.filter(|name| !["all", "dam", ""].contains(name));
    say_unknown(litter, "for", puppies, &mut slips);
    slips.none()?;
    (TEND.make)(scene, given)
}

/// A note for the keeper alone.
fn remarked(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let mut slips = AskedSlips::default();
    say_unknown(litter, "puppies", given.all("puppies"), &mut slips);
    slips.none()?;
    (NOTE.make)(scene, given)
}
