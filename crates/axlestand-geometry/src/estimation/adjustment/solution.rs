//! How far to turn what, and what it will bring.

use super::lattice::nearest;
use super::task::Task;
use crate::wheel_angles::conformance_probability;
use nalgebra::{DMatrix, DVector};

/// A demand as it will stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Foretold {
    /// Its name.
    pub name: String,
    /// Its value before, in the angles' unit.
    pub before: f64,
    /// Its value afterwards, in the angles' unit.
    pub value: f64,
    /// Standard uncertainty of the value afterwards, in the same unit: of the readings and of the response.
    pub u: f64,
    /// Probability that it will be within tolerance of its target.
    pub probability: f64,
}

/// What to turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Whole hand steps of each adjuster.
    pub steps: Vec<i64>,
    /// The same in the unit of the response.
    pub amounts: Vec<f64>,
    /// Each demand afterwards.
    pub foretold: Vec<Foretold>,
    /// Expected sum of squared deviations over tolerances, before; no unit.
    pub before: f64,
    /// The same afterwards.
    pub after: f64,
    /// Adjusters that stand at the end of their range.
    pub at_end: Vec<usize>,
    /// Whether every better set of whole steps was ruled out; false only with many adjusters.
    pub proven: bool,
}

/// What a hand step counts against turning for nothing: the square of this share of a tolerance
/// (`judgement`).
const TROUBLE_OF_A_STEP: f64 = 0.01;

impl Task {
    /// Whole hand steps of all adjusters together that make the expected sum of squared deviations
    /// least, each over its tolerance: Σ ((cᵈ·(a + K·m) − t)/w)² in the mean over what angles and
    /// responses can be. The uncertainty of a response counts against far turning: the part with the
    /// largest risk moves a little less. The uncertainty of the readings adds the same to every
    /// choice.
    #[must_use]
    pub fn solve(&self) -> Solution {
        let (matrix, rhs) = self.system();
        let bounds: Vec<(i64, i64)> = self.adjusters.iter().map(super::Adjuster::bounds).collect();
        let (steps, proven) = if bounds.is_empty() { (vec![], true) } else { nearest(matrix, &rhs, &bounds) };
        let amounts: Vec<f64> = steps.iter().zip(&self.adjusters).map(|(n, a)| *n as f64 * a.step).collect();
        let none = vec![0.0; amounts.len()];
        let turned = |(n, (low, high)): (&i64, &(i64, i64))| *n != 0 && (n == low || n == high);
        Solution {
            at_end: (0..steps.len()).filter(|i| turned((&steps[*i], &bounds[*i]))).collect(),
            foretold: self.foretold(&amounts),
            before: self.expected(&none),
            after: self.expected(&amounts),
            steps,
            amounts,
            proven,
        }
    }

    /// What will come of turning by `amounts`, one for each adjuster in the unit of the response
    /// (those that are missing stay): the same as in [`Task::solve`], for a choice of one's own.
    #[must_use]
    pub fn foretold(&self, amounts: &[f64]) -> Vec<Foretold> {
        let amounts = self.filled(amounts);
        let rows = self.demand_rows();
        let (mean, covariance) = (self.mean(&amounts), self.spread(&amounts));
        let (now, then) = (&rows * &self.values, &rows * mean);
        let spread = &rows * covariance * rows.transpose();
        let one = |(d, demand): (usize, &super::Demand)| {
            let (value, u) = (then[d], spread[(d, d)].max(0.0).sqrt());
            let (low, high) = (demand.target - demand.tolerance, demand.target + demand.tolerance);
            let probability = conformance_probability(value, u, low, high);
            Foretold { name: demand.name.clone(), before: now[d], value, u, probability }
        };
        self.demands.iter().enumerate().map(one).collect()
    }

    /// Expected sum of squared deviations over tolerances.
    fn expected(&self, amounts: &[f64]) -> f64 {
        let square = |(f, d): (Foretold, &super::Demand)| {
            (((f.value - d.target) / d.tolerance).powi(2)) + (f.u / d.tolerance).powi(2)
        };
        self.foretold(amounts).into_iter().zip(&self.demands).map(square).sum()
    }

    /// The angles' means after turning.
    pub(crate) fn mean(&self, amounts: &[f64]) -> DVector<f64> {
        let mean = |(a, m): (&super::Adjuster, &f64)| a.factor_mean() * m;
        let moved = DVector::from_iterator(amounts.len(), self.adjusters.iter().zip(amounts).map(mean));
        &self.values + &self.response * moved
    }

    /// The angles' covariance after turning.
    fn spread(&self, amounts: &[f64]) -> DMatrix<f64> {
        let mut out = self.covariance.clone();
        for (j, (adjuster, amount)) in self.adjusters.iter().zip(amounts).enumerate() {
            let column = self.response.column(j) * *amount;
            out += &column * column.transpose() * adjuster.factor_variance();
        }
        out
    }

    /// Amounts for every adjuster; what is missing or no number is nought.
    pub(crate) fn filled(&self, amounts: &[f64]) -> Vec<f64> {
        let of = |j: usize| amounts.get(j).copied().filter(|a| a.is_finite()).unwrap_or(0.0);
        (0..self.adjusters.len()).map(of).collect()
    }

    /// The least-squares system in whole steps: demands, then the risk of each response, then the
    /// trouble of each step.
    fn system(&self) -> (DMatrix<f64>, DVector<f64>) {
        let (d, k) = (self.demands.len(), self.adjusters.len());
        let rows = self.demand_rows();
        let effect = &rows * &self.response;
        let now = &rows * &self.values;
        let mut matrix = DMatrix::zeros(d + 2 * k, k);
        let mut rhs = DVector::zeros(d + 2 * k);
        for (i, demand) in self.demands.iter().enumerate() {
            rhs[i] = (demand.target - now[i]) / demand.tolerance;
            for (j, adjuster) in self.adjusters.iter().enumerate() {
                matrix[(i, j)] = effect[(i, j)] * adjuster.step * adjuster.factor_mean() / demand.tolerance;
            }
        }
        for (j, adjuster) in self.adjusters.iter().enumerate() {
            let over = |(i, demand): (usize, &super::Demand)| (effect[(i, j)] / demand.tolerance).powi(2);
            let size: f64 = self.demands.iter().enumerate().map(over).sum();
            matrix[(d + j, j)] = adjuster.step * (size * adjuster.factor_variance()).sqrt();
            matrix[(d + k + j, j)] = TROUBLE_OF_A_STEP;
        }
        (matrix, rhs)
    }
}
