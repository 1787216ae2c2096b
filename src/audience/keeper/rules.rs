//! The rules of the kennel's region and registries beside one litter, in words.
//!
//! In: verdicts. Out: [`RulesShown`], with whom to check and where each rule comes from. Notes on
//! what was read, never advice on law.

use crate::husbandry::rules::{
    CAUTION, Compliance, Missing, MissingAdvert, RuleBook, RuleBookFigures, Verdict,
};
use crate::quantity::Day;
use crate::words::rules::{self as words, cite};
use serde::Serialize;

/// All books beside one litter.
#[derive(Debug, Clone, Serialize)]
pub struct RulesShown {
    /// What these notes are not.
    pub caution: &'static str,
    /// The books.
    pub books: Vec<RuleBookShown>,
}

/// One book.
#[derive(Debug, Clone, Serialize)]
pub struct RuleBookShown {
    /// Name of the region or registry.
    pub name: &'static str,
    /// For whom it is meant.
    pub applies_to: &'static str,
    /// Whom to check with.
    pub check_with: &'static str,
    /// What we know that it leaves out.
    pub gaps: &'static str,
    /// A row for each rule, those that are not met first.
    pub rows: Vec<RuleRow>,
    /// What the public listings leave out, each with its source.
    pub advert: Vec<(String, String)>,
    /// What the record still misses, each with its source.
    pub missing: Vec<(String, String)>,
}

/// One rule.
#[derive(Debug, Clone, Serialize)]
pub struct RuleRow {
    /// `as the rule asks`, `still to come`, `not as the rule asks`, `cannot be told`.
    pub state: &'static str,
    /// The figures, in words.
    pub what: String,
    /// Exceptions and readings.
    pub note: &'static str,
    /// Where it comes from.
    pub source: String,
}

pub(super) fn shown(books: &[RuleBookFigures], today: Day) -> Option<RulesShown> {
    (!books.is_empty()).then(|| RulesShown {
        caution: CAUTION,
        books: books.iter().map(|figures| book(figures, today)).collect(),
    })
}

fn book(figures: &RuleBookFigures, today: Day) -> RuleBookShown {
    let RuleBookFigures {
        book:
            RuleBook {
                name,
                applies_to,
                check_with,
                gaps,
                ..
            },
        verdicts,
        advert,
        missing,
    } = figures;
    let whose = |puppies: &[String]| {
        if puppies.is_empty() {
            String::new()
        } else {
            format!(" of {}", puppies.join(", "))
        }
    };
    let advert = advert.iter().map(
        |MissingAdvert {
             field,
             puppies,
             source,
         }| {
            (
                format!("{}: {}", puppies.join(", "), field.words()),
                cite(*source, today),
            )
        },
    );
    let missing = missing.iter().map(
        |Missing {
             field,
             puppies,
             source,
         }| {
            (
                format!("{}{}", field.words(), whose(puppies)),
                cite(*source, today),
            )
        },
    );
    RuleBookShown {
        name,
        applies_to,
        check_with,
        gaps,
        rows: rows(verdicts, today),
        advert: advert.collect(),
        missing: missing.collect(),
    }
}

/// A row for each verdict, those that are not met first.
pub(super) fn rows(verdicts: &[Verdict], today: Day) -> Vec<RuleRow> {
    let mut rows: Vec<(usize, RuleRow)> = verdicts
        .iter()
        .map(|v| (order(&v.state), row(v, today)))
        .collect();
    rows.sort_by_key(|(order, _)| *order);
    rows.into_iter().map(|(_, row)| row).collect()
}

fn order(state: &Compliance) -> usize {
    match state {
        Compliance::Beyond => 0,
        Compliance::CannotTell(_) => 1,
        Compliance::Ahead => 2,
        Compliance::Within => 3,
    }
}

fn row(verdict: &Verdict, today: Day) -> RuleRow {
    let missing = match &verdict.state {
        Compliance::CannotTell(unknown) => format!("; not known: {}", words::unknown(unknown)),
        Compliance::Within | Compliance::Ahead | Compliance::Beyond => String::new(),
    };
    RuleRow {
        state: words::state(&verdict.state),
        what: format!("{}{missing}", words::figures(verdict)),
        note: verdict.rule.note,
        source: cite(verdict.source(), today),
    }
}
