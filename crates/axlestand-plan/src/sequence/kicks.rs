//! Local search with kicks, for plain tables of times without waits.
//!
//! The order is brought to where no exchange of two adjacent blocks saves anything (the 3-exchange that keeps
//! directions and precedence, after L. M. Gambardella and M. Dorigo, INFORMS J. Comput. 12(3), 2000), then kicked
//! by a few exchanges at random, and so on (iterated local search). Only where something changed is looked at
//! again. A worse order is kept now and then, less and less, as in annealing.

use super::bits::Bits;
use super::chance::Chance;
use super::problem::Problem;

/// Exchanges of a kick: 3 to 5 did best on the published problems that annealing alone misses.
const EXCHANGES: usize = 4;

/// The longest block of a kick.
const BLOCK: usize = 10;

/// How often a kick is sought that precedence allows.
const TRIES: usize = 50;

/// Blocks `[i, j)` and `[j, k)` change places, which changes the time by `change`.
#[derive(Clone, Copy)]
struct Exchange {
    change: i64,
    i: usize,
    j: usize,
    k: usize,
}

/// An order that is kicked.
pub(crate) struct Kicks<'a, const W: usize> {
    problem: &'a Problem,
    after: Vec<Bits<W>>,
    order: Vec<usize>,
    place: Vec<usize>,
    /// Operations round which something may be saved.
    open: Vec<usize>,
    is_open: Vec<bool>,
    chance: Chance,
}

impl<'a, const W: usize> Kicks<'a, W> {
    /// Starts from a valid order.
    pub(crate) fn from(problem: &'a Problem, order: Vec<usize>, seed: u64) -> Self {
        let after = (0..problem.len()).map(|op| Bits::from_row(problem.precedence.after(op))).collect();
        let mut place = vec![0; order.len()];
        order.iter().enumerate().for_each(|(at, &op)| place[op] = at);
        let (open, is_open) = (order.clone(), vec![true; order.len()]);
        Self { problem, after, order, place, open, is_open, chance: Chance::seeded(seed) }
    }

    /// Kicks so many times; gives the best order met. `heat`: how much worse an order may be at first, in the unit
    /// of time.
    pub(crate) fn search(
        &mut self,
        kicks: u64,
        heat: f64,
        keep_going: &mut dyn FnMut() -> bool,
    ) -> Vec<usize> {
        self.descend();
        let mut kept = self.order.clone();
        let mut cost = self.problem.setups(&kept);
        let (mut best, mut least) = (kept.clone(), cost);
        if self.order.len() < 3 {
            return best;
        }
        for kick in 0..kicks {
            if kick % 64 == 0 && !keep_going() {
                break;
            }
            for _ in 0..EXCHANGES {
                self.kick();
            }
            self.descend();
            let now = self.problem.setups(&self.order);
            let left = heat * (1.0 - kick as f64 / kicks as f64);
            if now as f64 <= cost as f64 - left * self.chance.fraction().ln() {
                cost = now;
                kept.clone_from(&self.order);
            } else {
                self.order.clone_from(&kept);
                kept.iter().enumerate().for_each(|(at, &op)| self.place[op] = at);
            }
            if cost < least {
                least = cost;
                best.clone_from(&kept);
            }
        }
        best
    }

    /// An exchange at random.
    fn kick(&mut self) {
        for _ in 0..TRIES {
            let i = self.chance.below(self.order.len());
            let j = i + 1 + self.chance.below(BLOCK);
            let k = j + 1 + self.chance.below(BLOCK);
            if k > self.order.len() {
                continue;
            }
            let after = self.order[i..j].iter().fold(Bits::NONE, |all: Bits<W>, &op| all.or(&self.after[op]));
            if !self.order[j..k].iter().any(|&op| after.has(op)) {
                self.apply(Exchange { change: 0, i, j, k });
                return;
            }
        }
    }

    /// Exchanges blocks as long as that saves anything.
    fn descend(&mut self) {
        while let Some(op) = self.open.pop() {
            self.is_open[op] = false;
            loop {
                let at = self.place[op];
                let mut best = Exchange { change: 0, i: 0, j: 0, k: 0 };
                self.first_cut(at, &mut best);
                self.middle_cut(at, &mut best);
                self.last_cut(at, &mut best);
                if at + 1 == self.order.len() {
                    self.last_cut(at + 1, &mut best);
                }
                if best.change == 0 {
                    break;
                }
                self.apply(best);
            }
        }
    }

    fn apply(&mut self, exchange: Exchange) {
        let Exchange { i, j, k, .. } = exchange;
        for at in [i.wrapping_sub(1), i, j - 1, j, k - 1, k] {
            if let Some(&op) = self.order.get(at).filter(|&&op| !self.is_open[op]) {
                self.is_open[op] = true;
                self.open.push(op);
            }
        }
        self.order[i..k].rotate_left(j - i);
        for at in i..k {
            self.place[self.order[at]] = at;
        }
    }

    /// The time between two places; nought before the first and after the last.
    fn link(&self, from: usize, to: usize) -> i64 {
        match (self.order.get(from), self.order.get(to)) {
            (from, Some(&to)) => self.problem.setup(from.copied(), to),
            _ => 0,
        }
    }

    fn change(&self, i: usize, j: usize, k: usize) -> i64 {
        let before = i.wrapping_sub(1);
        self.link(before, j) + self.link(k - 1, i) + self.link(j - 1, k)
            - self.link(before, i)
            - self.link(j - 1, j)
            - self.link(k - 1, k)
    }

    fn consider(&self, i: usize, j: usize, k: usize, best: &mut Exchange) {
        let change = self.change(i, j, k);
        if change < best.change {
            *best = Exchange { change, i, j, k };
        }
    }

    /// All exchanges whose front block begins at `i`.
    fn first_cut(&self, i: usize, best: &mut Exchange) {
        let mut after = Bits::NONE;
        for j in i + 1..self.order.len() {
            after = after.or(&self.after[self.order[j - 1]]);
            for k in j + 1..=self.order.len() {
                if after.has(self.order[k - 1]) {
                    break;
                }
                self.consider(i, j, k, best);
            }
        }
    }

    /// All exchanges whose blocks meet at `j`.
    fn middle_cut(&self, j: usize, best: &mut Exchange) {
        let mut after = Bits::NONE;
        let mut end = self.order.len();
        for i in (0..j).rev() {
            after = after.or(&self.after[self.order[i]]);
            for k in j + 1..=end {
                if after.has(self.order[k - 1]) {
                    end = k - 1;
                    break;
                }
                self.consider(i, j, k, best);
            }
        }
    }

    /// All exchanges whose back block ends before `k`.
    fn last_cut(&self, k: usize, best: &mut Exchange) {
        let mut block = Bits::NONE;
        for j in (1..k).rev() {
            block.add(self.order[j]);
            for i in (0..j).rev() {
                if self.after[self.order[i]].meets(&block) {
                    break;
                }
                self.consider(i, j, k, best);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sequence::{Flaw, Setups};

    /// A table of random times, one way other than back, with some pairs that have to keep their order.
    fn problem(chance: &mut Chance, count: usize) -> Result<Problem, Flaw> {
        let row = |chance: &mut Chance| (0..count).map(|_| 1 + chance.below(99) as i64).collect();
        let table: Vec<Vec<i64>> = (0..count).map(|_| row(chance)).collect();
        let pairs: Vec<(usize, usize)> = (0..count / 2)
            .map(|_| (chance.below(count), chance.below(count)))
            .filter(|(first, then)| first < then)
            .collect();
        Problem::new(vec![0; count], &pairs, Setups::Matrix(table), Vec::new())
    }

    /// Where the descent ends, no two adjacent blocks can change places and save anything: all are tried.
    #[test]
    fn a_descent_ends_where_no_exchange_saves_anything() -> Result<(), Flaw> {
        let mut chance = Chance::seeded(5);
        for count in [2, 3, 7, 12, 15] {
            for _ in 0..20 {
                let problem = problem(&mut chance, count)?;
                let mut kicks = Kicks::<2>::from(&problem, (0..count).collect(), 1);
                kicks.descend();
                let here = problem.setups(&kicks.order);
                assert!(
                    problem.is_valid(&kicks.order) && here <= problem.setups(&(0..count).collect::<Vec<_>>())
                );
                for i in 0..count {
                    for j in i + 1..count {
                        for k in j + 1..=count {
                            let mut other = kicks.order.clone();
                            other[i..k].rotate_left(j - i);
                            let better = problem.is_valid(&other) && problem.setups(&other) < here;
                            assert!(!better, "{count}: {i} {j} {k}");
                        }
                    }
                }
            }
        }
        Ok(())
    }

    /// The best order met is given, however the search went on; it is never above where the descent ended, and on most
    /// of ten tables well below.
    #[test]
    fn kicks_find_what_a_descent_misses() -> Result<(), Flaw> {
        let mut chance = Chance::seeded(7);
        let mut better = 0;
        for _ in 0..10 {
            let problem = problem(&mut chance, 25)?;
            let from: Vec<usize> = (0..25).collect();
            let mut descended = Kicks::<2>::from(&problem, from.clone(), 1);
            descended.descend();
            let known = problem.setups(&descended.order);
            let mut last = known;
            for kicks in [1, 100] {
                let found = Kicks::<2>::from(&problem, from.clone(), 1).search(kicks, 5.0, &mut || true);
                assert!(problem.is_valid(&found) && problem.setups(&found) <= known);
                last = problem.setups(&found);
            }
            better += usize::from(last * 20 < known * 19);
        }
        assert!(better >= 7, "{better}");
        Ok(())
    }

    /// A kick leaves a valid order, and every operation where its place says.
    #[test]
    fn kicks_keep_to_what_has_to_come_first() -> Result<(), Flaw> {
        let mut chance = Chance::seeded(6);
        for _ in 0..20 {
            let problem = problem(&mut chance, 14)?;
            let mut kicks = Kicks::<2>::from(&problem, (0..14).collect(), 3);
            let mut moved = 0;
            for _ in 0..30 {
                let was = kicks.order.clone();
                kicks.kick();
                moved += usize::from(kicks.order != was);
                assert!(problem.is_valid(&kicks.order));
                assert!(kicks.order.iter().enumerate().all(|(at, op)| kicks.place[*op] == at));
            }
            assert!(moved > 20, "{moved}");
        }
        Ok(())
    }
}
