//! All that was written of one animal and may say that it is unwell.
//!
//! In: a litter's health entries and weigh-ins. Out: [`AllSaid`], in the order of time. What is
//! said of a worming, a chip or a treatment is left out: there a sign is what it was given for.

use crate::quantity::{Day, Id, Moment, Text};
use crate::records::LitterFolder;
use crate::records::health::{Check, HealthEntry};
use crate::records::litter::Puppy;
use crate::records::weights::DAM;

/// What was written of one animal.
pub(in crate::findings) struct AllSaid<'a>(Vec<Said<'a>>);

/// One thing that was written.
pub(super) struct Said<'a> {
    pub(super) day: Day,
    pub(super) at: Option<Moment>,
    pub(super) what: SaidWhat<'a>,
}

/// What it is.
pub(super) enum SaidWhat<'a> {
    /// Signs of illness.
    Illness(&'a Text),
    /// A check.
    Check(&'a Check),
    /// A remark, or the reaction to a vaccination.
    Remark {
        text: &'a Text,
        /// What was looked at, where that is one thing: `green` beside it is green discharge.
        about: Option<&'static str>,
        /// Whether it is about several animals and names none.
        is_shared: bool,
    },
    /// What was remarked on a newborn.
    Born(&'a Text),
}

impl<'a> AllSaid<'a> {
    /// `is_shared` says whether its remark is about several animals; nothing where it is about
    /// another.
    fn add(&mut self, entry: &'a HealthEntry, is_shared: Option<bool>) {
        let Some(day) = entry.day() else { return };
        let mut say = |what| {
            self.0.push(Said {
                day,
                at: entry.at,
                what,
            });
        };
        if let Some(illness) = &entry.illness {
            say(SaidWhat::Illness(&illness.signs));
        } else if let Some(check) = &entry.check {
            say(SaidWhat::Check(check));
        }
        let Some(is_shared) = is_shared else { return };
        let reaction = entry.vaccination.as_ref().and_then(|v| v.reaction.as_ref());
        let remark = entry.remark.as_ref().filter(|_| is_about_health(entry));
        for text in reaction.into_iter().chain(remark) {
            say(SaidWhat::Remark {
                text,
                about: about(entry),
                is_shared,
            });
        }
    }

    /// The remark of a weigh-in.
    fn add_weighed(&mut self, at: Moment, text: &'a Text, is_shared: bool) {
        self.0.push(Said {
            day: at.day(),
            at: Some(at),
            what: SaidWhat::Remark {
                text,
                about: None,
                is_shared,
            },
        });
    }

    /// In the order of time. What has no time comes after what stands before it in the file and is
    /// of the same day.
    pub(super) fn in_order(self) -> Vec<Said<'a>> {
        let mut latest: Option<(Day, Moment)> = None;
        let placed = self.0.into_iter().map(|said| {
            latest = said.at.map(|at| (said.day, at)).or(latest);
            let time = latest.filter(|(day, _)| *day == said.day);
            (said.day, time.map(|(_, at)| at), said)
        });
        let mut placed: Vec<_> = placed.collect();
        placed.sort_by_key(|(day, time, _)| (*day, *time));
        placed.into_iter().map(|(_, _, said)| said).collect()
    }
}

/// What one look at a dam was about.
fn about(entry: &HealthEntry) -> Option<&'static str> {
    match &entry.done[..] {
        [one] => match one.as_str() {
            "dam-discharge" => Some("discharge"),
            "dam-glands" => Some("gland"),
            "dam-wound" => Some("wound"),
            _ => None,
        },
        _ => None,
    }
}

/// Whether the remark of an entry is about how the animal is.
fn is_about_health(entry: &HealthEntry) -> bool {
    entry.illness.is_some()
        || entry.check.is_some()
        || entry.temperature.is_some()
        || entry.feed.is_some()
        || !entry.done.is_empty()
}

/// What was written of a dam.
pub(in crate::findings) fn of_dam(folder: &LitterFolder) -> AllSaid<'_> {
    let mut written = AllSaid(Vec::new());
    for entry in folder.health.iter().filter(|entry| entry.is_for_dam()) {
        written.add(entry, Some(entry.whom.len() > 1));
    }
    let dam = |id: &Id| id.as_str() == DAM;
    for weigh_in in &folder.weigh_ins {
        if let Some(text) = &weigh_in.remark
            && weigh_in.weights.keys().all(dam)
        {
            written.add_weighed(weigh_in.at, text, false);
        }
    }
    written
}

/// What was written of a puppy. A remark about several is about those that it names, where it
/// names any.
pub(in crate::findings) fn of_puppy<'a>(folder: &'a LitterFolder, puppy: &'a Puppy) -> AllSaid<'a> {
    let mut written = AllSaid(Vec::new());
    let born = folder.litter.born_on(puppy);
    if let Some((day, text)) = born.zip(puppy.remarks.as_ref()) {
        written.0.push(Said {
            day,
            at: folder.litter.born_at(puppy),
            what: SaidWhat::Born(text),
        });
    }
    let puppies = &folder.litter.puppies;
    let is_meant = |text: Option<&Text>, is_alone: bool| -> Option<bool> {
        let Some(text) = text else {
            return Some(true);
        };
        let words = words(text);
        let mut named = puppies.iter().filter(|known| is_named(known, &words));
        match named.next() {
            Some(first) if first.id == puppy.id => Some(false),
            Some(_) => named.any(|known| known.id == puppy.id).then_some(false),
            None => Some(!is_alone),
        }
    };
    for entry in folder.health.iter().filter(|e| e.is_for(&puppy.id)) {
        let is_alone = entry.whom.len() == 1 && entry.whom.iter().all(|id| *id == puppy.id)
            || puppies.len() == 1;
        if is_alone {
            written.add(entry, Some(false));
            continue;
        }
        written.add(entry, is_meant(entry.remark.as_ref(), false));
    }
    for weigh_in in &folder.weigh_ins {
        if let Some(text) = &weigh_in.remark
            && weigh_in.weights.keys().any(|id| id.as_str() != DAM)
        {
            let alone = weigh_in.weights.len() == 1 && weigh_in.weights.contains_key(&puppy.id);
            let is_weighed = weigh_in.weights.contains_key(&puppy.id);
            // One that was not weighed is meant only where it is named.
            if let Some(is_shared) = is_meant(Some(text), alone)
                && (is_weighed || !is_shared)
            {
                written.add_weighed(weigh_in.at, text, is_shared);
            }
        }
    }
    written
}

fn words(text: &str) -> Vec<&str> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect()
}

/// Whether a puppy is named: by its name, or as it is called in the records. One letter names
/// nobody: `a` is a word.
fn is_named(puppy: &Puppy, text: &[&str]) -> bool {
    let name = puppy.shown_name();
    [puppy.id.as_str(), name.as_str()]
        .into_iter()
        .filter(|name| name.chars().count() > 1)
        .map(words)
        .any(|name| !name.is_empty() && text.windows(name.len()).any(|part| part == name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_has_no_time_is_sorted_too_however_much_there_is_of_a_day() {
        let text: Text = "fine".parse().unwrap();
        // Times fall, rise and fall again, and every third thing has none.
        let said = |n: u32| Said {
            day: "2026-10-04".parse().unwrap(),
            at: (!n.is_multiple_of(3))
                .then(|| format!("2026-10-04 {:02}:00", n * 7 % 24).parse().unwrap()),
            what: SaidWhat::Born(&text),
        };
        let sorted = AllSaid((0..200).map(said).collect()).in_order();
        let times: Vec<Moment> = sorted.iter().filter_map(|said| said.at).collect();
        assert!(times.is_sorted());
        assert_eq!(sorted.len(), 200);
        assert!(
            sorted[0].at.is_none(),
            "the first has none, and nothing before it"
        );
    }
}
