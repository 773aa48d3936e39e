//! Simulated annealing over exchanges of two adjacent blocks.
//!
//! The move is the one of L. M. Gambardella and M. Dorigo (INFORMS J. Comput. 12(3), 2000): blocks
//! `[i, j)` and `[j, k)` change places, which keeps the direction of both. The change of the set-ups
//! takes three look-ups, so a move that is too dear is refused before its precedence is looked at.

use super::chance::Chance;
use super::problem::Problem;

/// What a search may spend and how it goes about it.
pub(crate) struct Schedule {
    /// Moves to try.
    pub(crate) moves: u64,
    /// Temperatures at the start and at the end, in the unit of time.
    pub(crate) hot: f64,
    pub(crate) cold: f64,
}

/// An order that is changed move by move.
pub(crate) struct Walk<'a> {
    problem: &'a Problem,
    liking: &'a Liking,
    order: Vec<usize>,
    /// The class at each place.
    class: Vec<usize>,
    setups: i64,
    /// Where there are waits: the end of each place, the end of each operation, and the waits of each.
    timed: Option<Timed>,
    chance: Chance,
    /// What bounds the block that is moved.
    bound: Vec<u64>,
}

/// An order that is liked, and what one pair of operations the other way round counts, in the unit of
/// time: between orders that take the same time the one nearest to it is chosen.
#[derive(Debug, Clone, Default)]
pub struct Liking {
    /// The place of each operation in the order that is liked; empty: none is.
    pub place: Vec<usize>,
    /// What a pair counts.
    pub pair: f64,
}

impl Liking {
    /// Whether no order is liked more than another.
    pub(crate) fn is_none(&self) -> bool {
        self.place.is_empty()
    }

    /// What it adds when these two blocks change places.
    fn change(&self, front: &[usize], back: &[usize]) -> f64 {
        if self.place.is_empty() {
            return 0.0;
        }
        let mut turned = 0i64;
        for &a in front {
            for &b in back {
                turned += if self.place[a] < self.place[b] { 1 } else { -1 };
            }
        }
        turned as f64 * self.pair
    }

    /// What an order counts as a whole.
    pub(crate) fn of(&self, order: &[usize]) -> f64 {
        if self.place.is_empty() {
            return 0.0;
        }
        let turned =
            |at: usize| order[..at].iter().filter(|&&a| self.place[a] > self.place[order[at]]).count();
        (1..order.len()).map(turned).sum::<usize>() as f64 * self.pair
    }
}

struct Timed {
    waits: Vec<Vec<(usize, i64)>>,
    /// The time at the end of each place.
    ends: Vec<i64>,
    /// The end of each operation.
    end_of: Vec<i64>,
    total: i64,
}

impl<'a> Walk<'a> {
    /// Starts from a valid order.
    pub(crate) fn from(problem: &'a Problem, liking: &'a Liking, order: Vec<usize>, seed: u64) -> Self {
        let class = order.iter().map(|&op| problem.class[op]).collect();
        let setups = problem.setups(&order);
        let mut walk = Self {
            problem,
            liking,
            order,
            class,
            setups,
            timed: None,
            chance: Chance::seeded(seed),
            bound: vec![0; problem.precedence.words()],
        };
        if !problem.lags.is_empty() {
            let mut waits = vec![Vec::new(); problem.len()];
            for lag in &problem.lags {
                waits[lag.then].push((lag.first, lag.time));
            }
            let count = problem.len();
            walk.timed = Some(Timed { waits, ends: vec![0; count], end_of: vec![0; count], total: 0 });
            walk.retime(0);
        }
        walk
    }

    /// Takes the waits out of account, or back into it.
    pub(crate) fn ignore_waits(&mut self) {
        self.timed = None;
    }

    /// The order as it is.
    pub(crate) fn order(&self) -> &[usize] {
        &self.order
    }

    /// The time that is to become small: set-ups, and idle time where waits count.
    fn value(&self) -> i64 {
        self.timed.as_ref().map_or(self.setups, |timed| timed.total - self.problem.work())
    }

    fn link(&self, from: Option<usize>, to: usize) -> i64 {
        match from {
            Some(from) => self.problem.times[self.class[from] * self.problem.classes + self.class[to]],
            None => self.problem.first[self.class[to]],
        }
    }

    /// The change of the set-ups when `[i, j)` and `[j, k)` change places.
    fn change(&self, i: usize, j: usize, k: usize) -> i64 {
        let before = i.checked_sub(1);
        let mut change = self.link(before, j) + self.link(Some(k - 1), i)
            - self.link(before, i)
            - self.link(Some(j - 1), j);
        if k < self.order.len() {
            change += self.link(Some(j - 1), k) - self.link(Some(k - 1), k);
        }
        change
    }

    /// Anneals from where it is; gives the best order met, the liking included.
    pub(crate) fn anneal(&mut self, schedule: &Schedule, keep_going: &mut dyn FnMut() -> bool) -> Vec<usize> {
        let mut best = self.order.clone();
        let mut liked = self.liking.of(&self.order);
        let mut best_score = self.value() as f64 + liked;
        if self.order.len() < 2 {
            return best;
        }
        let cooling = (schedule.cold / schedule.hot).ln();
        let mut heat = schedule.hot;
        for step in 0..schedule.moves {
            if step % 512 == 0 {
                if step % 8192 == 0 && !keep_going() {
                    break;
                }
                heat = schedule.hot * (cooling * step as f64 / schedule.moves as f64).exp();
            }
            let limit = -heat * self.chance.fraction().ln();
            let Some((i, j, k)) = self.pick(limit) else { continue };
            if self.step(i, j, k, limit, &mut liked) {
                let score = self.value() as f64 + liked;
                if score < best_score - 1e-9 {
                    best_score = score;
                    best.clone_from(&self.order);
                }
            }
        }
        best
    }

    /// Makes the move where it adds no more than `limit` and is allowed.
    fn step(&mut self, i: usize, j: usize, k: usize, limit: f64, liked: &mut f64) -> bool {
        let change = self.change(i, j, k);
        let idle = self.timed.as_ref().map_or(0, |timed| timed.total - self.problem.work() - self.setups);
        let like = self.liking.change(&self.order[i..j], &self.order[j..k]);
        if (change - idle) as f64 + like > limit {
            return false;
        }
        self.turn(i, j, k);
        self.setups += change;
        if let Some(timed) = &self.timed {
            let was = timed.total;
            self.retime(i);
            let now = self.timed.as_ref().map_or(was, |timed| timed.total);
            if (now - was) as f64 + like > limit {
                self.turn(i, i + k - j, k);
                self.setups -= change;
                self.retime(i);
                return false;
            }
        }
        *liked += like;
        true
    }

    fn turn(&mut self, i: usize, j: usize, k: usize) {
        self.order[i..k].rotate_left(j - i);
        self.class[i..k].rotate_left(j - i);
    }

    /// Times the places from `from` on.
    fn retime(&mut self, from: usize) {
        let Some(mut timed) = self.timed.take() else { return };
        let mut now = from.checked_sub(1).map_or(0, |before| timed.ends[before]);
        for at in from..self.order.len() {
            let op = self.order[at];
            now += self.link(at.checked_sub(1), at);
            for &(first, time) in &timed.waits[op] {
                now = now.max(timed.end_of[first] + time);
            }
            now += self.problem.durations[op];
            timed.ends[at] = now;
            timed.end_of[op] = now;
        }
        timed.total = now;
        self.timed = Some(timed);
    }

    /// Picks a block and, of all places to which it may go and which are not too dear, one at random.
    fn pick(&mut self, limit: f64) -> Option<(usize, usize, usize)> {
        let count = self.order.len();
        let whole = self.chance.below(2) == 0;
        let mut from = self.chance.below(count);
        if whole {
            while from > 0 && self.class[from] == self.class[from - 1] {
                from -= 1;
            }
        }
        let mut to = (from + self.length()).min(count);
        if whole {
            while to < count && self.class[to] == self.class[to - 1] {
                to += 1;
            }
        }
        let idle = self.timed.as_ref().map_or(0, |timed| timed.total - self.problem.work() - self.setups);
        let limit = limit + idle as f64;
        let far = self.chance.below(4) == 0;
        let reach = if far { count } else { 24 };
        if self.chance.below(2) == 0 {
            self.later(from, to, limit, reach)
        } else {
            self.sooner(from, to, limit, reach)
        }
    }

    /// A place further on for the block `[i, j)`.
    fn later(&mut self, i: usize, j: usize, limit: f64, reach: usize) -> Option<(usize, usize, usize)> {
        self.block(i, j, true);
        let mut chosen = None;
        let mut met = 0;
        for k in j + 1..=self.order.len().min(j + reach) {
            let last = self.order[k - 1];
            if self.bound[last / 64] >> (last % 64) & 1 == 1 {
                break;
            }
            if self.change(i, j, k) as f64 <= limit {
                met += 1;
                if self.chance.below(met) == 0 {
                    chosen = Some((i, j, k));
                }
            }
        }
        chosen
    }

    /// A place further to the front for the block `[j, k)`.
    fn sooner(&mut self, j: usize, k: usize, limit: f64, reach: usize) -> Option<(usize, usize, usize)> {
        self.block(j, k, false);
        let mut chosen = None;
        let mut met = 0;
        for i in (j.saturating_sub(reach)..j).rev() {
            let first = self.order[i];
            if self.bound[first / 64] >> (first % 64) & 1 == 1 {
                break;
            }
            if self.change(i, j, k) as f64 <= limit {
                met += 1;
                if self.chance.below(met) == 0 {
                    chosen = Some((i, j, k));
                }
            }
        }
        chosen
    }

    /// Notes what has to come after, or before, something in a block.
    fn block(&mut self, from: usize, to: usize, after: bool) {
        self.bound.fill(0);
        for &op in &self.order[from..to] {
            let row =
                if after { self.problem.precedence.after(op) } else { self.problem.precedence.before(op) };
            for (bound, row) in self.bound.iter_mut().zip(row) {
                *bound |= row;
            }
        }
    }

    /// A length of a block, mostly short.
    fn length(&mut self) -> usize {
        let most = match self.chance.below(8) {
            0..=2 => 1,
            3..=4 => 4,
            5..=6 => 16,
            _ => 64,
        };
        1 + self.chance.below(most)
    }
}
