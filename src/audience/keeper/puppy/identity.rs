//! Who a puppy is and how it was born, as facts for its page.

use super::super::{BookContext, Fact, Facts, thin};
use crate::records::LitterFolder;
use crate::records::dog::Registration;
use crate::records::litter::{Fate, Horn, Look, Newborn, Puppy, Returned, Vigour};

pub(super) fn identity(puppy: &Puppy) -> Vec<Fact> {
    let Puppy {
        id,
        name: _,
        registered_name,
        ribbon,
        sex,
        colour,
        markings,
        born: _,
        order: _,
        horn: _,
        weight: _,
        first_breath: _,
        palate: _,
        placenta: _,
        vigour: _,
        newborn: _,
        offer,
        about,
        registration,
        chip,
        weaned,
        returned,
        fate,
        on,
        cause,
        remarks,
    } = puppy;
    let mut facts = Facts::default();
    facts
        .say("Id", id)
        .maybe("Registered name", registered_name.as_ref())
        .maybe("Ribbon", *ribbon)
        .say("Sex", sex.word());
    facts
        .maybe("Colour", colour.as_ref())
        .maybe("Markings", markings.as_ref())
        .say("Offer", offer.word())
        .maybe("Public words", about.as_ref());
    facts
        .maybe(
            "Registration",
            registration
                .as_ref()
                .map(|Registration { registry, number }| format!("{registry} {number}")),
        )
        .maybe("Chip", chip.as_ref())
        .day("Weaned", *weaned);
    if let Some(Returned {
        on,
        reason,
        remarks,
    }) = returned
    {
        facts
            .day("Came back", Some(*on))
            .maybe("Reason", reason.as_ref())
            .maybe("Remarks on that", remarks.as_ref());
    }
    if let Some(fate) = fate {
        facts.say("Fate", fate.word());
    }
    facts
        .day("On", *on)
        .maybe("Cause", cause.as_ref())
        .maybe("Remarks", remarks.as_ref())
        .done()
}

pub(super) fn newborn(
    context: &BookContext<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
) -> Vec<Fact> {
    let figures = &context.figures.litters[&folder.id].puppies[&puppy.id];
    let mut facts = Facts::default();
    facts.maybe("Order", puppy.order);
    if let Some(born) = folder.litter.born_at(puppy) {
        facts.say("Born", born);
    }
    facts
        .maybe("Horn", puppy.horn.map(Horn::word))
        .maybe("Birth weight", puppy.weight.map(|w| context.weight(w)));
    facts.maybe("First breath after", puppy.first_breath);
    facts
        .say("Palate", puppy.palate.word())
        .say("Placenta", puppy.placenta.word());
    for (score, total) in puppy.vigour.iter().zip(&figures.vigour) {
        let said = total.total.map_or_else(
            || thin::vigour(score),
            |sum| format!("{sum} of 10, {}", total.class()),
        );
        facts.say(
            "Vigour",
            format!("at {}: {said} ({})", score.at, items(score)),
        );
    }
    if puppy.vigour.is_empty() && puppy.fate != Some(Fate::Stillborn) {
        facts.say("Vigour", "not known, because nobody scored it");
    }
    let Newborn {
        limbs,
        navel,
        anus,
        skull,
        eyes,
        tail,
        skin,
        suck,
    } = &puppy.newborn;
    for (label, look) in [
        ("Limbs", limbs),
        ("Navel", navel),
        ("Anus", anus),
        ("Skull", skull),
        ("Eyes", eyes),
        ("Tail", tail),
        ("Skin", skin),
        ("Suck", suck),
    ] {
        match look {
            Look::Normal => _ = facts.say(label, "normal"),
            Look::Seen(what) => _ = facts.say(label, what),
            Look::NotLookedAt => {}
        }
    }
    if !figures.not_looked_at.is_empty() {
        facts.say("Not looked at yet", figures.not_looked_at.join(", "));
    }
    facts.done()
}

pub(super) fn items(score: &Vigour) -> String {
    let Vigour {
        at: _,
        heart,
        breathing,
        reflex,
        movement,
        gums,
        heart_rate,
        breaths,
    } = score;
    let scored = [
        ("heart", heart),
        ("breathing", breathing),
        ("reflex", reflex),
        ("movement", movement),
        ("gums", gums),
    ];
    let scored = scored.into_iter().map(|(name, item)| {
        format!(
            "{name} {}",
            item.map_or_else(|| "?".to_owned(), |s| s.points().to_string())
        )
    });
    let counted = [
        heart_rate.map(|r| format!("{r} beats/min")),
        breaths.map(|r| format!("{r} breaths/min")),
    ];
    scored
        .chain(counted.into_iter().flatten())
        .collect::<Vec<_>>()
        .join(", ")
}
