//! What a reading would be, as a function of the unknowns, with its derivatives.

use crate::mathematics::{Dual, Scalar};

/// A function of the unknowns with its derivatives: the model of a reading, or an answer.
pub trait Model {
    /// The value at `at`, and its derivative by each unknown added into `gradient`, which is as long
    /// as `at` and holds noughts on entry. `None` where the function has no value.
    fn evaluate(&self, at: &[f64], gradient: &mut [f64]) -> Option<f64>;
}

/// A closure that returns the value and fills in the gradient is a model.
impl<F: Fn(&[f64], &mut [f64]) -> Option<f64>> Model for F {
    fn evaluate(&self, at: &[f64], gradient: &mut [f64]) -> Option<f64> {
        self(at, gradient)
    }
}

/// A constant plus multiples of unknowns.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Linear {
    /// The value where every unknown is nought.
    pub constant: f64,
    /// Which unknown counts how often; an unknown may stand more than once.
    pub terms: Vec<(usize, f64)>,
}

impl Linear {
    /// A sum of multiples of unknowns.
    #[must_use]
    pub fn of(terms: &[(usize, f64)]) -> Self {
        Self { constant: 0.0, terms: terms.to_vec() }
    }
}

impl Model for Linear {
    fn evaluate(&self, at: &[f64], gradient: &mut [f64]) -> Option<f64> {
        let mut sum = self.constant;
        for &(unknown, factor) in &self.terms {
            sum += at.get(unknown)? * factor;
            *gradient.get_mut(unknown)? += factor;
        }
        Some(sum)
    }
}

/// A formula written once for plain and dual numbers, so that its derivative is exact.
pub trait Formula {
    /// The value for the given inputs, in the order they were named in [`Differentiated::inputs`].
    fn at<S: Scalar>(&self, inputs: &[S]) -> S;
}

/// A [`Formula`] as a model: which unknowns are its inputs.
#[derive(Debug, Clone, PartialEq)]
pub struct Differentiated<F> {
    /// The formula.
    pub formula: F,
    /// The unknowns it takes, in its order.
    pub inputs: Vec<usize>,
}

impl<F: Formula> Model for Differentiated<F> {
    fn evaluate(&self, at: &[f64], gradient: &mut [f64]) -> Option<f64> {
        let plain: Option<Vec<f64>> = self.inputs.iter().map(|&i| at.get(i).copied()).collect();
        let plain = plain?;
        let mut dual: Vec<Dual<f64>> = plain.iter().map(|&x| Dual::fixed(x)).collect();
        for (place, &unknown) in self.inputs.iter().enumerate() {
            dual[place].rate = 1.0;
            *gradient.get_mut(unknown)? += self.formula.at(&dual).rate;
            dual[place].rate = 0.0;
        }
        Some(self.formula.at(&plain))
    }
}
