//! Proof of the set-ups: breadth-first over states with a limit on how many are kept.
//!
//! A state is what is done and the class in hand. *Free rides:* where passing through a further class
//! never saves time, everything that is free and of the class in hand is done at once: done later it
//! cannot cost less, done now it costs nothing, and earlier it blocks nothing. Of two ways to one
//! state the cheaper stays. Whatever is dropped enters the bound, so that the bound holds even when
//! the search is cut (after L. Libralesso and others, arXiv 1911.12427).

use super::assignment::{Duals, duals};
use super::bits::{Bits, Fast};
use super::problem::Problem;
use std::collections::HashMap;

/// What a search found: an order where one was reached that is better, and a bound on set-ups.
pub(crate) struct Found {
    pub(crate) order: Option<Vec<usize>>,
    pub(crate) bound: i64,
    /// Whether the whole width was never needed.
    pub(crate) complete: bool,
}

/// The search, prepared once for a problem; `W` words hold its operations.
pub(crate) struct Beam<'a, const W: usize> {
    problem: &'a Problem,
    before: Vec<Bits<W>>,
    /// The operations of each class, in a valid order.
    members: Vec<Vec<usize>>,
    rest: Rest<W>,
}

/// How what is still to come is bounded.
enum Rest<const W: usize> {
    /// Each value of an attribute that is still asked for has to be entered: its operations, attribute,
    /// value, least time to enter.
    Values(Vec<(Bits<W>, usize, usize, i64)>),
    Duals(Duals),
}

#[derive(Clone, Copy)]
struct State<const W: usize> {
    done: Bits<W>,
    class: usize,
    cost: i64,
    bound: i64,
    /// Sum of the dual values of what is open.
    open: i64,
    trail: usize,
}

const NOWHERE: usize = usize::MAX;

impl<'a, const W: usize> Beam<'a, W> {
    pub(crate) fn of(problem: &'a Problem) -> Self {
        let count = problem.len();
        let before = (0..count).map(|op| Bits::from_row(problem.precedence.before(op))).collect();
        let mut members = vec![Vec::new(); problem.classes];
        for &op in problem.precedence.order() {
            members[problem.class[op]].push(op);
        }
        let rest = if problem.attributes.is_empty() {
            Rest::Duals(duals(problem))
        } else {
            Rest::Values(values(problem))
        };
        Self { problem, before, members, rest }
    }

    /// Searches with at most `width` states at a time for an order whose set-ups are below `known`.
    pub(crate) fn search(&self, known: i64, width: usize, keep_going: &mut dyn FnMut() -> bool) -> Found {
        let mut found = Found { order: None, bound: known, complete: true };
        let mut trail: Vec<(usize, usize)> = Vec::new();
        let mut level = vec![self.start()];
        let mut next: Vec<State<W>> = Vec::new();
        let mut known_states: HashMap<(Bits<W>, usize), usize, Fast> = HashMap::default();
        let mut best = known;
        while !level.is_empty() {
            next.clear();
            known_states.clear();
            for (at, state) in level.iter().enumerate() {
                if at % 256 == 0 && !keep_going() {
                    // What was not looked at any further is bounded as it stands.
                    let open = level[at..].iter().chain(&next).map(|state| state.bound);
                    found.bound = open.fold(found.bound, i64::min);
                    found.complete = false;
                    return found;
                }
                if state.bound >= best {
                    continue;
                }
                for child in self.children(state) {
                    if child.bound >= best {
                        continue;
                    }
                    if child.done.count() == self.problem.len() {
                        best = child.cost;
                        found.order = Some(self.retrace(&trail, state.trail, child.class));
                        continue;
                    }
                    match known_states.entry((child.done, child.class)) {
                        std::collections::hash_map::Entry::Vacant(entry) => {
                            entry.insert(next.len());
                            next.push(child);
                        }
                        std::collections::hash_map::Entry::Occupied(entry) => {
                            let old = &mut next[*entry.get()];
                            if child.cost < old.cost {
                                *old = child;
                            }
                        }
                    }
                }
            }
            next.retain(|state| state.bound < best);
            if next.len() > width {
                let key = |s: &State<W>| (s.bound, std::cmp::Reverse(s.done.count()), s.done.0, s.class);
                next.select_nth_unstable_by_key(width, key);
                let dropped = next[width..].iter().map(|state| state.bound);
                found.bound = dropped.fold(found.bound, i64::min);
                found.complete = false;
                next.truncate(width);
            }
            for state in &mut next {
                trail.push((state.trail, state.class));
                state.trail = trail.len() - 1;
            }
            std::mem::swap(&mut level, &mut next);
        }
        found.bound = found.bound.min(best);
        found
    }

    fn start(&self) -> State<W> {
        let open = match &self.rest {
            Rest::Duals(duals) => (0..self.problem.len()).map(|op| duals.leave[op] + duals.enter[op]).sum(),
            Rest::Values(_) => 0,
        };
        State { done: Bits::NONE, class: NOWHERE, cost: 0, bound: 0, open, trail: NOWHERE }
    }

    /// The states that follow: one for each class of which something is free.
    fn children(&self, state: &State<W>) -> Vec<State<W>> {
        let mut children: Vec<State<W>> = Vec::new();
        for op in 0..self.problem.len() {
            if state.done.has(op) || !self.before[op].within(&state.done) {
                continue;
            }
            let class = self.problem.class[op];
            if children.iter().any(|child| child.class == class) {
                continue;
            }
            let setup = if state.class == NOWHERE {
                self.problem.first[class]
            } else {
                self.problem.times[state.class * self.problem.classes + class]
            };
            let mut child = State { class, cost: state.cost + setup, ..*state };
            self.ride(&mut child.done, class);
            match &self.rest {
                Rest::Duals(duals) => {
                    child.open -= duals.leave[op] + duals.enter[op];
                    child.bound = child.cost + child.open + duals.leave[op] + duals.enter[self.problem.len()];
                }
                Rest::Values(values) => child.bound = child.cost + self.left(values, &child),
            }
            child.bound = child.bound.max(state.bound).max(child.cost);
            children.push(child);
        }
        children
    }

    /// Does everything of a class that is free, or becomes so by that.
    fn ride(&self, done: &mut Bits<W>, class: usize) {
        for &op in &self.members[class] {
            if !done.has(op) && self.before[op].within(done) {
                done.add(op);
            }
        }
    }

    fn left(&self, values: &[(Bits<W>, usize, usize, i64)], state: &State<W>) -> i64 {
        let here = &self.problem.values[state.class];
        values
            .iter()
            .filter(|(ops, attribute, value, _)| here[*attribute] != *value && !ops.within(&state.done))
            .map(|(_, _, _, time)| time)
            .sum()
    }

    /// The order that led along a trail to a last class.
    fn retrace(&self, trail: &[(usize, usize)], mut at: usize, last: usize) -> Vec<usize> {
        let mut classes = vec![last];
        while at != NOWHERE {
            classes.push(trail[at].1);
            at = trail[at].0;
        }
        let mut done = Bits::<W>::NONE;
        let mut order = Vec::with_capacity(self.problem.len());
        for &class in classes.iter().rev() {
            for &op in &self.members[class] {
                if !done.has(op) && self.before[op].within(&done) {
                    done.add(op);
                    order.push(op);
                }
            }
        }
        order
    }
}

fn values<const W: usize>(problem: &Problem) -> Vec<(Bits<W>, usize, usize, i64)> {
    let mut values = Vec::new();
    for (index, attribute) in problem.attributes.iter().enumerate() {
        for value in 0..attribute.times.len() {
            let mut ops = Bits::NONE;
            for op in (0..problem.len()).filter(|&op| attribute.values[op] == value) {
                ops.add(op);
            }
            let from = (0..attribute.times.len()).filter(|&from| from != value);
            let time = from.map(|from| attribute.times[from][value]).min().unwrap_or(0);
            if ops != Bits::NONE && time > 0 {
                values.push((ops, index, value, time));
            }
        }
    }
    values
}
