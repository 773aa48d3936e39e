//! A bound on set-ups by sharing their cost out.
//!
//! The values of one attribute, in practice the tools, are split into groups. Part *k* keeps every
//! operation and all precedence, but knows the tools of group *k* only (any other tool is at hand for
//! nothing) and pays only its share of changing car state and place. The shares add up to at most the
//! true cost, so the sum of the exact optima of all parts is at most the cost of any order. The shares
//! are improved by subgradient steps: what a part uses much is charged to it. All sums are of whole
//! numbers, so rounding cannot make the bound too high.

use super::bits::{Bits, Fast};
use super::problem::Problem;
use std::collections::HashMap;

/// Shares are counted in this fraction of the unit of time.
const FINE: i64 = 1024;

/// Any tool outside the group.
const ANY: u16 = u16::MAX;

/// What the parts have in common: places (values of all attributes but the one that is split).
pub(crate) struct Split<'a, const W: usize> {
    problem: &'a Problem,
    /// The attribute that is split.
    tool: usize,
    /// The place of each operation.
    place: Vec<u16>,
    places: usize,
    /// True times between places, row by row.
    between: Vec<i64>,
    start: u16,
    before: Vec<Bits<W>>,
    all: usize,
}

/// The states of one part and the steps between them.
pub(crate) struct Part {
    place: Vec<u16>,
    /// Steps of state `s`: `steps[from[s]..from[s + 1]]`; each leads to a state further on.
    from: Vec<u32>,
    steps: Vec<(u32, u16)>,
    finals: Vec<u32>,
}

impl<'a, const W: usize> Split<'a, W> {
    /// Nothing where the problem has no attributes.
    pub(crate) fn of(problem: &'a Problem) -> Option<Self> {
        let used = |attribute: &super::problem::Attribute| {
            let mut values = attribute.values.clone();
            values.sort_unstable();
            values.dedup();
            values.len()
        };
        let tool = (0..problem.attributes.len()).max_by_key(|&a| (used(&problem.attributes[a]), a))?;
        let others: Vec<_> =
            problem.attributes.iter().enumerate().filter(|(a, _)| *a != tool).map(|(_, a)| a).collect();
        let of = |op: usize| -> Vec<usize> { others.iter().map(|a| a.values[op]).collect() };
        let start: Vec<usize> = others.iter().map(|a| a.start).collect();
        let mut known: Vec<Vec<usize>> = (0..problem.len()).map(of).chain([start.clone()]).collect();
        known.sort_unstable();
        known.dedup();
        let index =
            |values: &Vec<usize>| known.binary_search(values).ok().and_then(|at| u16::try_from(at).ok());
        let place: Vec<u16> = (0..problem.len()).map(|op| index(&of(op))).collect::<Option<_>>()?;
        let change = |from: &[usize], to: &[usize]| -> i64 {
            others.iter().zip(from.iter().zip(to)).map(|(a, (&f, &t))| a.times[f][t]).sum()
        };
        let between = known
            .iter()
            .flat_map(|from| known.iter().map(move |to| (from, to)))
            .map(|(f, t)| change(f, t))
            .collect();
        let before = (0..problem.len()).map(|op| Bits::from_row(problem.precedence.before(op))).collect();
        Some(Self {
            problem,
            tool,
            place,
            places: known.len(),
            between,
            start: index(&start)?,
            before,
            all: problem.len(),
        })
    }

    /// The tools in use, those together that are used in the same places.
    pub(crate) fn tools(&self) -> Vec<usize> {
        let values = &self.problem.attributes[self.tool].values;
        let mut tools: Vec<usize> = values.clone();
        tools.sort_unstable();
        tools.dedup();
        tools
    }

    /// The least time to take up a tool that is not in hand; nought for one in hand at the start.
    pub(crate) fn least_to_enter(&self, tool: usize) -> i64 {
        let attribute = &self.problem.attributes[self.tool];
        if attribute.start == tool { 0 } else { enter(&attribute.times, tool) }
    }

    /// Builds the states of the part for a group of tools; nothing where they are more than `limit`.
    pub(crate) fn part(
        &self,
        tools: &[usize],
        limit: usize,
        keep_going: &mut dyn FnMut() -> bool,
    ) -> Option<Part> {
        let moves = Moves::of(self, tools);
        let start = self.problem.attributes[self.tool].start;
        let held = if tools.contains(&start) { u16::try_from(start).unwrap_or(ANY) } else { ANY };
        let mut states: Vec<(Bits<W>, u16, u16)> = vec![(Bits::NONE, self.start, held)];
        let mut known: HashMap<(Bits<W>, u16, u16), u32, Fast> = HashMap::default();
        let mut by_count: Vec<Vec<u32>> = vec![Vec::new(); self.all + 1];
        by_count[0].push(0);
        let mut steps_of: Vec<(u32, u32, u16)> = Vec::new();
        let mut queue = Vec::new();
        let mut targets: Vec<(u16, u16)> = Vec::new();
        for count in 0..self.all {
            for state in std::mem::take(&mut by_count[count]) {
                queue.push(state);
                if queue.len() % 4096 == 0 && !keep_going() {
                    return None;
                }
                let from = states[state as usize];
                moves.targets(&from, &mut targets);
                for &(to, asked) in &targets {
                    let paid = if asked == from.2 { ANY } else { asked };
                    let next = moves.go(&from.0, to, asked);
                    let fresh = u32::try_from(states.len()).unwrap_or(u32::MAX);
                    let index = *known.entry(next).or_insert(fresh);
                    if index == fresh {
                        if states.len() >= limit {
                            return None;
                        }
                        states.push(next);
                        by_count[next.0.count()].push(index);
                    }
                    steps_of.push((state, index, paid));
                }
            }
        }
        queue.append(&mut by_count[self.all].clone());
        Some(Part::of(&states, &queue, &steps_of, by_count[self.all].len()))
    }

    /// Improves the shares for some rounds; gives the best bound on set-ups.
    pub(crate) fn bound(
        &self,
        parts: &[Part],
        best_known: i64,
        rounds: u64,
        keep_going: &mut dyn FnMut() -> bool,
    ) -> i64 {
        let cells = self.places * self.places;
        let count = parts.len().max(1);
        let mut shares: Vec<Vec<f64>> =
            vec![self.between.iter().map(|&time| time as f64 / count as f64).collect(); parts.len()];
        let mut best = 0;
        let mut pace = 1.0;
        let mut stale = 0;
        for _ in 0..rounds {
            let whole = self.whole(&shares);
            let mut sum = 0;
            let mut uses = vec![vec![0.0; cells]; parts.len()];
            for ((part, whole), uses) in parts.iter().zip(whole).zip(&mut uses) {
                sum += self.solve(part, whole, uses);
            }
            let bound = (sum + FINE - 1).div_euclid(FINE);
            if bound > best {
                best = bound;
                stale = 0;
            } else {
                stale += 1;
                if stale >= 8 {
                    stale = 0;
                    pace *= 0.6;
                }
            }
            if best >= best_known || pace < 1e-3 || !keep_going() {
                break;
            }
            let distance = (best_known * FINE - sum).max(1) as f64 / FINE as f64;
            self.shift(&mut shares, &uses, pace * distance);
        }
        best
    }

    /// Moves the shares towards the parts that use them and brings them back to what they may be.
    fn shift(&self, shares: &mut [Vec<f64>], uses: &[Vec<f64>], distance: f64) {
        let count = shares.len() as f64;
        let cells = self.places * self.places;
        let mean: Vec<f64> = (0..cells).map(|c| uses.iter().map(|u| u[c]).sum::<f64>() / count).collect();
        let square: f64 =
            uses.iter().map(|u| u.iter().zip(&mean).map(|(u, m)| (u - m).powi(2)).sum::<f64>()).sum();
        if square == 0.0 {
            return;
        }
        let step = distance / square;
        for cell in 0..cells {
            let time = self.between[cell] as f64;
            let mut sum = 0.0;
            for (share, uses) in shares.iter_mut().zip(uses) {
                share[cell] = (share[cell] + step * (uses[cell] - mean[cell])).max(0.0);
                sum += share[cell];
            }
            for share in shares.iter_mut() {
                share[cell] =
                    if sum > time { share[cell] * time / sum } else { share[cell] + (time - sum) / count };
            }
        }
    }

    /// The shares in whole fractions that add up to at most the true times.
    fn whole(&self, shares: &[Vec<f64>]) -> Vec<Vec<i64>> {
        let mut whole: Vec<Vec<i64>> = shares
            .iter()
            .map(|share| share.iter().map(|&s| (s * FINE as f64).floor() as i64).collect())
            .collect();
        for cell in 0..self.between.len() {
            let mut over = whole.iter().map(|w| w[cell]).sum::<i64>() - self.between[cell] * FINE;
            for share in whole.iter_mut().filter(|_| over > 0).collect::<Vec<_>>() {
                let less = share[cell].min(over.max(0));
                share[cell] -= less;
                over -= less;
            }
        }
        whole
    }

    /// The exact optimum of one part under its shares, in fractions; counts the steps it takes.
    fn solve(&self, part: &Part, mut share: Vec<i64>, uses: &mut [f64]) -> i64 {
        let size = self.places;
        let mut via: Vec<usize> = (0..size * size).map(|cell| cell % size).collect();
        for middle in 0..size {
            for from in 0..size {
                for to in 0..size {
                    let way = share[from * size + middle] + share[middle * size + to];
                    if way < share[from * size + to] {
                        share[from * size + to] = way;
                        via[from * size + to] = via[from * size + middle];
                    }
                }
            }
        }
        let tools = &self.problem.attributes[self.tool].times;
        let enter: Vec<i64> = (0..tools.len()).map(|tool| enter(tools, tool) * FINE).collect();
        let count = part.place.len();
        let mut cost = vec![i64::MAX; count];
        let mut came = vec![0u32; count];
        cost[0] = 0;
        for state in 0..count {
            let here = usize::from(part.place[state]);
            let so_far = cost[state];
            for &(next, paid) in &part.steps[part.from[state] as usize..part.from[state + 1] as usize] {
                let next = next as usize;
                let mut total = so_far + share[here * size + usize::from(part.place[next])];
                if paid != ANY {
                    total += enter[usize::from(paid)];
                }
                if total < cost[next] {
                    cost[next] = total;
                    came[next] = u32::try_from(state).unwrap_or(0);
                }
            }
        }
        let Some(&last) = part.finals.iter().min_by_key(|&&state| cost[state as usize]) else { return 0 };
        let mut at = last as usize;
        while at != 0 {
            let (from, to) = (usize::from(part.place[came[at] as usize]), usize::from(part.place[at]));
            let mut here = from;
            while here != to {
                let next = via[here * size + to];
                uses[here * size + next] += 1.0;
                here = next;
            }
            at = came[at] as usize;
        }
        cost[last as usize]
    }
}

/// The least time to enter a value from another.
fn enter(times: &[Vec<i64>], to: usize) -> i64 {
    (0..times.len()).filter(|&from| from != to).map(|from| times[from][to]).min().unwrap_or(0)
}

/// What may be gone to in one part, and what is done there. A state is the operations done, the place, the tool.
struct Moves<'a, const W: usize> {
    split: &'a Split<'a, W>,
    /// The operations of each tool of the group.
    uses: Vec<(u16, Bits<W>)>,
    /// The tools of the group in the order of `uses`, then any other one.
    kinds: Vec<u16>,
    /// The operations of each place and kind of tool, in a valid order; row by row of places.
    members: Vec<Vec<usize>>,
    /// The place, the tool and the operations of each of `members` that has some.
    groups: Vec<((u16, u16), Bits<W>, usize)>,
}

impl<'a, const W: usize> Moves<'a, W> {
    fn of(split: &'a Split<'a, W>, tools: &[usize]) -> Self {
        let values = &split.problem.attributes[split.tool].values;
        let ask = |tool: &usize| if tools.contains(tool) { u16::try_from(*tool).unwrap_or(ANY) } else { ANY };
        let asks: Vec<u16> = values.iter().map(ask).collect();
        let mut uses: Vec<(u16, Bits<W>)> = Vec::new();
        for (op, &tool) in asks.iter().enumerate().filter(|(_, tool)| **tool != ANY) {
            match uses.iter_mut().find(|(known, _)| *known == tool) {
                Some((_, ops)) => ops.add(op),
                None => {
                    let mut ops = Bits::NONE;
                    ops.add(op);
                    uses.push((tool, ops));
                }
            }
        }
        let kinds: Vec<u16> = uses.iter().map(|(tool, _)| *tool).chain([ANY]).collect();
        let mut moves = Self { split, uses, kinds, members: Vec::new(), groups: Vec::new() };
        moves.members = vec![Vec::new(); split.places * moves.kinds.len()];
        for &op in split.problem.precedence.order() {
            let group = moves.group(split.place[op], asks[op]);
            moves.members[group].push(op);
        }
        let groups = moves.members.iter().enumerate().filter_map(|(group, list)| {
            let mut ops = Bits::NONE;
            list.iter().for_each(|&op| ops.add(op));
            let first = *list.first()?;
            Some(((split.place[first], asks[first]), ops, group))
        });
        moves.groups = groups.collect();
        moves
    }

    /// Where the operations of a place and a tool stand among `members`.
    fn group(&self, place: u16, tool: u16) -> usize {
        let kind = self.kinds.iter().position(|&kind| kind == tool).unwrap_or(self.kinds.len() - 1);
        usize::from(place) * self.kinds.len() + kind
    }

    /// The places and tools that something can be done with now. Where something is at hand here without a tool
    /// of the group, only that and what the tool in hand does come next: it costs nothing sooner.
    fn targets(&self, &(done, here, held): &(Bits<W>, u16, u16), targets: &mut Vec<(u16, u16)>) {
        targets.clear();
        let mut lay_down = false;
        for ((to, asked), ops, group) in &self.groups {
            let free = |op: usize| !done.has(op) && self.split.before[op].within(&done);
            if !ops.within(&done) && self.members[*group].iter().any(|&op| free(op)) {
                lay_down |= (*to, *asked) == (here, ANY);
                targets.push((*to, *asked));
            }
        }
        if held != ANY && lay_down {
            targets.retain(|&(to, tool)| tool == held || (to, tool) == (here, ANY));
        }
    }

    /// The state after all has been done that can be at a place with a tool; one with which nothing is left to do is
    /// out of the hand.
    fn go(&self, done: &Bits<W>, to: u16, asked: u16) -> (Bits<W>, u16, u16) {
        let mut next = *done;
        self.ride(&mut next, to, asked);
        if asked != ANY && self.uses.iter().any(|(kind, ops)| *kind == asked && ops.within(&next)) {
            self.ride(&mut next, to, ANY);
            return (next, to, ANY);
        }
        (next, to, asked)
    }

    fn ride(&self, next: &mut Bits<W>, to: u16, tool: u16) {
        for &other in &self.members[self.group(to, tool)] {
            if !next.has(other) && self.split.before[other].within(next) {
                next.add(other);
            }
        }
    }
}

impl Part {
    /// Numbers the states in the order of the queue, in which every step goes forward.
    fn of<const W: usize>(
        states: &[(Bits<W>, u16, u16)],
        queue: &[u32],
        steps_of: &[(u32, u32, u16)],
        finals: usize,
    ) -> Self {
        let mut number = vec![0u32; states.len()];
        for (at, &state) in queue.iter().enumerate() {
            number[state as usize] = u32::try_from(at).unwrap_or(u32::MAX);
        }
        // Steps were noted in the order of the queue.
        let mut from = vec![0u32; states.len() + 1];
        for (state, _, _) in steps_of {
            from[number[*state as usize] as usize + 1] += 1;
        }
        for at in 0..states.len() {
            from[at + 1] += from[at];
        }
        let count = u32::try_from(states.len()).unwrap_or(u32::MAX);
        Self {
            place: queue.iter().map(|&state| states[state as usize].1).collect(),
            from,
            steps: steps_of.iter().map(|(_, to, paid)| (number[*to as usize], *paid)).collect(),
            finals: (count - u32::try_from(finals).unwrap_or(0)..count).collect(),
        }
    }
}
