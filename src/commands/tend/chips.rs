//! Chips: each puppy has its own number, and it is written where a puppy's chip is looked for.
//!
//! In: a litter, its puppies, the numbers. Out: numbers that were asked for one by one; and `chip:`
//! of each puppy in `litter.yaml`, which registers, rules and adverts read. Where that file is laid
//! out in a way that nothing can be added to safely, it stays as it was, and the line to write is
//! said.

use super::whom::Given;
use crate::Error;
use crate::app::adding::change;
use crate::app::folder::Folder;
use crate::app::terminal;
use crate::quantity::{ChipNumber, Id};
use crate::records::litter::Puppy;
use crate::records::{LitterFolder, Records, with_puppy_key};
use std::fmt::Write;

/// Asks for the number of each puppy that has none; where nobody answers, a command for each.
pub(super) fn asked(
    litter: &LitterFolder,
    puppies: &[&Puppy],
    typed: impl Fn(&str) -> String,
) -> Result<Vec<Given>, String> {
    let has_entry = |puppy: &Puppy| {
        litter
            .health
            .iter()
            .any(|entry| entry.chip.is_some() && entry.is_for(&puppy.id))
    };
    let without: Vec<&Puppy> = puppies
        .iter()
        .copied()
        .filter(|puppy| puppy.chip.is_none() && !has_entry(puppy))
        .collect();
    if without.is_empty() {
        return Err(
            "every one of them has a chip in the records; name the puppy, and say --number"
                .to_owned(),
        );
    }
    if !terminal::is_answered() {
        let commands: String = without
            .iter()
            .map(|puppy| format!("\n  {} --number NUMBER", typed(puppy.id.as_str())))
            .collect();
        return Err(format!(
            "`chip` needs --number, one for each puppy; nothing was added. Say it as, with what \
             you know in place of NUMBER:{commands}"
        ));
    }
    let mut given = Vec::new();
    for puppy in without {
        let mut question = format!(
            "Number of the chip of {} (Enter passes it over): ",
            puppy.shown_name()
        );
        while let Some(answer) = terminal::value(&question) {
            match answer.parse::<ChipNumber>() {
                Ok(_) => {
                    given.push(Given {
                        number: Some(answer),
                        ..Given::one(puppy)
                    });
                    break;
                }
                Err(why) => {
                    question = format!("{}; {} (Enter passes it over): ", why.message, why.hint);
                }
            }
        }
    }
    if given.is_empty() {
        Err("no number was typed; nothing was added".to_owned())
    } else {
        Ok(given)
    }
}

/// Whether nobody else has one of these numbers. A puppy that stayed has a dog's file under the
/// same name.
pub(super) fn unshared(records: &Records, numbers: &[(Id, ChipNumber)]) -> Result<(), String> {
    let dogs = records
        .dogs
        .iter()
        .filter_map(|(id, dog)| Some((id, dog.chip.as_ref()?, format!("dogs/{id}.yaml"))));
    let puppies =
        records.litters.values().flat_map(|folder| {
            folder.litter.puppies.iter().filter_map(|puppy| {
                Some((&puppy.id, puppy.chip.as_ref()?, folder.file("litter.yaml")))
            })
        });
    let mut known = dogs.chain(puppies);
    let twice = known.find_map(|(id, chip, file)| {
        numbers
            .iter()
            .find(|(own, number)| number == chip && own != id)
            .map(|_| (id, chip, file))
    });
    if let Some((id, chip, file)) = twice {
        return Err(format!(
            "the chip number {chip} is that of `{id}` already, in {file}; compare both with the \
             certificates. Nothing was added"
        ));
    }
    for (i, (id, number)) in numbers.iter().enumerate() {
        if let Some((other, _)) = numbers[..i].iter().find(|(_, other)| other == number) {
            return Err(format!(
                "`{other}` and `{id}` would have the same chip number {number}; nothing was added"
            ));
        }
    }
    Ok(())
}

/// Writes the numbers into `litter.yaml`, where the puppies have none there yet.
pub(super) fn into_litter(
    folder: &Folder,
    litter: &LitterFolder,
    numbers: &[(Id, ChipNumber)],
    show: bool,
) -> Result<String, Error> {
    let file = litter.file("litter.yaml");
    let mut out = String::new();
    for (id, number) in numbers
        .iter()
        .filter(|(id, _)| litter.puppy(id).is_some_and(|puppy| puppy.chip.is_none()))
    {
        let line = format!("chip: \"{number}\"");
        let done = change(folder, "tend", &file, |text| {
            let new = with_puppy_key(text, id, "chip", &number.to_string());
            let is_there = new.is_some();
            Ok((new.filter(|_| !show), is_there))
        });
        let stands = format!(
            "the entry stands in {}; {file} has no chip of {id} yet: add `{line}` there",
            litter.file("health.yaml")
        );
        let _ = match done.map_err(|error| if show { error } else { error.and_now(stands) })? {
            Ok(true) => writeln!(out, "{}/{file}\n  {id}: {line}", folder.shown_content()),
            Ok(false) => {
                writeln!(
                    out,
                    "note: {file} is laid out in a way that the program does not dare to add to; \
                     write `{line}` at `{id}` yourself"
                )
            }
            Err(refused) => {
                out.push_str(&refused.shown(folder));
                writeln!(
                    out,
                    "note: {file} was left as it is; write `{line}` at `{id}` yourself"
                )
            }
        };
    }
    Ok(out)
}
