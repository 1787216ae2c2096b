//! Phones, entries that were taken, and questions: kept on the disk, in one file that only the
//! keeper may read.
//!
//! In: the folder where the program keeps what it remembers. Out: a [`PhoneBook`], written whole
//! after each change of it. What was taken right before a kill stands in the history of changes,
//! from where it is taken over, so that nothing is written twice. A file that cannot be read is put
//! aside by nobody: phones are not listened to until it is mended or removed.

use super::super::acts::{self, NotedBirth, PhoneEntry};
use crate::Error;
use crate::output::{newest, private_folder, replace_secret};
use crate::sealing::channel::Name;
use crate::sealing::code::AccessCode;
use serde::{Deserialize, Serialize};
use std::collections::VecDeque;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// How many ids of entries are kept: what is older was answered long ago.
const MOST: usize = 4_096;
/// How many births are kept: what is looked at afterwards comes within hours.
const MOST_BIRTHS: usize = 400;
/// How far back the history is asked for entries that a kill left out.
const LOOKED_AT: usize = 400;

/// What is kept.
#[derive(Default, Serialize, Deserialize)]
struct KeptPhones {
    phones: Vec<Paired>,
    taken: VecDeque<String>,
    questions: Vec<Question>,
    /// Births, and which puppies they became.
    #[serde(default)]
    births: VecDeque<NotedBirth>,
    /// The port that was listened at: a phone finds what it kept under the same address only.
    port: Option<u16>,
}

/// A phone that was paired.
#[derive(Clone, Serialize, Deserialize)]
pub(super) struct Paired {
    /// Its name in requests.
    pub(super) id: String,
    /// What it is called.
    pub(super) name: String,
    code: String,
    /// When it was paired, by the clock of this machine.
    pub(super) since: String,
    /// When something was last written from it.
    pub(super) last: Option<String>,
}

impl Paired {
    /// A phone that was paired by this code.
    pub(super) fn new(id: String, name: String, code: &AccessCode, since: String) -> Self {
        Self {
            id,
            name,
            code: code.to_string(),
            since,
            last: None,
        }
    }

    /// The code that it was paired by.
    pub(super) fn code(&self) -> Option<AccessCode> {
        self.code.parse().ok()
    }
}

/// An entry that could not be written: the keeper decides.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(super) struct Question {
    pub(super) entry: PhoneEntry,
    /// Which phone said it.
    pub(super) phone: String,
    /// Why it was not written.
    pub(super) why: String,
    /// When it came.
    pub(super) since: String,
}

/// Phones, entries and questions.
pub(super) struct PhoneBook {
    place: PathBuf,
    kept: KeptPhones,
}

impl PhoneBook {
    /// Reads what is kept below the folder `state`.
    pub(super) fn open(state: &Path) -> Result<Self, Error> {
        let folder = state.join("phones");
        let place = folder.join("phones.json");
        let mut kept = match fs::read(&place) {
            Ok(bytes) => serde_json::from_slice::<KeptPhones>(&bytes)
                .map_err(|why| Error::io("read", &place, why.into()))?,
            Err(error) if error.kind() == ErrorKind::NotFound => KeptPhones::default(),
            Err(error) => return Err(Error::io("read", &place, error)),
        };
        for change in newest(state, LOOKED_AT) {
            if let Some(id) = acts::marked(&change.what)
                && !kept.taken.iter().any(|known| known == id)
            {
                kept.taken.push_back(id.to_owned());
            }
        }
        Ok(Self { place, kept })
    }

    /// Writes it.
    pub(super) fn save(&mut self) -> Result<(), Error> {
        while self.kept.taken.len() > MOST {
            self.kept.taken.pop_front();
        }
        while self.kept.births.len() > MOST_BIRTHS {
            self.kept.births.pop_front();
        }
        let bytes = serde_json::to_vec(&self.kept)
            .map_err(|why| Error::io("write", &self.place, why.into()))?;
        if let Some(folder) = self.place.parent() {
            private_folder(folder)?;
            let ignored = folder.join(".gitignore");
            if !ignored.exists() {
                replace_secret(&ignored, b"*\n")?;
            }
        }
        Ok(replace_secret(&self.place, &bytes)?)
    }

    pub(super) fn phones(&self) -> &[Paired] {
        &self.kept.phones
    }

    /// The phone of this name in requests.
    pub(super) fn phone(&self, id: &Name) -> Option<&Paired> {
        let id = super::hex(id);
        self.kept.phones.iter().find(|phone| phone.id == id)
    }

    pub(super) fn pair(&mut self, phone: Paired) {
        self.kept.phones.push(phone);
    }

    /// Sends a phone away; whether there was one.
    pub(super) fn send_away(&mut self, id: &str) -> bool {
        let before = self.kept.phones.len();
        self.kept.phones.retain(|phone| phone.id != id);
        self.kept.phones.len() < before
    }

    /// Whether an entry was taken already.
    pub(super) fn is_taken(&self, id: &str) -> bool {
        self.kept.taken.iter().rev().any(|known| known == id)
    }

    /// An entry was taken.
    pub(super) fn take(&mut self, id: &str, phone: &str, now: &str) {
        self.kept.taken.push_back(id.to_owned());
        if let Some(phone) = self.kept.phones.iter_mut().find(|known| known.id == phone) {
            phone.last = Some(now.to_owned());
        }
    }

    /// The births that were noted.
    pub(super) fn births(&mut self) -> &[NotedBirth] {
        self.kept.births.make_contiguous()
    }

    /// The puppy that a birth became.
    pub(super) fn puppy_of(&self, entry: &str) -> Option<&str> {
        let mut births = self.kept.births.iter().rev();
        let found = births.find(|birth| birth.entry == entry)?;
        Some(&found.puppy)
    }

    /// The question about an entry, while the keeper has not decided.
    pub(super) fn question(&self, entry: &str) -> Option<&Question> {
        let mut questions = self.kept.questions.iter();
        questions.find(|known| known.entry.id == entry)
    }

    /// A birth that was taken back.
    pub(super) fn unbear(&mut self, entry: &str) {
        self.kept.births.retain(|birth| birth.entry != entry);
    }

    /// A birth became this puppy.
    pub(super) fn bear(&mut self, birth: NotedBirth) {
        self.kept.births.push_back(birth);
    }

    /// What was looked at of a puppy whose birth is still asked about joins the question; whether
    /// it is.
    pub(super) fn join(&mut self, entry: &PhoneEntry) -> bool {
        let birth = entry.value("birth").unwrap_or_default();
        let mut questions = self.kept.questions.iter_mut();
        let Some(question) = questions.find(|known| known.entry.id == birth) else {
            return false;
        };
        let asked = &mut question.entry;
        let is_about = |name: &str| ["birth", "born", "puppy"].contains(&name);
        let new = entry.fields.iter().filter(|(name, _)| !is_about(name));
        // What was said twice and differs is a question of its own.
        let mut both = new.clone();
        if both.any(|(name, value)| asked.value(name).is_some_and(|known| known != value)) {
            return false;
        }
        let missing = new.filter(|(name, _)| asked.value(name).is_none());
        let missing: Vec<(String, String)> = missing.cloned().collect();
        asked.fields.extend(missing);
        if !asked.words.contains(&entry.words) {
            asked.words = format!("{}; {}", asked.words, entry.words);
        }
        true
    }

    /// An entry that was not taken after all.
    pub(super) fn forget(&mut self, id: &str) {
        self.kept.taken.retain(|known| known != id);
        self.decided(id);
    }

    pub(super) fn questions(&self) -> &[Question] {
        &self.kept.questions
    }

    pub(super) fn ask(&mut self, question: Question) {
        self.kept.questions.push(question);
    }

    /// A question that was decided.
    pub(super) fn decided(&mut self, entry: &str) {
        self.kept.questions.retain(|known| known.entry.id != entry);
    }

    pub(super) fn port(&self) -> Option<u16> {
        self.kept.port
    }

    pub(super) fn listens_at(&mut self, port: u16) {
        self.kept.port = Some(port);
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;

    fn phone() -> Paired {
        let mut next = 0;
        let code = AccessCode::generate(&mut |bytes: &mut [u8]| {
            bytes.fill_with(|| {
                next += 7;
                next
            });
            Ok(())
        });
        let (id, name) = ("01".repeat(16), "Kitchen".to_owned());
        Paired::new(id, name, &code.unwrap(), "2026-11-29 07:30".to_owned())
    }

    #[test]
    fn what_was_kept_is_there_after_a_restart_and_nobody_else_may_read_it() {
        let home = tempfile::tempdir().unwrap();
        let mut book = PhoneBook::open(home.path()).unwrap();
        book.pair(phone());
        book.take("0123456789abcdef", &phone().id, "2026-11-29 07:31");
        book.listens_at(6390);
        book.save().unwrap();
        let again = PhoneBook::open(home.path()).unwrap();
        assert_eq!(again.phone(&[1; 16]).unwrap().name, "Kitchen");
        assert!(again.phone(&[1; 16]).unwrap().code() == phone().code());
        assert!(again.is_taken("0123456789abcdef"));
        assert!(!again.is_taken("0123456789abcdee"));
        assert_eq!(again.port(), Some(6390));
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let found = fs::metadata(home.path().join("phones/phones.json")).unwrap();
            assert_eq!(found.permissions().mode() & 0o777, 0o600);
        }
    }

    #[test]
    fn a_file_that_cannot_be_read_is_an_error_and_stays_as_it_is() {
        let home = tempfile::tempdir().unwrap();
        fs::create_dir(home.path().join("phones")).unwrap();
        let place = home.path().join("phones/phones.json");
        fs::write(&place, "{\"phones\": [").unwrap();
        assert!(PhoneBook::open(home.path()).is_err());
        assert_eq!(fs::read_to_string(&place).unwrap(), "{\"phones\": [");
    }

    #[test]
    fn a_phone_that_was_sent_away_is_no_longer_known() {
        let home = tempfile::tempdir().unwrap();
        let mut book = PhoneBook::open(home.path()).unwrap();
        book.pair(phone());
        assert!(!book.send_away("02"));
        assert!(book.send_away(&phone().id));
        assert!(book.phone(&[1; 16]).is_none());
    }

    #[test]
    fn the_oldest_ids_are_forgotten_at_last() {
        let home = tempfile::tempdir().unwrap();
        let mut book = PhoneBook::open(home.path()).unwrap();
        for n in 0..=MOST {
            book.take(&format!("{n:016x}"), "", "");
        }
        book.save().unwrap();
        assert!(!book.is_taken(&format!("{:016x}", 0)));
        assert!(book.is_taken(&format!("{:016x}", 1)));
        assert!(book.is_taken(&format!("{MOST:016x}")));
    }
}
