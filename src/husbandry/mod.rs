//! Pure computation on records: ages, due windows, growth, birth figures, ancestry. No input or output, no clock.
//!
//! In: checked [`Records`], which know today's date. Out: [`Figures`]. Every formula names its source; thin data gives nothing rather than a number made up. No type here
//! implements `Serialize`: figures reach a page only through a view of `audience`.

pub mod age;
pub mod birth;
pub mod curves;
pub mod findings;
pub mod gestation;
pub mod growth;
pub mod pedigree;
pub mod thresholds;
pub mod trend;

use crate::quantity::{Day, Id};
use crate::records::{LitterFolder, Records, litter::Puppy};
use std::collections::BTreeMap;

/// Everything computed from the records.
#[derive(Debug, Clone)]
pub struct Figures {
    /// The day all ages are counted to.
    pub today: Day,
    /// Figures of each litter.
    pub litters: BTreeMap<Id, LitterFigures>,
    /// Inbreeding of each dog.
    pub dogs: BTreeMap<Id, pedigree::Inbreeding>,
}

/// Figures of one litter.
#[derive(Debug, Clone)]
pub struct LitterFigures {
    /// When it is due, while it is expected.
    pub due: Option<gestation::Due>,
    /// The earliest day on which a puppy may leave.
    pub leaves_from: Option<Day>,
    /// Inbreeding of the puppies, computed from their parents.
    pub inbreeding: pedigree::Inbreeding,
    /// Placentas against puppies.
    pub placentas: birth::Placentas,
    /// Figures of each puppy.
    pub puppies: BTreeMap<Id, PuppyFigures>,
    /// What the keeper should know, the most urgent first.
    pub findings: Vec<findings::Finding>,
}

/// Figures of one puppy.
#[derive(Debug, Clone)]
pub struct PuppyFigures {
    /// Its weights in the order of time, with changes.
    pub growth: growth::Growth,
    /// Its trend over the latest weights, when there are enough.
    pub trend: Option<trend::Trend>,
    /// Its vigour scores.
    pub vigour: Vec<birth::VigourTotal>,
    /// Checks of the newborn that nobody has made yet.
    pub not_looked_at: Vec<&'static str>,
}

/// Computes all figures.
#[must_use]
pub fn compute(records: &Records) -> Figures {
    let ancestry = pedigree::Ancestry::new(&records.dogs);
    let litters = records.litters.iter().map(|(id, folder)| (id.clone(), litter(records, &ancestry, folder))).collect();
    let dogs = records.dogs.keys().map(|id| (id.clone(), ancestry.inbreeding(id))).collect();
    Figures { today: records.today, litters, dogs }
}

fn litter(records: &Records, ancestry: &pedigree::Ancestry, folder: &LitterFolder) -> LitterFigures {
    let birth = folder.litter.birth.as_ref();
    let puppies = folder.litter.puppies.iter().map(|p| (p.id.clone(), puppy(records, folder, p))).collect();
    let mut figures = LitterFigures {
        due: if birth.is_none() { gestation::due(&folder.litter) } else { None },
        leaves_from: birth.map(|b| age::leaves_from(b.on, records.kennel.leaving_age)),
        inbreeding: ancestry.of_mating(&folder.litter.sire, &folder.litter.dam),
        placentas: birth::placentas(&folder.litter),
        puppies,
        findings: Vec::new(),
    };
    figures.findings = findings::of_litter(folder, &figures, &thresholds::thresholds(&records.care_plan.thresholds), records.today);
    figures
}

fn puppy(records: &Records, folder: &LitterFolder, puppy: &Puppy) -> PuppyFigures {
    let growth = growth::of(folder, puppy, records.kennel.time_zone.0);
    PuppyFigures {
        trend: trend::latest(&growth.points),
        growth,
        vigour: puppy.vigour.iter().map(birth::vigour).collect(),
        not_looked_at: birth::not_looked_at(puppy),
    }
}
