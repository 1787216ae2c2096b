//! The same medicine for the same animal on one day is asked back: a dose that is written twice is
//! taken for one that was given twice.
//!
//! In: what was typed and what stands in the records. Out: nothing, or the page once more with what
//! is there already; sent again unchanged, it is meant.

use super::form::{ActFields, ActPage, AskedSlips};
use super::{Halt, Scene};
use crate::quantity::Day;
use crate::records::LitterFolder;
use crate::records::health::{HealthEntry, HealthKind};

/// The product of an entry of a kind that is given once a day; nothing of another kind.
fn product(entry: &HealthEntry, kind: HealthKind) -> Option<String> {
    let named = match kind {
        HealthKind::Worming => entry.worming.as_ref()?.product.as_ref(),
        HealthKind::Parasite => entry.parasite.as_ref()?.product.as_ref(),
        HealthKind::Vaccination => entry.vaccination.as_ref()?.product.as_ref(),
        HealthKind::Treatment => Some(&entry.treatment.as_ref()?.product),
        _ => return None,
    };
    Some(named.map(ToString::to_string).unwrap_or_default())
}

/// Whether two products may be one: the same name, or none.
fn may_be_one(one: &str, other: &str) -> bool {
    let plain = |name: &str| name.trim().to_lowercase();
    one.is_empty() || other.is_empty() || plain(one) == plain(other)
}

/// Names of those of the ticked who had it on that day already, and what it was.
fn known(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    ticked: &[&str],
    (kind, typed): (HealthKind, &str),
    day: Day,
) -> Option<(Vec<String>, String)> {
    let same: Vec<(&HealthEntry, String)> = litter
        .health
        .iter()
        .filter(|entry| entry.day() == Some(day))
        .filter_map(|entry| Some((entry, product(entry, kind)?)))
        .filter(|(_, product)| may_be_one(product, typed))
        .collect();
    let is_meant = |id: &str| ticked.contains(&id) || ticked.contains(&"all");
    let puppies = litter.litter.puppies.iter();
    let had = puppies
        .filter(|puppy| is_meant(puppy.id.as_str()))
        .filter(|puppy| same.iter().any(|(entry, _)| entry.is_for(&puppy.id)));
    let mut names: Vec<String> = had.map(|puppy| puppy.shown_name()).collect();
    if ticked.contains(&"dam") && same.iter().any(|(entry, _)| entry.is_for_dam()) {
        names.push(scene.dam(litter));
    }
    let (_, product) = same.into_iter().next()?;
    (!names.is_empty()).then_some((names, product))
}

/// Asks back once, on the page of the form. A kind comes with what it is called.
pub(super) fn asked_back(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    given: &ActFields,
    (kind, called): (HealthKind, &str),
    day: Day,
    page: fn(&Scene<'_>) -> Option<ActPage>,
) -> Result<(), Halt> {
    let ticked: Vec<&str> = given.names("for").collect();
    let typed = given.get("product").unwrap_or_default();
    let meant = format!("{} {day} {} {typed}", kind.key(), ticked.join(","));
    let Some((names, product)) = known(scene, litter, &ticked, (kind, typed), day) else {
        return Ok(());
    };
    if given.get("meant") == Some(meant.as_str()) {
        return Ok(());
    }
    // Where no page can be shown again, nobody can be asked.
    let Some(mut page) = page(scene).filter(|page| page.form.is_some()) else {
        return Ok(());
    };
    let what = if product.is_empty() {
        called.to_owned()
    } else {
        product
    };
    let slips = AskedSlips::one(
        "",
        format!(
            "{what} on {} is written already for {}",
            day.in_words(),
            names.join(", ")
        ),
        "given once, it is written once: then there is nothing to record; given twice, send this \
         once more as it is",
    );
    let from = given
        .get("from")
        .map(|from| ("from".to_owned(), from.to_owned()));
    if let Some(form) = &mut page.form {
        form.hidden.extend(from);
    }
    let page = page.asked_back(given, slips, meant, "It was given twice: record it");
    Err(Halt::Show(Box::new(page)))
}
