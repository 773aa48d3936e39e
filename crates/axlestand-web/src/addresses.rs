//! The addresses of this machine.

use std::net::{IpAddr, Ipv4Addr, UdpSocket};

/// Where Linux lists the addresses that it answers at (proc(5), `/proc/net/fib_trie`).
const KERNEL_LIST: &str = "/proc/net/fib_trie";

/// This machine's address in its network: the one that it would reach others from. `None` where it has
/// none. Nothing is sent.
#[must_use]
pub fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind("0.0.0.0:0").ok()?;
    // An address of documentation (RFC 5737): only the route to it is looked up.
    socket.connect("192.0.2.1:9").ok()?;
    let own = socket.local_addr().ok()?.ip();
    (!own.is_loopback() && !own.is_unspecified()).then_some(own)
}

/// Every address at which others may reach this machine, as far as the system lists them.
pub(crate) fn own_addresses() -> Vec<IpAddr> {
    let list = kernel_list();
    let mut all: Vec<IpAddr> =
        own_address().into_iter().chain(listed(&list, "host LOCAL").map(IpAddr::V4)).collect();
    all.sort();
    all.dedup();
    all
}

/// Whether an address stands for every device of a network that this machine is in, as far as the system
/// lists those. A socket can be opened there, and nobody comes in.
pub(crate) fn is_of_all(address: IpAddr) -> bool {
    listed(&kernel_list(), "link BROADCAST").any(|all| IpAddr::V4(all) == address)
}

fn kernel_list() -> String {
    std::fs::read_to_string(KERNEL_LIST).unwrap_or_default()
}

/// The addresses in the kernel's list whose next line says that they are of this kind.
fn listed<'a>(list: &'a str, kind: &'a str) -> impl Iterator<Item = Ipv4Addr> + 'a {
    let of_kind = list.lines().zip(list.lines().skip(1)).filter(move |(_, next)| next.contains(kind));
    of_kind
        .filter_map(|(line, _)| line.trim().strip_prefix("|-- ")?.parse().ok())
        .filter(|address: &Ipv4Addr| !address.is_loopback())
}

#[cfg(test)]
mod tests {
    use super::listed;
    use std::net::Ipv4Addr;

    /// Written after the format of the kernel's `fib_trie_seq_show`; addresses of documentation (RFC 5737).
    #[test]
    fn addresses_are_listed_by_their_kind() {
        let list = "Main:\n  +-- 0.0.0.0/0 3 0 5\n     |-- 192.0.2.0\n        /24 link UNICAST\n     \
                    |-- 192.0.2.20\n        /32 host LOCAL\n     |-- 127.0.0.1\n        /32 host LOCAL\n     \
                    |-- 192.0.2.255\n        /32 link BROADCAST\n";
        assert_eq!(listed(list, "host LOCAL").collect::<Vec<_>>(), [Ipv4Addr::new(192, 0, 2, 20)]);
        assert_eq!(listed(list, "link BROADCAST").collect::<Vec<_>>(), [Ipv4Addr::new(192, 0, 2, 255)]);
        assert_eq!(listed("", "host LOCAL").count(), 0);
    }
}
