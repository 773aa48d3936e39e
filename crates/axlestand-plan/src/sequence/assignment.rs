//! A bound for plain tables of set-up times: the assignment problem.
//!
//! In any order each operation but the last is followed by one, each but the first preceded by one.
//! The cheapest such assignment (without the pairs that precedence rules out) costs no more than the
//! best order; its dual values bound what is still to come from any state, by one sum.

use super::problem::Problem;

/// Dual values: `leave[i] + enter[j]` is at most the set-up time from `i` to `j`. Index `count` of
/// `leave` is the start, index `count` of `enter` the end.
pub(crate) struct Duals {
    pub(crate) leave: Vec<i64>,
    pub(crate) enter: Vec<i64>,
}

/// More than any order costs.
const NEVER: i64 = 1 << 40;

/// Solves the assignment problem by shortest augmenting paths (the Hungarian method), O(count³).
pub(crate) fn duals(problem: &Problem) -> Duals {
    let size = problem.len() + 1;
    let cost = costs(problem);
    let (mut leave, mut enter) = (vec![0i64; size + 1], vec![0i64; size + 1]);
    let mut taken_by = vec![0usize; size + 1];
    let mut came_from = vec![0usize; size + 1];
    for row in 1..=size {
        taken_by[0] = row;
        let mut at = 0;
        let mut least = vec![i64::MAX; size + 1];
        let mut used = vec![false; size + 1];
        while taken_by[at] != 0 {
            used[at] = true;
            let from = taken_by[at];
            let mut step = i64::MAX;
            let mut next = 0;
            for column in (1..=size).filter(|&column| !used[column]) {
                let reduced = cost[(from - 1) * size + column - 1] - leave[from] - enter[column];
                if reduced < least[column] {
                    least[column] = reduced;
                    came_from[column] = at;
                }
                if least[column] < step {
                    step = least[column];
                    next = column;
                }
            }
            for column in 0..=size {
                if used[column] {
                    leave[taken_by[column]] += step;
                    enter[column] -= step;
                } else if column > 0 {
                    least[column] -= step;
                }
            }
            at = next;
        }
        while at != 0 {
            taken_by[at] = taken_by[came_from[at]];
            at = came_from[at];
        }
    }
    Duals { leave: leave.split_off(1), enter: enter.split_off(1) }
}

/// Set-up times with what cannot follow each other ruled out.
fn costs(problem: &Problem) -> Vec<i64> {
    let count = problem.len();
    let size = count + 1;
    let mut cost = vec![NEVER; size * size];
    let precedence = &problem.precedence;
    let free = |row: &[u64]| row.iter().all(|&bits| bits == 0);
    for i in 0..count {
        for j in (0..count).filter(|&j| j != i && !precedence.precedes(j, i)) {
            let between = precedence.after(i).iter().zip(precedence.before(j)).any(|(a, b)| a & b != 0);
            if !(precedence.precedes(i, j) && between) {
                cost[i * size + j] = problem.setup(Some(i), j);
            }
        }
        if free(precedence.after(i)) {
            cost[i * size + count] = 0;
        }
        if free(precedence.before(i)) {
            cost[count * size + i] = problem.setup(None, i);
        }
    }
    cost
}
