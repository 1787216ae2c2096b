//! `kennel.yaml`: who we are, where we are, what we promise.
//!
//! In: the file. Out: a [`Kennel`]. Which of its fields may be published is decided in `audience`,
//! never here.

use super::one_or_many::OneOrMany;
use super::promise::Promise;
use crate::quantity::{Day, Span, Text, did_you_mean, slips};
use chrono::{DateTime, Utc};
use chrono_tz::Tz;
use schemars::JsonSchema;
use serde::Deserialize;

/// The kennel and its settings.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Kennel {
    /// The kennel's name.
    pub name: Text,
    /// The breed; a dog may say otherwise in its own file.
    pub breed: Text,
    /// One sentence about the kennel.
    pub summary: Option<Text>,
    /// How to reach the keeper.
    pub contact: Contact,
    /// ISO 3166-1 code of the country, such as GB.
    pub country: Text,
    /// Region whose rules apply, such as scotland.
    pub region: Option<Text>,
    /// Registries whose rules matings are compared with, such as The Kennel Club.
    #[serde(default)]
    pub registries: OneOrMany<Text>,
    /// IANA name of the time zone, such as Europe/London.
    #[schemars(title = "Time zone")]
    pub time_zone: Zone,
    /// How weights are shown.
    #[serde(default)]
    #[schemars(title = "Weights are shown in")]
    pub units: Units,
    /// Address of the published site, such as `https://hazelmere.example/`.
    #[schemars(title = "Address of the site")]
    pub site: Option<SiteAddress>,
    /// The breeder's licence, where there is one.
    pub licence: Option<Licence>,
    /// Numbers that some places ask to be shown in an advert.
    #[serde(default)]
    pub numbers: Numbers,
    /// Whether visitors see the puppies together with their dam; some places ask to say so.
    #[schemars(title = "Seen with their dam")]
    pub seen_with_dam: Option<bool>,
    /// Youngest age at which a puppy may leave; default and least: 56 days.
    #[schemars(title = "Youngest age at leaving")]
    pub leaving_age: Option<Span>,
    /// What the kennel stands by, a sentence each; one with days becomes a date on the page of
    /// each family.
    #[serde(default)]
    #[schemars(title = "What the kennel stands by")]
    pub policies: Vec<Promise>,
    /// Pins today to this day, for a demonstration.
    #[schemars(title = "Today is taken to be")]
    pub as_of: Option<Day>,
}

impl Kennel {
    /// Whether the keeper reads weights in pounds and ounces.
    #[must_use]
    pub fn is_read_in_ounces(&self) -> bool {
        self.units == Units::Ounces
    }

    /// The day all ages are counted to: that of `now` in the kennel's time zone, unless it is
    /// pinned.
    #[must_use]
    pub fn today(&self, now: DateTime<Utc>) -> Day {
        let local = || now.with_timezone(&self.time_zone.0).date_naive().into();
        self.as_of.unwrap_or_else(local)
    }
}

/// Regions for which rules are known, by country: their names and ISO 3166-2 codes, as
/// [`plain_name`] writes them. The rules themselves are data of `husbandry`; only their names stand
/// here, so that a slip is noticed where it was written.
pub const REGIONS: &[(&str, &[&str])] = &[
    (
        "AU",
        &[
            "new-south-wales",
            "au-nsw",
            "nsw",
            "queensland",
            "au-qld",
            "qld",
            "victoria",
            "au-vic",
            "vic",
        ],
    ),
    (
        "GB",
        &[
            "england",
            "gb-eng",
            "eng",
            "scotland",
            "gb-sct",
            "sct",
            "wales",
            "gb-wls",
            "wls",
            "northern-ireland",
            "gb-nir",
            "nir",
        ],
    ),
    (
        "US",
        &[
            "california",
            "us-ca",
            "ca",
            "nevada",
            "us-nv",
            "nv",
            "new-york",
            "us-ny",
            "ny",
            "texas",
            "us-tx",
            "tx",
            "virginia",
            "us-va",
            "va",
            "wisconsin",
            "us-wi",
            "wi",
        ],
    ),
];

/// Registries whose rules are known, by their names, as [`plain_name`] writes them.
pub const REGISTRIES: &[&str] = &[
    "the-kennel-club",
    "kennel-club",
    "kc",
    "royal-kennel-club",
    "the-kennel-club-uk",
    "kennel-club-uk",
    "akc",
    "american-kennel-club",
    "raad-van-beheer",
    "nhsb",
    "dutch-kennel-club",
    "raad-van-beheer-op-kynologisch-gebied",
    "dogs-victoria",
    "victorian-canine-association",
    "fci",
    "federation-cynologique-internationale",
];

/// A name in small letters and digits with single hyphens between: `New South Wales` becomes
/// `new-south-wales`.
#[must_use]
pub fn plain_name(name: &str) -> String {
    let letters: String = name
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { ' ' })
        .collect();
    letters.split_whitespace().collect::<Vec<_>>().join("-")
}

/// Whether a name as a keeper writes it is one of these, which are as [`plain_name`] writes them; a
/// leading `the` does not matter.
#[must_use]
pub fn is_one_of<'a>(name: &str, mut names: impl Iterator<Item = &'a str>) -> bool {
    let plain = plain_name(name);
    names.any(|n| n == plain || plain.strip_prefix("the-") == Some(n))
}

/// How to reach the keeper.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Contact {
    /// The keeper's name.
    #[schemars(title = "Keeper")]
    pub keeper: Text,
    /// The keeper's e-mail address.
    #[schemars(title = "E-mail")]
    pub email: Email,
    /// Telephone, in quotes.
    pub phone: Option<Text>,
    /// Town, public.
    pub town: Option<Text>,
    /// Postal address, for owners only.
    #[schemars(extend("x-long" = true))]
    pub address: Option<Text>,
    /// Whom to call at night, for owners only.
    #[schemars(title = "Vet out of hours")]
    pub emergency_vet: Option<EmergencyVet>,
}

/// A practice to call out of hours.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EmergencyVet {
    /// Name of the practice.
    pub clinic: Text,
    /// Telephone, in quotes.
    pub phone: Text,
}

/// A breeding licence, printed where the law wants it.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Licence {
    /// Number of the licence.
    pub number: Text,
    /// Who issued it.
    pub authority: Text,
}

/// Numbers of the seller that some places ask to be shown in an advert. Shown only where the
/// region's rule asks for them.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Numbers {
    /// Business number, such as the SIREN in France.
    pub business: Option<Text>,
    /// Source number, as in Victoria.
    pub source: Option<Text>,
    /// Breeder identification number, as in New South Wales.
    pub breeder: Option<Text>,
    /// Supply number, as in Queensland.
    pub supply: Option<Text>,
}

/// The unit in which weights are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, JsonSchema)]
pub enum Units {
    /// Grams, and kilograms from 5 kg.
    #[default]
    #[serde(rename = "g")]
    Grams,
    /// Pounds and ounces.
    #[serde(rename = "oz")]
    Ounces,
}

/// A time zone of the IANA database.
#[derive(Debug, Clone, Copy)]
pub struct Zone(pub Tz);

impl std::str::FromStr for Zone {
    type Err = crate::quantity::Unreadable;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        text.trim().parse().map(Zone).map_err(|_| {
            let hint = nearest_zone(text.trim()).map_or_else(
                || {
                    "write continent and city of the nearest large city, such as Europe/London or \
                     America/Toronto"
                        .to_owned()
                },
                did_you_mean,
            );
            crate::quantity::Unreadable::new(
                "time-zone-unknown",
                format!("`{text}` is not a time zone"),
                hint,
            )
        })
    }
}

/// The time zone that was meant, when a name is near enough: a city alone (`Berlin`) is compared
/// with cities.
fn nearest_zone(wanted: &str) -> Option<&'static str> {
    let plain = |name: &str| name.to_lowercase().replace([' ', '-'], "_");
    let wanted = plain(wanted);
    let has_place = wanted.contains('/');
    let compared = |name: &'static str| {
        if has_place {
            name
        } else {
            name.rsplit('/').next().unwrap_or(name)
        }
    };
    let near = |name: &'static str| slips(&plain(compared(name)), &wanted);
    let zones = chrono_tz::TZ_VARIANTS.iter().map(|zone| zone.name());
    // Old names such as `Iran`, and those of continents that no city has, come after a city of the
    // same distance.
    let nearest = zones
        .map(|name| {
            (
                near(name),
                !name.contains('/') || name.starts_with("Etc/"),
                name,
            )
        })
        .min()?;
    // Abbreviations such as `CEST` are near to many cities.
    (nearest.0 <= wanted.chars().count() / 5).then_some(nearest.2)
}

/// An e-mail address with one `@` and a dot after it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Email(pub Text);

impl std::str::FromStr for Email {
    type Err = crate::quantity::Unreadable;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let plain: Text = text.parse()?;
        let well_formed = plain.split_once('@').is_some_and(|(user, host)| {
            let allowed = |c: char| {
                !c.is_whitespace()
                    && !matches!(
                        c,
                        '<' | '>'
                            | '"'
                            | '\''
                            | ','
                            | ';'
                            | ':'
                            | '&'
                            | '?'
                            | '#'
                            | '%'
                            | '\\'
                            | '('
                            | ')'
                    )
            };
            !user.is_empty()
                && host.contains('.')
                && !host.contains('@')
                && !host.starts_with('.')
                && !host.ends_with('.')
                && plain.chars().all(allowed)
        });
        if well_formed {
            return Ok(Self(plain));
        }
        Err(crate::quantity::Unreadable::new(
            "not-an-email",
            format!("`{text}` is not an e-mail address"),
            "write it as name@host.example",
        ))
    }
}

/// The address of the published site: `http` or `https`, ending in `/`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SiteAddress(String);

impl SiteAddress {
    /// The address, always with a final `/`.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The part after the host: `/` or `/kennel/`.
    #[must_use]
    pub fn path(&self) -> &str {
        let after_scheme = self.0.find("://").map_or(0, |i| i + 3);
        self.0[after_scheme..]
            .find('/')
            .map_or("/", |i| &self.0[after_scheme + i..])
    }
}

impl std::str::FromStr for SiteAddress {
    type Err = crate::quantity::Unreadable;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        let host = text
            .strip_prefix("https://")
            .or_else(|| text.strip_prefix("http://"))
            .unwrap_or("");
        let plain =
            |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '/' | ':' | '_' | '~');
        if host.is_empty() || host.starts_with('/') || !host.chars().all(plain) {
            let hint = "write the address with https:// and without ? or #, such as \
                https://hazelmere.example/";
            return Err(crate::quantity::Unreadable::new(
                "not-an-address",
                format!("`{text}` is not the address of a site"),
                hint,
            ));
        }
        Ok(Self(format!("{}/", text.trim_end_matches('/'))))
    }
}

crate::quantity::read_from_text!(Zone, "Zone", {
    "type": "string",
    "examples": ["Europe/London", "America/Toronto"]
});
crate::quantity::read_from_text!(Email, "Email", { "type": "string", "format": "email" });
crate::quantity::read_from_text!(SiteAddress, "SiteAddress", { "type": "string", "format": "uri" });

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_city_is_known_by_its_time_zone_and_nothing_else_is_proposed() {
        for (text, zone) in [
            ("Berlin", Some("Europe/Berlin")),
            ("berlin", Some("Europe/Berlin")),
            ("New York", Some("America/New_York")),
            ("Europe/Lodnon", Some("Europe/London")),
            ("Europe/Berln", Some("Europe/Berlin")),
            ("Hamburg", None),
            ("CEST", None),
        ] {
            assert_eq!(nearest_zone(text), zone, "{text}");
        }
    }
}
