//! The search from several places, against local minima.

use super::distribution::normal_quantile;
use super::estimate::Estimate;
use super::problem::Problem;
use super::solver::Settings;
use super::trouble::Trouble;

impl Problem<'_> {
    /// The best estimate from the given start places, each as long as there are unknowns: the one
    /// with the least sum of squares among those that converged and are determined.
    ///
    /// # Errors
    /// The trouble of the first start where none led anywhere; [`Trouble::Size`] for a start of
    /// another length or no start.
    pub fn solve_from(&self, starts: &[Vec<f64>], settings: &Settings) -> Result<Estimate, Trouble> {
        let mut best: Option<Estimate> = None;
        let mut first = None;
        for start in starts {
            Trouble::size("a start", start.len(), self.unknowns.len())?;
            start.iter().try_for_each(|x| Trouble::finite("a start value", *x))?;
            let found = self.search(start, None, settings);
            match found.and_then(|found| Estimate::at(self, found, settings)) {
                Ok(estimate) if best.as_ref().is_none_or(|b| estimate.cost() < b.cost()) => {
                    best = Some(estimate);
                }
                Ok(_) => {}
                Err(trouble) => first = first.or(Some(trouble)),
            }
        }
        let none = Trouble::Size { what: "the list of starts".into(), found: 0, wanted: 1 };
        best.ok_or(first.unwrap_or(none))
    }

    /// `count` start places: the start values themselves, then ones scattered about them like a
    /// normal distribution with standard deviations `scatter`, by a sequence that fills space evenly
    /// (multiples of the roots of primes, `weyl-1916`). Always the same ones.
    ///
    /// # Errors
    /// [`Trouble::Size`] for a scatter of another length.
    pub fn scattered_starts(&self, count: usize, scatter: &[f64]) -> Result<Vec<Vec<f64>>, Trouble> {
        Trouble::size("the scatter", scatter.len(), self.unknowns.len())?;
        let roots: Vec<f64> = primes().take(scatter.len()).map(|p| (p as f64).sqrt()).collect();
        let start = |k: usize| -> Vec<f64> {
            let place = |((unknown, spread), root): ((&super::Unknown, &f64), &f64)| {
                let share = (0.5 + k as f64 * root).fract().clamp(1e-6, 1.0 - 1e-6);
                unknown.start + if k == 0 { 0.0 } else { spread * normal_quantile(share) }
            };
            self.unknowns.iter().zip(scatter).zip(&roots).map(place).collect()
        };
        Ok((0..count).map(start).collect())
    }
}

/// The prime numbers.
fn primes() -> impl Iterator<Item = u32> {
    (2u32..).filter(|n| (2..*n).take_while(|d| d * d <= *n).all(|d| n % d != 0))
}
