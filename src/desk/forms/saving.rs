//! What was sent becomes a change of the records; or it stands in its fields again, with what is
//! wrong or what somebody else wrote meanwhile beside it.

use super::FormQuery;
use super::shape::{Form, Kind};
use super::showing::{self, Unsaved, not_shown, of, weighed};
use super::spot::{self, Spot, fields, of_text};
use super::values::{Merged, Sent, Texts, below, plain, value};
use super::view::{Told, address, mark};
use crate::app::adding::asked as asked_by;
use crate::app::folder::Folder;
use crate::app::recording::{FileChange, Mode, Refused, Standing, Stop, Work, record};
use crate::app::renaming::{self, NameBarred};
use crate::posted::Fields;
use crate::quantity::Id;
use crate::records::changing::naming::Named;
use crate::records::changing::written::Written;
use crate::records::changing::{BELOW, Change, changed, typed};
use crate::records::problem::{Place, Problem, Step, key_path};
use crate::{Desk, page};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde_yaml::Value;
use std::collections::BTreeSet;

/// Keys that tell an entry from the others.
const TELLING: [&str; 9] = [
    "id", "at", "on", "name", "litter", "file", "since", "start", "test",
];

/// Why nothing was saved.
pub(super) enum NotSaved {
    Problems(Refused),
    Twice(Texts),
    Gone,
}

impl From<Refused> for NotSaved {
    fn from(refused: Refused) -> Self {
        Self::Problems(refused)
    }
}

/// What a button of a form asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum FormButton {
    Save,
    Add,
    TakeOut,
    Up,
    Down,
    /// The whole file goes.
    Go,
}

/// The answer to a form.
pub(super) fn answer(
    desk: &Desk,
    file: &str,
    asked: &FormQuery,
    (fields, mode): (&Fields, Mode),
) -> Response {
    let spot = match Spot::find(&desk.content(), file, &asked.at) {
        Ok(spot) => spot,
        Err(lost) => return not_shown(file, &lost),
    };
    let act = match fields.get("act") {
        None | Some("save") if asked.add.is_some() => FormButton::Add,
        None | Some("save") => FormButton::Save,
        Some("take-out") => FormButton::TakeOut,
        Some("up") => FormButton::Up,
        Some("down") => FormButton::Down,
        Some("go") if spot.path.is_empty() => FormButton::Go,
        Some(_) => return page::lost(),
    };
    let Some(mut sent) = Posted::of(desk, &spot, act, fields) else {
        return page::lost();
    };
    match sent.record(desk, &spot, mode) {
        Ok(Ok(_)) if mode == Mode::Try => page::nothing_wrong(),
        Ok(Ok(number)) => {
            let number = number.unwrap_or(0);
            Redirect::to(&sent.next(desk, &spot, number)).into_response()
        }
        Ok(Err(why)) => sent.again(desk, &spot, asked, why),
        Err(error) => page::plain(
            StatusCode::CONFLICT,
            "Nothing was saved",
            &format!("{error}. Go back, and what you typed is still there."),
        ),
    }
}

/// A form that was sent.
struct Posted {
    act: FormButton,
    /// The fields, where there are any.
    form: Option<Form>,
    kind: Kind,
    was: Texts,
    new: Texts,
    theirs: BTreeSet<String>,
    mark: String,
    /// Where it is made, once that is known.
    path: Vec<Step>,
}

impl Posted {
    fn of(desk: &Desk, spot: &Spot, act: FormButton, sent: &Fields) -> Option<Self> {
        let kind = match (&spot.kind, act) {
            (Kind::List(entry), FormButton::Add) => entry.as_ref().clone(),
            (_, FormButton::Add) => return None,
            (kind, _) => kind.clone(),
        };
        let nothing = Written::Nothing;
        let here = if act == FormButton::Add {
            &nothing
        } else {
            spot.here()
        };
        let form = fields(&kind, here, &weighed(&desk.content(), spot));
        let was: Texts = match sent.get("was") {
            Some(was) => serde_json::from_str(was).ok()?,
            None => Texts::new(),
        };
        let new = form
            .as_ref()
            .map(|form| texts(form, sent, &was))
            .unwrap_or_default();
        Some(Self {
            act,
            kind: match &form {
                Some(form) if matches!(kind, Kind::Block(_)) => Kind::Block(form.clone()),
                _ => kind,
            },
            form,
            was,
            new,
            theirs: sent.all("theirs").map(str::to_owned).collect(),
            mark: sent.get("mark").unwrap_or_default().to_owned(),
            path: spot.path.clone(),
        })
    }

    /// Makes the change; its number, or why nothing was changed.
    fn record(
        &mut self,
        desk: &Desk,
        spot: &Spot,
        mode: Mode,
    ) -> Result<Result<Option<u64>, NotSaved>, crate::Error> {
        let folder = desk.folder()?;
        let what = self.words(desk, spot);
        let asked = asked_by("desk", &what);
        let done = record(&folder, &asked, mode, |standing| {
            if self.act == FormButton::Go {
                return Ok(vec![(spot.file.clone(), Work::Gone)]);
            }
            let changes = self.changes(spot, standing)?;
            if changes.is_empty() {
                return Ok(Vec::new());
            }
            match another_name(spot, &self.path, standing, &changes)? {
                Some((named, to, others)) => {
                    renamed(&folder, spot, standing, (&named, &to), &others)
                }
                None => Ok(vec![(spot.file.clone(), Work::Changed(changes))]),
            }
        })?;
        Ok(done.map(|done| done.number))
    }

    /// In words, for the history.
    fn words(&self, desk: &Desk, spot: &Spot) -> String {
        let record = showing::record_title(&desk.content(), &spot.file, spot.record, &spot.whole);
        let place = if spot.path.is_empty() {
            record
        } else {
            format!("{record}, {}", typed::shown(&spot.path).replace('.', " "))
        };
        let what = match self.act {
            FormButton::Save => {
                let touched: Vec<String> = self
                    .new
                    .iter()
                    .filter(|(name, text)| self.was.get(*name).map_or("", String::as_str) != *text)
                    .map(|(name, _)| name.replace(['.', '_'], " "))
                    .take(6)
                    .collect();
                touched.join(", ")
            }
            FormButton::Add => "one more".to_owned(),
            FormButton::TakeOut => "taken out".to_owned(),
            FormButton::Up | FormButton::Down => "moved".to_owned(),
            FormButton::Go => "taken out whole".to_owned(),
        };
        format!("{place}: {what}")
    }

    fn changes(
        &mut self,
        spot: &Spot,
        standing: &mut Standing<'_, '_>,
    ) -> Result<Vec<Change>, Stop<NotSaved>> {
        let text = standing.base(&spot.file)?;
        let whole = of_text(&spot.file, &text).map_err(|problems| {
            Stop::Refused(NotSaved::from(Refused::of(&spot.file, &text, problems)))
        })?;
        let path = self
            .place(spot, &text, &whole)
            .ok_or(Stop::Refused(NotSaved::Gone))?;
        let here = whole.at(&path).unwrap_or(&Written::Nothing);
        let position = match path.last() {
            Some(Step::Index(index)) => Some(*index),
            _ => None,
        };
        self.path.clone_from(&path);
        Ok(match self.act {
            FormButton::Save => {
                let Some(form) = &self.form else {
                    return Ok(Vec::new());
                };
                let sent = Sent {
                    was: &self.was,
                    new: &self.new,
                    theirs: &self.theirs,
                };
                let Merged { changes, twice } = sent.merged(form, &path, here);
                if !twice.is_empty() {
                    return Err(Stop::Refused(NotSaved::Twice(twice)));
                }
                changes
                    .into_iter()
                    .map(|change| of_note(&whole, change))
                    .collect()
            }
            FormButton::Add => {
                let Some(value) = value(&self.kind, &self.new) else {
                    return Ok(Vec::new());
                };
                let count = match here {
                    Written::List(items) => items.len(),
                    _ => 0,
                };
                self.path.push(Step::Index(count));
                vec![Change::add(path, value)]
            }
            FormButton::TakeOut if position.is_some() => vec![Change::take_out(path)],
            FormButton::Up => match position {
                Some(index @ 1..) => vec![Change::Move {
                    path,
                    to: index - 1,
                }],
                _ => Vec::new(),
            },
            FormButton::Down => {
                let list = whole.at(&path[..path.len().saturating_sub(1)]);
                match (position, list) {
                    (Some(index), Some(Written::List(items))) if index + 1 < items.len() => {
                        vec![Change::Move {
                            path,
                            to: index + 1,
                        }]
                    }
                    _ => Vec::new(),
                }
            }
            FormButton::TakeOut | FormButton::Go => Vec::new(),
        })
    }

    /// Where the entry stands now that was shown; nothing when it is gone.
    fn place(&self, spot: &Spot, text: &str, whole: &Written) -> Option<Vec<Step>> {
        let Some((Step::Index(index), above)) = spot.path.split_last() else {
            return Some(spot.path.clone());
        };
        let above = if above.is_empty() {
            Vec::new()
        } else {
            typed::path(&spot.file, text, &address(&spot.whole, above)).ok()?
        };
        let Some(Written::List(items)) = whole.at(&above) else {
            return None;
        };
        let at = |index: usize| {
            let steps = above.iter().cloned().chain([Step::Index(index)]);
            Some(steps.collect::<Vec<_>>())
        };
        let is_same = |entry: &Written| mark(entry) == self.mark;
        let tells = TELLING
            .iter()
            .find_map(|key| Some((*key, self.was.get(*key)?)));
        let is_it = |entry: &Written| {
            tells.is_some_and(|(key, told)| {
                let text = entry.get(key).and_then(Written::text);
                text.is_some_and(|text| plain(text) == *told)
            })
        };
        for fits in [&is_same as &dyn Fn(&Written) -> bool, &is_it] {
            if items.get(*index).is_some_and(fits) {
                return at(*index);
            }
            let mut found = items.iter().enumerate().filter(|(_, entry)| fits(entry));
            if let (Some((one, _)), None) = (found.next(), found.next()) {
                return at(one);
            }
        }
        None
    }

    /// The page that comes next.
    fn next(&self, desk: &Desk, spot: &Spot, number: u64) -> String {
        let content = desk.content();
        if self.act == FormButton::Go {
            return match spot.litter() {
                Some(litter) => format!("/-desk/records?litter={litter}&saved={number}"),
                None => format!("/-desk/records?saved={number}"),
            };
        }
        // A list stands on the page of what it belongs to.
        let mut path = self.path.clone();
        if matches!(
            self.act,
            FormButton::TakeOut | FormButton::Up | FormButton::Down
        ) {
            path.pop();
        }
        let whole = spot::read(&spot.file, spot::bytes(&content, &spot.file).as_deref());
        let at = whole
            .map(|whole| address(&whole, &path))
            .unwrap_or_default();
        format!("/-desk/form/{}?at={at}&saved={number}", spot.file)
    }

    /// The same form, with what was typed and why it was not saved.
    fn again(&self, desk: &Desk, spot: &Spot, asked: &FormQuery, why: NotSaved) -> Response {
        // A button that sends no fields leaves them as they stand.
        let has_fields = matches!(self.act, FormButton::Save | FormButton::Add);
        let mut unsaved = Unsaved {
            was: self.was.clone(),
            new: has_fields.then(|| self.new.clone()),
            mark: self.mark.clone(),
            path: self.path.clone(),
            ..Unsaved::default()
        };
        match why {
            NotSaved::Problems(Refused { problems, sources }) => {
                unsaved.problems = problems;
                unsaved.sources = sources;
            }
            NotSaved::Twice(twice) => {
                // Whoever sends it again has seen what stands there.
                unsaved.was.extend(twice.clone());
                unsaved.twice = twice;
            }
            NotSaved::Gone => unsaved.words.push(Told {
                message: "this entry was taken out meanwhile, or changed in all that tells it \
                          from the others"
                    .to_owned(),
                hint: "look at the list; what you typed stands here".to_owned(),
                place: None,
            }),
        }
        let spot_now = Spot::find(&desk.content(), &spot.file, &asked.at);
        let spot = spot_now.as_ref().unwrap_or(spot);
        // A list of entries has no fields of its own: its problems stand above it.
        match of(desk, spot, asked, Some(&unsaved)) {
            Some(view) => page::render(StatusCode::UNPROCESSABLE_ENTITY, "form.html", &view),
            None => page::lost(),
        }
    }
}

/// Who gets another short name, that name, and what else is to change.
type AnotherName = (Named, Id, Vec<Change>);

/// The new short name of a puppy or family, where the changes give one, and the other changes. What
/// has no name yet, or gets one that is none, is changed as any other field.
fn another_name(
    spot: &Spot,
    path: &[Step],
    standing: &mut Standing<'_, '_>,
    changes: &[Change],
) -> Result<Option<AnotherName>, Stop<NotSaved>> {
    let list = match (spot.record, path) {
        ("litter", [Step::Key(list), Step::Index(_)]) if list == "puppies" => "puppies",
        ("owners", [Step::Key(list), Step::Index(_)]) if list == "families" => "families",
        _ => return Ok(None),
    };
    let own: Vec<Step> = path.iter().cloned().chain([Step::from("id")]).collect();
    let (name, others): (Vec<&Change>, Vec<&Change>) =
        changes.iter().partition(|change| change.path() == own);
    let [Change::Set { value, .. }] = name[..] else {
        return Ok(None);
    };
    let text = standing.base::<NotSaved>(&spot.file)?;
    let whole = of_text(&spot.file, &text).ok();
    let before = whole
        .as_ref()
        .and_then(|whole| whole.at(&own)?.text()?.parse::<Id>().ok());
    let to = value.as_str().and_then(|name| name.parse::<Id>().ok());
    let (Some(before), Some(to)) = (before, to) else {
        return Ok(None);
    };
    let litter = spot.litter().and_then(|litter| litter.parse::<Id>().ok());
    let named = match (list, litter) {
        ("puppies", Some(litter)) => Named::Puppy(litter, before),
        ("families", _) => Named::Family(before),
        _ => return Ok(None),
    };
    let records = standing.now.records.as_ref();
    let is_known = records.is_some_and(|records| renaming::is_known(records, &named));
    Ok(is_known.then(|| (named, to, others.into_iter().cloned().collect())))
}

/// A puppy or family under another name, with all that names it, and what else was asked for.
fn renamed(
    folder: &Folder,
    spot: &Spot,
    standing: &mut Standing<'_, '_>,
    (named, to): (&Named, &Id),
    others: &[Change],
) -> Result<Vec<FileChange>, Stop<NotSaved>> {
    let refused = |text: &str, problems| {
        Stop::Refused(NotSaved::from(Refused::of(&spot.file, text, problems)))
    };
    if let Some(records) = standing.now.records.as_ref() {
        let barred = renaming::in_the_way(folder, records, named, to).map_err(Stop::Error)?;
        if let Some(NameBarred { message, hint }) = barred {
            let text = standing.base::<NotSaved>(&spot.file)?;
            let at = spot.path.iter().cloned().chain([Step::from("id")]);
            let place = Place::path(&spot.file, at.collect());
            return Err(refused(
                &text,
                vec![Problem::error("name-barred", place, message, hint)],
            ));
        }
    }
    let mut plan = renaming::plan(standing, folder, named, to)?;
    if let Some(text) = plan.texts.get_mut(&spot.file)
        && !others.is_empty()
    {
        let then = changed(&spot.file, text, others);
        *text = then.map_err(|problems| refused(text, problems))?;
    }
    Ok(renaming::work(plan))
}

/// What stands below a head keeps the lines between; it can be empty, and not be missing.
fn of_note(whole: &Written, change: Change) -> Change {
    if change.path() != [Step::from(BELOW)] || !matches!(whole.get(BELOW), Some(Written::Text(_))) {
        return change;
    }
    let before = whole.get(BELOW).and_then(Written::text).unwrap_or_default();
    let between: String = before.chars().take_while(|c| *c == '\n').collect();
    let text = match &change {
        Change::Set {
            value: Value::String(text),
            ..
        } => format!("{between}{text}\n"),
        _ => String::new(),
    };
    Change::set(key_path![BELOW], text)
}

/// The texts of all fields that were sent.
pub(super) fn texts(form: &Form, sent: &Fields, was: &Texts) -> Texts {
    let mut texts = Texts::new();
    collect(form, "", sent, was, &mut texts);
    texts
}

fn collect(form: &Form, prefix: &str, sent: &Fields, was: &Texts, texts: &mut Texts) {
    for field in &form.fields {
        let name = below(prefix, &field.key);
        let input = format!("f.{name}");
        match &field.kind {
            Kind::Block(inner) => collect(inner, &name, sent, was, texts),
            Kind::List(_) | Kind::TextOr(_) => {}
            Kind::Several { of: Some(_), .. } => {
                // A box that is not ticked sends nothing.
                if !sent.all("here").any(|here| here == name) {
                    continue;
                }
                let chosen: Vec<String> = sent.all(&input).map(plain).collect();
                let before = was.get(&name).map_or("", String::as_str);
                let as_before = before.lines().count() == chosen.len()
                    && before
                        .lines()
                        .all(|line| chosen.iter().any(|one| one == line));
                let text = if as_before {
                    before.to_owned()
                } else {
                    chosen.join("\n")
                };
                texts.insert(name, text);
            }
            _ => {
                if let Some(text) = sent.get(&input) {
                    texts.insert(name, plain(text));
                }
            }
        }
    }
}
