//! The numbers by which slips of the pen are told, as the sheet's script gets them.
//!
//! In: the constants of `husbandry::slips`. Out: [`SlipModel`], each number under the name of its
//! constant in small letters, where unit and source stand as well, and each slip with its words.
//! The script has no number of its own that stands here.

use crate::husbandry::slips::curve::{
    EACH_SIDE, FIRST, FIRST_WANDER, FREEDOM, LATER_RATE, RATE_SPREAD, SCATTER, USUAL_RATES, WANDER,
};
use crate::husbandry::slips::exchange::{
    AT_AN_END, BETWEEN, EQUAL, FITS, FITS_PART, LEAST, MOST, NORMAL, SCALE, SEEN_BEFORE,
};
use crate::husbandry::slips::explain::{
    EXTRA_DIGIT, FACTORS, LEFT_OUT, TOO_HEAVY, TRANSPOSED, WHOLE,
};
use crate::husbandry::slips::value::{
    APART, BEYOND, BIOLOGY, COST, FAR, JUMP, JUMP_FREEDOM, LEAST_GAIN, LEAST_OFF, LITTER_REACH,
    LITTER_SHARE, LITTER_SPREAD, NEAR, NEARBY, NEWEST,
};
use crate::husbandry::slips::{MOST_LIKELIER, SlipKind};
use crate::words::slips::kind;
use serde::Serialize;

/// All numbers of the model, by the file of their constants.
#[derive(Debug, Clone, Serialize)]
pub struct SlipModel {
    curve: SlipCurve,
    explain: Explain,
    value: Value,
    exchange: Exchange,
    most_likelier: f64,
}

#[derive(Debug, Clone, Serialize)]
struct SlipCurve {
    scatter: f64,
    wander: f64,
    first_wander: f64,
    first: f64,
    rate_spread: f64,
    each_side: usize,
    usual_rates: [(f64, f64); 2],
    later_rate: f64,
    freedom: f64,
}

#[derive(Debug, Clone, Serialize)]
struct Explain {
    factors: Vec<Factor>,
    extra_digit: Digits,
    transposed: Digits,
    left_out: Digits,
    too_heavy: f64,
    whole: f64,
}

/// A slip that multiplies a weight.
#[derive(Debug, Clone, Serialize)]
struct Factor {
    factor: f64,
    share: f64,
    words: String,
}

/// A slip among the digits.
#[derive(Debug, Clone, Serialize)]
struct Digits {
    share: f64,
    words: String,
}

#[derive(Debug, Clone, Serialize)]
struct Value {
    biology: f64,
    beyond: f64,
    jump: f64,
    jump_freedom: f64,
    apart: f64,
    cost: f64,
    newest: f64,
    least_off: [f64; 2],
    far: f64,
    near: [f64; 2],
    least_gain: f64,
    litter_spread: f64,
    litter_reach: f64,
    litter_share: f64,
    nearby: usize,
}

#[derive(Debug, Clone, Serialize)]
struct Exchange {
    least: f64,
    between: f64,
    at_an_end: f64,
    fits: f64,
    fits_part: f64,
    most: usize,
    seen_before: f64,
    scale: [f64; 2],
    equal: f64,
    normal: f64,
}

/// The model as the program itself uses it.
pub(super) fn slip_model() -> SlipModel {
    let digits = |share, slip| Digits {
        share,
        words: kind(slip),
    };
    let factor = |&(factor, slip, share): &(f64, SlipKind, f64)| Factor {
        factor,
        share,
        words: kind(slip),
    };
    SlipModel {
        curve: SlipCurve {
            scatter: SCATTER,
            wander: WANDER,
            first_wander: FIRST_WANDER,
            first: FIRST,
            rate_spread: RATE_SPREAD,
            each_side: EACH_SIDE,
            usual_rates: USUAL_RATES,
            later_rate: LATER_RATE,
            freedom: FREEDOM,
        },
        explain: Explain {
            factors: FACTORS.iter().map(factor).collect(),
            extra_digit: digits(EXTRA_DIGIT, SlipKind::TooManyDigits),
            transposed: digits(TRANSPOSED, SlipKind::DigitsTransposed),
            left_out: digits(LEFT_OUT, SlipKind::DigitLeftOut),
            too_heavy: TOO_HEAVY,
            whole: WHOLE,
        },
        value: Value {
            biology: BIOLOGY,
            beyond: BEYOND,
            jump: JUMP,
            jump_freedom: JUMP_FREEDOM,
            apart: APART,
            cost: COST,
            newest: NEWEST,
            least_off: LEAST_OFF,
            far: FAR,
            near: NEAR,
            least_gain: LEAST_GAIN,
            litter_spread: LITTER_SPREAD,
            litter_reach: LITTER_REACH,
            litter_share: LITTER_SHARE,
            nearby: NEARBY,
        },
        exchange: Exchange {
            least: LEAST,
            between: BETWEEN,
            at_an_end: AT_AN_END,
            fits: FITS,
            fits_part: FITS_PART,
            most: MOST,
            seen_before: SEEN_BEFORE,
            scale: SCALE,
            equal: EQUAL,
            normal: NORMAL,
        },
        most_likelier: MOST_LIKELIER,
    }
}
