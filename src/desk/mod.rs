//! The keeper's book as a program in the browser, on this machine only: the pages of the book and
//! of the site as the records are now, and forms in which everything can be recorded.
//!
//! In: the kennel's folder, requests of a browser on this machine. Out: answers, and changes of the
//! records that were asked for, made through `app`. Who asks from another machine, without the
//! secret that the keeper was shown, by another name or for another folder gets nothing; a change
//! also needs the token of a form of ours. Pages get a line of script on their way out, those of
//! the book links as well; what stands on the disk is not changed by it, and sealed pages leave
//! exactly as they are.
//!
//! It must never: listen on anything but the loopback address (phones aside, which are heard where
//! and while the keeper says so), list a folder, follow a link out of one, or write to `public/`
//! and `private/` unless the keeper says `publish`.
//!
//! | file | what it does |
//! |---|---|
//! | `acting.rs` | the daily acts under their addresses |
//! | `acts/` | the daily acts: pages made for what a keeper does most often |
//! | `address.rs` | finds two free ports |
//! | `answer.rs` | bytes of some kind as an answer |
//! | `asking.rs` | whether a request may be answered at all |
//! | `backing_up.rs` | the last backup, and a new one |
//! | `browser.rs` | opens the keeper's browser |
//! | `choosing.rs` | asks for the folder of a kennel, where none is known |
//! | `codes.rs` | families' pages and their access codes |
//! | `comparing.rs` | what would change if the site were published now |
//! | `finding.rs` | from the path of a request to a file below the folder |
//! | `folders.rs` | a folder that was typed |
//! | `forms/` | forms in which every field of every record can be set |
//! | `gate.rs` | who is let in: the browser that was opened with the secret |
//! | `handing.rs` | a puppy that leaves: what is missing, its papers; an export |
//! | `history.rs` | the changes that were made, and taking them back |
//! | `kinds.rs` | what a file is, by its ending |
//! | `making.rs` | makes site and book again after a change |
//! | `mending.rs` | records as text, with what is wrong in them |
//! | `page.rs` | the desk's own pages: templates and views to answers |
//! | `phones/` | phones at the box: a second listener, off until it is asked for |
//! | `posted.rs` | the fields of a form that was sent |
//! | `program.rs` | the program's own commands, run beside the desk |
//! | `publishing.rs` | publishing: before, while it runs, and afterwards |
//! | `routes.rs` | what is answered under the desk's own addresses |
//! | `running.rs` | a desk from beginning to end |
//! | `script.rs` | what is put into a page on its way out |
//! | `server.rs` | connections, and who answers what |
//! | `showing.rs` | site and book as they were made, and a word when they change |
//! | `sitting.rs` | the one desk of a kennel, and its link |
//! | `standing.rs` | whether something in a folder changed |
//! | `strip.rs` | the links at the top of a page of the book |
//! | `this_kennel.rs` | the kennel as a whole: its folder, another one, the end |
//! | `watching.rs` | which records and templates changed |

// The floors below.
use litterfolio_app::{self as app, Error};
use litterfolio_audience as audience;
use litterfolio_cache as cache;
use litterfolio_husbandry as husbandry;
use litterfolio_keyring as keyring;
use litterfolio_output as output;
use litterfolio_pages as pages;
use litterfolio_photos as photos;
use litterfolio_quantity as quantity;
use litterfolio_records as records;
use litterfolio_sealing as sealing;

mod acting;
mod acts;
mod address;
mod answer;
mod asking;
mod backing_up;
mod browser;
mod choosing;
mod codes;
mod comparing;
mod finding;
mod folders;
mod forms;
mod gate;
mod handing;
mod history;
mod kinds;
mod making;
mod mending;
mod page;
mod phones;
mod posted;
mod program;
mod publishing;
mod renaming;
mod routes;
mod running;
mod said_here;
mod script;
mod server;
mod showing;
mod sitting;
mod standing;
mod strip;
mod this_kennel;
mod watching;

pub use address::Wanted;
pub use browser::Browsing;
pub use choosing::choose;
pub use running::{Options, run};
pub use watching::How;

use crate::app::folder::Folder;
use crate::app::kept::KeptRecords;
use crate::records::Loaded;
use gate::Gate;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::Sender;
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::{Notify, watch};

/// What all answers of one desk share.
#[derive(Debug)]
struct Desk {
    kennel: PathBuf,
    gate: Gate,
    board: Arc<Board>,
    told: acts::ActNotice,
    /// Where the public site is seen on this machine.
    site: String,
    publication: publishing::Publication,
    phones: phones::Phones,
    /// The records, which stay loaded.
    kept: KeptRecords,
    wake: Wake,
    /// Told when the desk is to end.
    end: Arc<Notify>,
}

/// Wakes the maker of site and book when something was recorded here.
#[derive(Debug)]
struct Wake {
    changes: Mutex<Sender<()>>,
    /// How many changes were recorded here.
    recorded: Arc<AtomicU64>,
}

impl Wake {
    fn new(changes: Sender<()>) -> Self {
        Self {
            changes: Mutex::new(changes),
            recorded: Arc::default(),
        }
    }

    /// Something was recorded.
    fn recorded(&self) {
        self.recorded.fetch_add(1, Ordering::SeqCst);
        let changes = self.changes.lock().unwrap_or_else(PoisonError::into_inner);
        // Nobody listens any more when the program ends.
        let _ = changes.send(());
    }
}

impl Desk {
    fn new(
        kennel: &Path,
        kept: KeptRecords,
        gate: Gate,
        board: Arc<Board>,
        wake: Wake,
        site: String,
    ) -> Arc<Self> {
        Arc::new(Self {
            kennel: kennel.to_owned(),
            gate,
            board,
            told: acts::ActNotice::default(),
            site,
            publication: publishing::Publication::default(),
            phones: phones::Phones::default(),
            kept,
            wake,
            end: Arc::default(),
        })
    }

    /// The kennel's folder, with the records that are loaded.
    fn folder(&self) -> Result<Folder, Error> {
        Folder::keeping(&self.kennel, &self.kept)
    }

    /// The records as they stand now.
    fn records(&self) -> Result<Arc<Loaded>, Error> {
        self.folder()?.records()
    }

    /// Where the program keeps what it remembers.
    fn state(&self) -> PathBuf {
        self.kennel.join(".litterfolio")
    }

    /// Where the records stand.
    fn content(&self) -> PathBuf {
        self.kennel.join("content")
    }
}

/// What the builder last said. Whoever looks at a page is told when this changes.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Shown {
    /// Changes whenever another public site is to be seen.
    pub public: String,
    /// Changes whenever another keeper's book is to be seen.
    pub private: String,
    /// Stands in place of every page: there is no site yet, or the records have problems.
    pub instead: Option<Arc<str>>,
    /// How many of the changes that were recorded here are in it.
    pub with: u64,
    /// Where on its host the public site will stand, such as `/puppies/`: the page for lost
    /// visitors links to it.
    pub below: Option<String>,
}

/// Where the builder says it.
#[derive(Debug)]
struct Board(watch::Sender<Shown>);

impl Board {
    /// A board on which something stands.
    #[must_use]
    fn new(first: Shown) -> Self {
        Self(watch::Sender::new(first))
    }

    /// Says something new.
    fn say(&self, shown: Shown) {
        self.0.send_replace(shown);
    }

    /// What stands there now.
    #[must_use]
    fn now(&self) -> Shown {
        self.0.borrow().clone()
    }

    fn look(&self) -> watch::Receiver<Shown> {
        self.0.subscribe()
    }
}
