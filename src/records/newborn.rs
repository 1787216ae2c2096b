//! The newborn checklist: what is looked at once on every puppy.

use crate::quantity::Text;
use schemars::JsonSchema;
use serde::Deserialize;

/// Names of the newborn checklist, as they are written in the records.
pub const CHECKLIST: [&str; 8] = [
    "limbs", "navel", "anus", "skull", "eyes", "tail", "skin", "suck",
];

/// The newborn checklist.
#[derive(Debug, Clone, PartialEq, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Newborn {
    /// Limbs and toes.
    pub limbs: Look,
    /// Navel: cord, bleeding, hernia.
    pub navel: Look,
    /// Anus open.
    pub anus: Look,
    /// Skull and fontanelle.
    pub skull: Look,
    /// Eyes and lids.
    pub eyes: Look,
    /// Tail and spine.
    pub tail: Look,
    /// Skin, swelling.
    pub skin: Look,
    /// Suck reflex.
    pub suck: Look,
}

impl Newborn {
    /// The items of the checklist with their names, in the order of the record.
    #[must_use]
    pub fn looks(&self) -> [(&'static str, &Look); CHECKLIST.len()] {
        let Self {
            limbs,
            navel,
            anus,
            skull,
            eyes,
            tail,
            skin,
            suck,
        } = self;
        let looks = [limbs, navel, anus, skull, eyes, tail, skin, suck];
        std::array::from_fn(|n| (CHECKLIST[n], looks[n]))
    }
}

/// One item of a checklist: normal, a finding in words, or not looked at.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Look {
    /// Nobody has looked yet.
    #[default]
    NotLookedAt,
    /// Looked at and as it should be.
    Normal,
    /// What was seen, in words.
    Seen(Text),
}

impl std::str::FromStr for Look {
    type Err = crate::quantity::Unreadable;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text.trim() {
            "not looked at" | "" => Ok(Self::NotLookedAt),
            "normal" => Ok(Self::Normal),
            _ => text.parse().map(Self::Seen),
        }
    }
}

crate::quantity::read_from_text!(Look, "Look", {
    "type": "string",
    "description": "normal, not looked at, or what was seen, in words"
});
