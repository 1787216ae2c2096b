//! A kennel begins: the few things that must be known of it, from which `kennel.yaml` is made.
//!
//! In: an empty folder. Out: a form; then the first record. It stands beside the other acts, since
//! they all need records to look at, and here there are none yet.

use super::form::{ActField, ActFields, ActForm, ActPage, AskedSlip, AskedSlips, Group, choices};
use super::values::{block, new_record, text};
use super::{ActAnswer, Halt, ROOT, way};
use crate::Error;
use crate::app::adding::asked;
use crate::app::folder::Folder;
use crate::app::recording::{FileChange, Mode, Stop, record};
use crate::app::terminal;
use crate::records::kennel::{Email, SiteAddress, Zone};

const FILE: &str = "kennel.yaml";

/// The page.
pub(crate) fn page() -> ActPage {
    let zone = terminal::own_zone().unwrap_or_default();
    let zones = chrono_tz::TZ_VARIANTS.iter().map(|zone| zone.name());
    let zones = zones.filter(|name| name.contains('/') && !name.starts_with("Etc/"));
    let units = [("g", "Grams"), ("oz", "Pounds and ounces")];
    let who = vec![
        ActField::text("name", "What your kennel is called").needed(),
        ActField::text("breed", "Breed").needed(),
        ActField::text("keeper", "Your own name").needed(),
        ActField::text("email", "E-mail").needed(),
        ActField::text("phone", "Telephone"),
        ActField::text("country", "Country")
            .help("its two letters, such as GB, IE, US or DE")
            .needed(),
        ActField::text("time_zone", "Time zone")
            .help("as continent and large city: Europe/London")
            .earlier(zones.map(str::to_owned).collect())
            .with(zone)
            .needed(),
    ];
    let more = vec![
        ActField::text("town", "Town").help("shown to everyone"),
        ActField::text("region", "Region")
            .help("whose rules apply, such as scotland or new-south-wales"),
        ActField::choice("units", "Weights are shown in", choices(units)),
        ActField::text("clinic", "Vet at night").help("for families only"),
        ActField::text("clinic_phone", "Telephone of that vet"),
        ActField::text("site", "Address of your site")
            .help("where it will stand, such as https://hazelmere.example/"),
    ];
    ActPage {
        title: "A kennel begins".to_owned(),
        lead: vec![
            "No kennel stands in this folder yet. Say who you are; all of it can be changed \
             later, and nothing leaves this machine before you publish."
                .to_owned(),
        ],
        form: Some(ActForm::saved_by(
            "Begin the kennel",
            vec![Group::new("", who), Group::shut("More", more)],
        )),
        ..ActPage::default()
    }
}

/// What beginning one is called in the history.
const NEW: &str = "new kennel";

/// What `kennel.yaml` is to hold.
fn made(given: &ActFields) -> Result<Vec<FileChange>, AskedSlips> {
    let mut slips = AskedSlips::default();
    let name = given.needed("name", "say what your kennel is called", &mut slips);
    let breed = given.needed("breed", "say which breed you keep", &mut slips);
    let keeper = given.needed("keeper", "say who you are", &mut slips);
    let country = given.needed("country", "say in which country you live", &mut slips);
    for (field, ask) in [
        ("email", "say how you can be written to"),
        ("time_zone", "say whose clock your kennel goes by"),
    ] {
        given.needed(field, ask, &mut slips);
    }
    let email = given.value::<Email>("email", &mut slips);
    let zone = given.value::<Zone>("time_zone", &mut slips);
    // Such a clock is right for half the year alone, in most countries.
    let never_changes = [
        "GMT",
        "UTC",
        "UCT",
        "EST",
        "MST",
        "HST",
        "Greenwich",
        "Zulu",
    ];
    let is_bare = |zone: &Zone| {
        let name = zone.0.name();
        name.starts_with("Etc/") || never_changes.contains(&name)
    };
    if zone.as_ref().is_some_and(is_bare) {
        slips.push(
            "time_zone",
            "this clock never changes to summer time",
            "write the continent and the large city whose clock yours is: Europe/London",
        );
    }
    let site = given.value::<SiteAddress>("site", &mut slips);
    let clinic = given.words("clinic", &mut slips);
    let at_night = given.words("clinic_phone", &mut slips);
    slips.together(
        [("clinic", &clinic), ("clinic_phone", &at_night)],
        "a vet at night is a name and a telephone",
    );
    let mut contact = block([
        ("keeper", Some(keeper)),
        ("email", text(email.map(|Email(email)| email))),
        ("phone", given.words("phone", &mut slips)),
        ("town", given.words("town", &mut slips)),
    ]);
    if clinic.is_some() {
        let vet = block([("clinic", clinic), ("phone", at_night)]);
        contact.insert("emergency_vet".into(), vet.into());
    }
    let mut kennel = block([("name", Some(name)), ("breed", Some(breed))]);
    kennel.insert("contact".into(), contact.into());
    kennel.extend(block([
        ("country", Some(country.to_uppercase())),
        ("region", given.words("region", &mut slips)),
        ("time_zone", zone.map(|Zone(zone)| zone.name().to_owned())),
        ("units", text(given.get("units"))),
        ("site", site.map(|site| site.as_str().to_owned())),
    ]));
    slips.none()?;
    Ok(vec![(FILE.to_owned(), new_record(kennel))])
}

/// Records it, or only says what is in the way.
pub(crate) fn begin(
    folder: &Folder,
    told: &super::ActNotice,
    (given, mode): (&ActFields, Mode),
) -> Result<ActAnswer, Error> {
    let asked = asked("desk", NEW);
    let done = record::<Halt>(folder, &asked, mode, |standing| {
        if standing.text(FILE)?.is_some() {
            return Err(Stop::Refused(Halt::Gone));
        }
        made(given).map_err(|slips| Stop::Refused(slips.into()))
    })?;
    let again = |slips: Vec<AskedSlip>| ActAnswer::Again(Box::new(page().again(given, slips)));
    Ok(match done {
        Ok(done) => {
            let to = format!("{ROOT}litters");
            ActAnswer::Done(way((&to, NEW), told, &done))
        }
        Err(Halt::Slips(AskedSlips(slips))) => again(slips),
        Err(Halt::Show(page) | Halt::Look(page, _)) => ActAnswer::Page(page),
        Err(Halt::Gone) => ActAnswer::Gone,
    })
}
