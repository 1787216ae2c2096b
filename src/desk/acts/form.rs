//! What a page of an act is made of, and what a keeper sent from it.
//!
//! In: nothing. Out: [`ActPage`] with its forms, for one template; [`ActFields`], the fields of a
//! form that was sent. A form that cannot be recorded comes back as it was filled in, with the
//! problem at its field: nothing typed is lost.

use crate::app::recording::Refused;
use crate::quantity::{Day, Moment, Text, Unreadable, days_said};
use crate::records::problem::{At, Located, Step};
use serde::Serialize;
use std::str::FromStr;

/// One page.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct ActPage {
    /// What stands above the title: the litter, as a rule.
    pub(crate) above: String,
    pub(crate) title: String,
    pub(crate) lead: Vec<String>,
    /// What was done just now.
    pub(crate) said: Vec<String>,
    /// What is wrong and belongs to no field.
    pub(crate) problems: Vec<AskedSlip>,
    /// The form of the page.
    pub(crate) form: Option<ActForm>,
    /// Lists above it: what was found of what was recorded just now.
    pub(crate) found: Vec<Section>,
    /// Lists below it.
    pub(crate) sections: Vec<Section>,
    pub(crate) links: Vec<ActLink>,
    /// How a text will be seen, by whom.
    pub(crate) previews: Vec<Preview>,
    /// The change that was made just now.
    pub(crate) number: Option<u64>,
    /// Whether it comes back because something is in the way.
    pub(crate) is_refused: bool,
    /// By which the desk knows its own forms.
    pub(crate) token: String,
}

/// Something listed.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct Section {
    pub(crate) heading: String,
    pub(crate) items: Vec<ActItem>,
}

impl Section {
    /// A list under its heading; nothing where nothing stands in it.
    pub(crate) fn of(heading: impl Into<String>, items: Vec<ActItem>) -> Option<Self> {
        let heading = heading.into();
        (!items.is_empty()).then_some(Self { heading, items })
    }
}

/// One thing of a list, with what can be done about it.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct ActItem {
    pub(crate) title: String,
    pub(crate) words: Vec<String>,
    /// What the program found, each with how urgent it is, in words.
    pub(crate) findings: Vec<(&'static str, String)>,
    /// Address of a picture.
    pub(crate) picture: Option<ActLink>,
    /// How the picture is turned, in the word of the records.
    pub(crate) turn: Option<&'static str>,
    pub(crate) links: Vec<ActLink>,
    pub(crate) forms: Vec<ActForm>,
}

impl ActItem {
    /// Something of which nothing else is said.
    pub(crate) fn titled(title: impl Into<String>) -> Self {
        let title = title.into();
        Self {
            title,
            ..Self::default()
        }
    }
}

/// A way to another page.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct ActLink {
    pub(crate) label: String,
    pub(crate) path: String,
}

impl ActLink {
    pub(crate) fn new(label: impl Into<String>, path: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            path: path.into(),
        }
    }
}

/// How a text will be seen.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Preview {
    /// By whom.
    pub(crate) who: String,
    /// HTML that was made from Markdown; nothing where they do not see it.
    pub(crate) html: Option<String>,
}

/// A form.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct ActForm {
    /// Where it is sent; to its own page where it is empty.
    pub(crate) action: String,
    pub(crate) hidden: Vec<(String, String)>,
    pub(crate) groups: Vec<Group>,
    /// The main button first.
    pub(crate) buttons: Vec<Button>,
    /// Whether files are sent with it.
    pub(crate) is_upload: bool,
    /// What a screen reader hears beside a button that looks like others on the page.
    pub(crate) about: String,
}

impl ActForm {
    /// A form that is saved by its one button.
    pub(crate) fn saved_by(label: impl Into<String>, groups: Vec<Group>) -> Self {
        Self {
            groups,
            buttons: vec![Button::new("save", label)],
            ..Self::default()
        }
    }

    /// One in which this is recorded.
    pub(crate) fn recording(groups: Vec<Group>) -> Self {
        Self::saved_by("Record it", groups)
    }
}

/// Fields that belong together.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct Group {
    pub(crate) legend: String,
    /// Whether it is shut at first: what is rarely needed.
    pub(crate) is_shut: bool,
    /// Whether the fields stand side by side where there is room.
    pub(crate) is_row: bool,
    pub(crate) fields: Vec<ActField>,
}

impl Group {
    pub(crate) fn new(legend: &str, fields: Vec<ActField>) -> Self {
        Self {
            legend: legend.to_owned(),
            is_shut: false,
            is_row: false,
            fields,
        }
    }

    pub(crate) fn shut(legend: &str, fields: Vec<ActField>) -> Self {
        Self {
            is_shut: true,
            ..Self::new(legend, fields)
        }
    }
}

/// What is pressed.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Button {
    /// What is sent as `act`.
    pub(crate) value: String,
    pub(crate) label: String,
}

impl Button {
    pub(crate) fn new(value: &str, label: impl Into<String>) -> Self {
        Self {
            value: value.to_owned(),
            label: label.into(),
        }
    }
}

/// How a field is filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum ActFieldKind {
    Text,
    Area,
    Day,
    Moment,
    Choice,
    Ticks,
    Tick,
    /// Pictures, any number of them.
    File,
    /// One file of text.
    Table,
}

/// One field.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct ActField {
    pub(crate) name: String,
    pub(crate) label: String,
    pub(crate) kind: ActFieldKind,
    pub(crate) value: String,
    pub(crate) help: String,
    pub(crate) is_needed: bool,
    pub(crate) choices: Vec<ActChoice>,
    pub(crate) problem: Option<AskedSlip>,
    /// Whether a phone shows its number pad.
    pub(crate) is_amount: bool,
    /// What was typed there before, to choose from.
    pub(crate) earlier: Vec<String>,
}

/// One of several answers.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct ActChoice {
    pub(crate) value: String,
    pub(crate) label: String,
    pub(crate) is_on: bool,
}

/// Choices from values and labels.
pub(crate) fn choices<V: Into<String>, L: Into<String>>(
    of: impl IntoIterator<Item = (V, L)>,
) -> Vec<ActChoice> {
    let choice = |(value, label): (V, L)| ActChoice {
        value: value.into(),
        label: label.into(),
        is_on: false,
    };
    of.into_iter().map(choice).collect()
}

impl ActField {
    pub(crate) fn new(name: &str, label: impl Into<String>, kind: ActFieldKind) -> Self {
        Self {
            name: name.to_owned(),
            label: label.into(),
            kind,
            value: String::new(),
            help: String::new(),
            is_needed: false,
            choices: Vec::new(),
            problem: None,
            is_amount: false,
            earlier: Vec::new(),
        }
    }

    pub(crate) fn text(name: &str, label: impl Into<String>) -> Self {
        Self::new(name, label, ActFieldKind::Text)
    }

    pub(crate) fn area(name: &str, label: impl Into<String>) -> Self {
        Self::new(name, label, ActFieldKind::Area)
    }

    pub(crate) fn day(name: &str, label: impl Into<String>, day: Option<Day>) -> Self {
        Self::new(name, label, ActFieldKind::Day).with_some(day)
    }

    /// Day and time, as a browser has them.
    pub(crate) fn moment(name: &str, label: impl Into<String>, at: Moment) -> Self {
        Self::new(name, label, ActFieldKind::Moment).with(at.to_string().replacen(' ', "T", 1))
    }

    /// Remarks, which no page but those of the keeper shows.
    pub(crate) fn remarks() -> Self {
        Self::area("remarks", "Remarks").help("for you alone")
    }

    /// A remark, for the keeper alone as well.
    pub(crate) fn remark() -> Self {
        Self::area("remark", "Remark").help("for you alone")
    }

    /// A number with its unit.
    pub(crate) fn amount(name: &str, label: impl Into<String>) -> Self {
        Self {
            is_amount: true,
            ..Self::text(name, label)
        }
    }

    /// One of several, or none of them where it is not needed.
    pub(crate) fn choice(name: &str, label: impl Into<String>, choices: Vec<ActChoice>) -> Self {
        Self {
            choices,
            ..Self::new(name, label, ActFieldKind::Choice)
        }
    }

    /// Any of several.
    pub(crate) fn ticks(name: &str, label: impl Into<String>, choices: Vec<ActChoice>) -> Self {
        Self {
            choices,
            ..Self::new(name, label, ActFieldKind::Ticks)
        }
    }

    #[must_use]
    pub(crate) fn with(mut self, value: impl Into<String>) -> Self {
        self.fill(&[&value.into()]);
        self
    }

    /// With what is known of it, where something is.
    #[must_use]
    pub(crate) fn with_some(self, value: Option<impl ToString>) -> Self {
        self.with(value.map(|value| value.to_string()).unwrap_or_default())
    }

    #[must_use]
    pub(crate) fn needed(mut self) -> Self {
        self.is_needed = true;
        self
    }

    #[must_use]
    pub(crate) fn help(mut self, help: impl Into<String>) -> Self {
        self.help = help.into();
        self
    }

    #[must_use]
    pub(crate) fn earlier(mut self, earlier: Vec<String>) -> Self {
        self.earlier = earlier;
        self
    }

    fn fill(&mut self, values: &[&str]) {
        let first = values.first().copied().unwrap_or_default();
        first.clone_into(&mut self.value);
        for choice in &mut self.choices {
            choice.is_on = values.contains(&choice.value.as_str());
        }
    }
}

/// Something that keeps a form from being recorded.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub(crate) struct AskedSlip {
    /// The field it belongs to; none, where it belongs to none.
    pub(crate) field: String,
    pub(crate) message: String,
    pub(crate) hint: String,
}

impl AskedSlip {
    pub(crate) fn new(field: &str, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            field: field.to_owned(),
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// A problem of the records as they would be, at the field whose key it stands behind.
    fn of(located: &Located) -> Self {
        let problem = &located.problem;
        let path = if let At::Path(path) = &problem.place.at {
            path.as_slice()
        } else {
            &[]
        };
        let field = path.iter().rev().find_map(|step| match step {
            Step::Key(key) | Step::Name(key) => Some(key.as_str()),
            Step::Index(_) => None,
        });
        Self::new(field.unwrap_or_default(), &problem.message, &problem.hint)
    }
}

/// What keeps a form from being recorded.
#[derive(Debug, Default)]
pub(crate) struct AskedSlips(pub(crate) Vec<AskedSlip>);

impl AskedSlips {
    pub(crate) fn push(&mut self, field: &str, message: impl Into<String>, hint: &str) {
        self.0.push(AskedSlip::new(field, message, hint));
    }

    /// What was read of a field; where it could not be read, a slip says why.
    pub(crate) fn read<T>(&mut self, field: &str, read: Result<T, Unreadable>) -> Option<T> {
        read.map_err(|why| self.push(field, why.message, &why.hint))
            .ok()
    }

    /// Asks for what is missing, where nothing else is wrong.
    pub(crate) fn ask<T>(&mut self, field: &str, value: Option<&T>, ask: &str) {
        if value.is_none() && self.0.is_empty() {
            self.push(field, ask, "");
        }
    }

    /// Two fields that say something only together: a slip at the one that is missing.
    pub(crate) fn together(&mut self, both: [(&str, &Option<String>); 2], message: &str) {
        if let [(missing, None), (_, Some(_))] | [(_, Some(_)), (missing, None)] = both {
            self.push(missing, message, "");
        }
    }

    /// Whether there are none.
    pub(crate) fn none(self) -> Result<(), Self> {
        if self.0.is_empty() { Ok(()) } else { Err(self) }
    }

    pub(crate) fn one(field: &str, message: impl Into<String>, hint: &str) -> Self {
        Self(vec![AskedSlip::new(field, message, hint)])
    }
}

impl From<Refused> for AskedSlips {
    fn from(refused: Refused) -> Self {
        Self(refused.problems.iter().map(AskedSlip::of).collect())
    }
}

impl ActPage {
    /// The page as it is sent: its forms carry the token, and go to where they stand.
    #[must_use]
    pub(crate) fn finished(mut self, token: String, here: &str) -> Self {
        let sections = self.found.iter_mut().chain(&mut self.sections);
        let items = sections.flat_map(|s| &mut s.items);
        let small = items.flat_map(|item| &mut item.forms);
        for form in small.chain(&mut self.form) {
            if form.action.is_empty() {
                here.clone_into(&mut form.action);
            }
        }
        let fields = self.form.iter_mut().flat_map(|form| &mut form.groups);
        let fields = fields.flat_map(|group| &mut group.fields);
        let slips = fields.filter_map(|field| field.problem.as_mut());
        for slip in slips.chain(&mut self.problems) {
            slip.message = days_said(&slip.message);
            slip.hint = days_said(&slip.hint);
        }
        for words in &mut self.said {
            *words = days_said(words);
        }
        self.token = token;
        self
    }

    /// The page with what was sent and what is odd about it; sent once more unchanged, `meant` says
    /// that it is meant.
    pub(crate) fn asked_back(
        mut self,
        given: &ActFields,
        slips: AskedSlips,
        meant: String,
        button: &str,
    ) -> Self {
        if let Some(form) = &mut self.form {
            form.hidden.push(("meant".to_owned(), meant));
            form.buttons = vec![Button::new("save", button)];
        }
        self.again(given, slips.0)
    }

    /// The page with what was sent, and what is wrong with it.
    pub(crate) fn again(mut self, given: &ActFields, slips: Vec<AskedSlip>) -> Self {
        self.said.clear();
        self.is_refused = !slips.is_empty();
        let mut slips = slips;
        let fields = self.form.iter_mut().flat_map(|form| &mut form.groups);
        for group in fields {
            for field in &mut group.fields {
                let name = field.name.clone();
                let values: Vec<&str> = given.all(&name).collect();
                if given.is_sent {
                    field.fill(&values);
                }
                let own = slips.iter().position(|slip| slip.field == field.name);
                field.problem = own.map(|at| slips.remove(at));
                // What was typed is seen.
                let is_typed = given.is_sent && !field.value.is_empty();
                group.is_shut &= field.problem.is_none() && !is_typed;
            }
        }
        self.problems.extend(slips);
        self
    }
}

/// A file that was sent.
#[derive(Debug, Clone)]
pub(crate) struct Upload {
    /// Its name where it came from; never a path here.
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
}

/// The fields of a form, or of the address of a page.
#[derive(Debug, Clone, Default)]
pub(crate) struct ActFields {
    pub(crate) fields: Vec<(String, String)>,
    pub(crate) files: Vec<Upload>,
    /// Whether it is a form that was sent.
    pub(crate) is_sent: bool,
}

impl ActFields {
    /// All values of a name.
    pub(crate) fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        let named = self.fields.iter().filter(move |(known, _)| known == name);
        named.map(|(_, value)| value.as_str())
    }

    /// The first value of a name, when it is not blank.
    pub(crate) fn get(&self, name: &str) -> Option<&str> {
        let named = self.fields.iter().find(|(known, _)| known == name);
        named
            .map(|(_, value)| value.trim())
            .filter(|value| !value.is_empty())
    }

    /// A text, with the lines in which it was typed.
    pub(crate) fn words(&self, name: &str, slips: &mut AskedSlips) -> Option<String> {
        let text = in_lines(self.get(name)?);
        slips.read::<Text>(name, text.parse()).map(|_| text)
    }

    /// A text that must be there.
    pub(crate) fn needed(&self, name: &str, ask: &str, slips: &mut AskedSlips) -> String {
        if self.get(name).is_none() {
            slips.push(name, ask, "");
            return String::new();
        }
        self.words(name, slips).unwrap_or_default()
    }

    /// The names that are typed between commas, or ticked.
    pub(crate) fn names<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        let names = self.all(name).flat_map(|names| names.split(','));
        names.filter(|name| !name.is_empty())
    }

    /// A day that must be there.
    pub(crate) fn day(&self, name: &str, ask: &str, slips: &mut AskedSlips) -> Option<Day> {
        let day = self.value::<Day>(name, slips);
        slips.ask(name, day.as_ref(), ask);
        day
    }

    /// A value that the records can read, as it was typed.
    pub(crate) fn value<T: FromStr<Err = Unreadable>>(
        &self,
        name: &str,
        slips: &mut AskedSlips,
    ) -> Option<T> {
        slips.read(name, self.get(name)?.parse())
    }

    /// Day and time, as a browser sends them or as they are typed.
    pub(crate) fn moment(&self, name: &str, slips: &mut AskedSlips) -> Option<Moment> {
        let text = self.get(name)?.replacen('T', " ", 1);
        let at = slips.read::<Moment>(name, text.parse());
        at.map(Moment::to_the_minute)
    }
}

/// A text without blanks at the ends of its lines or twice in a row, and without empty lines around
/// it.
fn in_lines(text: &str) -> String {
    let lines: Vec<String> = text
        .lines()
        .map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "))
        .collect();
    lines.join("\n").trim_matches('\n').to_owned()
}
