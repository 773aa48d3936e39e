//! The search: Gauss-Newton with Levenberg's damping.

use super::estimate::Estimate;
use super::least_squares::{Reduced, Spectrum};
use super::linearised::Linearised;
use super::problem::{Datum, Problem};
use super::trouble::Trouble;
use nalgebra::DVector;

/// How the search is run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// How many steps at most, those that led nowhere counted.
    pub steps: usize,
    /// Where the damping starts, relative to the squared length of each column.
    pub damping: f64,
    /// The search is over when the next step would move the result by fewer standard uncertainties.
    pub enough: f64,
    /// Singular values below this share of the largest count as nought (unknowns in units of their
    /// prior width, else of their own size).
    pub rank_tolerance: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self { steps: 600, damping: 1e-4, enough: 1e-10, rank_tolerance: 1e-11 }
    }
}

/// A search that can still be refined no further by numbers of this length may stop this far off, in
/// standard uncertainties.
const ROUNDING_FLOOR: f64 = 1e-5;

/// Singular values of a free network below this share of the largest are its freedom.
pub(crate) const FREE_TOLERANCE: f64 = 1e-7;

/// A linearised system in one of the two forms the datum asks for.
enum System {
    Held(Reduced),
    Free(Spectrum),
}

impl System {
    fn of(problem: &Problem<'_>, here: &Linearised) -> Self {
        let (matrix, rhs) = here.stacked(problem);
        match problem.datum {
            Datum::Held => Self::Held(Reduced::of(matrix, rhs)),
            Datum::Free => Self::Free(Spectrum::of(matrix, &rhs, FREE_TOLERANCE)),
        }
    }

    /// The undamped step and its length in standard uncertainties.
    fn full_step(&self) -> Option<(DVector<f64>, f64)> {
        match self {
            Self::Held(reduced) => reduced.full_step(),
            Self::Free(_) => self.step(1e-14),
        }
    }

    /// Step and its length in standard uncertainties.
    fn step(&self, damping: f64) -> Option<(DVector<f64>, f64)> {
        match self {
            Self::Held(reduced) => reduced.step(damping),
            Self::Free(spectrum) => {
                let most = spectrum.values.first().copied().unwrap_or(1.0);
                Some(spectrum.step(damping * most * most))
            }
        }
    }
}

/// Where a search ended.
pub(crate) struct Found {
    /// The place.
    pub(crate) x: Vec<f64>,
    /// The problem there, without weights.
    pub(crate) here: Linearised,
    /// How many steps it took.
    pub(crate) steps: usize,
}

impl Problem<'_> {
    /// The estimate, searched from the start values.
    ///
    /// Minimises Σ((yᵢ − fᵢ)/sᵢ)² + Σ((xⱼ − mⱼ)/tⱼ)² by Gauss-Newton steps with Levenberg's
    /// damping (`more-1978`; the damping follows how well each step was foretold, `nielsen-1999`), each step solved by an orthogonal reduction. It ends when the next
    /// step, undamped, would move the result by less than [`Settings::enough`] standard
    /// uncertainties.
    ///
    /// # Errors
    /// [`Trouble::NotConverged`] with where it stood, [`Trouble::Undetermined`] with what stays open,
    /// [`Trouble::Undefined`] where a model has no value at the start.
    pub fn solve_with(&self, settings: &Settings) -> Result<Estimate, Trouble> {
        let start: Vec<f64> = self.unknowns.iter().map(|u| u.start).collect();
        let found = self.search(&start, None, settings)?;
        Estimate::at(self, found, settings)
    }

    /// Searches from `start`, readings weighted by `weights`.
    pub(crate) fn search(
        &self,
        start: &[f64],
        weights: Option<&[f64]>,
        settings: &Settings,
    ) -> Result<Found, Trouble> {
        let mut x = start.to_vec();
        let mut here = Linearised::at(self, &x, weights)?;
        let mut damping = settings.damping;
        let (mut next, mut last) = (f64::INFINITY, f64::INFINITY);
        let mut tried = 0;
        while tried < settings.steps {
            let system = System::of(self, &here);
            let Some((step, length)) = system.full_step() else { break };
            next = length;
            let idle = next >= last && next < ROUNDING_FLOOR;
            if next <= settings.enough || idle {
                return Ok(Found { x, here, steps: tried });
            }
            let size = here.cost().sqrt().min(1.0);
            let near = next < 1e-3 * size;
            if near && next < last {
                // So near that sums of squares can no longer be told apart: full steps until they
                // stop getting shorter.
                tried += 1;
                (x, here) = self.moved(&x, &step, weights)?;
            } else {
                match self.descend(&system, (&x, &here), weights, &mut damping, &mut tried, settings.steps) {
                    Some(better) => (x, here) = better,
                    None if next < ROUNDING_FLOOR => return Ok(Found { x, here, steps: tried }),
                    None => break,
                }
            }
            last = next;
        }
        Err(self.not_converged(&here, tried, next))
    }

    /// The place a step further on, linearised.
    fn moved(
        &self,
        x: &[f64],
        step: &DVector<f64>,
        weights: Option<&[f64]>,
    ) -> Result<(Vec<f64>, Linearised), Trouble> {
        let there: Vec<f64> = x.iter().zip(step.iter()).map(|(a, b)| a + b).collect();
        let linearised = Linearised::at(self, &there, weights)?;
        Ok((there, linearised))
    }

    /// One step that lowers the sum of squares, damped as much as that needs.
    fn descend(
        &self,
        system: &System,
        (x, here): (&[f64], &Linearised),
        weights: Option<&[f64]>,
        damping: &mut f64,
        tried: &mut usize,
        most: usize,
    ) -> Option<(Vec<f64>, Linearised)> {
        let before = here.cost();
        let mut growth = 2.0;
        while *tried < most && *damping < 1e14 {
            *tried += 1;
            if let Some((step, _)) = system.step(*damping)
                && let Ok(there) = self.moved(x, &step, weights)
                && there.1.cost() < before
            {
                let gain = (before - there.1.cost()) / (before - here.foretold(self, &step));
                let factor = (1.0 - (2.0 * gain.clamp(0.0, 1.0) - 1.0).powi(3)).max(0.1);
                *damping = (*damping * factor).max(1e-14);
                return Some(there);
            }
            *damping *= growth;
            growth *= 2.0;
        }
        None
    }

    fn not_converged(&self, here: &Linearised, iterations: usize, step_sigmas: f64) -> Trouble {
        let mut order: Vec<usize> = (0..self.readings.len()).collect();
        order.sort_by(|a, b| here.residual[*b].abs().total_cmp(&here.residual[*a].abs()));
        let worst = order.iter().take(3).map(|i| self.readings[*i].name.clone()).collect();
        Trouble::NotConverged { iterations, cost: here.cost(), step_sigmas, worst }
    }
}
