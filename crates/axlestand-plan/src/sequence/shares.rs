//! A bound on set-ups by pieces of a problem that share its cost.
//!
//! Each piece ([`Piece`]) keeps some of the operations, tells some of the classes apart and pays a share of every
//! change from class to class. The shares add up to at most the true times, so the sum of what the pieces cost
//! at least is at most the cost of any order. The shares are improved by a [`Bundle`]: a piece that makes a change
//! more often than the others is charged more of it. Charging by class, not by place alone, lets a piece
//! pay for a tool where it is really taken up.
//!
//! What is on one corner of a car hangs together and hardly with the rest: such clusters are pieces that know
//! every class. Between them go pieces that know all operations, or those of some clusters, but not all tools; for
//! long jobs also one of all operations that knows only how the car stands.

use super::bundle::{Bundle, Uses};
use super::clusters::{clusters, with_common};
use super::piece::{NEVER, Piece};
use super::problem::Problem;
use super::spread::{GoOn, spread};

/// Shares are counted in this fraction of the unit of time, in whole numbers: rounding makes no bound too high.
const FINE: i64 = 1024;

/// The most operations of a cluster; two or four of them make up the overhaul of one or both axles.
const CLUSTER: usize = 90;

/// Groups of tools for a problem that is short enough for pieces with all operations: on 157 operations better
/// than 8 in five seconds and than 18 and 24 in ten.
const GROUPS: usize = 12;

/// A piece that knows one attribute of the whole problem is worth no more states: how the car stands takes five.
const FEW: usize = 50_000;

/// From how many operations on the states of pieces with all of them multiply too far: four corners of a car.
const LONG: usize = 200;

/// The pieces of a problem and their shares as they have come to be.
pub(crate) struct Shares {
    pieces: Vec<Piece>,
    /// The true times between classes, row by row, the start the last.
    times: Vec<i64>,
    size: usize,
    shares: Bundle,
    /// The shares to be tried of each piece, row by row, in whole fractions that add up to at most the true times.
    whole: Vec<Vec<i32>>,
    /// The best bound so far, in the unit of time.
    pub(crate) best: i64,
}

impl Shares {
    /// The pieces of a problem; nothing where it has no attributes or no piece stays below `limit` states.
    pub(crate) fn of(problem: &Problem, limit: usize, keep_going: GoOn<'_>) -> Option<Self> {
        let kinds = Kinds::of(problem)?;
        if times(problem).iter().any(|time| time * FINE >= i64::from(NEVER)) {
            return None;
        }
        let wanted = wanted(problem, &kinds, limit);
        let built = spread(wanted.len(), keep_going, &|at, keep_going| {
            let Wanted { ops, kind, states } = &wanted[at];
            Piece::of(problem, ops, kind, *states, keep_going)
        });
        let pieces: Vec<Piece> = built.into_iter().flatten().flatten().collect();
        if pieces.is_empty() || !keep_going() {
            return None;
        }
        Some(Self::begun(problem, pieces, &kinds))
    }

    /// Shares to begin with: a tool is paid for by the pieces that know it, a place by those with an operation
    /// there.
    fn begun(problem: &Problem, pieces: Vec<Piece>, kinds: &Kinds<'_>) -> Self {
        let classes = problem.classes;
        let size = classes + 1;
        let times = times(problem);
        let mut shares = vec![vec![0.0; size * size]; pieces.len()];
        for to in 0..classes {
            let here = |op: usize| problem.class[op] == to;
            let pays = |piece: &Piece| (0..problem.len()).any(|op| piece.keeps[op] && here(op));
            let own: Vec<usize> = (0..pieces.len()).filter(|&at| pays(&pieces[at])).collect();
            let knows = |at: &usize| {
                let kind = &pieces[*at].kind;
                (0..classes).all(|other| kind[other] != kind[to] || kinds.tool(other) == kinds.tool(to))
            };
            let knowing: Vec<usize> = own.iter().copied().filter(|at| knows(at)).collect();
            for from in 0..size {
                let cell = from * size + to;
                let tool = kinds.change(from, to) as f64;
                let place = times[cell] as f64 - tool;
                own.iter().for_each(|&at| shares[at][cell] += place / own.len() as f64);
                knowing.iter().for_each(|&at| shares[at][cell] += tool / knowing.len() as f64);
            }
        }
        let shares = Bundle::begun(&times, &shares);
        let whole = vec![vec![0; size * size]; pieces.len()];
        let mut begun = Self { pieces, times, size, shares, whole, best: 0 };
        (0..size * size).for_each(|cell| begun.round(cell));
        begun
    }

    /// Improves the shares for some rounds, towards a bound of `known`; the best bound is in `best`.
    pub(crate) fn improve(&mut self, known: i64, rounds: u64, keep_going: GoOn<'_>) {
        for _ in 0..rounds {
            let ways = spread(self.pieces.len(), keep_going, &|at, _| self.pieces[at].least(&self.whole[at]));
            // The bound holds without the pieces not looked at any more.
            let (least, ways): (Vec<i32>, Vec<Uses>) = ways.into_iter().flatten().unzip();
            let sum: i64 = least.into_iter().map(i64::from).sum();
            self.best = self.best.max((sum + FINE - 1).div_euclid(FINE));
            if self.best >= known || ways.len() < self.pieces.len() || !keep_going() {
                break;
            }
            self.shares.hear(sum as f64 / FINE as f64, ways, known as f64);
            for at in 0..self.shares.moved().len() {
                self.round(self.shares.moved()[at]);
            }
        }
    }

    /// Brings the shares of a cell to whole fractions.
    fn round(&mut self, cell: usize) {
        if cell % self.size == self.size - 1 {
            // Nothing goes back to the start.
            let back = if cell / self.size == self.size - 1 { 0 } else { NEVER };
            self.whole.iter_mut().for_each(|share| share[cell] = back);
            return;
        }
        let mut over = -self.times[cell] * FINE;
        for (whole, share) in self.whole.iter_mut().zip(self.shares.tried(cell)) {
            // None is below nought, so that this rounds down.
            whole[cell] = (share * FINE as f64) as i32;
            over += i64::from(whole[cell]);
        }
        for whole in &mut self.whole {
            let less = i64::from(whole[cell]).min(over.max(0));
            whole[cell] -= less as i32;
            over -= less;
        }
    }
}

/// A piece that is wanted: its operations, the kind of each class, and the most states that it is worth.
struct Wanted {
    ops: Vec<usize>,
    kind: Vec<usize>,
    states: usize,
}

/// The pieces wanted of a problem, of at most `limit` states each.
fn wanted(problem: &Problem, kinds: &Kinds<'_>, limit: usize) -> Vec<Wanted> {
    let clusters = clusters(problem, CLUSTER);
    let all: Vec<usize> = (0..problem.len()).collect();
    let mut wanted: Vec<Wanted> = Vec::new();
    let mut want = |ops: Vec<usize>, kind, states| wanted.push(Wanted { ops, kind, states });
    for cluster in &clusters {
        want(with_common(problem, cluster), kinds.with(|_| true), limit);
    }
    if problem.len() < LONG {
        let groups = GROUPS.min(kinds.tools.len()).max(1);
        for group in 0..groups {
            want(all.clone(), kinds.with(|at| at % groups == group), limit);
        }
        return wanted;
    }
    for some in clusters.chunks(2) {
        let mut ops: Vec<usize> = some.iter().flat_map(|cluster| with_common(problem, cluster)).collect();
        ops.sort_unstable();
        ops.dedup();
        want(ops, kinds.with(|_| false), limit);
    }
    for attribute in (0..problem.attributes.len()).filter(|&attribute| attribute != kinds.tool) {
        want(all.clone(), kinds.by(attribute), limit.min(FEW));
    }
    wanted
}

/// The true times between classes, row by row, the start the last.
fn times(problem: &Problem) -> Vec<i64> {
    let classes = problem.classes;
    let row = |from: usize| {
        let row =
            if from < classes { &problem.times[from * classes..][..classes] } else { &problem.first[..] };
        row.iter().copied().chain([0])
    };
    (0..=classes).flat_map(row).collect()
}

/// How pieces see the classes: by everything but the tool, and by some of the tools.
struct Kinds<'a> {
    problem: &'a Problem,
    /// The attribute with most values, in practice the tool.
    tool: usize,
    /// The tools in use.
    tools: Vec<usize>,
}

impl<'a> Kinds<'a> {
    fn of(problem: &'a Problem) -> Option<Self> {
        let used = |at: usize| {
            let mut values = problem.attributes[at].values.clone();
            values.sort_unstable();
            values.dedup();
            values
        };
        let tool = (0..problem.attributes.len()).max_by_key(|&at| (used(at).len(), at))?;
        Some(Self { problem, tool, tools: used(tool) })
    }

    /// The tool of a class, or at the start.
    fn tool(&self, class: usize) -> usize {
        self.problem.values.get(class).map_or(self.problem.attributes[self.tool].start, |of| of[self.tool])
    }

    /// What changing the tool takes between two classes.
    fn change(&self, from: usize, to: usize) -> i64 {
        self.problem.attributes[self.tool].times[self.tool(from)][self.tool(to)]
    }

    /// The kind of each class, the start the last, where only one attribute is known.
    fn by(&self, attribute: usize) -> Vec<usize> {
        let start = self.problem.attributes[attribute].start;
        let values: Vec<usize> = self.problem.values.iter().map(|of| of[attribute]).chain([start]).collect();
        numbered(&values)
    }

    /// The kind of each class, the start the last, where only these tools (by their index) are known.
    fn with(&self, known: impl Fn(usize) -> bool) -> Vec<usize> {
        let start: Vec<usize> = self.problem.attributes.iter().map(|attribute| attribute.start).collect();
        let seen = |of: &Vec<usize>| -> (Vec<usize>, Option<usize>) {
            let at = self.tools.iter().position(|tool| *tool == of[self.tool]);
            let mut places = of.clone();
            places.remove(self.tool);
            (places, at.filter(|&at| known(at)))
        };
        let seen: Vec<_> = self.problem.values.iter().chain([&start]).map(seen).collect();
        numbered(&seen)
    }
}

/// Equal things by one number, from 0 on without gaps.
fn numbered<T: Ord + Clone>(things: &[T]) -> Vec<usize> {
    let mut all = things.to_vec();
    all.sort_unstable();
    all.dedup();
    things.iter().map(|thing| all.binary_search(thing).unwrap_or(0)).collect()
}

#[cfg(test)]
mod tests {
    use super::super::chance::Chance;
    use super::super::problem::{Attribute, Setups};
    use super::*;

    /// The least set-ups of all orders, by trying them all.
    fn brute_force(problem: &Problem, order: &mut Vec<usize>) -> i64 {
        if order.len() == problem.len() {
            return problem.setups(order);
        }
        let mut least = i64::MAX;
        for op in 0..problem.len() {
            let open = |first: usize| problem.precedence.precedes(first, op) && !order.contains(&first);
            if !order.contains(&op) && !(0..problem.len()).any(open) {
                order.push(op);
                least = least.min(brute_force(problem, order));
                order.pop();
            }
        }
        least
    }

    /// A job of five to seven operations at up to three places with up to four tools.
    fn small(chance: &mut Chance) -> Problem {
        let count = 5 + chance.below(3);
        let places = vec![vec![0, 50, 120], vec![50, 0, 100], vec![120, 90, 0]];
        let tools = (0..4).map(|a| (0..4).map(|b| if a == b { 0 } else { 30 }).collect()).collect();
        let attribute = |times, values| Attribute { times, start: 0, values };
        let attributes = vec![
            attribute(places, (0..count).map(|_| chance.below(3)).collect()),
            attribute(tools, (0..count).map(|_| chance.below(4)).collect()),
        ];
        let pairs = (0..chance.below(8)).map(|_| (chance.below(count), chance.below(count)));
        let before: Vec<(usize, usize)> = pairs.filter(|(a, b)| a < b).collect();
        Problem::new(vec![1; count], &before, Setups::Attributes(attributes), Vec::new()).expect("sound")
    }

    /// Pieces of all kinds: groups of tools over all operations, parts of the operations that know every tool,
    /// and such that know none.
    fn pieces(problem: &Problem, kinds: &Kinds<'_>, chance: &mut Chance) -> Vec<Piece> {
        let all: Vec<usize> = (0..problem.len()).collect();
        let half = all.len() / 2;
        let groups = 1 + chance.below(3);
        let mut asked: Vec<(Vec<usize>, Vec<usize>)> =
            (0..groups).map(|group| (all.clone(), kinds.with(|at| at % groups == group))).collect();
        asked.push((all[..half].to_vec(), kinds.with(|_| true)));
        asked.push((all[half..].to_vec(), kinds.with(|_| true)));
        asked.push((all, kinds.with(|_| false)));
        asked.retain(|_| chance.below(3) > 0);
        asked.iter().filter_map(|(ops, kind)| Piece::of(problem, ops, kind, 10_000, &mut || true)).collect()
    }

    /// Whatever the pieces and however far their shares are improved, no bound lies above the best order; one
    /// piece that knows all gives that itself.
    #[test]
    fn no_bound_is_above_the_best_order() {
        let mut chance = Chance::seeded(7);
        let mut near = 0;
        for case in 0..400 {
            let problem = small(&mut chance);
            let best = brute_force(&problem, &mut Vec::new());
            let kinds = Kinds::of(&problem).expect("attributes");
            let all: Vec<usize> = (0..problem.len()).collect();
            let whole = Piece::of(&problem, &all, &kinds.with(|_| true), 10_000, &mut || true);
            let mut whole = Shares::begun(&problem, vec![whole.expect("small")], &kinds);
            whole.improve(best, 1, &mut || true);
            assert_eq!(whole.best, best, "case {case}");
            let pieces = pieces(&problem, &kinds, &mut chance);
            if pieces.is_empty() {
                continue;
            }
            let mut shares = Shares::begun(&problem, pieces, &kinds);
            for _ in 0..5 {
                shares.improve(best + 50, 8, &mut || true);
                assert!(shares.best <= best, "case {case}: {} above {best}", shares.best);
            }
            near += usize::from(shares.best * 10 >= best * 9);
        }
        assert!(near > 200, "only {near} of 400 bounds come within a tenth of the best order");
    }

    #[test]
    fn what_is_too_large_or_cut_short_bounds_nothing_wrongly() {
        let problem = small(&mut Chance::seeded(3));
        assert!(Shares::of(&problem, 1, &mut || true).is_none());
        assert!(Shares::of(&problem, 10_000, &mut || false).is_none());
        let mut shares = Shares::of(&problem, 10_000, &mut || true).expect("small");
        let mut asked = 0;
        let best = brute_force(&problem, &mut Vec::new());
        shares.improve(best, 9, &mut || {
            asked += 1;
            asked < 2
        });
        assert!(shares.best <= best);
    }
}
