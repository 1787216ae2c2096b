//! For tests: stops the program, fills the disk or lets somebody interfere at a chosen change.
//!
//! In: which change, counted from 0. Out: what happens there instead. Nothing in the writer cleans
//! up when it is dropped, apart from the lock that the system takes back, so unwinding leaves the
//! disk exactly as a kill would.

use std::cell::{Cell, RefCell};
use std::io;
use std::thread::LocalKey;

/// What happens at a change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mishap {
    /// Nothing.
    None,
    /// The program ends before this change.
    KillAt(usize),
    /// The program ends before it removes something for this time, counted from 0.
    KillAtRemoval(usize),
    /// From this change on, everything that needs room fails.
    FullFrom(usize),
    /// This one change is refused.
    RefuseAt(usize),
}

/// The payload of a simulated kill.
pub(super) struct Killed;

/// Somebody else who does something before a certain change.
type Guest = Option<(usize, Box<dyn FnOnce()>)>;

thread_local! {
    static FAULT: Cell<Mishap> = const { Cell::new(Mishap::None) };
    static COUNT: Cell<usize> = const { Cell::new(0) };
    static REMOVALS: Cell<usize> = const { Cell::new(0) };
    static GUEST: RefCell<Guest> = const { RefCell::new(None) };
    /// Whether the disk is not waited for. A kill, unlike a power cut, loses nothing that the
    /// system has taken over, so waiting thousands of times would prove nothing.
    pub(super) static NO_WAITING: Cell<bool> = const { Cell::new(false) };
    /// Whether the disk has no hard links.
    pub(super) static NO_LINKS: Cell<bool> = const { Cell::new(false) };
    /// Whether the disk cannot exchange folders.
    pub(super) static NO_EXCHANGE: Cell<bool> = const { Cell::new(false) };
}

/// Sets the fault and starts counting anew.
pub(super) fn arm(fault: Mishap) {
    FAULT.set(fault);
    COUNT.set(0);
    REMOVALS.set(0);
}

/// Lets somebody act before the given change, and starts counting anew.
pub(super) fn invite(at: usize, act: impl FnOnce() + 'static) {
    GUEST.set(Some((at, Box::new(act))));
    COUNT.set(0);
}

/// Whether the guest has not come yet.
pub(super) fn guest_waits() -> bool {
    GUEST.with_borrow(Option::is_some)
}

pub(super) fn strike(verb: &str) -> io::Result<()> {
    let now = COUNT.replace(COUNT.get() + 1);
    let removal = (verb == "remove").then(|| REMOVALS.replace(REMOVALS.get() + 1));
    if GUEST.with_borrow(|guest| guest.as_ref().is_some_and(|(at, _)| *at == now))
        && let Some((_, act)) = GUEST.take()
    {
        act();
    }
    let frees = matches!(
        verb,
        "remove" | "move" | "swap in" | "sync" | "set the rights of"
    );
    match FAULT.get() {
        Mishap::KillAt(at) if at == now => std::panic::resume_unwind(Box::new(Killed)),
        Mishap::KillAtRemoval(at) if removal == Some(at) => {
            std::panic::resume_unwind(Box::new(Killed))
        }
        Mishap::FullFrom(at) if now >= at && !frees => Err(io::ErrorKind::StorageFull.into()),
        Mishap::RefuseAt(at) if at == now => Err(io::ErrorKind::PermissionDenied.into()),
        _ => Ok(()),
    }
}

pub(super) fn without(switch: &'static LocalKey<Cell<bool>>) -> io::Result<()> {
    if switch.get() {
        Err(io::ErrorKind::Unsupported.into())
    } else {
        Ok(())
    }
}
