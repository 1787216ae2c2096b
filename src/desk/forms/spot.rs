//! A place in a record: what a page with a form is about.
//!
//! In: the name of a record file and a place in it, as they stand in an address. Out: what stands
//! there, and what a form asks for there. No name leads out of the content folder: a record is one
//! by its name, each part of which is the name of something, and no link is followed.

use super::shape::{self, Field, Form, Kind};
use crate::quantity::Id;
use crate::records::changing::written::Written;
use crate::records::changing::{BELOW, typed, written};
use crate::records::problem::{Problem, Step};
use crate::records::{adding, weights};
use std::path::Path;

/// A place in a record.
#[derive(Debug)]
pub(crate) struct Spot {
    /// The file, below the content folder.
    pub(crate) file: String,
    /// The name of its record type.
    pub(crate) record: &'static str,
    /// Whether there is such a file.
    pub(crate) is_there: bool,
    /// The whole record.
    pub(crate) whole: Written,
    pub(crate) path: Vec<Step>,
    pub(crate) kind: Kind,
}

/// Why there is nothing to fill in.
#[derive(Debug)]
pub(crate) enum Lost {
    /// There is no such record, or no such place in it.
    Nothing,
    /// The text is broken.
    Broken,
}

/// The name of the record type of a file, when the name is one of a record.
pub(crate) fn record_of(file: &str) -> Option<&'static str> {
    let is_name = |part: &str| {
        let stem = part
            .strip_suffix(".yaml")
            .or_else(|| part.strip_suffix(".md"));
        stem.unwrap_or(part).parse::<Id>().is_ok()
    };
    typed::record_of(file).filter(|_| file.split('/').all(is_name))
}

/// The bytes of a record, nothing when there is none.
pub(crate) fn bytes(content: &Path, file: &str) -> Option<Vec<u8>> {
    record_of(file)?;
    let root = content.canonicalize().ok()?;
    let path = root.join(file);
    // A link on the way would lead elsewhere.
    if path.canonicalize().ok()? != path {
        return None;
    }
    std::fs::read(path).ok()
}

/// A record as it stands on the disk, with what stands below its head as one more key.
pub(crate) fn read(file: &str, bytes: Option<&[u8]>) -> Result<Written, Lost> {
    let empty = if file.ends_with(".md") {
        "---\n---\n"
    } else {
        ""
    };
    let text = match bytes {
        None => empty,
        Some(bytes) => adding::text(file, bytes).map_err(|_| Lost::Broken)?,
    };
    of_text(file, text).map_err(|_| Lost::Broken)
}

/// The same of a text.
pub(crate) fn of_text(file: &str, text: &str) -> Result<Written, Vec<Problem>> {
    let (record, below) = written::of(file, text)?;
    if !file.ends_with(".md") {
        return Ok(record);
    }
    let mut entries = match record {
        Written::Block(entries) => entries,
        _ => Vec::new(),
    };
    entries.push((BELOW.to_owned(), Written::Text(below)));
    Ok(Written::Block(entries))
}

impl Spot {
    /// Looks for a place, whose names stand in `at` with dots between.
    pub(crate) fn find(content: &Path, file: &str, at: &str) -> Result<Self, Lost> {
        let record = record_of(file).ok_or(Lost::Nothing)?;
        let bytes = bytes(content, file);
        let whole = read(file, bytes.as_deref())?;
        let text = bytes
            .as_deref()
            .map(String::from_utf8_lossy)
            .unwrap_or_default();
        let path = if at.is_empty() {
            Vec::new()
        } else {
            typed::path(file, &text, at).map_err(|_| Lost::Nothing)?
        };
        let kind = shape::of(record)
            .and_then(|kind| inside(kind, &path))
            .ok_or(Lost::Nothing)?;
        let is_entry = matches!(path.last(), Some(Step::Index(_)));
        if is_entry && whole.at(&path).is_none() {
            return Err(Lost::Nothing);
        }
        Ok(Self {
            file: file.to_owned(),
            record,
            is_there: bytes.is_some(),
            whole,
            path,
            kind,
        })
    }

    /// What stands there.
    pub(crate) fn here(&self) -> &Written {
        self.whole.at(&self.path).unwrap_or(&Written::Nothing)
    }

    /// The litter that the record belongs to.
    pub(crate) fn litter(&self) -> Option<&str> {
        self.file.strip_prefix("litters/")?.split('/').next()
    }
}

/// What a form asks for at a path.
fn inside(mut kind: Kind, path: &[Step]) -> Option<Kind> {
    for step in path {
        kind = match (kind, step) {
            (Kind::Block(form), Step::Key(key)) => form.field(key)?.kind.clone(),
            (Kind::List(entry), Step::Index(_)) => *entry,
            _ => return None,
        };
    }
    matches!(kind, Kind::Block(_) | Kind::List(_) | Kind::TextOr(_)).then_some(kind)
}

/// The fields of an entry, one more for each puppy that can be weighed where the entry takes such.
pub(crate) fn fields(kind: &Kind, here: &Written, puppies: &[(String, String)]) -> Option<Form> {
    let (Kind::Block(form) | Kind::TextOr(form)) = kind else {
        return None;
    };
    let mut form = form.clone();
    let Some(other) = form.others.take() else {
        return Some(form);
    };
    // The unit of the whole list is an entry of its own.
    if here.get("unit").is_some() {
        form.fields.retain(|field| field.key == "unit");
        return Some(form);
    }
    if let Written::Block(_) = here {
        form.fields.retain(|field| field.key != "unit");
    }
    let dam = (weights::DAM.to_owned(), "Dam".to_owned());
    let mut names: Vec<(String, String)> = puppies.iter().cloned().chain([dam]).collect();
    if let Written::Block(entries) = here {
        // A key that is no puppy any more can still be taken out.
        for (key, _) in entries {
            let known = form.field(key).is_some() || names.iter().any(|(name, _)| name == key);
            if !known && key.parse::<Id>().is_ok() {
                names.push((key.clone(), shape::in_words(key)));
            }
        }
    }
    form.fields
        .extend(names.into_iter().map(|(key, label)| Field {
            key,
            label,
            help: String::new(),
            needed: false,
            kind: (*other).clone(),
        }));
    Some(form)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_leads_out_of_the_content_folder() {
        let home = tempfile::tempdir().unwrap();
        let content = home.path().join("content");
        std::fs::create_dir_all(content.join("dogs")).unwrap();
        crate::output::replace_public(&home.path().join("kennel.yaml"), b"a: 1").unwrap();
        crate::output::replace_public(&content.join("dogs/juno.yaml"), b"name: Juno").unwrap();
        assert!(bytes(&content, "dogs/juno.yaml").is_some());
        for file in [
            "../kennel.yaml",
            "dogs/../kennel.yaml",
            "dogs/..%2f.yaml",
            "/etc/passwd",
            "dogs/juno.yaml/",
            "dogs//juno.yaml",
            "dogs/Juno.yaml",
            "dogs/.yaml",
            "litters/../litter.yaml",
            "litters/a/../kennel.yaml",
            "codes.yaml",
            "",
        ] {
            assert!(bytes(&content, file).is_none(), "{file}");
            assert!(
                matches!(Spot::find(&content, file, ""), Err(Lost::Nothing)),
                "{file}"
            );
        }
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(
                home.path().join("kennel.yaml"),
                content.join("dogs/link.yaml"),
            )
            .unwrap();
            assert!(bytes(&content, "dogs/link.yaml").is_none());
        }
    }
}
