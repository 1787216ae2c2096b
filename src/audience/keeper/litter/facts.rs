//! What a litter’s page says as facts: the mating, the birth and the figures of both.

use super::super::{BookContext, Fact, Facts, thin, words};
use crate::Dated;
use crate::husbandry::LitterFigures;
use crate::husbandry::birth::{HornPlacentas, Placentas};
use crate::husbandry::gestation::{Certainty, Due};
use crate::quantity::{Id, counted};
use crate::records::litter::{Birth, Litter, Measured, Measurement, PupCount, Sample, Surgery};

pub(super) fn mating(context: &BookContext<'_>, litter: &Litter) -> Vec<Fact> {
    let Litter {
        name: _,
        dam,
        sire,
        about,
        announced,
        mated,
        ovulated,
        lh_surge,
        dioestrus,
        progesterone,
        measured,
        counted,
        adult_weight,
        birth: _,
        weaned,
        puppies: _,
        pictures: _,
        remarks,
    } = litter;
    let full = |id: &Id| {
        context
            .records
            .dogs
            .get(id)
            .map_or_else(|| id.to_string(), |d| d.name.to_string())
    };
    let mut facts = Facts::default();
    facts
        .say("Dam", full(dam))
        .say("Sire", full(sire))
        .maybe("Public words", about.as_ref())
        .say("Announced", if *announced { "yes" } else { "no" });
    if !mated.is_empty() {
        facts.say(
            "Mated",
            mated
                .iter()
                .map(|d| Dated::from(*d).words)
                .collect::<Vec<_>>()
                .join(", "),
        );
    }
    facts
        .day("LH surge", *lh_surge)
        .day("Ovulated", *ovulated)
        .day("Dioestrus", *dioestrus);
    for Sample {
        on,
        value,
        laboratory,
        method,
    } in progesterone
    {
        let extra: Vec<String> = [laboratory, method]
            .into_iter()
            .flatten()
            .map(ToString::to_string)
            .collect();
        let extra = if extra.is_empty() {
            String::new()
        } else {
            format!(" ({})", extra.join(", "))
        };
        facts.say(
            "Progesterone",
            format!("{}: {value}{extra}", Dated::from(*on).words),
        );
    }
    for Measurement { on, what, size } in measured {
        let what = match what {
            Measured::InnerChamber => "inner chamber",
            Measured::Head => "head",
        };
        facts.say(
            "Measured",
            format!("{}: {what} {size}", Dated::from(*on).words),
        );
    }
    if let Some(PupCount { by, on, puppies }) = counted {
        facts.say(
            "Counted",
            format!("{puppies} by {} on {}", by.word(), Dated::from(*on).words),
        );
    }
    facts.day("Weaned", *weaned);
    facts
        .maybe(
            "Adult weight expected",
            adult_weight.map(|w| context.weight(w)),
        )
        .maybe("Remarks", remarks.as_ref())
        .done()
}

pub(super) fn birth(birth: &Birth) -> Vec<Fact> {
    let Birth {
        on,
        how,
        placentas,
        surgery,
        remarks,
    } = birth;
    let mut facts = Facts::default();
    facts
        .day("Born", Some(*on))
        .say("How", how.word())
        .maybe("Placentas accounted for", *placentas);
    if let Some(Surgery {
        clinic,
        incisions,
        adhesions,
        for_build,
        remarks,
    }) = surgery
    {
        facts
            .maybe("Clinic", clinic.as_ref())
            .maybe("Incisions", *incisions)
            .maybe("Adhesions", adhesions.as_ref())
            .maybe(
                "Needed because of build",
                for_build.map(|yes| if yes { "yes" } else { "no" }),
            )
            .maybe("Surgeon’s remarks", remarks.as_ref());
    }
    facts.maybe("Remarks", remarks.as_ref()).done()
}

pub(super) fn figures_of(
    context: &BookContext<'_>,
    litter: &Litter,
    figures: &LitterFigures,
) -> Vec<Fact> {
    let LitterFigures {
        due,
        windows: _,
        steps: _,
        run_out: _,
        rise,
        dam_before: _,
        dam_died: _,
        leaves_from,
        inbreeding,
        ancestry: _,
        placentas,
        arrivals: _,
        puppies: _,
        places: _,
        rules: _,
        recovery: _,
        findings: _,
        ahead: _,
    } = figures;
    let mut facts = Facts::default();
    if let Some(Due {
        from,
        likely,
        to,
        anchor,
        known,
    }) = due
    {
        let [from, likely, to] = [from, likely, to].map(|d| Dated::from(*d).words);
        let likely = match known {
            Certainty::ToADay { .. } => format!(", most likely {likely}"),
            Certainty::Within => String::new(),
        };
        facts.say(
            "Due",
            format!("{from} to {to}{likely}; counted from {}", anchor.words()),
        );
    } else if litter.birth.is_none() && !litter.came_to_nothing() {
        facts.say("Due", thin::due(litter, rise));
    }
    if litter.birth.is_none() {
        let dam = context
            .records
            .dogs
            .get(&litter.dam)
            .and_then(|dam| dam.adult_weight);
        facts.maybe("Due by fetal measurements", thin::measured(litter, dam));
    }
    facts.day("May leave from", *leaves_from);
    facts.say("Inbreeding", words::inbreeding(inbreeding));
    let Placentas {
        puppies,
        out,
        horns,
    } = placentas;
    match out {
        Some(out) if puppies > out => facts.say(
            "Placentas",
            format!("{out} of {puppies} accounted for: ask the vet about the missing"),
        ),
        Some(out) if puppies < out => {
            let question = "is one counted twice, or a puppy not entered?";
            facts.say(
                "Placentas",
                format!(
                    "{out} for {}: {question}",
                    counted(*puppies, "puppy", "puppies")
                ),
            )
        }
        Some(out) => facts.say(
            "Placentas",
            format!("{out} for {}", counted(*puppies, "puppy", "puppies")),
        ),
        None if *puppies > 0 => facts.say("Placentas", "nobody has noted them"),
        None => &mut facts,
    };
    for HornPlacentas { horn, puppies, out } in horns {
        facts.say(
            "Placentas by horn",
            format!(
                "{}: {out} for {}",
                horn.word(),
                counted(*puppies, "puppy", "puppies")
            ),
        );
    }
    facts.done()
}

/// Puppies born, or counted, or an ordinary litter of six.
pub(super) fn expected_puppies(litter: &Litter) -> usize {
    match (&litter.birth, &litter.counted) {
        (Some(_), _) => litter.puppies.len(),
        (None, Some(counted)) => counted.puppies as usize,
        (None, None) => 6,
    }
}
