//! Simulated litters: what honest weigh-ins look like, so that false alarms can be counted.
//!
//! In: a number that fixes everything. Out: a [`SimulatedLitter`] as a keeper would have written
//! it, and its true weights. All rates are common practice or the figures of Small Animal Clinical
//! Nutrition 5th ed., Table 16-1; the scatter is what keepers' scales show (common practice, no
//! source).

use super::{WeightLine, WrittenWeight};

/// A small generator of random numbers (`SplitMix64`: Steele, Lea and Flood 2014, constants from
/// memory), the same on every machine.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0xD1B5_4A32_D192_ED03)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Between 0 and 1.
    #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
    pub(crate) fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    pub(crate) fn chance(&mut self, p: f64) -> bool {
        self.unit() < p
    }

    /// One of `count`.
    #[expect(clippy::cast_possible_truncation, reason = "smaller than count")]
    pub(crate) fn one_of(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    pub(crate) fn normal(&mut self, sd: f64) -> f64 {
        let (a, b) = (self.unit().max(1e-300), self.unit());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos() * sd
    }
}

/// How hard it is made.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hardship {
    /// Scatter of the scale, 0.015 usual.
    pub(super) scale: f64,
    /// Scatter of filling, a puppy's own, 0.02 usual.
    pub(super) filling: f64,
    /// Share of marks that scatter three times as much (a puppy that wriggles).
    pub(super) wriggling: f64,
    /// Share of litters with a fading puppy.
    pub(super) fading: f64,
}

pub(super) const USUAL: Hardship = Hardship {
    scale: 0.015,
    filling: 0.02,
    wriggling: 0.005,
    fading: 0.2,
};

/// A litter as written.
pub(super) struct SimulatedLitter {
    pub(super) lines: Vec<WeightLine>,
    /// The weights without scatter, mark by mark.
    pub(super) truly: Vec<Vec<f64>>,
    /// Number of the last weigh-in.
    pub(super) newest: usize,
}

/// One puppy while it grows.
struct GrowingPuppy {
    log: f64,
    vigour: f64,
    rate_noise: f64,
    first_day: f64,
    /// From which day to which, and how much a day.
    fades: Option<(f64, f64, f64)>,
}

pub(super) fn litter(seed: u64, hard: Hardship) -> SimulatedLitter {
    let dice = &mut Dice::new(seed);
    let count = 2 + dice.one_of(9);
    let birth = (dice.between(90_f64.ln(), 560_f64.ln())).exp();
    let spread = dice.between(0.08, 0.20);
    let mut puppies: Vec<GrowingPuppy> = (0..count)
        .map(|_| GrowingPuppy {
            log: birth.ln() + dice.normal(spread).clamp(-2.2 * spread, 2.2 * spread),
            vigour: 1.0 + dice.normal(0.12),
            rate_noise: 0.0,
            first_day: dice.normal(0.02),
            fades: None,
        })
        .collect();
    if dice.chance(hard.fading) {
        let from = dice.between(0.3, 12.0);
        let until = if dice.chance(0.5) {
            99.0
        } else {
            from + dice.between(1.0, 4.0)
        };
        puppies[dice.one_of(count)].fades = Some((from, until, -dice.between(0.02, 0.08)));
    }
    let times = schedule(dice);
    let rates = [
        dice.between(0.05, 0.10),
        dice.between(0.035, 0.06),
        dice.between(0.015, 0.035),
    ];
    let loss = dice.between(0.0, 0.09);
    let stands_still = if dice.chance(0.2) {
        dice.between(0.5, 2.0)
    } else {
        0.0
    };
    let step = if birth > 250.0 && dice.chance(0.3) {
        5.0
    } else {
        1.0
    };
    let mut litter = SimulatedLitter {
        lines: vec![WeightLine::default(); count],
        truly: vec![Vec::new(); count],
        newest: times.len(),
    };
    let mut now = 0.0;
    for (number, at) in std::iter::once(0.0)
        .chain(times.iter().copied())
        .enumerate()
    {
        while now < at {
            let dt = (at - now).min(0.125);
            grow(&mut puppies, dice, now, dt, (&rates, loss, stands_still));
            now += dt;
        }
        let together = dice.normal(0.015);
        for (index, puppy) in puppies.iter().enumerate() {
            let gone = puppy
                .fades
                .is_some_and(|(from, until, _)| until > 90.0 && at > from + 5.0);
            if gone || (number > 0 && dice.chance(0.03)) || (number == 0 && dice.chance(0.05)) {
                continue;
            }
            let wriggles = if dice.chance(hard.wriggling) {
                3.0
            } else {
                1.0
            };
            let filling = if number == 0 {
                0.0
            } else {
                together + dice.normal(hard.filling)
            };
            let log = puppy.log + filling + dice.normal(hard.scale * wriggles);
            let grams = ((log.exp() / step).round() * step).max(1.0);
            litter.lines[index].marks.push(WrittenWeight {
                weigh_in: number,
                days: at,
                grams,
            });
            litter.truly[index].push(puppy.log.exp());
        }
    }
    litter
}

fn grow(
    puppies: &mut [GrowingPuppy],
    dice: &mut Dice,
    now: f64,
    dt: f64,
    (rates, loss, stands_still): (&[f64; 3], f64, f64),
) {
    let usual = if now < 7.0 {
        rates[0]
    } else if now < 28.0 {
        rates[1]
    } else {
        rates[2] * (28.0 / now)
    };
    for puppy in puppies {
        // The rate of gain wanders, with a memory of about two days.
        puppy.rate_noise = puppy.rate_noise * (1.0 - dt / 2.0) + dice.normal(0.012 * dt.sqrt());
        let rate = match puppy.fades {
            Some((from, until, rate)) if now >= from && now < until => rate,
            _ if now < 0.75 => -(loss + puppy.first_day) / 0.75,
            _ if now < 0.75 + stands_still => 0.0,
            _ => usual * puppy.vigour + puppy.rate_noise,
        };
        puppy.log += rate * dt;
    }
}

/// Days of the weigh-ins after birth.
fn schedule(dice: &mut Dice) -> Vec<f64> {
    let until = if dice.chance(0.5) {
        dice.between(1.0, 14.0)
    } else {
        dice.between(14.0, 56.0)
    };
    let habit = dice.one_of(6);
    let (mut at, mut times) = (dice.between(0.1, 0.6), Vec::new());
    while at < until && times.len() < 90 {
        if dice.chance(0.93) {
            times.push(at);
        }
        let gap = match habit {
            0 => 1.0,
            1 => 0.5,
            2 if at < 3.0 => 0.2,
            2 | 3 if at < 14.0 => 0.5,
            2 | 3 if at < 28.0 => 1.0,
            4 if at < 10.0 => 2.0,
            _ => 7.0,
        };
        at += gap * dice.between(0.85, 1.15);
    }
    times
}
