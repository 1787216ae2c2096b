//! Simulated litters, and what the rules on weight make of them: how often a thriving puppy is
//! warned of, and how early a fading one is named.
//!
//! In: a number that fixes everything. Out: litters as a keeper would have written them, day by
//! day, with and without a puppy that fades; bounds that must hold, and the figures printed.
//!
//! Sources. Birth weights, sizes of litters and the share of each breed: Mugnier and others 2020,
//! BMC Vet Res 16:354, tables 1 and 2; half of their variance is taken to lie between litters
//! (ours). Very light puppies are as rare among those that thrive as the same table has them
//! survive. Loss of the first day: under 4 % of birth weight (Mila and others 2015, J Anim Sci
//! 93:4436-4442). Gain: 8 % (5 to 10) a day in week 1, 5 % (3.5 to 6) in weeks 2 to 4 (Small Animal
//! Clinical Nutrition, 5th ed., table 16-1), each puppy with a rate of its own inside the band,
//! which wanders a little. Scatter of a weight: 1.5 % for a full or empty gut, and an error of the
//! scale of 1 to 5 g with its steps (common practice, no source). Weigh-ins: daily or twice a day
//! to three weeks, then every second day (box 16-3 of the same book). After four weeks: the same
//! grams every day, 1.4 to 5 % of the weight at four weeks (2 to 4 g a day for each kg of adult
//! weight, table 16-1 of the same book, for breeds of 6 to 30 kg), weighed daily to weekly; a
//! weight then scatters by 2 %, since puppies eat meals (ours).

use super::super::tests::{puppy, records};
use super::super::{Finding, FindingRule, Urgency, of_litter, slips};
use crate::birth_weight::{Class, breed_class};
use crate::care::Care;
use crate::growth::Point;
use crate::quantity::{Day, Id, Moment, Weight};
use crate::records::{LitterFolder, Records, WeighIn};
use crate::slips::simulated::Dice;
use crate::thresholds::{Thresholds, thresholds};
use crate::{LitterFigures, trend};
use chrono::TimeDelta;
use std::collections::BTreeMap;
use std::ops::Range;

/// Breed, puppies of the study, mean and standard deviation of the birth weight in g, mean size of
/// a litter.
type SimulatedBreed = (&'static str, f64, f64, f64, f64);

/// Mugnier and others 2020, table 1.
const BREEDS: [SimulatedBreed; 10] = [
    ("Australian Shepherd", 547.0, 363.8, 82.6, 7.6),
    ("Bichon Frise", 103.0, 180.1, 35.6, 6.4),
    ("Cocker Spaniel", 779.0, 262.6, 59.4, 5.7),
    ("German Shepherd", 281.0, 513.7, 90.8, 7.0),
    ("Golden Retriever", 588.0, 394.8, 76.8, 7.8),
    ("Labrador Retriever", 1903.0, 409.9, 69.2, 7.8),
    ("Maltese", 166.0, 161.9, 34.2, 5.1),
    ("Rottweiler", 111.0, 403.8, 58.6, 8.2),
    ("Shih Tzu", 270.0, 175.5, 27.9, 5.3),
    ("West Highland White Terrier", 223.0, 192.1, 36.3, 5.3),
];

/// Half of the variance, as a factor of the standard deviation.
const HALF: f64 = 0.71;
/// Survival to day 21 of very light puppies over that of all (the same table 2: mortality 55.3 %
/// and 8.2 %).
const VERY_LIGHT_SURVIVE: f64 = (1.0 - 0.553) / (1.0 - 0.082);
/// Days for which litters are looked at, …
const DAYS: f64 = 28.0;
/// … and those after four weeks.
const LATE_DAYS: f64 = 63.0;

/// How a puppy fades.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Course {
    /// Gains nothing for a day and a half, then loses 2 % a day.
    Stops,
    /// Loses 3 % a day.
    Slowly,
    /// Loses 8 % a day.
    Suddenly,
}

impl Course {
    /// Change a day, so many days after it began.
    fn rate(self, since: f64) -> f64 {
        match self {
            Self::Stops if since < 1.5 => 0.0,
            Self::Stops => -0.02,
            Self::Slowly => -0.03,
            Self::Suddenly => -0.08,
        }
    }
}

/// One puppy while it grows.
struct Grower {
    id: Id,
    /// Logarithm of the true weight, now and at its highest.
    log: f64,
    highest: f64,
    first_day: f64,
    week_1: f64,
    later: f64,
    wander: f64,
    /// Logarithm of the true weight at four weeks.
    at_four_weeks: f64,
}

impl Grower {
    /// What a thriving puppy gains a day at an age, as a share of its weight.
    fn gain(&self, age: f64) -> f64 {
        // The slowest of the first weeks stay the slowest.
        let later_still = 0.014 + (self.later - 0.035) / 0.025 * 0.036;
        match age {
            age if age < 7.0 => self.week_1 + self.wander,
            age if age < DAYS => self.later + self.wander,
            _ => later_still * (self.at_four_weeks - self.log).exp() + self.wander,
        }
    }
}

/// A litter as written, and what is true of the puppy that fades.
struct Simulated {
    records: Records,
    /// The puppy, the day on which it begins to fade, and the one on which it has lost a tenth of
    /// its highest weight.
    fades: Option<(Id, f64, f64)>,
}

fn within(dice: &mut Dice, mean: f64, sd: f64, (low, high): (f64, f64)) -> f64 {
    loop {
        let value = mean + dice.normal(sd);
        if (low..=high).contains(&value) {
            return value;
        }
    }
}

fn breed(dice: &mut Dice) -> SimulatedBreed {
    let mut left = dice.between(0.0, BREEDS.iter().map(|breed| breed.1).sum());
    for breed in BREEDS {
        left -= breed.1;
        if left < 0.0 {
            return breed;
        }
    }
    BREEDS[0]
}

/// Days of the weigh-ins after birth.
fn weigh_ins(dice: &mut Dice, until: f64) -> Vec<f64> {
    let twice = dice.chance(0.6);
    let (mut at, mut times) = (dice.between(0.3, 0.6), Vec::new());
    let mut later = None;
    while at < until {
        times.push(at);
        let gap = match at {
            at if at < 14.0 && twice => 0.5,
            at if at < 21.0 => 1.0,
            at if at < DAYS => 2.0,
            _ => *later.get_or_insert_with(|| [1.0, 2.0, 3.5, 7.0][dice.one_of(4)]),
        };
        at += gap + dice.between(-0.04, 0.04);
    }
    times
}

#[expect(clippy::cast_possible_truncation, reason = "minutes of four weeks")]
fn moment(days: f64) -> Moment {
    let born: Moment = "2026-10-01 08:00".parse().unwrap();
    Moment::from(born.local() + TimeDelta::minutes((days * 1440.0).round() as i64))
}

/// The puppies of a litter at birth, and how they are written.
fn newborns(
    dice: &mut Dice,
    (name, _, mean, sd, size): SimulatedBreed,
    shown: impl Fn(f64, &mut Dice) -> f64,
) -> (Vec<Grower>, String) {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 3 and 12"
    )]
    let count = (size + dice.normal(2.0)).round().clamp(3.0, 12.0) as usize;
    let of_litter = mean + dice.normal(sd * HALF);
    let (mut growers, mut written) = (Vec::new(), String::new());
    while growers.len() < count {
        let birth =
            (of_litter + within(dice, 0.0, sd * HALF, (-2.5 * sd, 2.5 * sd))).max(mean * 0.4);
        let is_very_light =
            breed_class(name, birth).is_some_and(|class| class.class == Class::VeryLow);
        if is_very_light && !dice.chance(VERY_LIGHT_SURVIVE) {
            continue;
        }
        let id = format!("p{}", growers.len());
        written.push_str(&puppy(&id, &format!("{} g", shown(birth, dice))));
        growers.push(Grower {
            id: id.parse().unwrap(),
            log: birth.ln(),
            highest: birth.ln(),
            first_day: within(dice, 0.015, 0.015, (-0.02, 0.035)),
            week_1: within(dice, 0.08, 0.0125, (0.05, 0.10)),
            later: within(dice, 0.05, 0.006, (0.035, 0.06)),
            wander: 0.0,
            at_four_weeks: birth.ln(),
        });
    }
    (growers, written)
}

fn simulate(seed: u64, course: Option<Course>, until: f64) -> Simulated {
    let dice = &mut Dice::new(seed);
    let breed = breed(dice);
    let (error, step) = (dice.between(1.0, 5.0), [1.0, 1.0, 2.0, 5.0][dice.one_of(4)]);
    let shown = |grams: f64, dice: &mut Dice| {
        ((grams + dice.between(-error, error)) / step)
            .round()
            .max(1.0)
            * step
    };
    let (mut growers, written) = newborns(dice, breed, shown);
    let (from, fading, mut tenth) = (dice.between(1.5, 14.0), dice.one_of(growers.len()), None);
    let from = if until > DAYS {
        29.0 + from * 1.5
    } else {
        from
    };
    let mut records = records(30, &written, "", "", "");
    records.kennel.breed = breed.0.parse().unwrap();
    let folder = records.litters.values_mut().next().unwrap();
    let mut now: f64 = 0.0;
    for at in weigh_ins(dice, until) {
        while now < at {
            let dt = (at - now).min(0.125);
            for (index, one) in growers.iter_mut().enumerate() {
                one.wander = one.wander * (1.0 - dt / 2.0) + dice.normal(0.006 * dt.sqrt());
                let usual = one.gain(now);
                let course = course.filter(|_| index == fading && now >= from);
                let rate = course.map_or(
                    if now < 0.75 {
                        -one.first_day / 0.75
                    } else {
                        usual
                    },
                    |course| course.rate(now - from),
                );
                one.log += rate * dt;
                one.highest = one.highest.max(one.log);
                if now < DAYS {
                    one.at_four_weeks = one.log;
                }
                if course.is_some() && one.log <= one.highest + 0.9_f64.ln() {
                    tenth = tenth.or(Some(now));
                }
            }
            now += dt;
        }
        let mut weights = BTreeMap::new();
        for one in &growers {
            let scatter = if at < DAYS { 0.015 } else { 0.02 };
            let truly = (one.log + dice.normal(scatter)).exp();
            weights.insert(
                one.id.clone(),
                Weight::from_grams(shown(truly, dice)).unwrap(),
            );
        }
        folder.weigh_ins.push(WeighIn {
            at: moment(at),
            by: None,
            remark: None,
            weights,
            block: 0,
        });
    }
    let fades = course
        .and(tenth)
        .map(|tenth| (growers[fading].id.clone(), from, tenth));
    Simulated { records, fades }
}

/// A litter that is looked at again and again while it grows.
struct WatchedLitter<'a> {
    folder: &'a LitterFolder,
    whole: LitterFigures,
    limits: Thresholds,
}

impl<'a> WatchedLitter<'a> {
    fn new(records: &'a Records) -> Self {
        let folder = records.litters.values().next().unwrap();
        let whole = crate::of_litter(records, folder);
        Self {
            folder,
            whole,
            limits: thresholds(&records.care_plan.thresholds),
        }
    }

    /// What is found with the weights up to a moment.
    fn found(&self, until: Moment, today: Day) -> Vec<Finding> {
        let mut figures = self.whole.clone();
        for own in figures.puppies.values_mut() {
            own.growth.points.retain(|point| point.at <= until);
            own.trend = trend::latest(&own.growth.points);
            // Only weights are looked at here.
            own.care = Care::default();
        }
        let slips = slips::litter(self.folder, &figures, today);
        of_litter(self.folder, &figures, &slips, &self.limits, "K", today)
    }

    fn points(&self, puppy: &Id) -> &[Point] {
        &self.whole.puppies[puppy].growth.points
    }
}

/// Whether a finding stands on weights and asks for something.
fn warns(found: &Finding, puppy: &Id) -> bool {
    found.puppy.as_ref() == Some(puppy) && found.weight.is_some() && found.urgency > Urgency::Steady
}

/// What is said of thriving litters, in puppy-days.
#[derive(Default)]
struct SaidOfThriving {
    puppy_days: u32,
    watched: u32,
    called: u32,
    steady: u32,
    rules: BTreeMap<&'static str, u32>,
}

impl SaidOfThriving {
    /// Of so many litters that are weighed for so many days, at these ages.
    fn of(first_seed: u64, litters: u64, days: f64, ages: Range<i64>) -> Self {
        let mut said = Self::default();
        for seed in 0..litters {
            let litter = simulate(first_seed + seed, None, days);
            let watch = WatchedLitter::new(&litter.records);
            for age in ages.clone() {
                let today = moment(0.0).day().plus(age);
                let found = watch.found(format!("{today} 23:59").parse().unwrap(), today);
                for id in watch.whole.puppies.keys() {
                    said.add(&found, id);
                }
            }
        }
        said
    }

    fn add(&mut self, found: &[Finding], id: &Id) {
        let is_steady =
            |f: &Finding| f.rule() == FindingRule::Steady && f.puppy.as_ref() == Some(id);
        let own: Vec<&Finding> = found.iter().filter(|f| warns(f, id)).collect();
        self.puppy_days += 1;
        self.watched += u32::from(!own.is_empty());
        self.called += u32::from(own.iter().any(|f| f.urgency == Urgency::CallTheVet));
        self.steady += u32::from(found.iter().any(is_steady));
        for finding in own {
            *self.rules.entry(finding.rule().name()).or_default() += 1;
        }
    }

    /// Shares with a watch or a call, with a call, and steady, %.
    fn shares(&self) -> [f64; 3] {
        [self.watched, self.called, self.steady]
            .map(|n| f64::from(n) / f64::from(self.puppy_days) * 100.0)
    }
}

#[test]
fn thriving_puppies_are_hardly_ever_warned_of() {
    let said = SaidOfThriving::of(1000, 120, DAYS, 1..28);
    let [watched, called, steady] = said.shares();
    println!(
        "{} puppy-days of thriving litters: {watched:.2} % with a watch or a call, {called:.2} % \
         with a call, {steady:.2} % steady; {:?}",
        said.puppy_days, said.rules
    );
    assert!(watched < 2.0 && called < 0.6 && steady > 90.0);
}

/// The plain rule that fading is held against: lighter than a day before, or than at birth in the
/// first day.
fn plain(points: &[Point], from: f64) -> Option<f64> {
    let lighter = |(index, point): &(usize, &Point)| {
        let before = points[..*index]
            .iter()
            .rev()
            .find(|before| point.days - before.days >= 23.0 / 24.0)
            .or_else(|| points.first());
        point.days > from && before.is_some_and(|before| point.weight < before.weight)
    };
    points
        .iter()
        .enumerate()
        .find(lighter)
        .map(|(_, point)| point.days)
}

#[test]
fn fading_puppies_are_named_before_a_tenth_is_lost_and_earlier_than_by_a_plain_rule() {
    const LITTERS: u64 = 150;
    let (mut all, mut in_time) = (0.0, 0.0);
    for (number, course) in (0_u64..).zip([Course::Stops, Course::Slowly, Course::Suddenly]) {
        let (mut count, mut found_in_time, mut hours) = (0.0, 0.0, 0.0);
        for seed in 0..LITTERS {
            let litter = simulate(50_000 + number * 10_000 + seed, Some(course), DAYS);
            let Some((puppy, from, tenth)) = &litter.fades else {
                continue;
            };
            let watch = WatchedLitter::new(&litter.records);
            let points = watch.points(puppy);
            // What stood before it began to fade is no merit.
            let before = points
                .iter()
                .rev()
                .find(|point| point.days <= *from)
                .unwrap();
            let standing: Vec<FindingRule> = watch
                .found(before.at, before.at.day())
                .iter()
                .filter(|f| warns(f, puppy))
                .map(|f| f.rule())
                .collect();
            let names = |point: &&Point| {
                let found = watch.found(point.at, point.at.day());
                found.iter().any(|f| {
                    warns(f, puppy)
                        && !standing.contains(&f.rule())
                        && f.rule() != FindingRule::CallClosed
                })
            };
            let named = points
                .iter()
                .filter(|point| point.days > *from)
                .find(names)
                .map(|point| point.days);
            count += 1.0;
            found_in_time += f64::from(u8::from(named.is_some_and(|named| named <= *tenth)));
            hours += (plain(points, *from).unwrap_or(DAYS) - named.unwrap_or(DAYS)) * 24.0;
        }
        println!(
            "{course:?}: {count} puppies, {:.1} % named before a tenth was lost, {:.1} h earlier \
             than by the plain rule",
            found_in_time / count * 100.0,
            hours / count
        );
        assert!(found_in_time / count >= 0.9 && hours > 0.0, "{course:?}");
        (all, in_time) = (all + count, in_time + found_in_time);
    }
    println!(
        "all courses: {:.1} % of {all} puppies",
        in_time / all * 100.0
    );
    assert!(in_time / all >= 0.95);
}

#[test]
fn after_four_weeks_thriving_puppies_are_left_alone_and_a_loss_is_named_early() {
    const LITTERS: u64 = 60;
    let said = SaidOfThriving::of(3000, LITTERS, LATE_DAYS, 30..63);
    let [watched, called, _] = said.shares();
    println!(
        "{} puppy-days after four weeks: {watched:.2} % with a watch or a call, {called:.2} % with \
         a call; {:?}",
        said.puppy_days, said.rules
    );
    assert!(watched < 2.0 && called < 0.6);
    for (number, course) in (0_u64..).zip([Course::Stops, Course::Slowly, Course::Suddenly]) {
        let (mut count, mut in_time) = (0.0, 0.0);
        for seed in 0..LITTERS {
            let seed = 90_000 + number * 10_000 + seed;
            let litter = simulate(seed, Some(course), LATE_DAYS);
            let Some((puppy, from, tenth)) = &litter.fades else {
                continue;
            };
            let watch = WatchedLitter::new(&litter.records);
            let while_it_fades = |p: &&Point| p.days > *from && p.days <= *tenth;
            let fading: Vec<&Point> = watch.points(puppy).iter().filter(while_it_fades).collect();
            // Nobody can see what nobody weighs.
            if fading.len() < 2 {
                continue;
            }
            let is_named = |point: &&Point| {
                let found = watch.found(point.at, point.at.day());
                found.iter().any(|f| warns(f, puppy))
            };
            count += 1.0;
            in_time += f64::from(u8::from(fading.iter().any(is_named)));
        }
        println!(
            "{course:?} after four weeks: {in_time} of {count} that were weighed twice before a \
             tenth was lost were named by then"
        );
        assert!(in_time >= 0.9 * count, "{course:?}");
    }
}
