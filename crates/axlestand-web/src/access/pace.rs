//! How fast unpaired devices may ask: a guard against those that try secrets or fill the log.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::Mutex;
use std::time::{Duration, Instant};

/// Requests that an unpaired device may make in a minute: a page with its style and script takes ten.
const A_MINUTE: u32 = 120;
/// Addresses that are remembered; beyond that all are forgotten together.
const ADDRESSES: usize = 1_000;

/// Requests of this minute, by address.
#[derive(Default)]
pub(crate) struct Pace {
    counts: Mutex<HashMap<IpAddr, (Instant, u32)>>,
}

impl Pace {
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
        *count <= A_MINUTE
    }
}
