//! The tags of an HTML, SVG or XML text, as a browser would see them.
//!
//! In: a text. Out: each start tag with its attributes. Comments are passed over, and so is what
//! stands in `script` and `style`, up to the end tag that ends it for a browser too.

/// A start tag.
#[derive(Debug, PartialEq, Eq)]
pub struct Tag {
    /// Name, in small letters.
    pub name: String,
    /// Attributes: name in small letters, and value as written.
    pub attributes: Vec<(String, String)>,
    /// What stands in a `script` or `style`.
    pub raw: String,
}

/// All start tags of a text, in order.
pub fn tags(text: &str) -> Vec<Tag> {
    let mut tags = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        rest = &rest[at..];
        if let Some(comment) = rest.strip_prefix("<!--") {
            rest = comment.split_once("-->").map_or("", |(_, after)| after);
        } else if rest[1..].starts_with(|c: char| c.is_ascii_alphabetic()) {
            let (tag, after) = start_tag(&rest[1..]);
            rest = after;
            tags.push(tag);
            if let Some(tag) = tags
                .last_mut()
                .filter(|tag| matches!(tag.name.as_str(), "script" | "style"))
            {
                let end = format!("</{}", tag.name);
                let length = rest.to_ascii_lowercase().find(&end).unwrap_or(rest.len());
                rest[..length].clone_into(&mut tag.raw);
                rest = &rest[length..];
            }
        } else {
            rest = &rest[1..];
        }
    }
    tags
}

fn start_tag(text: &str) -> (Tag, &str) {
    let is_end = |c: char| c.is_ascii_whitespace() || matches!(c, '>' | '/');
    let (name, mut rest) = text.split_at(text.find(is_end).unwrap_or(text.len()));
    let mut tag = Tag {
        name: name.to_ascii_lowercase(),
        attributes: Vec::new(),
        raw: String::new(),
    };
    loop {
        rest = rest.trim_start_matches(|c: char| c.is_ascii_whitespace() || c == '/');
        if let Some(after) = rest.strip_prefix('>') {
            return (tag, after);
        }
        if rest.is_empty() {
            return (tag, rest);
        }
        let (name, after) = rest.split_at(
            rest.char_indices()
                .skip(1)
                .find(|(_, c)| is_end(*c) || *c == '=')
                .map_or(rest.len(), |(i, _)| i),
        );
        let (value, after) = match after.trim_start().strip_prefix('=').map(str::trim_start) {
            None => ("", after),
            Some(value) => match value.chars().next().filter(|c| matches!(c, '"' | '\'')) {
                Some(quote) => value[1..].split_once(quote).unwrap_or((&value[1..], "")),
                None => value.split_at(
                    value
                        .find(|c: char| c.is_ascii_whitespace() || c == '>')
                        .unwrap_or(value.len()),
                ),
            },
        };
        tag.attributes
            .push((name.to_ascii_lowercase(), value.to_owned()));
        rest = after;
    }
}

#[test]
fn a_broken_out_attribute_is_seen() {
    let seen = tags(
        "<p title=\"a\" onclick=\"b\">x</p><!-- <i onload=y> --><script>\"<b \
         onerror=z>\"</script><img src=x onerror=alert(1)>",
    );
    let names: Vec<&str> = seen.iter().map(|tag| tag.name.as_str()).collect();
    assert_eq!(names, ["p", "script", "img"]);
    let attribute = |name: &str, value: &str| (name.to_owned(), value.to_owned());
    assert_eq!(
        seen[0].attributes,
        [attribute("title", "a"), attribute("onclick", "b")]
    );
    assert_eq!(seen[1].raw, "\"<b onerror=z>\"");
    assert_eq!(
        seen[2].attributes,
        [attribute("src", "x"), attribute("onerror", "alert(1)")]
    );
}
