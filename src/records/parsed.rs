//! What an earlier run read, so that a text that stayed the same is not parsed again: that
//! takes longer than all else that is done with most of them.
//!
//! In: digests of texts, the store. Out: weigh-ins, and parsed texts, of texts that were read
//! without a problem by the same program. Kept are plain numbers and words, which are read as
//! strictly as if they stood in a record; whatever is not as expected is read from its text.

use super::WeighIn;
use super::weights::WeighIns;
use crate::cache::{Bytes, Digest, Store};
use crate::quantity::{Id, Moment, Weight};
use chrono::{DateTime, Timelike};
use std::collections::BTreeMap;

/// Names of the cache's files: they are kept apart, since weights are added every day.
const WEIGH_INS: &str = "weigh-ins";
const TREES: &str = "records";

/// Seconds of the clock on the wall, who weighed, remark, place in the file, and nanograms by
/// number of the puppy.
type PlainWeighIn = (i64, Option<String>, Option<String>, u32, Vec<(u32, i64)>);
/// Names of puppies, the unit of bare numbers, and weigh-ins in the order of time.
type PlainList = (Vec<String>, Option<String>, Vec<PlainWeighIn>);
/// What is in a file of the store, by the digest of its text.
type File = BTreeMap<Digest, Bytes>;

/// In which file something is kept.
type IsIn<'a> = &'a dyn Fn(&Parsed) -> bool;

/// What is known of one text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Parsed {
    /// Its weigh-ins.
    WeighIns(Bytes),
    /// The text, taken apart.
    Tree(Bytes),
}

/// What is known of texts, by their digests.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ParsedTexts {
    texts: BTreeMap<Digest, Parsed>,
}

impl ParsedTexts {
    /// What was kept.
    #[must_use]
    pub fn load(store: &Store) -> Self {
        let read = |name| store.load::<File>(name).unwrap_or_default().into_iter();
        let weigh_ins = read(WEIGH_INS).map(|(text, bytes)| (text, Parsed::WeighIns(bytes)));
        let trees = read(TREES).map(|(text, bytes)| (text, Parsed::Tree(bytes)));
        Self {
            texts: weigh_ins.chain(trees).collect(),
        }
    }

    /// Keeps it in place of what was known before, where that was something else.
    pub fn keep(&self, known: &Self, store: &Store) {
        let weigh_ins = |kept: &Parsed| matches!(kept, Parsed::WeighIns(_));
        let trees = |kept: &Parsed| !weigh_ins(kept);
        let files: [(&str, IsIn<'_>); 2] = [(WEIGH_INS, &weigh_ins), (TREES, &trees)];
        for (name, is_in) in files {
            let texts = |of: &Self| of.of_kind(is_in).map(|(text, _)| *text).collect::<Vec<_>>();
            if texts(self) != texts(known) {
                store.keep(name, &self.of_kind(is_in).collect::<BTreeMap<_, _>>());
            }
        }
    }

    /// Whether no text is known.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.texts.is_empty()
    }

    /// What is known of a text.
    pub(super) fn of(&self, text: Digest) -> Option<&Parsed> {
        self.texts.get(&text)
    }

    /// Remembers what is known of a text that had no problem.
    pub(super) fn remember(&mut self, text: Digest, kept: Parsed) {
        self.texts.insert(text, kept);
    }

    fn of_kind<'a>(&'a self, is_in: IsIn<'a>) -> impl Iterator<Item = (&'a Digest, &'a Bytes)> {
        self.texts
            .iter()
            .filter(|(_, kept)| is_in(kept))
            .map(|(text, kept)| {
                let (Parsed::WeighIns(bytes) | Parsed::Tree(bytes)) = kept;
                (text, bytes)
            })
    }
}

/// Weigh-ins as they are kept; nothing where they hold what cannot be kept whole.
pub(super) fn to_plain(WeighIns { list, unit }: &WeighIns) -> Option<Bytes> {
    let mut numbers: BTreeMap<&Id, u32> = BTreeMap::new();
    let mut names = Vec::new();
    let plain = list.iter().map(
        |WeighIn {
             at,
             by,
             remark,
             weights,
             block,
         }| {
            let at = at.local().and_utc();
            let weights = weights.iter().map(|(id, weight)| {
                let number = *numbers.entry(id).or_insert_with(|| {
                    names.push(id.to_string());
                    u32::try_from(names.len() - 1).unwrap_or(u32::MAX)
                });
                (number, weight.nanograms())
            });
            let weights = weights.collect();
            (at.nanosecond() == 0).then_some(())?;
            Some((
                at.timestamp(),
                by.as_ref().map(ToString::to_string),
                remark.as_ref().map(ToString::to_string),
                u32::try_from(*block).ok()?,
                weights,
            ))
        },
    );
    let plain = plain.collect::<Option<Vec<PlainWeighIn>>>()?;
    let unit = unit.map(|unit| unit.name().to_owned());
    Bytes::of(&(names, unit, plain))
}

/// The weigh-ins that were kept; nothing where they are none.
pub(super) fn from_plain(bytes: &Bytes) -> Option<WeighIns> {
    let (names, unit, list): PlainList = bytes.value()?;
    let puppies = names
        .iter()
        .map(|name| name.parse::<Id>().ok())
        .collect::<Option<Vec<Id>>>()?;
    let weigh_in = |(at, by, remark, block, weights): &PlainWeighIn| {
        let weights = weights.iter().map(|(puppy, nanograms)| {
            Some((
                puppies.get(*puppy as usize)?.clone(),
                Weight::from_whole_nanograms(*nanograms)?,
            ))
        });
        Some(WeighIn {
            at: Moment::from(DateTime::from_timestamp(*at, 0)?.naive_utc()),
            by: by.as_ref().map(|by| by.parse()).transpose().ok()?,
            remark: remark
                .as_ref()
                .map(|remark| remark.parse())
                .transpose()
                .ok()?,
            weights: weights.collect::<Option<_>>()?,
            block: *block as usize,
        })
    };
    Some(WeighIns {
        list: list
            .iter()
            .map(weigh_in)
            .collect::<Option<Vec<_>>>()?
            .into(),
        unit: unit.map(|unit| unit.parse()).transpose().ok()?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Listed, Listing, What, load, load_parsed};
    use std::path::Path;

    #[test]
    fn what_is_kept_is_what_was_read() {
        let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../content");
        let now = "2026-10-09T12:00:00Z".parse().unwrap();
        let read = load(&content, now).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let store = Store::unbound(folder.path());
        read.parsed.keep(&ParsedTexts::default(), &store);
        let known = ParsedTexts::load(&store);
        assert_eq!(known, read.parsed);
        let again = load_parsed(
            &content,
            &Listing::of(&content).unwrap(),
            now,
            &known,
            |_| (),
        );
        assert_eq!(again.parsed, known);
        let weigh_ins = |loaded: &crate::Loaded| -> Vec<Vec<WeighIn>> {
            loaded
                .records
                .as_ref()
                .unwrap()
                .litters
                .values()
                .map(|litter| litter.weigh_ins.to_vec())
                .collect()
        };
        let all = weigh_ins(&again);
        assert_eq!(all, weigh_ins(&read));
        let others = |loaded: &crate::Loaded| {
            let litters = loaded.records.as_ref().unwrap().litters.values();
            litters
                .map(|litter| {
                    format!(
                        "{:?} {:?} {:?}",
                        litter.litter, litter.health, litter.bare_unit
                    )
                })
                .collect::<Vec<_>>()
        };
        assert_eq!(others(&again), others(&read));
        assert!(
            known
                .of_kind(&|kept| matches!(kept, Parsed::Tree(_)))
                .count()
                >= all.len(),
            "each litter has a record that is kept"
        );
        assert!(
            all.iter().flatten().count() > 50
                && known
                    .of_kind(&|kept| matches!(kept, Parsed::WeighIns(_)))
                    .count()
                    == all.iter().filter(|list| !list.is_empty()).count()
        );
    }

    #[test]
    fn what_no_record_may_hold_is_read_from_its_text() {
        let weigh_in = |nanograms: i64, by: &str, puppy: u32| {
            let list: PlainList = (
                vec!["moss".to_owned()],
                Some("g".to_owned()),
                vec![(
                    1_790_000_000,
                    Some(by.to_owned()),
                    None,
                    1,
                    vec![(puppy, nanograms)],
                )],
            );
            Bytes::of(&list).unwrap()
        };
        assert!(from_plain(&weigh_in(212_000_000_000, "A.", 0)).is_some());
        assert!(from_plain(&weigh_in(0, "A.", 0)).is_none());
        assert!(from_plain(&weigh_in(212_000_000_000, "A\u{202e}", 0)).is_none());
        assert!(from_plain(&weigh_in(212_000_000_000, "A.", 1)).is_none());
    }

    #[test]
    #[allow(clippy::disallowed_methods, reason = "a kennel made for one test")]
    fn a_problem_in_a_file_that_was_not_opened_stands_where_it_does_when_it_is() {
        let place = tempfile::tempdir().unwrap();
        let content = place.path().join("content");
        let put = |file: &str, text: &str| {
            std::fs::create_dir_all(content.join(file).parent().unwrap()).unwrap();
            std::fs::write(content.join(file), text).unwrap();
        };
        put(
            "kennel.yaml",
            "name: K\nbreed: B\ncontact: { keeper: K, email: k@k.example }\ncountry: \
             GB\ntime_zone: UTC\nas_of: 2026-10-09\n",
        );
        put("dogs/d.yaml", "name: D\nsex: female\n");
        put("dogs/s.yaml", "name: S\nsex: male\n");
        put(
            "litters/l/litter.yaml",
            "name: L\ndam: d\nsire: s\nmated: 2026-09-01\n",
        );
        let now = "2026-10-09T12:00:00Z".parse().unwrap();
        let before = load(&content, now).unwrap();
        assert!(before.problems.is_empty(), "{:?}", before.problems);
        let mut listing = Listing::of(&content).unwrap();
        for Listed { path, what } in &mut listing.entries {
            if let What::File(digest) = what
                && path.strip_prefix(&content).unwrap().starts_with("litters")
            {
                *digest = Some(Digest::of_file(path).unwrap());
            }
        }
        // The sire of the litter turns out to be a bitch: what is wrong stands in a file that
        // stayed the same.
        put("dogs/s.yaml", "name: S\nsex: female\n");
        let shown = |loaded: &crate::Loaded| -> Vec<(String, String, usize, usize)> {
            let told = |located: &crate::problem::Located| {
                (
                    located.problem.code.to_owned(),
                    located.problem.place.file.clone(),
                    located.line,
                    located.column,
                )
            };
            loaded.problems.iter().map(told).collect()
        };
        let again = || {
            let known = &before.parsed;
            shown(&load_parsed(&content, &listing, now, known, |_| ()))
        };
        let told = again();
        assert_eq!(told, shown(&load(&content, now).unwrap()));
        assert!(
            told.iter()
                .any(|(_, file, line, _)| file == "litters/l/litter.yaml" && *line == 3),
            "{told:?}"
        );
        // Of a text that changed since it was listed no place is claimed.
        put(
            "litters/l/litter.yaml",
            "# Moved down.\nname: L\ndam: d\nsire: s\nmated: 2026-09-01\n",
        );
        let told = again();
        assert!(
            told.iter()
                .any(|(_, file, line, _)| file == "litters/l/litter.yaml" && *line == 1),
            "{told:?}"
        );
    }
}
