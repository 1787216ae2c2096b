//! How units and dates are written where the family lives.
//!
//! In: the family's place, the kennel. Out: whether weights are pounds and ounces, and whether
//! dates begin with the month. The lists are from memory of CLDR (territories that use the US
//! system of measures; English locales that write the month first).

use crate::records::kennel::Kennel;
use crate::records::owners::Residence;

/// The United States and the territories that write as they do.
const AS_IN_THE_STATES: [&str; 7] = ["US", "AS", "GU", "MP", "PR", "UM", "VI"];

/// The kennel's own units in its own country; elsewhere those of the place.
pub(super) fn ounces(place: Residence<'_>, kennel: &Kennel) -> bool {
    if place.country == kennel.country.as_str() {
        kennel.is_read_in_ounces()
    } else {
        AS_IN_THE_STATES.contains(&place.country)
    }
}

/// October 9, 2026 instead of 9 October 2026.
pub(super) fn month_first(place: Residence<'_>) -> bool {
    AS_IN_THE_STATES.contains(&place.country) || place.country == "CA"
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::owners::Family;

    fn family(yaml: &str) -> Family {
        serde_yaml::from_str(&format!("id: lund\nname: The Lund family\n{yaml}")).unwrap()
    }

    #[test]
    fn units_and_dates_follow_the_family_and_else_the_kennel() {
        let kennel: Kennel = serde_yaml::from_str(
            "name: Tarnside\nbreed: Scottish Terrier\ncontact: { keeper: Nell, email: \
             nell@tarnside.example }\ncountry: GB\nregion: scotland\ntime_zone: Europe/London\n",
        )
        .unwrap();
        for (yaml, country, region, is_ounces, is_month_first) in [
            ("", "GB", Some("scotland"), false, false),
            ("region: england", "GB", Some("england"), false, false),
            ("country: US", "US", None, true, true),
            ("country: CA", "CA", None, false, true),
            ("country: DE", "DE", None, false, false),
            (
                "country: US\nregion: texas",
                "US",
                Some("texas"),
                true,
                true,
            ),
        ] {
            let family = family(yaml);
            let place = Residence::of_family(&family, &kennel);
            assert_eq!(place, Residence { country, region }, "{yaml}");
            assert_eq!(
                (ounces(place, &kennel), month_first(place)),
                (is_ounces, is_month_first),
                "{yaml}"
            );
        }
    }
}
