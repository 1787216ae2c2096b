//! What a dialogue saves, when, and what it says then.

use super::super::draft::{Stored, store};
use super::super::told::short_name;
use super::{Dialogue, DialogueState, Typed, kennel_option};
use crate::husbandry::findings::Urgency;
use crate::husbandry::weighing::most_urgent;
use crate::quantity::Id;
use crate::records::litter::Puppy;
use std::collections::BTreeMap;

impl Dialogue<'_> {
    pub(super) fn take_out(&mut self, puppy: &Id) -> String {
        let block: Vec<(Id, Typed)> = self
            .block
            .iter()
            .filter(|(id, _)| id != puppy)
            .cloned()
            .collect();
        match store(
            self.scene.folder,
            &self.scene.file,
            &self.draft(&block),
            self.own.as_ref(),
        ) {
            Ok(Ok(Stored::Kept(own))) => {
                (self.own, self.block) = (own, block);
                self.weighing.take_back(puppy, self.at);
                self.say("taken out")
            }
            Ok(Ok(_)) => self.say(&format!(
                "{} was changed by somebody else meanwhile: take it out there",
                self.scene.file
            )),
            Ok(Err(refused)) => refused.shown(self.scene.folder),
            Err(error) => self.say(&error.to_string()),
        }
    }

    /// Saves weights, and says what they say. The first is the puppy that was asked for.
    pub(super) fn save(&mut self, weights: &[(Id, Typed)]) -> String {
        let mut block = self.block.clone();
        for (id, typed) in weights {
            match block.iter_mut().find(|(own, _)| own == id) {
                Some((_, own)) => *own = typed.clone(),
                None => block.push((id.clone(), typed.clone())),
            }
        }
        match store(
            self.scene.folder,
            &self.scene.file,
            &self.draft(&block),
            self.own.as_ref(),
        ) {
            Ok(Ok(Stored::Kept(own))) => {
                (self.own, self.block) = (own, block);
                self.saved(weights)
            }
            Ok(Ok(Stored::Parted)) => self.parted(weights),
            Ok(Ok(Stored::Taken(ids))) => self.taken(&ids),
            Ok(Err(refused)) => self.not_saved(weights, &refused.shown(self.scene.folder)),
            Err(error) => {
                let said = self.voice.lines(&error.to_string(), 3);
                self.not_saved(weights, &said)
            }
        }
    }

    pub(super) fn saved(&mut self, weights: &[(Id, Typed)]) -> String {
        for (id, typed) in weights {
            self.weighing.take(id, self.at, typed.weight);
            self.skipped.remove(id);
        }
        let mut out = String::new();
        for (id, typed) in weights {
            let Some(said) = self.weighing.said(id, self.at) else {
                continue;
            };
            let whose = if weights.len() > 1 {
                self.name(id) + " "
            } else {
                String::new()
            };
            out.push_str(&self.voice.lines(
                &format!(
                    "saved {whose}{}: {}",
                    typed.written,
                    self.voice.change(&said)
                ),
                3,
            ));
            out.push_str(&self.voice.findings(&said.findings, 3));
        }
        if weights.is_empty() {
            self.mood = DialogueState::Weight;
            return self.say("saved");
        }
        self.go_on(self.next + 1);
        out
    }

    /// Somebody has changed our block: what stands in it is no longer ours, and what is new begins
    /// another.
    pub(super) fn parted(&mut self, weights: &[(Id, Typed)]) -> String {
        let corrects = weights
            .iter()
            .find(|(id, _)| self.own_weight(id).is_some())
            .map(|(id, _)| id.clone());
        for (id, _) in std::mem::take(&mut self.block) {
            self.fixed.insert(id);
        }
        self.own = None;
        self.remarks.clear();
        match corrects {
            Some(id) => {
                self.go_on(self.next + 1);
                let told = format!(
                    "not saved: {} was changed by somebody else where this weigh-in stands; \
                     correct {} there",
                    self.scene.file,
                    self.name(&id)
                );
                self.say(&told)
            }
            None if weights.is_empty() => self.say(&format!(
                "not saved: {} was changed by somebody else where this weigh-in stands; write the \
                 remark there",
                self.scene.file
            )),
            None => self.save(weights),
        }
    }

    /// Somebody has weighed the same puppy at the same time.
    pub(super) fn taken(&mut self, ids: &[Id]) -> String {
        for id in ids {
            self.block.retain(|(own, _)| own != id);
            self.weighing.take_back(id, self.at);
            self.fixed.insert(id.clone());
        }
        self.go_on(self.next + 1);
        let names: Vec<String> = ids.iter().map(|id| self.name(id)).collect();
        self.say(&format!(
            "not saved: somebody else has just written a weight of {} for {}",
            names.join(" and "),
            self.at
        ))
    }

    pub(super) fn not_saved(&mut self, weights: &[(Id, Typed)], why: &str) -> String {
        self.mood = DialogueState::Unsaved(weights.to_vec());
        format!("{}{why}", self.say("NOT saved:"))
    }

    /// The whole weigh-in on one screen, and what is missing.
    pub(super) fn ending(&self) -> String {
        let weighed: Vec<&Puppy> = self
            .puppies
            .iter()
            .filter(|puppy| self.own_weight(&puppy.id).is_some())
            .collect();
        let missing: Vec<&Puppy> = self
            .puppies
            .iter()
            .filter(|p| self.own_weight(&p.id).is_none() && !self.fixed.contains(&p.id))
            .collect();
        let path = format!("{}/{}", self.scene.folder.shown_content(), self.scene.file);
        let count = format!(
            "{} of {} weighed",
            weighed.len() + self.fixed.len(),
            self.puppies.len()
        );
        let mut out = self.voice.lines(
            &format!("Weigh-in of {}: {count}, saved in {path}", self.at),
            0,
        );
        if weighed.is_empty() {
            out = self.voice.lines(
                &format!("Weigh-in of {}: nothing new was saved in {path}", self.at),
                0,
            );
        }
        let mut worst: BTreeMap<&Id, Urgency> = BTreeMap::new();
        let names = weighed
            .iter()
            .map(|puppy| puppy.shown_name().chars().count())
            .max()
            .unwrap_or(0)
            .min(16);
        for puppy in &weighed {
            let Some(said) = self.weighing.said(&puppy.id, self.at) else {
                continue;
            };
            let urgency = most_urgent(&said.findings);
            worst.extend(urgency.map(|urgency| (&puppy.id, urgency)));
            let word = urgency
                .map(|urgency| self.voice.urgency(urgency))
                .unwrap_or_default();
            let name = format!("{:names$}", short_name(puppy, names));
            let written = self
                .own_weight(&puppy.id)
                .map_or("", |typed| &typed.written);
            out.push_str(
                format!(
                    "  {name}  {written:>9}  {:<38}  {word}",
                    self.voice.change(&said)
                )
                .trim_end(),
            );
            out.push('\n');
        }
        if !missing.is_empty() {
            let names: Vec<String> = missing.iter().map(|puppy| puppy.shown_name()).collect();
            out.push_str(
                &self
                    .voice
                    .lines(&format!("not weighed: {}", names.join(", ")), 0),
            );
            if missing
                .iter()
                .any(|puppy| !self.skipped.contains(&puppy.id))
            {
                // Not broken into lines, so that it can be copied.
                let root = kennel_option(&self.scene.folder.root);
                out.push_str(&format!(
                    "to go on: litterfolio{root} weigh {} --at \"{}\"\n",
                    self.scene.litter.id, self.at
                ));
            }
        }
        if self.own.is_none() && !self.remarks.is_empty() {
            out.push_str(&self.voice.lines(
                &format!(
                    "the remark was not written, as nobody was weighed: {}",
                    self.remarks.join("; ")
                ),
                0,
            ));
        }
        out + &self
            .voice
            .cautions(worst.values().max().copied(), self.scene.records)
    }
}
