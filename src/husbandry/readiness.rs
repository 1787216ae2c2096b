//! Whether a puppy is ready to leave: what is missing, by name.
//!
//! In: a puppy, its care, findings and papers, the day on which it leaves. Out: [`Gap`]s, each with what to do about it; an empty list says that nothing was found missing, not that all is well.
//! Whether the puppy leaves all the same is the keeper's decision.

use super::age;
use super::care::{Standing, State};
use super::findings::Urgency;
use super::{Figures, LitterFigures, PuppyFigures};
use crate::quantity::Day;
use crate::records::care_plan::CareKind;
use crate::records::health::{Entry, Parasite, Vaccination};
use crate::records::litter::Puppy;
use crate::records::note::{Audience, Topic};
use crate::records::owners::Homes;
use crate::records::{LitterFolder, Records};

/// Something that is missing before a puppy can leave.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gap {
    /// In one or two words: `chip`, `vaccination`.
    pub what: &'static str,
    /// What is missing, a sentence without full stop.
    pub missing: String,
    /// What to do, or where to write it.
    pub hint: String,
}

/// What is missing, and for which day it was looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Readiness {
    /// The day that was agreed with the family, where it is still to come or the puppy has left on it; otherwise today.
    pub on: Day,
    /// Whether the puppy has left.
    pub has_left: bool,
    /// What is missing, in the order in which a keeper would go about it.
    pub gaps: Vec<Gap>,
}

/// Looks whether a living puppy of a litter that was born is ready to leave.
#[must_use]
pub fn of_puppy(records: &Records, figures: &Figures<'_>, homes: &Homes<'_>, folder: &LitterFolder, puppy: &Puppy) -> Readiness {
    let litter = &figures.litters[&folder.id];
    let home = homes.of(&folder.id, puppy);
    let agreed = home.and_then(|(_, takes)| takes.leaves);
    let has_left = litter.puppies[&puppy.id].is_gone;
    let on = agreed.map_or(figures.today, |leaves| if has_left { leaves } else { leaves.max(figures.today) });
    let mut look = Look { records, folder, puppy, litter, own: &litter.puppies[&puppy.id], on, gaps: Vec::new() };
    if home.is_none() {
        look.gap("family", "no family takes this puppy in owners.yaml", "add it under `takes:` of its family; without one there is no sealed page");
    }
    look.age();
    look.findings();
    look.chip();
    look.care();
    look.papers();
    Readiness { on, has_left, gaps: look.gaps }
}

struct Look<'a> {
    records: &'a Records,
    folder: &'a LitterFolder,
    puppy: &'a Puppy,
    litter: &'a LitterFigures,
    own: &'a PuppyFigures,
    on: Day,
    gaps: Vec<Gap>,
}

impl Look<'_> {
    fn gap(&mut self, what: &'static str, missing: impl Into<String>, hint: impl Into<String>) {
        self.gaps.push(Gap { what, missing: missing.into(), hint: hint.into() });
    }

    fn age(&mut self) {
        let (Some(from), Some(born)) = (self.own.leaves_from, self.folder.litter.born_on(self.puppy)) else { return };
        if self.on < from {
            let age = age::in_words(born, self.on);
            let hint = format!("agree on {from} or later under `leaves:` in owners.yaml; many laws allow no earlier day");
            self.gap("age", format!("it is {age} old on {}, and may leave from {from}", self.on), hint);
        }
    }

    fn findings(&mut self) {
        let urgent = self.litter.findings.iter().filter(|f| f.puppy.as_ref() == Some(&self.puppy.id) && f.urgency > Urgency::Steady);
        // What is overdue is named one by one below.
        let said: Vec<(Urgency, String)> = urgent.filter(|f| f.rule != "care-overdue").map(|f| (f.urgency, f.what.clone())).collect();
        for (urgency, what) in said {
            self.gap("finding", format!("{}: {what}", urgency.words()), "look at it first; the keeper’s book has the figures");
        }
    }

    fn chip(&mut self) {
        let has_chip = self.puppy.chip.is_some() || self.entries().any(|e| e.chip.is_some());
        let is_excused = self.standings(CareKind::Chip).any(|s| matches!(s.state, State::Excused(_)));
        if !has_chip && !is_excused {
            self.gap("chip", "no chip number in the records", "write `chip:` in litter.yaml, or a `chip` entry in health.yaml");
        }
    }

    /// Everything of the plan that is due by that day.
    fn care(&mut self) {
        for (kind, what) in [(CareKind::Check, "vet check"), (CareKind::Worming, "worming"), (CareKind::Vaccination, "vaccination")] {
            let missing: Vec<String> = self.standings(kind).filter(|s| self.is_missing(s)).map(|s| self.said(s)).collect();
            for missing in missing {
                self.gap(what, missing, "write it into health.yaml, or say there why it is not needed (`excused:`)");
            }
        }
    }

    fn said(&self, standing: &Standing) -> String {
        let Standing { item, until, remark, .. } = standing;
        let because = remark.as_ref().map(|remark| format!("; {}", remark.words())).unwrap_or_default();
        if *until < self.records.today {
            format!("{} was due by {until} and is not recorded{because}", item.name)
        } else {
            format!("{} is due by {until}, before it leaves, and is not recorded yet{because}", item.name)
        }
    }

    fn is_missing(&self, standing: &Standing) -> bool {
        match standing.state {
            State::Done(_) | State::Excused(_) | State::NextOwner => false,
            State::Overdue | State::LeftOut => standing.until <= self.on || !self.own.is_gone,
            State::Due | State::ToCome => standing.until <= self.on,
        }
    }

    /// What the family and its vet will look for on paper.
    fn papers(&mut self) {
        let mut lacking = Vec::new();
        for entry in self.entries() {
            let day = entry.day().map(|day| day.to_string()).unwrap_or_default();
            if let Some(Vaccination { product, batch, by, against, .. }) = &entry.vaccination {
                let lacks = [
                    ("what it is against (`against`)", against.is_empty()),
                    ("product", product.is_none()),
                    ("batch", batch.is_none()),
                    ("vet (`by`)", by.is_none()),
                ];
                lacking.push((format!("the vaccination of {day}"), lacks.to_vec()));
            }
            if let Some(Parasite { product, weight, .. }) = &entry.worming {
                lacking.push((format!("the worming of {day}"), vec![("product", product.is_none()), ("weight it was given for", weight.is_none())]));
            }
        }
        for (of, lacks) in lacking {
            let names: Vec<&str> = lacks.into_iter().filter_map(|(name, lacks)| lacks.then_some(name)).collect();
            if !names.is_empty() {
                self.gap("papers", format!("{of} lacks its {}", names.join(", ")), "write it into that entry of health.yaml");
            }
        }
        let registered = self.folder.living().any(|p| p.registration.is_some()) || self.parents_are_registered();
        if registered && self.puppy.registration.is_none() {
            self.gap("papers", "no registration number, and its parents or littermates have one", "write `registration:` in litter.yaml");
        }
        if self.records.kennel.contact.phone.is_none() {
            self.gap("papers", "the kennel’s own telephone is missing", "write `phone:` under `contact:` in kennel.yaml");
        }
        if self.records.kennel.contact.emergency_vet.is_none() {
            self.gap("papers", "no vet for emergencies is named", "write `emergency_vet:` under `contact:` in kennel.yaml");
        }
        if !self.says_how_to_feed() {
            self.gap("feeding", "no note tells the family what it eats and when", "write a note with `audience: owners` and `topic: feeding`");
        }
    }

    fn says_how_to_feed(&self) -> bool {
        self.folder.notes.iter().map(|note| &note.head).any(|head| {
            let for_them = head.puppies.is_empty() || head.puppies.contains(&self.puppy.id);
            head.audience != Audience::Keeper && head.topic == Some(Topic::Feeding) && for_them
        })
    }

    fn parents_are_registered(&self) -> bool {
        let parents = [&self.folder.litter.dam, &self.folder.litter.sire];
        parents.iter().all(|id| self.records.dogs.get(*id).is_some_and(|dog| dog.registration.is_some()))
    }

    fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.folder.health.iter().filter(|entry| entry.is_for(&self.puppy.id))
    }

    fn standings(&self, kind: CareKind) -> impl Iterator<Item = &Standing> {
        self.own.care.standings.iter().filter(move |s| s.item.what == kind)
    }
}
