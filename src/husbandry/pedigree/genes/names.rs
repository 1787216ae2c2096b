//! Names of tests as keepers write them: when two are one test, and what kind of test a name is of.
//!
//! In: the name of a test. Out: [`same_test`], by which names are compared, and [`kind`]. The lists
//! of words are from memory and cannot be complete: they catch what is common in breeders' files.

use std::collections::BTreeSet;

/// What kind of test a name is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TestKind {
    /// Taken for one recessive gene, since nothing says otherwise.
    Recessive,
    /// An examination of the body.
    Examination,
    /// A gene on the X chromosome.
    XLinked,
    /// A gene that is passed on in another way.
    NotSimple,
    /// A locus of coat colour.
    Colour,
}

impl TestKind {
    /// Why Mendel's table for one recessive gene is not used.
    #[must_use]
    pub(super) fn why_not_recessive(self) -> Option<&'static str> {
        match self {
            Self::Recessive => None,
            Self::Examination => Some("this is an examination, not the test of one gene"),
            Self::XLinked => {
                Some("the gene is on the X chromosome, for which other fractions hold")
            }
            Self::NotSimple => Some("the trait is not simply recessive"),
            Self::Colour => Some("this is a coat colour, not a disease"),
        }
    }
}

/// Words that begin like this name an examination.
const EXAMINED: &str = "auscult cardio dental dentition doppler echo elbow electrocardio exam \
                        gonio hips holter murmur ophthal orthop patell penn radiogra stethosc \
                        ultraso x-ray xray";
/// And these whole words.
const EXAMINATION: &str = "acvo baer bite boas bva caer cerf check ct ecg ecvo ed ekg eye eyes \
                           fcp hd hearing heart cardiac hip icd icp knee knees kneecap kneecaps \
                           lungs mri ocd ofa oce scan slit spine spines spondylosis teeth thyroid \
                           tonometry troponin probnp urine lamp vertebrae vertebra listened larynx";
const X_LINKED: &str = "xlinked xl haemophilia hemophilia muscular";
const NOT_SIMPLE: &str = "dominant mdr1 multidrug cmo craniomandibular cddy cdpa chondrodystrophy \
                          bobtail brachyury polycystic dcm dcm1 dcm2 cardiomyopathy";
const COLOUR: &str = "colour colours color colors coat locus loci merle harlequin agouti asip \
                      brindle brown cbd103 chocolate dilute dilution furnishings mc1r mitf mlph \
                      piebald pmel spotting tyrp1 em kb";
/// Words that say that a test is one: they make no other test.
const BESIDE: &str = "dna test gene genes genetic genetics variant mutation exam examination \
                      examined check certificate screening";
/// Names in full and their usual short forms.
const SHORT: [(&str, &str); 8] = [
    ("progressive retinal atrophy", "pra"),
    ("degenerative myelopathy", "dm"),
    ("von willebrand disease", "vwd"),
    ("von willebrands disease", "vwd"),
    ("von willebrand", "vwd"),
    ("exercise induced collapse", "eic"),
    ("collie eye anomaly", "cea"),
    ("primary lens luxation", "pll"),
];

/// A name in small letters, what is no letter or digit a space, full names shortened.
fn plain(test: &str) -> String {
    let apart: String = test
        .chars()
        .filter(|c| !matches!(c, '\'' | '’'))
        .flat_map(char::to_lowercase)
        .map(|c| if c.is_alphanumeric() { c } else { ' ' })
        .collect();
    let mut plain = apart.split_whitespace().collect::<Vec<_>>().join(" ");
    for (long, short) in SHORT {
        plain = plain.replace(long, short);
    }
    plain
        .replace("x linked", "xlinked")
        .replace("x ray", "xray")
}

/// A test's name by its words, whatever their order, brackets, capitals and hyphens: two tests with
/// the same are one test. `prcd-PRA`, `PRA (prcd)` and `prcdPRA` are.
#[must_use]
pub fn same_test(test: &str) -> String {
    let plain = plain(test);
    let mut words: BTreeSet<String> = BTreeSet::new();
    for word in plain.split(' ') {
        let word = match word {
            "ii" => "2",
            "iii" => "3",
            "iv" => "4",
            "eyes" => "eye",
            "hips" => "hip",
            "elbows" => "elbow",
            "knees" => "knee",
            "patellae" | "patellas" => "patella",
            word => word,
        };
        // Forms of the retinal atrophy are written in one word as well.
        match word
            .strip_suffix("pra")
            .or_else(|| word.strip_prefix("pra"))
        {
            Some(form) if !form.is_empty() => {
                words.extend(["pra".to_owned(), form.to_owned()]);
            }
            _ => {
                words.insert(word.to_owned());
            }
        }
    }
    let beside = |word: &String| BESIDE.split(' ').any(|one| one == word);
    if !words.iter().all(beside) {
        words.retain(|word| !beside(word));
    }
    words.into_iter().collect::<Vec<_>>().join(" ")
}

/// What kind of test a name is of. "Collie eye anomaly" is a gene, whatever its name.
#[must_use]
pub(super) fn kind(test: &str) -> TestKind {
    let plain = plain(test);
    let words: BTreeSet<&str> = plain.split(' ').collect();
    let any = |list: &str| list.split(' ').any(|word| words.contains(word));
    // What is found in the blood is no examination, though it be named after an organ.
    let is_examination =
        !any("dna gene") && (any(EXAMINATION) || words.iter().any(|word| is_examined(word)));
    // Loci are often written as one letter.
    let is_letter = |word: &&&str| matches!(**word, "a" | "b" | "d" | "e" | "h" | "k" | "m" | "s");
    if any(X_LINKED) || words.iter().any(|word| word.starts_with("xlpra")) {
        TestKind::XLinked
    } else if any(COLOUR) || words.iter().filter(is_letter).count() == words.len() {
        TestKind::Colour
    } else if is_examination {
        TestKind::Examination
    } else if any(NOT_SIMPLE) {
        TestKind::NotSimple
    } else {
        TestKind::Recessive
    }
}

/// A gene of the heart muscle begins like an examination of it.
fn is_examined(word: &str) -> bool {
    !word.starts_with("cardiomyopath") && EXAMINED.split(' ').any(|stem| word.starts_with(stem))
}

/// Whether a test is that of the merle locus.
#[must_use]
pub(super) fn is_merle(test: &str) -> bool {
    let plain = plain(test);
    let words: BTreeSet<&str> = plain.split(' ').collect();
    words.contains("merle")
        || words.contains("pmel")
        || (words.contains("m") && kind(test) == TestKind::Colour)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn order_brackets_capitals_and_hyphens_make_no_other_test() {
        // One recessive gene is one test, however it is written.
        for (one, other) in [
            ("prcd-PRA", "PRA (prcd)"),
            ("prcd-PRA", "PRCD PRA"),
            ("prcd-PRA", "prcdPRA"),
            ("prcd-PRA", "progressive retinal atrophy, prcd (DNA test)"),
            ("eyes", "eye examination"),
            ("DM", "Degenerative Myelopathy"),
            ("DM", "degenerative myelopathy (DM)"),
            ("von Willebrand type III", "vWD type 3"),
            (
                "von Willebrand's disease, type III",
                "Type III von Willebrand",
            ),
        ] {
            assert_eq!(same_test(one), same_test(other), "{one} and {other}");
        }
        for (one, other) in [
            ("prcd-PRA", "rcd4-PRA"),
            ("prcd-PRA", "PRA"),
            ("vWD type I", "vWD type III"),
            ("DM", "MD"),
            ("DNA test", "gene"),
        ] {
            assert_ne!(same_test(one), same_test(other), "{one} and {other}");
        }
    }

    #[test]
    fn examinations_and_colours_are_no_disease_genes() {
        for test in [
            "DCM Holter",
            "Holter 24 h",
            "ECG",
            "echocardiography",
            "Echo (Doppler)",
            "cardiology",
            "cardiologist's examination",
            "HD",
            "ED",
            "hips",
            "Hip score",
            "elbows",
            "eyes",
            "ophthalmologist",
            "PennHIP",
            "patellae",
            "X-ray of the spine",
            "heart listened to",
            "BAER",
        ] {
            assert_eq!(kind(test), TestKind::Examination, "{test}");
        }
        for test in [
            "M locus",
            "Merle",
            "D-locus",
            "Locus E",
            "coat colour",
            "K",
            "MC1R",
        ] {
            assert_eq!(kind(test), TestKind::Colour, "{test}");
        }
        for test in [
            "prcd-PRA",
            "Collie eye anomaly",
            "DM",
            "primary lens luxation",
            "von Willebrand type III",
            "spinocerebellar ataxia",
            "early onset adult deafness",
            "hereditary cataract HSF4",
        ] {
            assert_eq!(kind(test), TestKind::Recessive, "{test}");
        }
        assert_eq!(kind("XL-PRA"), TestKind::XLinked);
        assert_eq!(kind("dilated cardiomyopathy"), TestKind::NotSimple);
    }

    #[test]
    fn the_merle_locus_is_known_by_its_names() {
        for test in ["M locus", "Locus M", "M-locus (merle)", "merle", "PMEL"] {
            assert!(is_merle(test), "{test}");
        }
        for test in ["D locus", "MDR1", "M. tuberculosis", "prcd-PRA"] {
            assert!(!is_merle(test), "{test}");
        }
    }
}
