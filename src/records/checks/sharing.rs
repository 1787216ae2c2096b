//! Checks across litters: chip numbers, notes, families, the kennel's own settings and the care
//! plan.
//!
//! In: all records. Out: problems in whichever file says the later of two things.

use super::super::care_plan::BUILT_IN;
use super::super::kennel::{Kennel, REGIONS, REGISTRIES, is_one_of, plain_name};
use super::super::litter::Offer;
use super::super::owners::Takes;
use super::super::problem::{Place, Problem, key_path};
use super::super::reading::suggestion;
use super::{Checked, name_hint, no_puppy, out_of_order, to_come};
use crate::quantity::{ChipNumber, Day, Span, Text};
use std::collections::BTreeMap;

pub(super) fn check(records: &Checked<'_>, problems: &mut Vec<Problem>) {
    kennel(records, problems);
    chips(records, problems);
    notes(records, problems);
    families(records, problems);
    waiting(records, problems);
    care_plan(records, problems);
}

fn kennel(records: &Checked<'_>, problems: &mut Vec<Problem>) {
    let Some(kennel) = records.kennel else { return };
    settings(&kennel.country, kennel.leaving_age, problems);
    region(
        &kennel.country,
        kennel.region.as_ref(),
        Place::path("kennel.yaml", key_path!["region"]),
        problems,
    );
    registries(kennel, problems);
    if kennel
        .site
        .as_ref()
        .is_some_and(|site| site.as_str().starts_with("http://"))
    {
        problems.push(Problem::warning(
            "site-not-secure",
            Place::path("kennel.yaml", key_path!["site"]),
            "browsers do not open families’ sealed pages on a site without https",
            "most hosts give https without charge; then write the address with https://",
        ));
    }
}

/// What is checked of settings beyond their form; of a file with other problems too, so that all of
/// them are told at once.
pub(crate) fn settings(country: &str, leaving_age: Option<Span>, problems: &mut Vec<Problem>) {
    is_country(
        country,
        Place::path("kennel.yaml", key_path!["country"]),
        problems,
    );
    if let Some(age) = leaving_age.filter(|age| age.as_days() < 56 || !age.is_whole_days()) {
        let hint = "puppies stay at least 56 days (8 weeks); a later age may be written here in \
                    days or weeks";
        problems.push(Problem::error(
            "leaving-age-too-low",
            Place::path("kennel.yaml", key_path!["leaving_age"]),
            format!("{age} is too young to leave"),
            hint,
        ));
    }
}

/// Without the right code no rules would be compared, and nobody would notice.
fn is_country(country: &str, place: Place, problems: &mut Vec<Problem>) {
    if country.len() != 2 || !COUNTRIES.split(' ').any(|code| code == country) {
        problems.push(Problem::error(
            "country-unknown",
            place,
            format!("`{country}` is not a country code"),
            country_code(country).map_or_else(
                || "two capital letters of ISO 3166-1, such as GB, DE or CA".to_owned(),
                |code| format!("write `{code}`"),
            ),
        ));
    }
}

/// The code of a country that was written by its name, in English or as its own people call it (ISO
/// 3166-1); or of one in small letters.
fn country_code(name: &str) -> Option<String> {
    const NAMES: &[(&str, &[&str])] = &[
        ("AT", &["austria", "österreich"]),
        ("AU", &["australia"]),
        ("BE", &["belgium", "belgië", "belgique", "belgien"]),
        ("CA", &["canada"]),
        ("CH", &["switzerland", "schweiz", "suisse", "svizzera"]),
        ("CZ", &["czechia", "czech-republic", "česko"]),
        ("DE", &["germany", "deutschland"]),
        ("DK", &["denmark", "danmark"]),
        ("ES", &["spain", "españa"]),
        ("FI", &["finland", "suomi"]),
        ("FR", &["france"]),
        (
            "GB",
            &[
                "uk",
                "united-kingdom",
                "great-britain",
                "england",
                "scotland",
                "wales",
                "northern-ireland",
            ],
        ),
        ("IE", &["ireland", "éire"]),
        ("IT", &["italy", "italia"]),
        ("NL", &["netherlands", "nederland", "holland"]),
        ("NO", &["norway", "norge"]),
        ("NZ", &["new-zealand"]),
        ("PL", &["poland", "polska"]),
        ("PT", &["portugal"]),
        ("SE", &["sweden", "sverige"]),
        ("US", &["usa", "united-states", "united-states-of-america"]),
    ];
    let plain = plain_name(name);
    let bare = plain.strip_prefix("the-").unwrap_or(&plain);
    let known = NAMES
        .iter()
        .find(|(_, names)| names.contains(&bare))
        .map(|(code, _)| (*code).to_owned());
    // A code in small letters; two letters that no country has are none in capitals either.
    known.or_else(|| {
        Some(plain.to_uppercase())
            .filter(|code| code.len() == 2 && COUNTRIES.split(' ').any(|known| known == code))
    })
}

/// Codes of ISO 3166-1 alpha-2, as they stand since 2011.
const COUNTRIES: &str = "AD AE AF AG AI AL AM AO AQ AR AS AT AU AW AX AZ BA BB BD BE BF BG BH BI \
    BJ BL BM BN BO BQ BR \
     BS BT BV BW BY BZ CA CC CD CF CG CH CI CK CL CM CN CO CR CU CV CW CX CY CZ DE DJ DK DM DO DZ \
     EC EE EG EH ER ES ET FI FJ FK FM FO FR GA GB GD GE GF GG GH GI GL GM GN GP GQ GR GS GT GU GW \
     GY HK HM HN HR HT HU ID IE IL IM IN IO IQ IR IS IT JE JM JO JP KE KG KH KI KM KN KP KR KW KY \
     KZ LA LB LC LI LK LR LS LT LU LV LY MA MC MD ME MF MG MH MK ML MM MN MO MP MQ MR MS MT MU MV \
     MW MX MY MZ NA NC NE NF NG NI NL NO NP NR NU NZ OM PA PE PF PG PH PK PL PM PN PR PS PT PW PY \
     QA RE RO RS RU RW SA SB SC SD SE SG SH SI SJ SK SL SM SN SO SR SS ST SV SX SY SZ TC TD TF TG \
     TH TJ TK TL TM TN TO TR TT TV TW TZ UA UG UM US UY UZ VA VC VE VG VI VN VU WF WS YE YT ZA ZM \
     ZW";

/// A region that nobody knows would silently be without rules.
fn region(country: &str, region: Option<&Text>, place: Place, problems: &mut Vec<Problem>) {
    let regions = REGIONS
        .iter()
        .find(|(known, _)| *known == country)
        .map(|(_, regions)| *regions);
    if let (Some(region), Some(regions)) = (region, regions)
        && !is_one_of(region, regions.iter().copied())
    {
        problems.push(Problem::warning(
            "region-unknown",
            place,
            format!("no rules are known for the region `{region}`"),
            known_names(region, regions),
        ));
    }
}

/// The same of a registry.
fn registries(kennel: &Kennel, problems: &mut Vec<Problem>) {
    for (i, registry) in kennel
        .registries
        .iter()
        .enumerate()
        .filter(|(_, name)| !is_one_of(name, REGISTRIES.iter().copied()))
    {
        let place = Place::path("kennel.yaml", key_path!["registries", i]);
        let message = format!("no rules are known of the registry `{registry}`");
        problems.push(Problem::warning(
            "registry-unknown",
            place,
            message,
            known_names(registry, REGISTRIES),
        ));
    }
}

fn known_names(name: &str, names: &[&str]) -> String {
    suggestion(&plain_name(name), names).unwrap_or_else(|| {
        // Codes and abbreviations are understood, and not proposed: `wls`, `gb-wls`.
        let is_name = |name: &&str| name.len() > 4 && name.as_bytes()[2] != b'-';
        let long: Vec<&str> = names.iter().copied().filter(is_name).collect();
        format!("rules are known for: {}", long.join(", "))
    })
}

fn chips(records: &Checked<'_>, problems: &mut Vec<Problem>) {
    let mut seen: BTreeMap<&ChipNumber, (Place, String)> = BTreeMap::new();
    let dogs = records.dogs.iter().filter_map(|(id, dog)| {
        let chip = dog.chip.as_ref()?;
        let place = Place::path(&format!("dogs/{id}.yaml"), key_path!["chip"]);
        Some((chip, place, id.to_string()))
    });
    let puppies = records.litters.values().flat_map(|folder| {
        let file = folder.file("litter.yaml");
        let puppies = folder.litter.puppies.iter().enumerate();
        puppies.filter_map(move |(i, puppy)| {
            let chip = puppy.chip.as_ref()?;
            let place = Place::path(&file, key_path!["puppies", i, "chip"]);
            Some((chip, place, puppy.id.to_string()))
        })
    });
    for (chip, place, name) in dogs.chain(puppies) {
        match seen.get(chip) {
            // A puppy that stayed has a dog file of its own later, under the same name.
            Some((_, first)) if *first == name => {}
            Some((first_place, first)) => {
                let message = format!("`{name}` and `{first}` have the same chip number");
                problems.push(
                    Problem::error(
                        "chip-twice",
                        place,
                        message,
                        "compare both with the certificates",
                    )
                    .and(first_place.clone(), "the other"),
                );
            }
            None => _ = seen.insert(chip, (place, name)),
        }
    }
}

fn notes(records: &Checked<'_>, problems: &mut Vec<Problem>) {
    for folder in records
        .litters
        .values()
        .filter(|f| !records.is_broken(&f.file("litter.yaml")))
    {
        for note in &folder.notes {
            let file = folder.file(&format!("notes/{}.md", note.slug));
            for (i, id) in note
                .head
                .puppies
                .iter()
                .enumerate()
                .filter(|(_, id)| folder.puppy(id).is_none())
            {
                let place = Place::path(&file, key_path!["puppies", i]);
                let hint = "name a puppy of this litter";
                problems.push(no_puppy(place, folder, id, hint));
            }
            if note.head.date > records.today {
                problems.push(to_come(
                    Place::path(&file, key_path!["date"]),
                    note.head.date,
                    "correct the date",
                ));
            }
        }
    }
    let mut asking = records
        .pages
        .iter()
        .filter(|page| !page.head.questions.is_empty());
    if let Some(first) = asking.next() {
        for page in asking {
            let place =
                |slug: &str| Place::path(&format!("pages/{slug}.md"), key_path!["questions"]);
            let message = format!(
                "`{}` asks questions already, and letters open with those",
                first.slug
            );
            let hint = "put all questions on one page: the list of puppies leads there";
            problems.push(
                Problem::warning("questions-twice", place(page.slug.as_str()), message, hint)
                    .and(place(first.slug.as_str()), "the first"),
            );
        }
    }
    for page in records.pages {
        if page.text.trim().is_empty() {
            problems.push(Problem::warning(
                "page-empty",
                Place::file(&format!("pages/{}.md", page.slug)),
                "this page has no text",
                "write some below its head",
            ));
        }
    }
}

fn families(records: &Checked<'_>, problems: &mut Vec<Problem>) {
    let file = "owners.yaml";
    let (mut ids, mut taken) = (BTreeMap::new(), BTreeMap::new());
    for (f, family) in records.owners.families.iter().enumerate() {
        if let Some(first) = ids.insert(&family.id, f) {
            let other = Place::path(file, key_path!["families", first, "id"]);
            problems.push(
                Problem::error(
                    "family-twice",
                    Place::path(file, key_path!["families", f, "id"]),
                    format!("there are two families `{}`", family.id),
                    "give one another id",
                )
                .and(other, "the first"),
            );
        }
        let at = |key: &str| Place::path(file, key_path!["families", f, key]);
        let country = family
            .country
            .as_deref()
            .or(records.kennel.map(|kennel| &*kennel.country));
        if let Some(country) = &family.country {
            is_country(country, at("country"), problems);
        }
        if let Some(country) = country {
            region(country, family.region.as_ref(), at("region"), problems);
        }
        for (t, takes) in family.takes.iter().enumerate() {
            let at = |key: &str| Place::path(file, key_path!["families", f, "takes", t, key]);
            let litter_file = format!("litters/{}/litter.yaml", takes.litter);
            let Some(folder) = records.litters.get(&takes.litter) else {
                if !records.is_broken(&litter_file) {
                    let hint = name_hint(
                        &takes.litter,
                        records.litters.keys(),
                        "name the folder of a litter",
                    );
                    problems.push(Problem::error(
                        "litter-unknown",
                        at("litter"),
                        format!("there is no litter `{}`", takes.litter),
                        hint,
                    ));
                }
                continue;
            };
            let Some(puppy) = folder.puppy(&takes.puppy) else {
                if !records.is_broken(&litter_file) {
                    let hint = "name a puppy of this litter";
                    problems.push(Problem {
                        message: format!("there is no puppy `{}` in `{}`", takes.puppy, folder.id),
                        ..no_puppy(at("puppy"), folder, &takes.puppy, hint)
                    });
                }
                continue;
            };
            let is_present = takes.is_present(puppy);
            if let Some(returned) = puppy
                .returned
                .as_ref()
                .filter(|_| takes.leaves.or(takes.reserved).is_none())
            {
                let message = format!(
                    "`{}` came back on {}; this does not say whether it is from `{}`, or goes \
                     there now",
                    puppy.id, returned.on, family.id
                );
                let hint = "add `leaves:` and the day; until then it is taken for the family that \
                            gave it back";
                problems.push(Problem::warning(
                    "home-without-day",
                    at("puppy"),
                    message,
                    hint,
                ));
            }
            if !is_present {
                // It has it no more: what was agreed then is history.
            } else if let Some((first_family, first_place)) =
                taken.insert((&takes.litter, &takes.puppy), (&family.id, at("puppy")))
            {
                let message = format!(
                    "`{}` is promised to `{first_family}` and to `{}`",
                    puppy.id, family.id
                );
                problems.push(
                    Problem::error(
                        "puppy-promised-twice",
                        at("puppy"),
                        message,
                        "keep one of the two",
                    )
                    .and(first_place, "the first"),
                );
            }
            if !puppy.is_alive() {
                problems.push(Problem::warning(
                    "puppy-not-alive",
                    at("puppy"),
                    format!(
                        "`{}` is not alive, and is still entered for `{}`",
                        puppy.id, family.id
                    ),
                    "once the family knows, take the puppy out of those it takes",
                ));
            } else if puppy.offer == Offer::Available && is_present {
                problems.push(Problem::warning(
                    "still-available",
                    at("puppy"),
                    format!(
                        "`{}` is taken by `{}`, but still offered as available",
                        puppy.id, family.id
                    ),
                    format!("write `offer: reserved` in {litter_file}"),
                ));
            }
            days_of_taking(records, folder.litter.born_on(puppy), takes, &at, problems);
        }
    }
}

/// The days on which a puppy is reserved and leaves, `born` being its own.
fn days_of_taking(
    records: &Checked<'_>,
    born: Option<Day>,
    takes: &Takes,
    at: &impl Fn(&str) -> Place,
    problems: &mut Vec<Problem>,
) {
    if let (Some(born), Some(leaves)) = (born, takes.leaves)
        && leaves < born.plus(56)
    {
        let age = leaves.since(born);
        let hint = format!(
            "puppies stay at least 56 days, here until {}; correct the date, or ask the \
             vet and your authority",
            born.plus(56)
        );
        problems.push(Problem::warning(
            "leaves-too-early",
            at("leaves"),
            format!("`{}` would leave at {age} days", takes.puppy),
            hint,
        ));
    }
    if let Some(reserved) = takes.reserved.filter(|day| *day > records.today) {
        problems.push(to_come(at("reserved"), reserved, "correct the date"));
    }
    if let (Some(reserved), Some(leaves)) = (takes.reserved, takes.leaves)
        && leaves < reserved
    {
        problems.push(out_of_order(
            at("leaves"),
            format!("leaves on {leaves}, before it was reserved on {reserved}"),
        ));
    }
}

/// Nobody waits from a day on that is still to come.
fn waiting(records: &Checked<'_>, problems: &mut Vec<Problem>) {
    for (w, since) in records
        .owners
        .waiting
        .iter()
        .enumerate()
        .filter_map(|(w, waiting)| Some((w, waiting.since?)))
    {
        if since > records.today {
            let place = Place::path("owners.yaml", key_path!["waiting", w, "since"]);
            problems.push(to_come(place, since, "correct the date"));
        }
    }
}

fn care_plan(records: &Checked<'_>, problems: &mut Vec<Problem>) {
    let whole = !records.is_broken("care-plan.yaml");
    for (i, item) in records.care_plan.items.iter().enumerate() {
        let at = |key: &str| Place::path("care-plan.yaml", key_path!["items", i, key]);
        let built_in = BUILT_IN.contains(&item.id.as_str());
        if whole && !item.skip && !built_in && item.name.is_none() {
            let hint =
                "add `name:` and what is to be done, or `skip: true` to leave a built-in item out";
            let message = format!("the new item `{}` has no name", item.id);
            problems.push(Problem::error("name-missing", at("id"), message, hint));
        }
        // An item of one's own may be written whole and skipped for a while.
        if whole && item.skip && !built_in && item.name.is_none() {
            let hint = suggestion(item.id.as_str(), BUILT_IN)
                .unwrap_or_else(|| "the keeper's book lists the names of all items".to_owned());
            let message = format!(
                "there is no item `{}` in the care plan that could be skipped",
                item.id
            );
            problems.push(
                Problem::error("item-unknown", at("id"), message, hint)
                    .and(at("skip"), "skipped here"),
            );
        }
        if whole && !item.skip && !built_in && item.from.is_none() && item.until.is_none() {
            let hint = "add `from:` and `until:`, such as from: 5 weeks, until: 8 weeks";
            problems.push(Problem::error(
                "age-missing",
                at("id"),
                format!("the new item `{}` does not say at which age", item.id),
                hint,
            ));
        }
        if let Some(first) = records.care_plan.items[..i]
            .iter()
            .position(|other| other.id == item.id)
        {
            let other = Place::path("care-plan.yaml", key_path!["items", first, "id"]);
            problems.push(
                Problem::error(
                    "item-twice",
                    at("id"),
                    format!("there are two items `{}`", item.id),
                    "give one another id",
                )
                .and(other, "the first"),
            );
        }
        for (key, age) in [("from", item.from), ("until", item.until)] {
            if let Some(age) = age.filter(|age| !age.is_whole_days()) {
                problems.push(Problem::error(
                    "not-whole-days",
                    at(key),
                    format!("{age} is not a whole number of days"),
                    "write ages in days or weeks",
                ));
            }
        }
        if let (Some(from), Some(until)) = (item.from, item.until)
            && until < from
        {
            problems.push(Problem::error(
                "out-of-order",
                at("until"),
                format!("until {until} is before from {from}"),
                "exchange the two",
            ));
        }
    }
}
