//! What the law of a place asks of the new keeper of a dog with a chip.
//!
//! In: country and region. Out: a [`NewKeeper`], where one is known.

use super::{RuleMaker, RuleSource, books_for, data};

/// Something of the new keeper, or of the dog, that a database of chips is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Detail {
    /// The keeper's name.
    Name,
    /// The keeper's address.
    Address,
    /// A telephone number.
    Telephone,
    /// An e-mail address.
    Email,
    /// The name of the dog, where it is another now.
    NameOfDog,
}

/// What is asked of a new keeper: to be recorded with the database of the chip.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NewKeeper {
    /// The id of the book of that place.
    pub book: &'static str,
    /// What the database is told.
    pub details: &'static [Detail],
    /// Within how many days, where the law says it.
    pub within_days: Option<u16>,
    /// Where it is from.
    pub source: RuleSource,
}

/// What is asked of a new keeper in a place.
#[must_use]
pub fn new_keeper(country: &str, region: Option<&str>) -> Option<&'static NewKeeper> {
    let books = books_for(country, region, &[]);
    data::NEW_KEEPERS.iter().find(|asked| {
        books
            .iter()
            .any(|book| book.kind == RuleMaker::Law && book.id == asked.book)
    })
}

#[cfg(test)]
mod tests {
    use super::super::{Sure, by_id};
    use super::*;

    #[test]
    fn every_entry_belongs_to_a_law_says_what_is_asked_and_that_it_was_recalled() {
        for asked in &data::NEW_KEEPERS {
            assert_eq!(
                by_id(asked.book).map(|book| book.kind),
                Some(RuleMaker::Law),
                "{}",
                asked.book
            );
            assert!(asked.details.contains(&Detail::Name) && asked.source.sure == Sure::FromMemory);
        }
    }

    #[test]
    fn it_goes_by_the_place_and_says_nothing_of_a_place_that_is_not_known() {
        let book = |country, region| new_keeper(country, region).map(|asked| asked.book);
        assert_eq!(book("GB", Some("Scotland")), Some("scotland"));
        assert_eq!(book("GB", Some("england")), Some("england"));
        assert_eq!(book("NL", None), Some("netherlands"));
        assert_eq!(
            (
                book("GB", None),
                book("GB", Some("mercia")),
                book("SE", None)
            ),
            (None, None, None)
        );
    }
}
