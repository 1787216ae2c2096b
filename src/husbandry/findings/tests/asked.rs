//! How long an illness of the dam that nobody closed is called, watched and asked about.

use super::super::Urgency;
use super::dam::ill;
use super::{findings, puppy, records_on};

#[test]
fn a_call_that_nobody_closed_is_asked_about_and_at_last_forgotten() {
    // Our own choice: until milk fever is no more to be feared, six weeks; a watch three weeks.
    let on = |today: &str, signs: &str, more: &str| {
        let health = ill(9, signs) + more;
        let records = records_on(today, &puppy("a", "210 g"), "", &health, "");
        findings(&records)
            .filter(|f| f.is_of_dam())
            .map(|f| (f.urgency, f.is_question()))
            .collect::<Vec<_>>()
    };
    let (call, watch) = ("trembling", "a little quiet");
    let asked = [(Urgency::Watch, true)];
    assert_eq!(on("2026-10-23", call, ""), [(Urgency::CallTheVet, false)]);
    assert_eq!(on("2026-10-24", call, ""), asked);
    assert_eq!(on("2026-11-20", call, ""), asked);
    assert_eq!(on("2026-11-21", call, ""), []);
    assert_eq!(on("2026-10-16", watch, ""), [(Urgency::Watch, false)]);
    assert_eq!(on("2026-10-17", watch, ""), asked);
    assert_eq!(on("2026-10-30", watch, ""), asked);
    assert_eq!(on("2026-10-31", watch, ""), []);
    // What is asked is answered as a call is closed: by a vet, or by a note that she is well.
    let checked = |check: &str| format!("- {{ on: 2026-10-25, for: dam, check: {{ {check} }} }}\n");
    for (check, left) in [
        ("by: V, findings: calcium at the time", &[][..]),
        ("by: K, findings: well again since the 12th", &[]),
        ("by: K, findings: looked at her", &asked),
    ] {
        assert_eq!(on("2026-10-26", call, &checked(check)), left, "{check}");
    }
    // What is new is no question, whatever is asked beside it.
    assert_eq!(
        on("2026-10-30", call, &ill(29, "a little quiet")),
        [(Urgency::Watch, false)]
    );
    assert_eq!(
        on("2026-10-30", watch, &ill(29, "trembling")),
        [(Urgency::CallTheVet, false)]
    );
}
