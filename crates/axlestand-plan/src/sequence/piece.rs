//! One piece of a bound by shares: some of the operations, of whose classes it tells some apart.
//!
//! A piece keeps the precedence among its operations and pays its share of every change from class to class.
//! Leaving operations out, and taking classes for one, only makes the least cost smaller. Its shares are closed
//! first (a way round by other classes is taken where it costs less), so that free rides stay free: everything
//! that can be done in the class in hand is done at once, as in [`super::beam`].

use super::bits::{Bits, Fast};
use super::bundle::Uses;
use super::problem::Problem;
use std::collections::HashMap;

/// The states of a piece and the steps between them, numbered so that every step goes forward. A state is a set of
/// operations that are done, and a kind in hand; the states of a set lie together.
pub(crate) struct Piece {
    /// The kind of each class: classes of one kind are one to this piece. The last entry is the start's.
    pub(crate) kind: Vec<usize>,
    kinds: usize,
    /// No operation asks for the kinds below this: they are only passed.
    over: usize,
    /// Which operations it keeps.
    pub(crate) keeps: Vec<bool>,
    /// The kind in hand in each state.
    state: Vec<u32>,
    /// The states of set `d`: `set[d]..set[d + 1]`. In the last set all is done.
    set: Vec<u32>,
    /// The states to which steps lead from set `d`, whatever is in hand there: `steps[out[d]..out[d + 1]]`.
    out: Vec<u32>,
    steps: Vec<u32>,
}

/// What is never paid, in fractions of the unit of time; no way costs more than four times that.
pub(crate) const NEVER: i32 = i32::MAX / 8;
const MOST: i32 = NEVER * 4;

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
        let (kind, over) = passed_first(problem, &ops, kind, kinds);
        let reach = Reach::<W>::of(problem, &ops, &kind, kinds);
        let mut sets = Sets::begun(ops.len(), *kind.last()?, reach.first);
        let mut asked = 0u32;
        for count in 0..ops.len() {
            for at in sets.of_count(count) {
                asked += 1;
                if asked.is_multiple_of(1024) && !keep_going() {
                    return None;
                }
                let here = sets.sets[at as usize].reached;
                let mut ready = here.ready;
                while let Some(op) = ready.first() {
                    let to = reach.asks[op];
                    ready = ready.without(&reach.members[to]);
                    sets.step(at, reach.all_of(to, here), to);
                }
                if sets.states.len() > limit {
                    return None;
                }
            }
        }
        let (set, state, out, steps) = sets.in_order(ops.len());
        Some(Self { kind, kinds, over, keeps, state, set, out, steps })
    }

    /// The least cost under these shares of the changes between classes (row by row, the start the last), ways round
    /// by other classes included, and one way that costs so much.
    pub(crate) fn least(&self, share: &[i32]) -> (i32, Uses) {
        let (size, kinds) = (self.kind.len(), self.kinds);
        // Classes of one kind are one, so each change of kind is as cheap as its cheapest change of class.
        let mut own = vec![NEVER; kinds * kinds];
        let mut by = vec![0; kinds * kinds];
        for (from, row) in share.chunks(size).enumerate() {
            for (to, &time) in row.iter().enumerate() {
                let cell = self.kind[from] * kinds + self.kind[to];
                if time < own[cell] {
                    (own[cell], by[cell]) = (time, from * size + to);
                }
            }
        }
        let via = close(&mut own, kinds, self.over);
        let mut ways: Vec<(usize, usize)> = Vec::new();
        let reached = self.costs(&own);
        let last = self.set[self.set.len() - 2] as usize;
        let Some(mut at) = (last..self.state.len()).min_by_key(|&at| reached[at].0) else {
            return (0, Uses::new());
        };
        let least = reached[at].0;
        let mut cells: Vec<usize> = Vec::new();
        while reached[at].1 != NONE {
            let before = reached[at].1 as usize;
            ways.push((self.state[before] as usize, self.state[at] as usize));
            while let Some((from, to)) = ways.pop() {
                match via[from * kinds + to] {
                    NONE if from == to => {}
                    NONE => cells.push(by[from * kinds + to]),
                    over => ways.extend([(from, over as usize), (over as usize, to)]),
                }
            }
            at = before;
        }
        cells.sort_unstable();
        (least, cells.chunk_by(|a, b| a == b).map(|same| (same[0], same.len() as f64)).collect())
    }

    /// The least cost of reaching each state, under closed times between kinds, and the state before it on one way
    /// that costs so much. A cost is never told too high.
    fn costs(&self, own: &[i32]) -> Vec<(i32, u32)> {
        let kinds = self.kinds;
        // By the kind gone to, so that the times to it lie together.
        let to: Vec<i32> = (0..kinds * kinds).map(|at| own[(at % kinds) * kinds + at / kinds]).collect();
        let mut reached = vec![(MOST, NONE); self.state.len()];
        reached[0].0 = 0;
        // Cost above, state below: the lesser of two such numbers is found without a branch.
        let mut here: Vec<(i64, usize)> = Vec::new();
        for (states, steps) in self.set.windows(2).zip(self.out.windows(2)) {
            let states = states[0] as usize..states[1] as usize;
            here.clear();
            here.extend(
                states.map(|at| (i64::from(reached[at].0) << 32 | at as i64, self.state[at] as usize)),
            );
            for &step in &self.steps[steps[0] as usize..steps[1] as usize] {
                let row = &to[self.state[step as usize] as usize * kinds..][..kinds];
                let (cost, from) = reached[step as usize];
                let known = i64::from(cost) << 32 | i64::from(from);
                let least = here
                    .iter()
                    .fold(known, |least, &(cost, kind)| least.min(cost + (i64::from(row[kind]) << 32)));
                reached[step as usize] = ((least >> 32) as i32, least as u32);
            }
        }
        reached
    }
}

/// The kinds numbered so that those come first which are only passed, and how many these are.
fn passed_first(problem: &Problem, ops: &[usize], kind: &[usize], kinds: usize) -> (Vec<usize>, usize) {
    let mut asked = vec![false; kinds];
    ops.iter().for_each(|&op| asked[kind[problem.class[op]]] = true);
    kind.last().into_iter().for_each(|&start| asked[start] = true);
    let mut order: Vec<usize> = (0..kinds).collect();
    order.sort_by_key(|&kind| asked[kind]);
    let mut number = vec![0; kinds];
    order.iter().enumerate().for_each(|(at, &kind)| number[kind] = at);
    (kind.iter().map(|&kind| number[kind]).collect(), asked.iter().filter(|asked| !**asked).count())
}

/// What is done, and what can be done next.
#[derive(Clone, Copy)]
struct Reached<const W: usize> {
    done: Bits<W>,
    ready: Bits<W>,
}

/// What stands for no state.
const NONE: u32 = u32::MAX;

/// A set of operations that are done.
struct Set<const W: usize> {
    reached: Reached<W>,
    /// The last of its states.
    last: u32,
}

/// The sets met so far, their states, and the steps from sets to states.
struct Sets<const W: usize> {
    sets: Vec<Set<W>>,
    /// Kind in hand, and the state of the same set before this one.
    states: Vec<(u32, u32)>,
    steps: Vec<(u32, u32)>,
    /// By how many operations are done, so that what is looked up lies together.
    layers: Vec<HashMap<Bits<W>, u32, Fast>>,
    /// The sets in the order in which steps go on from them.
    order: Vec<u32>,
}

impl<const W: usize> Sets<W> {
    /// Nothing is done.
    fn begun(ops: usize, kind: usize, ready: Bits<W>) -> Self {
        let mut layers: Vec<HashMap<Bits<W>, u32, Fast>> = (0..=ops).map(|_| HashMap::default()).collect();
        layers[0].insert(Bits::NONE, 0);
        let reached = Reached { done: Bits::NONE, ready };
        let states = vec![(kind as u32, NONE)];
        Self { sets: vec![Set { reached, last: 0 }], states, steps: Vec::new(), layers, order: Vec::new() }
    }

    /// The sets of so many operations, in the order in which they were met.
    fn of_count(&mut self, count: usize) -> Vec<u32> {
        let mut sets: Vec<u32> = std::mem::take(&mut self.layers[count]).into_values().collect();
        sets.sort_unstable();
        self.order.extend(&sets);
        sets
    }

    /// A step from a set to another, with this kind in hand.
    fn step(&mut self, from: u32, to: Reached<W>, kind: usize) {
        let fresh = self.sets.len() as u32;
        let set = *self.layers[to.done.count()].entry(to.done).or_insert(fresh);
        if set == fresh {
            self.sets.push(Set { reached: to, last: NONE });
        }
        let last = self.sets[set as usize].last;
        let mut state = last;
        while state != NONE && self.states[state as usize].0 != kind as u32 {
            state = self.states[state as usize].1;
        }
        if state == NONE {
            state = self.states.len() as u32;
            self.states.push((kind as u32, last));
            self.sets[set as usize].last = state;
        }
        self.steps.push((from, state));
    }

    /// First states of the sets, kinds of the states, where the steps of each set begin, and the steps, all numbered
    /// so that steps go forward.
    fn in_order(mut self, ops: usize) -> (Vec<u32>, Vec<u32>, Vec<u32>, Vec<u32>) {
        self.of_count(ops);
        let mut state_at = vec![0u32; self.states.len()];
        let (mut set, mut kinds) = (vec![0u32], Vec::with_capacity(self.states.len()));
        for &old in &self.order {
            let mut state = self.sets[old as usize].last;
            while state != NONE {
                let (kind, before) = self.states[state as usize];
                state_at[state as usize] = kinds.len() as u32;
                kinds.push(kind);
                state = before;
            }
            set.push(kinds.len() as u32);
        }
        // Steps were taken set by set, in this order.
        let mut out = vec![0u32];
        let mut taken = self.steps.iter().peekable();
        let mut steps = Vec::with_capacity(self.steps.len());
        for &old in &self.order {
            while let Some((_, to)) = taken.next_if(|(from, _)| *from == old) {
                steps.push(state_at[*to as usize]);
            }
            out.push(steps.len() as u32);
        }
        (set, kinds, out, steps)
    }
}

/// What leads on from where, operations by their places among those of the piece.
struct Reach<const W: usize> {
    /// The kind that each operation asks for.
    asks: Vec<usize>,
    /// The operations of each kind.
    members: Vec<Bits<W>>,
    before: Vec<Bits<W>>,
    /// What comes after each with nothing between.
    opens: Vec<Vec<usize>>,
    /// What nothing comes before.
    first: Bits<W>,
}

impl<const W: usize> Reach<W> {
    fn of(problem: &Problem, ops: &[usize], kind: &[usize], kinds: usize) -> Self {
        let asks: Vec<usize> = ops.iter().map(|&op| kind[problem.class[op]]).collect();
        let mut members = vec![Bits::NONE; kinds];
        asks.iter().enumerate().for_each(|(at, &kind)| members[kind].add(at));
        let set = |is: &dyn Fn(usize) -> bool| {
            let mut bits = Bits::NONE;
            (0..ops.len()).filter(|&at| is(at)).for_each(|at| bits.add(at));
            bits
        };
        let precedes = |first: usize, then: usize| problem.precedence.precedes(ops[first], ops[then]);
        let before: Vec<Bits<W>> = (0..ops.len()).map(|then| set(&|first| precedes(first, then))).collect();
        let after: Vec<Bits<W>> = (0..ops.len()).map(|first| set(&|then| precedes(first, then))).collect();
        let opens = (0..ops.len())
            .map(|first| {
                let then = (0..ops.len()).filter(|&then| after[first].has(then));
                then.filter(|&then| !after[first].meets(&before[then])).collect()
            })
            .collect();
        let first = set(&|at| before[at] == Bits::NONE);
        Self { asks, members, before, opens, first }
    }

    /// Everything of a kind that can be done from here on without asking for another.
    fn all_of(&self, kind: usize, from: Reached<W>) -> Reached<W> {
        let mut next = from;
        let mut open = from.ready.both(&self.members[kind]);
        next.ready = next.ready.without(&self.members[kind]);
        while let Some(op) = open.first() {
            open.remove(op);
            next.done.add(op);
            for &then in &self.opens[op] {
                if self.before[then].within(&next.done) {
                    if self.asks[then] == kind { open.add(then) } else { next.ready.add(then) }
                }
            }
        }
        next
    }
}

/// Makes ways round count (Floyd and Warshall): by the first `over` kinds, which are done with one after the other,
/// and by the others; gives for each pair the kind that its way leads over, if any. Of pairs with one of the first
/// kinds only those count that a way is made of.
fn close(times: &mut [i32], size: usize, over: usize) -> Vec<u32> {
    let mut via = vec![NONE; size * size];
    let mut onward = vec![0; size];
    for middle in 0..size {
        let rest = if middle < over { middle + 1 } else { over };
        let onward = &mut onward[rest..];
        onward.copy_from_slice(&times[middle * size + rest..(middle + 1) * size]);
        for from in (rest..size).filter(|&from| from != middle) {
            let first = times[from * size + middle];
            let cells = from * size + rest..(from + 1) * size;
            // Without a branch, so that several are done at once.
            let row = times[cells.clone()].iter_mut().zip(&mut via[cells]);
            for ((time, via), &onward) in row.zip(&*onward) {
                let round = first + onward;
                *via = if round < *time { middle as u32 } else { *via };
                *time = round.min(*time);
            }
        }
    }
    via
}
