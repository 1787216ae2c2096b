//! Showing what was built, on this machine only: two folders at two addresses, and a word to the browser when something changed.
//!
//! In: two folders, what the builder last said of them ([`Shown`]), requests of a browser on this machine. Out: answers. Who asks from another
//! machine, without the secret that the keeper was shown, by another name, for another folder or with anything but GET and HEAD gets nothing. Pages that reload by themselves get a line of script
//! on their way out; nothing on the disk is ever changed, and sealed pages leave exactly as they are.
//!
//! It must never: listen on anything but the loopback address, list a folder, follow a link out of one, or write.
//!
//! | file | what it does |
//! |---|---|
//! | `address.rs` | finds two free ports |
//! | `asking.rs` | whether a request may be answered at all |
//! | `finding.rs` | from the path of a request to a file below the folder |
//! | `gate.rs` | who is let in: the browser that was opened with the secret |
//! | `kinds.rs` | what a file is, by its ending |
//! | `script.rs` | the line of script that reloads a page |
//! | `server.rs` | connections and answers |
//! | `standing.rs` | whether something in a folder changed |
//! | `watching.rs` | which records and templates changed |

mod address;
mod asking;
mod finding;
mod gate;
mod kinds;
mod script;
mod server;
mod standing;
mod watching;

pub use address::{Addresses, Wanted};
pub use gate::{Draw, Gate};
pub use server::{Sides, serve};
pub use standing::standing;
pub use watching::{How, Watcher};

use std::sync::Arc;
use tokio::sync::watch;

/// What the builder last said. Whoever looks at a page is told when this changes.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Shown {
    /// Changes whenever another public site is to be seen.
    pub public: String,
    /// Changes whenever another keeper's book is to be seen.
    pub private: String,
    /// Stands in place of every page: there is no site yet, or the records have problems.
    pub instead: Option<Arc<str>>,
    /// Where on its host the public site will stand, such as `/puppies/`: the page for lost visitors links to it.
    pub below: Option<String>,
}

/// Where the builder says it.
#[derive(Debug)]
pub struct Board(watch::Sender<Shown>);

impl Board {
    /// A board on which something stands.
    #[must_use]
    pub fn new(first: Shown) -> Self {
        Self(watch::Sender::new(first))
    }

    /// Says something new.
    pub fn say(&self, shown: Shown) {
        self.0.send_replace(shown);
    }

    /// What stands there now.
    #[must_use]
    pub fn now(&self) -> Shown {
        self.0.borrow().clone()
    }

    fn look(&self) -> watch::Receiver<Shown> {
        self.0.subscribe()
    }
}
