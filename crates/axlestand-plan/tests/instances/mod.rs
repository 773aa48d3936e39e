//! Sequencing problems from text files, as raw tables, with a checker that shares no code with the
//! solver: it recomputes times from the tables.
#![allow(dead_code, reason = "each user needs a part of it")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test or bench fails loudly")]

mod sop;

use axlestand_plan::sequence::{Attribute, Lag, Problem, Setups};
use std::path::{Path, PathBuf};

/// A problem as it stands in its file.
#[derive(Debug, Clone, Default)]
pub(crate) struct Raw {
    pub(crate) durations: Vec<i64>,
    /// Pairs (first, then).
    pub(crate) before: Vec<(usize, usize)>,
    /// Plain set-up times; empty where there are attributes.
    pub(crate) matrix: Vec<Vec<i64>>,
    pub(crate) attributes: Vec<Attribute>,
    pub(crate) lags: Vec<(usize, usize, i64)>,
}

impl Raw {
    pub(crate) fn problem(&self) -> Problem {
        let setups = if self.matrix.is_empty() {
            Setups::Attributes(self.attributes.clone())
        } else {
            Setups::Matrix(self.matrix.clone())
        };
        let lags = self.lags.iter().map(|&(first, then, time)| Lag { first, then, time }).collect();
        Problem::new(self.durations.clone(), &self.before, setups, lags).unwrap()
    }

    fn setup(&self, from: Option<usize>, to: usize) -> i64 {
        match from {
            Some(from) if !self.matrix.is_empty() => self.matrix[from][to],
            None if !self.matrix.is_empty() => 0,
            _ => self
                .attributes
                .iter()
                .map(|a| a.times[from.map_or(a.start, |from| a.values[from])][a.values[to]])
                .sum(),
        }
    }

    /// The total time of an order, or what is wrong with it.
    pub(crate) fn check(&self, order: &[usize]) -> Result<i64, String> {
        let count = self.durations.len();
        let mut seen = vec![false; count];
        let mut ends = vec![0i64; count];
        let mut clock = 0;
        for (at, &op) in order.iter().enumerate() {
            if op >= count || seen[op] {
                return Err(format!("{op} stands twice or does not exist"));
            }
            for &(first, _) in self.before.iter().filter(|(_, then)| *then == op) {
                if !seen[first] {
                    return Err(format!("{op} before {first}"));
                }
            }
            let mut start = clock + self.setup(at.checked_sub(1).map(|before| order[before]), op);
            for &(first, _, time) in self.lags.iter().filter(|(_, then, _)| *then == op) {
                if !seen[first] {
                    return Err(format!("{op} before {first}, for which it waits"));
                }
                start = start.max(ends[first] + time);
            }
            clock = start + self.durations[op];
            ends[op] = clock;
            seen[op] = true;
        }
        if seen.contains(&false) { Err("something is missing".to_owned()) } else { Ok(clock) }
    }

    /// The least total time of any order, by trying them all.
    pub(crate) fn brute_force(&self) -> i64 {
        let mut best = i64::MAX;
        let mut order = Vec::new();
        self.extend(&mut order, &mut best);
        best
    }

    fn extend(&self, order: &mut Vec<usize>, best: &mut i64) {
        if order.len() == self.durations.len() {
            *best = (*best).min(self.check(order).unwrap());
            return;
        }
        for op in 0..self.durations.len() {
            let waits = |first: usize, then: usize| then == op && !order.contains(&first);
            let free = !self.before.iter().any(|&(first, then)| waits(first, then))
                && !self.lags.iter().any(|&(first, then, _)| waits(first, then));
            if free && !order.contains(&op) {
                order.push(op);
                self.extend(order, best);
                order.pop();
            }
        }
    }
}

/// A published problem.
///
/// # Errors
/// As [`sop::read`].
pub(crate) fn published_problem(text: &str) -> Result<Raw, String> {
    let sop::Sop { matrix, before } = sop::read(text)?;
    Ok(Raw { durations: vec![0; matrix.len()], before, matrix, ..Raw::default() })
}

/// Reads a synthetic job: the number of operations; for each its car state, place, tool, duration and
/// what comes before; then three square tables of set-up times. Waits: `first then time` a line.
pub(crate) fn job(text: &str, waits: &str) -> Raw {
    let numbers = |line: &str| -> Vec<i64> { line.split_whitespace().map(|w| w.parse().unwrap()).collect() };
    let index = |number: i64| usize::try_from(number).expect("an index");
    let mut lines = text.lines().map(numbers);
    let count = index(lines.next().unwrap()[0]);
    let mut raw = Raw::default();
    let mut values = vec![Vec::new(); 3];
    for op in 0..count {
        let line = lines.next().unwrap();
        for (values, &value) in values.iter_mut().zip(&line) {
            values.push(index(value));
        }
        raw.durations.push(line[3]);
        raw.before.extend(line[4..].iter().map(|&first| (index(first), op)));
    }
    for values in values {
        let size = index(lines.next().unwrap()[0]);
        let times = (0..size).map(|_| lines.next().unwrap()).collect();
        raw.attributes.push(Attribute { times, start: values[0], values });
    }
    raw.lags = waits.lines().map(numbers).map(|line| (index(line[0]), index(line[1]), line[2])).collect();
    raw
}

/// A synthetic job of this project, with or without its waits.
pub(crate) fn synthetic(name: &str, waits: bool) -> Raw {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/synthetic");
    let read = |end: &str| std::fs::read_to_string(folder.join(format!("{name}.{end}"))).unwrap();
    job(&read("job"), &if waits { read("lag") } else { String::new() })
}

/// The folder with the published instances: what `AXLESTAND_PLANNING_DATA` names, else the folder
/// `shared/data/planning` beside the workspace. Nothing where it is not there.
#[allow(clippy::disallowed_methods, reason = "optional data of tests and benches")]
pub(crate) fn published() -> Option<PathBuf> {
    let beside = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../shared/data/planning");
    let folder = std::env::var("AXLESTAND_PLANNING_DATA").map_or(beside, PathBuf::from);
    folder.join("sop").is_dir().then(|| folder.join("sop"))
}
