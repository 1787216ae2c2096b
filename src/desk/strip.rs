//! The strip of links at the top of a page of the book, and what the page is about.
//!
//! In: the path of a page of the book, whether there is a record of some name, and whether problems
//! stand in place of the page. Out: a line of HTML with links to the forms of what it shows. The
//! sheets for the birth and the scale are taken along as files, and get none.

use crate::quantity::Id;

/// The strip for this page.
pub(super) fn strip(
    path: &str,
    is_record: impl Fn(&str) -> bool,
    is_broken: bool,
) -> Option<String> {
    let about = about(path);
    if about.first().is_some_and(|(file, ..)| !is_record(file)) {
        return None;
    }
    let mut links = String::new();
    if is_broken {
        links.push_str("<li><a href=\"/-desk/problems\">Mend</a></li>");
    }
    for (act, words) in acts(path) {
        links.push_str(&format!(
            "<li class=\"desk-change\"><a href=\"/-desk/{act}\">{words}</a></li>"
        ));
    }
    for (file, at, words) in about {
        links.push_str(&format!(
            "<li class=\"desk-change\"><a href=\"/-desk/form/{file}{at}\">{words}</a></li>"
        ));
    }
    Some(format!(
        "<link rel=\"stylesheet\" href=\"/-desk/strip.css\"><nav class=\"desk-strip\" \
         aria-label=\"Desk\"><ul><li><a href=\"/-desk/today\">Today</a></li><li><a \
         href=\"/-desk/litters\">Litters</a></li><li><a \
         href=\"/-desk/records\">Records</a></li><li><a \
         href=\"/-desk/history\">History</a></li><li><a \
         href=\"/-desk/publish\">Publish</a></li>{links}</ul></nav>"
    ))
}

/// The daily acts of what a page shows, and words for them.
fn acts(path: &str) -> Vec<(String, &'static str)> {
    let is_id = |word: &str| word.parse::<Id>().is_ok();
    let parts: Vec<&str> = path.trim_start_matches('/').split('/').collect();
    let last = parts.last().and_then(|last| last.strip_suffix(".html"));
    let Some(last) = last.filter(|last| is_id(last)) else {
        return Vec::new();
    };
    match parts[..] {
        ["litters", _] => vec![
            (format!("litters/{last}"), "Record for this litter"),
            (format!("litters/{last}/weigh"), "Weigh-in"),
        ],
        ["litters", litter, _] if is_id(litter) => {
            let puppy = format!("litters/{litter}/puppies/{last}");
            let ill = format!("litters/{litter}/tend?kind=illness&amp;for={last}");
            vec![
                (format!("litters/{litter}/weigh"), "Weigh-in"),
                (format!("{puppy}/weights"), "Correct a weight"),
                (ill, "Signs of illness"),
                (
                    format!("litters/{litter}/pictures?puppy={last}"),
                    "Pictures",
                ),
                (format!("{puppy}/home"), "Home"),
                (format!("{puppy}/handover"), "Papers for leaving"),
                (format!("{puppy}/loss"), "Loss"),
            ]
        }
        ["people.html"] => vec![
            ("waiting".to_owned(), "Waiting list"),
            ("codes".to_owned(), "Families’ pages and codes"),
        ],
        _ => Vec::new(),
    }
}

/// The records that a page is about, the place in them, and words for it.
fn about(path: &str) -> Vec<(String, String, &'static str)> {
    let is_id = |word: &str| word.parse::<Id>().is_ok();
    let parts: Vec<&str> = path.trim_start_matches('/').split('/').collect();
    let Some(last) = parts.last().and_then(|last| last.strip_suffix(".html")) else {
        return Vec::new();
    };
    if !is_id(last) {
        return Vec::new();
    }
    let whole = |file: String, words| (file, String::new(), words);
    match parts[..] {
        ["people.html"] => vec![whole(
            "owners.yaml".to_owned(),
            "Change families and waiting list",
        )],
        ["litters", _] => vec![
            whole(format!("litters/{last}/litter.yaml"), "Change this litter"),
            whole(format!("litters/{last}/weights.yaml"), "Change weights"),
            whole(format!("litters/{last}/health.yaml"), "Change health"),
        ],
        ["litters", litter, _] if is_id(litter) => vec![(
            format!("litters/{litter}/litter.yaml"),
            format!("?at=puppies.{last}"),
            "Change this puppy",
        )],
        ["bitches", _] => vec![whole(format!("dogs/{last}.yaml"), "Change this dog")],
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_leads_to_the_form_of_what_it_shows() {
        let known = [
            "litters/spring/litter.yaml",
            "dogs/juno.yaml",
            "owners.yaml",
        ];
        let of = |path| strip(path, |file| known.contains(&file), false);
        for (path, link) in [
            (
                "/litters/spring.html",
                "/-desk/form/litters/spring/health.yaml\"",
            ),
            (
                "/litters/spring/moss.html",
                "/-desk/form/litters/spring/litter.yaml?at=puppies.moss\"",
            ),
            ("/bitches/juno.html", "/-desk/form/dogs/juno.yaml\""),
            ("/people.html", "/-desk/form/owners.yaml\""),
            ("/people.html", "/-desk/codes\""),
            ("/litters/spring.html", "/-desk/litters/spring/weigh\""),
            (
                "/litters/spring/moss.html",
                "/-desk/litters/spring/puppies/moss/handover\"",
            ),
            ("/", "/-desk/records\""),
            ("/figures.html", "/-desk/history\""),
        ] {
            assert!(of(path).unwrap().contains(link), "{path}");
        }
        assert_eq!(of("/litters/spring-weighing.html"), None);
        assert!(!of("/bitches/%22%3E.html").unwrap().contains("%22"));
    }
}
