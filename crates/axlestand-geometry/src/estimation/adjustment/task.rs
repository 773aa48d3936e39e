//! Angles, adjusters, demands: checked.

use super::demand::Demand;
use crate::estimation::Trouble;
use nalgebra::{DMatrix, DVector};

/// Something to turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Adjuster {
    /// How it is called.
    pub name: String,
    /// The least amount the hand sets, in the unit of the response: a sixth of a turn for the flats of a
    /// hexagon.
    pub step: f64,
    /// How far it may go from where it stands, down (not above nought) and up (not below): what thread
    /// engagement or a slot leaves.
    pub range: (f64, f64),
    /// Relative standard uncertainty of its response: 0.02 from taped hardpoints, 0.2 for a typical
    /// figure.
    pub rate_u: f64,
    /// How probable it is that it works in the sense the response says, 0 to 1; 1 where the thread's
    /// hand was seen.
    pub sense: f64,
}

/// Angles as they are, what can be turned, what is wanted.
#[derive(Debug, Clone)]
pub struct Task {
    pub(crate) names: Vec<String>,
    pub(crate) values: DVector<f64>,
    pub(crate) covariance: DMatrix<f64>,
    pub(crate) adjusters: Vec<Adjuster>,
    pub(crate) response: DMatrix<f64>,
    pub(crate) demands: Vec<Demand>,
}

impl Task {
    /// Angles with values and covariance; for each angle a row of `response` with its change for one
    /// unit of each adjuster.
    ///
    /// # Errors
    /// [`Trouble`] for sizes that do not fit, numbers that are none, steps or tolerances not above
    /// nought, a covariance that is none.
    pub fn new(
        angles: &[(String, f64)],
        covariance: &[Vec<f64>],
        adjusters: Vec<Adjuster>,
        response: &[Vec<f64>],
        demands: Vec<Demand>,
    ) -> Result<Self, Trouble> {
        let (n, k) = (angles.len(), adjusters.len());
        if n == 0 || demands.is_empty() {
            return Err(Trouble::NoUnknowns);
        }
        for (name, value) in angles {
            Trouble::finite(name, *value)?;
        }
        let covariance = matrix("the covariance of the angles", covariance, n, n)?;
        let response = matrix("the response", response, n, k)?;
        for i in 0..n {
            if covariance[(i, i)] < 0.0 {
                return Err(Trouble::Correlations);
            }
        }
        adjusters.iter().try_for_each(Adjuster::check)?;
        demands.iter().try_for_each(|d| d.check(n))?;
        let names = angles.iter().map(|(name, _)| name.clone()).collect();
        let values = DVector::from_iterator(n, angles.iter().map(|(_, v)| *v));
        Ok(Self { names, values, covariance, adjusters, response, demands })
    }

    /// The angles' names.
    #[must_use]
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// The angles' values.
    #[must_use]
    pub fn values(&self) -> Vec<f64> {
        self.values.iter().copied().collect()
    }

    /// Covariance of two angles; nought where there is none such.
    #[must_use]
    pub fn covariance(&self, i: usize, k: usize) -> f64 {
        self.covariance.get((i, k)).copied().unwrap_or(0.0)
    }

    /// The adjusters as they are known now.
    #[must_use]
    pub fn adjusters(&self) -> &[Adjuster] {
        &self.adjusters
    }

    /// Change of the angle `i` for one unit of the adjuster `j`; nought where there is none such.
    #[must_use]
    pub fn response(&self, i: usize, j: usize) -> f64 {
        self.response.get((i, j)).copied().unwrap_or(0.0)
    }

    /// Each demand as a row over the angles.
    pub(crate) fn demand_rows(&self) -> DMatrix<f64> {
        let mut rows = DMatrix::zeros(self.demands.len(), self.values.len());
        for (d, demand) in self.demands.iter().enumerate() {
            for (angle, factor) in &demand.combination {
                rows[(d, *angle)] += factor;
            }
        }
        rows
    }
}

impl Adjuster {
    /// Mean of the factor by which the real response differs from the one given: 2p − 1 for a sense
    /// that is right with probability p.
    pub(crate) fn factor_mean(&self) -> f64 {
        2.0 * self.sense - 1.0
    }

    /// Variance of that factor: 1 + u² − (2p − 1)².
    pub(crate) fn factor_variance(&self) -> f64 {
        (1.0 + self.rate_u * self.rate_u - self.factor_mean().powi(2)).max(0.0)
    }

    /// The least and the most whole steps its range allows.
    pub(crate) fn bounds(&self) -> (i64, i64) {
        let far = 1e6;
        let steps = |amount: f64| (amount / self.step).clamp(-far, far);
        ((steps(self.range.0) - 1e-9).ceil() as i64, (steps(self.range.1) + 1e-9).floor() as i64)
    }

    fn check(&self) -> Result<(), Trouble> {
        let of = |what: &str| format!("{what} of {}", self.name);
        Trouble::positive(&of("the hand step"), self.step)?;
        Trouble::within(&of("the lower end of the range"), self.range.0, f64::NEG_INFINITY, 0.0)?;
        Trouble::within(&of("the upper end of the range"), self.range.1, 0.0, f64::INFINITY)?;
        Trouble::within(&of("the uncertainty of the response"), self.rate_u, 0.0, 1e6)?;
        Trouble::within(&of("the probability of the sense"), self.sense, 0.0, 1.0)?;
        Ok(())
    }
}

/// A matrix from rows of the given size.
pub(crate) fn matrix(what: &str, rows: &[Vec<f64>], n: usize, k: usize) -> Result<DMatrix<f64>, Trouble> {
    Trouble::size(&format!("the rows of {}", what.trim_start_matches("the ")), rows.len(), n)?;
    for row in rows {
        Trouble::size(&format!("a row of {}", what.trim_start_matches("the ")), row.len(), k)?;
        row.iter().try_for_each(|x| Trouble::finite(what, *x))?;
    }
    Ok(DMatrix::from_fn(n, k, |i, j| rows[i][j]))
}
