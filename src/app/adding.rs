//! Adding to a record file: read under the kennel's lock, made longer, checked, put in place.
//!
//! In: the kennel, a file below its content folder, and entries or a change of its text. Out: the
//! file with them, on the disk; or [`Refused`]: problems with their places, and the file as it was.
//! `weigh`, `tend` and `take-in` write in this way; all else is changed by `recording`.

use super::folder::Folder;
use super::recording::Refused;
use super::terminal;
use crate::Error;
use crate::output::{self, Asked, Reading, Wish};
use crate::records::adding;
use crate::records::problem::Problem;

/// A new text and what to tell whoever asked; without a text the file stays as it is.
pub type NewText<T> = (Option<String>, T);

/// Changes the text of a record file, `file` being its path below the content folder. `make` is
/// given the text as it stands under the lock, an empty one when there is no file, and once more
/// when an editor saved the file meanwhile. `who` is the name of the command, told to another run
/// that waits.
pub fn change<T>(
    folder: &Folder,
    who: &str,
    file: &str,
    mut make: impl FnMut(&str) -> Result<NewText<T>, Vec<Problem>>,
) -> Result<Result<T, Refused>, Error> {
    let refused = |problems, text: &str| Refused::of(file, text, problems);
    let made = |reading: &mut Reading<'_>| {
        let bytes = reading.file(file)?;
        let mut make = || {
            let text = adding::text(file, bytes.as_deref().unwrap_or_default())
                .map_err(|problems| refused(problems, ""))?;
            let (new, told) = make(text).map_err(|problems| refused(problems, text))?;
            let files = new
                .map(|new| (file.to_owned(), Some(new.into_bytes())))
                .into_iter()
                .collect();
            Ok(Wish {
                files,
                moves: Vec::new(),
                told,
            })
        };
        Ok(make())
    };
    let done = output::change(&folder.state, &folder.content, &asked(who, file), made);
    done.map(|done| done.map(|(told, _)| told))
        .map_err(Error::from)
}

/// Who asks for a change, and for what.
pub fn asked(who: &str, what: &str) -> Asked {
    let when = terminal::now().to_rfc3339_opts(chrono::SecondsFormat::Secs, true);
    Asked {
        who: who.to_owned(),
        user: terminal::user(),
        when,
        what: what.to_owned(),
        undoes: None,
    }
}
