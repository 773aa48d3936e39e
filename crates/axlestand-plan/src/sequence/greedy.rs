//! A first order: always the operation that can start soonest.

use super::problem::Problem;

/// A valid order. Of all operations that are free the one that can start soonest comes next; of
/// equal ones the lowest index.
pub(crate) fn greedy(problem: &Problem) -> Vec<usize> {
    let count = problem.len();
    let mut waits: Vec<usize> = (0..count)
        .map(|op| problem.precedence.before(op).iter().map(|bits| bits.count_ones() as usize).sum())
        .collect();
    let mut ready: Vec<usize> = (0..count).filter(|&op| waits[op] == 0).collect();
    let mut earliest = vec![0i64; count];
    let mut order: Vec<usize> = Vec::with_capacity(count);
    let mut now = 0;
    while !ready.is_empty() {
        let last = order.last().copied();
        let start = |op: usize| (now + problem.setup(last, op)).max(earliest[op]);
        let Some(next) = ready.iter().copied().min_by_key(|&op| (start(op), op)) else { break };
        now = start(next) + problem.durations[next];
        ready.retain(|&op| op != next);
        for lag in problem.lags.iter().filter(|lag| lag.first == next) {
            earliest[lag.then] = earliest[lag.then].max(now + lag.time);
        }
        for then in super::precedence::members(problem.precedence.after(next)) {
            waits[then] -= 1;
            if waits[then] == 0 {
                ready.push(then);
            }
        }
        order.push(next);
    }
    order
}
