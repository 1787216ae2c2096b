//! Checks of what still stands as a new kennel brings it: it would be published as if the keeper
//! had written it.
//!
//! In: the kennel's file and its own pages. Out: a warning for each. The texts are those of the
//! files that `litterfolio begin` makes.

use super::super::problem::{Place, Problem, key_path};
use super::Checked;

const HINT: &str = "write your own, or take the line out";

pub(super) fn check(records: &Checked<'_>, problems: &mut Vec<Problem>) {
    if let Some(kennel) = records.kennel {
        let file = "kennel.yaml";
        let mut still = |is: bool, place: Place, what: &str| {
            if is {
                problems.push(Problem::warning(
                    "from-the-template",
                    place,
                    format!("{what} still stands as a new kennel brings it"),
                    "write your own",
                ));
            }
        };
        still(
            kennel.name.as_str() == "My Kennel",
            Place::path(file, key_path!["name"]),
            "the kennel's name",
        );
        still(
            kennel.contact.keeper.as_str() == "Your Name",
            Place::path(file, key_path!["contact", "keeper"]),
            "the keeper's name",
        );
        still(
            kennel.contact.email.0.as_str() == "name@mail.example",
            Place::path(file, key_path!["contact", "email"]),
            "the e-mail address",
        );
        let summary = kennel
            .summary
            .as_ref()
            .is_some_and(|text| text.as_str() == "One sentence about your kennel.");
        still(
            summary,
            Place::path(file, key_path!["summary"]),
            "the sentence about the kennel",
        );
    }
    for page in records
        .pages
        .iter()
        .filter(|page| page.text.trim() == "Write here who you are and how your puppies grow up.")
    {
        let place = Place::file(&format!("pages/{}.md", page.slug));
        problems.push(Problem::warning(
            "from-the-template",
            place,
            "the text of this page still stands as a new kennel brings it",
            HINT,
        ));
    }
}
