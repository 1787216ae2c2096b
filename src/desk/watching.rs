//! Which records and templates changed.
//!
//! In: the kennel's folder, and the names in it that matter. Out: a word on a channel whenever
//! something in them changed. Where the system cannot tell, as on many network drives, the files
//! are looked at every second instead. What no run reads (hidden files, copies that editors put
//! beside a file) is passed over, and so is everything that is only read.

use super::standing::{is_below_passed_over, standing};
use notify::event::{EventKind, ModifyKind};
use notify::{Config, Event, RecommendedWatcher, RecursiveMode, Watcher as _};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::time::Duration;

/// How often files are looked at where the system does not tell.
const EVERY: Duration = Duration::from_secs(1);

/// How changes are noticed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// The system tells.
    Told,
    /// The files are looked at every second.
    Looking,
}

/// Watches as long as it lives.
pub(crate) struct Watcher {
    inner: Watching,
    root: PathBuf,
    folders: Vec<PathBuf>,
    /// A watched folder came, went, or was put in another's place: it has to be watched anew.
    moved: Arc<AtomicBool>,
}

enum Watching {
    Told(RecommendedWatcher),
    /// When this is dropped, the looking ends.
    Looking {
        _end: Sender<()>,
    },
}

impl Watcher {
    /// Watches the `folders` of the kennel with all in them, and the `files` beside them. Says on
    /// `changed` that something did.
    ///
    /// # Errors
    /// When the kennel's folder cannot be found.
    pub(crate) fn start(
        root: &Path,
        folders: &[&str],
        files: &[&str],
        how: How,
        changed: &Sender<()>,
    ) -> std::io::Result<Self> {
        let root = root.canonicalize()?;
        let folders: Vec<PathBuf> = folders.iter().map(|name| root.join(name)).collect();
        let files: Vec<PathBuf> = files.iter().map(|name| root.join(name)).collect();
        let moved = Arc::new(AtomicBool::new(false));
        let told = match how {
            How::Told => told(
                &root,
                &folders,
                handler(
                    folders.clone(),
                    files.clone(),
                    Arc::clone(&moved),
                    changed.clone(),
                ),
            )
            .ok(),
            How::Looking => None,
        };
        let inner = told.map_or_else(
            || look([folders.clone(), files].concat(), changed.clone()),
            Watching::Told,
        );
        Ok(Self {
            inner,
            root,
            folders,
            moved,
        })
    }

    /// How changes are noticed.
    #[must_use]
    pub(crate) fn how(&self) -> How {
        match self.inner {
            Watching::Told(_) => How::Told,
            Watching::Looking { .. } => How::Looking,
        }
    }

    /// Watches folders anew that came, went or were exchanged since.
    ///
    /// # Errors
    /// When the system cannot watch so much.
    pub(crate) fn follow(&mut self) -> Result<(), String> {
        let Watching::Told(watcher) = &mut self.inner else {
            return Ok(());
        };
        if !self.moved.swap(false, Ordering::SeqCst) {
            return Ok(());
        }
        for folder in &self.folders {
            // It may be gone, and its watch with it.
            let _ = watcher.unwatch(folder);
        }
        watch(watcher, &self.folders)
            .map_err(|error| format!("{} cannot be watched: {error}", self.root.display()))
    }
}

fn told(
    root: &Path,
    folders: &[PathBuf],
    handler: impl notify::EventHandler,
) -> Result<RecommendedWatcher, notify::Error> {
    let mut watcher = RecommendedWatcher::new(handler, Config::default())?;
    watcher.watch(root, RecursiveMode::NonRecursive)?;
    watch(&mut watcher, folders)?;
    Ok(watcher)
}

fn watch(watcher: &mut RecommendedWatcher, folders: &[PathBuf]) -> Result<(), notify::Error> {
    folders
        .iter()
        .filter(|folder| folder.is_dir())
        .try_for_each(|folder| watcher.watch(folder, RecursiveMode::Recursive))
}

/// Looks every second, to the nanosecond of each file's time: two saves within one second are two.
fn look(places: Vec<PathBuf>, changed: Sender<()>) -> Watching {
    let (end, ended) = channel::<()>();
    let mut before = standing(&places);
    std::thread::spawn(move || {
        while ended.recv_timeout(EVERY) == Err(RecvTimeoutError::Timeout) {
            let now = standing(&places);
            if now != before {
                before = now;
                let _ = changed.send(());
            }
        }
    });
    Watching::Looking { _end: end }
}

fn handler(
    folders: Vec<PathBuf>,
    files: Vec<PathBuf>,
    moved: Arc<AtomicBool>,
    changed: Sender<()>,
) -> impl FnMut(Result<Event, notify::Error>) + Send + 'static {
    move |event| {
        let matters = match &event {
            Ok(event) => {
                let is_move = matches!(
                    event.kind,
                    EventKind::Create(_)
                        | EventKind::Remove(_)
                        | EventKind::Modify(ModifyKind::Name(_))
                );
                if is_move && event.paths.iter().any(|path| folders.contains(path)) {
                    moved.store(true, Ordering::SeqCst);
                }
                event.need_rescan() || matters(event, &folders, &files)
            }
            // Something was missed: look.
            Err(_) => true,
        };
        if matters {
            // Nobody listens any more when the program ends.
            let _ = changed.send(());
        }
    }
}

fn matters(event: &Event, folders: &[PathBuf], files: &[PathBuf]) -> bool {
    if matches!(event.kind, EventKind::Access(_)) {
        return false;
    }
    event.paths.iter().any(|path| {
        let below = folders
            .iter()
            .find_map(|folder| path.strip_prefix(folder).ok());
        below.is_some_and(|below| !is_below_passed_over(below)) || files.contains(path)
    })
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use std::fs;
    use std::sync::mpsc::{Receiver, channel};

    const LONG: Duration = Duration::from_secs(20);
    const SHORT: Duration = Duration::from_millis(300);

    fn quiet(changes: &Receiver<()>) {
        while changes.recv_timeout(SHORT).is_ok() {}
    }

    fn watched(how: How) -> (tempfile::TempDir, Watcher, Receiver<()>) {
        let home = tempfile::tempdir().unwrap();
        fs::create_dir_all(home.path().join("content/litters/spring")).unwrap();
        fs::write(home.path().join("content/kennel.yaml"), "a").unwrap();
        let (sender, changes) = channel();
        let watcher = Watcher::start(
            home.path(),
            &["content", "templates"],
            &["codes.yaml"],
            how,
            &sender,
        )
        .unwrap();
        (home, watcher, changes)
    }

    #[test]
    fn changes_of_records_and_templates_are_told_and_others_are_not() {
        let (home, mut watcher, changes) = watched(How::Told);
        let at = |name: &str| home.path().join(name);
        for name in [
            "content/litters/spring/weights.yaml",
            "content/kennel.yaml",
            "codes.yaml",
        ] {
            fs::write(at(name), "b").unwrap();
            changes.recv_timeout(LONG).expect(name);
            quiet(&changes);
        }
        for name in [
            "content/.kennel.yaml.swp",
            "content/kennel.yaml~",
            "notes.txt",
        ] {
            fs::write(at(name), "b").unwrap();
        }
        fs::create_dir_all(at(".litterfolio/desk")).unwrap();
        fs::read(at("content/kennel.yaml")).unwrap();
        assert!(
            changes.recv_timeout(SHORT).is_err(),
            "nothing of this matters"
        );
        // A folder that was not there is watched once it is.
        fs::create_dir(at("templates")).unwrap();
        changes.recv_timeout(LONG).expect("templates");
        watcher.follow().unwrap();
        quiet(&changes);
        fs::write(at("templates/a.css"), "b").unwrap();
        changes.recv_timeout(LONG).expect("templates/a.css");
        // A folder put in the place of another is watched as well.
        fs::rename(at("content"), at("old")).unwrap();
        fs::create_dir(at("content")).unwrap();
        changes.recv_timeout(LONG).expect("content");
        quiet(&changes);
        watcher.follow().unwrap();
        fs::write(at("content/kennel.yaml"), "c").unwrap();
        changes.recv_timeout(LONG).expect("content anew");
    }

    #[test]
    fn where_the_system_does_not_tell_files_are_looked_at() {
        let (home, watcher, changes) = watched(How::Looking);
        assert_eq!(watcher.how(), How::Looking);
        fs::write(home.path().join("content/kennel.yaml"), "b").unwrap();
        changes.recv_timeout(LONG).expect("the change");
    }
}
