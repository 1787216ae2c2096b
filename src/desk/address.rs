//! Two ports of the loopback address: one for the public site, one for the keeper's book.
//!
//! In: the ports that were asked for. Out: listeners, bound to 127.0.0.1 and, where there is one,
//! to `[::1]`. Two ports are two origins: a page of the public site cannot read the keeper's book.
//! It must never bind any other address.

use std::io::{self, ErrorKind};
use std::net::{Ipv4Addr, Ipv6Addr, SocketAddr, TcpListener};

/// Where looking for a free port begins: a litter is carried for some 63 days.
pub(super) const FIRST: u16 = 6300;
/// How many ports are tried.
const TRIED: u16 = 100;

/// The ports that were asked for; nothing means the next free one, and 0 any free one.
#[derive(Debug, Clone, Copy, Default)]
pub struct Wanted {
    /// For the public site.
    pub public: Option<u16>,
    /// For the keeper's book.
    pub private: Option<u16>,
}

/// The listeners of both sides.
#[derive(Debug)]
pub(crate) struct Addresses {
    pub(super) public: Door,
    pub(super) private: Door,
}

/// One port, on each loopback address that this machine has.
#[derive(Debug)]
pub(super) struct Door {
    pub(super) port: u16,
    pub(super) listeners: Vec<TcpListener>,
}

impl Addresses {
    /// Opens both ports.
    ///
    /// # Errors
    /// The port that cannot be had, and why.
    pub(crate) fn open(wanted: Wanted) -> Result<Self, (u16, io::Error)> {
        let public = Door::open(wanted.public, FIRST)?;
        let private = Door::open(wanted.private, public.port.checked_add(1).unwrap_or(FIRST))?;
        Ok(Self { public, private })
    }

    /// Port of the public site.
    #[must_use]
    pub(crate) fn port(&self) -> u16 {
        self.public.port
    }

    /// Where the public site is seen.
    #[must_use]
    pub(crate) fn public(&self) -> String {
        self.public.address()
    }

    /// Where the keeper's book is seen.
    #[must_use]
    pub(crate) fn private(&self) -> String {
        self.private.address()
    }
}

impl Door {
    pub(super) fn open(wanted: Option<u16>, first: u16) -> Result<Self, (u16, io::Error)> {
        if let Some(port) = wanted {
            return Self::at(port).map_err(|error| (port, error));
        }
        let mut last = None;
        for port in first..=first.saturating_add(TRIED) {
            match Self::at(port) {
                Ok(door) => return Ok(door),
                Err(error)
                    if matches!(
                        error.kind(),
                        ErrorKind::AddrInUse | ErrorKind::PermissionDenied
                    ) =>
                {
                    last = Some((port, error));
                }
                Err(error) => return Err((port, error)),
            }
        }
        Self::at(0).map_err(|error| last.unwrap_or((0, error)))
    }

    /// A port is had only whole: `localhost` may mean either address, and somebody else may listen
    /// on one of them.
    fn at(port: u16) -> io::Result<Self> {
        let four = TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port)))?;
        let port = four.local_addr()?.port();
        let mut listeners = vec![four];
        match TcpListener::bind(SocketAddr::from((Ipv6Addr::LOCALHOST, port))) {
            Ok(six) => listeners.push(six),
            Err(error) if error.kind() == ErrorKind::AddrInUse => return Err(error),
            // This machine has no such address.
            Err(_) => {}
        }
        Ok(Self { port, listeners })
    }

    pub(super) fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_sides_have_ports_of_their_own_on_the_loopback_address_only() {
        let addresses = Addresses::open(Wanted {
            public: Some(0),
            private: Some(0),
        })
        .unwrap();
        assert_ne!(addresses.public.port, addresses.private.port);
        for listener in addresses
            .public
            .listeners
            .iter()
            .chain(&addresses.private.listeners)
        {
            assert!(listener.local_addr().unwrap().ip().is_loopback());
        }
    }

    #[test]
    fn a_taken_port_is_refused_when_it_was_asked_for_and_passed_over_when_not() {
        let taken = Addresses::open(Wanted {
            public: Some(0),
            private: Some(0),
        })
        .unwrap();
        let (port, error) = Addresses::open(Wanted {
            public: Some(taken.public.port),
            private: None,
        })
        .unwrap_err();
        assert_eq!(
            (port, error.kind()),
            (taken.public.port, ErrorKind::AddrInUse)
        );
        let next = Addresses::open(Wanted {
            public: Some(0),
            private: None,
        })
        .unwrap();
        assert_ne!(next.private.port, taken.private.port);
        let passed_over = Door::open(None, taken.public.port).unwrap();
        assert_ne!(passed_over.port, taken.public.port);
    }
}
