//! Checks of a litter as a whole: parents, dates from mating to birth, counts and placentas.
//!
//! In: one litter's folder and the dogs. Out: problems in its `litter.yaml`.

use super::super::LitterFolder;
use super::super::dog::Sex;
use super::super::litter::{Birth, CountedBy, Delivery, Litter};
use super::super::photo::PhotoFile;
use super::super::problem::{Place, Problem, Step, key_path};
use super::super::reading::suggestion;
use super::{Checked, dogs, name_hint, out_of_order, to_come};
use crate::quantity::{Day, Id, counted, many};

/// Days from a mating to a birth that can be: mating 55 to 72 days before birth (Pontikaki and
/// others, Hellenic J Companion Anim Med 13), and some room, since living puppies before day 52 or
/// after day 75 are slips of the pen, not births.
const GESTATION: std::ops::RangeInclusive<i64> = 52..=75;

pub(super) fn check(records: &Checked<'_>, folder: &LitterFolder, problems: &mut Vec<Problem>) {
    let file = folder.file("litter.yaml");
    let litter = &folder.litter;
    parent(records, &file, "dam", &litter.dam, Sex::Female, problems);
    parent(records, &file, "sire", &litter.sire, Sex::Male, problems);
    // What was left out as unreadable is neither missed nor missing in a count.
    let is_whole = !records.is_broken(&file);
    pictures(records, &file, folder, problems);
    dogs::grown_weight(
        Place::path(&file, key_path!["adult_weight"]),
        litter.adult_weight,
        problems,
    );
    future(records, &file, folder, problems);
    let Some(birth) = &litter.birth else {
        if let Some(first) = litter.puppies.first().filter(|_| is_whole) {
            let message = format!("there are puppies (`{}` …) but no birth", first.id);
            problems.push(Problem::error(
                "birth-missing",
                Place::path(&file, key_path!["puppies"]),
                message,
                "add `birth: { on: …, how: … }`",
            ));
        }
        return;
    };
    dates(records, &file, folder, birth, problems);
    if is_whole {
        counts(&file, folder, birth, problems);
    }
    if birth.surgery.is_some() && matches!(birth.how, Delivery::Natural | Delivery::Assisted) {
        let hint = "write `how: planned section` or `emergency section`, or take `surgery` out";
        problems.push(Problem::warning(
            "surgery-without-section",
            Place::path(&file, key_path!["birth", "surgery"]),
            "surgery is noted, but the birth was no section",
            hint,
        ));
    }
}

/// What was measured, counted or seen cannot be of a day that is still to come; a mating may be
/// planned.
fn future(records: &Checked<'_>, file: &str, folder: &LitterFolder, problems: &mut Vec<Problem>) {
    let litter = &folder.litter;
    let samples = litter
        .progesterone
        .iter()
        .enumerate()
        .map(|(i, sample)| (key_path!["progesterone", i, "on"], Some(sample.on)));
    let scans = litter
        .measured
        .iter()
        .enumerate()
        .map(|(i, scan)| (key_path!["measured", i, "on"], Some(scan.on)));
    // After a birth, it is that day which says that they cannot be.
    let late = |day: &Day| {
        *day > records.today && litter.birth.as_ref().is_none_or(|birth| *day <= birth.on)
    };
    let days = before_birth(litter).into_iter();
    for (path, day) in days.chain(samples).chain(scans) {
        if let Some(day) = day.filter(late) {
            let hint = "write it down once it is done, or correct the date";
            problems.push(to_come(Place::path(file, path), day, hint));
        }
    }
}

/// What is said of pictures: of which one, and of no day that is still to come.
fn pictures(records: &Checked<'_>, file: &str, folder: &LitterFolder, problems: &mut Vec<Problem>) {
    let names: Vec<&str> = folder.photos.iter().map(PhotoFile::name).collect();
    let notes = &folder.litter.pictures;
    for (n, note) in notes.iter().enumerate() {
        let at = |key: &'static str| Place::path(file, key_path!["pictures", n, key]);
        let name = note.file.as_str();
        if !names.contains(&name) {
            let hint = suggestion(name, &names).unwrap_or_else(|| {
                "write the name of a file in `photos` or `photos-private`, or take this out"
                    .to_owned()
            });
            problems.push(Problem::warning(
                "photo-missing",
                at("file"),
                format!("this litter has no picture `{name}`"),
                hint,
            ));
        } else if notes[..n].iter().any(|earlier| earlier.file == note.file) {
            let message = format!("`{name}` stands here a second time, and only the first counts");
            problems.push(Problem::warning(
                "photo-twice",
                at("file"),
                message,
                "write everything about a picture into one entry",
            ));
        }
        if let Some(taken) = note.taken.filter(|taken| *taken > records.today) {
            problems.push(to_come(at("taken"), taken, "correct the date"));
        }
    }
}

fn parent(
    records: &Checked<'_>,
    file: &str,
    key: &str,
    id: &Id,
    sex: Sex,
    problems: &mut Vec<Problem>,
) {
    let place = Place::path(file, key_path![key]);
    let dog_file = format!("dogs/{id}.yaml");
    match records.dogs.get(id) {
        None if records.is_broken(&dog_file) => {}
        None => {
            let fitting = records
                .dogs
                .iter()
                .filter(|(_, d)| d.sex == sex)
                .map(|(id, _)| id);
            problems.push(Problem::error(
                "dog-unknown",
                place,
                format!("there is no dog `{id}`"),
                name_hint(
                    id,
                    fitting,
                    &format!("write {dog_file} with at least `name` and `sex`"),
                ),
            ));
        }
        Some(dog) if dog.sex != sex => {
            let (is, other) = if sex == Sex::Female {
                ("male", "sire")
            } else {
                ("female", "dam")
            };
            let hint = format!(
                "correct the name here, or the sex in {dog_file}; are `{key}` and `{other}` \
                 exchanged?"
            );
            problems.push(
                Problem::error(
                    "parent-wrong-sex",
                    place,
                    format!("the {key} `{id}` is {is}"),
                    hint,
                )
                .and(Place::path(&dog_file, key_path!["sex"]), "said here"),
            );
        }
        Some(_) => {}
    }
}

/// What comes before a birth and has one day.
fn before_birth(litter: &Litter) -> [(Vec<Step>, Option<Day>); 4] {
    let counted = litter.counted.as_ref().map(|count| count.on);
    [
        (key_path!["ovulated"], litter.ovulated),
        (key_path!["lh_surge"], litter.lh_surge),
        (key_path!["dioestrus"], litter.dioestrus),
        (key_path!["counted", "on"], counted),
    ]
}

fn dates(
    records: &Checked<'_>,
    file: &str,
    folder: &LitterFolder,
    birth: &Birth,
    problems: &mut Vec<Problem>,
) {
    let litter = &folder.litter;
    let on = Place::path(file, key_path!["birth", "on"]);
    if birth.on > records.today {
        let hint = "take `birth` and `puppies` out until they are born, or correct the date";
        problems.push(to_come(
            on.clone(),
            format_args!("a birth on {}", birth.on),
            hint,
        ));
    }
    for (i, mated) in litter.mated.iter().enumerate() {
        if *mated >= birth.on {
            let message = format!(
                "the birth on {} is not after the mating on {mated}",
                birth.on
            );
            problems.push(
                Problem::error(
                    "birth-before-mating",
                    on.clone(),
                    message,
                    "correct one of the two dates",
                )
                .and(Place::path(file, key_path!["mated", i]), "the mating"),
            );
        }
    }
    let before: Vec<Day> = litter
        .mated
        .iter()
        .copied()
        .filter(|m| *m < birth.on)
        .collect();
    if !before.is_empty()
        && !before
            .iter()
            .any(|m| GESTATION.contains(&birth.on.since(*m)))
    {
        let nearest = before
            .iter()
            .map(|m| birth.on.since(*m))
            .min_by_key(|d| (d - 63).abs())
            .unwrap_or_default();
        let message = format!("{nearest} days from mating to birth cannot be");
        problems.push(Problem::error(
            "gestation-impossible",
            on.clone(),
            message,
            "bitches carry for about 57 to 72 days from mating: correct one of the dates",
        ));
    }
    for (path, day) in before_birth(litter) {
        if let Some(day) = day.filter(|day| *day > birth.on) {
            problems.push(out_of_order(
                Place::path(file, path),
                format!("{day} is after the birth on {}", birth.on),
            ));
        }
    }
    let own = litter
        .puppies
        .iter()
        .enumerate()
        .map(|(i, puppy)| (key_path!["puppies", i, "weaned"], puppy.weaned));
    for (path, weaned) in own.chain([(key_path!["weaned"], litter.weaned)]) {
        let Some(weaned) = weaned else { continue };
        if weaned <= birth.on {
            let message = format!("weaned on {weaned}, and born on {}", birth.on);
            problems.push(out_of_order(Place::path(file, path), message));
        } else if weaned > records.today {
            let hint = "write it on the day, when they have no milk of the dam any more";
            problems.push(to_come(Place::path(file, path), weaned, hint));
        }
    }
    if let Some(dam) = records.dogs.get(&litter.dam).and_then(|d| d.born) {
        if dam >= birth.on {
            problems.push(out_of_order(
                on,
                format!("the dam was born on {dam}, after this birth"),
            ));
        } else if birth.on.since(dam) < 240 {
            problems.push(Problem::error(
                "parent-too-young",
                on,
                format!("the dam was {} days old", birth.on.since(dam)),
                "correct one of the two dates",
            ));
        }
    }
}

fn counts(file: &str, folder: &LitterFolder, birth: &Birth, problems: &mut Vec<Problem>) {
    let litter = &folder.litter;
    let born = litter.puppies.len();
    if let Some(placentas) = birth.placentas
        && placentas as usize != born
    {
        let place = Place::path(file, key_path!["birth", "placentas"]);
        let message = format!(
            "{} for {} born",
            many(placentas, "placenta"),
            counted(born, "puppy", "puppies")
        );
        let hint = if (placentas as usize) < born {
            "each puppy has one: count again; a missing placenta is a question for the vet"
        } else {
            "each puppy has one: is one counted twice, or a puppy not entered yet? Stillborn \
             puppies are recorded as well"
        };
        problems.push(Problem::warning("placentas-differ", place, message, hint));
    }
    let Some(counted) = &litter.counted else {
        return;
    };
    let by = if counted.by == CountedBy::XRay {
        "the X-ray"
    } else {
        "the scan"
    };
    if born != counted.puppies as usize {
        let place = Place::path(file, key_path!["counted", "puppies"]);
        let message = format!(
            "{by} counted {}, but {born} puppies are recorded",
            counted.puppies
        );
        let hint = if born > counted.puppies as usize {
            "is a puppy entered twice?"
        } else {
            "is a puppy not entered yet, or still inside? Stillborn puppies are recorded as well"
        };
        problems.push(Problem::warning("count-differs", place, message, hint));
    }
}
