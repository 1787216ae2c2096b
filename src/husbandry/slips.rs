//! Slips of the pen in the weigh-ins of one litter.
//!
//! In: the weights of each puppy as written. Out: [`Slip`]s: a weight that cannot be one of its
//! puppy and that a usual slip explains, or two puppies' weights that were exchanged in one
//! weigh-in. They are only pointed out, never put right: nothing here changes a weight, and a
//! weight that is merely bad news (a fading puppy, a litter that stands still) is never called a
//! slip. What cannot be told, such as an exchange between puppies of equal weight, is not said.
//!
//! Method: on the logarithm of the weight, each mark is forecast from its neighbours in time
//! (`curve`). `value` looks for weights far outside what any puppy can gain or lose, `exchange`
//! compares the weights of two puppies as written with the same weights exchanged. Both weigh
//! explanations by likelihood with heavy tails, so that one odd but honest weight proves little. No
//! published figures on such slips are known to us: the limits were set on simulated litters (see
//! the tests), of which one in 14,000 gave a false alarm.

pub mod curve;
pub mod exchange;
pub mod explain;
pub mod value;

use crate::quantity::WeightUnit;
use curve::Curves;

/// One weight as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WrittenWeight {
    /// Number of the weigh-in, equal for all puppies weighed together. The weights at birth count
    /// as one weigh-in of their own.
    pub weigh_in: usize,
    /// Days since the birth of the puppy, as a fraction.
    pub days: f64,
    /// Weight in grams, above 0.
    pub grams: f64,
}

/// The weights of one puppy.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WeightLine {
    /// In the order of time, the weight at birth first when it is known.
    pub marks: Vec<WrittenWeight>,
}

/// Something that looks like a slip of the pen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Slip {
    /// One weight does not fit its own curve, and one usual slip explains it.
    Value {
        /// Index of the puppy among the lines.
        line: usize,
        /// Index of the weight in its line.
        mark: usize,
        /// The weight that was probably meant, in grams.
        likely_grams: f64,
        /// What probably happened.
        kind: SlipKind,
        /// How many times likelier the line is with this weight put right than as written; 1,000
        /// or more, and never given above a thousand million.
        times_likelier: f64,
    },
    /// The weights of two puppies were exchanged in one weigh-in.
    Exchanged {
        /// Number of the weigh-in.
        weigh_in: usize,
        /// Indices of the two puppies among the lines, the lower first.
        lines: [usize; 2],
        /// How many times likelier both lines together are with the two weights exchanged than as
        /// written; 1,000 or more, and never given above a thousand million.
        times_likelier: f64,
    },
}

/// What happened to a weight on its way to the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SlipKind {
    /// 10 or 100 times too heavy, or with one digit that does not belong there: a digit too many,
    /// or the decimal point slipped.
    TooManyDigits,
    /// 10 or 100 times too light: a digit too few, or the decimal point slipped.
    TooFewDigits,
    /// Read in one unit and written in another.
    WrongUnit {
        /// The unit that was written.
        written: WeightUnit,
        /// The unit of the scale.
        meant: WeightUnit,
    },
    /// One digit was left out: 231 g written as 31, 21 or 23 g.
    DigitLeftOut,
    /// Two neighbouring digits changed places: 231 g written as 321 g. Smaller changes, such as 213
    /// g, are not looked for.
    DigitsTransposed,
}

/// The greatest likelihood ratio that is given as a number: beyond it the model is no longer
/// believed to the digit.
pub const MOST_LIKELIER: f64 = 1e9;

/// All slips in the weights of one litter, exchanges first in the order of weigh-ins, then slips in
/// value in the order of lines and marks. Marks whose weight is not above 0, or whose time or
/// weight is no number, are passed over.
#[must_use]
pub fn slips(lines: &[WeightLine]) -> Vec<Slip> {
    let mut curves = Curves::of(lines);
    let values = value::find(&mut curves);
    let exchanged = exchange::find(&mut curves);
    let mut found = exchanged.slips;
    found.sort_by_key(|slip| {
        if let Slip::Exchanged {
            weigh_in, lines, ..
        } = slip
        {
            (*weigh_in, *lines)
        } else {
            (usize::MAX, [0; 2])
        }
    });
    // A weight that an exchange explains needs no second explanation, nor does the weight beside
    // it.
    let touched = |at: &value::ValueSlip| {
        exchanged
            .marks
            .iter()
            .any(|mark| curves.place(*mark).0 == curves.place(at.mark).0)
    };
    let stays = |at: &value::ValueSlip| {
        !exchanged.marks.contains(&at.mark) && (!touched(at) || value::still_off(&curves, at))
    };
    found.extend(values.into_iter().filter(stays).map(|at| at.slip(&curves)));
    found
}

#[cfg(test)]
pub(crate) mod simulated;
#[cfg(test)]
mod tests;
