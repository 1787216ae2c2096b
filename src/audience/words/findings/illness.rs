//! Illness that was noted, in words.
//!
//! In: what is open. Out: phrases without full stop.

use crate::husbandry::findings::{LaterCheck, NotedIllness, Unwell};
use crate::husbandry::signs::{Fit, SignScope};

/// All that was noted.
pub(super) fn signs(unwell: &Unwell) -> String {
    let noted: Vec<String> = unwell.noted.iter().map(noted_illness).collect();
    let silence = if unwell.noted.first().is_some_and(|worst| worst.is_old) {
        ", and nothing was written since that closes it"
    } else {
        ""
    };
    noted.join("; ") + silence
}

/// `“trembling, stiff” on 2026-10-20, which fits eclampsia (“trembling”, “stiff”)`.
fn noted_illness(noted: &NotedIllness) -> String {
    let NotedIllness {
        day,
        signs,
        fits,
        looked,
        is_old: _,
    } = noted;
    let mut illnesses: Vec<(&str, Vec<&str>)> = Vec::new();
    for Fit { sign, words } in fits {
        let words = words.iter().map(String::as_str);
        match illnesses.iter_mut().find(|(known, _)| *known == sign.fits) {
            Some((_, known)) => known.extend(words),
            None => illnesses.push((sign.fits, words.collect())),
        }
    }
    let illnesses: Vec<String> = illnesses
        .iter()
        .map(|(fits, words)| format!("{fits} (“{}”)", words.join("”, “")))
        .collect();
    let fits = if illnesses.is_empty() {
        String::new()
    } else {
        format!(", which fits {}", illnesses.join("; and "))
    };
    let looked = looked.as_ref().map_or_else(String::new, looked_at);
    format!("“{signs}” on {day}{fits}{looked}")
}

pub(super) fn illness_ends(who: &str, unwell: &Unwell) -> String {
    let call = unwell
        .call_days
        .map_or_else(String::new, |days| format!(" (a call for {days})"));
    let mut fits = unwell.noted.iter().flat_map(|noted| &noted.fits);
    let birth = if fits.any(|fit| fit.sign.when == SignScope::BeforeBirth) {
        " with the birth,"
    } else {
        ""
    };
    format!(
        "any sign of illness; ends{birth} with an entry that {who} is well again and that names \
         no other complaint, with a check by a vet that does not say that it is no better, or \
         after {} days{call}",
        unwell.stays
    )
}

/// `, looked at on 2026-10-10 by Isla: “no change”, which closes nothing`.
fn looked_at(LaterCheck { day, by, said }: &LaterCheck) -> String {
    let by = by
        .as_ref()
        .map_or_else(String::new, |by| format!(" by {by}"));
    let said = said
        .as_ref()
        .map_or_else(String::new, |said| format!(": “{said}”"));
    format!(", looked at on {day}{by}{said}, which closes nothing")
}
