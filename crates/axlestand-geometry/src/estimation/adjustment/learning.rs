//! What the car's answer to a round of turning teaches.

use super::task::{Task, matrix};
use crate::estimation::{Trouble, chi_squared};
use nalgebra::{Cholesky, DMatrix, DVector};

/// Adjusters of doubtful sense that are told apart at once; further ones keep the sense they are
/// thought to have.
const MOST_DOUBTFUL: usize = 10;

/// A task after a round.
#[derive(Debug, Clone)]
pub struct Learned {
    /// Angles from the readings before and after together, responses as the car showed them.
    pub task: Task,
    /// Adjusters that turned out to work the other way round; their response is turned round.
    pub reversed: Vec<usize>,
    /// The chance of an answer as odd as this. Below 0.001 something else has happened: a lock nut
    /// that slipped, another adjuster, a reading that is wrong.
    pub chance: f64,
}

/// One way the senses can be.
struct Way {
    /// +1 or −1 for each adjuster.
    signs: Vec<f64>,
    /// Logarithm of its probability, up to a constant.
    weight: f64,
    /// Squared length of the surprise.
    surprise: f64,
    values: DVector<f64>,
    covariance: DMatrix<f64>,
    /// Mean and standard deviation of each response factor.
    factors: Vec<(f64, f64)>,
}

impl Task {
    /// The task after turning by `amounts` and reading again: angles `values` with `covariance`, in the
    /// task's order.
    ///
    /// Angles before and response factors are normally distributed, the readings afterwards are
    /// before + Σ K·factor·amount: Bayes' rule for a linear model (`kalman-1960`), for each way the
    /// doubtful senses can be, each weighted by how well it foretells the readings. Errors of the
    /// two sessions count as independent. What they have in common (floor, a gauge's zero) does not go into
    /// differences, but is not averaged away either: `AlignmentEstimate::lasting` is its size.
    ///
    /// # Errors
    /// [`Trouble`] for sizes that do not fit, numbers that are none, a covariance that is none.
    pub fn learned(
        &self,
        amounts: &[f64],
        values: &[f64],
        covariance: &[Vec<f64>],
    ) -> Result<Learned, Trouble> {
        let n = self.values.len();
        Trouble::size("the angles read again", values.len(), n)?;
        values.iter().try_for_each(|v| Trouble::finite("an angle read again", *v))?;
        let noise = matrix("the covariance of the angles read again", covariance, n, n)?;
        let seen = DVector::from_column_slice(values);
        let amounts = self.filled(amounts);
        let ways = self.ways(&amounts);
        let ways: Option<Vec<Way>> =
            ways.into_iter().map(|signs| self.updated(signs, &amounts, &seen, &noise)).collect();
        let ways = ways.ok_or(Trouble::Correlations)?;
        let best = ways.iter().max_by(|a, b| a.weight.total_cmp(&b.weight)).ok_or(Trouble::NoUnknowns)?;
        let total: f64 = ways.iter().map(|w| (w.weight - best.weight).exp()).sum();
        let agreeing = |j: usize| {
            let same = ways.iter().filter(|w| w.signs[j].total_cmp(&best.signs[j]).is_eq());
            same.map(|w| (w.weight - best.weight).exp()).sum::<f64>() / total
        };
        let reversed = (0..amounts.len()).filter(|j| best.signs[*j] < 0.0).collect();
        let chance = 1.0 - chi_squared(best.surprise, n as f64);
        Ok(Learned { task: self.with(best, agreeing, &amounts), reversed, chance })
    }

    /// Every way the senses of the adjusters that were turned can be.
    fn ways(&self, amounts: &[f64]) -> Vec<Vec<f64>> {
        let doubtful = |j: &usize| amounts[*j].abs() > 0.0 && self.adjusters[*j].sense < 1.0;
        let doubtful: Vec<usize> = (0..amounts.len()).filter(doubtful).take(MOST_DOUBTFUL).collect();
        let mut ways = vec![vec![1.0; amounts.len()]];
        for j in doubtful {
            let turned = ways.clone().into_iter().map(|mut way| {
                way[j] = -1.0;
                way
            });
            ways.extend(turned.collect::<Vec<_>>());
        }
        ways
    }

    /// Bayes' rule for one way the senses can be; `None` where the covariances are none.
    fn updated(
        &self,
        signs: Vec<f64>,
        amounts: &[f64],
        seen: &DVector<f64>,
        noise: &DMatrix<f64>,
    ) -> Option<Way> {
        let (n, k) = (self.values.len(), amounts.len());
        // State: angles before, response factors. `design` turns it into angles afterwards.
        let mut design = DMatrix::zeros(n, n + k);
        design.view_mut((0, 0), (n, n)).fill_with_identity();
        let mut state = DVector::from_element(n + k, 1.0);
        state.rows_mut(0, n).copy_from(&self.values);
        let mut spread = DMatrix::zeros(n + k, n + k);
        spread.view_mut((0, 0), (n, n)).copy_from(&self.covariance);
        let mut weight = 0.0;
        for (j, adjuster) in self.adjusters.iter().enumerate() {
            design.set_column(n + j, &(self.response.column(j) * (signs[j] * amounts[j])));
            spread[(n + j, n + j)] = adjuster.rate_u * adjuster.rate_u;
            if amounts[j].abs() > 0.0 {
                let probability = if signs[j] > 0.0 { adjuster.sense } else { 1.0 - adjuster.sense };
                weight += probability.max(1e-300).ln();
            }
        }
        let inner = &design * &spread * design.transpose() + noise;
        let factor = Cholesky::new(inner)?;
        let surprise = seen - &design * &state;
        let size = surprise.dot(&factor.solve(&surprise));
        let log_det: f64 = factor.l().diagonal().iter().map(|x| 2.0 * x.ln()).sum();
        let gain = &spread * design.transpose() * factor.inverse();
        state += &gain * surprise;
        spread -= &gain * &design * &spread;
        let factors = (0..k).map(|j| (state[n + j], spread[(n + j, n + j)].max(0.0).sqrt())).collect();
        Some(Way {
            values: &design * &state,
            covariance: &design * &spread * design.transpose(),
            weight: weight - 0.5 * (size + log_det),
            surprise: size,
            signs,
            factors,
        })
    }

    /// The task with what one way of the senses taught; `agreeing` tells how sure each sense is now.
    fn with(&self, way: &Way, agreeing: impl Fn(usize) -> f64, amounts: &[f64]) -> Self {
        let mut out = self.clone();
        out.values.clone_from(&way.values);
        out.covariance = (&way.covariance + way.covariance.transpose()) / 2.0;
        for (j, adjuster) in out.adjusters.iter_mut().enumerate() {
            let amount = amounts[j];
            adjuster.range = (adjuster.range.0 - amount, adjuster.range.1 - amount);
            adjuster.range = (adjuster.range.0.min(0.0), adjuster.range.1.max(0.0));
            if amount.abs() > 0.0 {
                let (factor, u) = way.factors[j];
                out.response.column_mut(j).scale_mut(way.signs[j] * factor);
                adjuster.rate_u = if factor.abs() > 1e-6 { u / factor.abs() } else { adjuster.rate_u };
                adjuster.sense = agreeing(j);
            }
        }
        out
    }
}
