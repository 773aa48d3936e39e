//! Conversions per second on one core: a torque specified for a dry thread, converted to every other
//! condition over every thread in the tables.
//!
//! `cargo bench -p axlestand-fastener --bench conversion`

use std::hint::black_box;
use std::time::Instant;

use axlestand_fastener::{Condition, ConversionRequest, Joint, Place, Thread, convert};
use axlestand_quantity::Torque;

/// Rounds of which the best is printed: the machine may be shared.
const ROUNDS: usize = 5;
/// Conversions of one round.
const CONVERSIONS: usize = 2_000_000;

#[allow(clippy::disallowed_methods, reason = "a bench measures time")]
fn now() -> Instant {
    Instant::now()
}

fn requests() -> Vec<ConversionRequest> {
    let joints: Vec<Joint> = Thread::all().map(Joint::hex).collect();
    let mut requests = Vec::new();
    for joint in joints {
        for to in Condition::ALL {
            let specified = Torque::from_nm(joint.thread().diameter().mm().powi(2)).unwrap_or_default();
            let from = Condition::AsSupplied;
            requests.push(ConversionRequest { joint, specified, from, to, place: Place::Thread });
        }
    }
    requests
}

#[allow(clippy::print_stdout, reason = "a bench prints its result")]
fn main() {
    let requests = requests();
    let mut best = f64::INFINITY;
    let mut refused = 0_usize;
    for _ in 0..ROUNDS {
        refused = 0;
        let start = now();
        for request in requests.iter().cycle().take(CONVERSIONS) {
            match convert(black_box(request)) {
                Ok(conversion) => {
                    black_box(conversion);
                }
                Err(_) => refused += 1,
            }
        }
        best = best.min(start.elapsed().as_secs_f64());
    }
    let rate = CONVERSIONS as f64 / best;
    println!("{:.2} million conversions per second per core", rate / 1e6);
    println!("{CONVERSIONS} per round, best of {ROUNDS}; {refused} refused (rusty threads)");
}
