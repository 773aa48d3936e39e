//! All means together: an order, its time, and a bound that no order can beat.

use super::beam::Beam;
use super::greedy::greedy;
use super::idle::Waits;
use super::kicks::Kicks;
use super::partition::{Part, Split};
use super::problem::Problem;
use super::shares::Shares;
use super::walk::{Liking, Schedule, Walk};

/// The most operations for which bounds are sought; a longer problem gets an order only.
const MOST: usize = 512;

/// Up to how many operations shares go by place alone, which soon proves one side of a car.
const SHORT: usize = 100;

/// A kick takes about as long as so many moves of annealing.
const MOVES_OF_A_KICK: u64 = 200;

/// What a solution may cost. The work is counted, not timed, so that the same problem has the same
/// answer on every machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Rounds; each takes about twice as long as the one before.
    pub rounds: u32,
    /// Moves that the first round tries.
    pub moves: u64,
    /// States that the first round keeps at a time; 0: no beam search.
    pub width: usize,
    /// The most states of one part of a bound; 0: no shares.
    pub states: usize,
    /// How often the shares are improved in a round.
    pub steps: u64,
}

impl Effort {
    /// For a bench: as long as it is let.
    pub const PATIENT: Self = Self { rounds: 40, moves: 150_000, width: 128, states: 1_500_000, steps: 120 };
}

/// An order and what is known of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Solution {
    /// The operations in their order.
    pub order: Vec<usize>,
    /// From the start to the end of the last operation: work, set-ups and idle time.
    pub total: i64,
    /// No valid order takes less.
    pub bound: i64,
    /// Whether none takes less than this one.
    pub proven: bool,
}

/// Seeks the order that takes the least time, from `start` on where that is a valid order. Between
/// orders that take the same time, or nearly so, the one nearest to what is liked is chosen.
///
/// `keep_going` is asked now and then; where it says no, the best so far is the answer.
#[must_use]
pub fn solve(
    problem: &Problem,
    start: Option<&[usize]>,
    liking: &Liking,
    effort: &Effort,
    keep_going: &mut dyn FnMut() -> bool,
) -> Solution {
    match problem.len() {
        0..=128 => Search::<2>::of(problem, start, liking).run(effort, keep_going),
        129..=256 => Search::<4>::of(problem, start, liking).run(effort, keep_going),
        _ => Search::<8>::of(problem, start, liking).run(effort, keep_going),
    }
}

struct Search<'a, const W: usize> {
    problem: &'a Problem,
    liking: &'a Liking,
    best: Vec<usize>,
    total: i64,
    score: f64,
    /// The least set-ups met, whatever the waits: the limit of the proof.
    setups: i64,
    /// Bound on the set-ups alone.
    setups_bound: i64,
    bound: i64,
}

impl<'a, const W: usize> Search<'a, W> {
    fn of(problem: &'a Problem, start: Option<&[usize]>, liking: &'a Liking) -> Self {
        let best = greedy(problem);
        let (total, setups) = (problem.total(&best), problem.setups(&best));
        let score = total as f64 + liking.of(&best);
        let bound = problem.work();
        let mut search = Self { problem, liking, best, total, score, setups, setups_bound: 0, bound };
        if let Some(start) = start.filter(|order| problem.is_valid(order)) {
            search.take(start);
        }
        search
    }

    /// Takes an order where it is better than what is known.
    fn take(&mut self, order: &[usize]) {
        let total = self.problem.total(order);
        let score = total as f64 + self.liking.of(order);
        self.setups = self.setups.min(self.problem.setups(order));
        if score < self.score - 1e-9 {
            (self.total, self.score) = (total, score);
            self.best = order.to_vec();
        }
    }

    fn run(mut self, effort: &Effort, keep_going: &mut dyn FnMut() -> bool) -> Solution {
        let fits = self.problem.len() <= MOST;
        let beam = (fits && effort.width > 0).then(|| Beam::<W>::of(self.problem));
        let split = if fits && effort.states > 0 { Split::<W>::of(self.problem) } else { None };
        let mut complete = false;
        let mut pieces = None;
        let mut waits = None;
        for round in 0..effort.rounds {
            self.anneal(effort.moves << round.min(20), u64::from(round), keep_going);
            self.kick(effort.moves << round.min(20), u64::from(round), keep_going);
            // Where shares bound well, the beam is worth its time only now and then.
            let due = split.is_none() || round % 3 == 0;
            let open = due && !complete && self.setups_bound < self.setups;
            if let Some(beam) = beam.as_ref().filter(|_| open) {
                complete = self.prove(beam, effort.width << round.min(11), keep_going);
            }
            let open = self.setups_bound < self.setups;
            let by_place = self.problem.len() <= SHORT;
            if let Some(split) = split.as_ref().filter(|_| open && by_place) {
                self.share(split, round, effort, keep_going);
            } else if open && split.is_some() {
                self.piece(&mut pieces, effort, round, keep_going);
            }
            self.bound = self.bound.max(self.problem.work() + self.setups_bound);
            if !self.problem.lags.is_empty() && self.bound < self.total {
                self.wait(&mut waits, effort, round, keep_going);
            }
            if self.bound >= self.total && self.liking.is_none() || !keep_going() {
                break;
            }
        }
        let bound = self.bound.min(self.total);
        Solution { proven: bound >= self.total, order: self.best, total: self.total, bound }
    }

    /// One round of annealing: cooler from the best order in every second round.
    fn anneal(&mut self, moves: u64, round: u64, keep_going: &mut dyn FnMut() -> bool) {
        let spread = (self.setups as f64 / self.problem.len().max(1) as f64).max(1.0);
        // Different problems like different temperatures, so these go in turn.
        let (hot, cold) = [(1.0, 0.05), (0.3, 0.1), (1.0, 0.2), (0.3, 0.03)][(round % 4) as usize];
        let schedule = Schedule { moves, hot: spread * hot, cold: spread * cold };
        let from = if round.is_multiple_of(2) && self.liking.is_none() {
            greedy(self.problem)
        } else {
            self.best.clone()
        };
        let mut walk = Walk::from(self.problem, self.liking, from, round + 1);
        if !self.problem.lags.is_empty() {
            // Set-ups alone are quickly made small; then the waits are looked at too.
            let mut ahead = Walk::from(self.problem, self.liking, walk.order().to_vec(), round + 101);
            ahead.ignore_waits();
            let alone = ahead.anneal(&Schedule { moves: moves / 4, ..schedule }, keep_going);
            self.take(&alone);
            if round.is_multiple_of(2) {
                walk = Walk::from(self.problem, self.liking, alone, round + 1);
            }
        }
        let order = walk.anneal(&schedule, keep_going);
        self.take(&order);
    }

    /// One round of local search with kicks, where times are a plain table: in the time that so many moves take.
    fn kick(&mut self, moves: u64, round: u64, keep_going: &mut dyn FnMut() -> bool) {
        let plain = self.problem.attributes.is_empty() && self.problem.lags.is_empty();
        if !plain || !self.liking.is_none() || self.problem.len() > MOST || self.setups_bound >= self.setups {
            return;
        }
        let heat = self.setups as f64 / self.problem.len().max(1) as f64 / 2.0;
        // Now from the best order, now from afresh.
        let from = if round.is_multiple_of(2) { self.best.clone() } else { greedy(self.problem) };
        let mut kicks = Kicks::<W>::from(self.problem, from, round + 201);
        let order = kicks.search(moves / MOVES_OF_A_KICK, heat, keep_going);
        self.take(&order);
    }

    /// One search of the beam; tells whether nothing was left out.
    fn prove(&mut self, beam: &Beam<'_, W>, width: usize, keep_going: &mut dyn FnMut() -> bool) -> bool {
        let found = beam.search(self.setups, width, keep_going);
        self.setups_bound = self.setups_bound.max(found.bound);
        if let Some(order) = found.order {
            self.take(&order);
        }
        found.complete
    }

    /// One bound by what waits: what has to come before, the wait, what has to come after, the set-ups of that
    /// bounded as those of a problem of its own.
    fn wait(
        &mut self,
        waits: &mut Option<Waits>,
        effort: &Effort,
        round: u32,
        keep_going: &mut dyn FnMut() -> bool,
    ) {
        let width = if self.problem.len() <= MOST { effort.width } else { 0 };
        let waits = waits.get_or_insert_with(|| Waits::of(self.problem, width, keep_going));
        self.bound = self.bound.max(waits.bound);
        let Some((start, late)) = waits.tail.as_ref().filter(|_| round > 0 && self.bound < self.total) else {
            return;
        };
        let known: Vec<usize> =
            self.best.iter().filter_map(|op| waits.ops.iter().position(|late| late == op)).collect();
        // What the best order takes for these operations, no bound of theirs surpasses.
        if start + late.setups(&known) <= self.bound {
            return;
        }
        let effort = Effort { rounds: round, moves: effort.moves / 8, ..*effort };
        let least = solve(late, Some(&known), &Liking::default(), &effort, keep_going).bound;
        self.bound = self.bound.max(start + least);
    }

    /// One bound by pieces, which are built when they are first asked for.
    fn piece(
        &mut self,
        pieces: &mut Option<Option<Shares>>,
        effort: &Effort,
        round: u32,
        keep_going: &mut dyn FnMut() -> bool,
    ) {
        let pieces = pieces.get_or_insert_with(|| Shares::of(self.problem, effort.states, keep_going));
        if let Some(pieces) = pieces {
            pieces.improve(self.setups, effort.steps << round.min(10), keep_going);
            self.setups_bound = self.setups_bound.max(pieces.best.min(self.setups));
        }
    }

    /// One bound by shares, with fewer and larger parts from round to round.
    fn share(
        &mut self,
        split: &Split<'_, W>,
        round: u32,
        effort: &Effort,
        keep_going: &mut dyn FnMut() -> bool,
    ) {
        let limit = effort.states.min(120_000 << round.min(10));
        let tools = split.tools();
        let groups = (0..round).fold(tools.len().div_ceil(2), |groups, _| (groups * 3).div_ceil(5));
        if round > 0 && groups == 1 && tools.len() > 2 {
            return;
        }
        let mut parts: Vec<Part> = Vec::new();
        let mut alone = 0;
        let mut open: Vec<Vec<usize>> =
            (0..groups).map(|group| tools.iter().copied().skip(group).step_by(groups).collect()).collect();
        while let Some(group) = open.pop() {
            // Tools whose part is not built any more count nothing; the bound holds without them.
            if !keep_going() {
                break;
            }
            match split.part(&group, limit, keep_going) {
                Some(part) => parts.push(part),
                None if group.len() > 1 => {
                    let (front, back) = group.split_at(group.len() / 2);
                    open.extend([front.to_vec(), back.to_vec()]);
                }
                // Too large even by itself: the tool has to be taken up once.
                None => alone += split.least_to_enter(group[0]),
            }
        }
        let bound = split.bound(&parts, self.setups - alone, effort.steps, keep_going) + alone;
        self.setups_bound = self.setups_bound.max(bound.min(self.setups));
    }
}
