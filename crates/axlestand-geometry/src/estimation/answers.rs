//! Answers as functions of the unknowns, with their covariance and where it comes from.

use super::estimate::Estimate;
use super::model::Model;
use super::trouble::Trouble;
use nalgebra::{DMatrix, DVector};

/// Something to be told: a named function of the unknowns.
pub struct Function<'m> {
    /// How it is called.
    pub name: String,
    /// The function with its derivatives.
    pub model: Box<dyn Model + 'm>,
}

impl<'m> Function<'m> {
    /// A named function.
    #[must_use]
    pub fn new(name: impl Into<String>, model: impl Model + 'm) -> Self {
        Self { name: name.into(), model: Box::new(model) }
    }
}

impl std::fmt::Debug for Function<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.name)
    }
}

/// One answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// How it is called.
    pub name: String,
    /// Its value.
    pub value: f64,
    /// Its standard uncertainty.
    pub u: f64,
    /// The share of its variance that comes from priors, 0 to 1. Above a half it is mostly what was
    /// assumed, not what was read.
    pub prior_share: f64,
}

/// Several answers with their covariance.
#[derive(Debug, Clone)]
pub struct Answers {
    pub(crate) list: Vec<Answer>,
    pub(crate) gradients: Vec<DVector<f64>>,
    covariance: DMatrix<f64>,
}

impl Answers {
    /// The answers, in the order they were asked for.
    #[must_use]
    pub fn list(&self) -> &[Answer] {
        &self.list
    }

    /// Covariance of two answers; nought where there is none such.
    #[must_use]
    pub fn covariance(&self, i: usize, j: usize) -> f64 {
        self.covariance.get((i, j)).copied().unwrap_or(0.0)
    }

    /// Correlation of two answers, within ±1; nought where one has no spread.
    #[must_use]
    pub fn correlation(&self, i: usize, j: usize) -> f64 {
        let spread = (self.covariance(i, i) * self.covariance(j, j)).sqrt();
        if spread > 0.0 { self.covariance(i, j) / spread } else { 0.0 }
    }
}

impl Estimate {
    /// The answers with covariance G·S·Gᵀ (`jcgm-100`, 5.2, for several answers at once).
    ///
    /// # Errors
    /// [`Trouble::Undefined`] where a function has no value at the estimate.
    pub fn answers(&self, functions: &[Function<'_>]) -> Result<Answers, Trouble> {
        let mut list = Vec::with_capacity(functions.len());
        let mut gradients = Vec::with_capacity(functions.len());
        for function in functions {
            let (value, gradient) = self.evaluate(&function.name, &*function.model)?;
            let variance = self.variance(&gradient);
            list.push(Answer {
                name: function.name.clone(),
                value,
                u: variance.sqrt(),
                prior_share: self.share_of_priors(&gradient, |_| true),
            });
            gradients.push(gradient);
        }
        let k = list.len();
        let along: Vec<DVector<f64>> = gradients.iter().map(|g| self.factor.tr_mul(g)).collect();
        let covariance = DMatrix::from_fn(k, k, |i, j| along[i].dot(&along[j]));
        Ok(Answers { list, gradients, covariance })
    }

    /// The share of the variance of an answer that comes from the priors of the unknowns that
    /// `counted` names by their place, 0 to 1: gᵀ S P S g / gᵀ S g, with P the priors' weights. The
    /// estimate is linear in readings and prior means alike, so the two parts of its variance add up.
    ///
    /// # Errors
    /// [`Trouble::Undefined`] where the function has no value at the estimate.
    pub fn prior_share(
        &self,
        function: &Function<'_>,
        counted: impl Fn(usize) -> bool,
    ) -> Result<f64, Trouble> {
        let (_, gradient) = self.evaluate(&function.name, &*function.model)?;
        Ok(self.share_of_priors(&gradient, counted))
    }

    pub(crate) fn variance(&self, gradient: &DVector<f64>) -> f64 {
        self.factor.tr_mul(gradient).norm_squared()
    }

    pub(crate) fn share_of_priors(&self, gradient: &DVector<f64>, counted: impl Fn(usize) -> bool) -> f64 {
        let spread = self.spread(gradient);
        let total = gradient.dot(&spread);
        if total <= 0.0 {
            return 0.0;
        }
        let weight = |i: usize| self.priors[i].map_or(0.0, |p| 1.0 / (p.sigma * p.sigma));
        let part: f64 =
            (0..spread.len()).filter(|i| counted(*i)).map(|i| weight(i) * spread[i] * spread[i]).sum();
        (part / total).clamp(0.0, 1.0)
    }

    /// Value and gradient of a function at the estimate.
    pub(crate) fn evaluate(&self, name: &str, model: &dyn Model) -> Result<(f64, DVector<f64>), Trouble> {
        let mut gradient = vec![0.0; self.values.len()];
        let value = model.evaluate(&self.values, &mut gradient);
        let value = value.filter(|v| v.is_finite() && gradient.iter().all(|g| g.is_finite()));
        let value = value.ok_or_else(|| Trouble::Undefined { what: name.to_owned() })?;
        Ok((value, DVector::from_vec(gradient)))
    }
}
