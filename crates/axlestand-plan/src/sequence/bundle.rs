//! Improves shares of a cost by what is known of those who pay them.
//!
//! Each payer's least cost is a concave function of its shares, and each way that it was once found to take bounds
//! that function from above: it costs no less than that way would. The sum of the lowest of these is a model of
//! the whole. The next shares are those where the model, less the square of the distance from the best shares so
//! far, is highest (a proximal bundle method with a model for each payer; C. Lemaréchal, Lagrangian relaxation, in
//! Jünger and Naddef, Computational Combinatorial Optimization, 2001). Every set of shares adds up to the cost,
//! so whatever is tried, its value is a bound.

/// The fraction of the foreseen gain from which on the place tried becomes the new centre.
const GAINED: f64 = 0.02;

/// How much further the model is trusted then.
const WIDER: f64 = 1.2;

/// The fraction of the foreseen gain by which the value has to fall for the model to be trusted less far, and how
/// much less.
const FELL: f64 = 0.35;
const CLOSER: f64 = 0.7;

/// The first reach, in steps to the known value along the slope.
const FIRST_REACH: f64 = 6.0;

/// How often the weights of each payer's ways are brought nearer to the best ones in a step: 12 did no better.
const PASSES: usize = 3;

/// A way that has had no weight for so many steps is forgotten.
const IDLE: u32 = 12;

/// The cells that a way uses, in rising order, and how often.
pub(crate) type Uses = Vec<(usize, f64)>;

/// A way that a payer was found to take.
struct Way {
    uses: Uses,
    /// Its weight; the weights of a payer add up to 1.
    weight: f64,
    /// For how many steps it has had none.
    idle: u32,
}

/// The shares of `count` payers in each of many cells, and what is known of their worth.
pub(crate) struct Bundle {
    count: usize,
    /// What the shares of a cell add up to.
    sums: Vec<f64>,
    /// The shares with the best value so far, cell by cell.
    centre: Vec<f64>,
    value: f64,
    /// The shares to be tried, and the value that the model foresees there.
    tried: Vec<f64>,
    foreseen: f64,
    ways: Vec<Vec<Way>>,
    /// The cells that any way used; the shares of the others stay as they are.
    used: Vec<usize>,
    is_used: Vec<bool>,
    /// The cells whose shares to be tried were found anew in the last step.
    moved: Vec<usize>,
    is_moved: Vec<bool>,
    /// How often the ways use each cell, weighted.
    pull: Vec<f64>,
    /// How far the pull leads.
    reach: f64,
}

impl Bundle {
    /// Begins with these shares of each payer, cell by cell, which add up to `sums`.
    pub(crate) fn begun(sums: &[i64], shares: &[Vec<f64>]) -> Self {
        let count = shares.len();
        let cells = 0..sums.len();
        let tried: Vec<f64> = cells.flat_map(|cell| shares.iter().map(move |share| share[cell])).collect();
        Self {
            count,
            sums: sums.iter().map(|&sum| sum as f64).collect(),
            centre: tried.clone(),
            value: f64::NEG_INFINITY,
            foreseen: f64::INFINITY,
            ways: shares.iter().map(|_| Vec::new()).collect(),
            used: Vec::new(),
            is_used: vec![false; sums.len()],
            moved: Vec::new(),
            is_moved: vec![false; sums.len()],
            pull: vec![0.0; tried.len()],
            tried,
            reach: 0.0,
        }
    }

    /// The shares of a cell to be tried, of each payer.
    pub(crate) fn tried(&self, cell: usize) -> &[f64] {
        &self.tried[cell * self.count..][..self.count]
    }

    /// The cells whose shares to be tried may be others than before the last step.
    pub(crate) fn moved(&self) -> &[usize] {
        &self.moved
    }

    /// Hears what came of the shares tried: their value, and the cheapest way of each payer. Finds the shares to be
    /// tried next; `known` is a value that no shares surpass.
    pub(crate) fn hear(&mut self, value: f64, ways: Vec<Uses>, known: f64) {
        let mut is_new = self.judge(value);
        for (payer, uses) in ways.into_iter().enumerate() {
            self.learn(payer, uses);
        }
        if self.reach == 0.0 {
            let square: f64 = self.ways.iter().flatten().flat_map(|way| &way.uses).map(|(_, n)| n * n).sum();
            self.reach = FIRST_REACH * (known - value).max(1.0) / square.max(1.0);
            is_new = true;
        }
        self.moved.drain(..).for_each(|cell| self.is_moved[cell] = false);
        for at in 0..if is_new { self.used.len() } else { 0 } {
            self.settle(self.used[at]);
        }
        for _ in 0..PASSES {
            (0..self.count).for_each(|payer| self.shift(payer));
        }
        self.foreseen = self.model();
        for ways in &mut self.ways {
            for way in ways.iter_mut() {
                way.idle = if way.weight > 1e-9 { 0 } else { way.idle + 1 };
            }
            ways.retain(|way| way.idle < IDLE);
        }
    }

    /// Moves the centre where the value has risen; how far the model is trusted changes with how well it foresaw.
    /// Tells whether either has changed.
    fn judge(&mut self, value: f64) -> bool {
        let gain = self.foreseen - self.value;
        let rose = value - self.value;
        if self.value == f64::NEG_INFINITY || rose >= GAINED * gain {
            self.reach *= WIDER;
            self.centre.clone_from(&self.tried);
            self.value = value;
            true
        } else if rose < -FELL * gain {
            self.reach *= CLOSER;
            true
        } else {
            false
        }
    }

    /// Keeps a way of a payer, if it is new.
    fn learn(&mut self, payer: usize, mut uses: Uses) {
        uses.retain(|&(cell, _)| self.sums[cell] > 0.0);
        let ways = &mut self.ways[payer];
        if ways.iter().any(|way| way.uses == uses) {
            return;
        }
        let weight = if ways.is_empty() { 1.0 } else { 0.0 };
        for &(cell, n) in &uses {
            self.pull[cell * self.count + payer] += weight * n;
            if !std::mem::replace(&mut self.is_used[cell], true) {
                self.used.push(cell);
            }
        }
        ways.push(Way { uses, weight, idle: 0 });
    }

    /// What a way costs by the shares tried.
    fn cost(&self, payer: usize, way: &Way) -> f64 {
        way.uses.iter().map(|&(cell, n)| n * self.tried[cell * self.count + payer]).sum()
    }

    /// The value that the ways foresee for the shares tried.
    fn model(&self) -> f64 {
        let least = |payer: usize| {
            self.ways[payer].iter().map(|way| self.cost(payer, way)).fold(f64::INFINITY, f64::min)
        };
        (0..self.count).map(least).sum()
    }

    /// Moves weight from the dearest way of a payer to its cheapest, as far as that brings the shares nearer to
    /// where the model is highest.
    fn shift(&mut self, payer: usize) {
        let ways = &self.ways[payer];
        let costs: Vec<f64> = ways.iter().map(|way| self.cost(payer, way)).collect();
        let by_cost = |a: &usize, b: &usize| costs[*a].total_cmp(&costs[*b]);
        let cheapest = (0..ways.len()).min_by(by_cost);
        let dearest = (0..ways.len()).filter(|&at| ways[at].weight > 0.0).max_by(by_cost);
        let (Some(cheapest), Some(dearest)) = (cheapest, dearest) else { return };
        let gain = costs[dearest] - costs[cheapest];
        if gain <= 1e-9 {
            return;
        }
        let change = difference(&ways[cheapest].uses, &ways[dearest].uses);
        let square: f64 = change.iter().map(|(_, n)| n * n).sum();
        let step = (gain / (self.reach * square)).min(ways[dearest].weight);
        self.ways[payer][cheapest].weight += step;
        self.ways[payer][dearest].weight -= step;
        for (cell, n) in change {
            self.pull[cell * self.count + payer] += step * n;
            self.settle(cell);
        }
    }

    /// Brings the shares of a cell to where the pull leads, to the nearest ones that add up and are not below
    /// nought.
    fn settle(&mut self, cell: usize) {
        if !std::mem::replace(&mut self.is_moved[cell], true) {
            self.moved.push(cell);
        }
        let at = cell * self.count;
        let (pull, reach) = (&self.pull[at..at + self.count], self.reach);
        let tried = &mut self.tried[at..at + self.count];
        for ((to, from), pull) in tried.iter_mut().zip(&self.centre[at..]).zip(pull) {
            *to = from + reach * pull;
        }
        // Those that fall below nought pay nothing; the others share what is over, and so on.
        let (mut sum, mut left) = (tried.iter().sum::<f64>(), self.count);
        let mut over = (sum - self.sums[cell]) / left as f64;
        loop {
            let (was, mut out) = (over, 0);
            for to in tried.iter_mut().filter(|to| **to >= 0.0 && **to < was) {
                sum -= *to;
                *to = -1.0;
                out += 1;
            }
            if out == 0 || out >= left {
                break;
            }
            left -= out;
            over = (sum - self.sums[cell]) / left as f64;
        }
        for to in tried {
            *to = if *to < 0.0 { 0.0 } else { (*to - over).max(0.0) };
        }
    }
}

/// One way's uses less another's, where they differ.
fn difference(one: &[(usize, f64)], other: &[(usize, f64)]) -> Vec<(usize, f64)> {
    let (mut one, mut other) = (one.iter().peekable(), other.iter().peekable());
    let mut change = Vec::new();
    while let Some(cell) = one.peek().into_iter().chain(other.peek()).map(|(cell, _)| *cell).min() {
        let more = one.next_if(|(at, _)| *at == cell).map_or(0.0, |(_, n)| *n);
        let less = other.next_if(|(at, _)| *at == cell).map_or(0.0, |(_, n)| *n);
        if (more - less).abs() > 0.0 {
            change.push((cell, more - less));
        }
    }
    change
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two payers, each of whom takes the cheaper of two cells; ten and six are to be shared. By hand: neither
    /// pays more than its share of the six, so no shares give more than six; they begin with one each, which
    /// gives nothing.
    #[test]
    fn finds_the_best_shares() {
        let mut bundle = Bundle::begun(&[10, 6], &[vec![10.0, 0.0], vec![0.0, 6.0]]);
        let mut best: f64 = 0.0;
        for _ in 0..60 {
            let mut value = 0.0;
            let uses: Vec<Uses> = (0..2)
                .map(|payer| {
                    let share = [0, 1].map(|cell| bundle.tried(cell)[payer]);
                    assert!(share.iter().all(|&share| share >= 0.0), "{share:?}");
                    value += share[0].min(share[1]);
                    vec![(usize::from(share[1] < share[0]), 1.0)]
                })
                .collect();
            for (cell, sum) in [10.0, 6.0].into_iter().enumerate() {
                let paid: f64 = bundle.tried(cell).iter().sum();
                assert!((paid - sum).abs() < 1e-9, "cell {cell}: {paid}");
            }
            assert!(value < 6.0 + 1e-9);
            best = best.max(value);
            bundle.hear(value, uses, 6.0);
        }
        assert!(best > 5.9, "{best}");
    }

    #[test]
    fn uses_are_subtracted_cell_by_cell() {
        let change = difference(&[(1, 2.0), (4, 1.0)], &[(1, 2.0), (3, 1.0), (4, 3.0)]);
        assert_eq!(change, [(3, -1.0), (4, -2.0)]);
    }
}
