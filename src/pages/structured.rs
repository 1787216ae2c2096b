//! What search engines are told, in the words of schema.org.
//!
//! In: frame and page names. Out: JSON-LD that can stand inside a `<script>` element: `<`, `>` and
//! `&` are written as escapes.

use super::links::absolute;
use crate::audience::visitor::Frame;
use serde_json::{Value, json};

/// A page: its organisation, its place below the first page, and its picture.
pub(super) fn page(
    frame: &Frame,
    path: &str,
    title: &str,
    description: &str,
    image: Option<&str>,
) -> String {
    let url = |path: &str| absolute(frame.site.as_deref(), path);
    let publisher = json!({
        "@type": "Organization",
        "name": frame.kennel,
        "description": frame.summary,
        "email": frame.email,
        "telephone": frame.phone,
        "url": url("index.html"),
        "address": {
            "@type": "PostalAddress",
            "addressLocality": frame.town,
            "addressCountry": frame.country,
        },
    });
    let mut steps = vec![json!({
        "@type": "ListItem", "position": 1, "name": frame.kennel, "item": url("index.html"),
    })];
    if path != "index.html" {
        steps.push(json!({ "@type": "ListItem", "position": 2, "name": title, "item": url(path) }));
    }
    let page = json!({
        "@context": "https://schema.org",
        "@type": "WebPage",
        "name": title,
        "description": description,
        "url": url(path),
        "image": image,
        "inLanguage": "en", "dateModified": frame.today.iso, "publisher": publisher,
        "breadcrumb": { "@type": "BreadcrumbList", "itemListElement": steps },
    });
    without_nulls(page)
        .to_string()
        .replace('<', "\\u003c")
        .replace('>', "\\u003e")
        .replace('&', "\\u0026")
}

fn without_nulls(value: Value) -> Value {
    match value {
        Value::Object(map) => Value::Object(
            map.into_iter()
                .filter(|(_, v)| !v.is_null())
                .map(|(k, v)| (k, without_nulls(v)))
                .collect(),
        ),
        Value::Array(list) => Value::Array(list.into_iter().map(without_nulls).collect()),
        other => other,
    }
}
