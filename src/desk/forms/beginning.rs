//! New dogs, litters, notes and pages: a form without a record, and the file that it becomes.

use super::FormQuery;
use super::names::{litters, said};
use super::saving::{NotSaved, texts};
use super::shape::{self, Form, Kind, in_words};
use super::showing::{FormPage, KEPT, Link};
use super::spot::{Spot, record_of};
use super::values::{Texts, value};
use super::view::{Filling, FormItem, Told, at_fields};
use crate::app::adding::asked as asked_by;
use crate::app::recording::{Mode, Refused, Stop, Work, record};
use crate::posted::Fields;
use crate::quantity::Id;
use crate::records::changing::written::Written;
use crate::records::changing::{BELOW, Change};
use crate::records::problem::key_path;
use crate::records::source::Sources;
use crate::{Desk, page};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde_yaml::Mapping;

/// The field for the name of the file.
const NAME: &str = "file";

/// Something new: its record type, where its file stands, and what it is called.
struct New {
    record: &'static str,
    litter: Option<String>,
    title: String,
    form: Form,
}

impl New {
    /// What is asked for in an address.
    fn of(desk: &Desk, kind: &str, asked: &FormQuery) -> Option<Self> {
        let record = ["dog", "litter", "note", "page"]
            .into_iter()
            .find(|known| *known == kind)?;
        let content = desk.content();
        let litter = match record {
            "note" => {
                let known = litters(&content).into_iter();
                let (id, _) = known.into_iter().find(|(id, _)| *id == asked.litter)?;
                Some(id)
            }
            _ => None,
        };
        let Some(Kind::Block(form)) = shape::of(record) else {
            return None;
        };
        Some(Self {
            record,
            litter,
            title: format!("New {record}"),
            form,
        })
    }

    fn file(&self, name: &str) -> String {
        match (self.record, &self.litter) {
            ("dog", _) => format!("dogs/{name}.yaml"),
            ("litter", _) => format!("litters/{name}/litter.yaml"),
            ("note", Some(litter)) => format!("litters/{litter}/notes/{name}.md"),
            _ => format!("pages/{name}.md"),
        }
    }

    /// A name for the file that is free, made from what it is called.
    fn name(&self, desk: &Desk, typed: &str, texts: &Texts) -> String {
        if !typed.is_empty() {
            return typed.to_owned();
        }
        let called = ["call_name", "title", "name"]
            .iter()
            .find_map(|key| texts.get(*key));
        let base = plain_name(called.map_or("", String::as_str), self.record);
        let is_free = |name: &String| !desk.content().join(self.file(name)).exists();
        let others = (2..1_000).map(|n| format!("{base}-{n}"));
        let mut all = std::iter::once(base.clone()).chain(others);
        all.find(is_free).unwrap_or(base)
    }

    fn view(
        &self,
        desk: &Desk,
        asked: &FormQuery,
        name: &str,
        sent: &Texts,
        problems: &Refused,
        words: Vec<Told>,
    ) -> FormPage {
        let content = desk.content();
        let spot = Spot {
            file: self.file("new"),
            record: self.record,
            is_there: false,
            whole: Written::Nothing,
            path: Vec::new(),
            kind: Kind::Block(self.form.clone()),
        };
        let (at_fields, others) = at_fields(
            &problems.problems,
            &problems.sources,
            &self.file(name),
            &[],
            &self.form,
        );
        let mut items = Filling {
            content: &content,
            spot: &spot,
            texts: sent,
            twice: &Texts::new(),
            problems: &at_fields,
            lists: false,
        }
        .items(&self.form);
        items.push(FormItem {
            what: "line",
            name: NAME.to_owned(),
            label: "Short name".to_owned(),
            help: "How the records and addresses call it: small letters, digits, hyphens. Made \
                   from its name when this is left empty."
                .to_owned(),
            value: name.to_owned(),
            ..FormItem::default()
        });
        let is_refused = !words.is_empty() || !problems.problems.is_empty();
        let litter = self.litter.as_deref();
        FormPage {
            title: self.title.clone(),
            above: vec![match litter {
                Some(litter) => Link {
                    place: format!("/-desk/records?litter={litter}"),
                    words: said(&content, &format!("litters/{litter}/litter.yaml"), "name")
                        .unwrap_or_else(|| litter.to_owned()),
                },
                None => Link {
                    place: "/-desk/records".to_owned(),
                    words: "Records".to_owned(),
                },
            }],
            action: format!(
                "/-desk/new/{}?litter={}",
                self.record,
                litter.unwrap_or_default()
            ),
            token: desk.gate.token(),
            items,
            problems: words.into_iter().chain(others).collect(),
            refused: if is_refused { KEPT } else { "" },
            is_new: true,
            has_fields: true,
            saved: asked.saved,
            ..FormPage::default()
        }
    }
}

/// A name for a file from what something is called; from what it is, where that cannot be spelt.
fn plain_name(called: &str, otherwise: &str) -> String {
    Id::made_of(called)
        .filter(|name| name.parse::<Id>().is_ok())
        .unwrap_or_else(|| otherwise.to_owned())
}

fn nothing_wrong() -> Refused {
    Refused {
        problems: Vec::new(),
        sources: Sources::default(),
    }
}

/// The form.
pub(super) fn page(desk: &Desk, kind: &str, asked: &FormQuery) -> Response {
    let Some(new) = New::of(desk, kind, asked) else {
        return page::lost();
    };
    let view = new.view(desk, asked, "", &Texts::new(), &nothing_wrong(), Vec::new());
    page::render(StatusCode::OK, "form.html", &view)
}

/// The answer to it.
pub(super) fn answer(
    desk: &Desk,
    kind: &str,
    asked: &FormQuery,
    (sent, mode): (&Fields, Mode),
) -> Response {
    let Some(new) = New::of(desk, kind, asked) else {
        return page::lost();
    };
    let all = texts(&new.form, sent, &Texts::new());
    let typed = sent.get("f.file").unwrap_or_default().trim();
    let again = |name: &str, problems: &Refused, words: Vec<Told>| {
        let view = new.view(desk, asked, name, &all, problems, words);
        page::render(StatusCode::UNPROCESSABLE_ENTITY, "form.html", &view)
    };
    let say = |message: &str, hint: &str| {
        let said = Told {
            message: message.to_owned(),
            hint: hint.to_owned(),
            place: None,
        };
        again(typed, &nothing_wrong(), vec![said])
    };
    let known = || {
        let hint = "choose another short name";
        say("there is one of this short name", hint)
    };
    let name = new.name(desk, typed, &all);
    let file = new.file(&name);
    if record_of(&file).is_none() {
        let hint = "use small letters, digits and hyphens, such as juno or spring-2026";
        return say("this short name cannot be used", hint);
    }
    if desk.content().join(&file).exists() {
        return known();
    }
    match made(desk, &new, (&file, mode), &all) {
        Ok(Ok(_)) if mode == Mode::Try => page::nothing_wrong(),
        Ok(Ok(number)) => {
            let place = format!("/-desk/form/{file}?saved={}", number.unwrap_or(0));
            Redirect::to(&place).into_response()
        }
        Ok(Err(NotSaved::Problems(problems))) => again(typed, &problems, Vec::new()),
        Ok(Err(NotSaved::Twice(_) | NotSaved::Gone)) => known(),
        Err(error) => page::plain(
            StatusCode::CONFLICT,
            "Nothing was saved",
            &format!("{error}. Go back, and what you typed is still there."),
        ),
    }
}

fn made(
    desk: &Desk,
    new: &New,
    (file, mode): (&str, Mode),
    all: &Texts,
) -> Result<Result<Option<u64>, NotSaved>, crate::Error> {
    let folder = desk.folder()?;
    let called = ["call_name", "name", "title"]
        .iter()
        .find_map(|key| all.get(*key));
    let what = format!("{}: {}", new.title, called.unwrap_or(&in_words(file)));
    let done = record(&folder, &asked_by("desk", &what), mode, |standing| {
        if standing.text::<NotSaved>(file)?.is_some() {
            return Err(Stop::Refused(NotSaved::Gone));
        }
        let mut head = all.clone();
        let text = head.remove(BELOW);
        let kind = Kind::Block(new.form.clone());
        let whole = value(&kind, &head).unwrap_or_else(|| Mapping::new().into());
        let mut changes = vec![Change::set(Vec::new(), whole)];
        if let Some(text) = text.filter(|text| !text.is_empty()) {
            changes.push(Change::set(key_path![BELOW], format!("{text}\n")));
        }
        Ok(vec![(file.to_owned(), Work::Changed(changes))])
    })?;
    Ok(done.map(|done| done.number))
}

#[cfg(test)]
mod tests {
    use super::plain_name;

    #[test]
    fn names_of_files_are_made_from_what_things_are_called() {
        for (called, name) in [
            ("Juno", "juno"),
            ("Spring 2026", "spring-2026"),
            (
                "Tarnside's Élan, of the Fell!",
                "tarnside-s-elan-of-the-fell",
            ),
            ("נועה", "nwah"),
            ("???", "dog"),
            ("", "dog"),
        ] {
            assert_eq!(plain_name(called, "dog"), name);
        }
    }
}
