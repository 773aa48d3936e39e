//! A problem at one place: residuals and derivatives in units of standard uncertainty.

use super::problem::Problem;
use super::trouble::Trouble;
use nalgebra::{DMatrix, DVector};

/// How readings are brought to unit variance.
#[derive(Debug, Clone)]
pub(crate) enum Whitening {
    /// Each by its own standard uncertainty.
    Independent(Vec<f64>),
    /// By the Cholesky factor L of their covariance: L⁻¹ y.
    Correlated(DMatrix<f64>),
}

impl Whitening {
    fn vector(&self, v: &mut DVector<f64>) {
        match self {
            Self::Independent(sigmas) => v.iter_mut().zip(sigmas).for_each(|(x, s)| *x /= s),
            // The factor of a positive definite matrix has no nought on its diagonal.
            Self::Correlated(l) => {
                l.solve_lower_triangular_mut(v);
            }
        }
    }

    fn matrix(&self, a: &mut DMatrix<f64>) {
        match self {
            Self::Independent(sigmas) => {
                for mut column in a.column_iter_mut() {
                    column.iter_mut().zip(sigmas).for_each(|(x, s)| *x /= s);
                }
            }
            Self::Correlated(l) => {
                l.solve_lower_triangular_mut(a);
            }
        }
    }
}

/// Residuals and derivatives at one place, whitened.
#[derive(Debug, Clone)]
pub(crate) struct Linearised {
    /// Derivatives of the readings, m by n, in standard uncertainties.
    pub(crate) slope: DMatrix<f64>,
    /// Reading less model, m, in standard uncertainties.
    pub(crate) residual: DVector<f64>,
    /// Reading less model, m, in the readings' units.
    pub(crate) raw: DVector<f64>,
    /// Model less prior mean in prior uncertainties, for each unknown with a prior (else nought).
    pub(crate) strain: DVector<f64>,
}

impl Linearised {
    /// At the place `x`. `weights`, one for each reading, count in the sum of squares.
    pub(crate) fn at(problem: &Problem<'_>, x: &[f64], weights: Option<&[f64]>) -> Result<Self, Trouble> {
        let (m, n) = (problem.readings.len(), x.len());
        let mut slope = DMatrix::zeros(m, n);
        let mut raw = DVector::zeros(m);
        let mut gradient = vec![0.0; n];
        for (i, reading) in problem.readings.iter().enumerate() {
            gradient.fill(0.0);
            let undefined = || Trouble::Undefined { what: reading.name.clone() };
            let value = reading.model.evaluate(x, &mut gradient).ok_or_else(undefined)?;
            if !value.is_finite() || gradient.iter().any(|g| !g.is_finite()) {
                return Err(undefined());
            }
            raw[i] = reading.value - value;
            for (j, g) in gradient.iter().enumerate() {
                slope[(i, j)] = *g;
            }
        }
        let mut residual = raw.clone();
        problem.whitening.vector(&mut residual);
        problem.whitening.matrix(&mut slope);
        if let Some(weights) = weights {
            for (i, weight) in weights.iter().enumerate() {
                residual[i] *= weight.sqrt();
                slope.row_mut(i).scale_mut(weight.sqrt());
            }
        }
        let strains =
            problem.unknowns.iter().zip(x).map(|(unknown, value)| {
                unknown.prior.map_or(0.0, |prior| (value - prior.mean) / prior.sigma)
            });
        let strain = DVector::from_iterator(n, strains);
        Ok(Self { slope, residual, raw, strain })
    }

    /// Weighted sum of squares of readings and priors.
    pub(crate) fn cost(&self) -> f64 {
        self.residual.norm_squared() + self.strain.norm_squared()
    }

    /// The cost after `step` if everything were linear.
    pub(crate) fn foretold(&self, problem: &Problem<'_>, step: &DVector<f64>) -> f64 {
        let readings = (&self.residual - &self.slope * step).norm_squared();
        let prior = |(i, unknown): (usize, &super::Unknown)| {
            unknown.prior.map_or(0.0, |p| (self.strain[i] + step[i] / p.sigma).powi(2))
        };
        readings + problem.unknowns.iter().enumerate().map(prior).sum::<f64>()
    }

    /// Readings above, priors below: the matrix M and right-hand side b of M·step ≈ b.
    pub(crate) fn stacked(&self, problem: &Problem<'_>) -> (DMatrix<f64>, DVector<f64>) {
        let (m, n) = self.slope.shape();
        let rows = m + problem.unknowns.iter().filter(|u| u.prior.is_some()).count();
        let mut matrix = DMatrix::zeros(rows.max(n), n);
        let mut rhs = DVector::zeros(rows.max(n));
        matrix.view_mut((0, 0), (m, n)).copy_from(&self.slope);
        rhs.rows_mut(0, m).copy_from(&self.residual);
        let mut row = m;
        for (j, unknown) in problem.unknowns.iter().enumerate() {
            if let Some(prior) = unknown.prior {
                matrix[(row, j)] = 1.0 / prior.sigma;
                rhs[row] = -self.strain[j];
                row += 1;
            }
        }
        (matrix, rhs)
    }
}
