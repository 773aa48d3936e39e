//! A bound where there are waits: what has to come before them, the wait, what has to come after.

use super::beam::Beam;
use super::precedence::members;
use super::problem::{Attribute, Problem, Setups};

/// States at a time in the search for the set-ups before a wait, which are few.
const AHEAD: usize = 64;

/// What the waits say of the time of any order.
///
/// What waits can start no sooner than all work before it, the set-ups of that and the wait have passed. Of all
/// that starts that late, and whatever follows it, nothing is done by then: its work is still to come, with the
/// set-ups that it takes by itself, from whichever class. Leaving operations out saves set-ups at most where
/// passing through a further class never saves time; elsewhere set-ups are left out.
pub(crate) struct Waits {
    /// No order takes less.
    pub(crate) bound: i64,
    /// Where that binds most: from when on, and the operations that are late, as a problem without waits.
    pub(crate) tail: Option<(i64, Problem)>,
    /// The operations of that problem.
    pub(crate) ops: Vec<usize>,
}

impl Waits {
    /// Searches with so many states at a time; 0: set-ups are left out.
    pub(crate) fn of(problem: &Problem, width: usize, keep_going: &mut dyn FnMut() -> bool) -> Self {
        let work = |ops: &[usize]| ops.iter().map(|&op| problem.durations[op]).sum::<i64>();
        let metric = width > 0 && !problem.attributes.is_empty();
        let least = |part: Option<&Problem>, width: usize, keep_going: &mut dyn FnMut() -> bool| match part {
            Some(part) => Beam::<8>::of(part).search(known(part), width, keep_going).bound,
            None => 0,
        };
        let mut starts: Vec<(i64, usize)> = Vec::new();
        let mut ahead: Vec<Option<i64>> = vec![None; problem.len()];
        for lag in &problem.lags {
            let end = *ahead[lag.first].get_or_insert_with(|| {
                let mut ops: Vec<usize> = members(problem.precedence.before(lag.first)).collect();
                ops.push(lag.first);
                let part = if metric { part(problem, &ops) } else { None };
                work(&ops) + least(part.as_ref(), AHEAD, keep_going)
            });
            starts.push((end + lag.time, lag.then));
        }
        starts.sort_unstable_by(|a, b| b.cmp(a));
        let mut late = vec![0u64; problem.precedence.words()];
        let mut waits = Self { bound: problem.work(), tail: None, ops: Vec::new() };
        for (at, &(start, op)) in starts.iter().enumerate() {
            late[op / 64] |= 1 << (op % 64);
            for (late, after) in late.iter_mut().zip(problem.precedence.after(op)) {
                *late |= after;
            }
            if starts.get(at + 1).is_some_and(|next| next.0 == start) {
                continue;
            }
            let ops: Vec<usize> = members(&late).collect();
            let late = if metric { late_part(problem, &ops) } else { None };
            let (part, over) = late.map_or((None, 0), |(part, over)| (Some(part), over));
            let alone = start + work(&ops);
            let start = alone - over;
            let bound = alone.max(start + least(part.as_ref(), width / 4, keep_going));
            if bound > waits.bound {
                waits = Self { bound, tail: part.map(|part| (start, part)), ops };
            }
        }
        waits
    }
}

/// The set-ups of some order: those of a valid one.
fn known(problem: &Problem) -> i64 {
    problem.setups(problem.precedence.order())
}

/// Gives the times of an attribute and its value at the start.
type Start<'a> = dyn Fn(&Attribute) -> (Vec<Vec<i64>>, usize) + 'a;

/// Some of the operations as a problem of set-ups alone.
fn part(problem: &Problem, ops: &[usize]) -> Option<Problem> {
    let start = |all: &Attribute| (all.times.clone(), all.start);
    begun(problem, ops, &start)
}

/// The same, begun from whichever class suits, and what its set-ups may be too high by. Where all that may come
/// first asks for one value, that is the start. Else the start is a value of its own, as near to each as the
/// nearest other one: were it nearer, no change to a value could be counted.
fn late_part(problem: &Problem, ops: &[usize]) -> Option<(Problem, i64)> {
    let waits = |op: usize| ops.iter().any(|&first| problem.precedence.precedes(first, op));
    let first: Vec<usize> = ops.iter().copied().filter(|&op| !waits(op)).collect();
    let one = |all: &Attribute| {
        let value = all.values[*first.first()?];
        first.iter().all(|&op| all.values[op] == value).then_some(value)
    };
    let nearest = |all: &Attribute, to: usize| {
        let from = (0..all.times.len()).filter(|&from| from != to);
        from.map(|from| all.times[from][to]).min().unwrap_or(0)
    };
    let start = |all: &Attribute| {
        if let Some(value) = one(all) {
            return (all.times.clone(), value);
        }
        let size = all.times.len();
        let far = all.times.iter().flatten().copied().max().unwrap_or(0);
        let mut times: Vec<Vec<i64>> =
            all.times.iter().map(|row| row.iter().copied().chain([far]).collect()).collect();
        times.push((0..size).map(|to| nearest(all, to)).chain([0]).collect());
        (times, size)
    };
    let over = problem
        .attributes
        .iter()
        .filter(|all| one(all).is_none())
        .map(|all| first.iter().map(|&op| nearest(all, all.values[op])).max().unwrap_or(0));
    Some((begun(problem, ops, &start)?, over.sum()))
}

/// Some of the operations as a problem of set-ups alone, begun so.
fn begun(problem: &Problem, ops: &[usize], start: &Start<'_>) -> Option<Problem> {
    let mut before: Vec<(usize, usize)> = Vec::new();
    for (then, &op) in ops.iter().enumerate() {
        let first = (0..ops.len()).filter(|&first| problem.precedence.precedes(ops[first], op));
        before.extend(first.map(|first| (first, then)));
    }
    let attribute = |all: &Attribute| {
        let (times, start) = start(all);
        Attribute { times, start, values: ops.iter().map(|&op| all.values[op]).collect() }
    };
    let setups = Setups::Attributes(problem.attributes.iter().map(attribute).collect());
    Problem::new(vec![0; ops.len()], &before, setups, Vec::new()).ok()
}

#[cfg(test)]
mod tests {
    use super::super::problem::Lag;
    use super::*;

    /// Spray (1, at place 1), soak 30, undo (5, at place 1) and then fit (4, at place 0), with 10 between the
    /// places, begun at place 0. By hand: 10 to go there, 1, 30, then 5, 10 and 4: 60.
    #[test]
    fn a_soak_and_the_way_back_add_up() {
        let places = Attribute { times: vec![vec![0, 10], vec![10, 0]], start: 0, values: vec![1, 1, 0] };
        let lags = vec![Lag { first: 0, then: 1, time: 30 }];
        let problem =
            Problem::new(vec![1, 5, 4], &[(1, 2)], Setups::Attributes(vec![places]), lags).expect("sound");
        assert_eq!(Waits::of(&problem, 64, &mut || true).bound, 60);
        assert_eq!(problem.total(&[0, 1, 2]), 60);
        // Without set-ups: 1, 30, 5 and 4.
        assert_eq!(Waits::of(&problem, 0, &mut || true).bound, 40);
    }
}
