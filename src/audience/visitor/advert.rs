//! What the region's rule asks a public advert to show, beyond what every listing shows anyway.
//!
//! In: the kennel, its region's book, a puppy that is spoken of. Out: [`AdvertLine`]s. This is the
//! only way by which a chip number can become public: the law of the region has to ask for it.

use super::SiteContext;
use crate::husbandry::rules::{AdvertField, RuleMaker, books_for};
use crate::records::LitterFolder;
use crate::records::kennel::{Licence, Numbers};
use crate::records::litter::{Offer, Puppy};
use serde::Serialize;
use std::collections::BTreeSet;

/// One line that an advert shows.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AdvertLine {
    /// What it is.
    pub label: &'static str,
    /// What it says.
    pub value: String,
}

/// The lines for a puppy that can be had; nothing for one that is not looking for a home, which is
/// no advert.
pub(super) fn lines(
    context: &SiteContext<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
) -> Vec<AdvertLine> {
    if puppy.offer != Offer::Available {
        return Vec::new();
    }
    let kennel = &context.records.kennel;
    let books = books_for(&kennel.country, kennel.region.as_deref(), &[]);
    let asked: BTreeSet<AdvertField> = books
        .iter()
        .filter(|book| book.kind == RuleMaker::Law)
        .flat_map(|book| book.advert.iter().map(|item| item.field))
        .collect();
    asked
        .into_iter()
        .filter_map(|field| line(context, folder, puppy, field))
        .collect()
}

/// One line; nothing where the page shows it anyway, or where the records do not say.
fn line(
    context: &SiteContext<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
    field: AdvertField,
) -> Option<AdvertLine> {
    let kennel = &context.records.kennel;
    let Numbers {
        business,
        source,
        breeder,
        supply,
    } = &kennel.numbers;
    let licence = |of: fn(&Licence) -> String| kennel.licence.as_ref().map(of);
    let text = |text: &Option<crate::quantity::Text>| text.as_ref().map(ToString::to_string);
    let chip = || puppy.chip.as_ref().map(ToString::to_string);
    let dam = || {
        context
            .records
            .dogs
            .get(&folder.litter.dam)?
            .chip
            .as_ref()
            .map(|chip| format!("{chip} (mother)"))
    };
    let (label, value) = match field {
        // Pictures and ages stand on every listing.
        AdvertField::RecognisablePhoto | AdvertField::Age => return None,
        AdvertField::LicenceNumber => ("Licence", licence(|l| l.number.to_string())),
        AdvertField::IssuingAuthority => ("Issued by", licence(|l| l.authority.to_string())),
        AdvertField::CountryOfResidence => ("Lives in", Some(country(&kennel.country))),
        AdvertField::CountryOfOrigin => ("Born in", Some(country(&kennel.country))),
        AdvertField::PuppyChip => ("Microchip", chip()),
        AdvertField::PuppyOrDamChip => ("Microchip", chip().or_else(dam)),
        AdvertField::PedigreeRegisteredOrNot => {
            let register = puppy
                .registration
                .as_ref()
                .map_or("none yet", |r| r.registry.as_str());
            ("Pedigree register", Some(register.to_owned()))
        }
        // The law asks for the litter as it was born; a number that fell with a loss would tell of
        // it.
        AdvertField::NumberInLitter => (
            "Puppies in the litter",
            Some(folder.litter.puppies.len().to_string()),
        ),
        AdvertField::BusinessOrLitterNumber => ("Business number", text(business)),
        AdvertField::SourceNumber => ("Source number", text(source)),
        AdvertField::BreederNumber => ("Breeder number", text(breeder)),
        AdvertField::SupplyNumber => ("Supply number", text(supply)),
        AdvertField::WithBiologicalMother => (
            "Seen with",
            kennel
                .seen_with_dam
                .filter(|seen| *seen)
                .map(|_| "its mother".to_owned()),
        ),
    };
    Some(AdvertLine {
        label,
        value: value?,
    })
}

/// The name of a country for which there is a book; else its code.
fn country(code: &str) -> String {
    let name = match code {
        "AU" => "Australia",
        "DE" => "Germany",
        "FR" => "France",
        "GB" => "United Kingdom",
        "NL" => "Netherlands",
        "US" => "United States",
        other => other,
    };
    name.to_owned()
}
