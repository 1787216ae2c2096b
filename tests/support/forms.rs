//! A form of the desk, filled in and sent as a browser without script does it.
//!
//! In: pages as they are answered. Out: their fields with what stands in them, and answers to what
//! was typed.

use super::desk::{Answer, Desk, asks, get, sends};

/// A field of a form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// Its name.
    pub name: String,
    /// What stands in it; of ticked boxes, each has one.
    pub value: String,
    /// What can be chosen, where something can.
    pub choices: Vec<String>,
    /// `text`, `date`, `hidden`, `checkbox`, `select`, `textarea`.
    pub kind: String,
}

/// A form of a page.
#[derive(Debug, Clone)]
pub struct Form {
    /// Where it is sent to.
    pub action: String,
    /// Its fields.
    pub fields: Vec<Field>,
    /// Whether a script may ask, before it is sent, what is in the way.
    pub is_tried: bool,
}

fn plain(text: &str) -> String {
    let mut text = text.to_owned();
    for (entity, letter) in [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&#x27;", "'"),
        ("&#x2F;", "/"),
        ("&#x2f;", "/"),
        ("&amp;", "&"),
    ] {
        text = text.replace(entity, letter);
    }
    text
}

fn attribute(tag: &str, name: &str) -> Option<String> {
    let (_, rest) = tag.split_once(&format!(" {name}=\""))?;
    Some(plain(rest.split_once('"')?.0))
}

/// The parts of a text that stand between two marks.
fn between<'a>(text: &'a str, begin: &str, end: &str) -> Vec<&'a str> {
    let mut parts = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find(begin) {
        rest = &rest[at + begin.len()..];
        let Some(stop) = rest.find(end) else { break };
        parts.push(&rest[..stop]);
        rest = &rest[stop + end.len()..];
    }
    parts
}

/// The addresses of all links of a page.
pub fn links(page: &str) -> Vec<String> {
    between(page, "<a ", ">")
        .into_iter()
        .filter_map(|tag| attribute(&format!(" {tag}"), "href"))
        .collect()
}

impl Form {
    /// All forms of a page.
    pub fn all(page: &str) -> Vec<Self> {
        between(page, "<form ", "</form>")
            .into_iter()
            .map(Self::of)
            .collect()
    }

    /// The form in which a record is written.
    #[track_caller]
    pub fn main(page: &str) -> Self {
        let whole = between(page, "<form class=\"slip\" id=\"form\"", "</form>");
        Self::of(whole.first().unwrap_or_else(|| panic!("no form:\n{page}")))
    }

    fn of(text: &str) -> Self {
        let action = attribute(&format!(" {text}"), "action").unwrap_or_default();
        let is_tried = text
            .split_once('>')
            .is_some_and(|(tag, _)| tag.ends_with(" data-tried"));
        let mut fields = Vec::new();
        let mut rest = text;
        while let Some(at) = rest.find(['<']) {
            rest = &rest[at..];
            let end = rest.find('>').unwrap();
            let tag = &rest[..end];
            let name = attribute(tag, "name").unwrap_or_default();
            let mut field = Field {
                name,
                value: attribute(tag, "value").unwrap_or_default(),
                choices: Vec::new(),
                kind: attribute(tag, "type").unwrap_or_else(|| "text".to_owned()),
            };
            if tag.starts_with("<input") {
                if field.kind != "checkbox" {
                    fields.push(field);
                } else {
                    let ticked = tag.ends_with(" checked");
                    field.choices = vec![field.value.clone()];
                    if !ticked {
                        field.value.clear();
                    }
                    fields.push(field);
                }
            } else if tag.starts_with("<select") {
                let inner = rest[end..].split_once("</select>").unwrap_or_default().0;
                field.kind = "select".to_owned();
                field.value.clear();
                for option in between(inner, "<option", ">") {
                    let value = attribute(option, "value").unwrap_or_default();
                    if option.ends_with(" selected") {
                        field.value.clone_from(&value);
                    }
                    field.choices.push(value);
                }
                fields.push(field);
            } else if tag.starts_with("<textarea") {
                let inner = rest[end + 1..].split_once("</textarea>").unwrap().0;
                field.kind = "textarea".to_owned();
                field.value = plain(inner.strip_prefix('\n').unwrap_or(inner));
                fields.push(field);
            }
            rest = &rest[end..];
        }
        Self {
            action,
            fields,
            is_tried,
        }
    }

    /// The fields of the record.
    pub fn own(&self) -> impl Iterator<Item = &Field> {
        self.fields
            .iter()
            .filter(|field| field.name.starts_with("f."))
    }

    /// What stands in a field.
    #[track_caller]
    pub fn value(&self, name: &str) -> String {
        let named: Vec<&str> = self
            .fields
            .iter()
            .filter(|field| field.name == name)
            .map(|field| field.value.as_str())
            .filter(|value| !value.is_empty())
            .collect();
        named.join("\n")
    }

    /// The same with something else in a field.
    #[must_use]
    pub fn with(mut self, name: &str, value: &str) -> Self {
        for field in self.fields.iter_mut().filter(|field| field.name == name) {
            if field.kind == "checkbox" {
                let ticked = value.lines().any(|line| field.choices[0] == line);
                field.value = if ticked {
                    field.choices[0].clone()
                } else {
                    String::new()
                };
            } else {
                value.clone_into(&mut field.value);
            }
        }
        self
    }

    /// The same with a field more.
    #[must_use]
    pub fn and(mut self, name: &str, value: &str) -> Self {
        self.fields.push(Field {
            name: name.to_owned(),
            value: value.to_owned(),
            choices: Vec::new(),
            kind: "hidden".to_owned(),
        });
        self
    }

    /// Sends it with a button.
    pub fn send(&self, desk: &Desk, act: &str) -> Answer {
        let mut pairs: Vec<(&str, &str)> = self
            .fields
            .iter()
            .filter(|field| field.kind != "checkbox" || !field.value.is_empty())
            .map(|field| (field.name.as_str(), field.value.as_str()))
            .collect();
        if !act.is_empty() {
            pairs.push(("act", act));
        }
        post(desk.book, &self.action, &pairs)
    }
}

/// Letters as they are sent in a form.
fn encoded(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'.' | b'-' | b'_' => {
                char::from(byte).to_string()
            }
            byte => format!("%{byte:02X}"),
        })
        .collect()
}

/// Sends fields as a page of the desk does.
pub fn post(port: u16, path: &str, pairs: &[(&str, &str)]) -> Answer {
    let body: Vec<String> = pairs
        .iter()
        .map(|(name, value)| format!("{}={}", encoded(name), encoded(value)))
        .collect();
    post_from(
        port,
        &format!("http://127.0.0.1:{port}"),
        path,
        &body.join("&"),
    )
}

/// Sends bytes as a page of this origin does.
pub fn post_from(port: u16, origin: &str, path: &str, body: &str) -> Answer {
    asks(
        port,
        &format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: {origin}\r\nContent-Type: \
             application/x-www-form-urlencoded\r\nContent-Length: {}\r\nConnection: \
             close\r\n\r\n{body}",
            body.len()
        ),
    )
}

/// Takes a change back; the answer to it.
pub fn undo(desk: &Desk, number: &str) -> Answer {
    let token = Form::all(&desk.book("/-desk/history").text())
        .first()
        .map(|form| form.value("token"))
        .unwrap_or_default();
    post(
        desk.book,
        "/-desk/undo",
        &[("token", &token), ("number", number)],
    )
}

/// The form at an address.
#[track_caller]
pub fn form(desk: &Desk, path: &str) -> Form {
    let answer = get(desk.book, path);
    assert_eq!(answer.status, 200, "{path}: {}", answer.text());
    Form::main(&answer.text())
}

/// The number of the change that an answer tells of.
#[track_caller]
pub fn number(answer: &Answer) -> String {
    assert_eq!(answer.status, 303, "{}", answer.text());
    let to = answer.header("location").unwrap();
    to.split_once("saved=").unwrap().1.to_owned()
}

/// Sends fields and a file, as a browser sends a form that may have files in it.
pub fn upload(
    port: u16,
    path: &str,
    fields: &[(&str, &str)],
    (field, name, bytes): (&str, &str, &[u8]),
) -> Answer {
    let mark = "----a-mark-that-no-file-holds";
    let mut body = Vec::new();
    for (name, value) in fields {
        let head = format!("--{mark}\r\nContent-Disposition: form-data; name=\"{name}\"");
        body.extend_from_slice(format!("{head}\r\n\r\n{value}\r\n").as_bytes());
    }
    let head = format!(
        "--{mark}\r\nContent-Disposition: form-data; name=\"{field}\"; \
         filename=\"{name}\"\r\nContent-Type: application/octet-stream\r\n\r\n"
    );
    body.extend_from_slice(head.as_bytes());
    body.extend_from_slice(bytes);
    body.extend_from_slice(format!("\r\n--{mark}--\r\n").as_bytes());
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: \
         http://127.0.0.1:{port}\r\nContent-Type: multipart/form-data; \
         boundary={mark}\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
        body.len()
    );
    sends(port, &head, &body)
}
