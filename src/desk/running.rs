//! A desk from beginning to end: the site and the book on this machine, always as the records are
//! now.
//!
//! In: the kennel's folder. Out: two addresses on the loopback address, and a line for each change,
//! until somebody ends it; exit code 0.
//!
//! Everybody who can log on to this machine reaches its addresses, so they answer only the browser
//! that was opened with the secret in their links (`src/desk/gate.rs`).
//!
//! A desk never changes what the keeper would deploy, so it does not write to `public/` and
//! `private/`: it makes both below `.litterfolio/desk/`, by the same way as `publish` and with a
//! memory of its own, in folders that nobody else may enter. It can be deleted at any time. What
//! stands in `public/` changes when the keeper says `publish`, and at no other time.
//!
//! A desk draws no secrets either. Sealed pages are made with the codes in `codes.yaml`, so the
//! keeper can open them as the family would; where there is no code yet, or it belongs to another
//! family, there is no sealed page before the next `publish`. Sealed anew for the desk, a page
//! differs in every byte from the one on the site, and opens to the same. Without a signing key,
//! the desk signs with one that is forgotten when it ends: nothing that it made is meant to be
//! given away.

use crate::Error;
use crate::app::folder::Folder;
use crate::app::kept::KeptRecords;
use crate::app::terminal::say;
use crate::app::{Outcome, secrets, site};
use crate::audience::keeper::ProblemsPage;

use super::address::{Addresses, Wanted};
use super::browser::{self, Browsing};
use super::gate::Gate;
use super::making::{MadeSites, Maker, make_place};
use super::server::{Sides, serve};
use super::sitting::{Seat, Sitting, write_link};
use super::watching::{How, Watcher};
use super::{Board, Desk, Shown, Wake};
use std::io::ErrorKind;
use std::panic::AssertUnwindSafe;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread::JoinHandle;
use std::time::Duration;

/// Changes are over when none came for so long.
const SETTLED: Duration = Duration::from_millis(120);
/// Somebody who saves without a pause, such as a program that copies photos, is not waited for
/// longer than so many times.
const ROUNDS: usize = 16;
/// How often the clock is looked at, for the day that begins at midnight.
const CLOCK: Duration = Duration::from_secs(20);
/// When it is tried again, where no record stood in the way.
const AGAIN: Duration = Duration::from_secs(3);
/// How long a run that is under way is waited for at the end, in steps of [`SETTLED`].
const FAREWELL: usize = 40;

/// How a desk is to be set up.
#[derive(Debug, Clone, Copy)]
pub struct Options {
    /// The ports that were asked for.
    pub ports: Wanted,
    /// When a browser is opened.
    pub browser: Browsing,
    /// How changes are to be noticed.
    pub how: How,
    /// How many threads to use.
    pub threads: Option<u16>,
}

/// Serves until somebody ends it.
///
/// # Errors
/// When the folder cannot be read, or no address can be listened on.
pub fn run(kennel: &Path, options: Options) -> Result<Outcome, Error> {
    run_and_tell(kennel, options, &mut |place, link| {
        browser::open(place, link, options.browser);
    })
}

/// The same; `opened` is told the folder of the desk and the link, once it can be opened. Where a
/// desk of this kennel runs already, it is opened, unless a port of its own was asked for.
pub(super) fn run_and_tell(
    kennel: &Path,
    options: Options,
    opened: &mut dyn FnMut(&Path, &str),
) -> Result<Outcome, Error> {
    begin(kennel)?;
    let kept = KeptRecords::default();
    let folder = Folder::keeping(kennel, &kept)?;
    let place = folder.state.join("desk");
    make_place(&folder)?;
    let is_another = options.ports.public.is_some() || options.ports.private.is_some();
    let sitting = match Sitting::begin(&place) {
        Seat::Ours(sitting) => Some(sitting),
        Seat::Taken(_) if is_another => None,
        Seat::Taken(link) => {
            say(&format!(
                "a desk for this kennel is running already\nbook: {link}\n"
            ));
            opened(&place, &link);
            return Ok(Outcome::clean(""));
        }
    };
    let link_place = sitting.as_ref().map(Sitting::link_place);
    let addresses = addresses(options.ports)?;
    let sides = Sides {
        public: place.join("public"),
        private: place.join("private"),
    };
    let (changed, changes) = channel();
    let how = options.how;
    let watcher = Watcher::start(
        kennel,
        &["content", "templates"],
        &["codes.yaml", "signing-keys.json"],
        how,
        &changed,
    )
    .map_err(|error| Error::io("watch the folder", kennel, error))?;
    let book = addresses.private();
    let next_link = link_place.clone();
    let tell = move |path: &str| {
        say(&format!(
            "opened in a browser; the next one opens with {book}{path}\n"
        ));
        if let Some(place) = &next_link {
            write_link(place, &format!("{book}{path}"));
        }
    };
    let gate = Gate::new(addresses.port(), Box::new(secrets::word), Box::new(tell));
    let gate = gate.ok_or_else(|| {
        Error::Usage(
            "the system gives no random bytes, so nobody could be kept out of the desk".to_owned(),
        )
    })?;
    let told = greeting(&addresses, &gate.path(), &watcher, how);
    let maker = Maker::new(
        kept.clone(),
        folder,
        site::Options::at(sides.public.clone(), sides.private.clone(), options.threads),
    );
    let board = Arc::new(Board::new(
        maker.in_place_of_pages(&ProblemsPage::making(), &Shown::default()),
    ));
    let wake = Wake::new(changed.clone());
    let ended = Arc::new(AtomicBool::new(false));
    let builder = {
        let (board, ended) = (Arc::clone(&board), Arc::clone(&ended));
        let changes = WhatChanged {
            told: changes,
            recorded: Arc::clone(&wake.recorded),
            made: 0,
        };
        std::thread::spawn(move || keep_making(maker, watcher, changes, &board, &ended))
    };
    let link = format!("{}{}", addresses.private(), gate.path());
    let desk = Desk::new(
        kennel,
        kept,
        gate,
        Arc::clone(&board),
        wake,
        addresses.public(),
    );
    let served = serve(addresses, sides, &desk, || {
        say(&told);
        if let Some(place) = &link_place {
            write_link(place, &link);
        }
        opened(&place, &link);
    });
    ended.store(true, Ordering::SeqCst);
    let _ = changed.send(());
    farewell(&builder);
    drop(sitting);
    served.map_err(|error| Error::Usage(format!("cannot serve the desk: {error}")))?;
    Ok(Outcome::clean(
        "\nthe desk has ended; the site that you published is as it was\n",
    ))
}

/// In an empty folder a kennel begins: its first form is that of `kennel.yaml`.
fn begin(kennel: &Path) -> Result<(), Error> {
    let is_empty = std::fs::read_dir(kennel).is_ok_and(|mut entries| entries.next().is_none());
    if !is_empty {
        return Ok(());
    }
    let content = kennel.join("content");
    std::fs::create_dir(&content).map_err(|error| Error::io("make the folder", &content, error))
}

fn addresses(wanted: Wanted) -> Result<Addresses, Error> {
    if wanted.public.is_some_and(|port| port > 0) && wanted.public == wanted.private {
        return Err(Error::Usage(
            "the site and the book need a port each: name two, or leave one out to get the next \
             free one"
                .to_owned(),
        ));
    }
    Addresses::open(wanted).map_err(|(port, error)| {
        Error::Usage(match error.kind() {
            ErrorKind::AddrInUse => format!(
                "port {port} is taken by another program; name another, or none to get the next \
                 free one"
            ),
            ErrorKind::PermissionDenied => {
                format!("port {port} may not be used by you: {error}; take one above 1023")
            }
            _ => format!("cannot use port {port} of this machine: {error}"),
        })
    })
}

fn greeting(addresses: &Addresses, path: &str, watcher: &Watcher, wanted: How) -> String {
    let (site, book) = (addresses.public(), addresses.private());
    let note = match (watcher.how(), wanted) {
        (How::Looking, How::Told) => {
            "note: the system cannot tell of changes here, so the files are looked at every \
             second\n"
        }
        _ => "",
    };
    format!(
        "site: {site}{path}\nbook: {book}{path}\nThe book is the desk: open it in your browser, \
         and record there. Either link shows both, to nobody else, and works once.\nWhat is saved \
         shows by itself, on this machine only. Ctrl-C ends the desk.\n{note}"
    )
}

/// Makes everything, and again after each change, until the end.
fn keep_making(
    mut maker: Maker,
    mut watcher: Watcher,
    mut changes: WhatChanged,
    board: &Board,
    ended: &AtomicBool,
) {
    loop {
        let before = board.now();
        let with = changes.begin();
        // A fault of ours must not leave a stale page standing: the next change may go well.
        let made = std::panic::catch_unwind(AssertUnwindSafe(|| maker.make(&before)));
        let MadeSites { shown, said, again } = made.unwrap_or_else(|_| maker.broke_off(&before));
        if ended.load(Ordering::SeqCst) {
            return;
        }
        board.say(Shown { with, ..shown });
        say(&said);
        loop {
            match changes.told.recv_timeout(if again { AGAIN } else { CLOCK }) {
                Ok(()) => {
                    changes.settle();
                    let with = changes.begin();
                    if again || maker.has_changed() {
                        break;
                    }
                    let shown = board.now();
                    board.say(Shown { with, ..shown });
                }
                Err(RecvTimeoutError::Timeout) if again || maker.day_is_over() => break,
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => return,
            }
        }
        if ended.load(Ordering::SeqCst) {
            return;
        }
        if let Err(why) = watcher.follow() {
            say(&format!(
                "note: {why}; end the desk and begin it anew with --network-drive\n"
            ));
        }
    }
}

/// What changed.
struct WhatChanged {
    told: Receiver<()>,
    /// How many changes were recorded here.
    recorded: Arc<AtomicU64>,
    /// How many of them are made.
    made: u64,
}

impl WhatChanged {
    /// What is made from now on has so many of the changes that were recorded here.
    fn begin(&mut self) -> u64 {
        self.made = self.recorded.load(Ordering::SeqCst);
        self.made
    }

    /// Waits until others have done saving. What was recorded here stands whole already.
    fn settle(&self) {
        for _ in 0..ROUNDS {
            // One save is often several changes.
            let is_ours = self.recorded.load(Ordering::SeqCst) > self.made;
            if is_ours || self.told.recv_timeout(SETTLED).is_err() {
                return;
            }
            while self.told.try_recv().is_ok() {}
        }
    }
}

/// Waits a moment for a run that is under way, so that the next desk finds nothing half done.
fn farewell(builder: &JoinHandle<()>) {
    for _ in 0..FAREWELL {
        if builder.is_finished() {
            return;
        }
        std::thread::sleep(SETTLED);
    }
}
