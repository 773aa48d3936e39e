//! Checks at the moment a reading is entered.

use super::estimate::Estimate;
use super::examination::CRITICAL;
use super::model::Model;
use super::trouble::Trouble;

/// What a reading should be, before it is taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// The value foretold from the readings so far.
    pub value: f64,
    /// Standard uncertainty of reading less foretold value.
    pub u: f64,
}

/// A reading against what was expected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Innovation {
    /// What was expected.
    pub expected: Expected,
    /// By how many standard uncertainties it is off, with sign.
    pub standardised: f64,
    /// Whether to ask at once if it is right.
    pub questioned: bool,
}

impl Expected {
    /// From where to where the reading should be, 95 times in 100.
    #[must_use]
    pub fn window(&self) -> (f64, f64) {
        (self.value - 1.96 * self.u, self.value + 1.96 * self.u)
    }

    /// Holds a value against it: questioned from 3.29 standard uncertainties on.
    ///
    /// # Errors
    /// [`Trouble::NotFinite`] for a value that is none.
    pub fn check(&self, value: f64) -> Result<Innovation, Trouble> {
        Trouble::finite("the reading", value)?;
        let standardised = (value - self.value) / self.u;
        Ok(Innovation { expected: *self, standardised, questioned: standardised.abs() > CRITICAL })
    }
}

impl Estimate {
    /// What a reading with this model and standard uncertainty should be: f, with variance
    /// aᵀSa + s².
    ///
    /// # Errors
    /// [`Trouble`] for an uncertainty not above nought or a model without a value.
    pub fn expect(&self, model: &dyn Model, sigma: f64) -> Result<Expected, Trouble> {
        Trouble::positive("the uncertainty of the reading", sigma)?;
        let (value, gradient) = self.evaluate("the reading", model)?;
        Ok(Expected { value, u: (self.variance(&gradient) + sigma * sigma).sqrt() })
    }
}

/// Whether two readings of one thing with standard uncertainties `sigmas` differ more than chance
/// allows: |y₁ − y₂| > 3.29·√(s₁² + s₂²).
///
/// # Errors
/// [`Trouble`] for numbers that are none, an uncertainty not above nought.
pub fn repeat_differs(values: [f64; 2], sigmas: [f64; 2]) -> Result<bool, Trouble> {
    values.iter().try_for_each(|v| Trouble::finite("the reading", *v))?;
    sigmas.iter().try_for_each(|s| Trouble::positive("the uncertainty of the reading", *s))?;
    Ok((values[0] - values[1]).abs() > CRITICAL * sigmas[0].hypot(sigmas[1]))
}
