//! What the simulation attains: whole runs of the rest of the demo job per second.
//!
//! `cargo bench -p axlestand-plan --bench forecast [-- SAMPLES]`: on one and on two threads, with sessions
//! and without; then how long it takes to get the job ready. By the clock and by processor time, since a
//! busy machine slows the first and not the second.
#![allow(clippy::print_stdout, reason = "a bench prints what it measures")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a bench fails loudly")]
#![allow(clippy::disallowed_methods, reason = "a bench measures time")]

#[path = "../tests/demo_job/mod.rs"]
mod demo_job;

use axlestand_plan::risk::{Assumptions, Pace, RiskJob, Sessions, Setting, simulate};
use axlestand_plan::{order, scope};
use demo_job::{car, demo_goals, started};
use std::time::Instant;

/// Seconds of processor time of all threads of this process so far, where the system tells it: user and
/// system time in hundredths of a second.
fn processor() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/self/stat").ok()?;
    let fields: Vec<&str> = text.rsplit_once(')')?.1.split_whitespace().collect();
    let ticks: f64 = fields.get(11)?.parse::<f64>().ok()? + fields.get(12)?.parse::<f64>().ok()?;
    Some(ticks / 100.0)
}

fn main() {
    let samples = std::env::args().skip(1).find_map(|word| word.parse().ok()).unwrap_or(400_000);
    let car = car();
    let state = started(&car, &demo_goals(), 3);
    let plan = order(&car, &state, scope(&car, &state).unwrap()).unwrap();
    let assumptions = Assumptions::default();
    let pace = Pace::assumed(&assumptions);
    let clock = Instant::now();
    let job = RiskJob::of(&car, &state, &plan, &assumptions, pace);
    let dangers = job.steps.iter().filter(|step| step.danger.is_some()).count();
    let detours = job.steps.iter().filter_map(|s| s.danger.as_ref()?.detour.as_ref()).count();
    println!(
        "{} steps, {dangers} dangers, {detours} detours, {} things: ready in {:.0} ms",
        job.steps.len(),
        job.things.len(),
        clock.elapsed().as_secs_f64() * 1e3
    );
    let sessions =
        Sessions::of((0..60).map(|day| (1440.0 * f64::from(day), 1440.0 * f64::from(day) + 540.0)));
    for (name, sessions) in [("hours of work", None), ("sessions", Some(&sessions))] {
        for threads in [1, 2] {
            let (clock, before) = (Instant::now(), processor());
            let runs = simulate(&job, &Setting { have: 0, sessions, shops: None, seed: 1, samples, threads });
            let took = clock.elapsed().as_secs_f64();
            let worked = processor().zip(before).map(|(now, before)| now - before);
            let per_core = worked.filter(|s| *s > 0.0).map_or(0.0, |worked| samples as f64 / worked);
            println!(
                "{name:14} {threads} threads: {:9.0} jobs/s by the clock, {per_core:9.0} per second of processor  (half done in {:.0} min)",
                samples as f64 / took,
                runs.minutes(0.5)
            );
        }
    }
}
