//! Adding to a record file: read under the kennel's lock, made longer, checked, put in place.
//!
//! In: the kennel, a file below its content folder, and entries or a change of its text. Out: the file with them, on the disk; or [`Refused`]: problems with their places, and the file as it was.
//! This is the one way in which a command changes a record.

use super::folder::Folder;
use super::{Outcome, Status, terminal};
use crate::Error;
use crate::output::{self, Asked, Reading, Wish};
use crate::records::adding::{self, Entry, Listed, Own};
use crate::records::problem::{Problem, locate};
use crate::records::showing;
use crate::records::source::{Source, Sources};

/// Why a file was left as it is: what is wrong, and the text in which it is wrong.
#[derive(Debug)]
pub(super) struct Refused {
    pub(super) problems: Vec<Problem>,
    pub(super) file: String,
    pub(super) text: String,
}

impl Refused {
    /// The problems, drawn for the terminal.
    pub(super) fn shown(&self, folder: &Folder) -> String {
        let mut sources = Sources::default();
        let text = self.text.strip_prefix('\u{feff}').unwrap_or(&self.text);
        sources.insert(self.file.clone(), Source { text: text.into(), yaml: 0..text.len() });
        let terminal = terminal::terminal();
        showing::for_people(&locate(self.problems.clone(), &sources), &sources, &folder.shown_content(), terminal.width, terminal.colours)
    }

    /// The whole answer of a command that could add nothing.
    pub(super) fn outcome(&self, folder: &Folder) -> Outcome {
        Outcome { out: String::new(), err: format!("{}nothing was added\n", self.shown(folder)), status: Status::Problems }
    }
}

/// A new text and what to tell whoever asked; without a text the file stays as it is.
pub(super) type Change<T> = (Option<String>, T);

/// Changes the text of a record file, `file` being its path below the content folder. `make` is given the text as it stands under the lock, and an empty one when there is no file. `who` is the
/// name of the command, told to another run that waits.
pub(super) fn change<T>(
    folder: &Folder,
    who: &str,
    file: &str,
    make: impl FnOnce(&str) -> Result<Change<T>, Vec<Problem>>,
) -> Result<Result<T, Refused>, Error> {
    let refused = |problems, text: &str| Refused { problems, file: file.to_owned(), text: text.to_owned() };
    let made = |reading: &mut Reading<'_>| {
        let bytes = reading.file(file)?;
        let make = || {
            let text = adding::text(file, bytes.as_deref().unwrap_or_default()).map_err(|problems| refused(problems, ""))?;
            let (new, told) = make(text).map_err(|problems| refused(problems, text))?;
            let files = new.map(|new| (file.to_owned(), Some(new.into_bytes()))).into_iter().collect();
            Ok(Wish { files, moves: Vec::new(), told })
        };
        Ok(make())
    };
    let done = output::change(&folder.state, &folder.content, &asked(who, file), made);
    done.map(|done| done.map(|(told, _)| told)).map_err(Error::from)
}

/// Who asks for a change, and for what.
pub(super) fn asked(who: &str, what: &str) -> Asked {
    let when = terminal::now().to_rfc3339_opts(chrono::SecondsFormat::Secs, true);
    Asked { who: who.to_owned(), user: terminal::user(), when, what: what.to_owned(), undoes: None }
}

/// Adds entries at the end of the list in a record file. `is_wanted` is shown them as the reader understands them, and says whether they are what was meant. Given back is where they stand, for
/// whoever wants to go on with them.
#[expect(dead_code, reason = "for commands that add whole entries")]
pub(super) fn add<T: Listed>(
    folder: &Folder,
    who: &str,
    file: &str,
    entries: &[Entry],
    is_wanted: impl FnOnce(&[T]) -> bool,
) -> Result<Result<Own, Refused>, Error> {
    change(folder, who, file, |text| adding::add(file, text, entries, is_wanted).map(|added| (Some(added.text), added.own)))
}
