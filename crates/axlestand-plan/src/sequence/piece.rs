//! One piece of a bound by shares: some of the operations, of whose classes it tells some apart.
//!
//! A piece keeps the precedence among its operations and pays its share of every change from class to class.
//! Leaving operations out, and taking classes for one, only makes the least cost smaller. Its shares are closed
//! first (a way round by other classes is taken where it costs less), so that free rides stay free: everything
//! that can be done in the class in hand is done at once, as in [`super::beam`].

use super::bits::{Bits, Fast};
use super::problem::Problem;
use std::collections::HashMap;

/// The states of a piece and the steps between them, numbered so that every step goes forward.
pub(crate) struct Piece {
    /// The kind of each class: classes of one kind are one to this piece. The last entry is the start's.
    pub(crate) kind: Vec<usize>,
    kinds: usize,
    /// Which operations it keeps.
    pub(crate) keeps: Vec<bool>,
    /// The kind in hand in each state.
    state: Vec<usize>,
    /// Where the steps to state `s` come from: `steps[from[s]..from[s + 1]]`.
    from: Vec<usize>,
    steps: Vec<u32>,
    /// The last states: all is done.
    finals: usize,
}

impl Piece {
    /// The piece with these operations, in which classes with the same `kind` are one; nothing where it has more
    /// than `limit` states.
    pub(crate) fn of(
        problem: &Problem,
        ops: &[usize],
        kind: &[usize],
        limit: usize,
        keep_going: &mut dyn FnMut() -> bool,
    ) -> Option<Self> {
        match ops.len() {
            0..=128 => Self::built::<2>(problem, ops, kind, limit, keep_going),
            129..=256 => Self::built::<4>(problem, ops, kind, limit, keep_going),
            _ => Self::built::<8>(problem, ops, kind, limit, keep_going),
        }
    }

    fn built<const W: usize>(
        problem: &Problem,
        ops: &[usize],
        kind: &[usize],
        limit: usize,
        keep_going: &mut dyn FnMut() -> bool,
    ) -> Option<Self> {
        let mut keeps = vec![false; problem.len()];
        ops.iter().for_each(|&op| keeps[op] = true);
        let ops: Vec<usize> = problem.precedence.order().iter().copied().filter(|&op| keeps[op]).collect();
        let kinds = kind.iter().max().map_or(0, |most| most + 1);
        let asks: Vec<usize> = ops.iter().map(|&op| kind[problem.class[op]]).collect();
        let before = before::<W>(problem, &ops);
        let mut members = vec![Vec::new(); kinds];
        asks.iter().enumerate().for_each(|(at, &kind)| members[kind].push(at));
        let start = *kind.last()?;
        let mut states: Vec<(Bits<W>, usize)> = vec![(Bits::NONE, start)];
        let mut known: HashMap<(Bits<W>, usize), u32, Fast> = HashMap::default();
        let mut by_count: Vec<Vec<u32>> = vec![Vec::new(); ops.len() + 1];
        by_count[0].push(0);
        let (mut queue, mut pairs) = (Vec::new(), Vec::new());
        let mut seen = vec![0u32; kinds];
        for count in 0..ops.len() {
            for at in std::mem::take(&mut by_count[count]) {
                queue.push(at);
                if queue.len() % 4096 == 0 && !keep_going() {
                    return None;
                }
                let done = states[at as usize].0;
                let stamp = u32::try_from(queue.len()).ok()?;
                for op in 0..ops.len() {
                    let to = asks[op];
                    if seen[to] == stamp || done.has(op) || !before[op].within(&done) {
                        continue;
                    }
                    seen[to] = stamp;
                    let mut next = done;
                    for &other in &members[to] {
                        if !next.has(other) && before[other].within(&next) {
                            next.add(other);
                        }
                    }
                    let fresh = u32::try_from(states.len()).ok()?;
                    let index = *known.entry((next, to)).or_insert(fresh);
                    if index == fresh {
                        if states.len() >= limit {
                            return None;
                        }
                        states.push((next, to));
                        by_count[next.count()].push(index);
                    }
                    pairs.push((at, index));
                }
            }
        }
        let finals = by_count[ops.len()].len();
        queue.append(&mut by_count[ops.len()]);
        let state: Vec<usize> = queue.iter().map(|&at| states[at as usize].1).collect();
        let (from, steps) = backwards(&queue, &pairs);
        Some(Self { kind: kind.to_vec(), kinds, keeps, state, from, steps, finals })
    }

    /// The least cost under these shares of the changes between classes (row by row, the start the last), which
    /// are closed on the way; counts in `uses` the changes of one cheapest way.
    pub(crate) fn least(&self, share: &mut [i64], uses: &mut [f64]) -> i64 {
        let (size, kinds) = (self.kind.len(), self.kinds);
        let via = close(share, size);
        let mut own = vec![i64::MAX / 4; kinds * kinds];
        let mut by = vec![(0, 0); kinds * kinds];
        for from in 0..size {
            for to in 0..size {
                let cell = self.kind[from] * kinds + self.kind[to];
                if share[from * size + to] < own[cell] {
                    own[cell] = share[from * size + to];
                    by[cell] = (from, to);
                }
            }
        }
        // Where every class is a kind of its own the times are closed already.
        let own_via = if kinds == size {
            (0..size * size).map(|cell| cell % size).collect()
        } else {
            close(&mut own, kinds)
        };
        let cost = self.costs(&own);
        let first = self.state.len() - self.finals;
        let Some(mut at) = (first..self.state.len()).min_by_key(|&at| cost[at]) else { return 0 };
        let least = cost[at];
        while self.from[at] < self.from[at + 1] {
            let to = self.state[at];
            let came = |&before: &u32| {
                cost[before as usize] + own[self.state[before as usize] * kinds + to] == cost[at]
            };
            let Some(&before) = self.steps[self.from[at]..self.from[at + 1]].iter().find(|at| came(at))
            else {
                break;
            };
            let mut here = self.state[before as usize];
            while here != to {
                let next = own_via[here * kinds + to];
                let (mut from, end) = by[here * kinds + next];
                while from != end {
                    let over = via[from * size + end];
                    uses[from * size + over] += 1.0;
                    from = over;
                }
                here = next;
            }
            at = before as usize;
        }
        least
    }

    /// The least cost of reaching each state, under closed times between kinds.
    fn costs(&self, own: &[i64]) -> Vec<i64> {
        let kinds = self.kinds;
        // By the kind gone to, so that the times to it lie together.
        let to: Vec<i64> = (0..kinds * kinds).map(|at| own[(at % kinds) * kinds + at / kinds]).collect();
        // Cost and kind lie together, since steps lead here from all over.
        let mut cost: Vec<(i64, usize)> = self.state.iter().map(|&kind| (0, kind)).collect();
        for at in 1..cost.len() {
            let row = &to[cost[at].1 * kinds..][..kinds];
            let came = |&before: &u32| {
                let (so_far, kind) = cost[before as usize];
                so_far + row[kind]
            };
            cost[at].0 = self.steps[self.from[at]..self.from[at + 1]].iter().map(came).min().unwrap_or(0);
        }
        cost.into_iter().map(|(cost, _)| cost).collect()
    }
}

/// What comes before each of these operations, as places among them.
fn before<const W: usize>(problem: &Problem, ops: &[usize]) -> Vec<Bits<W>> {
    let of = |&then: &usize| {
        let mut bits = Bits::NONE;
        let first = (0..ops.len()).filter(|&at| problem.precedence.precedes(ops[at], then));
        first.for_each(|at| bits.add(at));
        bits
    };
    ops.iter().map(of).collect()
}

/// The steps by the state they lead to, states numbered by their place in the queue.
fn backwards(queue: &[u32], pairs: &[(u32, u32)]) -> (Vec<usize>, Vec<u32>) {
    let mut number = vec![0u32; queue.len()];
    for (at, &state) in (0u32..).zip(queue) {
        number[state as usize] = at;
    }
    let mut from = vec![0; queue.len() + 1];
    for (_, to) in pairs {
        from[number[*to as usize] as usize + 1] += 1;
    }
    for at in 0..queue.len() {
        from[at + 1] += from[at];
    }
    let mut next = from.clone();
    let mut steps = vec![0; pairs.len()];
    for (first, to) in pairs {
        let slot = &mut next[number[*to as usize] as usize];
        steps[*slot] = number[*first as usize];
        *slot += 1;
    }
    (from, steps)
}

/// Makes ways round count (Floyd and Warshall); gives for each pair where its way goes to first.
fn close(times: &mut [i64], size: usize) -> Vec<usize> {
    let mut via: Vec<usize> = (0..size * size).map(|cell| cell % size).collect();
    for middle in 0..size {
        let onward = times[middle * size..(middle + 1) * size].to_vec();
        for from in 0..size {
            let first = times[from * size + middle];
            let by = via[from * size + middle];
            for (to, &onward) in onward.iter().enumerate() {
                let cell = from * size + to;
                if first + onward < times[cell] {
                    times[cell] = first + onward;
                    via[cell] = by;
                }
            }
        }
    }
    via
}
