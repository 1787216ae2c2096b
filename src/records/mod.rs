//! What the keeper wrote: one file per record kind, loading, checking, problems with places.
//!
//! In: the content folder and the time now. Out: [`Records`] and every
//! [`Problem`](problem::Problem) of all files at once. Nothing here computes a figure, and no type
//! here implements `Serialize`: records reach a page only through a view of `audience`.

// The floors below.
use litterfolio_cache as cache;
use litterfolio_output as output;
use litterfolio_quantity as quantity;

pub mod adding;
mod as_if;
pub mod birth_file;
pub mod care_plan;
pub mod changing;
mod checks;
pub mod dog;
mod file_names;
pub mod health;
pub mod kennel;
mod listing;
pub mod litter;
mod loaded;
mod loading;
pub mod naming;
mod newborn;
pub mod note;
mod one_file;
mod one_or_many;
pub mod owners;
mod parsed;
pub mod photo;
pub mod problem;
pub mod promise;
mod reading;
pub mod schema;
mod shared;
pub mod sheet;
pub mod showing;
pub mod since;
pub mod source;
pub mod stretch;
mod taking_in;
mod text_file;
mod tracking;
mod vigour;
pub mod weights;
mod words;
mod writing;

pub use as_if::AsIf;
pub use checks::{Weighed, check_health, is_reserved, off_their_day};
pub use listing::{Listed, Listing, What};
pub use loaded::{Loaded, ReadFiles};
pub use loading::{Unlisted, load, load_again, load_as, load_parsed, load_with};
pub use one_or_many::OneOrMany;
pub use parsed::ParsedTexts;
pub use shared::Shared;
pub use taking_in::{Addition, Beside, beside, with_puppy_key, written_puppies};

use crate::cache::{Digests, Tracked, TrackedMap};
use crate::quantity::{Day, Id, Moment, Text, Weight, WeightUnit};
use std::collections::BTreeMap;

/// Everything in the content folder, read and checked. Its parts are tracked: the cache knows which
/// page read which file.
#[derive(Debug, Clone)]
pub struct Records {
    /// The day all ages are counted to.
    pub today: Day,
    /// The kennel.
    pub kennel: Tracked<kennel::Kennel>,
    /// Changes to the care plan.
    pub care_plan: Tracked<care_plan::CarePlan>,
    /// Dogs by the name of their file.
    pub dogs: Dogs,
    /// Litters by the name of their folder.
    pub litters: TrackedMap<Id, LitterFolder>,
    /// The names of the litters of each dam.
    pub litters_by_dam: TrackedMap<Id, Vec<Id>>,
    /// Families and waiting list.
    pub owners: Tracked<owners::Owners>,
    /// The kennel's own pages, in the order of the menu.
    pub pages: Tracked<Vec<note::Page>>,
    /// Portraits of dogs.
    pub portraits: Tracked<BTreeMap<Id, photo::PhotoFile>>,
    /// The digests of all of these.
    pub digests: Digests,
}

/// Dogs by the name of their file.
pub type Dogs = TrackedMap<Id, dog::Dog>;

impl Records {
    /// The litters of a dam, in the order of their names.
    pub fn litters_of(&self, dam: &Id) -> impl Iterator<Item = &LitterFolder> {
        let of_dam = self.litters_by_dam.get(dam).into_iter().flatten();
        of_dam.filter_map(|id| self.litters.get(id))
    }

    /// The unit that a bare number takes which is added to a litter's `weights.yaml`: the last that
    /// the file names, or else the kennel's.
    #[must_use]
    pub fn bare_unit(&self, litter: &LitterFolder) -> WeightUnit {
        let usual = match self.kennel.units {
            kennel::Units::Ounces => WeightUnit::Ounce,
            kennel::Units::Grams => WeightUnit::Gram,
        };
        litter.bare_unit.unwrap_or(usual)
    }
}

/// One litter's folder.
#[derive(Debug, Clone)]
pub struct LitterFolder {
    /// Name of the folder.
    pub id: Id,
    /// `litter.yaml`.
    pub litter: Tracked<Shared<litter::Litter>>,
    /// `weights.yaml`, in the order of time.
    pub weigh_ins: Tracked<Shared<Vec<WeighIn>>>,
    /// The unit that a bare number at the end of `weights.yaml` takes, where the file says one.
    pub bare_unit: Option<WeightUnit>,
    /// `health.yaml`, in the order written.
    pub health: Tracked<Shared<Vec<health::HealthEntry>>>,
    /// Notes, newest first.
    pub notes: Tracked<Vec<note::Note>>,
    /// Photos, by file name.
    pub photos: Tracked<Vec<photo::PhotoFile>>,
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

/// Age in days from which a litter is history (12 weeks: ours, no source): nobody decides anything
/// by it any more, no slip is looked for in it, and it is one of the litters by which later ones
/// are judged.
pub const HISTORY: i64 = 84;

impl LitterFolder {
    /// Whether the litter is history; one that is not born yet is none.
    #[must_use]
    pub fn is_history(&self, today: Day) -> bool {
        let birth = self.litter.birth.as_ref();
        birth.is_some_and(|birth| today.since(birth.on) > HISTORY)
    }

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
        self.weigh_ins
            .iter()
            .filter_map(|weigh_in| Some((weigh_in.at, *weigh_in.weights.get(weights::DAM)?)))
    }

    /// Path of one of its files below the content folder.
    #[must_use]
    pub fn file(&self, name: &str) -> String {
        format!("litters/{}/{name}", self.id)
    }
}
