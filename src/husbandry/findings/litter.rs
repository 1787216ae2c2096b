//! Rules on the litter as a whole: dates before the birth, tests and rules of the mating, what came and what is missing after it.
//!
//! In: one litter as recorded, its figures. Out: findings that name no puppy. Each part looks at one thing and is silent where nobody wrote anything.

use super::{CHECKLIST, Finding, Urgency, is_history};
use crate::husbandry::LitterFigures;
use crate::husbandry::birth::Placentas;
use crate::husbandry::gestation::contradicting;
use crate::husbandry::pedigree::genes::Forecast;
use crate::husbandry::rules::State;
use crate::quantity::Day;
use crate::records::LitterFolder;
use crate::records::litter::{CountedBy, Placenta, Puppy};

const PLACENTAS: &str = "common practice, no source: one placenta for each puppy";
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
        // Clinics call the days up to the 65th from ovulation safe; a wide window ends when it ends.
        if let Some(due) = self.figures.due.filter(|due| self.today > due.to.max(due.likely.plus(2))) {
            let what = format!("the dam is past the end of her window ({}), counted from {}", due.to, due.anchor.words());
            self.find(Urgency::CallTheVet, "overdue", what, "no birth recorded", due.anchor.source());
        }
        if let (Some(best), [first, ..]) = (self.figures.due, contradicting(&self.figures.windows).as_slice()) {
            let window = |due: &crate::husbandry::gestation::Due| format!("{} gives {} to {}", due.anchor.words(), due.from, due.to);
            let what = format!("the dates do not agree: {}, {}", window(&best), window(first));
            self.find(Urgency::Watch, "dates-disagree", what, "windows that meet", first.anchor.source());
        }
    }

    fn rules_of_law(&mut self) {
        if is_history(self.folder, self.today) {
            return;
        }
        for verdict in self.figures.rules.iter().flat_map(|book| &book.verdicts).filter(|v| v.state == State::Beyond) {
            let what = format!("is not as a rule asks: {}", verdict.what);
            self.find(Urgency::Watch, "rule", what, format!("check with {}", verdict.check_with), verdict.source.text);
        }
    }

    fn genes(&mut self) {
        for gene in &self.figures.ancestry.genes {
            if let Forecast::Fractions(outcome) = gene.forecast
                && outcome.affected > 0.0
            {
                let what = format!("{:.0} % of the puppies may be affected, if {} is one recessive gene", outcome.affected * 100.0, gene.test);
                self.find(Urgency::Watch, "affected-expected", what, "tests of both parents", "Mendel 1866");
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
            self.find(Urgency::Watch, "not-looked-at", what, "every item once", CHECKLIST);
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
            self.find(urgency, "placentas", what, "one for each puppy", PLACENTAS);
        }
    }
}

/// From which horn placentas are missing, where that was noted.
fn short_horns(placentas: &Placentas) -> String {
    let short = placentas.horns.iter().filter(|h| h.out < h.puppies).map(|h| format!("{} horn {} of {}", h.horn.word(), h.out, h.puppies));
    let short: Vec<String> = short.collect();
    if short.is_empty() { String::new() } else { format!(" ({})", short.join(", ")) }
}
