//! Rules on the litter as a whole: dates before the birth, tests and rules of the mating, what came
//! and what is missing after it.
//!
//! In: one litter as recorded, its figures. Out: findings that name no puppy. Each part looks at
//! one thing and is silent where nobody wrote anything.

use super::{CHECKLIST, CallTime, Finding, LowHormone, Noticed, Urgency, WindowOf, illness};
use crate::LitterFigures;
use crate::gestation::temperature;
use crate::gestation::{self, Anchor, contradicting, rise};
use crate::pedigree::genes::Forecast;
use crate::prospect::TestFault;
use crate::quantity::{Day, Moment};
use crate::records::litter::{CountedBy, Placenta, Puppy};
use crate::records::{HISTORY, LitterFolder};
use crate::rules::Compliance;
use crate::signs;
use std::cmp::Ordering;

const PLACENTAS: &str = "common practice, no source: one placenta for each puppy";
/// Days from mating by which most are born (usual teaching: 58 to 68).
const USUAL_FROM_MATING: i64 = 68;
/// Days after her last day in which no birth is an emergency; later she was not in whelp, or
/// nobody has written of the birth.
const OVER_HER_TIME: i64 = 14;
/// Progesterone under this says that birth is near, or that the litter is not held, ng/ml (6.4
/// nmol/l).
const FALLEN: f64 = 2.0;
/// Days after such a sample by which birth has come.
const BIRTH_BY: i64 = 2;
const FALLS: &str = "clinics' advice: under 2 ng/ml (6.4 nmol/l) birth comes within about two \
                     days, and weeks before it the litter is not held";
/// Days after birth in which a puppy or a placenta that may still be inside is a call, and in which
/// it is worth a word.
const AT_ONCE: i64 = 3;
const LATER: i64 = 14;

/// Findings about the litter or its dam.
pub(super) fn rules(
    folder: &LitterFolder,
    figures: &LitterFigures,
    keeper: &str,
    today: Day,
) -> Vec<Finding> {
    let age = folder
        .litter
        .birth
        .as_ref()
        .map(|birth| today.since(birth.on));
    let mut whole = WholeLitter {
        folder,
        figures,
        keeper,
        today,
        found: Vec::new(),
    };
    whole.rules_of_law();
    if age.is_none_or(|age| age <= LATER) {
        whole.run_out();
    }
    match age {
        None => {
            whole.due();
            whole.one_puppy();
            whole.temperature_drop();
            whole.progesterone();
            whole.genes();
        }
        Some(age) => {
            whole.checklist(age);
            if !whole.is_looked_at_since_birth() {
                whole.count(age);
                whole.placentas(age);
            }
        }
    }
    whole.found
}

/// Whether the same items were left out for all of several puppies: then it is said once, of the
/// litter.
pub(super) fn nobody_looked(folder: &LitterFolder, figures: &LitterFigures) -> bool {
    let mut missed = folder
        .living()
        .filter_map(|p| Some(&figures.puppies.get(&p.id)?.not_looked_at));
    let Some(first) = missed.next() else {
        return false;
    };
    let (count, alike) = missed.fold((1, true), |(count, alike), items| {
        (count + 1, alike && items == first)
    });
    count > 1 && alike && !first.is_empty()
}

/// One litter and what was found.
struct WholeLitter<'a> {
    folder: &'a LitterFolder,
    figures: &'a LitterFigures,
    /// The keeper's name: a check of the keeper's own is none by a vet.
    keeper: &'a str,
    today: Day,
    found: Vec<Finding>,
}

impl WholeLitter<'_> {
    /// Whether a check of the dam closes what was open at a time that `is_later` knows.
    fn is_looked_at(&self, is_later: impl Fn(Day, Option<Moment>) -> bool) -> bool {
        let of_dam = self.folder.health.iter().filter(|e| e.is_for_dam());
        of_dam
            .filter_map(|e| Some((e.day()?, e.at, e.check.as_ref()?)))
            .filter(|(day, at, _)| *day <= self.today && is_later(*day, *at))
            .any(|(_, _, check)| illness::is_clear(check, signs::DAM, self.keeper))
    }

    /// Whether a vet has looked at her after the last puppy: on a later day, or, where the hours
    /// are known, later that day.
    fn is_looked_at_since_birth(&self) -> bool {
        let litter = &self.folder.litter;
        let Some(birth) = &litter.birth else {
            return false;
        };
        let born = litter
            .puppies
            .iter()
            .filter_map(|p| litter.born_at(p))
            .max();
        self.is_looked_at(|day, at| match at.zip(born) {
            Some((at, born)) => at > born,
            None => day > birth.on,
        })
    }

    fn find(&mut self, urgency: Urgency, noticed: Noticed) {
        self.found.push(Finding {
            urgency,
            puppy: None,
            noticed,
            weight: None,
        });
    }

    fn due(&mut self) {
        let windows = &self.figures.windows;
        let over = gestation::last_day(windows).filter(|(last, _)| self.today > *last);
        if let Some((last, due)) = over {
            let (days, anchor) = (self.today.since(last), due.anchor);
            let urgency = if days <= OVER_HER_TIME {
                Urgency::CallTheVet
            } else {
                Urgency::Watch
            };
            if days <= HISTORY {
                self.find(urgency, Noticed::Overdue { last, anchor });
            }
        } else {
            self.past_window();
        }
        if let (Some(best), [other, ..]) = (
            self.figures.due,
            contradicting(&self.figures.windows).as_slice(),
        ) {
            let other = *other;
            self.find(Urgency::Watch, Noticed::DatesDisagree { best, other });
        }
    }

    /// A window that cannot say that she is over her time has ended: a watch, not a call.
    fn past_window(&mut self) {
        let usual = self.folder.litter.mated.iter().max().map(|last| {
            let most_by = USUAL_FROM_MATING;
            (last.plus(most_by), WindowOf::Mating { most_by })
        });
        let wide = self
            .figures
            .due
            .filter(|due| !due.is_to_a_day() && due.anchor != Anchor::Mating)
            .map(|due| (due.to, WindowOf::Wide(due.anchor)));
        let latest =
            gestation::no_later_than(&self.figures.rise).map(|last| (last, WindowOf::FirstSample));
        // Of an anchor that is known to a day the last day is near enough.
        let usual = usual.filter(|_| self.figures.due.is_some_and(|due| !due.is_to_a_day()));
        let Some((last, from)) = [latest, wide, usual]
            .into_iter()
            .flatten()
            .min_by_key(|(last, _)| *last)
        else {
            return;
        };
        if (1..=HISTORY).contains(&self.today.since(last)) {
            self.find(Urgency::Watch, Noticed::PastWindow { last, from });
        }
    }

    /// One puppy gives little signal to begin birth.
    fn one_puppy(&mut self) {
        let Some(counted) = self
            .folder
            .litter
            .counted
            .as_ref()
            .filter(|counted| counted.puppies == 1)
        else {
            return;
        };
        let speak_by = self.figures.due.as_ref().map(gestation::speak_by);
        let counted = counted.on;
        // The last day for it is a call, unless a vet has seen her since.
        let is_late = speak_by.is_some_and(|by| self.today >= by);
        let urgency = if is_late && !self.is_looked_at(|day, _| day > counted) {
            Urgency::CallTheVet
        } else {
            Urgency::Watch
        };
        let noticed = Noticed::OnePuppy {
            counted,
            speak_by,
            source: "a clinic's advice",
        };
        self.find(urgency, noticed);
    }

    /// The drop of the dam's temperature, and the day that has passed since without birth.
    fn temperature_drop(&mut self) {
        let source = temperature::SOURCE;
        let Some(drop) = self.figures.dam_before.drop else {
            if let Some(readings) = self.figures.dam_before.rose_again {
                self.find(Urgency::Watch, Noticed::RoseAgain { readings, source });
            }
            return;
        };
        if self.today < drop.reading.day {
            return;
        }
        let days = self.today.since(drop.call.day());
        if days > HISTORY {
            return;
        }
        let (urgency, call) = match self.today.cmp(&drop.call.day()) {
            Ordering::Greater if days > OVER_HER_TIME => (Urgency::Watch, CallTime::Passed),
            Ordering::Greater => (Urgency::CallTheVet, CallTime::Passed),
            Ordering::Equal => (Urgency::CallTheVet, CallTime::Today),
            Ordering::Less => (Urgency::Watch, CallTime::ToCome),
        };
        self.find(urgency, Noticed::TemperatureDrop { drop, call, source });
    }

    /// Progesterone that has fallen, by the latest sample that is too late for the rise.
    fn progesterone(&mut self) {
        let litter = &self.folder.litter;
        let Some(late) = rise::late_from(litter) else {
            return;
        };
        let samples = litter.progesterone.iter();
        let of_late = samples.filter(|sample| (late..=self.today).contains(&sample.on));
        let Some((on, value)) = of_late
            .max_by_key(|sample| sample.on)
            .map(|sample| (sample.on, sample.value))
            .filter(|(_, value)| value.ng_per_ml() < FALLEN)
        else {
            return;
        };
        let days = self.today.since(on);
        if days > OVER_HER_TIME || self.is_looked_at(|day, _| day > on) {
            return;
        }
        let from = self.figures.dam_before.drop_from;
        let (urgency, state) = if from.is_some_and(|from| on < from) {
            (Urgency::CallTheVet, LowHormone::TooEarly)
        } else if days >= BIRTH_BY {
            (Urgency::CallTheVet, LowHormone::NoBirth)
        } else {
            (Urgency::Watch, LowHormone::BirthIsNear)
        };
        let source = FALLS;
        let noticed = Noticed::LowProgesterone {
            on,
            value,
            state,
            source,
        };
        self.find(urgency, noticed);
    }

    fn rules_of_law(&mut self) {
        if self.folder.is_history(self.today) {
            return;
        }
        for verdict in self
            .figures
            .rules
            .iter()
            .flat_map(|book| &book.verdicts)
            .filter(|v| v.state == Compliance::Beyond)
        {
            let noticed = Noticed::BeyondRule {
                verdict: Box::new(verdict.clone()),
                today: self.today,
            };
            self.find(Urgency::Watch, noticed);
        }
    }

    /// An examination says nothing of a day after its certificate's last.
    fn run_out(&mut self) {
        if self.folder.litter.came_to_nothing() {
            return;
        }
        for test in self.figures.run_out.clone() {
            if let TestFault::RanOut(until) = test.why {
                let source = "the last day written for the certificate";
                let noticed = Noticed::TestRanOut {
                    test,
                    until,
                    source,
                };
                self.find(Urgency::Watch, noticed);
            }
        }
    }

    fn genes(&mut self) {
        for gene in &self.figures.ancestry.genes {
            if let Forecast::Fractions(outcome) = gene.forecast
                && outcome.affected > 0.0
            {
                let noticed = Noticed::AffectedExpected {
                    share: outcome.affected,
                    test: gene.test.clone(),
                    source: "Mendel 1866",
                };
                self.find(Urgency::Watch, noticed);
            } else if gene.forecast == Forecast::MerleToMerle {
                let source = "common practice, no source: merle is not mated to merle";
                self.find(Urgency::Watch, Noticed::MerleToMerle { source });
            } else if let Some(risk) = gene.open_risk() {
                let noticed = Noticed::GeneOpen {
                    test: gene.test.clone(),
                    risk,
                    source: if risk.other_untested {
                        "Mendel 1866"
                    } else {
                        "common knowledge of the trade, no source: not one recessive gene"
                    },
                };
                self.find(Urgency::Watch, noticed);
            }
        }
    }

    /// Fewer puppies than were counted before the birth. A scan by ultrasound is often one off: it
    /// is worth a word in the first days, where nobody has opened her.
    fn count(&mut self, age: i64) {
        let litter = &self.folder.litter;
        let Some(count) = &litter.counted else {
            return;
        };
        let is_opened = litter.birth.as_ref().is_some_and(|b| b.how.is_section());
        let (urgency, speaks, source) = match count.by {
            CountedBy::XRay => (
                at_first(age),
                age <= LATER,
                "common practice, no source: one may still be inside",
            ),
            CountedBy::Ultrasound => (
                Urgency::Watch,
                age <= AT_ONCE && !is_opened,
                "common practice, no source: a scan counts less surely than an X-ray, and one may \
                 still be inside",
            ),
        };
        let (counted, born) = (count.puppies as usize, litter.puppies.len());
        if speaks && counted > born {
            let noticed = Noticed::FewerThanCounted {
                by: count.by,
                counted,
                born,
                source,
            };
            self.find(urgency, noticed);
        }
    }

    /// Items of the newborn checklist that were left out for all.
    fn checklist(&mut self, age: i64) {
        let figures = self.figures;
        let Some(own) = self
            .folder
            .living()
            .next()
            .and_then(|p| figures.puppies.get(&p.id))
        else {
            return;
        };
        if age <= LATER && nobody_looked(self.folder, figures) {
            let noticed = Noticed::NotLookedAt {
                items: own.not_looked_at.clone(),
                puppies: Some(self.folder.living().count()),
                source: CHECKLIST,
            };
            self.find(Urgency::Watch, noticed);
        }
    }

    fn placentas(&mut self, age: i64) {
        if age > LATER {
            return;
        }
        let retained: Vec<String> = self
            .folder
            .litter
            .puppies
            .iter()
            .filter(|p| p.placenta == Placenta::Retained)
            .map(Puppy::shown_name)
            .collect();
        if !retained.is_empty() {
            let noticed = Noticed::PlacentaRetained {
                puppies: retained,
                source: PLACENTAS,
            };
            self.find(Urgency::CallTheVet, noticed);
        }
        let placentas = &self.figures.placentas;
        if let Some(out) = placentas.out.filter(|out| *out < placentas.puppies) {
            let noticed = Noticed::Placentas {
                out,
                count: placentas.clone(),
                source: PLACENTAS,
            };
            self.find(at_first(age), noticed);
        }
    }
}

/// What may still be inside is a call in the first days, and is watched for after them.
fn at_first(age: i64) -> Urgency {
    if age <= AT_ONCE {
        Urgency::CallTheVet
    } else {
        Urgency::Watch
    }
}
