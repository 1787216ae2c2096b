//! What the names of files in the content folder say.
//!
//! In: a path. Out: whether it can be shown, what it may have been meant as, and what is said of a
//! file that is none of ours.

use super::listing::What;
use super::photo::PhotoFile;
use super::problem::{Place, Problem};
use super::{litter, reading};
use crate::output::windows_fault;
use crate::quantity::{Id, Text, did_you_mean, slips};
use std::path::Path;

/// That a file is not one of the records, and which it may have been meant as.
pub(super) fn unknown_file(file: &str, parts: &[&str], path: &Path) -> Problem {
    let known: &[&str] = match parts {
        [_] => &[
            "kennel.yaml",
            "care-plan.yaml",
            "owners.yaml",
            "dogs",
            "litters",
            "pages",
        ],
        ["litters", _, _] => &[
            "litter.yaml",
            "weights.yaml",
            "health.yaml",
            "notes",
            "photos",
            "photos-private",
        ],
        _ => &[
            "dogs",
            "litters",
            "pages",
            "notes",
            "photos",
            "photos-private",
        ],
    };
    let written = parts.last().copied().unwrap_or("");
    let name = written.to_ascii_lowercase().replace(".yml", ".yaml");
    // Some systems hide endings, and some editors add one that is then not seen.
    let with_ending = name.strip_suffix(".txt").filter(|name| is_record(name));
    if let Some(meant) = with_ending {
        let message = format!(
            "this file has the ending `.txt` behind its name, and so is not read as `{meant}`"
        );
        let hint = format!(
            "rename it to `{meant}`; your system may hide the ending `.txt`: save it from the \
             editor as \"all files\""
        );
        return Problem::error("file-unknown", Place::file(file), message, hint);
    }
    let record = is_record(&name);
    let meant = parts
        .iter()
        .chain([&name.as_str()])
        .filter(|part| !known.contains(part))
        .find_map(|part| reading::nearest(part, known))
        .or_else(|| {
            let is_name = |name: &str| name.strip_suffix(".yaml").is_some_and(is_id);
            let is_slip = record && name != written && is_name(&name);
            (known.contains(&name.as_str()) || is_slip).then_some(name.as_str())
        });
    let hint = match meant {
        // To rename it would put it in the place of the right one.
        Some(meant) if written != meant && is_there(&path.with_file_name(meant)) => {
            format!(
                "`{meant}` is there already: write into it what is missing there, and take this \
                 one out of the content folder"
            )
        }
        Some(meant) => did_you_mean(meant),
        None => "the record guide lists the files of a kennel; take this one out of the content \
                 folder"
            .to_owned(),
    };
    let message = "this file is not one of the records";
    // A record under a wrong name would be left out of the site without a word; anything else does
    // no harm.
    if record {
        Problem::error("file-unknown", Place::file(file), message, hint)
    } else {
        Problem::warning("file-unknown", Place::file(file), message, hint)
    }
}

/// That something in the content folder is neither a file nor a folder.
pub(super) fn no_file(file: &str, what: &What) -> Problem {
    let (code, message, hint) = match what {
        What::Link => (
            "symbolic-link",
            "this is a link to another place",
            "put the file itself here; links are not followed",
        ),
        _ => (
            "not-a-file",
            "this is neither a file nor a folder",
            "take it out of the content folder",
        ),
    };
    Problem::error(code, Place::file(file), message, hint)
}

/// Whether a file or folder of exactly this name is there: some systems find `litter.yaml` also
/// where `Litter.yaml` stands.
fn is_there(path: &Path) -> bool {
    let entries = path.parent().and_then(|folder| folder.read_dir().ok());
    let mut names = entries.into_iter().flatten().flatten();
    names.any(|entry| Some(entry.file_name().as_os_str()) == path.file_name())
}

fn is_id(name: &str) -> bool {
    name.parse::<Id>().is_ok()
}

/// The file or folder that another one was put beside, by a program that keeps folders alike and
/// did not know which of two versions is the right one, or by a copy: `litter (1).yaml`, `Copy of
/// litter.yaml` and `Litter.yaml` beside `litter.yaml`. The other is there.
fn first_version(path: &Path) -> Option<String> {
    let name = path.file_name()?.to_str()?;
    let lower = name.to_lowercase();
    let lower = lower.strip_prefix("copy of ").unwrap_or(&lower);
    let ending = [".yaml", ".md"]
        .into_iter()
        .find(|ending| lower.ends_with(ending))
        .unwrap_or("");
    let stem = lower.strip_suffix(ending)?;
    let is_of_id = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    let begin = &stem[..stem.find(|c| !is_of_id(c)).unwrap_or(stem.len())];
    let cuts = begin
        .match_indices('-')
        .map(|(at, _)| at)
        .chain([begin.len()]);
    let mut begins = cuts.map(|at| begin[..at].trim_end_matches('-')).rev();
    begins.find_map(|begin| {
        let other = format!("{begin}{ending}");
        let is_other = !begin.is_empty() && other != name;
        let beside = path.with_file_name(&other);
        // `notes.txt` is no second version of the folder `notes`.
        let is_alike = is_there(&beside) && beside.is_dir() == path.is_dir();
        (is_other && is_alike).then_some(other)
    })
}

/// That a file or folder is a second version of another one, where it looks like that.
pub(super) fn second_version(file: &str, path: &Path) -> Option<Problem> {
    let other = first_version(path)?;
    let message = format!(
        "this looks like a second version of `{other}`, put there by a program that keeps folders \
         alike, or by a copy"
    );
    let hint = format!(
        "compare the two, write into `{other}` what is missing there, and take this one out of \
         the content folder"
    );
    let is_record = is_record(file) || !file.rsplit('/').next().unwrap_or(file).contains('.');
    let problem = if is_record {
        Problem::error
    } else {
        Problem::warning
    };
    Some(problem("second-version", Place::file(file), message, hint))
}

/// A picture that a program put beside another one; it would be shown twice.
pub(super) fn second_picture(file: &str) -> Option<Problem> {
    let name = file.rsplit('/').next()?.to_lowercase();
    let is_one = ["conflicted copy", "sync-conflict"]
        .iter()
        .any(|mark| name.contains(mark));
    is_one.then(|| {
        Problem::warning(
            "second-version",
            Place::file(file),
            "this looks like a second version of a picture, put there by a program that keeps \
             folders alike",
            "look at both, and take one of them out",
        )
    })
}

/// Names that other systems cannot have, or cannot tell apart: the kennel could not be copied
/// there. `names` are paths below the content folder.
pub(super) fn unportable(names: &[String]) -> Vec<Problem> {
    let mut problems = Vec::new();
    for name in names {
        if let Some(why) = windows_fault(name.rsplit('/').next().unwrap_or(name)) {
            problems.push(Problem::warning(
                "name-not-everywhere",
                Place::file(name),
                format!("this name cannot be used on Windows: {why}"),
                "rename it, so that the kennel can be copied to any machine",
            ));
        }
    }
    let mut folded: Vec<(String, &String)> = names
        .iter()
        .map(|name| (name.to_lowercase(), name))
        .collect();
    folded.sort();
    for pair in folded.windows(2) {
        if let [(one, first), (other, second)] = pair
            && one == other
        {
            problems.push(Problem::warning(
                "name-not-everywhere",
                Place::file(second),
                format!(
                    "this name differs from `{}` in small and capital letters only: on Windows \
                     and macOS the two are one",
                    first.rsplit('/').next().unwrap_or(first)
                ),
                "rename one of them, or take one out",
            ));
        }
    }
    problems
}

fn is_record(name: &str) -> bool {
    [".yaml", ".md"].iter().any(|ending| name.ends_with(ending))
}

/// A picture that belongs to no puppy although the first word of its name is one letter away from a
/// puppy's.
pub(super) fn nearly_a_puppys(picture: &PhotoFile, puppies: &[litter::Puppy]) -> Option<Problem> {
    let name = picture.name();
    let stem = name
        .rsplit_once('.')
        .map_or(name, |(stem, _)| stem)
        .to_lowercase();
    let word = stem.split(['-', '_', ' ']).next()?;
    // Of short words too many are one letter apart.
    let near = |id: &&Id| word.len() >= 4 && id.as_str() != word && slips(id.as_str(), word) == 1;
    let id = puppies.iter().map(|puppy| &puppy.id).find(near)?;
    let message = format!("this picture belongs to no puppy: its name begins with `{word}`");
    let meant = format!("{id}{}", name.get(word.len()..)?);
    Some(Problem::warning(
        "photo-name-near",
        Place::file(&picture.file),
        message,
        format!("if it is of `{id}`, rename it to `{meant}`"),
    ))
}

/// The path below the content folder with `/`, when every part of it is plain text.
pub(super) fn plain_path(content: &Path, path: &Path) -> Option<String> {
    let below = path.strip_prefix(content).ok()?.to_str()?;
    let plain = !below
        .chars()
        .any(|c| Text::forbids(c) || matches!(c, '\n' | '\r' | '\t'));
    plain.then(|| below.replace(std::path::MAIN_SEPARATOR, "/"))
}

/// The path as far as it can be shown safely.
pub(super) fn shown_path(content: &Path, path: &Path) -> String {
    let below = path.strip_prefix(content).unwrap_or(path).to_string_lossy();
    below
        .replace(std::path::MAIN_SEPARATOR, "/")
        .chars()
        .map(|c| {
            if Text::forbids(c) || matches!(c, '\n' | '\r' | '\t') {
                '\u{fffd}'
            } else {
                c
            }
        })
        .collect()
}
