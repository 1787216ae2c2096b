//! What `weigh` says: of one weight, of a doubt, of the whole weigh-in.
//!
//! In: figures of `husbandry::weighing`. Out: lines of at most the terminal's width, with colours
//! where they are wanted; every colour has its word beside it. Where a finding is shown, the usual
//! cautions are shown as well.

use crate::app::terminal::{Terminal, wrapped};
use crate::audience::words::findings;
use crate::audience::words::weighing;
use crate::husbandry::findings::{CAUTIONS, Finding, Urgency};
use crate::husbandry::growth::Point;
use crate::husbandry::weighing::WeightVerdict;
use crate::quantity::Ribbon;
use crate::records::Records;
use crate::records::litter::Puppy;

/// How things are said.
pub(super) struct Words {
    pub(super) width: usize,
    pub(super) colours: bool,
    /// Whether weights are shown in ounces.
    pub(super) ounces: bool,
}

impl Words {
    pub(super) fn new(terminal: &Terminal, records: &Records) -> Self {
        Self {
            width: terminal.width,
            colours: terminal.colours,
            ounces: records.kennel.is_read_in_ounces(),
        }
    }

    fn painted(&self, code: &str, text: &str) -> String {
        if self.colours && !text.is_empty() {
            format!("\u{1b}[{code}m{text}\u{1b}[0m")
        } else {
            text.to_owned()
        }
    }

    pub(super) fn bold(&self, text: &str) -> String {
        self.painted("1", text)
    }

    pub(super) fn quiet(&self, text: &str) -> String {
        self.painted("2", text)
    }

    /// The word of an urgency.
    pub(super) fn urgency(&self, urgency: Urgency) -> String {
        let code = match urgency {
            Urgency::Steady => "32",
            Urgency::Watch => "33",
            Urgency::CallTheVet => "1;31",
        };
        self.painted(code, urgency.words())
    }

    /// A ribbon's name, `width` columns wide, with a dot of its colour before it.
    pub(super) fn ribbon(&self, ribbon: Option<Ribbon>, width: usize) -> String {
        let name = ribbon.map_or("", Ribbon::name);
        let dot = match ribbon {
            Some(ribbon) if self.colours => {
                self.painted(&format!("38;5;{}", nearest_of_256(ribbon.hex())), "●")
            }
            _ => " ".to_owned(),
        };
        format!("{dot} {name:width$}")
    }

    /// `+9 g (+3.5 %) in 12 h, +26 % since birth`.
    pub(super) fn change(&self, said: &WeightVerdict) -> String {
        weighing::change(said, self.ounces)
    }

    /// `259 g 12 h ago`.
    pub(super) fn last(&self, last: Option<&Point>, hours: f64) -> String {
        weighing::last(last, hours, self.ounces)
    }

    /// Findings, each begun with its urgency.
    pub(super) fn findings(&self, findings: &[Finding], indent: usize) -> String {
        let lead = " ".repeat(indent);
        let line = |finding: &Finding| {
            let text = format!(
                "{}: {}",
                finding.urgency.words(),
                findings::what(finding, self.ounces)
            );
            let lines = wrapped(&text, self.width, indent + 2);
            let coloured =
                lines.replacen(finding.urgency.words(), &self.urgency(finding.urgency), 1);
            format!("{lead}{coloured}\n")
        };
        findings.iter().map(line).collect()
    }

    /// A text in lines.
    pub(super) fn lines(&self, text: &str, indent: usize) -> String {
        format!(
            "{}{}\n",
            " ".repeat(indent),
            wrapped(text, self.width, indent)
        )
    }

    /// What stands below findings: whom to ring, and the cautions.
    pub(super) fn cautions(&self, worst: Option<Urgency>, records: &Records) -> String {
        let Some(worst) = worst.filter(|worst| *worst > Urgency::Steady) else {
            return String::new();
        };
        let vet = records
            .kennel
            .contact
            .emergency_vet
            .as_ref()
            .filter(|_| worst == Urgency::CallTheVet);
        let vet = vet
            .map(|vet| self.lines(&format!("emergency vet: {}, {}", vet.clinic, vet.phone), 0))
            .unwrap_or_default();
        format!(
            "{vet}{}",
            self.quiet(self.lines(CAUTIONS, 0).trim_end()) + "\n"
        )
    }
}

/// A name of at most so many columns.
pub(super) fn short_name(puppy: &Puppy, most: usize) -> String {
    let name = puppy.shown_name();
    if name.chars().count() <= most {
        name
    } else {
        name.chars()
            .take(most.saturating_sub(1))
            .chain(['…'])
            .collect()
    }
}

/// The colour of a terminal's 6 × 6 × 6 cube nearest to `#rrggbb`.
fn nearest_of_256(hex: &str) -> u32 {
    const LEVELS: [u32; 6] = [0, 95, 135, 175, 215, 255];
    let part = |from: usize| {
        hex.get(from..from + 2)
            .and_then(|digits| u32::from_str_radix(digits, 16).ok())
            .unwrap_or(0)
    };
    let level = |value: u32| {
        (0_u32..)
            .zip(LEVELS)
            .min_by_key(|(_, level)| level.abs_diff(value))
            .map_or(0, |(index, _)| index)
    };
    16 + 36 * level(part(1)) + 6 * level(part(3)) + level(part(5))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ribbons_are_drawn_in_the_nearest_colour_of_the_cube() {
        // The cube of xterm: 16 + 36 r + 6 g + b with the levels 0, 95, 135, 175, 215 and 255.
        assert_eq!(nearest_of_256("#000000"), 16);
        assert_eq!(nearest_of_256("#ffffff"), 231);
        assert_eq!(nearest_of_256("#b3402e"), 16 + 36 * 3 + 6);
    }

    #[test]
    fn without_colours_there_is_not_one_escape() {
        let voice = Words {
            width: 80,
            colours: false,
            ounces: false,
        };
        let text = [
            voice.bold("a"),
            voice.ribbon(Some(Ribbon::Green), 6),
            voice.urgency(Urgency::CallTheVet),
        ]
        .concat();
        assert_eq!(text, "a  green call the vet");
    }
}
