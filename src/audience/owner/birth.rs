//! The birth of the puppy, as its family and their vet should know it.
//!
//! In: litter and puppy. Out: [`BirthRecord`]. Horn, placenta and what the surgeon noted are about
//! the dam and stay with the keeper, and so does what became of littermates.

use super::{BirthRecord, Case, LookedAt, VigourRecord};
use crate::records::litter::{Birth, Litter, Look, Newborn, Palate};

pub(super) fn birth(case: &Case<'_>) -> BirthRecord {
    let Litter {
        name: _,
        dam: _,
        sire: _,
        about: _,
        announced: _,
        mated: _,
        ovulated: _,
        lh_surge: _,
        dioestrus: _,
        progesterone: _,
        measured: _,
        counted: _,
        adult_weight: _,
        birth,
        weaned: _,
        puppies: _,
        pictures: _,
        remarks: _,
    } = &**case.folder.litter;
    let puppy = case.puppy;
    let (on, how) = match birth {
        Some(Birth {
            on,
            how,
            placentas: _,
            surgery: _,
            remarks: _,
        }) => (Some(*on), Some(how.word())),
        None => (None, None),
    };
    let scores = puppy
        .vigour
        .iter()
        .zip(&case.own.vigour)
        .map(|(score, total)| VigourRecord {
            seconds: score.at.as_seconds(),
            total: total.total.map(u32::from),
            class: total.class().to_owned(),
        });
    BirthRecord {
        at: puppy
            .born
            .zip(on)
            .map(|(born, on)| born.on(on).to_string().replace(' ', "T")),
        how,
        order: puppy.order,
        grams: puppy.weight.map(|w| round(w.grams())),
        first_breath_seconds: puppy.first_breath.map(|span| span.as_seconds()),
        palate: (puppy.palate != Palate::NotLookedAt).then(|| puppy.palate.word()),
        vigour: scores.collect(),
        looked_at: looked_at(&puppy.newborn),
    }
}

fn looked_at(newborn: &Newborn) -> Vec<LookedAt> {
    let Newborn {
        limbs,
        navel,
        anus,
        skull,
        eyes,
        tail,
        skin,
        suck,
    } = newborn;
    let items = [
        ("limbs", limbs),
        ("navel", navel),
        ("anus", anus),
        ("skull", skull),
        ("eyes", eyes),
        ("tail", tail),
        ("skin", skin),
        ("suck reflex", suck),
    ];
    items
        .into_iter()
        .filter_map(|(what, look)| match look {
            Look::Normal => Some(LookedAt {
                what,
                seen: "normal".to_owned(),
            }),
            Look::Seen(seen) => Some(LookedAt {
                what,
                seen: seen.to_string(),
            }),
            Look::NotLookedAt => None,
        })
        .collect()
}

/// A weight to the tenth of a gram: ounces make long fractions.
pub(super) fn round(grams: f64) -> f64 {
    (grams * 10.0).round() / 10.0
}
