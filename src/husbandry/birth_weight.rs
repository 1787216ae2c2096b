//! Published classes of birth weight by breed.
//!
//! In: a breed as the keeper writes it and a weight. Out: normal, low or very low after the one
//! study that gives borders to the gram, with its source. A breed that the study does not name gets
//! nothing: borders of another breed of like size would call most puppies low. About half of all
//! live puppies are under the border of "normal", so low is a reason to watch and no alarm.

use std::sync::LazyLock;

/// Where the borders come from.
pub const SOURCE: &str = "Mugnier and others 2020, BMC Vet Res 16:354, table 2";

/// A class of birth weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Under the lower border.
    VeryLow,
    /// From the lower border to under the upper one.
    Low,
    /// From the upper border.
    Normal,
}

impl Class {
    /// The class in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::VeryLow => "very low",
            Self::Low => "low",
            Self::Normal => "normal",
        }
    }
}

/// A weight in its class, with the borders used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreedClass {
    /// The breed, as the study names it.
    pub breed: &'static str,
    /// The class.
    pub class: Class,
    /// From here a weight is low and no longer very low, g.
    pub low_from: f64,
    /// From here a weight is normal, g.
    pub normal_from: f64,
    /// Puppies of this breed in the study.
    pub puppies: u32,
    /// Who says so.
    pub source: &'static str,
}

/// One breed of the study.
struct Breed {
    name: &'static str,
    low_from: f64,
    normal_from: f64,
    puppies: u32,
    /// Other ways to write it, in small letters without signs; words may stand in any order.
    also: &'static [&'static str],
}

const fn breed(
    name: &'static str,
    low_from: f64,
    normal_from: f64,
    puppies: u32,
    also: &'static [&'static str],
) -> Breed {
    Breed {
        name,
        low_from,
        normal_from,
        puppies,
        also,
    }
}

/// Mugnier, Chastant, Saegerman, Gaillard, Grellet and Mila 2020, tables 1 and 2. Names beside the
/// study's are common use, no source. A bare "Cocker" or "Golden" is not taken, nor one of the two
/// Cocker breeds by its full name, since the study does not say which it means.
static BREEDS: [Breed; 10] = [
    breed(
        "Australian Shepherd",
        213.0,
        375.0,
        547,
        &["aussie", "australian shepherd dog"],
    ),
    breed("Bichon Frise", 163.5, 181.0, 103, &["bichon"]),
    breed("Cocker Spaniel", 142.5, 280.0, 779, &[]),
    breed(
        "German Shepherd",
        338.0,
        480.0,
        281,
        &["german shepherd dog", "gsd", "alsatian"],
    ),
    breed("Golden Retriever", 177.5, 417.0, 588, &[]),
    breed(
        "Labrador Retriever",
        248.0,
        406.0,
        1_903,
        &["labrador", "lab"],
    ),
    breed("Maltese", 115.5, 163.0, 166, &["maltese dog"]),
    breed("Rottweiler", 345.0, 410.0, 111, &[]),
    breed("Shih Tzu", 128.5, 176.0, 270, &["shihtzu"]),
    breed(
        "West Highland White",
        129.0,
        190.0,
        223,
        &[
            "west highland white terrier",
            "west highland terrier",
            "westie",
        ],
    ),
];

/// The class of a birth weight for a breed. Nothing for a breed that the study does not have, or a
/// weight that is not above 0 g.
#[must_use]
pub fn breed_class(breed: &str, grams: f64) -> Option<BreedClass> {
    static NAMES: LazyLock<Vec<(Vec<String>, &Breed)>> = LazyLock::new(|| {
        BREEDS
            .iter()
            .flat_map(|b| {
                std::iter::once(&b.name)
                    .chain(b.also)
                    .map(move |name| (words(name), b))
            })
            .collect()
    });
    let wanted = words(breed);
    let (_, found) = NAMES.iter().find(|(name, _)| *name == wanted)?;
    if !(grams.is_finite() && grams > 0.0) {
        return None;
    }
    let Breed {
        name,
        low_from,
        normal_from,
        puppies,
        also: _,
    } = **found;
    let class = match grams {
        g if g >= normal_from => Class::Normal,
        g if g >= low_from => Class::Low,
        _ => Class::VeryLow,
    };
    Some(BreedClass {
        breed: name,
        class,
        low_from,
        normal_from,
        puppies,
        source: SOURCE,
    })
}

/// The words of a breed's name in the order of the alphabet, without capitals, accents and signs:
/// registers also write "Retriever (Labrador)".
fn words(breed: &str) -> Vec<String> {
    let plain = breed.to_lowercase().replace(['é', 'è', 'ê'], "e");
    let mut words: Vec<String> = plain
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect();
    words.sort();
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    fn class(breed: &str, grams: f64) -> Option<Class> {
        breed_class(breed, grams).map(|found| found.class)
    }

    #[test]
    fn borders_are_those_of_the_study_to_the_gram() {
        // Mugnier and others 2020, table 2: Labrador normal from 406 g, low 248 to 406 g, very low
        // below 248 g.
        for (grams, expected) in [
            (247.0, Class::VeryLow),
            (247.9, Class::VeryLow),
            (248.0, Class::Low),
            (405.0, Class::Low),
            (406.0, Class::Normal),
        ] {
            assert_eq!(
                class("Labrador Retriever", grams),
                Some(expected),
                "{grams} g"
            );
        }
        // Borders of half a gram: Bichon 163.5 g, Maltese 115.5 g.
        assert_eq!(
            [class("Bichon Frise", 163.0), class("Bichon Frise", 163.5)],
            [Some(Class::VeryLow), Some(Class::Low)]
        );
        assert_eq!(
            [class("Maltese", 115.4), class("Maltese", 115.5)],
            [Some(Class::VeryLow), Some(Class::Low)]
        );
        assert!(Class::VeryLow < Class::Low && Class::Low < Class::Normal);
    }

    #[test]
    fn every_breed_is_typed_as_printed() {
        // Mugnier and others 2020: 4,971 puppies of 10 breeds in table 1, which is also the sum of
        // the classes in table 2 (2,419 + 2,382 + 170).
        assert_eq!(BREEDS.iter().map(|b| b.puppies).sum::<u32>(), 4_971);
        // Sums of the two columns of borders, added up from the printed table.
        let sum = |border: fn(&Breed) -> f64| BREEDS.iter().map(border).sum::<f64>();
        assert!((sum(|b| b.normal_from) - 3_078.0).abs() < 1e-9);
        assert!((sum(|b| b.low_from) - 2_000.5).abs() < 1e-9);
        assert!(BREEDS.iter().all(|b| b.low_from < b.normal_from));
    }

    #[test]
    fn breeds_are_found_however_they_are_written() {
        let names = [
            ("west highland white terrier", "West Highland White"),
            ("West-Highland-White", "West Highland White"),
            ("Labrador", "Labrador Retriever"),
            ("Retriever (Labrador)", "Labrador Retriever"),
            ("  GERMAN   shepherd dog ", "German Shepherd"),
            ("Shih-Tzu", "Shih Tzu"),
            ("Bichon Frisé", "Bichon Frise"),
            ("Spaniel (Cocker)", "Cocker Spaniel"),
        ];
        for (written, name) in names {
            assert_eq!(
                breed_class(written, 100.0).map(|found| found.breed),
                Some(name),
                "{written}"
            );
        }
    }

    #[test]
    fn other_breeds_get_nothing() {
        for breed in [
            "Scottish Terrier",
            "White Terrier",
            "American Cocker Spaniel",
            "Golden",
            "Labrador cross",
            "Labradoodle",
            "",
            "-",
        ] {
            assert_eq!(breed_class(breed, 300.0), None, "{breed}");
        }
        for grams in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(breed_class("Maltese", grams), None);
        }
    }
}
