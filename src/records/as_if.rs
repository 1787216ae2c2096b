//! A content folder as if it were otherwise, before anything is written.
//!
//! In: what is to become of which file, and what stands in the folder. Out: what would stand there.

use super::listing::{Listed, Listing, What};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// The content folder as if it were otherwise.
#[derive(Debug, Clone, Default)]
pub struct AsIf {
    /// Records with another text, be they there already or not.
    pub texts: BTreeMap<String, String>,
    /// Pictures that are new.
    pub pictures: BTreeSet<String>,
    /// Files that are gone.
    pub gone: BTreeSet<String>,
    /// Files and folders that have another name. Records among them have their text above, under
    /// the new name.
    pub moved: Vec<(String, String)>,
}

impl AsIf {
    /// What would stand in the folder.
    pub(super) fn listing(&self, content: &Path, stands: &Listing) -> Listing {
        let mut entries: Vec<Listed> = Vec::with_capacity(stands.entries.len() + 1);
        for listed in &stands.entries {
            if self.gone.is_empty() && self.moved.is_empty() {
                entries.push(listed.clone());
                continue;
            }
            let below = listed.below(content);
            if self.gone.contains(&below) {
                continue;
            }
            let to = self.moved.iter().find_map(|(from, to)| {
                let rest = below
                    .strip_prefix(from.as_str())
                    .filter(|rest| rest.is_empty() || rest.starts_with('/'))?;
                Some(content.join(format!("{to}{rest}")))
            });
            entries.push(Listed {
                path: to.unwrap_or_else(|| listed.path.clone()),
                what: listed.what.clone(),
            });
        }
        for file in self.texts.keys().chain(&self.pictures) {
            let above = file
                .rsplit_once('/')
                .map(|(folder, _)| (content.join(folder), What::Folder));
            for (path, what) in above
                .into_iter()
                .chain([(content.join(file), What::File(None))])
            {
                if entries.iter().all(|listed| listed.path != path) {
                    entries.push(Listed { path, what });
                }
            }
        }
        self.drop_emptied(content, &mut entries);
        entries.sort_by(|one, other| one.path.cmp(&other.path));
        Listing { entries }
    }

    /// A folder goes with its last file, as on the disk: but for those that every kennel has.
    fn drop_emptied(&self, content: &Path, entries: &mut Vec<Listed>) {
        for file in &self.gone {
            let above = Path::new(file).ancestors().skip(1);
            for folder in above.filter(|folder| folder.components().count() > 1) {
                let folder = content.join(folder);
                let is_in = |listed: &Listed| listed.path.starts_with(&folder);
                // Folders without a file go with it.
                let is_file = |listed: &Listed| !matches!(listed.what, What::Folder);
                if entries
                    .iter()
                    .any(|listed| is_in(listed) && is_file(listed))
                {
                    break;
                }
                entries.retain(|listed| !is_in(listed));
            }
        }
    }
}
