//! Left and right done alike: pairs of rows that come in another order on one side than on the other are
//! turned, where that costs no more than it is worth.

use crate::sequence::{Liking, Problem};
use axlestand_ledger::Action;
use axlestand_model::Hand;
use std::collections::BTreeMap;

/// Seconds that one pair of rows counts which comes in another order on the left than on the right: a
/// judgement (source id AX-60). Twice what a pair counts that is turned against the usual order, so that the
/// second side is done as the first one was, and no tool is taken up oftener for it.
const ALIKE: f64 = 6.0;

/// The longest run of rows that is moved at a time.
const LONGEST: usize = 8;

/// How often all pairs are gone through.
const PASSES: usize = 6;

/// Rows with the same row on the other side: left, right.
pub(crate) fn twins<'a>(actions: impl Iterator<Item = &'a Action>) -> Vec<(usize, usize)> {
    let index: BTreeMap<&Action, usize> = actions.enumerate().map(|(at, action)| (action, at)).collect();
    let left = index.iter().filter(|(action, _)| action.item.side() == Some(Hand::Left));
    let pairs = left.filter_map(|(action, &at)| {
        Some((at, *index.get(&Action::new(action.verb, &action.item.mirrored()))?))
    });
    pairs.collect()
}

/// How many pairs of twins come in another order on the left than on the right.
pub(crate) fn unlike(twins: &[(usize, usize)], order: &[usize]) -> usize {
    let places = Places::of(twins, order);
    let pairs = |at: usize| places.0[..at].iter().filter(|first| turned(**first, places.0[at])).count();
    (0..places.0.len()).map(pairs).sum()
}

fn turned(a: (usize, usize), b: (usize, usize)) -> bool {
    (a.0 < b.0) != (a.1 < b.1)
}

/// Where the left and the right one of each pair of twins stand.
struct Places(Vec<(usize, usize)>);

impl Places {
    fn of(twins: &[(usize, usize)], order: &[usize]) -> Self {
        let mut place = vec![0; order.len()];
        for (at, &row) in order.iter().enumerate() {
            place[row] = at;
        }
        Self(twins.iter().map(|&(left, right)| (place[left], place[right])).collect())
    }
}

/// The order with fewer pairs done otherwise on one side than on the other; never one that counts more, with
/// its time, what is liked and these pairs.
pub(crate) fn alike(
    problem: &Problem,
    twins: &[(usize, usize)],
    liking: &Liking,
    order: Vec<usize>,
) -> Vec<usize> {
    let count = |order: &[usize]| {
        problem.total(order) as f64 + liking.of(order) + ALIKE * unlike(twins, order) as f64
    };
    let first = count(&order);
    let mapped = as_the_other_side(twins, &order).into_iter().filter(|next| problem.is_valid(next));
    let mut best = (first, order.clone());
    // Turning pair by pair may get stuck half way, so it is begun from the whole side turned too.
    for start in mapped.chain([order]) {
        let found = descend(problem, twins, count, start);
        if found.0 < best.0 - 1e-9 {
            best = found;
        }
    }
    best.1
}

/// Turns pairs as long as it pays; gives what the order counts, and the order.
fn descend(
    problem: &Problem,
    twins: &[(usize, usize)],
    count: impl Fn(&[usize]) -> f64,
    start: Vec<usize>,
) -> (f64, Vec<usize>) {
    let mut best = (count(&start), start);
    for _ in 0..PASSES {
        let before = best.0;
        for next in moves(twins, &best.1) {
            if problem.is_valid(&next) {
                let counts = count(&next);
                if counts < best.0 - 1e-9 {
                    best = (counts, next);
                }
            }
        }
        if best.0 >= before {
            break;
        }
    }
    best
}

/// One whole side in the order of the other, in its own places.
fn as_the_other_side(twins: &[(usize, usize)], order: &[usize]) -> Vec<Vec<usize>> {
    let places = Places::of(twins, order).0;
    let swap = |(left, right): (usize, usize)| (right, left);
    let fill = |model: fn((usize, usize)) -> (usize, usize)| {
        let mut pairs: Vec<(usize, usize)> = places.iter().map(|&pair| model(pair)).collect();
        let mut slots: Vec<usize> = pairs.iter().map(|pair| pair.1).collect();
        slots.sort_unstable();
        pairs.sort_unstable();
        let mut next = order.to_vec();
        for (slot, (_, was)) in slots.into_iter().zip(pairs) {
            next[slot] = order[was];
        }
        next
    };
    vec![fill(|pair| pair), fill(swap)]
}

/// Orders in which a short run of rows has gone past what it stands wrongly before or behind.
fn moves(twins: &[(usize, usize)], order: &[usize]) -> Vec<Vec<usize>> {
    let mut places = Places::of(twins, order).0;
    places.sort_unstable();
    let mut next = Vec::new();
    let left = places.windows(2).map(|pair| (pair[0], pair[1]));
    let mut by_right = places.clone();
    by_right.sort_unstable_by_key(|pair| pair.1);
    let right = by_right.windows(2).map(|pair| (pair[0], pair[1]));
    for (a, b) in left.chain(right).filter(|(a, b)| turned(*a, *b)) {
        for (front, back) in [(a.0.min(b.0), a.0.max(b.0)), (a.1.min(b.1), a.1.max(b.1))] {
            for length in 1..=LONGEST.min(back - front) {
                // The run that begins with the front one goes behind the back one, or the one that ends with
                // the back one before the front one.
                let mut later = order.to_vec();
                later[front..=back].rotate_left(length);
                let mut sooner = order.to_vec();
                sooner[front..=back].rotate_right(length);
                next.extend([later, sooner]);
            }
        }
    }
    next
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sequence::Setups;

    /// Left 0, 1, 2 and right 3, 4, 5, the right ones the other way round: three pairs are turned.
    #[test]
    fn the_second_side_is_done_as_the_first() {
        let twins = [(0, 3), (1, 4), (2, 5)];
        assert_eq!(unlike(&twins, &[0, 1, 2, 5, 4, 3]), 3);
        let free = Problem::new(vec![1; 6], &[], Setups::Matrix(vec![vec![0; 6]; 6]), Vec::new());
        let order = alike(&free.expect("sound"), &twins, &Liking::default(), vec![0, 1, 2, 5, 4, 3]);
        assert_eq!(unlike(&twins, &order), 0);
    }

    /// Precedence on the right alone: the left follows it.
    #[test]
    fn what_cannot_be_turned_is_followed_by_the_other_side() {
        let twins = [(0, 3), (1, 4), (2, 5)];
        let bound =
            Problem::new(vec![1; 6], &[(5, 4), (4, 3)], Setups::Matrix(vec![vec![0; 6]; 6]), Vec::new());
        let order = alike(&bound.expect("sound"), &twins, &Liking::default(), vec![0, 1, 2, 5, 4, 3]);
        assert_eq!(unlike(&twins, &order), 0);
        assert_eq!(order[..3], [2, 1, 0]);
    }

    /// A set-up of 1000 s between the right ones in the left order is not worth three pairs.
    #[test]
    fn no_time_is_given_for_it() {
        let mut table = vec![vec![0; 6]; 6];
        for (from, to) in [(3, 4), (4, 5), (3, 5), (1, 0), (2, 1), (2, 0)] {
            table[from][to] = 1000;
        }
        let dear = Problem::new(vec![1; 6], &[], Setups::Matrix(table), Vec::new()).expect("sound");
        let order = alike(&dear, &[(0, 3), (1, 4), (2, 5)], &Liking::default(), vec![0, 1, 2, 5, 4, 3]);
        assert_eq!(dear.total(&order), 6);
    }
}
