//! Whether a check closes what was noted before it.
//!
//! In: a check and the keeper's name. Out: whether somebody other than the keeper looked, and does
//! not say that it is no better. A check is a vet's by the guide to the records; who else looked
//! cannot be known from a name, so that words decide.

use super::text::SignText;
use crate::records::health::Check;

/// Words by which keepers say that they looked themselves.
const SELF: &[&str] = word_list!(
    "me, myself, i, self, us, we, ourselves, keeper, breeder, owner, husband, wife, partner, \
     family, home, at, by, and, the, my, ich, selbst, wir, züchter, züchterin, halter, und"
);
/// Of these one alone names nobody.
const JOINING: &[&str] = &["at", "by", "and", "the", "my", "und"];

/// Words that say that it is not over.
const NO_BETTER: &[&str] = word_list!(
    "no change, not change, unchanged, no better, not better, isn't better, not improv, \
     no improv, without improv, not any better, not much better, no worse, worse, worsen, \
     deteriorat, the same=, same as, still, persist, not resolved, not healed, not recovered, \
     not gone, ongoing, keine änderung, keine besserung, keine veränderung, nicht besser, \
     unverändert, schlechter, schlimmer, immer noch, weiterhin, gleich geblieben"
);
/// Words before which such words speak of what may come: `ring if no better`.
const IF: &[&str] = &["if", "when", "should", "unless", "wenn", "falls", "sollte"];
/// How many words before.
const NEAR: usize = 3;

/// Whether a check closes what was noted before it: it is not the keeper's own, and says neither
/// that nothing has changed nor that it is worse.
#[must_use]
pub(crate) fn closes(check: &Check, keeper: &str) -> bool {
    !is_own(check, keeper) && !says_no_better(check)
}

/// Whether the keeper made it: by name, by a part of it, or as `me`.
pub(crate) fn is_own(check: &Check, keeper: &str) -> bool {
    let Some(by) = &check.by else { return false };
    let keeper = small(keeper);
    let by = small(by);
    let is_own = |word: &String| SELF.contains(&word.as_str()) || keeper.contains(word);
    let names = |word: &String| !JOINING.contains(&word.as_str());
    by.iter().all(is_own) && by.iter().any(names)
}

fn small(text: &str) -> Vec<String> {
    let words = SignText::of(text).words.into_iter();
    words.filter(|w| !w.is_break).map(|w| w.small).collect()
}

/// Whether its findings say that it is no better. Its advice is left out: it speaks of what may
/// come.
fn says_no_better(check: &Check) -> bool {
    let mut said = check.said();
    said.any(|said| is_no_better(&SignText::of(said)))
}

fn is_no_better(said: &SignText) -> bool {
    said.found(NO_BETTER).any(|found| {
        let before = &said.words[found.start.saturating_sub(NEAR)..found.start];
        !before.iter().any(|word| IF.contains(&word.small.as_str()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(by: &str, findings: &str) -> Check {
        serde_yaml::from_str(&format!("{{ by: \"{by}\", findings: \"{findings}\" }}")).unwrap()
    }

    #[test]
    fn an_ordinary_check_closes_and_one_of_the_keeper_or_without_change_does_not() {
        // Common practice, no source.
        let keeper = "Isla Fennick";
        for (by, findings) in [
            ("Thorlby Vets", "nothing found"),
            ("V", "calcium given, calm"),
            (
                "Northgate",
                "mastitis, antibiotics given; ring if no better tomorrow",
            ),
            ("Rob", "glands soft"),
            ("Isla Marsh, Northgate Vets", "all well"),
        ] {
            assert!(closes(&check(by, findings), keeper), "{by}: {findings}");
        }
        for (by, findings) in [
            ("Isla", "no change since yesterday"),
            ("Isla", "looked at her"),
            ("isla fennick", "soft"),
            ("me", "soft"),
            ("keeper", "soft"),
            ("Rob", "no change since yesterday"),
            ("Thorlby Vets", "no better"),
            ("Thorlby Vets", "gland the same, a little worse at the back"),
            ("Thorlby Vets", "still hot and hard"),
            ("V", "unverändert"),
            ("V", "has not improved"),
        ] {
            assert!(!closes(&check(by, findings), keeper), "{by}: {findings}");
        }
    }
}
