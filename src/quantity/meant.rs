//! Which known word was meant by one that nobody knows.
//!
//! In: a word and the known ones. Out: the nearest of them, when it is near enough to be a slip of
//! the pen, and the question that a hint asks.

/// How many slips lie between two words: letters left out, put in, exchanged or swapped with their
/// neighbour. Capitals are not told from small letters, nor `_` from `-`.
#[must_use]
pub fn slips(one: &str, other: &str) -> usize {
    let plain = |word: &str| word.trim().to_lowercase().replace('_', "-");
    strsim::damerau_levenshtein(&plain(one), &plain(other))
}

/// The known word nearest to `word`; nothing when even that takes more slips than one, and one more
/// for each four letters.
#[must_use]
pub fn nearest<'a, S: AsRef<str>>(word: &str, known: &'a [S]) -> Option<&'a str> {
    let known = known.iter().map(AsRef::as_ref);
    known
        .map(|known| (slips(word, known), known))
        .filter(|(slips, known)| *slips <= 1 + known.len().min(word.len()) / 4)
        .min()
        .map(|(_, known)| known)
}

/// The question of a hint: ``did you mean `fern`?``.
#[must_use]
pub fn did_you_mean(known: &str) -> String {
    format!("did you mean `{known}`?")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_word_is_found_and_a_far_one_is_not() {
        assert_eq!(nearest("Rebbon", &["ribbon", "sex"]), Some("ribbon"));
        assert_eq!(
            nearest("leaves_from", &["leaves-from"]),
            Some("leaves-from")
        );
        assert_eq!(nearest("gren", &["red", "green"]), Some("green"));
        assert_eq!(nearest("colour", &["ribbon", "sex"]), None);
        assert_eq!(nearest("", &["sex"]), None);
        assert_eq!(nearest::<&str>("sex", &[]), None);
        assert_eq!(slips("brith", "birth"), 1);
    }
}
