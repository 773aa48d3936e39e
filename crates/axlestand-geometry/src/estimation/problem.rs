//! Unknowns, priors and readings, checked.

use super::estimate::Estimate;
use super::linearised::Whitening;
use super::model::Model;
use super::solver::Settings;
use super::trouble::Trouble;
use nalgebra::{Cholesky, DMatrix};

/// What is known of an unknown before anything is read: a normal distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Its mean.
    pub mean: f64,
    /// Its standard deviation.
    pub sigma: f64,
}

/// Something to find.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// How it is called.
    pub name: String,
    /// Where the search starts.
    pub start: f64,
    /// What is known of it beforehand, if anything.
    pub prior: Option<Prior>,
}

impl Unknown {
    /// Something nothing is known of but where to start the search.
    #[must_use]
    pub fn free(name: impl Into<String>, start: f64) -> Self {
        Self { name: name.into(), start, prior: None }
    }

    /// Something with a prior, which is where the search starts too.
    #[must_use]
    pub fn with_prior(name: impl Into<String>, mean: f64, sigma: f64) -> Self {
        Self { name: name.into(), start: mean, prior: Some(Prior { mean, sigma }) }
    }

    /// A size against which its changes are small or large: the prior's width, else its own size or
    /// that of its start, as what is sought may well be nought.
    pub(crate) fn scale(&self, value: f64) -> f64 {
        let size = value.abs().max(self.start.abs());
        match self.prior {
            Some(prior) => prior.sigma,
            None if size > f64::MIN_POSITIVE => size,
            None => 1.0,
        }
    }
}

/// Something read.
pub struct Reading<'m> {
    /// How it is called.
    pub name: String,
    /// What was read.
    pub value: f64,
    /// Its standard uncertainty, in the unit of the value.
    pub sigma: f64,
    /// What it would be, given the unknowns.
    pub model: Box<dyn Model + 'm>,
}

impl<'m> Reading<'m> {
    /// A reading with its model.
    #[must_use]
    pub fn new(name: impl Into<String>, value: f64, sigma: f64, model: impl Model + 'm) -> Self {
        Self { name: name.into(), value, sigma, model: Box::new(model) }
    }
}

impl std::fmt::Debug for Reading<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} = {} ± {}", self.name, self.value, self.sigma)
    }
}

/// What holds the frame in which the unknowns are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Datum {
    /// Readings and priors hold everything; what they leave open is an error.
    #[default]
    Held,
    /// A free network: what the readings leave open stays as near to the start values as can be
    /// (inner constraints: the solution of least norm; the covariance is the pseudo-inverse). All
    /// unknowns have to be of one unit.
    Free,
}

/// Readings with their unknowns, ready to be solved.
#[derive(Debug)]
pub struct Problem<'m> {
    pub(crate) unknowns: Vec<Unknown>,
    pub(crate) readings: Vec<Reading<'m>>,
    pub(crate) whitening: Whitening,
    pub(crate) datum: Datum,
}

impl<'m> Problem<'m> {
    /// Checks the numbers. Readings are independent of each other.
    ///
    /// # Errors
    /// [`Trouble`] for no unknown, a number that is none, an uncertainty not above nought.
    pub fn new(unknowns: Vec<Unknown>, readings: Vec<Reading<'m>>) -> Result<Self, Trouble> {
        if unknowns.is_empty() {
            return Err(Trouble::NoUnknowns);
        }
        for unknown in &unknowns {
            Trouble::finite(&format!("the start value of {}", unknown.name), unknown.start)?;
            if let Some(prior) = unknown.prior {
                Trouble::finite(&format!("the prior of {}", unknown.name), prior.mean)?;
                Trouble::positive(&format!("the prior uncertainty of {}", unknown.name), prior.sigma)?;
            }
        }
        for reading in &readings {
            Trouble::finite(&reading.name, reading.value)?;
            Trouble::positive(&format!("the uncertainty of {}", reading.name), reading.sigma)?;
        }
        let whitening = Whitening::Independent(readings.iter().map(|r| r.sigma).collect());
        Ok(Self { unknowns, readings, whitening, datum: Datum::Held })
    }

    /// Makes it a free network.
    #[must_use]
    pub fn with_datum(mut self, datum: Datum) -> Self {
        self.datum = datum;
        self
    }

    /// Takes correlations between readings into account: (one, other, correlation coefficient).
    ///
    /// # Errors
    /// [`Trouble::Correlations`] for coefficients that cannot all be, [`Trouble::Size`] for a reading
    /// that is not there.
    pub fn with_correlations(mut self, pairs: &[(usize, usize, f64)]) -> Result<Self, Trouble> {
        let count = self.readings.len();
        let mut matrix = DMatrix::<f64>::identity(count, count);
        for &(i, j, r) in pairs {
            Trouble::within("a correlation", r, -1.0, 1.0)?;
            if i == j || i >= count || j >= count {
                let found = i.max(j) + 1;
                return Err(Trouble::Size {
                    what: "the readings named in a correlation".into(),
                    found,
                    wanted: count,
                });
            }
            matrix[(i, j)] = r;
            matrix[(j, i)] = r;
        }
        let sigma = |i: usize| self.readings[i].sigma;
        let covariance = DMatrix::from_fn(count, count, |i, j| matrix[(i, j)] * sigma(i) * sigma(j));
        let factor = Cholesky::new(covariance).ok_or(Trouble::Correlations)?;
        self.whitening = Whitening::Correlated(factor.l());
        Ok(self)
    }

    /// The unknowns, in their order.
    #[must_use]
    pub fn unknowns(&self) -> &[Unknown] {
        &self.unknowns
    }

    /// The readings, in their order.
    #[must_use]
    pub fn readings(&self) -> &[Reading<'m>] {
        &self.readings
    }

    /// The estimate with the usual settings, searched from the start values.
    ///
    /// # Errors
    /// [`Trouble`], in particular that nothing was found or that something stays open.
    pub fn solve(&self) -> Result<Estimate, Trouble> {
        self.solve_with(&Settings::default())
    }
}
