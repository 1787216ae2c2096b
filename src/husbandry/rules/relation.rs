//! How closely a sire and a dam are related, as far as rules ask.
//!
//! In: all dogs with their parents. Out: [`Kinship`]: the relations found, and those that the
//! records rule out. What is neither found nor ruled out is open: an unknown parent never counts as
//! "not related". Looks two generations back and no further, so that a circle in the records cannot
//! hold it up.

use crate::quantity::Id;
use crate::records::Dogs;

/// A close relation, the closest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Relation {
    /// Father and daughter, or mother and son.
    ParentAndOffspring,
    /// Brother and sister with both parents in common.
    FullSiblings,
    /// Brother and sister with one parent in common.
    HalfSiblings,
    /// Grandfather and granddaughter, or grandmother and grandson.
    GrandparentAndGrandchild,
}

impl Relation {
    /// All relations, the closest first.
    pub const ALL: [Self; 4] = [
        Self::ParentAndOffspring,
        Self::FullSiblings,
        Self::HalfSiblings,
        Self::GrandparentAndGrandchild,
    ];

    /// The relation in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::ParentAndOffspring => "parent and offspring",
            Self::FullSiblings => "full siblings",
            Self::HalfSiblings => "half siblings",
            Self::GrandparentAndGrandchild => "grandparent and grandchild",
        }
    }
}

/// What the records say of a pair.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Kinship {
    /// The relations found, the closest first; a pair can have several.
    pub found: Vec<Relation>,
    /// The relations that the records rule out.
    pub ruled_out: Vec<Relation>,
}

/// Whether something is so, as far as the records say.
#[derive(Clone, Copy, PartialEq, Eq)]
enum AsRecorded {
    Yes,
    No,
    Open,
}

impl AsRecorded {
    fn same(one: Option<&Id>, other: Option<&Id>) -> Self {
        match (one, other) {
            (Some(a), Some(b)) if a == b => Self::Yes,
            (Some(_), Some(_)) => Self::No,
            _ => Self::Open,
        }
    }

    fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::No, _) | (_, Self::No) => Self::No,
            (Self::Yes, Self::Yes) => Self::Yes,
            _ => Self::Open,
        }
    }

    fn or(self, other: Self) -> Self {
        match (self, other) {
            (Self::Yes, _) | (_, Self::Yes) => Self::Yes,
            (Self::No, Self::No) => Self::No,
            _ => Self::Open,
        }
    }
}

/// The closest relation of sire and dam that the records show. Nothing means that none was found,
/// not that there is none: see [`kinship`].
#[must_use]
pub fn relation(dogs: &Dogs, sire: &Id, dam: &Id) -> Option<Relation> {
    kinship(dogs, sire, dam).found.first().copied()
}

/// All relations of sire and dam that the records show or rule out. A dog that is named but has no
/// record of its own counts as known by name. Nobody is an older dog's ancestor: birth dates rule
/// out what parents leave open. A pair of one and the same dog has no answer.
#[must_use]
pub fn kinship(dogs: &Dogs, sire: &Id, dam: &Id) -> Kinship {
    if sire == dam {
        return Kinship::default();
    }
    let father = |dog: Option<&Id>| dog.and_then(|d| dogs.get(d)).and_then(|d| d.sire.as_ref());
    let mother = |dog: Option<&Id>| dog.and_then(|d| dogs.get(d)).and_then(|d| d.dam.as_ref());
    let (s, d) = (Some(sire), Some(dam));
    let born = |dog: &Id| dogs.get(dog).and_then(|d| d.born);
    // Somebody born on the same day or later is no ancestor; a link in the records speaks louder
    // than a date.
    let (sire_too_young, dam_too_young) = match (born(sire), born(dam)) {
        (Some(sire_born), Some(dam_born)) => (sire_born >= dam_born, dam_born >= sire_born),
        _ => (false, false),
    };
    let unless = |too_young: bool, answer: AsRecorded| {
        if too_young && answer == AsRecorded::Open {
            AsRecorded::No
        } else {
            answer
        }
    };

    let parent = unless(sire_too_young, AsRecorded::same(father(d), s))
        .or(unless(dam_too_young, AsRecorded::same(mother(s), d)));
    let same_father = AsRecorded::same(father(s), father(d));
    let same_mother = AsRecorded::same(mother(s), mother(d));
    let grandfather =
        AsRecorded::same(father(father(d)), s).or(AsRecorded::same(father(mother(d)), s));
    let grandmother =
        AsRecorded::same(mother(father(s)), d).or(AsRecorded::same(mother(mother(s)), d));
    let grandparent = unless(sire_too_young, grandfather).or(unless(dam_too_young, grandmother));
    let full = same_father.and(same_mother);
    // Full siblings are not half siblings as well; one common parent and one unknown is at least
    // half.
    let half = if full == AsRecorded::Yes {
        AsRecorded::No
    } else {
        same_father.or(same_mother)
    };

    let answers = Relation::ALL
        .into_iter()
        .zip([parent, full, half, grandparent]);
    let which = |wanted: AsRecorded| {
        answers
            .clone()
            .filter(|(_, answer)| *answer == wanted)
            .map(|(relation, _)| relation)
            .collect()
    };
    Kinship {
        found: which(AsRecorded::Yes),
        ruled_out: which(AsRecorded::No),
    }
}
