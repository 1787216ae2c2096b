//! The round for a terminal and for programs.
//!
//! In: the keeper's view of a round. Out: lines for a terminal of a given width, with or without
//! colours; JSON; and the schema of that JSON. Nothing is chosen or left out here.

use crate::audience::keeper::{
    RoundsShown, TaskShown, TaskUrgency, VetShown, bitch_days, in_full, task_days,
};
use schemars::generate::SchemaSettings;
use serde_json::Value;
use std::fmt::Write;
use textwrap::WordSplitter;

/// The round as JSON, as [`schema`] describes it.
#[must_use]
pub fn json(rounds: &RoundsShown) -> String {
    format!("{:#}\n", serde_json::json!(rounds))
}

/// JSON Schema (2020-12) of [`json`].
#[must_use]
pub fn schema() -> Value {
    SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator()
        .into_root_schema_for::<RoundsShown>()
        .to_value()
}

/// The round in lines of at most `width` columns, unless a word or a command is wider.
#[must_use]
pub fn text(rounds: &RoundsShown, width: usize, colours: bool) -> String {
    let RoundsShown {
        kennel,
        today,
        last,
        emergency_vet,
        cautions,
        dam_cautions,
        tasks,
        bitches,
    } = rounds;
    let lines = Lines { width, colours };
    let mut out = String::new();
    let until = if last == today {
        String::new()
    } else {
        format!(", until {}", in_full(last))
    };
    lines.add(&mut out, 0, &format!("{kennel}, {}{until}", in_full(today)));
    if tasks.is_empty() {
        lines.add(&mut out, 0, "Nothing is due by the records.");
    }
    let mut heading = None;
    for task in tasks {
        let own = (task.urgency, task.urgency == TaskUrgency::Later, &task.day);
        if heading != Some(own) {
            heading = Some(own);
            out.push('\n');
            out.push_str(&lines.heading(task));
        }
        lines.task(&mut out, task);
    }
    if !bitches.is_empty() {
        let _ = writeln!(out, "\nBITCHES, TO BE KEPT IN MIND");
    }
    for note in bitches {
        lines.add(
            &mut out,
            4,
            &format!("{}: {} [{}]", note.name, note.what, bitch_days(note)),
        );
    }
    out.push('\n');
    if let Some(VetShown { clinic, phone }) = emergency_vet {
        lines.add(&mut out, 0, &format!("Out of hours: {clinic}, {phone}"));
    }
    lines.add(&mut out, 0, cautions);
    if let Some(of_dam) = dam_cautions {
        lines.add(&mut out, 0, of_dam);
    }
    out
}

/// How lines are set.
struct Lines {
    width: usize,
    colours: bool,
}

impl Lines {
    fn heading(&self, task: &TaskShown) -> String {
        let title = match task.urgency {
            TaskUrgency::CallTheVet => "CALL THE VET".to_owned(),
            TaskUrgency::Overdue => "OVERDUE".to_owned(),
            TaskUrgency::Today => "TODAY".to_owned(),
            TaskUrgency::Tomorrow => "TOMORROW".to_owned(),
            TaskUrgency::Later => in_full(&task.day).to_uppercase(),
        };
        let code = match task.urgency {
            _ if !self.colours => return format!("{title}\n"),
            TaskUrgency::CallTheVet => "1;7",
            _ => "1",
        };
        format!("\u{1b}[{code}m{title}\u{1b}[0m\n")
    }

    fn task(&self, out: &mut String, task: &TaskShown) {
        let ribbons: Vec<String> = task
            .puppies
            .iter()
            .map(|p| {
                p.ribbon
                    .map_or_else(|| p.name.clone(), |ribbon| format!("{} ({ribbon})", p.name))
            })
            .collect();
        let who = if task.puppies.is_empty() || task.who.starts_with("all ") {
            task.who.clone()
        } else {
            ribbons.join(", ")
        };
        let days = task_days(task);
        let days = if days.is_empty() {
            String::new()
        } else {
            format!(" [{days}]")
        };
        let boxes = "[ ] ".repeat(task.times.clamp(1, 4));
        let first = format!("{boxes}{}, {who}: {}{days}", task.litter_name, task.what);
        self.add(out, 4, &first);
        if task.is_typed() {
            // A command that is broken off in the middle does not run when it is copied.
            let _ = writeln!(out, "      do: {}", task.act);
        } else {
            self.add(out, 6, &format!("      do: {}", task.act));
        }
    }

    /// A paragraph; lines after the first begin with `indent` blanks.
    fn add(&self, out: &mut String, indent: usize, text: &str) {
        let lead = &text[..text.len() - text.trim_start_matches(' ').len()];
        let blanks = " ".repeat(indent);
        let options = textwrap::Options::new(self.width)
            .word_splitter(WordSplitter::NoHyphenation)
            .break_words(false)
            .initial_indent(lead)
            .subsequent_indent(&blanks);
        let _ = writeln!(out, "{}", textwrap::fill(text.trim(), options));
    }
}
