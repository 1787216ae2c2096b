//! The folder of a kennel: where its parts stand.
//!
//! In: the folder as typed. Out: paths, and the keeper's own templates.

use crate::Error;
use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
};
use walkdir::WalkDir;

/// A kennel's folder.
pub(super) struct Folder {
    /// The kennel itself, where the secrets stand.
    pub(super) root: PathBuf,
    pub(super) content: PathBuf,
    pub(super) templates: PathBuf,
    pub(super) public: PathBuf,
    pub(super) private: PathBuf,
    /// What the program remembers between two runs.
    pub(super) state: PathBuf,
}

impl Folder {
    /// Finds the parts.
    pub(super) fn new(kennel: &Path) -> Result<Self, Error> {
        let content = kennel.join("content");
        if !content.is_dir() {
            let shown = kennel.display();
            return Err(Error::Usage(format!(
                "there is no folder `content` in {shown}; `litterfolio begin <DIR>` makes a new kennel, `--kennel <DIR>` names another"
            )));
        }
        let [templates, public, private, state] = ["templates", "public", "private", ".litterfolio"].map(|name| kennel.join(name));
        Ok(Self { root: kennel.to_owned(), content, templates, public, private, state })
    }

    /// Where the content stands, as shown before file names.
    pub(super) fn shown_content(&self) -> String {
        let shown = self.content.display().to_string().replace('\\', "/");
        shown.strip_prefix("./").map(str::to_owned).unwrap_or(shown)
    }

    /// The keeper's own templates: name below the folder → text.
    pub(super) fn own_templates(&self) -> Result<BTreeMap<String, String>, Error> {
        let mut own = BTreeMap::new();
        if !self.templates.is_dir() {
            return Ok(own);
        }
        for entry in WalkDir::new(&self.templates).sort_by_file_name() {
            let entry = entry.map_err(|error| Error::io("read the templates folder", &self.templates, error.into()))?;
            let name = entry.path().strip_prefix(&self.templates).unwrap_or(entry.path()).to_string_lossy().replace(std::path::MAIN_SEPARATOR, "/");
            let ours = [".html", ".css", ".js"].iter().any(|ending| name.ends_with(ending));
            if entry.file_type().is_file() && ours {
                let text = fs::read_to_string(entry.path()).map_err(|error| Error::io("read the template", entry.path(), error))?;
                own.insert(name, text);
            }
        }
        Ok(own)
    }
}
