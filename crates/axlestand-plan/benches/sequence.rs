//! What the sequencing solver attains: value, bound and gap after 1 s and 10 s.
//!
//! `cargo bench -p axlestand-plan --bench sequence [-- SECONDS… NAME…]`: the synthetic jobs, with and
//! without waits, and the published instances where their folder is found (`AXLESTAND_PLANNING_DATA`,
//! or `shared/data/planning` beside the workspace). With `--growth` it times an order, with its bound
//! and alone, by the effort of `prepare`, for the job of one side cut short or repeated to 50 to 1,000
//! operations. Seconds are of the clock and the bound is sought by all processors, so the machine has to be
//! quiet.
#![allow(clippy::print_stdout, reason = "a bench prints what it measures")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a bench fails loudly")]

#[path = "../tests/instances/mod.rs"]
mod instances;

use axlestand_plan::sequence::{Effort, Liking, solve};
use instances::{Raw, published, published_problem, synthetic};

#[allow(clippy::disallowed_methods, reason = "a bench measures time")]
fn run(name: &str, raw: &Raw, limit: f64) {
    let problem = raw.problem();
    let clock = std::time::Instant::now();
    let mut keep_going = || clock.elapsed().as_secs_f64() < limit;
    let solution = solve(&problem, None, &Liking::default(), &Effort::PATIENT, &mut keep_going);
    let took = clock.elapsed().as_secs_f64();
    assert_eq!(raw.check(&solution.order), Ok(solution.total), "{name}");
    let work = problem.work();
    println!(
        "{name:24}{:4} ops{limit:5.0} s  total {:6}  set-ups and idle {:6}  bound {:6}  gap {:5.2} %{}  ({took:.2} s)",
        problem.len(),
        solution.total,
        solution.total - work,
        solution.bound - work,
        100.0 * (solution.total - solution.bound) as f64 / solution.total.max(1) as f64,
        if solution.proven { "  proven" } else { "" },
    );
}

/// The job of one side, cut short or repeated: operations only follow earlier ones.
fn of_size(one: &Raw, count: usize) -> Raw {
    let size = one.durations.len();
    let mut raw =
        Raw { durations: (0..count).map(|op| one.durations[op % size]).collect(), ..Raw::default() };
    for copy in (0..count).step_by(size) {
        let pairs = one.before.iter().map(|(first, then)| (copy + first, copy + then));
        raw.before.extend(pairs.filter(|(first, then)| first.max(then) < &count));
    }
    let repeated = |values: &[usize]| (0..count).map(|op| values[op % size]).collect();
    raw.attributes = one.attributes.clone();
    for attribute in &mut raw.attributes {
        attribute.values = repeated(&attribute.values);
    }
    raw
}

#[allow(clippy::disallowed_methods, reason = "a bench measures time")]
fn print_growth() {
    let (one, clock) = (synthetic("job_one", false), std::time::Instant::now());
    // Beyond 512 operations no bound is sought.
    let with = (Effort { rounds: 1, moves: 2_000, width: 256, states: 0, steps: 0 }, 500);
    let alone = (Effort { width: 0, ..with.0 }, 1_000);
    for (what, (effort, most)) in [("with a bound", with), ("alone", alone)] {
        for count in [50, 100, 200, 300, 400, 500, 700, 1_000].into_iter().filter(|&count| count <= most) {
            let raw = of_size(&one, count);
            let problem = raw.problem();
            // By the clock: it takes less than the processor's time is told in.
            let least = (0..10).map(|_| {
                let start = clock.elapsed().as_secs_f64();
                let solution = solve(&problem, None, &Liking::default(), &effort, &mut || true);
                assert_eq!(raw.check(&solution.order), Ok(solution.total));
                clock.elapsed().as_secs_f64() - start
            });
            println!("{count} operations {what} {:10.4} s", least.fold(f64::INFINITY, f64::min));
        }
    }
}

fn main() {
    if std::env::args().any(|word| word == "--growth") {
        return print_growth();
    }
    let wanted: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    let mut limits: Vec<f64> = wanted.iter().filter_map(|word| word.parse().ok()).collect();
    if limits.is_empty() {
        limits = vec![1.0, 10.0];
    }
    let names: Vec<&String> = wanted.iter().filter(|word| word.parse::<f64>().is_err()).collect();
    let mut problems: Vec<(String, Raw)> = Vec::new();
    for name in ["job_one", "job_front", "job_front_rear"] {
        problems.push((name.to_owned(), synthetic(name, false)));
        problems.push((format!("{name}+waits"), synthetic(name, true)));
    }
    match published() {
        Some(folder) => {
            let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
            let mut files: Vec<_> = files.filter(|p| p.extension().is_some_and(|e| e == "sop")).collect();
            files.sort();
            for file in files {
                let name = file.file_stem().unwrap().to_string_lossy().into_owned();
                problems.push((name, published_problem(&std::fs::read_to_string(&file).unwrap()).unwrap()));
            }
        }
        None => println!(
            "The published instances are not here: AXLESTAND_PLANNING_DATA names no folder with sop/."
        ),
    }
    for limit in limits {
        for (name, raw) in problems.iter().filter(|(name, _)| names.is_empty() || names.contains(&name)) {
            run(name, raw, limit);
        }
    }
}
