//! Illness that was noted, in words.
//!
//! In: what is open. Out: phrases without full stop.

use crate::husbandry::findings::{LaterCheck, NotedIllness, SaidIn, Unwell};
use crate::husbandry::signs::{Fit, SignScope};

/// All that was noted of an animal: `the dam was noted as unwell: …`. When its days are over, it is
/// asked how it ended.
pub(super) fn told(whose: &str, unwell: &Unwell) -> String {
    let noted: Vec<String> = unwell.noted.iter().map(noted_illness).collect();
    let noted = noted.join("; ");
    if unwell.is_question {
        format!(
            "{whose}was noted as unwell: {noted}, and nothing was written since that closes it: \
             how did it end?"
        )
    } else {
        format!("{whose}was noted as unwell: {noted}")
    }
}

/// `“trembling, stiff” on 2026-10-20, which fits eclampsia (“trembling”, “stiff”)`.
fn noted_illness(noted: &NotedIllness) -> String {
    let NotedIllness {
        day,
        signs,
        place,
        fits,
        looked,
        is_old: _,
    } = noted;
    let place = match place {
        SaidIn::Illness => "",
        SaidIn::OwnCheck => " (a check of your own)",
        SaidIn::VetCheck => " (a check)",
        SaidIn::Remark => " (a remark)",
        SaidIn::SharedRemark => " (a remark about several)",
        SaidIn::Birth => " (a remark on the newborn)",
    };
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
    format!("“{signs}” on {day}{place}{fits}{looked}")
}

pub(super) fn illness_ends(who: &str, unwell: &Unwell) -> String {
    let asked = unwell.asked_after.map_or_else(String::new, |days| {
        format!(" (after {days} it is only asked how it ended)")
    });
    let mut fits = unwell.noted.iter().flat_map(|noted| &noted.fits);
    let birth = if fits.any(|fit| fit.sign.when == SignScope::BeforeBirth) {
        " with the birth,"
    } else {
        ""
    };
    format!(
        "any sign of illness; ends{birth} with an entry that {who} is well again and that names \
         no other complaint, with a check by a vet that does not say that it is no better, or \
         after {} days{asked}",
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
