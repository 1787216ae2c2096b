//! Where public pages stand, below the root of the site.
//!
//! In: names of records. Out: paths. One place for all, so that a link and the page it leads to are
//! never of two minds.

use crate::quantity::Id;
use crate::records::LitterFolder;

pub(super) fn litter(folder: &LitterFolder) -> String {
    format!("litters/{}.html", folder.id)
}

pub(super) fn puppy(folder: &LitterFolder, puppy: &Id) -> String {
    format!("litters/{}/{puppy}.html", folder.id)
}

pub(super) fn dog(id: &Id) -> String {
    format!("dogs/{id}.html")
}
