//! Whether a puppy is ready to leave: what is missing, by name.
//!
//! In: a puppy, its care, findings and papers, the day on which it leaves. Out: [`ReadinessGap`]s,
//! each with what to do about it; an empty list says that nothing was found missing, not that all
//! is well. Whether the puppy leaves all the same is the keeper's decision.

use super::care::{ItemStanding, ItemState};
use super::findings::{Finding, FindingRule, Urgency};
use super::{Figures, LitterFigures, PuppyFigures};
use crate::quantity::Day;
use crate::records::care_plan::CareKind;
use crate::records::health::{HealthEntry, Parasite, Vaccination};
use crate::records::litter::Puppy;
use crate::records::note::{Audience, Topic};
use crate::records::owners::Homes;
use crate::records::{LitterFolder, Records};

/// What kind of thing is missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "`ReadinessGap` tells of each")]
pub enum GapKind {
    Family,
    Age,
    Finding,
    Chip,
    Check,
    Worming,
    Vaccination,
    Papers,
    Feeding,
}

/// Something that is missing before a puppy can leave.
#[derive(Debug, Clone, PartialEq)]
pub enum ReadinessGap {
    /// No family takes it.
    NoFamily,
    /// It is too young.
    TooYoung {
        /// Its birth.
        born: Day,
        /// The day that was looked at.
        on: Day,
        /// The first day on which it may leave.
        from: Day,
    },
    /// Something was noticed of it that is not done with.
    Finding(Box<Finding>),
    /// It has no chip number.
    NoChip,
    /// An item of the care plan is not recorded.
    NotRecorded {
        /// What kind of item.
        kind: GapKind,
        /// The item.
        standing: Box<ItemStanding>,
        /// Whether its last day is over.
        is_late: bool,
    },
    /// An entry lacks what the family's vet will look for.
    EntryLacks {
        /// Which entry.
        entry: PaperEntry,
        /// Its day.
        day: Option<Day>,
        /// What it lacks.
        lacks: Vec<PaperField>,
    },
    /// It has no registration number, and its parents or littermates have one.
    NoRegistration,
    /// The kennel names no telephone.
    NoPhone,
    /// The kennel names no vet for emergencies.
    NoEmergencyVet,
    /// No note says what it eats.
    NoFeedingNote,
}

/// An entry of the health records that a family's vet looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PaperEntry {
    /// A vaccination.
    Vaccination,
    /// A worming.
    Worming,
}

/// What such an entry may lack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PaperField {
    /// Against what it is.
    Against,
    /// Product.
    Product,
    /// Batch.
    Batch,
    /// The vet.
    Vet,
    /// The weight it was given for.
    Weight,
}

impl ReadinessGap {
    /// What kind of thing is missing.
    #[must_use]
    pub fn kind(&self) -> GapKind {
        match self {
            Self::NoFamily => GapKind::Family,
            Self::TooYoung { .. } => GapKind::Age,
            Self::Finding(_) => GapKind::Finding,
            Self::NoChip => GapKind::Chip,
            Self::NotRecorded { kind, .. } => *kind,
            Self::EntryLacks { .. }
            | Self::NoRegistration
            | Self::NoPhone
            | Self::NoEmergencyVet => GapKind::Papers,
            Self::NoFeedingNote => GapKind::Feeding,
        }
    }
}

/// What is missing, and for which day it was looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Readiness {
    /// The day that was agreed with the family, where it is still to come or the puppy has left on
    /// it; otherwise today.
    pub on: Day,
    /// Whether the puppy has left.
    pub has_left: bool,
    /// What is missing, in the order in which a keeper would go about it.
    pub gaps: Vec<ReadinessGap>,
}

/// Looks whether a living puppy of a litter that was born is ready to leave.
#[must_use]
pub fn of_puppy(
    records: &Records,
    figures: &Figures<'_>,
    homes: &Homes<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
) -> Readiness {
    let litter = &figures.litters[&folder.id];
    let home = homes.of(&folder.id, puppy);
    let agreed = home.and_then(|(_, takes)| takes.leaves);
    let has_left = litter.puppies[&puppy.id].is_gone;
    let on = agreed.map_or(figures.today, |leaves| {
        if has_left {
            leaves
        } else {
            leaves.max(figures.today)
        }
    });
    let mut look = ReadinessCheck {
        records,
        folder,
        puppy,
        litter,
        own: &litter.puppies[&puppy.id],
        on,
        gaps: Vec::new(),
    };
    if home.is_none() {
        look.gaps.push(ReadinessGap::NoFamily);
    }
    look.age();
    look.findings();
    look.chip();
    look.care();
    look.papers();
    Readiness {
        on,
        has_left,
        gaps: look.gaps,
    }
}

struct ReadinessCheck<'a> {
    records: &'a Records,
    folder: &'a LitterFolder,
    puppy: &'a Puppy,
    litter: &'a LitterFigures,
    own: &'a PuppyFigures,
    on: Day,
    gaps: Vec<ReadinessGap>,
}

impl ReadinessCheck<'_> {
    fn age(&mut self) {
        let (Some(from), Some(born)) =
            (self.own.leaves_from, self.folder.litter.born_on(self.puppy))
        else {
            return;
        };
        if self.on < from {
            let on = self.on;
            self.gaps.push(ReadinessGap::TooYoung { born, on, from });
        }
    }

    fn findings(&mut self) {
        let urgent =
            self.litter.findings.iter().filter(|f| {
                f.puppy.as_ref() == Some(&self.puppy.id) && f.urgency > Urgency::Steady
            });
        // What is overdue is named one by one below.
        let open = urgent.filter(|f| f.rule() != FindingRule::CareOverdue);
        let gaps = open.map(|found| ReadinessGap::Finding(Box::new(found.clone())));
        self.gaps.extend(gaps);
    }

    fn chip(&mut self) {
        let has_chip = self.puppy.chip.is_some() || self.entries().any(|e| e.chip.is_some());
        let is_excused = self
            .standings(CareKind::Chip)
            .any(|s| matches!(s.state, ItemState::Excused(_)));
        if !has_chip && !is_excused {
            self.gaps.push(ReadinessGap::NoChip);
        }
    }

    /// Everything of the plan that is due by that day.
    fn care(&mut self) {
        for (kind, gap) in [
            (CareKind::Check, GapKind::Check),
            (CareKind::Worming, GapKind::Worming),
            (CareKind::Vaccination, GapKind::Vaccination),
        ] {
            let missing = self.standings(kind).filter(|s| self.is_missing(s));
            let gaps: Vec<ReadinessGap> = missing
                .map(|standing| ReadinessGap::NotRecorded {
                    kind: gap,
                    standing: Box::new(standing.clone()),
                    is_late: standing.until < self.records.today,
                })
                .collect();
            self.gaps.extend(gaps);
        }
    }

    fn is_missing(&self, standing: &ItemStanding) -> bool {
        match standing.state {
            ItemState::Done(_) | ItemState::Excused(_) | ItemState::NextOwner => false,
            ItemState::Overdue | ItemState::LeftOut => {
                standing.until <= self.on || !self.own.is_gone
            }
            ItemState::Due | ItemState::ToCome => standing.until <= self.on,
        }
    }

    /// What the family and its vet will look for on paper.
    fn papers(&mut self) {
        let mut lacking = Vec::new();
        for entry in self.entries() {
            let day = entry.day();
            let mut look = |entry, fields: &[(PaperField, bool)]| {
                let lacks = fields.iter().filter(|(_, is_lacking)| *is_lacking);
                let lacks: Vec<PaperField> = lacks.map(|(field, _)| *field).collect();
                if !lacks.is_empty() {
                    lacking.push(ReadinessGap::EntryLacks { entry, day, lacks });
                }
            };
            if let Some(Vaccination {
                product,
                batch,
                by,
                against,
                ..
            }) = &entry.vaccination
            {
                let fields = [
                    (PaperField::Against, against.is_empty()),
                    (PaperField::Product, product.is_none()),
                    (PaperField::Batch, batch.is_none()),
                    (PaperField::Vet, by.is_none()),
                ];
                look(PaperEntry::Vaccination, &fields);
            }
            if let Some(Parasite {
                product, weight, ..
            }) = &entry.worming
            {
                let fields = [
                    (PaperField::Product, product.is_none()),
                    (PaperField::Weight, weight.is_none()),
                ];
                look(PaperEntry::Worming, &fields);
            }
        }
        self.gaps.extend(lacking);
        let registered =
            self.folder.living().any(|p| p.registration.is_some()) || self.parents_are_registered();
        if registered && self.puppy.registration.is_none() {
            self.gaps.push(ReadinessGap::NoRegistration);
        }
        if self.records.kennel.contact.phone.is_none() {
            self.gaps.push(ReadinessGap::NoPhone);
        }
        if self.records.kennel.contact.emergency_vet.is_none() {
            self.gaps.push(ReadinessGap::NoEmergencyVet);
        }
        if !self.says_how_to_feed() {
            self.gaps.push(ReadinessGap::NoFeedingNote);
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
        parents.iter().all(|id| {
            self.records
                .dogs
                .get(*id)
                .is_some_and(|dog| dog.registration.is_some())
        })
    }

    fn entries(&self) -> impl Iterator<Item = &HealthEntry> {
        self.folder
            .health
            .iter()
            .filter(|entry| entry.is_for(&self.puppy.id))
    }

    fn standings(&self, kind: CareKind) -> impl Iterator<Item = &ItemStanding> {
        self.own
            .care
            .standings
            .iter()
            .filter(move |s| s.item.what == kind)
    }
}
