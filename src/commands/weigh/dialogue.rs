//! The weigh-in as a dialogue: one puppy after the other, each weight on the disk before the next is asked for.
//!
//! In: lines as they are typed. Out: what is said to them, and the file. Nothing here reads the terminal itself, so that a weigh-in can be broken off at any moment: what was confirmed is on the disk,
//! and [`Sitting::ending`] says what is missing. `b` corrects what this weigh-in wrote, and nothing else.

use super::draft::{Draft, Stored, store};
use super::told::{Voice, short_name};
use super::{Options, Scene};
use crate::Error;
use crate::commands::Outcome;
use crate::commands::folder::Folder;
use crate::commands::terminal::{self, Heard};
use crate::husbandry::findings::Urgency;
use crate::husbandry::growth::instant;
use crate::husbandry::weighing::{Weighing, most_urgent};
use crate::quantity::{Id, Moment, Text, Weight, WeightUnit};
use crate::records::adding::Own;
use crate::records::litter::Puppy;
use crate::records::{Records, sheet};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Asks for all puppies, until they are weighed or nothing more is typed. Said as well is whether it came to its end, and was not broken off.
pub(super) fn run(scene: &Scene<'_>, options: &Options) -> Result<(Outcome, bool), Error> {
    if options.strict {
        return Err(Error::Usage("--strict is for weights or a table given; here every doubt is asked about".to_owned()));
    }
    let sitting = Sitting::new(scene, options)?;
    terminal::say(&sitting.heading());
    if sitting.is_done() {
        return Ok((Outcome::clean(sitting.ending()), true));
    }
    let sitting = Arc::new(Mutex::new(sitting));
    let of_handler = Arc::clone(&sitting);
    // Whoever holds the sitting is saving: the handler waits for that.
    terminal::when_broken_off(move || terminal::say(&format!("\n{}", held(&of_handler).ending())));
    loop {
        let prompt = held(&sitting).prompt();
        let mut broken_off = false;
        match terminal::ask(&prompt) {
            Heard::Line(line) => {
                let said = held(&sitting).answer(&line);
                terminal::say(&said);
            }
            Heard::End(unfinished) => {
                broken_off = true;
                let lost = if unfinished.trim().is_empty() {
                    String::new()
                } else {
                    format!("`{}` was not ended with Enter and was not taken", unfinished.trim().escape_debug())
                };
                terminal::say(&format!("{lost}\n"));
            }
        }
        let sitting = held(&sitting);
        if broken_off || sitting.is_done() {
            let whole = !broken_off && !sitting.ended;
            return Ok((Outcome::clean(sitting.ending()), whole));
        }
    }
}

fn held(sitting: &Mutex<Sitting>) -> MutexGuard<'_, Sitting> {
    sitting.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A weight as it was typed.
#[derive(Debug, Clone, PartialEq)]
struct Typed {
    weight: Weight,
    written: String,
}

/// What the next line is an answer to.
#[derive(Debug, Clone, PartialEq)]
enum Mood {
    /// What the puppy weighs.
    Weight,
    /// Whether a doubtful weight stands; the other puppy, where the two may have been exchanged.
    Doubt(Typed, Option<Id>),
    /// A remark.
    Remark,
    /// Whether to try once more to save these weights.
    Unsaved(Vec<(Id, Typed)>),
    /// Nothing: it is over.
    Done,
}

/// A weigh-in that goes on.
struct Sitting {
    folder: Folder,
    file: String,
    litter: String,
    litter_id: Id,
    records: Records,
    voice: Voice,
    unit: WeightUnit,
    weighing: Weighing,
    at: Moment,
    by: Option<Text>,
    puppies: Vec<Puppy>,
    next: usize,
    mood: Mood,
    /// What stands in our block.
    block: Vec<(Id, Typed)>,
    own: Option<Own>,
    remarks: Vec<String>,
    /// Weights of this weigh-in that others wrote, or that we can no longer change.
    fixed: BTreeSet<Id>,
    skipped: BTreeSet<Id>,
    /// Whether the keeper ended it before its end.
    ended: bool,
}

impl Sitting {
    fn new(scene: &Scene<'_>, options: &Options) -> Result<Self, Error> {
        let at = scene.at.unwrap_or(scene.now);
        let weighing = Weighing::new(scene.records, scene.litter);
        let puppies: Vec<Puppy> = weighing.here();
        if puppies.is_empty() {
            return Err(Error::Usage(format!("{} has no puppy that is alive and still here", scene.litter.litter.name)));
        }
        if let Some(why) = puppies.iter().find_map(|puppy| sheet::impossible(scene.litter, puppy, at)) {
            return Err(super::usage("--at", &why));
        }
        // A weigh-in that was broken off goes on where it ended.
        let fixed = puppies.iter().map(|puppy| &puppy.id).filter(|id| weighing.weight(id, at).is_some()).cloned().collect();
        let mut sitting = Self {
            folder: Folder::new(&scene.folder.root)?,
            file: scene.file.clone(),
            litter: scene.litter.litter.name.to_string(),
            litter_id: scene.litter.id.clone(),
            records: scene.records.clone(),
            voice: Voice::new(&terminal::talk(), scene.records),
            unit: scene.unit,
            weighing,
            at,
            by: options.by.clone(),
            puppies,
            next: 0,
            mood: Mood::Weight,
            block: Vec::new(),
            own: None,
            remarks: options.remark.iter().map(ToString::to_string).collect(),
            fixed,
            skipped: BTreeSet::new(),
            ended: false,
        };
        sitting.go_on(0);
        Ok(sitting)
    }

    fn is_done(&self) -> bool {
        self.mood == Mood::Done
    }

    fn heading(&self) -> String {
        let by = self.by.as_ref().map(|by| format!(" by {by}")).unwrap_or_default();
        let pinned = if self.records.kennel.as_of.is_some() { " (`as_of` in kennel.yaml pins the day)" } else { "" };
        let count = if self.puppies.len() == 1 { "1 puppy".to_owned() } else { format!("{} puppies", self.puppies.len()) };
        let unit = self.unit.name();
        let title = format!("{}: weigh-in of {}{by}, {count}{pinned}", self.litter, self.at);
        let example = if self.unit == WeightUnit::Ounce { "8.1, 8 1/4, 1 lb 2 or 231 g" } else { "231, 8.1 oz, 8 1/4 oz or 1 lb 2" };
        let how = format!("A bare number is {unit}: {example}.");
        let there: Vec<String> = self.puppies.iter().filter(|p| self.fixed.contains(&p.id)).map(Puppy::shown_name).collect();
        let there = if there.is_empty() { String::new() } else { self.voice.lines(&format!("in the records already: {}", there.join(", ")), 0) };
        format!(
            "{}{}{}{there}",
            self.voice.bold(self.voice.lines(&title, 0).trim_end()) + "\n",
            self.voice.lines(&how, 0),
            self.voice.lines("s skip, b back, r remark, e end; each with Enter.", 0)
        )
    }

    fn puppy(&self) -> &Puppy {
        &self.puppies[self.next.min(self.puppies.len() - 1)]
    }

    fn prompt(&self) -> String {
        let puppy = self.puppy();
        match &self.mood {
            Mood::Weight => {
                let widest = |texts: Vec<usize>, most: usize| texts.into_iter().max().unwrap_or(0).min(most);
                let ribbons = widest(self.puppies.iter().filter_map(|p| p.ribbon).map(|r| r.name().len()).collect(), 9);
                let names = widest(self.puppies.iter().map(|p| p.shown_name().chars().count()).collect(), 16);
                let ribbon = if ribbons == 0 { String::new() } else { self.voice.ribbon(puppy.ribbon, ribbons) + "  " };
                let last = self.weighing.last_before(&puppy.id, self.at);
                let zone = self.records.kennel.time_zone.0;
                #[expect(clippy::cast_precision_loss, reason = "seconds of a puppy's life are far below 2^53")]
                let hours = last.map_or(0.0, |last| (instant(zone, self.at) - instant(zone, last.at)).num_seconds() as f64 / 3600.0);
                let name = format!("{:names$}", short_name(puppy, names));
                let last = self.voice.last(last.as_ref(), hours);
                let own = self.own_weight(&puppy.id).map(|own| format!(", now {} (Enter keeps it, 0 takes it out)", own.written)).unwrap_or_default();
                format!("{ribbon}{}  {last}{own}: ", self.voice.bold(&name))
            }
            Mood::Doubt(typed, other) => {
                let both = if other.is_some() { "x exchanges the two, " } else { "" };
                format!("   y keeps {}, {both}or type {}’s weight again: ", typed.written, short_name(puppy, 16))
            }
            Mood::Remark => format!("   remark about {}: ", short_name(puppy, 16)),
            Mood::Unsaved(_) => "   Enter tries again, e ends: ".to_owned(),
            Mood::Done => String::new(),
        }
    }

    fn own_weight(&self, id: &Id) -> Option<&Typed> {
        self.block.iter().find(|(own, _)| own == id).map(|(_, typed)| typed)
    }

    /// What is said to a line.
    fn answer(&mut self, line: &str) -> String {
        let line = line.trim();
        match self.mood.clone() {
            Mood::Done => String::new(),
            Mood::Remark => {
                self.mood = Mood::Weight;
                self.remark(line)
            }
            Mood::Unsaved(weights) => match line {
                "e" | "E" => self.end(),
                _ => self.save(&weights),
            },
            Mood::Doubt(typed, other) => self.doubted(line, typed, other),
            Mood::Weight => self.weight(line),
        }
    }

    fn doubted(&mut self, line: &str, typed: Typed, other: Option<Id>) -> String {
        let puppy = self.puppy().id.clone();
        match (line.to_lowercase().as_str(), other) {
            ("y" | "yes", _) => self.save(&[(puppy, typed)]),
            ("x", Some(other)) => {
                let Some(theirs) = self.own_weight(&other).cloned() else { return String::new() };
                self.save(&[(puppy, theirs), (other, typed)])
            }
            ("", _) => self.say("y keeps it; nothing was saved yet"),
            _ => {
                self.forget(&puppy);
                self.mood = Mood::Weight;
                self.weight(line)
            }
        }
    }

    /// Takes a weight that was not saved out of the reckoning again.
    fn forget(&mut self, puppy: &Id) {
        match self.own_weight(puppy).cloned() {
            Some(own) => self.weighing.take(puppy, self.at, own.weight),
            None => self.weighing.take_back(puppy, self.at),
        }
    }

    fn weight(&mut self, line: &str) -> String {
        let puppy = self.puppy().clone();
        let own = self.own_weight(&puppy.id).cloned();
        let (word, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        match (word.to_lowercase().as_str(), &own) {
            ("", Some(_)) => {
                self.go_on(self.next + 1);
                String::new()
            }
            ("", None) => self.say("type the weight, or s to skip this puppy"),
            ("s", _) if rest.is_empty() => {
                if own.is_none() {
                    self.skipped.insert(puppy.id);
                }
                self.go_on(self.next + 1);
                String::new()
            }
            ("b", _) if rest.is_empty() => self.back(),
            ("e", _) if rest.is_empty() => self.end(),
            ("r", _) if rest.is_empty() => {
                self.mood = Mood::Remark;
                String::new()
            }
            ("r", _) => self.remark(rest),
            ("0", Some(_)) if rest.is_empty() => self.take_out(&puppy.id),
            _ => self.read(&puppy, line),
        }
    }

    fn read(&mut self, puppy: &Puppy, line: &str) -> String {
        let (weight, written) = match Weight::typed(line, self.unit) {
            Ok(read) => read,
            Err(why) => return self.say(&format!("{}; {}", why.message, why.hint)),
        };
        let typed = Typed { weight, written };
        self.weighing.take(&puppy.id, self.at, weight);
        let doubts: Vec<_> = self.weighing.doubts(&[self.at]).into_iter().filter(|doubt| doubt.puppies.contains(&puppy.id)).collect();
        if doubts.is_empty() {
            return self.save(&[(puppy.id.clone(), typed)]);
        }
        let other = doubts.iter().flat_map(|doubt| &doubt.puppies).find(|id| **id != puppy.id && self.own_weight(id).is_some());
        self.mood = Mood::Doubt(typed, other.cloned());
        doubts.iter().map(|doubt| self.voice.lines(&format!("? {}", doubt.what), 3)).collect()
    }

    fn remark(&mut self, words: &str) -> String {
        let words = words.trim();
        if words.is_empty() {
            return String::new();
        }
        let remark = format!("{}: {words}", self.puppy().shown_name());
        if let Err(why) = remark.parse::<Text>() {
            return self.say(&format!("{}; {}", why.message, why.hint));
        }
        self.remarks.push(remark);
        if self.own.is_some() { self.save(&[]) } else { self.say("kept, and written with the next weight") }
    }

    fn back(&mut self) -> String {
        let to = (0..self.next).rev().find(|index| !self.fixed.contains(&self.puppies[*index].id));
        match to {
            Some(index) => {
                self.next = index;
                self.skipped.remove(&self.puppies[index].id);
                String::new()
            }
            None => self.say("there is nobody before; what earlier weigh-ins wrote is changed in the file itself"),
        }
    }

    fn end(&mut self) -> String {
        self.ended = true;
        self.mood = Mood::Done;
        String::new()
    }

    /// The next puppy that has no weight yet, from `index` on, then from the first; or the end.
    fn go_on(&mut self, index: usize) {
        let waits = |index: &usize| {
            let id = &self.puppies[*index].id;
            self.own_weight(id).is_none() && !self.fixed.contains(id) && !self.skipped.contains(id)
        };
        let next = (index..self.puppies.len()).find(waits).or_else(|| (0..self.puppies.len()).find(waits));
        match next {
            Some(next) => (self.next, self.mood) = (next, Mood::Weight),
            None => self.mood = Mood::Done,
        }
    }

    fn draft(&self, block: &[(Id, Typed)]) -> Draft {
        let remark = self.remarks.join("; ");
        Draft {
            at: self.at,
            by: self.by.clone(),
            remark: remark.parse().ok(),
            weights: block.iter().map(|(id, typed)| (id.clone(), typed.weight, typed.written.clone())).collect(),
        }
    }

    fn take_out(&mut self, puppy: &Id) -> String {
        let block: Vec<(Id, Typed)> = self.block.iter().filter(|(id, _)| id != puppy).cloned().collect();
        match store(&self.folder, &self.file, &self.draft(&block), self.own.as_ref()) {
            Ok(Ok(Stored::Kept(own))) => {
                (self.own, self.block) = (own, block);
                self.weighing.take_back(puppy, self.at);
                self.say("taken out")
            }
            Ok(Ok(_)) => self.say(&format!("{} was changed by somebody else meanwhile: take it out there", self.file)),
            Ok(Err(refused)) => refused.shown(&self.folder),
            Err(error) => self.say(&error.to_string()),
        }
    }

    /// Saves weights, and says what they say. The first is the puppy that was asked for.
    fn save(&mut self, weights: &[(Id, Typed)]) -> String {
        let mut block = self.block.clone();
        for (id, typed) in weights {
            match block.iter_mut().find(|(own, _)| own == id) {
                Some((_, own)) => *own = typed.clone(),
                None => block.push((id.clone(), typed.clone())),
            }
        }
        match store(&self.folder, &self.file, &self.draft(&block), self.own.as_ref()) {
            Ok(Ok(Stored::Kept(own))) => {
                (self.own, self.block) = (own, block);
                self.saved(weights)
            }
            Ok(Ok(Stored::Parted)) => self.parted(weights),
            Ok(Ok(Stored::Taken(ids))) => self.taken(&ids),
            Ok(Err(refused)) => self.not_saved(weights, &refused.shown(&self.folder)),
            Err(error) => {
                let said = self.voice.lines(&error.to_string(), 3);
                self.not_saved(weights, &said)
            }
        }
    }

    fn saved(&mut self, weights: &[(Id, Typed)]) -> String {
        for (id, typed) in weights {
            self.weighing.take(id, self.at, typed.weight);
            self.skipped.remove(id);
        }
        let mut out = String::new();
        for (id, typed) in weights {
            let Some(said) = self.weighing.said(id, self.at) else { continue };
            let whose = if weights.len() > 1 { self.name(id) + " " } else { String::new() };
            out.push_str(&self.voice.lines(&format!("saved {whose}{}: {}", typed.written, self.voice.change(&said)), 3));
            out.push_str(&self.voice.findings(&said.findings, 3));
        }
        if weights.is_empty() {
            self.mood = Mood::Weight;
            return self.say("saved");
        }
        self.go_on(self.next + 1);
        out
    }

    fn name(&self, id: &Id) -> String {
        self.puppies.iter().find(|puppy| puppy.id == *id).map_or_else(|| id.to_string(), Puppy::shown_name)
    }

    /// Somebody has changed our block: what stands in it is no longer ours, and what is new begins another.
    fn parted(&mut self, weights: &[(Id, Typed)]) -> String {
        let corrects = weights.iter().find(|(id, _)| self.own_weight(id).is_some()).map(|(id, _)| id.clone());
        for (id, _) in std::mem::take(&mut self.block) {
            self.fixed.insert(id);
        }
        self.own = None;
        self.remarks.clear();
        match corrects {
            Some(id) => {
                self.go_on(self.next + 1);
                let told =
                    format!("not saved: {} was changed by somebody else where this weigh-in stands; correct {} there", self.file, self.name(&id));
                self.say(&told)
            }
            None if weights.is_empty() => {
                self.say(&format!("not saved: {} was changed by somebody else where this weigh-in stands; write the remark there", self.file))
            }
            None => self.save(weights),
        }
    }

    /// Somebody has weighed the same puppy at the same time.
    fn taken(&mut self, ids: &[Id]) -> String {
        for id in ids {
            self.block.retain(|(own, _)| own != id);
            self.weighing.take_back(id, self.at);
            self.fixed.insert(id.clone());
        }
        self.go_on(self.next + 1);
        let names: Vec<String> = ids.iter().map(|id| self.name(id)).collect();
        self.say(&format!("not saved: somebody else has just written a weight of {} for {}", names.join(" and "), self.at))
    }

    fn not_saved(&mut self, weights: &[(Id, Typed)], why: &str) -> String {
        self.mood = Mood::Unsaved(weights.to_vec());
        format!("{}{why}", self.say("NOT saved:"))
    }

    fn say(&self, text: &str) -> String {
        self.voice.lines(text, 3)
    }

    /// The whole weigh-in on one screen, and what is missing.
    fn ending(&self) -> String {
        let weighed: Vec<&Puppy> = self.puppies.iter().filter(|puppy| self.own_weight(&puppy.id).is_some()).collect();
        let missing: Vec<&Puppy> = self.puppies.iter().filter(|p| self.own_weight(&p.id).is_none() && !self.fixed.contains(&p.id)).collect();
        let path = format!("{}/{}", self.folder.shown_content(), self.file);
        let count = format!("{} of {} weighed", weighed.len() + self.fixed.len(), self.puppies.len());
        let mut out = self.voice.lines(&format!("Weigh-in of {}: {count}, saved in {path}", self.at), 0);
        if weighed.is_empty() {
            out = self.voice.lines(&format!("Weigh-in of {}: nothing new was saved in {path}", self.at), 0);
        }
        let mut worst: BTreeMap<&Id, Urgency> = BTreeMap::new();
        let names = weighed.iter().map(|puppy| puppy.shown_name().chars().count()).max().unwrap_or(0).min(16);
        for puppy in &weighed {
            let Some(said) = self.weighing.said(&puppy.id, self.at) else { continue };
            let urgency = most_urgent(&said.findings);
            worst.extend(urgency.map(|urgency| (&puppy.id, urgency)));
            let word = urgency.map(|urgency| self.voice.urgency(urgency)).unwrap_or_default();
            let name = format!("{:names$}", short_name(puppy, names));
            let written = self.own_weight(&puppy.id).map_or("", |typed| &typed.written);
            out.push_str(format!("  {name}  {written:>9}  {:<38}  {word}", self.voice.change(&said)).trim_end());
            out.push('\n');
        }
        if !missing.is_empty() {
            let names: Vec<String> = missing.iter().map(|puppy| puppy.shown_name()).collect();
            out.push_str(&self.voice.lines(&format!("not weighed: {}", names.join(", ")), 0));
            if missing.iter().any(|puppy| !self.skipped.contains(&puppy.id)) {
                // Not broken into lines, so that it can be copied.
                let root = kennel_option(&self.folder.root);
                out.push_str(&format!("to go on: litterfolio{root} weigh {} --at \"{}\"\n", self.litter_id, self.at));
            }
        }
        if self.own.is_none() && !self.remarks.is_empty() {
            out.push_str(&self.voice.lines(&format!("the remark was not written, as nobody was weighed: {}", self.remarks.join("; ")), 0));
        }
        out + &self.voice.cautions(worst.values().max().copied(), &self.records)
    }
}

/// What has to be typed to name the same kennel again.
fn kennel_option(root: &Path) -> String {
    if root == Path::new(".") { String::new() } else { format!(" --kennel {}", root.display()) }
}
