//! Addresses of this machine in the local network, the likeliest first.
//!
//! In: the network cards. Out: addresses that a phone in the same home can reach: private ones (RFC
//! 1918, RFC 4193), never one of the open network. Addresses of a single link (`fe80::`) are left
//! out: no browser can open them by a link.

use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener, UdpSocket};

/// Where looking for a free port begins.
const FIRST: u16 = 6390;
/// How many are tried.
const TRIED: u16 = 10;

/// A card, and an address that it has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Card {
    /// What the system calls it.
    pub(super) name: String,
    pub(super) address: IpAddr,
}

/// Whether this is an address of a local network. That of this machine alone may be asked for, but
/// is not offered.
pub(super) fn is_local(address: IpAddr) -> bool {
    match address {
        IpAddr::V4(four) => four.is_private() || four.is_loopback(),
        IpAddr::V6(six) => six.is_unique_local() || six.is_loopback(),
    }
}

/// All addresses that phones may reach.
pub(super) fn cards() -> Vec<Card> {
    let found = if_addrs::get_if_addrs().unwrap_or_default();
    let cards = found.into_iter().map(|found| Card {
        address: found.ip(),
        name: found.name,
    });
    in_order(cards.collect(), outward())
}

/// Whether this machine has the address now. A listener whose address went away, such as with
/// another network, stays and is heard by nobody until the address comes back.
pub(super) fn is_there(address: IpAddr, cards: &[Card]) -> bool {
    address.is_loopback() || cards.iter().any(|card| card.address == address)
}

fn in_order(mut cards: Vec<Card>, outward: Option<IpAddr>) -> Vec<Card> {
    cards.retain(|card| is_local(card.address) && !card.address.is_loopback());
    cards.sort_by_key(|card| {
        (
            Some(card.address) != outward,
            !card.address.is_ipv4(),
            is_made_up(&card.name),
            card.name.clone(),
            card.address,
        )
    });
    cards.dedup();
    cards
}

/// Cards of virtual machines, containers and tunnels: no phone is behind them.
fn is_made_up(name: &str) -> bool {
    const BEGIN: [&str; 10] = [
        "br-", "docker", "lxc", "podman", "tap", "tun", "utun", "veth", "virbr", "vmnet",
    ];
    let name = name.to_ascii_lowercase();
    let inside = ["vethernet", "virtualbox", "vmware", "wsl"];
    BEGIN.iter().any(|begin| name.starts_with(begin))
        || inside.iter().any(|part| name.contains(part))
}

/// The address by which this machine reaches others. Nothing is sent: an address of the range for
/// documentation (RFC 5737) is only looked up in the system's table.
fn outward() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(198, 51, 100, 1), 9)).ok()?;
    Some(socket.local_addr().ok()?.ip())
}

/// Binds an address of the local network: the port of before, or one of ours, or any.
pub(super) fn bind(address: IpAddr, before: Option<u16>) -> std::io::Result<TcpListener> {
    let ports = before.into_iter().chain(FIRST..FIRST + TRIED).chain([0]);
    let mut last = None;
    for port in ports {
        match TcpListener::bind(SocketAddr::new(address, port)) {
            Ok(listener) => return Ok(listener),
            Err(error) => last = Some(error),
        }
    }
    Err(last.unwrap_or_else(|| std::io::ErrorKind::AddrNotAvailable.into()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn card(name: &str, address: &str) -> Card {
        Card {
            name: name.to_owned(),
            address: address.parse().unwrap(),
        }
    }

    // RFC 1918 section 3, RFC 4193 section 3.1.
    #[test]
    fn only_addresses_of_a_local_network_are_taken() {
        for address in [
            "10.0.0.1",
            "172.16.0.1",
            "172.31.255.254",
            "192.168.1.5",
            "fd00::2",
        ] {
            assert!(is_local(address.parse().unwrap()), "{address}");
        }
        for address in [
            "0.0.0.0",
            "::",
            "8.8.8.8",
            "172.32.0.1",
            "172.15.0.1",
            "192.169.0.1",
            "100.64.0.1",
            "169.254.1.1",
            "fe80::1",
            "2001:db8::1",
            "::ffff:8.8.8.8",
        ] {
            assert!(!is_local(address.parse().unwrap()), "{address}");
        }
    }

    #[test]
    fn the_card_that_leads_outward_comes_first_and_made_up_ones_last() {
        let cards = vec![
            card("docker0", "172.17.0.1"),
            card("lo", "127.0.0.1"),
            card("eth0", "10.1.1.4"),
            card("wlan0", "fd00::2"),
            card("wlan0", "192.168.1.5"),
            card("eth1", "203.0.113.7"),
            card("wlan0", "fe80::1"),
        ];
        let order = |outward: Option<&str>| {
            let outward = outward.map(|address| address.parse().unwrap());
            let cards = in_order(cards.clone(), outward);
            let shown = cards.iter().map(|card| card.address.to_string());
            shown.collect::<Vec<_>>()
        };
        assert_eq!(
            order(Some("192.168.1.5")),
            ["192.168.1.5", "10.1.1.4", "172.17.0.1", "fd00::2"]
        );
        assert_eq!(
            order(None),
            ["10.1.1.4", "192.168.1.5", "172.17.0.1", "fd00::2"]
        );
    }

    #[test]
    fn an_address_is_there_while_a_card_has_it_and_that_of_the_machine_itself_always() {
        let cards = [card("wlan0", "192.168.1.5")];
        let is_there = |address: &str| is_there(address.parse().unwrap(), &cards);
        assert!(is_there("192.168.1.5"));
        assert!(is_there("127.0.0.1"));
        assert!(!is_there("192.168.1.6"));
        assert!(!is_there("fd00::2"));
    }

    #[test]
    fn a_port_that_is_taken_is_passed_over() {
        let here = IpAddr::V4(Ipv4Addr::LOCALHOST);
        let first = bind(here, None).unwrap();
        let port = first.local_addr().unwrap().port();
        let second = bind(here, Some(port)).unwrap();
        assert_ne!(second.local_addr().unwrap().port(), port);
        drop(second);
        drop(first);
        let again = bind(here, Some(port)).unwrap();
        assert_eq!(again.local_addr().unwrap().port(), port);
    }
}
