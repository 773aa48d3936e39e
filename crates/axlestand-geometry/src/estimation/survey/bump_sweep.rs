//! Camber or toe over height by a parabola: no hardpoints needed.

use crate::estimation::{Answer, Estimate, Function, Linear, Problem, Reading, Trouble, Unknown};

/// One reading of a sweep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SweepPoint {
    /// Hub raised above ride height, mm; drooping negative.
    pub travel: f64,
    /// Camber or toe there, degrees, against the gauge's own zero.
    pub value: f64,
}

/// A parabola through a sweep of camber or of toe.
#[derive(Debug, Clone)]
pub struct BumpSweep {
    fit: Estimate,
}

impl BumpSweep {
    /// Fits value, slope and curvature. `sigma`: standard uncertainty of one value, degrees; `height`:
    /// of one hub height, mm, which counts by the slope of a first fit. Three heights are enough, wide
    /// apart; a fourth and fifth show slips.
    ///
    /// # Errors
    /// [`Trouble::Undetermined`] for fewer than three different heights; numbers that are none,
    /// uncertainties not above nought.
    pub fn fit(points: &[SweepPoint], sigma: f64, height: f64) -> Result<Self, Trouble> {
        Trouble::positive("the uncertainty of a height", height)?;
        let level = parabola(points, &vec![sigma; points.len()])?;
        let slope = |p: &SweepPoint| (level.values()[1] + 2.0 * level.values()[2] * unit(p.travel)) / UNIT;
        let sigmas: Vec<f64> = points.iter().map(|p| sigma.hypot(slope(p) * height)).collect();
        Ok(Self { fit: parabola(points, &sigmas)? })
    }

    /// Change of the angle, degrees, with the car lowered by `lowered` mm. What a parabola cannot
    /// follow is not in the uncertainty.
    ///
    /// # Errors
    /// [`Trouble`] for a number that is none.
    pub fn change(&self, lowered: f64) -> Result<Answer, Trouble> {
        Trouble::finite("how far it is lowered", lowered)?;
        let z = unit(lowered);
        let change = Function::new(format!("lowered {lowered} mm"), Linear::of(&[(1, z), (2, z * z)]));
        let mut answers = self.fit.answers(&[change])?;
        Ok(answers.list.swap_remove(0))
    }

    /// The fit with its residuals: value at ride height, slope for 10 mm, curvature.
    #[must_use]
    pub fn estimate(&self) -> &Estimate {
        &self.fit
    }
}

/// Heights are counted in this many millimetres, so that the three figures are of like size.
const UNIT: f64 = 10.0;

fn unit(travel: f64) -> f64 {
    travel / UNIT
}

fn parabola(points: &[SweepPoint], sigmas: &[f64]) -> Result<Estimate, Trouble> {
    let mut readings = Vec::with_capacity(points.len());
    for (point, sigma) in points.iter().zip(sigmas) {
        Trouble::finite("a height of the sweep", point.travel)?;
        let z = unit(point.travel);
        let model = Linear::of(&[(0, 1.0), (1, z), (2, z * z)]);
        readings.push(Reading::new(format!("at {:+} mm", point.travel), point.value, *sigma, model));
    }
    let names = ["value at ride height", "slope for 10 mm", "curvature"];
    // Nothing is known beforehand; a start of one gives each unknown a size.
    Problem::new(names.map(|n| Unknown::free(n, 1.0)).to_vec(), readings)?.solve()
}
