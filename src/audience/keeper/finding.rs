//! A finding in words, wherever findings are shown.
//!
//! In: a finding and the litter it belongs to. Out: [`FindingShown`].

use super::paths;
use crate::RibbonShown;
use crate::husbandry::findings::Finding;
use crate::quantity::Id;
use crate::records::LitterFolder;
use crate::words::findings;
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
    /// Whether it is about a puppy.
    #[serde(skip)]
    pub is_of_puppy: bool,
    /// The finding itself.
    #[serde(skip)]
    pub finding: Finding,
    /// Folder of the litter.
    #[serde(skip)]
    pub litter_id: Id,
    /// Where it stands in the book, below its root.
    pub path: String,
    /// What was noticed.
    pub what: String,
    /// The value it was measured against.
    pub limit: String,
    /// Where that value comes from; empty where that stands with the value.
    pub source: &'static str,
}

/// All that is said of one puppy in one line, the worst first, with what each was measured against.
/// Findings of one puppy stand together, and the worst of them first.
pub(super) fn joined(findings: Vec<FindingShown>) -> Vec<FindingShown> {
    let mut lines: Vec<FindingShown> = Vec::with_capacity(findings.len());
    for found in findings {
        match lines
            .last_mut()
            .filter(|line| found.is_of_puppy && line.path == found.path)
        {
            Some(line) => {
                if !line.source.is_empty() {
                    line.limit = format!("{} ({})", line.limit, line.source);
                    line.source = "";
                }
                line.what = format!("{}; {}", line.what, found.what);
                line.limit = format!("{}; {} ({})", line.limit, found.limit, found.source);
            }
            None => lines.push(found),
        }
    }
    lines
}

/// A finding of a litter; `ounces` is how the keeper reads weights.
pub(super) fn shown(folder: &LitterFolder, finding: &Finding, ounces: bool) -> FindingShown {
    let Finding {
        urgency,
        puppy,
        noticed,
        weight: _,
    } = finding;
    let found = puppy.as_ref().and_then(|id| folder.puppy(id));
    FindingShown {
        urgency: urgency.words(),
        rule: noticed.rule().name(),
        who: match found {
            Some(puppy) => puppy.shown_name(),
            None if finding.is_of_dam() => "the dam".to_owned(),
            None => folder.litter.name.to_string(),
        },
        ribbon: found.and_then(|p| p.ribbon).map(Into::into),
        litter: folder.litter.name.to_string(),
        is_of_puppy: found.is_some(),
        finding: finding.clone(),
        litter_id: folder.id.clone(),
        path: match found {
            Some(puppy) => paths::puppy(&folder.id, &puppy.id),
            None if finding.is_of_dam() => format!("litters/{}.html#dam", folder.id),
            None => paths::litter(&folder.id),
        },
        what: findings::what(finding, ounces),
        limit: findings::limit(finding),
        source: noticed.source(),
    }
}
