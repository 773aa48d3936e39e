//! The law of propagation of uncertainty for inputs that were not fitted.

use super::answers::{Answer, Function};
use super::trouble::Trouble;
use nalgebra::{DMatrix, DVector};

/// Values of functions of correlated inputs, and their covariance: J·C·Jᵀ (`jcgm-100`, 5.2; for
/// several functions at once `jcgm-102`). `covariance` holds a row for each of the `inputs`.
///
/// # Errors
/// [`Trouble`] for sizes that do not fit, numbers that are none, a function without a value.
pub fn propagate(
    inputs: &[f64],
    covariance: &[Vec<f64>],
    functions: &[Function<'_>],
) -> Result<(Vec<Answer>, Vec<Vec<f64>>), Trouble> {
    let n = inputs.len();
    Trouble::size("the covariance's rows", covariance.len(), n)?;
    for row in covariance {
        Trouble::size("a row of the covariance", row.len(), n)?;
        row.iter().try_for_each(|c| Trouble::finite("a covariance", *c))?;
    }
    let spread = DMatrix::from_fn(n, n, |i, j| covariance[i][j]);
    let mut gradients = Vec::with_capacity(functions.len());
    let mut values = Vec::with_capacity(functions.len());
    for function in functions {
        let mut gradient = vec![0.0; n];
        let value = function.model.evaluate(inputs, &mut gradient).filter(|v| v.is_finite());
        values.push(value.ok_or_else(|| Trouble::Undefined { what: function.name.clone() })?);
        gradients.push(DVector::from_vec(gradient));
    }
    let of = |i: usize, j: usize| gradients[i].dot(&(&spread * &gradients[j]));
    let k = functions.len();
    let result: Vec<Vec<f64>> = (0..k).map(|i| (0..k).map(|j| of(i, j)).collect()).collect();
    let answer = |i: usize| Answer {
        name: functions[i].name.clone(),
        value: values[i],
        u: result[i][i].max(0.0).sqrt(),
        prior_share: 0.0,
    };
    Ok(((0..k).map(answer).collect(), result))
}
