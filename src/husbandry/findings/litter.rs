//! Rules on the litter as a whole: dates before the birth, tests and rules of the mating, what came and what is missing after it.
//!
//! In: one litter as recorded, its figures. Out: findings that name no puppy. Each part looks at one thing and is silent where nobody wrote anything.

use super::{CHECKLIST, Finding, Urgency, is_history};
use crate::husbandry::LitterFigures;
use crate::husbandry::birth::Placentas;
use crate::husbandry::gestation::temperature::{self, Drop, Sign};
use crate::husbandry::gestation::{self, Anchor, contradicting};
use crate::husbandry::pedigree::genes::Forecast;
use crate::husbandry::rules::State;
use crate::quantity::Day;
use crate::records::LitterFolder;
use crate::records::litter::{CountedBy, Placenta, Puppy};
use std::cmp::Ordering;

const PLACENTAS: &str = "common practice, no source: one placenta for each puppy";
/// Days from mating by which most are born (usual teaching: 58 to 68).
const USUAL_FROM_MATING: i64 = 68;
/// Days after birth in which a puppy or a placenta may still be inside, and in which a count is still worth a word.
const AT_ONCE: i64 = 3;
const LATER: i64 = 14;

/// Findings about the litter or its dam.
pub(super) fn rules(folder: &LitterFolder, figures: &LitterFigures, today: Day) -> Vec<Finding> {
    let age = folder.litter.birth.as_ref().map(|birth| today.since(birth.on));
    let mut whole = Whole { folder, figures, today, found: Vec::new() };
    whole.rules_of_law();
    match age {
        None => {
            whole.due();
            whole.one_puppy();
            whole.temperature_drop();
            whole.genes();
        }
        Some(age) => {
            whole.count(age);
            whole.checklist(age);
            whole.placentas(age);
        }
    }
    whole.found
}

/// Whether the same items were left out for all of several puppies: then it is said once, of the litter.
pub(super) fn nobody_looked(folder: &LitterFolder, figures: &LitterFigures) -> bool {
    let mut missed = folder.living().filter_map(|p| Some(&figures.puppies.get(&p.id)?.not_looked_at));
    let Some(first) = missed.next() else { return false };
    let (count, alike) = missed.fold((1, true), |(count, alike), items| (count + 1, alike && items == first));
    count > 1 && alike && !first.is_empty()
}

/// One litter and what was found.
struct Whole<'a> {
    folder: &'a LitterFolder,
    figures: &'a LitterFigures,
    today: Day,
    found: Vec<Finding>,
}

impl Whole<'_> {
    fn find(&mut self, urgency: Urgency, rule: &'static str, what: String, limit: impl Into<String>, source: &'static str) {
        self.found.push(Finding { urgency, rule, puppy: None, what, limit: limit.into(), source, days: None });
    }

    fn due(&mut self) {
        let windows = &self.figures.windows;
        if let Some((last, due)) = gestation::last_day(windows).filter(|(last, _)| self.today > *last) {
            let what = format!("the dam is over her time: her last day was {last}, counted from {}", due.anchor.words());
            self.find(Urgency::CallTheVet, "overdue", what, "no birth recorded", due.anchor.source());
        } else {
            self.past_window();
        }
        if let (Some(best), [first, ..]) = (self.figures.due, contradicting(&self.figures.windows).as_slice()) {
            let window = |due: &crate::husbandry::gestation::Due| format!("{} gives {} to {}", due.anchor.words(), due.from, due.to);
            let what = format!("the dates do not agree: {}, {}", window(&best), window(first));
            self.find(Urgency::Watch, "dates-disagree", what, "windows that meet; ends with the birth", first.anchor.source());
        }
    }

    /// A window that cannot say that she is over her time has ended: less than a call, but no quiet either.
    fn past_window(&mut self) {
        let usual =
            self.folder.litter.mated.iter().max().map(|last| (last.plus(USUAL_FROM_MATING), "mating (most are born by day 68)", Anchor::Mating));
        let wide =
            self.figures.due.filter(|due| !due.is_to_a_day() && due.anchor != Anchor::Mating).map(|due| (due.to, due.anchor.words(), due.anchor));
        let latest =
            gestation::no_later_than(&self.figures.rise).map(|last| (last, "a first sample that was over the border already", Anchor::Bracket));
        // Of an anchor that is known to a day the last day is near enough.
        let usual = usual.filter(|_| self.figures.due.is_some_and(|due| !due.is_to_a_day()));
        let Some((last, words, anchor)) = [latest, wide, usual].into_iter().flatten().min_by_key(|(last, ..)| *last) else { return };
        if self.today > last {
            let what = format!("birth was expected by {last}, counted from {words}; speak with the clinic");
            self.find(
                Urgency::Watch,
                "past-window",
                what,
                "no date is known to a day, so this is no count of days over her time; ends with the birth",
                anchor.source(),
            );
        }
    }

    /// One puppy gives little signal to begin birth.
    fn one_puppy(&mut self) {
        let Some(counted) = self.folder.litter.counted.as_ref().filter(|counted| counted.puppies == 1) else { return };
        let by = self.figures.due.map_or_else(String::new, |due| format!(" by {}", gestation::speak_by(&due)));
        let what = format!("one puppy was counted on {}: it may give too little signal to begin birth; speak with the clinic{by}", counted.on);
        self.find(
            Urgency::Watch,
            "one-puppy",
            what,
            "the 62nd day from ovulation, or the first day of a wide window; ends with the birth",
            "a clinic's advice",
        );
    }

    /// The drop of the dam's temperature, and the day that has passed since without birth.
    fn temperature_drop(&mut self) {
        let Some(Drop { reading, sign, birth: [first, middle, last], call }) = self.figures.dam_before.drop else { return };
        if self.today < reading.day {
            return;
        }
        let (temperature, when) = (reading.temperature, reading.at.map_or_else(|| reading.day.to_string(), |at| at.to_string()));
        let limit = match sign {
            Sign::Low => "at or under 37.5 °C".to_owned(),
            Sign::UnderMean(mean) => format!("a degree under her own mean of {mean:.1} °C"),
        };
        let seen = format!("her temperature fell to {temperature} on {when}");
        let (urgency, what) = match self.today.cmp(&call.day()) {
            Ordering::Greater => (Urgency::CallTheVet, format!("{seen}, and 24 h have passed without a birth recorded")),
            Ordering::Equal => {
                (Urgency::CallTheVet, format!("{seen}: call when there is no birth by {call}; birth is likely from {first} to {last}"))
            }
            Ordering::Less => {
                let likely = format!("birth is likely from {first} to {last}, most likely about {middle}");
                (Urgency::Watch, format!("{seen}: {likely}; call when there is none by {call}"))
            }
        };
        self.find(urgency, "temperature-drop", what, format!("{limit}; ends with the birth, or a check by a vet"), temperature::SOURCE);
    }

    fn rules_of_law(&mut self) {
        if is_history(self.folder, self.today) {
            return;
        }
        for verdict in self.figures.rules.iter().flat_map(|book| &book.verdicts).filter(|v| v.state == State::Beyond) {
            // A terminal shows no source: when the rule was read is said with it.
            let what = format!("is not as a rule asks: {} (the rule: {})", verdict.what, verdict.source.how_read(self.today));
            let limit = format!("check with {}; ends when the records are as the rule asks", verdict.check_with);
            self.find(Urgency::Watch, "rule", what, limit, verdict.source.text);
        }
    }

    fn genes(&mut self) {
        for gene in &self.figures.ancestry.genes {
            if let Forecast::Fractions(outcome) = gene.forecast
                && outcome.affected > 0.0
            {
                let what = format!("{:.0} % of the puppies may be affected, if {} is one recessive gene", outcome.affected * 100.0, gene.test);
                self.find(Urgency::Watch, "affected-expected", what, "tests of both parents; ends with the birth", "Mendel 1866");
            }
        }
    }

    /// Fewer puppies than the X-ray counted.
    fn count(&mut self, age: i64) {
        let Some(counted) = self.folder.litter.counted.as_ref().filter(|c| c.by == CountedBy::XRay && age <= AT_ONCE) else { return };
        let (seen, born) = (counted.puppies as usize, self.folder.litter.puppies.len());
        if seen > born {
            let what = format!("the X-ray counted {seen} puppies, and {born} are recorded");
            let source = "common practice, no source: one may still be inside";
            self.find(Urgency::CallTheVet, "fewer-than-counted", what, "all that were counted", source);
        }
    }

    /// Items of the newborn checklist that were left out for all.
    fn checklist(&mut self, age: i64) {
        let figures = self.figures;
        let Some(own) = self.folder.living().next().and_then(|p| figures.puppies.get(&p.id)) else { return };
        if age <= LATER && nobody_looked(self.folder, figures) {
            let what = format!("none of the {} puppies has been looked at: {}", self.folder.living().count(), own.not_looked_at.join(", "));
            self.find(Urgency::Watch, "not-looked-at", what, "every item once; ends when each is noted, or after two weeks", CHECKLIST);
        }
    }

    fn placentas(&mut self, age: i64) {
        if age > LATER {
            return;
        }
        let retained: Vec<String> = self.folder.litter.puppies.iter().filter(|p| p.placenta == Placenta::Retained).map(Puppy::shown_name).collect();
        if !retained.is_empty() {
            let what = format!("a placenta is noted as retained: {}", retained.join(", "));
            self.find(Urgency::CallTheVet, "placenta-retained", what, "one out for each puppy", PLACENTAS);
        }
        let placentas = &self.figures.placentas;
        if let Some(out) = placentas.out.filter(|out| *out < placentas.puppies) {
            let urgency = if age <= AT_ONCE { Urgency::CallTheVet } else { Urgency::Watch };
            let what = format!("{out} of {} placentas are accounted for{}", placentas.puppies, short_horns(placentas));
            self.find(urgency, "placentas", what, "one for each puppy; ends when all are noted, or after two weeks", PLACENTAS);
        }
    }
}

/// From which horn placentas are missing, where that was noted.
fn short_horns(placentas: &Placentas) -> String {
    let short = placentas.horns.iter().filter(|h| h.out < h.puppies).map(|h| format!("{} horn {} of {}", h.horn.word(), h.out, h.puppies));
    let short: Vec<String> = short.collect();
    if short.is_empty() { String::new() } else { format!(" ({})", short.join(", ")) }
}
