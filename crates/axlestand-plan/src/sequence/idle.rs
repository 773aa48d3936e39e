//! A bound where there are waits: what has to come before them, the wait, what has to come after.

use super::precedence::members;
use super::problem::Problem;

/// No order takes less. What waits can start no sooner than all work before it and the wait have
/// passed; of all that starts that late, and whatever follows it, nothing is done by then. Set-ups are
/// left out, so that this is weak where they weigh much.
pub(crate) fn waiting_bound(problem: &Problem) -> i64 {
    let work = |bits: &[u64]| members(bits).map(|op| problem.durations[op]).sum::<i64>();
    let mut starts: Vec<(i64, usize)> = problem
        .lags
        .iter()
        .map(|lag| {
            let ahead = work(problem.precedence.before(lag.first)) + problem.durations[lag.first];
            (ahead + lag.time, lag.then)
        })
        .collect();
    starts.sort_unstable_by(|a, b| b.cmp(a));
    let mut late = vec![0u64; problem.precedence.words()];
    let mut bound = problem.work();
    for (start, op) in starts {
        late[op / 64] |= 1 << (op % 64);
        for (late, after) in late.iter_mut().zip(problem.precedence.after(op)) {
            *late |= after;
        }
        bound = bound.max(start + work(&late));
    }
    bound
}
