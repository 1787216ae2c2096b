//! Wraps the records, so that the cache knows which page read which file.
//!
//! In: records as they were read, with the digests of their files. Out: the same as tracked values.
//! Each file stands for what is in it; where several files make one list, their digests together
//! do.

use super::{
    Dogs, LitterFolder, Records, care_plan, kennel,
    note::Page,
    owners,
    photo::{self, PhotoFile},
};
use crate::cache::{Digest, Digester, Digests, Tracked, TrackedMap, TrackedName};
use crate::quantity::{Day, Id};
use std::collections::BTreeMap;

/// Litters, while they are read.
pub(super) struct TrackedLitters {
    all: TrackedMap<Id, LitterFolder>,
    by_dam: BTreeMap<Id, Vec<Id>>,
}

impl TrackedLitters {
    pub(super) fn new() -> Self {
        Self {
            all: TrackedMap::new("litters/"),
            by_dam: BTreeMap::new(),
        }
    }

    pub(super) fn all(&self) -> &TrackedMap<Id, LitterFolder> {
        &self.all
    }

    /// Adds a litter; its parts get their names.
    pub(super) fn insert(&mut self, litter: LitterFolder, digests: &mut Digests) {
        let LitterFolder {
            id,
            litter,
            weigh_ins,
            bare_unit,
            health,
            notes,
            photos,
        } = litter;
        let name = |name: &str| TrackedName::from(format!("litters/{id}/{name}"));
        let [record, notes_below, photos_below] = ["litter.yaml", "notes/", "photos/"].map(name);
        digests.insert(notes_below.clone(), digests.below(&notes_below));
        digests.insert(photos_below.clone(), photo::digest_of(&photos));
        let of_dam = self.by_dam.entry(litter.dam.clone()).or_default();
        of_dam.push(id.clone());
        let folder = LitterFolder {
            litter: litter.named(record.clone()),
            weigh_ins: weigh_ins.named(name("weights.yaml")),
            bare_unit,
            health: health.named(name("health.yaml")),
            notes: notes.named(notes_below),
            photos: photos.named(photos_below),
            id: id.clone(),
        };
        self.all.insert_named(id, record, folder);
    }
}

/// The other parts of the records.
pub(super) struct OtherRecords {
    pub(super) today: Day,
    pub(super) kennel: kennel::Kennel,
    pub(super) care_plan: care_plan::CarePlan,
    pub(super) dogs: Dogs,
    pub(super) owners: owners::Owners,
    pub(super) pages: Vec<Page>,
    pub(super) portraits: BTreeMap<Id, PhotoFile>,
}

/// All records, with the digests of all that is tracked.
pub(super) fn records(
    parts: OtherRecords,
    litters: TrackedLitters,
    mut digests: Digests,
) -> Records {
    let TrackedLitters { all, by_dam } = litters;
    let mut litters_by_dam = TrackedMap::new("dams/");
    for (dam, litters) in by_dam {
        let name = TrackedName::from(format!("dams/{dam}"));
        digests.insert(name.clone(), names_of(litters.iter()));
        litters_by_dam.insert_named(dam, name, litters);
    }
    let of_portraits = Digester::default()
        .digest(&names_of(parts.portraits.keys()))
        .digest(&photo::digest_of(parts.portraits.values()))
        .finish();
    for (name, digest) in [
        ("dogs/", names_of(parts.dogs.keys())),
        ("litters/", names_of(all.keys())),
        ("dams/", names_of(litters_by_dam.keys())),
        ("pages/", digests.below("pages/")),
        (PORTRAITS, of_portraits),
    ] {
        digests.insert(name, digest);
    }
    Records {
        today: parts.today,
        kennel: Tracked::new("kennel.yaml", parts.kennel),
        care_plan: Tracked::new("care-plan.yaml", parts.care_plan),
        dogs: parts.dogs.named("dogs/"),
        litters: all,
        litters_by_dam,
        owners: Tracked::new("owners.yaml", parts.owners),
        pages: Tracked::new("pages/", parts.pages),
        portraits: Tracked::new(PORTRAITS, parts.portraits),
        digests,
    }
}

/// The name of all portraits together.
const PORTRAITS: &str = "portraits";

/// The digest of some names.
fn names_of<'a>(names: impl Iterator<Item = &'a Id>) -> Digest {
    let mut all = Digester::default();
    for name in names {
        all.part(name.as_str().as_bytes());
    }
    all.finish()
}
