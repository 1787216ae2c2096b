//! What a puppy had by hand, in words.
//!
//! In: what was noticed. Out: a phrase without full stop.

use crate::husbandry::findings::Noticed;
use crate::quantity::many;

/// A day of feeding by hand that held too little; nothing of anything else.
pub(super) fn too_little(noticed: &Noticed) -> String {
    let Noticed::FedTooLittle {
        per_kg,
        need,
        is_most,
        feeds,
        last,
        is_motherless,
        limit: _,
    } = noticed
    else {
        return String::new();
    };
    let most = if *is_most { "at most " } else { "" };
    let dam = if *is_motherless {
        ""
    } else {
        "; what it drinks from its dam is not counted"
    };
    format!(
        "had {most}{per_kg:.0} kcal/kg by hand in a day ({} up to {last}), where {need:.0} is the \
         published need{dam}",
        many(*feeds, "feed")
    )
}
