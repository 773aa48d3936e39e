//! What comes before what, with everything that follows from it.

use super::problem::Flaw;

/// A precedence relation over operations `0..count`, transitively closed, as rows of bits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Precedence {
    words: usize,
    before: Vec<u64>,
    after: Vec<u64>,
    /// A valid order: each operation as soon as it can, the lowest index first.
    order: Vec<usize>,
}

impl Precedence {
    /// Closes the pairs (first, then). Fails on an index out of range and on a circle.
    pub(crate) fn of(count: usize, pairs: impl Iterator<Item = (usize, usize)>) -> Result<Self, Flaw> {
        let words = count.div_ceil(64);
        let mut direct: Vec<Vec<usize>> = vec![Vec::new(); count];
        let mut open = vec![0usize; count];
        for (first, then) in pairs {
            if first >= count || then >= count {
                return Err(Flaw::NoSuchOperation(first.max(then)));
            }
            direct[first].push(then);
            open[then] += 1;
        }
        let mut closed = Self {
            words,
            before: vec![0; count * words],
            after: vec![0; count * words],
            order: Vec::with_capacity(count),
        };
        let mut ready: std::collections::BTreeSet<usize> = (0..count).filter(|&i| open[i] == 0).collect();
        while let Some(at) = ready.pop_first() {
            closed.order.push(at);
            for &then in &direct[at] {
                closed.inherit(at, then);
                open[then] -= 1;
                if open[then] == 0 {
                    ready.insert(then);
                }
            }
        }
        if closed.order.len() < count {
            return Err(Flaw::Circle((0..count).filter(|&i| open[i] > 0).collect()));
        }
        for then in 0..count {
            for first in 0..count {
                if closed.before[then * words + first / 64] >> (first % 64) & 1 == 1 {
                    closed.after[first * words + then / 64] |= 1 << (then % 64);
                }
            }
        }
        Ok(closed)
    }

    /// Whatever comes before `first`, and `first` itself, comes before `then`.
    fn inherit(&mut self, first: usize, then: usize) {
        for word in 0..self.words {
            self.before[then * self.words + word] |= self.before[first * self.words + word];
        }
        self.before[then * self.words + first / 64] |= 1 << (first % 64);
    }

    /// The operations before `at`, as bits.
    pub(crate) fn before(&self, at: usize) -> &[u64] {
        &self.before[at * self.words..(at + 1) * self.words]
    }

    /// The operations after `at`, as bits.
    pub(crate) fn after(&self, at: usize) -> &[u64] {
        &self.after[at * self.words..(at + 1) * self.words]
    }

    /// Whether `first` has to come before `then`.
    pub(crate) fn precedes(&self, first: usize, then: usize) -> bool {
        self.after(first)[then / 64] >> (then % 64) & 1 == 1
    }

    /// A valid order.
    pub(crate) fn order(&self) -> &[usize] {
        &self.order
    }

    /// How many words a row of bits takes.
    pub(crate) fn words(&self) -> usize {
        self.words
    }
}

/// The operations in a row of bits, in rising order.
pub(crate) fn members(bits: &[u64]) -> impl Iterator<Item = usize> + '_ {
    bits.iter().enumerate().flat_map(|(word, &bits)| {
        let mut left = bits;
        std::iter::from_fn(move || {
            if left == 0 {
                return None;
            }
            let low = left.trailing_zeros() as usize;
            left &= left - 1;
            Some(word * 64 + low)
        })
    })
}
