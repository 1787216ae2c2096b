//! The built-in care plan as data: what is due at which age, with its source and year.
//!
//! In: the keeper's choice of schedules and changes. Out: the [`Item`]s of the plan, by kind and
//! age. No product and no dose stands here: those are for the vet and the label.

use super::every::Every;
use super::vaccines::{CORE, Disease, LEPTOSPIROSIS};
use crate::quantity::{Span, Text};
use crate::records::care_plan::{
    CareItem, CareKind, CarePlan, VaccinationSchedule, WormingSchedule,
};
use std::sync::Arc;

/// One thing that is due at an age.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a fine point of its own, and most items have none"
)]
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// Name in the records.
    pub id: String,
    /// What kind of thing.
    pub what: CareKind,
    /// In words.
    pub name: String,
    /// First day of age on which it is due.
    pub from: i64,
    /// Last day of age by which it should be done.
    pub until: i64,
    /// For the later ones of a series: least and most days since the one before.
    pub after_previous: Option<(i64, i64)>,
    /// Where the ages come from, with the year.
    pub source: &'static str,
    /// How often it comes again, where it is for the dam's recovery and is not done once.
    pub every: Option<Every>,
    /// Whether only a dam after a section needs it.
    pub after_section: bool,
    /// Whether being overdue is a finding: what protects a puppy is, its first steps are not.
    pub urgent: bool,
    /// For a built-in vaccination: what a dose has to be against to count.
    pub against: &'static [Disease],
    /// The last of a series, which does not count before its first day of age.
    pub is_last: bool,
    /// Needed only when the dose before was given so early that the last one would follow too late.
    pub only_between: bool,
    /// Needed only until two weeks after weaning; without a day of weaning it is needed.
    pub while_weaning: bool,
}

/// What is measured of a dam, and not ticked.
const DAM_WEIGHT: &str = "dam-weight";
const DAM_TEMPERATURE: &str = "dam-temperature";

impl Item {
    /// Whether it is done by weighing the dam.
    #[must_use]
    pub fn is_weight_of_dam(&self) -> bool {
        self.id == DAM_WEIGHT
    }

    /// Whether it is done by taking the temperature of the dam.
    #[must_use]
    pub fn is_temperature_of_dam(&self) -> bool {
        self.id == DAM_TEMPERATURE
    }

    /// An item without any of the finer points.
    fn plain(
        id: &str,
        what: CareKind,
        name: &str,
        (from, until): (i64, i64),
        source: &'static str,
    ) -> Self {
        let (every, after_section) = recovery(id);
        let (id, name) = (id.to_owned(), name.to_owned());
        Self {
            id,
            what,
            name,
            from,
            until,
            after_previous: None,
            source,
            every,
            after_section,
            urgent: what.is_veterinary(),
            against: &[],
            is_last: false,
            only_between: false,
            while_weaning: false,
        }
    }
}

const ESCCAP: &str = "ESCCAP guideline GL1: from 2 weeks every 14 days until 2 weeks after \
                      weaning, then monthly to 6 months";
const CAPC: &str = "CAPC guideline: at 2, 4, 6 and 8 weeks, then monthly";
const WSAVA_2024: &str = "WSAVA 2024 (doi 10.1111/jsap.13718): start at 6 to 8 weeks, every 2 to \
                          4 weeks until 16 weeks or older, then at 26 weeks or older";
const WSAVA_2010: &str = "WSAVA 2010, out of date, replaced by WSAVA 2024: at 8 to 9 weeks, every \
                          3 to 4 weeks until 14 to 16 weeks, then at one year";
const AAHA_2022: &str = "AAHA 2022 with its note of 2024 (J Am Anim Hosp Assoc 58:213-230): from \
                         6 weeks, every 2 to 4 weeks, last at 16 weeks or older; then within a \
                         year";
const LEPTO: &str = "AAHA 2022 with its note of 2024, WSAVA 2024: core where it occurs; two doses \
                     2 to 4 weeks apart, ages from memory";
/// England: The Microchipping of Cats and Dogs (England) Regulations 2023, by 8 weeks. Every kennel
/// reads this line, so it names no country.
const CHIP: &str = "law of most places, to be checked with yours: before leaving, or by 8 weeks";
const PRACTICE: &str = "common practice, no source";
const DEVELOPMENT: &str = "Small Animal Clinical Nutrition, 5th ed., box 16-1, and usual \
                           teaching; ages differ between litters";
const DAM: &str = "common practice, no source for how often; to about 39.4 °C in the first 24 \
                   hours, then as usual (Casal, quoted)";
const LOCHIA: &str = "common practice, no source for how often; discharge lasts 3 to 6 weeks, \
                      brown to red and without smell (handbooks)";
const GLANDS: &str = "common practice, no source for how often; signs of home veterinary handbooks";
const STITCHES: &str = "usual teaching, from memory: 10 to 14 days after a section";
const ECLAMPSIA: &str = "Five-Minute Vet Consult: mostly one to four weeks after birth, most \
                         before day 40; goes on as long as she nurses";
const SOCIAL: &str = "usual teaching, from memory: from 3 to 12 or 14 weeks";

/// The days of slack that a worming date has before it counts as overdue; ours, since the
/// guidelines give days without slack.
const WORMING_SLACK: i64 = 4;
/// Two weeks after a weaning at eight weeks, the latest that a puppy that leaves at that age can
/// have.
const TEN_WEEKS: i64 = 70;

fn worming(schedule: WormingSchedule) -> Vec<Item> {
    let (source, with_ten_weeks) = match schedule {
        WormingSchedule::Esccap => (ESCCAP, true),
        WormingSchedule::Capc => (CAPC, false),
    };
    [
        ("worming-2-weeks", "Worming at 2 weeks", 14),
        ("worming-4-weeks", "Worming at 4 weeks", 28),
        ("worming-6-weeks", "Worming at 6 weeks", 42),
        ("worming-8-weeks", "Worming at 8 weeks", 56),
        (
            "worming-10-weeks",
            "Worming at 10 weeks, two weeks after weaning",
            TEN_WEEKS,
        ),
        ("worming-3-months", "Worming at 3 months", 84),
        ("worming-4-months", "Worming at 4 months", 112),
        ("worming-5-months", "Worming at 5 months", 140),
        ("worming-6-months", "Worming at 6 months", 168),
    ]
    .into_iter()
    .filter(|(.., from)| with_ten_weeks || *from != TEN_WEEKS)
    .map(|(id, name, from)| {
        // Monthly doses may be given within a week.
        let until = from + if from > TEN_WEEKS { 7 } else { WORMING_SLACK };
        // Days between two doses count as much as the age: given late, the next is late as well.
        let after_previous = match from {
            14 => None,
            ..=TEN_WEEKS => Some((10, 14 + WORMING_SLACK)),
            _ => Some((21, 38)),
        };
        Item {
            after_previous,
            while_weaning: from == TEN_WEEKS,
            ..Item::plain(id, CareKind::Worming, name, (from, until), source)
        }
    })
    .collect()
}

/// First days of the doses of a vaccination schedule, and the days between two.
struct Doses {
    source: &'static str,
    first: (i64, i64),
    second: (i64, i64),
    last: (i64, i64),
    booster: (i64, i64),
    apart: (i64, i64),
}

fn vaccination(schedule: VaccinationSchedule) -> Vec<Item> {
    let Doses {
        source,
        first,
        second,
        last,
        booster,
        apart,
    } = match schedule {
        VaccinationSchedule::Wsava2024 => Doses {
            source: WSAVA_2024,
            first: (42, 56),
            second: (70, 84),
            last: (112, 126),
            booster: (182, 210),
            apart: (14, 28),
        },
        VaccinationSchedule::Wsava2010 => Doses {
            source: WSAVA_2010,
            first: (56, 63),
            second: (77, 91),
            last: (98, 112),
            booster: (365, 396),
            apart: (21, 28),
        },
        VaccinationSchedule::Aaha2022 => Doses {
            source: AAHA_2022,
            first: (42, 63),
            second: (63, 84),
            last: (112, 126),
            booster: (182, 365),
            apart: (14, 28),
        },
    };
    let (last_name, booster_name) = match schedule {
        VaccinationSchedule::Wsava2024 => (
            "Last puppy vaccination, at 16 weeks or older",
            "Booster at 26 weeks or older",
        ),
        VaccinationSchedule::Wsava2010 => (
            "Last puppy vaccination, at 14 to 16 weeks",
            "Booster at one year",
        ),
        VaccinationSchedule::Aaha2022 => (
            "Last puppy vaccination, at 16 weeks or older",
            "Booster within a year",
        ),
    };
    let dose = |id, name, ages| Item {
        against: CORE,
        ..Item::plain(id, CareKind::Vaccination, name, ages, source)
    };
    let following = |id, name, ages| Item {
        after_previous: Some(apart),
        ..dose(id, name, ages)
    };
    vec![
        dose("vaccination-first", "First vaccination", first),
        following("vaccination-second", "Second vaccination", second),
        Item {
            only_between: true,
            ..following(
                "vaccination-between",
                "One more vaccination before the last",
                ((second.0 + apart.0).min(last.0 - 1), last.0 - 1),
            )
        },
        Item {
            is_last: true,
            ..following("vaccination-third", last_name, last)
        },
        Item {
            is_last: true,
            ..dose("vaccination-booster", booster_name, booster)
        },
    ]
}

/// Where leptospirosis is core: two doses, two to four weeks apart.
fn leptospirosis() -> [Item; 2] {
    let dose = |id, name, ages| Item {
        against: LEPTOSPIROSIS,
        ..Item::plain(id, CareKind::Vaccination, name, ages, LEPTO)
    };
    [
        dose(
            "leptospirosis-first",
            "First vaccination against leptospirosis",
            (56, 84),
        ),
        Item {
            after_previous: Some((14, 28)),
            ..dose(
                "leptospirosis-second",
                "Second vaccination against leptospirosis",
                (70, 112),
            )
        },
    ]
}

#[rustfmt::skip] // a table
fn others() -> Vec<Item> {
    let item =
        |id, what, name, from, until, source| Item::plain(id, what, name, (from, until), source);
    vec![
        item("chip", CareKind::Chip, "Microchip", 42, 56, CHIP),
        // A look by the vet in the first days is usual, but nobody sets a day for it.
        Item { urgent: false, ..item("check-newborn", CareKind::Check, "First look by a vet", 0, 5, PRACTICE) },
        item("check-leaving", CareKind::Check, "Check by a vet before leaving", 42, 56, PRACTICE),
        item("eyes-open", CareKind::Milestone, "Eyes open", 10, 15, DEVELOPMENT),
        item("ears-open", CareKind::Milestone, "Ears open", 13, 18, DEVELOPMENT),
        item("first-steps", CareKind::Milestone, "First steps", 14, 21, DEVELOPMENT),
        item("first-teeth", CareKind::Milestone, "First teeth", 21, 28, DEVELOPMENT),
        item("first-gruel", CareKind::Milestone, "Laps its first gruel", 21, 28, DEVELOPMENT),
        item("gentle-handling", CareKind::Socialisation, "Handled gently every day", 3, 21, PRACTICE),
        item("household-noise", CareKind::Socialisation, "Hears the noises of a household", 21, 49, SOCIAL),
        item("new-floors", CareKind::Socialisation, "Walks on three kinds of floor", 28, 49, SOCIAL),
        item("visitors", CareKind::Socialisation, "Meets visitors, children among them", 28, 56, SOCIAL),
        item("car-ride", CareKind::Socialisation, "Rides in a car", 42, 56, SOCIAL),
        item("collar", CareKind::Socialisation, "Wears a collar", 35, 56, SOCIAL),
        item(DAM_TEMPERATURE, CareKind::Recovery, "Temperature of the dam", 0, 14, DAM),
        item("dam-discharge", CareKind::Recovery, "Discharge: colour, smell, less each day", 0, 42, LOCHIA),
        item("dam-glands", CareKind::Recovery, "Glands: none hot, hard or painful, milk in each", 0, 42, GLANDS),
        item("dam-wound", CareKind::Recovery, "Wound: dry, closed, not licked", 0, 14, GLANDS),
        item("dam-appetite", CareKind::Recovery, "Appetite: eats and drinks", 0, 42, GLANDS),
        item(DAM_WEIGHT, CareKind::Recovery, "Weight of the dam", 0, 56, PRACTICE),
        item("dam-pain-relief", CareKind::Recovery, "Pain relief as the vet said, with its last day", 0, 1, PRACTICE),
        item("dam-stitches", CareKind::Recovery, "Stitches out, unless they dissolve; the vet sets the day", 10, 14, STITCHES),
        item("dam-eclampsia", CareKind::Recovery, "Watch for milk fever (eclampsia): restless, panting, stiff, trembling", 0, 40, ECLAMPSIA),
    ]
}

/// How often a built-in item of the dam's recovery comes again, and whether it is for a section
/// alone.
fn recovery(id: &str) -> (Option<Every>, bool) {
    match id {
        DAM_TEMPERATURE | "dam-discharge" | "dam-glands" | "dam-appetite" => {
            (Some(Every::Fading), false)
        }
        "dam-wound" => (Some(Every::Fading), true),
        DAM_WEIGHT => (Some(Every::Days(7)), false),
        "dam-pain-relief" | "dam-stitches" => (None, true),
        "dam-eclampsia" => (Some(Every::Always), false),
        _ => (None, false),
    }
}

/// What the keeper's own items are called as a source.
const OWN: &str = "care-plan.yaml";

/// The plan: the built-in items of the chosen schedules, with the keeper's changes. Sorted by age.
#[must_use]
pub fn items(plan: &CarePlan) -> Vec<Arc<Item>> {
    let CarePlan {
        worming: worms,
        vaccination: vaccines,
        leptospirosis: is_core,
        items: own,
        thresholds: _,
    } = plan;
    let is_core = is_core.unwrap_or(*vaccines == VaccinationSchedule::Aaha2022);
    let mut items: Vec<Item> = worming(*worms)
        .into_iter()
        .chain(vaccination(*vaccines))
        .chain(others())
        .collect();
    if is_core {
        items.extend(leptospirosis());
    }
    for change in own {
        apply(&mut items, change);
    }
    items.sort_by(|a, b| (a.from, a.until, &a.id).cmp(&(b.from, b.until, &b.id)));
    items.into_iter().map(Arc::new).collect()
}

fn apply(
    items: &mut Vec<Item>,
    CareItem {
        id,
        what,
        name,
        from,
        until,
        skip,
    }: &CareItem,
) {
    let days = |span: &Option<Span>| span.and_then(|s| i64::try_from(s.as_days()).ok());
    let place = items.iter().position(|item| item.id == id.as_str());
    match (place, skip) {
        (Some(place), true) => _ = items.remove(place),
        (None, true) => {}
        (Some(place), false) => {
            let item = &mut items[place];
            (item.what, item.urgent) = (*what, what.is_veterinary());
            if let Some(name) = name {
                item.name = name.to_string();
            }
            let (own_from, own_until) = (days(from), days(until));
            if own_from.is_some() || own_until.is_some() {
                item.from =
                    own_from.unwrap_or_else(|| item.from.min(own_until.unwrap_or(i64::MAX)));
                item.until = own_until.unwrap_or_else(|| item.until.max(item.from));
                item.after_previous = None;
                (item.only_between, item.while_weaning) = (false, false);
                item.source = OWN;
            }
        }
        (None, false) => {
            let (own_from, own_until) = (days(from), days(until));
            let (Some(from), Some(until)) =
                (own_from.or(own_until.map(|_| 0)), own_until.or(own_from))
            else {
                return;
            };
            let name = name
                .as_ref()
                .map_or_else(|| id.to_string(), Text::to_string);
            let item = Item::plain(id.as_str(), *what, &name, (from, until), OWN);
            items.push(Item {
                every: (*what == CareKind::Recovery && from < until).then_some(Every::Fading),
                ..item
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::care_plan::BUILT_IN;
    use std::collections::BTreeSet;

    fn plan(yaml: &str) -> Vec<Arc<Item>> {
        items(&serde_yaml::from_str(yaml).unwrap())
    }

    #[test]
    fn the_records_know_the_names_of_all_built_in_items() {
        let known: BTreeSet<String> = BUILT_IN.iter().map(|id| (*id).to_owned()).collect();
        let ids = |yaml: &str| -> BTreeSet<String> {
            plan(yaml).into_iter().map(|item| item.id.clone()).collect()
        };
        assert_eq!(ids("leptospirosis: true"), known);
        for yaml in [
            "{}",
            "worming: CAPC\nvaccination: WSAVA 2010",
            "vaccination: AAHA 2022",
        ] {
            assert!(ids(yaml).is_subset(&known), "{yaml}");
        }
        // AAHA names leptospirosis core (its note of 2024), WSAVA 2024 where it occurs.
        assert!(
            ids("vaccination: AAHA 2022").contains("leptospirosis-first")
                && !ids("{}").contains("leptospirosis-first")
        );
    }

    #[test]
    fn worming_stands_on_its_published_days() {
        let days = |yaml: &str| -> Vec<i64> {
            plan(yaml)
                .iter()
                .filter(|i| i.what == CareKind::Worming)
                .map(|i| i.from)
                .collect()
        };
        // CAPC: day 14, 28, 42, 56, then monthly. ESCCAP GL1: every 14 days until two weeks after
        // weaning, then monthly to six months.
        assert_eq!(days("worming: CAPC"), [14, 28, 42, 56, 84, 112, 140, 168]);
        assert_eq!(
            days("worming: ESCCAP GL1"),
            [14, 28, 42, 56, 70, 84, 112, 140, 168]
        );
    }

    #[test]
    fn vaccination_stands_in_its_published_weeks() {
        let windows = |yaml: &str| -> Vec<(i64, i64)> {
            plan(yaml)
                .iter()
                .filter(|i| i.what == CareKind::Vaccination)
                .map(|i| (i.from, i.until))
                .collect()
        };
        // WSAVA 2024: start at 6 to 8 weeks, the last of the puppy series at 16 weeks or older, the
        // next at 26 weeks or older.
        let of_2024 = windows("{}");
        assert_eq!(of_2024[0], (6 * 7, 8 * 7));
        assert!(of_2024[3].0 >= 16 * 7 && of_2024[4].0 >= 26 * 7);
        // WSAVA 2010: 8 to 9 weeks, the last at 14 to 16 weeks, booster at one year.
        let of_2010 = windows("vaccination: WSAVA 2010");
        assert_eq!((of_2010[0], of_2010[3]), ((8 * 7, 9 * 7), (14 * 7, 16 * 7)));
        assert_eq!(of_2010[4].0, 365);
    }

    #[test]
    fn the_keeper_may_add_change_and_leave_out() {
        let plan = plan(
            "items:\n  - { id: chip, what: chip, until: 7 weeks }\n  - { id: collar, what: \
             socialisation, skip: true }\n  - { id: sea, what: socialisation, name: Hears the \
             sea, from: 5 weeks, until: 6 weeks }",
        );
        let of = |id: &str| plan.iter().find(|i| i.id == id);
        assert_eq!(
            of("chip").map(|i| (i.from, i.until, i.source)),
            Some((42, 49, "care-plan.yaml"))
        );
        assert_eq!(of("collar"), None);
        assert_eq!(
            of("sea").map(|i| (i.name.as_str(), i.from, i.until)),
            Some(("Hears the sea", 35, 42))
        );
    }
}
