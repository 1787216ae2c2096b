//! What the keeper wrote: one file per record kind, loading, checking, problems with places.
//!
//! In: the content folder and the time now. Out: [`Records`] and every [`Problem`](problem::Problem) of all files at once. Nothing here computes a figure,
//! and no type here implements `Serialize`: records reach a page only through a view of `audience`.

pub mod adding;
pub mod birth_file;
pub mod care_plan;
pub mod changing;
mod checks;
pub mod dog;
pub mod health;
pub mod kennel;
mod known;
mod listing;
pub mod litter;
mod loading;
pub mod naming;
pub mod note;
mod one_file;
mod one_or_many;
pub mod owners;
pub mod photo;
mod print;
pub mod problem;
pub mod promise;
mod reading;
pub mod schema;
pub mod sheet;
pub mod showing;
pub mod since;
pub mod source;
pub mod stretch;
mod taking_in;
pub mod weights;
mod writing;

pub use checks::check_health;
pub use known::Known;
pub use listing::{Listed, Listing, What};
pub use loading::{AsIf, Loaded, load, load_as, load_knowing, load_with};
pub use one_or_many::OneOrMany;
pub use print::Print;
pub use taking_in::{Addition, with_puppy_key};

use crate::quantity::{Day, Id, Moment, Text, Weight};
use std::collections::BTreeMap;

/// Everything in the content folder, read and checked.
#[derive(Debug, Clone)]
pub struct Records {
    /// The day all ages are counted to.
    pub today: Day,
    /// The kennel.
    pub kennel: kennel::Kennel,
    /// Changes to the care plan.
    pub care_plan: care_plan::CarePlan,
    /// Dogs by the name of their file.
    pub dogs: BTreeMap<Id, dog::Dog>,
    /// Litters by the name of their folder.
    pub litters: BTreeMap<Id, LitterFolder>,
    /// Families and waiting list.
    pub owners: owners::Owners,
    /// The kennel's own pages, in the order of the menu.
    pub pages: Vec<note::Page>,
    /// Portraits of dogs.
    pub portraits: BTreeMap<Id, photo::PhotoFile>,
    /// Of all files but weights, health, notes and photos of litters: of what any litter may be shown with beside its own.
    pub print: Print,
}

/// One litter's folder.
#[derive(Debug, Clone)]
pub struct LitterFolder {
    /// Name of the folder.
    pub id: Id,
    /// `litter.yaml`.
    pub litter: litter::Litter,
    /// `weights.yaml`, in the order of time.
    pub weigh_ins: Vec<WeighIn>,
    /// `health.yaml`, in the order written.
    pub health: Vec<health::Entry>,
    /// Notes, newest first.
    pub notes: Vec<note::Note>,
    /// Photos, by file name.
    pub photos: Vec<photo::PhotoFile>,
    /// Of its weights, health and notes.
    pub print: Print,
}

/// A weigh-in whose weights all have their unit.
#[derive(Debug, Clone, PartialEq)]
pub struct WeighIn {
    /// When.
    pub at: Moment,
    /// Who weighed.
    pub by: Option<Text>,
    /// Anything worth keeping.
    pub remark: Option<Text>,
    /// The weights.
    pub weights: BTreeMap<Id, Weight>,
    /// Its place in the file, from 0.
    pub block: usize,
}

impl LitterFolder {
    /// A puppy by its name in the records.
    #[must_use]
    pub fn puppy(&self, id: &Id) -> Option<&litter::Puppy> {
        self.litter.puppies.iter().find(|p| p.id == *id)
    }

    /// The puppies that are alive, as far as the records know.
    pub fn living(&self) -> impl Iterator<Item = &litter::Puppy> {
        self.litter.puppies.iter().filter(|p| p.is_alive())
    }

    /// The weights of the dam, in the order of time.
    pub fn dam_weights(&self) -> impl Iterator<Item = (Moment, Weight)> {
        self.weigh_ins.iter().filter_map(|weigh_in| Some((weigh_in.at, *weigh_in.weights.get(weights::DAM)?)))
    }

    /// Path of one of its files below the content folder.
    #[must_use]
    pub fn file(&self, name: &str) -> String {
        format!("litters/{}/{name}", self.id)
    }
}
