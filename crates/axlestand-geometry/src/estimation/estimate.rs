//! What was found, with its covariance.

use super::least_squares::{Reduced, Spectrum};
use super::linearised::{Linearised, Whitening};
use super::problem::{Datum, Prior, Problem};
use super::solver::{FREE_TOLERANCE, Found, Settings};
use super::trouble::Trouble;
use nalgebra::{DMatrix, DVector};

/// The unknowns as found, with their covariance and everything that judges it.
#[derive(Debug, Clone)]
pub struct Estimate {
    pub(crate) names: Vec<String>,
    pub(crate) values: Vec<f64>,
    pub(crate) priors: Vec<Option<Prior>>,
    /// T with covariance = T·Tᵀ.
    pub(crate) factor: DMatrix<f64>,
    pub(crate) here: Linearised,
    pub(crate) readings: Vec<String>,
    pub(crate) whitening: Whitening,
    pub(crate) scales: Vec<f64>,
    pub(crate) rank_tolerance: f64,
    steps: usize,
}

impl Estimate {
    /// Covariance and the rest at the place that was found.
    pub(crate) fn at(problem: &Problem<'_>, found: Found, settings: &Settings) -> Result<Self, Trouble> {
        let Found { x, here, steps } = found;
        let scales: Vec<f64> = problem.unknowns.iter().zip(&x).map(|(u, v)| u.scale(*v)).collect();
        let (matrix, rhs) = here.stacked(problem);
        let factor = match problem.datum {
            Datum::Held => held_factor(problem, matrix, &scales, settings)?,
            Datum::Free => Spectrum::of(matrix, &rhs, FREE_TOLERANCE).inverse_factor(),
        };
        Ok(Self {
            names: problem.unknowns.iter().map(|u| u.name.clone()).collect(),
            values: x,
            priors: problem.unknowns.iter().map(|u| u.prior).collect(),
            factor,
            here,
            readings: problem.readings.iter().map(|r| r.name.clone()).collect(),
            whitening: problem.whitening.clone(),
            scales,
            rank_tolerance: settings.rank_tolerance,
            steps,
        })
    }

    /// The unknowns' values, in the problem's order.
    #[must_use]
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// The unknowns' names, in the problem's order.
    #[must_use]
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// Standard uncertainty of the unknown `i`, from the readings' own uncertainties (variance of
    /// unit weight one); nought where there is no such unknown.
    #[must_use]
    pub fn sigma(&self, i: usize) -> f64 {
        self.covariance(i, i).sqrt()
    }

    /// Covariance of two unknowns; nought where there is none such.
    #[must_use]
    pub fn covariance(&self, i: usize, j: usize) -> f64 {
        if i.max(j) >= self.values.len() {
            return 0.0;
        }
        self.factor.row(i).dot(&self.factor.row(j))
    }

    /// Correlation of two unknowns, within ±1; nought where one has no spread.
    #[must_use]
    pub fn correlation(&self, i: usize, j: usize) -> f64 {
        let spread = self.sigma(i) * self.sigma(j);
        if spread > 0.0 { self.covariance(i, j) / spread } else { 0.0 }
    }

    /// Weighted sum of squares of readings and priors.
    #[must_use]
    pub fn cost(&self) -> f64 {
        self.here.cost()
    }

    /// Weighted sum of squares of the readings alone.
    #[must_use]
    pub fn misfit(&self) -> f64 {
        self.here.residual.norm_squared()
    }

    /// How many readings more there are than it takes: Σ rᵢ, a fraction where priors hold part.
    #[must_use]
    pub fn redundancy(&self) -> f64 {
        let hat = (&self.here.slope * &self.factor).norm_squared();
        (self.readings.len() as f64 - hat).max(0.0)
    }

    /// The standard deviation of unit weight s₀ = √(misfit / redundancy): about 1 where the readings
    /// are as uncertain as was said. `None` without redundancy.
    #[must_use]
    pub fn unit_weight(&self) -> Option<f64> {
        let redundancy = self.redundancy();
        (redundancy > 1e-6).then(|| (self.misfit() / redundancy).sqrt())
    }

    /// Reading less model, in the readings' units and order.
    #[must_use]
    pub fn residuals(&self) -> Vec<f64> {
        self.here.raw.iter().copied().collect()
    }

    /// How many steps the search took.
    #[must_use]
    pub fn steps(&self) -> usize {
        self.steps
    }

    /// Covariance times a gradient.
    pub(crate) fn spread(&self, gradient: &DVector<f64>) -> DVector<f64> {
        &self.factor * self.factor.tr_mul(gradient)
    }
}

/// The covariance's factor, or what the readings and priors leave open.
fn held_factor(
    problem: &Problem<'_>,
    matrix: DMatrix<f64>,
    scales: &[f64],
    settings: &Settings,
) -> Result<DMatrix<f64>, Trouble> {
    let mut scaled = matrix.clone();
    for (mut column, scale) in scaled.column_iter_mut().zip(scales) {
        column.scale_mut(*scale);
    }
    let size = scaled.norm();
    let rows = matrix.nrows();
    if let Some(factor) = Reduced::of(matrix, DVector::zeros(rows)).inverse_factor() {
        let loosest = scales.iter().enumerate().map(|(i, s)| factor.row(i).norm() / s).fold(0.0, f64::max);
        // 1/loosest is at most √n times the least singular value of the scaled system.
        if loosest * size * settings.rank_tolerance < 1.0 {
            return Ok(factor);
        }
    }
    Err(open_directions(problem, scaled, settings))
}

/// Names the unknowns that take part in what is open.
fn open_directions(problem: &Problem<'_>, scaled: DMatrix<f64>, settings: &Settings) -> Trouble {
    let n = problem.unknowns.len();
    let rhs = DVector::zeros(scaled.nrows());
    let mut part = vec![0.0; n];
    let spectrum = Spectrum::of(scaled, &rhs, settings.rank_tolerance);
    // At least the weakest direction is open, or this would not have been asked.
    for k in spectrum.rank.min(n - 1)..n {
        for (i, p) in part.iter_mut().enumerate() {
            *p += spectrum.directions[(i, k)].powi(2);
        }
    }
    let mut order: Vec<usize> = (0..n).filter(|i| part[*i] > 1e-3).collect();
    order.sort_by(|a, b| part[*b].total_cmp(&part[*a]));
    Trouble::Undetermined { unknowns: order.iter().map(|i| problem.unknowns[*i].name.clone()).collect() }
}
