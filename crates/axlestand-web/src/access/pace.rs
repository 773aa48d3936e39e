//! How fast one may ask: a guard against those that try secrets, fill the log or strew codes about.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::Mutex;
use std::time::{Duration, Instant};

/// Requests that an unpaired device may make in a minute: a page with its style and script takes ten.
pub(super) const UNPAIRED: u32 = 120;
/// Codes that one may have made in a minute: each of them lets somebody in.
pub(super) const CODES: u32 = 6;
/// Addresses that are remembered; beyond that all are forgotten together.
const ADDRESSES: usize = 1_000;

/// Requests of this minute, by address.
pub(crate) struct Pace {
    most: u32,
    counts: Mutex<HashMap<IpAddr, (Instant, u32)>>,
}

impl Pace {
    /// So many a minute.
    pub(super) fn of(most: u32) -> Self {
        Self { most, counts: Mutex::default() }
    }

    /// Counts a request; whether it may be answered.
    pub(crate) fn allows(&self, peer: Option<IpAddr>) -> bool {
        let Some(peer) = peer else { return true };
        #[expect(clippy::disallowed_methods, reason = "how fast a device asks is no fact of the ledger")]
        let now = Instant::now();
        // A thread that failed while it counted leaves counts that still hold.
        let mut counts = self.counts.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        if counts.len() > ADDRESSES {
            counts.clear();
        }
        let (since, count) = counts.entry(peer).or_insert((now, 0));
        if now.duration_since(*since) > Duration::from_secs(60) {
            (*since, *count) = (now, 0);
        }
        *count = count.saturating_add(1);
        *count <= self.most
    }
}

#[cfg(test)]
mod tests {
    use super::{ADDRESSES, Pace};
    use std::net::IpAddr;

    /// Addresses of documentation (RFC 3849).
    fn address(number: u16) -> Option<IpAddr> {
        Some(IpAddr::from([0x2001, 0xdb8, 0, 0, 0, 0, 0, number]))
    }

    #[test]
    fn one_that_asks_too_fast_is_held_up_and_no_other() {
        let pace = Pace::of(3);
        let asked: Vec<bool> = (0..5).map(|_| pace.allows(address(1))).collect();
        assert_eq!(asked, [true, true, true, false, false]);
        assert!(pace.allows(address(2)));
        assert!(pace.allows(None), "who asks without a socket is in the same program");
    }

    #[test]
    fn it_remembers_no_more_addresses_than_it_may() {
        let pace = Pace::of(1);
        for number in 0..=ADDRESSES as u16 + 1 {
            assert!(pace.allows(address(number)));
        }
        assert!(pace.counts.lock().unwrap().len() <= ADDRESSES + 1);
        assert!(pace.allows(address(0)), "all were forgotten together");
    }
}
