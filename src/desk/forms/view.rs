//! What a page with a form shows.
//!
//! In: a place in a record, what stands there or was typed, what is wrong with it. Out: views for
//! the templates, one item after the other. The problem of a field stands at the field.

use super::names::{self, NamedRecord};
use super::shape::{Field, Form, Kind, in_words};
use super::spot::Spot;
use super::values::{Texts, below};
use crate::quantity::{Day, Id, days_said};
use crate::records::changing::written::{self, Written};
use crate::records::problem::{At, Located, Step};
use crate::records::showing::harmless;
use crate::records::source::Sources;
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::Path;

/// How many choices stand open; more are folded away.
const OPEN: usize = 16;
/// How many words tell an entry from the others.
const WORDS: usize = 4;

/// One thing after the other on a page with a form.
#[derive(Debug, Default, Serialize)]
pub(crate) struct FormItem {
    /// `begin` and `end` of a group; `line`, `long`, `lines`, `number`, `day`, `choice`, `names`;
    /// `list`.
    pub(crate) what: &'static str,
    pub(crate) name: String,
    pub(crate) label: String,
    pub(crate) help: String,
    pub(crate) needed: bool,
    pub(crate) value: String,
    pub(crate) choices: Vec<Choice>,
    /// A group or a list of choices that stands open.
    pub(crate) open: bool,
    pub(crate) problems: Vec<Told>,
    /// What somebody else wrote there meanwhile.
    pub(crate) twice: Option<String>,
    pub(crate) entries: Vec<ListEntry>,
    /// The place of a list.
    pub(crate) at: String,
}

#[derive(Debug, Serialize)]
pub(crate) struct Choice {
    pub(crate) value: String,
    pub(crate) label: String,
    pub(crate) chosen: bool,
}

/// An entry of a list.
#[derive(Debug, Serialize)]
pub(crate) struct ListEntry {
    pub(crate) title: String,
    pub(crate) at: String,
    pub(crate) mark: String,
    pub(crate) is_first: bool,
    pub(crate) is_last: bool,
}

/// A problem in the words of `inspect`.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Told {
    pub(crate) message: String,
    pub(crate) hint: String,
    /// The file and the line, where it is another place than the field.
    pub(crate) place: Option<FormLine>,
}

/// A line of a file.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct FormLine {
    pub(crate) file: String,
    pub(crate) line: usize,
}

impl Told {
    pub(crate) fn of(located: &Located, is_here: bool) -> Self {
        let problem = &located.problem;
        Self {
            message: days_said(&harmless(&problem.message)),
            hint: days_said(&harmless(&problem.hint)),
            place: (!is_here).then(|| FormLine {
                file: problem.place.file.clone(),
                line: located.line,
            }),
        }
    }
}

/// A place as it stands in an address: an entry by its name where it has one of its own.
pub(crate) fn address(whole: &Written, path: &[Step]) -> String {
    let mut words = Vec::new();
    for (depth, step) in path.iter().enumerate() {
        words.push(match step {
            Step::Key(key) | Step::Name(key) => key.clone(),
            Step::Index(index) => {
                let list = whole.at(&path[..depth]);
                entry_name(list, *index).unwrap_or_else(|| (index + 1).to_string())
            }
        });
    }
    words.join(".")
}

fn entry_name(list: Option<&Written>, index: usize) -> Option<String> {
    let Some(Written::List(items)) = list else {
        return None;
    };
    let id = |item: &Written| Some(item.get("id")?.text()?.to_owned());
    let own = items.get(index).and_then(id)?;
    let is_name = own.parse::<Id>().is_ok() && own.contains(|c: char| c.is_ascii_alphabetic());
    let alone = items
        .iter()
        .filter(|item| id(item).as_ref() == Some(&own))
        .count()
        == 1;
    (is_name && alone && own != "last").then_some(own)
}

/// What tells an entry from the others, in words.
pub(crate) fn title(entry: &Written) -> String {
    let words: Vec<String> = match entry {
        Written::Nothing => Vec::new(),
        Written::Text(text) => vec![text.clone()],
        Written::List(items) => vec![format!("{} entries", items.len())],
        Written::Block(entries) => entries
            .iter()
            .filter(|(key, _)| key != "id" || entry.get("name").is_none())
            .filter_map(|(key, value)| match value {
                Written::Text(text) => Some(text.clone()),
                Written::List(items) if items.iter().all(|item| item.text().is_some()) => Some(
                    items
                        .iter()
                        .filter_map(Written::text)
                        .collect::<Vec<_>>()
                        .join(", "),
                ),
                Written::Block(_) => Some(in_words(key)),
                Written::Nothing | Written::List(_) => None,
            })
            .take(WORDS)
            .collect(),
    };
    let title = harmless(&days_said(&words.join(" · ")));
    if title.trim().is_empty() {
        return "An entry without words".to_owned();
    }
    let mut short: String = title.chars().take(90).collect();
    if short.len() < title.len() {
        short.push('…');
    }
    short
}

/// What an entry is, in a few letters that change with it.
pub(crate) fn mark(entry: &Written) -> String {
    blake3::hash(format!("{entry:?}").as_bytes()).to_hex()[..16].to_owned()
}

/// The list at a path as an item.
pub(crate) fn list(spot: &Spot, path: &[Step], label: &str, help: &str) -> FormItem {
    let items = match spot.whole.at(path) {
        Some(Written::List(items)) => items.as_slice(),
        _ => &[],
    };
    let entries = items.iter().enumerate().map(|(index, entry)| {
        let here: Vec<Step> = path.iter().cloned().chain([Step::Index(index)]).collect();
        ListEntry {
            title: title(entry),
            at: address(&spot.whole, &here),
            mark: mark(entry),
            is_first: index == 0,
            is_last: index + 1 == items.len(),
        }
    });
    FormItem {
        what: "list",
        label: label.to_owned(),
        help: words(help, label),
        at: address(&spot.whole, path),
        entries: entries.collect(),
        ..FormItem::default()
    }
}

/// A help as it is read on a page; nothing when it says no more than the label.
fn words(help: &str, label: &str) -> String {
    let help = help.replace('`', "");
    if help.trim_end_matches('.').eq_ignore_ascii_case(label) {
        return String::new();
    }
    help
}

/// What is shown in the fields.
pub(crate) struct Filling<'a> {
    pub(crate) content: &'a Path,
    pub(crate) spot: &'a Spot,
    pub(crate) texts: &'a Texts,
    pub(crate) twice: &'a Texts,
    /// Problems by the name of their field.
    pub(crate) problems: &'a BTreeMap<String, Vec<Told>>,
    /// Whether lists of entries are shown.
    pub(crate) lists: bool,
}

impl Filling<'_> {
    /// All items of a form, in its order.
    pub(crate) fn items(&self, form: &Form) -> Vec<FormItem> {
        let mut items = Vec::new();
        self.group(form, "", &mut items);
        items
    }

    fn group(&self, form: &Form, prefix: &str, items: &mut Vec<FormItem>) {
        for field in &form.fields {
            let name = below(prefix, &field.key);
            match &field.kind {
                Kind::Block(inner) => {
                    let is_below = |known: &String| {
                        known
                            .strip_prefix(&name)
                            .is_some_and(|rest| rest.starts_with('.'))
                    };
                    let open = field.needed
                        || self
                            .texts
                            .iter()
                            .any(|(name, text)| is_below(name) && !text.is_empty())
                        || self.twice.keys().any(is_below)
                        || self
                            .problems
                            .keys()
                            .any(|known| is_below(known) || *known == name);
                    items.push(FormItem {
                        what: "begin",
                        open,
                        problems: self.problems.get(&name).cloned().unwrap_or_default(),
                        label: field.label.clone(),
                        help: words(&field.help, &field.label),
                        name: name.clone(),
                        ..FormItem::default()
                    });
                    self.group(inner, &name, items);
                    items.push(FormItem {
                        what: "end",
                        ..FormItem::default()
                    });
                }
                Kind::List(_) => {
                    if self.lists {
                        let steps = name.split('.').map(Step::from);
                        let path: Vec<Step> = self.spot.path.iter().cloned().chain(steps).collect();
                        items.push(FormItem {
                            problems: self.problems.get(&name).cloned().unwrap_or_default(),
                            name,
                            ..list(self.spot, &path, &field.label, &field.help)
                        });
                    }
                }
                _ => items.push(self.field(field, name)),
            }
        }
    }

    fn field(&self, field: &Field, name: String) -> FormItem {
        let value = self.texts.get(&name).cloned().unwrap_or_default();
        let named = |of: &str| {
            let of = match (of, field.key.as_str()) {
                ("dog", parent @ ("dam" | "sire")) => parent,
                (of, _) => of,
            };
            names::choices(self.content, of, self.spot.litter())
        };
        let plain = |choices: &[&str]| -> Vec<NamedRecord> {
            // Units stay as they are written.
            let shown = |word: &str| match word.len() {
                1 | 2 => word.to_owned(),
                _ => in_words(word),
            };
            let pair = |word: &&str| ((*word).to_owned(), shown(word));
            choices.iter().map(pair).collect()
        };
        let (what, choices, several) = match &field.kind {
            Kind::Text { long: true } => ("long", Vec::new(), false),
            Kind::Number => ("number", Vec::new(), false),
            Kind::Day if value.is_empty() || value.parse::<Day>().is_ok() => {
                ("day", Vec::new(), false)
            }
            Kind::Truth { .. } => {
                let both = [("yes", "Yes"), ("no", "No")];
                let pair = |(value, label): (&str, &str)| (value.to_owned(), label.to_owned());
                ("choice", both.map(pair).to_vec(), false)
            }
            Kind::Choice { choices } => {
                let words: Vec<&str> = choices.iter().map(String::as_str).collect();
                ("choice", plain(&words), false)
            }
            Kind::Name { of } => ("choice", named(of), false),
            Kind::Several { of: Some(of), .. } => ("names", named(of), true),
            Kind::Several { of: None, .. } => ("lines", Vec::new(), false),
            _ => ("line", Vec::new(), false),
        };
        let chosen: Vec<&str> = if several {
            value.lines().collect()
        } else {
            vec![value.as_str()]
        };
        // What stands there and is no choice is one as well, so that nothing is lost.
        let strangers = chosen
            .iter()
            .filter(|word| !word.is_empty() && !choices.iter().any(|(known, _)| known == *word))
            .map(|word| ((*word).to_owned(), (*word).to_owned()));
        let strangers: Vec<NamedRecord> = if what == "choice" || several {
            strangers.collect()
        } else {
            Vec::new()
        };
        let shown: Vec<Choice> = choices
            .into_iter()
            .chain(strangers)
            .map(|(value, label)| Choice {
                chosen: chosen.contains(&value.as_str()),
                value,
                label,
            })
            .collect();
        let default = match &field.kind {
            Kind::Truth {
                default: Some(default),
            } => if *default { " (yes)" } else { " (no)" }.to_owned(),
            _ => String::new(),
        };
        FormItem {
            what,
            label: field.label.clone(),
            help: words(&field.help, &field.label),
            needed: field.needed,
            open: shown.len() <= OPEN,
            choices: shown,
            value,
            problems: self.problems.get(&name).cloned().unwrap_or_default(),
            twice: self.twice.get(&name).cloned(),
            at: default,
            name,
            ..FormItem::default()
        }
    }
}

/// Problems at their fields; what belongs to no field of this form, or to another file, apart.
pub(crate) fn at_fields(
    located: &[Located],
    sources: &Sources,
    file: &str,
    path: &[Step],
    form: &Form,
) -> (BTreeMap<String, Vec<Told>>, Vec<Told>) {
    let mut fields: BTreeMap<String, Vec<Told>> = BTreeMap::new();
    let mut others = Vec::new();
    for problem in located {
        let place = &problem.problem.place;
        let steps = match &place.at {
            _ if place.file != file => None,
            At::Path(steps) => Some(steps.clone()),
            At::Bytes(..) | At::File => sources
                .text(file)
                .and_then(|text| written::path_at(file, text, &problem.range.bytes())),
        };
        // A key that is missing may be told at the first word of what it is missing from.
        let name = steps.and_then(|steps| {
            let rest = steps.strip_prefix(path)?;
            field_of(form, rest, &problem.problem.message)
        });
        match name {
            Some(name) => fields
                .entry(name)
                .or_default()
                .push(Told::of(problem, true)),
            None => others.push(Told::of(problem, false)),
        }
    }
    (fields, others)
}

/// The field that a path leads to; of a key that is missing, the field it is asked for in.
fn field_of(form: &Form, steps: &[Step], message: &str) -> Option<String> {
    let (mut form, mut name) = (form, String::new());
    let mut forms = vec![(form, name.clone())];
    for step in steps {
        let (Step::Key(key) | Step::Name(key)) = step else {
            break;
        };
        let Some(field) = form.field(key) else { break };
        name = below(&name, key);
        let Kind::Block(inner) = &field.kind else {
            break;
        };
        form = inner;
        forms.push((form, name.clone()));
    }
    let missing = message
        .strip_prefix('`')
        .and_then(|rest| rest.split_once("` is missing"))
        .and_then(|(key, _)| {
            let (_, name) = forms
                .iter()
                .rev()
                .find(|(form, _)| form.field(key).is_some())?;
            Some(below(name, key))
        });
    missing.or_else(|| (!name.is_empty()).then_some(name))
}
