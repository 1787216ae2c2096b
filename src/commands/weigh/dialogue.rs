//! The weigh-in as a dialogue: one puppy after the other, each weight on the disk before the next
//! is asked for.
//!
//! In: lines as they are typed. Out: what is said to them, and the file. Nothing here reads the
//! terminal itself, so that a weigh-in can be broken off at any moment: what was confirmed is on
//! the disk, and [`Dialogue::ending`] says what is missing. `b` corrects what this weigh-in wrote,
//! and nothing else.

mod saving;

use super::told::{Words, short_name};
use super::{Options, WeighInScene};
use crate::Error;
use crate::app::Outcome;
use crate::app::terminal::{self, TypedLine};
use crate::app::weigh_ins::Draft;
use crate::audience::words::weighing::doubt as doubted;
use crate::husbandry::growth::hours_from;
use crate::husbandry::weighing::Weighing;
use crate::quantity::{Id, Moment, Text, Weight, WeightUnit, counted};
use crate::records::adding::Own;
use crate::records::litter::Puppy;
use crate::records::sheet;
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Asks for all puppies, until they are weighed or nothing more is typed. Said as well is whether
/// it came to its end, and was not broken off.
pub(super) fn run(scene: &WeighInScene<'_>, options: &Options) -> Result<(Outcome, bool), Error> {
    if options.strict {
        return Err(Error::Usage(
            "--strict is for weights or a table given; here every doubt is asked about".to_owned(),
        ));
    }
    let mut dialogue = Dialogue::new(scene, options)?;
    terminal::say(&dialogue.heading());
    if dialogue.is_done() {
        return Ok((Outcome::clean(dialogue.ending()), true));
    }
    let ending = Arc::new(Mutex::new(dialogue.ending()));
    let of_handler = Arc::clone(&ending);
    // Whoever holds the ending is saving: the handler waits for that.
    terminal::when_broken_off(move || terminal::say(&format!("\n{}", held(&of_handler))));
    loop {
        match terminal::ask(&dialogue.prompt()) {
            TypedLine::Line(line) => {
                let mut ending = held(&ending);
                let said = dialogue.answer(&line);
                *ending = dialogue.ending();
                drop(ending);
                terminal::say(&said);
            }
            TypedLine::End(unfinished) => {
                let lost = match unfinished.trim() {
                    "" => String::new(),
                    lost => format!(
                        "`{}` was not ended with Enter and was not taken",
                        lost.escape_debug()
                    ),
                };
                terminal::say(&format!("{lost}\n"));
                return Ok((Outcome::clean(dialogue.ending()), false));
            }
        }
        if dialogue.is_done() {
            return Ok((Outcome::clean(dialogue.ending()), !dialogue.ended));
        }
    }
}

fn held(ending: &Mutex<String>) -> MutexGuard<'_, String> {
    ending.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A weight as it was typed.
#[derive(Debug, Clone, PartialEq)]
struct Typed {
    weight: Weight,
    written: String,
}

/// What the next line is an answer to.
#[derive(Debug, Clone, PartialEq)]
enum DialogueState {
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
struct Dialogue<'a> {
    scene: &'a WeighInScene<'a>,
    options: &'a Options,
    voice: Words,
    weighing: Weighing<'a>,
    at: Moment,
    puppies: Vec<Puppy>,
    next: usize,
    mood: DialogueState,
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

impl<'a> Dialogue<'a> {
    fn new(scene: &'a WeighInScene<'a>, options: &'a Options) -> Result<Self, Error> {
        let at = scene.at.unwrap_or(scene.now);
        let weighing = Weighing::new(scene.records, scene.litter);
        let puppies: Vec<Puppy> = weighing.here();
        if puppies.is_empty() {
            return Err(Error::Usage(format!(
                "{} has no puppy that is alive and still here",
                scene.litter.litter.name
            )));
        }
        if let Some(why) = puppies
            .iter()
            .find_map(|puppy| sheet::impossible(scene.litter, puppy, at))
        {
            return Err(super::usage("--at", &why));
        }
        // A weigh-in that was broken off goes on where it ended.
        let fixed = puppies
            .iter()
            .map(|puppy| &puppy.id)
            .filter(|id| weighing.weight(id, at).is_some())
            .cloned()
            .collect();
        let mut sitting = Self {
            scene,
            options,
            voice: Words::new(&terminal::talk(), scene.records),
            weighing,
            at,
            puppies,
            next: 0,
            mood: DialogueState::Weight,
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
        self.mood == DialogueState::Done
    }

    fn heading(&self) -> String {
        let by = self
            .options
            .by
            .as_ref()
            .map(|by| format!(" by {by}"))
            .unwrap_or_default();
        let pinned = if self.scene.records.kennel.as_of.is_some() {
            " (`as_of` in kennel.yaml pins the day)"
        } else {
            ""
        };
        let count = counted(self.puppies.len(), "puppy", "puppies");
        let unit = self.scene.unit.name();
        let title = format!(
            "{}: weigh-in of {}{by}, {count}{pinned}",
            self.scene.litter.litter.name, self.at
        );
        let example = if self.scene.unit == WeightUnit::Ounce {
            "8.1, 8 1/4, 1 lb 2 or 231 g"
        } else {
            "231, 8.1 oz, 8 1/4 oz or 1 lb 2"
        };
        let how = format!("A bare number is {unit}: {example}.");
        let there: Vec<String> = self
            .puppies
            .iter()
            .filter(|p| self.fixed.contains(&p.id))
            .map(Puppy::shown_name)
            .collect();
        let there = if there.is_empty() {
            String::new()
        } else {
            self.voice
                .lines(&format!("in the records already: {}", there.join(", ")), 0)
        };
        format!(
            "{}{}{}{there}",
            self.voice.bold(self.voice.lines(&title, 0).trim_end()) + "\n",
            self.voice.lines(&how, 0),
            self.voice
                .lines("s skip, b back, r remark, e end; each with Enter.", 0)
        )
    }

    fn puppy(&self) -> &Puppy {
        &self.puppies[self.next.min(self.puppies.len() - 1)]
    }

    fn prompt(&self) -> String {
        let puppy = self.puppy();
        match &self.mood {
            DialogueState::Weight => {
                let widest =
                    |texts: Vec<usize>, most: usize| texts.into_iter().max().unwrap_or(0).min(most);
                let ribbons = widest(
                    self.puppies
                        .iter()
                        .filter_map(|p| p.ribbon)
                        .map(|r| r.name().len())
                        .collect(),
                    9,
                );
                let names = widest(
                    self.puppies
                        .iter()
                        .map(|p| p.shown_name().chars().count())
                        .collect(),
                    16,
                );
                let ribbon = if ribbons == 0 {
                    String::new()
                } else {
                    self.voice.ribbon(puppy.ribbon, ribbons) + "  "
                };
                let last = self.weighing.last_before(&puppy.id, self.at);
                let zone = self.scene.records.kennel.time_zone.0;
                let hours = last.map_or(0.0, |last| hours_from(zone, last.at, self.at));
                let name = format!("{:names$}", short_name(puppy, names));
                let last = self.voice.last(last.as_ref(), hours);
                let own = self
                    .own_weight(&puppy.id)
                    .map(|own| format!(", now {} (Enter keeps it, 0 takes it out)", own.written))
                    .unwrap_or_default();
                format!("{ribbon}{}  {last}{own}: ", self.voice.bold(&name))
            }
            DialogueState::Doubt(typed, other) => {
                let both = if other.is_some() {
                    "x exchanges the two, "
                } else {
                    ""
                };
                format!(
                    "   y keeps {}, {both}or type {}’s weight again: ",
                    typed.written,
                    short_name(puppy, 16)
                )
            }
            DialogueState::Remark => format!("   remark about {}: ", short_name(puppy, 16)),
            DialogueState::Unsaved(_) => "   Enter tries again, e ends: ".to_owned(),
            DialogueState::Done => String::new(),
        }
    }

    fn own_weight(&self, id: &Id) -> Option<&Typed> {
        self.block
            .iter()
            .find(|(own, _)| own == id)
            .map(|(_, typed)| typed)
    }

    /// What is said to a line.
    fn answer(&mut self, line: &str) -> String {
        let line = line.trim();
        match self.mood.clone() {
            DialogueState::Done => String::new(),
            DialogueState::Remark => {
                self.mood = DialogueState::Weight;
                self.remark(line)
            }
            DialogueState::Unsaved(weights) => match line {
                "e" | "E" => self.end(),
                _ => self.save(&weights),
            },
            DialogueState::Doubt(typed, other) => self.doubted(line, typed, other),
            DialogueState::Weight => self.weight(line),
        }
    }

    fn doubted(&mut self, line: &str, typed: Typed, other: Option<Id>) -> String {
        let puppy = self.puppy().id.clone();
        match (line.to_lowercase().as_str(), other) {
            ("y" | "yes", _) => self.save(&[(puppy, typed)]),
            ("x", Some(other)) => {
                let Some(theirs) = self.own_weight(&other).cloned() else {
                    return String::new();
                };
                self.save(&[(puppy, theirs), (other, typed)])
            }
            ("", _) => self.say("y keeps it; nothing was saved yet"),
            _ => {
                self.forget(&puppy);
                self.mood = DialogueState::Weight;
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
                self.mood = DialogueState::Remark;
                String::new()
            }
            ("r", _) => self.remark(rest),
            ("0", Some(_)) if rest.is_empty() => self.take_out(&puppy.id),
            _ => self.read(&puppy, line),
        }
    }

    fn read(&mut self, puppy: &Puppy, line: &str) -> String {
        let (weight, written) = match Weight::typed(line, self.scene.unit) {
            Ok(read) => read,
            Err(why) => return self.say(&format!("{}; {}", why.message, why.hint)),
        };
        let typed = Typed { weight, written };
        self.weighing.take(&puppy.id, self.at, weight);
        let doubts: Vec<_> = self
            .weighing
            .doubts(&[self.at])
            .into_iter()
            .filter(|doubt| doubt.puppies.contains(&puppy.id))
            .collect();
        if doubts.is_empty() {
            return self.save(&[(puppy.id.clone(), typed)]);
        }
        let other = doubts
            .iter()
            .flat_map(|doubt| &doubt.puppies)
            .find(|id| **id != puppy.id && self.own_weight(id).is_some());
        self.mood = DialogueState::Doubt(typed, other.cloned());
        doubts
            .iter()
            .map(|doubt| {
                self.voice.lines(
                    &format!("? {}", doubted(&doubt.reason, self.voice.ounces)),
                    3,
                )
            })
            .collect()
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
        if self.own.is_some() {
            self.save(&[])
        } else {
            self.say("kept, and written with the next weight")
        }
    }

    fn back(&mut self) -> String {
        let to = (0..self.next)
            .rev()
            .find(|index| !self.fixed.contains(&self.puppies[*index].id));
        match to {
            Some(index) => {
                self.next = index;
                self.skipped.remove(&self.puppies[index].id);
                String::new()
            }
            None => self.say(
                "there is nobody before; what earlier weigh-ins wrote is changed in the file \
                 itself",
            ),
        }
    }

    fn end(&mut self) -> String {
        self.ended = true;
        self.mood = DialogueState::Done;
        String::new()
    }

    /// The next puppy that has no weight yet, from `index` on, then from the first; or the end.
    fn go_on(&mut self, index: usize) {
        let waits = |index: &usize| {
            let id = &self.puppies[*index].id;
            self.own_weight(id).is_none() && !self.fixed.contains(id) && !self.skipped.contains(id)
        };
        let next = (index..self.puppies.len())
            .find(waits)
            .or_else(|| (0..self.puppies.len()).find(waits));
        match next {
            Some(next) => (self.next, self.mood) = (next, DialogueState::Weight),
            None => self.mood = DialogueState::Done,
        }
    }

    fn draft(&self, block: &[(Id, Typed)]) -> Draft {
        let remark = self.remarks.join("; ");
        Draft {
            at: self.at,
            by: self.options.by.clone(),
            remark: remark.parse().ok(),
            weights: block
                .iter()
                .map(|(id, typed)| (id.clone(), typed.weight, typed.written.clone()))
                .collect(),
        }
    }

    fn name(&self, id: &Id) -> String {
        self.puppies
            .iter()
            .find(|puppy| puppy.id == *id)
            .map_or_else(|| id.to_string(), Puppy::shown_name)
    }

    fn say(&self, text: &str) -> String {
        self.voice.lines(text, 3)
    }
}

/// What has to be typed to name the same kennel again.
fn kennel_option(root: &Path) -> String {
    if root == Path::new(".") {
        String::new()
    } else {
        format!(" --kennel {}", root.display())
    }
}
