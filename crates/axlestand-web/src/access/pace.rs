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
