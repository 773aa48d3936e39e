//! A start that a gross error does not pull away.

use super::estimate::Estimate;
use super::examination::Verdict;
use super::problem::Problem;
use super::solver::Settings;
use super::trouble::Trouble;

/// Residuals beyond this many standard uncertainties count less (`huber-1981`: 95 % efficiency for
/// normal readings).
const BEND: f64 = 1.345;

/// How often the weights are set anew.
const ROUNDS: usize = 20;

impl Problem<'_> {
    /// The estimate; where it does not fit, searched once more from where a fit with Huber's weights
    /// (1 up to 1.345 standard uncertainties, else 1.345/|v|) ends, and the better of the two kept.
    /// The weights serve only as a start: with few readings to spare they would hide a fault, not
    /// cure it.
    ///
    /// # Errors
    /// As [`Problem::solve_with`].
    pub fn solve_from_robust_start(&self, settings: &Settings) -> Result<Estimate, Trouble> {
        let plain = self.solve_with(settings);
        if let Ok(estimate) = &plain
            && matches!(estimate.examine().verdict, Verdict::Fits | Verdict::Unchecked)
        {
            return plain;
        }
        let mut x: Vec<f64> = self.unknowns.iter().map(|u| u.start).collect();
        let mut weights = vec![1.0; self.readings.len()];
        for _ in 0..ROUNDS {
            let Ok(found) = self.search(&x, Some(&weights), settings) else { break };
            x = found.x;
            for (weight, residual) in weights.iter_mut().zip(found.here.residual.iter()) {
                let size = (residual / weight.sqrt()).abs();
                *weight = if size > BEND { BEND / size } else { 1.0 };
            }
        }
        let robust = self.search(&x, None, settings).and_then(|found| Estimate::at(self, found, settings));
        match (plain, robust) {
            (Ok(a), Ok(b)) => Ok(if b.cost() < a.cost() { b } else { a }),
            (Ok(a), Err(_)) | (Err(_), Ok(a)) => Ok(a),
            (Err(trouble), Err(_)) => Err(trouble),
        }
    }
}
