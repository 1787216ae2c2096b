//! Access codes of families' pages: whose there are, and new ones.
//!
//! In: the records, the keyring. Out: for each puppy that a family takes, the name of its page in
//! the keyring; new codes, drawn but not yet written. Shown by `recode` and by the desk.

use super::secrets;
use crate::audience::owner;
use crate::keyring::{CodeEntry, Keyring, KeyringError};
use crate::records::litter::Puppy;
use crate::records::owners::{Family, Homes};
use crate::records::{LitterFolder, Records};

/// The page of a puppy and the family it belongs to.
#[derive(Debug, Clone, Copy)]
pub struct FamilyPage<'a> {
    pub folder: &'a LitterFolder,
    pub puppy: &'a Puppy,
    pub family: &'a Family,
}

impl<'a> FamilyPage<'a> {
    /// The page of this puppy; nothing when no family takes it.
    pub fn of(homes: &Homes<'a>, folder: &'a LitterFolder, puppy: &'a Puppy) -> Option<Self> {
        let (family, _) = homes.of(&folder.id, puppy)?;
        Some(Self {
            folder,
            puppy,
            family,
        })
    }

    /// The name by which the keyring knows it.
    pub fn key(&self) -> String {
        owner::key(self.folder, self.puppy)
    }
}

/// The pages of all families.
pub fn family_pages(records: &Records) -> Vec<FamilyPage<'_>> {
    let homes = records.owners.homes();
    let living = records
        .litters
        .values()
        .flat_map(|folder| folder.living().map(move |puppy| (folder, puppy)));
    living
        .filter_map(|(folder, puppy)| FamilyPage::of(&homes, folder, puppy))
        .collect()
}

/// Draws new codes for these pages, each with its family. They are to be saved then: until that is
/// done the old ones stand in the file.
pub fn drawn(
    keyring: &mut Keyring,
    pages: &[(String, String)],
) -> Result<Vec<(String, CodeEntry)>, KeyringError> {
    let mut codes = Vec::new();
    for (key, family) in pages {
        let remembered = keyring.remembered.pages.get(key);
        let before = remembered.map(|before| before.page.clone());
        let entry = keyring
            .codes
            .renew(key, family, before.as_deref(), &mut secrets::random)?;
        codes.push((key.clone(), entry));
    }
    Ok(codes)
}
