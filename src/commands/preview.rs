//! `preview`: the site and the book on this machine, always as the records are now.
//!
//! In: the kennel's folder. Out: two addresses on the loopback address, and a line for each change, until somebody ends it; exit code 0.
//!
//! Everybody who can log on to this machine reaches its addresses, so they answer only the browser that was opened with the secret in their links (`src/preview/gate.rs`).
//!
//! A preview never changes what the keeper would deploy, so it does not write to `public/` and `private/`: it makes both below
//! `.litterfolio/preview/`, by the same way as `publish` and with a memory of its own, in folders that nobody else may enter. It can be deleted at
//! any time. What stands in `public/` changes when the keeper says `publish`, and at no other time.
//!
//! A preview draws no secrets either. Sealed pages are made with the codes in `codes.yaml`, so the keeper can open them as the family would; where
//! there is no code yet, or it belongs to another family, there is no sealed page before the next `publish`. Sealed anew for the preview, a page
//! differs in every byte from the one on the site, and opens to the same. Without a signing key, the preview signs with one that is forgotten when it
//! ends: nothing that it made is meant to be given away.

mod making;

use super::folder::Folder;
use super::terminal::say;
use super::{Outcome, secrets, site};
use crate::Error;
use crate::audience::keeper::ProblemsPage;
use crate::output::private_folder;
use crate::preview::{Addresses, Board, Gate, How, Shown, Sides, Wanted, Watcher, serve};
use making::{Made, Maker};
use std::io::ErrorKind;
use std::panic::AssertUnwindSafe;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread::JoinHandle;
use std::time::Duration;

/// Changes are over when none came for so long.
const SETTLED: Duration = Duration::from_millis(120);
/// Somebody who saves without a pause, such as a program that copies photos, is not waited for longer than so many times.
const ROUNDS: usize = 16;
/// How often the clock is looked at, for the day that begins at midnight.
const CLOCK: Duration = Duration::from_secs(20);
/// When it is tried again, where no record stood in the way.
const AGAIN: Duration = Duration::from_secs(3);
/// How long a run that is under way is waited for at the end, in steps of [`SETTLED`].
const FAREWELL: usize = 40;

/// Options of `preview`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// Port of the public site on this machine [default: the next free one from 6300]
    #[arg(long, value_name = "N")]
    port: Option<u16>,
    /// Port of the keeper's book [default: the next free one from 6301]
    #[arg(long, value_name = "N")]
    book_port: Option<u16>,
    /// Look at the files every second; for a folder on a network drive, where changes are not told
    #[arg(long)]
    network_drive: bool,
    /// How many threads to use [default: one for each core]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    threads: Option<u16>,
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let folder = Folder::new(kennel)?;
    let addresses = addresses(options)?;
    let place = folder.state.join("preview");
    make_place(&folder)?;
    let sides = Sides { public: place.join("public"), private: place.join("private") };
    let (changed, changes) = channel();
    let how = if options.network_drive { How::Looking } else { How::Told };
    let watcher = Watcher::start(kennel, &["content", "templates"], &["codes.yaml", "signing-keys.json"], how, &changed)
        .map_err(|error| Error::io("watch the folder", kennel, error))?;
    let site = addresses.public();
    let tell = move |path: &str| say(&format!("opened in a browser; the next one opens with {site}{path}\n"));
    let gate = Gate::new(addresses.port(), Box::new(secrets::word), Box::new(tell));
    let gate = gate.ok_or_else(|| Error::Usage("the system gives no random bytes, so nobody could be kept out of the preview".to_owned()))?;
    let told = greeting(&addresses, &gate.path(), &watcher, how);
    let maker = Maker::new(kennel, folder, site::Options::at(sides.public.clone(), sides.private.clone(), options.threads));
    let board = Arc::new(Board::new(maker.in_place_of_pages(&ProblemsPage::making(), &Shown::default())));
    let ended = Arc::new(AtomicBool::new(false));
    let builder = {
        let (board, ended) = (Arc::clone(&board), Arc::clone(&ended));
        std::thread::spawn(move || keep_making(maker, watcher, &changes, &board, &ended))
    };
    let served = serve(addresses, sides, gate, &board, || say(&told));
    ended.store(true, Ordering::SeqCst);
    let _ = changed.send(());
    farewell(&builder);
    served.map_err(|error| Error::Usage(format!("cannot serve the preview: {error}")))?;
    Ok(Outcome::clean("\nthe preview has ended; the site that you published is as it was\n"))
}

fn addresses(options: &Options) -> Result<Addresses, Error> {
    let Options { port, book_port, network_drive: _, threads: _ } = options;
    if port.is_some_and(|port| port > 0 && *book_port == Some(port)) {
        return Err(Error::Usage("the site and the book need a port each: name two, or leave one out to get the next free one".to_owned()));
    }
    Addresses::open(Wanted { public: *port, private: *book_port }).map_err(|(port, error)| {
        Error::Usage(match error.kind() {
            ErrorKind::AddrInUse => format!("port {port} is taken by another program; name another, or none to get the next free one"),
            ErrorKind::PermissionDenied => format!("port {port} may not be used by you: {error}; take one above 1023"),
            _ => format!("cannot use port {port} of this machine: {error}"),
        })
    })
}

/// The folder of previews, which only the keeper may enter.
fn make_place(folder: &Folder) -> Result<(), Error> {
    std::fs::create_dir_all(&folder.state).map_err(|error| Error::io("make the folder", &folder.state, error))?;
    Ok(private_folder(&folder.state.join("preview")).map_err(crate::keyring::KeyringError::from)?)
}

fn greeting(addresses: &Addresses, path: &str, watcher: &Watcher, wanted: How) -> String {
    let (site, book) = (addresses.public(), addresses.private());
    let note = match (watcher.how(), wanted) {
        (How::Looking, How::Told) => "note: the system cannot tell of changes here, so the files are looked at every second\n",
        _ => "",
    };
    format!(
        "site: {site}{path}\nbook: {book}{path}\n\
         Open one of them in your browser: it then shows both, to nobody else. A link works once.\n\
         What you save shows by itself, on this machine only. Ctrl-C ends the preview.\n{note}"
    )
}

/// Makes everything, and again after each change, until the end.
fn keep_making(mut maker: Maker, mut watcher: Watcher, changes: &Receiver<()>, board: &Board, ended: &AtomicBool) {
    loop {
        let before = board.now();
        // A fault of ours must not leave a stale page standing: the next change may go well.
        let made = std::panic::catch_unwind(AssertUnwindSafe(|| maker.make(&before)));
        let Made { shown, said, again } = made.unwrap_or_else(|_| maker.broke_off(&before));
        if ended.load(Ordering::SeqCst) {
            return;
        }
        board.say(shown);
        say(&said);
        loop {
            match changes.recv_timeout(if again { AGAIN } else { CLOCK }) {
                Ok(()) => {
                    settle(changes);
                    break;
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
            say(&format!("note: {why}; end the preview and begin it anew with --network-drive\n"));
        }
    }
}

fn settle(changes: &Receiver<()>) {
    for _ in 0..ROUNDS {
        // One save is often several changes.
        if changes.recv_timeout(SETTLED).is_err() {
            return;
        }
        while changes.try_recv().is_ok() {}
    }
}

/// Waits a moment for a run that is under way, so that the next preview finds nothing half done.
fn farewell(builder: &JoinHandle<()>) {
    for _ in 0..FAREWELL {
        if builder.is_finished() {
            return;
        }
        std::thread::sleep(SETTLED);
    }
}
