//! The folder of a kennel: where its parts stand.
//!
//! In: the folder as typed. Out: paths, lists of what stands there, the records (read anew, or as
//! far as they changed where a run stays), and the keeper's own templates. What a killed change of
//! records left half done is ended first.

use super::kept::{KeptRecords, SeenTexts};
use crate::Error;
use crate::output::recover;
use crate::records::problem::{Place, Problem};
use crate::records::{AsIf, Listed, Listing, Loaded, What};
use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
    sync::Arc,
};

/// A kennel's folder.
pub struct Folder {
    /// The kennel itself, where the secrets stand.
    pub root: PathBuf,
    pub content: PathBuf,
    pub templates: PathBuf,
    pub public: PathBuf,
    pub private: PathBuf,
    /// What the program remembers between two runs.
    pub state: PathBuf,
    kept: KeptRecords,
    /// Whether records are kept for longer than one command.
    stays: bool,
}

impl Folder {
    /// Finds the parts.
    pub fn new(kennel: &Path) -> Result<Self, Error> {
        let folder = Self::keeping(kennel, &KeptRecords::default())?;
        Ok(Self {
            stays: false,
            ..folder
        })
    }

    /// The same, with the records that were read there before.
    pub fn keeping(kennel: &Path, kept: &KeptRecords) -> Result<Self, Error> {
        let content = kennel.join("content");
        if !content.is_dir() {
            let shown = kennel.display();
            return Err(Error::Usage(format!(
                "there is no folder `content` in {shown}; `litterfolio begin <DIR>` makes a new \
                 kennel, `--kennel <DIR>` names another"
            )));
        }
        let [templates, public, private, state] =
            ["templates", "public", "private", ".litterfolio"].map(|name| kennel.join(name));
        // What a killed run left half changed is ended before anybody reads it.
        recover(&state, &content)?;
        Ok(Self {
            root: kennel.to_owned(),
            content,
            templates,
            public,
            private,
            state,
            kept: kept.clone(),
            stays: true,
        })
    }

    /// The records as they stand now.
    pub fn records(&self) -> Result<Arc<Loaded>, Error> {
        Ok(self.kept.now(&self.content)?)
    }

    /// The records as they were looked at, where this run stays and keeps them.
    pub(super) fn kept_records(&self, seen: impl FnOnce() -> SeenTexts) -> Option<Loaded> {
        let kept = || (*self.kept.of(&self.content, seen())).clone();
        self.stays.then(kept)
    }

    /// The records as they would be.
    pub fn records_as(&self, as_if: &AsIf) -> Result<Arc<Loaded>, Error> {
        Ok(self.kept.as_if(&self.content, as_if)?)
    }

    /// Where the content stands, as shown before file names.
    pub fn shown_content(&self) -> String {
        let shown = self.content.display().to_string().replace('\\', "/");
        shown.strip_prefix("./").map(str::to_owned).unwrap_or(shown)
    }

    /// The keeper's own templates: name below the folder → text. Those of the desk are replaced by
    /// nobody; where they stand, as beside the program's own source, they are passed over.
    pub fn own_templates(&self) -> Result<BTreeMap<String, String>, Error> {
        let mut own = BTreeMap::new();
        for listed in &self.list_templates()?.entries {
            let Listed { path, what } = listed;
            if let What::Unreadable(why) = what {
                return Err(Error::Usage(format!(
                    "cannot read the templates folder: {why}"
                )));
            }
            let name = listed.below(&self.templates);
            let ours = [".html", ".css", ".js"]
                .iter()
                .any(|ending| name.ends_with(ending));
            if matches!(what, What::File(_)) && ours && !name.starts_with("desk/") {
                let text = fs::read_to_string(path)
                    .map_err(|error| Error::io("read the template", path, error))?;
                own.insert(name, text);
            }
        }
        Ok(own)
    }

    /// What stands in the templates folder and cannot be a template, although it looks as if it
    /// should be one: without a word the page would be made as if it were not there.
    pub fn strange_templates(&self, listing: &Listing) -> Vec<Problem> {
        let problem = |listed: &Listed| {
            let name = listed.below(&self.templates);
            let (code, message, hint) = match listed.what {
                What::Link => (
                    "symbolic-link",
                    "this is a link to another place",
                    "put the file or folder itself here; links are not followed",
                ),
                What::Strange => (
                    "not-a-file",
                    "this is neither a file nor a folder",
                    "take it out of the templates folder",
                ),
                What::File(_) | What::Folder | What::Unreadable(_) => return None,
            };
            Some(Problem::error(
                code,
                Place::file(&format!("../templates/{name}")),
                message,
                hint,
            ))
        };
        listing.entries.iter().filter_map(problem).collect()
    }

    /// What stands in the content folder.
    pub fn list_content(&self) -> Result<Listing, Error> {
        Listing::of(&self.content)
            .map_err(|error| Error::io("read the content folder", &self.content, error))
    }

    /// What stands in the templates folder; nothing where there is none.
    pub fn list_templates(&self) -> Result<Listing, Error> {
        if !self.templates.is_dir() {
            return Ok(Listing::default());
        }
        Listing::of(&self.templates)
            .map_err(|error| Error::io("read the templates folder", &self.templates, error))
    }
}
