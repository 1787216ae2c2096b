//! Whether a dog is merle, by its colour or by the test of its M locus.
//!
//! In: a dog's file. Out: [`is_merle`]. Puppies with two merle alleles are often deaf or blind, so
//! that merle is not mated to merle (common practice, no source).

use super::names;
use crate::records::dog::Dog;

/// Words of colour that are patterns of the merle gene, or hold one: harlequin is merle that a
/// second gene whitens, and dapple is what breeders of Dachshunds call it.
const PATTERNS: [&str; 3] = ["merle", "harlequin", "dapple"];
/// Words that turn one shortly after them into its opposite.
const NOT: [&str; 4] = ["no", "non", "not", "without"];

/// Whether a dog shows or carries a merle allele, as far as its file says.
#[must_use]
pub(super) fn is_merle(dog: &Dog) -> bool {
    let by_colour = dog
        .colour
        .as_ref()
        .is_some_and(|c| names_pattern(c.as_str()));
    let by_test = dog
        .screening
        .iter()
        .filter(|s| names::is_merle(s.test.as_str()))
        .any(|s| has_allele(s.result.as_str()));
    by_colour || by_test
}

fn names_pattern(words: &str) -> bool {
    let small = words.to_lowercase();
    let words: Vec<&str> = small
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    words.iter().enumerate().any(|(place, word)| {
        let is_denied = words[place.saturating_sub(3)..place]
            .iter()
            .any(|word| NOT.contains(word));
        !is_denied && PATTERNS.iter().any(|pattern| word.contains(pattern))
    })
}

/// Whether a result of the M locus has an allele of merle: `M`, and those of other lengths (`Mh`,
/// `Mc`, `Ma+`). A small `m` is the allele without it.
fn has_allele(result: &str) -> bool {
    let small = result.to_lowercase();
    let says = |words: &[&str]| words.iter().any(|word| small.contains(word));
    if names_pattern(result)
        || says(&[
            "carrier",
            "heterozygous",
            "one copy",
            "two copies",
            "affected",
            "positive",
        ])
    {
        return true;
    }
    result
        .split(|c: char| !c.is_alphanumeric() && c != '+')
        .any(is_allele)
}

fn is_allele(word: &str) -> bool {
    let mut letters = word.chars();
    let rest = match letters.next() {
        Some('M') => letters.as_str(),
        // `mM` in one word.
        Some('m') => return letters.as_str() == "M",
        _ => return false,
    };
    matches!(
        rest.trim_end_matches('+').to_lowercase().as_str(),
        "" | "m" | "h" | "c" | "a" | "d"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dog(file: &str) -> Dog {
        serde_yaml::from_str(&format!("name: D\nsex: male\n{file}")).unwrap()
    }

    #[test]
    fn merle_is_told_by_the_colour_and_by_the_locus() {
        // PMEL, the M locus: M is merle, Mh, Mc and Ma are alleles of other lengths, m is none.
        for file in [
            "colour: blue merle",
            "colour: Red Merle and white",
            "colour: harlequin",
            "colour: bluemerle",
            "colour: chocolate dapple",
            "colour: black\nscreening: [{ test: M locus, result: M/m }]",
            "screening: [{ test: M locus, result: M/M }]",
            "screening: [{ test: Locus M, result: Mh/m }]",
            "screening: [{ test: merle, result: m/Mc }]",
            "screening: [{ test: merle, result: Ma+/m }]",
            "screening: [{ test: merle (M locus), result: Mm }]",
            "screening: [{ test: merle, result: carrier }]",
        ] {
            assert!(is_merle(&dog(file)), "{file}");
        }
        for file in [
            "colour: black",
            "colour: black, non-merle",
            "colour: marmelade",
            "screening: [{ test: M locus, result: m/m }]",
            "screening: [{ test: M locus, result: mm }]",
            "screening: [{ test: merle, result: clear }]",
            "screening: [{ test: merle, result: no copy of merle }]",
            "screening: [{ test: merle, result: non-merle (m/m) }]",
            "screening: [{ test: prcd-PRA, result: M/M }]",
            "",
        ] {
            assert!(!is_merle(&dog(file)), "{file}");
        }
    }
}
