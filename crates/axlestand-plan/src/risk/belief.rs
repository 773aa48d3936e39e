//! What is believed of a chance, and what fasteners seen on this car teach.

use super::draws::Draws;

/// A belief about a chance: a beta distribution, as if `a` fasteners had been stuck and `b` not.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    /// Stuck ones, counted and assumed; above 0.
    pub a: f64,
    /// Ones that came loose, counted and assumed; above 0.
    pub b: f64,
}

/// Least count, so that nothing is ever certain.
const LEAST: f64 = 0.02;

impl Belief {
    /// What is believed before anything was seen: a chance, worth as much as `weight` fasteners seen.
    #[must_use]
    pub fn assumed(chance: f64, weight: f64) -> Self {
        let chance = if chance.is_finite() { chance.clamp(0.0, 1.0) } else { 0.5 };
        Self { a: (chance * weight).max(LEAST), b: ((1.0 - chance) * weight).max(LEAST) }
    }

    /// The belief after `stuck` more were stuck and `free` came loose (conjugate update of the binomial:
    /// any text on Bayes' rule).
    #[must_use]
    pub fn after(self, stuck: f64, free: f64) -> Self {
        Self { a: self.a + stuck.max(0.0), b: self.b + free.max(0.0) }
    }

    /// The chance for the next one.
    #[must_use]
    pub fn mean(self) -> f64 {
        self.a / (self.a + self.b)
    }

    /// Standard deviation of the chance.
    #[must_use]
    pub fn deviation(self) -> f64 {
        let sum = self.a + self.b;
        (self.a * self.b / (sum * sum * (sum + 1.0))).sqrt()
    }

    /// The mean of the `k`-th power of the chance: Π (a+i)/(a+b+i).
    #[must_use]
    pub fn moment(self, k: usize) -> f64 {
        (0..k).map(|i| (self.a + i as f64) / (self.a + self.b + i as f64)).product()
    }

    /// The chances that 0, 1, … of fasteners are needed anew, where each is with `shares[i]` times the
    /// believed chance. They share the chance, so this is no binomial: with shares of 1 it is the
    /// beta-binomial distribution. By the moments of the belief; exact up to rounding for a dozen.
    #[must_use]
    pub fn counts(self, shares: &[f64]) -> Vec<f64> {
        // Polynomials in the chance: of each count, the coefficient of each power.
        let mut counts = vec![vec![1.0]];
        for &share in shares {
            let mut next = vec![vec![0.0; counts[0].len() + 1]; counts.len() + 1];
            for (k, powers) in counts.iter().enumerate() {
                for (power, &coefficient) in powers.iter().enumerate() {
                    next[k][power] += coefficient;
                    next[k][power + 1] -= coefficient * share;
                    next[k + 1][power + 1] += coefficient * share;
                }
            }
            counts = next;
        }
        let mean = |powers: Vec<f64>| -> f64 {
            powers.iter().enumerate().map(|(power, coefficient)| coefficient * self.moment(power)).sum()
        };
        counts.into_iter().map(|powers| mean(powers).clamp(0.0, 1.0)).collect()
    }

    /// One chance that may be.
    pub(crate) fn draw(self, draws: &mut Draws) -> f64 {
        draws.beta(self.a, self.b)
    }
}
