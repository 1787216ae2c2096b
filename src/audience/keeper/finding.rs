//! A finding in words, wherever findings are shown.
//!
//! In: a finding and the litter it belongs to. Out: [`FindingShown`].

use crate::audience::RibbonShown;
use crate::husbandry::findings::Finding;
use crate::records::LitterFolder;
use serde::Serialize;

/// A finding, wherever findings are shown.
#[derive(Debug, Clone, Serialize)]
pub struct FindingShown {
    /// `steady`, `watch` or `call the vet`.
    pub urgency: &'static str,
    /// Stable name of the rule.
    pub rule: &'static str,
    /// The puppy, the dam or the litter.
    pub who: String,
    /// The puppy's ribbon.
    pub ribbon: Option<RibbonShown>,
    /// Name of the litter.
    pub litter: String,
    /// Where it stands in the book, below its root.
    pub path: String,
    /// What was noticed.
    pub what: String,
    /// The value it was measured against.
    pub limit: String,
    /// Where that value comes from.
    pub source: &'static str,
}

pub(super) fn shown(folder: &LitterFolder, finding: &Finding) -> FindingShown {
    let Finding { urgency, rule, puppy, what, limit, source, days: _ } = finding;
    let found = puppy.as_ref().and_then(|id| folder.puppy(id));
    FindingShown {
        urgency: urgency.words(),
        rule,
        who: match found {
            Some(puppy) => puppy.shown_name(),
            None if finding.is_of_dam() => "the dam".to_owned(),
            None => folder.litter.name.to_string(),
        },
        ribbon: found.and_then(|p| p.ribbon).map(Into::into),
        litter: folder.litter.name.to_string(),
        path: match found {
            Some(puppy) => super::puppy::path(&folder.id, &puppy.id),
            None if finding.is_of_dam() => format!("litters/{}.html#dam", folder.id),
            None => format!("litters/{}.html", folder.id),
        },
        what: what.clone(),
        limit: limit.clone(),
        source,
    }
}
