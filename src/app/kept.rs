//! The records as they were read last, kept for as long as the program runs.
//!
//! In: the content folder. Out: the records as they stand in it now. Every file is looked at each
//! time; it is read again only when its stamp is another, and parsed again only when its bytes are.
//! What comes out is what reading everything anew would give.

use super::terminal;
use crate::cache::{Digest, Stamp};
use crate::records::{AsIf, Listed, Listing, Loaded, Unlisted, What, load_again, load_as};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};

/// The records of one kennel. All copies keep the same.
#[derive(Debug, Clone, Default)]
pub struct KeptRecords(Arc<Mutex<LastRead>>);

#[derive(Debug, Default)]
struct LastRead {
    /// What was read, and what stood in the folder then.
    last: Option<(Listing, Arc<Loaded>)>,
    /// The last that was read as if files were otherwise: after a save the folder usually equals
    /// it.
    tried: Option<Arc<Loaded>>,
    /// The digests of record files, as long as their stamps stay the same.
    stamps: BTreeMap<String, (Stamp, Digest)>,
}

/// The stamps of record files that have one.
pub(super) type Stamps = Vec<(String, Stamp)>;
/// What stands in the folder, with the digests of records as far as they are known.
pub(super) type SeenTexts = (Listing, Stamps);

impl KeptRecords {
    /// The records as they stand now.
    ///
    /// # Errors
    /// When the folder cannot be listed.
    pub fn now(&self, content: &Path) -> Result<Arc<Loaded>, Unlisted> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.now(content)
    }

    /// The records in a folder that was looked at already.
    pub fn of(&self, content: &Path, (listing, stamps): SeenTexts) -> Arc<Loaded> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.of(content, listing, stamps)
    }

    /// The records as they were read last, and as they would be then.
    ///
    /// # Errors
    /// When the folder cannot be listed.
    pub fn as_if(&self, content: &Path, as_if: &AsIf) -> Result<Arc<Loaded>, Unlisted> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.last.is_none() {
            kept.now(content)?;
        }
        let Some((listing, before)) = &kept.last else {
            return kept.now(content);
        };
        let then = load_as(content, listing, terminal::now(), as_if, before);
        let then = Arc::new(then);
        kept.tried = Some(Arc::clone(&then));
        Ok(then)
    }
}

impl LastRead {
    fn now(&mut self, content: &Path) -> Result<Arc<Loaded>, Unlisted> {
        let (listing, stamps) = self.look(content)?;
        Ok(self.of(content, listing, stamps))
    }

    /// The records in a folder in which these files stand.
    fn of(&mut self, content: &Path, listing: Listing, stamps: Stamps) -> Arc<Loaded> {
        let now = terminal::now();
        if let Some((known, loaded)) = &self.last
            && listing.entries.iter().all(is_known)
            && *known == listing
            && loaded.is_of_day(now)
        {
            return Arc::clone(loaded);
        }
        let before: Vec<&Loaded> = self
            .tried
            .iter()
            .chain(self.last.iter().map(|(_, loaded)| loaded))
            .map(Arc::as_ref)
            .collect();
        let loaded = load_again(content, &listing, now, &before);
        self.keep(content, listing, stamps, Arc::new(loaded))
    }

    /// What stands in the folder, with the digests of files that are known to be as they were.
    /// Pictures count by their names alone.
    fn look(&self, content: &Path) -> Result<SeenTexts, Unlisted> {
        let mut listing = Listing::of(content).map_err(|source| Unlisted {
            folder: content.to_owned(),
            source,
        })?;
        let looked: Vec<(String, Stamp)> = listing
            .entries
            .par_iter_mut()
            .filter_map(|listed| {
                let name = listed.below(content);
                let What::File(digest) = &mut listed.what else {
                    return None;
                };
                if !is_text(&listed.path) {
                    return None;
                }
                let found = fs::symlink_metadata(&listed.path).ok()?;
                let stamp = Stamp::of(&found, terminal::clock())?;
                *digest = self
                    .stamps
                    .get(&name)
                    .filter(|(known, _)| *known == stamp)
                    .map(|(_, digest)| *digest);
                Some((name, stamp))
            })
            .collect();
        Ok((listing, looked))
    }

    /// Keeps what was read, with the digests of what was read.
    fn keep(
        &mut self,
        content: &Path,
        mut listing: Listing,
        stamps: Stamps,
        loaded: Arc<Loaded>,
    ) -> Arc<Loaded> {
        // What is in a picture is not asked here: only its name counts.
        let texts = |listed: &&mut Listed| is_text(&listed.path);
        for listed in listing.entries.iter_mut().filter(texts) {
            let name = listed.below(content);
            if let (What::File(digest), Some(read)) = (&mut listed.what, loaded.digest(&name)) {
                *digest = Some(read);
            }
        }
        // A file that changed after its stamp was taken has another one by now.
        self.stamps = stamps
            .into_iter()
            .filter_map(|(name, stamp)| {
                let digest = loaded.digest(&name)?;
                Some((name, (stamp, digest)))
            })
            .collect();
        self.last = Some((listing, Arc::clone(&loaded)));
        self.tried = None;
        loaded
    }
}

/// Whether a file is a record, by its ending.
pub(super) fn is_text(path: &Path) -> bool {
    path.extension()
        .is_some_and(|ending| ending == "yaml" || ending == "md")
}

/// Whether it is known what is in a file, where that matters.
fn is_known(listed: &Listed) -> bool {
    listed.what != What::File(None) || !is_text(&listed.path)
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use crate::records::load;
    use std::path::PathBuf;
    use walkdir::WalkDir;

    /// Numbers without a pattern, the same in each run.
    struct Dice(u64);

    impl Dice {
        fn below(&mut self, n: usize) -> usize {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            usize::try_from(self.0 >> 33).unwrap() % n
        }
    }

    fn texts(content: &Path) -> Vec<PathBuf> {
        let walk = WalkDir::new(content).sort_by_file_name().into_iter();
        let files = walk.map(|entry| entry.unwrap().into_path());
        files.filter(|path| is_text(path)).collect()
    }

    /// All that records and problems say.
    fn said(loaded: &Loaded) -> String {
        let sources: Vec<_> = loaded.sources.texts().collect();
        format!("{:#?}\n{:#?}\n{sources:?}", loaded.records, loaded.problems)
    }

    fn demo(place: &Path) -> PathBuf {
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../content");
        for file in texts(&demo) {
            let to = place
                .join("content")
                .join(file.strip_prefix(&demo).unwrap());
            fs::create_dir_all(to.parent().unwrap()).unwrap();
            fs::copy(file, to).unwrap();
        }
        place.join("content")
    }

    /// One change as an editor makes it: good, bad, of the same length and time, a file gone or
    /// under another name, one that was there before.
    fn edit(content: &Path, dice: &mut Dice, away: &mut Vec<(PathBuf, Vec<u8>)>) {
        let files = texts(content);
        let file = &files[dice.below(files.len())];
        let bytes = fs::read(file).unwrap();
        let text = String::from_utf8_lossy(&bytes).into_owned();
        match dice.below(9) {
            0 => {
                let time = fs::metadata(file).unwrap().modified().unwrap();
                fs::write(file, text.replace(" g\n", " g \n").replace('1', "2")).unwrap();
                let opened = fs::File::options().write(true).open(file).unwrap();
                opened.set_modified(time).unwrap();
            }
            1 => fs::write(file, format!("\u{feff}{text}")).unwrap(),
            2 => fs::write(file, format!("{text}strange: key\n")).unwrap(),
            3 => fs::write(file, text.replace('\n', "\r\n")).unwrap(),
            4 => {
                away.push((file.clone(), bytes));
                fs::remove_file(file).unwrap();
            }
            5 => fs::write(file, [0xff, 0xfe, 0x00]).unwrap(),
            6 => {
                let other = file.with_file_name(format!("other-{}.yaml", dice.below(3)));
                fs::rename(file, other).unwrap();
            }
            7 => {
                let half = text.len() / 2;
                fs::write(file, text.get(..half).unwrap_or_default()).unwrap();
            }
            _ => fs::write(file, text.replace("female", "male")).unwrap(),
        }
        if dice.below(2) == 0 {
            // Somebody sets it right again.
            let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../content");
            let own = demo.join(file.strip_prefix(content).unwrap());
            let _ = fs::copy(own, file);
        }
        if dice.below(3) == 0
            && let Some((file, bytes)) = away.pop()
        {
            fs::write(file, bytes).unwrap();
        }
    }

    /// What stands in the folder, with the digests of all records and the stamps of none.
    fn read_whole(content: &Path) -> SeenTexts {
        let mut listing = Listing::of(content).unwrap();
        for listed in &mut listing.entries {
            if let What::File(digest) = &mut listed.what
                && is_text(&listed.path)
            {
                *digest = Some(Digest::of_file(&listed.path).unwrap());
            }
        }
        (listing, Stamps::new())
    }

    #[test]
    fn a_file_that_changed_after_it_was_looked_at_is_read_again() {
        let place = tempfile::tempdir().unwrap();
        let content = demo(place.path());
        let kept = KeptRecords::default();
        let kennel = content.join("kennel.yaml");
        let text = fs::read_to_string(&kennel).unwrap();
        kept.now(&content).unwrap();
        fs::write(&kennel, format!("{text}# looked at\n")).unwrap();
        let seen = read_whole(&content);
        fs::write(&kennel, format!("{text}# and changed\n")).unwrap();
        kept.of(&content, seen);
        // It is again what was looked at, and what was read was not.
        fs::write(&kennel, format!("{text}# looked at\n")).unwrap();
        let now = kept.of(&content, read_whole(&content));
        assert!(
            now.sources
                .text("kennel.yaml")
                .unwrap()
                .ends_with("# looked at\n")
        );
    }

    #[test]
    fn what_is_kept_is_what_reading_everything_anew_gives() {
        let place = tempfile::tempdir().unwrap();
        let content = demo(place.path());
        let kept = KeptRecords::default();
        let (mut dice, mut away) = (Dice(17), Vec::new());
        for turn in 0..120 {
            let before = kept.now(&content).unwrap();
            // What is only tried leaves nothing behind.
            let files = texts(&content);
            let file = files[dice.below(files.len())]
                .strip_prefix(&content)
                .unwrap();
            let file = file.to_str().unwrap().to_owned();
            let text = fs::read_to_string(content.join(&file)).unwrap_or_default();
            let mut as_if = AsIf::default();
            as_if.texts.insert(file.clone(), text.replace('3', "4"));
            let tried = kept.as_if(&content, &as_if).unwrap();
            let instead = &as_if.texts;
            let cold = crate::records::load_with(&content, terminal::now(), instead).unwrap();
            assert_eq!(
                format!("{:#?}", tried.records),
                format!("{:#?}", cold.records),
                "turn {turn}: {file}"
            );
            assert_eq!(
                format!("{:#?}", tried.problems),
                format!("{:#?}", cold.problems),
                "turn {turn}: {file}"
            );
            let again = kept.now(&content).unwrap();
            assert_eq!(said(&again), said(&before), "turn {turn}");
            edit(&content, &mut dice, &mut away);
            // Looked at by the desk, or by a run that reads every file.
            let warm = if dice.below(2) == 0 {
                said(&kept.now(&content).unwrap())
            } else {
                said(&kept.of(&content, read_whole(&content)))
            };
            let cold = said(&load(&content, terminal::now()).unwrap());
            assert!(warm == cold, "turn {turn}:\n{warm}\n\n{cold}");
        }
    }

    #[test]
    fn a_kennel_in_which_nothing_changed_is_not_read_again() {
        let place = tempfile::tempdir().unwrap();
        let content = demo(place.path());
        fs::write(content.join("litters/picture.jpg"), "a picture").unwrap();
        std::thread::sleep(crate::cache::tick() * 2);
        let kept = KeptRecords::default();
        let (one, other) = (kept.now(&content).unwrap(), kept.now(&content).unwrap());
        assert!(Arc::ptr_eq(&one, &other));
        fs::write(content.join("litters/picture.jpg"), "another").unwrap();
        let other = kept.now(&content).unwrap();
        assert!(Arc::ptr_eq(&one, &other));
        // After a change all other files are those that were read.
        let weights = texts(&content)
            .into_iter()
            .find(|file| file.ends_with("weights.yaml"))
            .unwrap();
        let text = fs::read_to_string(&weights).unwrap();
        fs::write(&weights, format!("{text}# once more\n")).unwrap();
        let after = kept.now(&content).unwrap();
        let shared = |loaded: &Loaded| -> Vec<*const crate::records::litter::Litter> {
            let litters = loaded.records.as_ref().unwrap().litters.values();
            litters.map(|folder| &raw const **folder.litter).collect()
        };
        assert!(!Arc::ptr_eq(&one, &after) && shared(&one) == shared(&after));
    }
}
