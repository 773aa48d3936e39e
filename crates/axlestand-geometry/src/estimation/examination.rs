//! Does it fit, and if not, which reading is to be taken again.

use super::distribution::{chi_squared, normal_quantile};
use super::estimate::Estimate;
use super::linearised::Whitening;
use nalgebra::{DMatrix, DVector};

/// Standardised residuals beyond this are suspects: two-sided chance 1 in 1000 (`baarda-1968`,
/// customary).
pub(crate) const CRITICAL: f64 = 3.29;

/// Below this redundancy a reading is checked by nothing.
const UNCHECKED: f64 = 0.02;

/// One reading, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingCheck {
    /// Its name.
    pub name: String,
    /// Reading less model, in its unit.
    pub residual: f64,
    /// Redundancy number, 0 (nothing checks it) to 1 (the others alone would have told it).
    pub redundancy: f64,
    /// Standardised residual: residual over its own standard deviation; nought where nothing checks
    /// the reading.
    pub standardised: f64,
    /// The least error of this reading that is found with four chances in five, in its unit; infinite
    /// where nothing checks it.
    pub detectable: f64,
}

/// Whether readings and model agree.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// There is nothing to compare with: no reading more than it takes.
    Unchecked,
    /// Nothing stands out.
    Fits,
    /// One reading explains it far better than any other: take it again.
    Suspect {
        /// Its place.
        reading: usize,
        /// The next ones by standardised residual, at most two, worth taking again too.
        also: Vec<usize>,
    },
    /// Something is wrong, and it cannot be told which: each of these explains it as well.
    CannotLocate {
        /// Their places, largest standardised residual first.
        among: Vec<usize>,
    },
    /// No reading stands out alone, but together they fit worse than their uncertainties allow.
    TooWide,
}

/// All readings, judged together.
#[derive(Debug, Clone, PartialEq)]
pub struct Examination {
    /// Each reading, in the problem's order.
    pub readings: Vec<ReadingCheck>,
    /// Weighted sum of squares of the residuals.
    pub misfit: f64,
    /// How many readings more there are than it takes.
    pub redundancy: f64,
    /// The chance of a misfit as large as this or larger with honest readings.
    pub chance: f64,
    /// What it comes to.
    pub verdict: Verdict,
}

impl Examination {
    /// The places of the readings by standardised residual, largest first.
    #[must_use]
    pub fn by_size(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.readings.len()).collect();
        let size = |i: usize| self.readings[i].standardised.abs();
        order.sort_by(|a, b| size(*b).total_cmp(&size(*a)).then(a.cmp(b)));
        order
    }

    /// The largest standardised residual, without sign; nought without readings.
    #[must_use]
    pub fn largest(&self) -> f64 {
        self.readings.iter().map(|r| r.standardised.abs()).fold(0.0, f64::max)
    }
}

impl Estimate {
    /// Judges the readings with the customary critical value of 3.29.
    #[must_use]
    pub fn examine(&self) -> Examination {
        self.examine_with(CRITICAL)
    }

    /// Judges the readings: redundancy numbers rᵢ = (Qvv)ᵢᵢ/sᵢ², standardised residuals
    /// wᵢ = vᵢ/√(Qvv)ᵢᵢ, least detectable errors (k + 0.84)·sᵢ/√rᵢ, and the misfit against χ² with
    /// Σrᵢ degrees of freedom (`baarda-1968`, `teunissen-2006`). Uncertainties are taken as given,
    /// not scaled by the misfit: with few readings to spare that would hide the fault. Nothing is
    /// ever left out by itself; the cure for a suspect is to read it again.
    ///
    /// Two readings tie where the odds of one against the other, exp((w₁² − w₂²)/2), are below 20 to
    /// 1 (`judgement`).
    #[must_use]
    pub fn examine_with(&self, critical: f64) -> Examination {
        let readings = self.checks(critical);
        let (misfit, redundancy) = (self.misfit(), self.redundancy());
        let chance = if redundancy > UNCHECKED { 1.0 - chi_squared(misfit, redundancy) } else { 1.0 };
        let mut out = Examination { readings, misfit, redundancy, chance, verdict: Verdict::Fits };
        out.verdict = verdict(&out, critical);
        out
    }

    fn checks(&self, critical: f64) -> Vec<ReadingCheck> {
        let m = self.readings.len();
        let spread = &self.here.slope * &self.factor;
        let white = DMatrix::identity(m, m) - &spread * spread.transpose();
        let (scores, cofactors) = self.scores(&white);
        let power = normal_quantile(0.8);
        (0..m)
            .map(|i| {
                // For independent readings this is Qvv/s²; else its counterpart for correlated ones.
                let redundancy = white[(i, i)].clamp(0.0, 1.0);
                let checked = redundancy > 1e-9 && cofactors[i] > 0.0;
                ReadingCheck {
                    name: self.readings[i].clone(),
                    residual: self.here.raw[i],
                    redundancy,
                    standardised: if checked { scores[i] / cofactors[i].sqrt() } else { 0.0 },
                    detectable: if checked {
                        (critical + power) / cofactors[i].sqrt()
                    } else {
                        f64::INFINITY
                    },
                }
            })
            .collect()
    }

    /// P·v and the diagonal of P·Qvv·P, from which w = (P v)ᵢ/√(P Qvv P)ᵢᵢ, also for correlated
    /// readings.
    fn scores(&self, white: &DMatrix<f64>) -> (DVector<f64>, Vec<f64>) {
        let m = self.readings.len();
        match &self.whitening {
            Whitening::Independent(sigmas) => {
                let scores = DVector::from_fn(m, |i, _| self.here.residual[i] / sigmas[i]);
                (scores, (0..m).map(|i| white[(i, i)] / (sigmas[i] * sigmas[i])).collect())
            }
            Whitening::Correlated(l) => {
                let mut inverse = DMatrix::identity(m, m);
                l.solve_lower_triangular_mut(&mut inverse);
                let scores = inverse.tr_mul(&self.here.residual);
                let cofactors = inverse.tr_mul(&(white * &inverse));
                (scores, cofactors.diagonal().iter().copied().collect())
            }
        }
    }
}

fn verdict(examination: &Examination, critical: f64) -> Verdict {
    let order = examination.by_size();
    let checked = |i: &&usize| examination.readings[**i].redundancy > UNCHECKED;
    let order: Vec<usize> = order.iter().filter(checked).copied().collect();
    let Some(&first) = order.first() else { return Verdict::Unchecked };
    let size = |i: usize| examination.readings[i].standardised.abs();
    if size(first) <= critical {
        let unlikely = examination.chance < 1e-3;
        return if unlikely { Verdict::TooWide } else { Verdict::Fits };
    }
    let ties = |i: &usize| size(first).powi(2) - size(*i).powi(2) < 2.0 * 20f64.ln();
    let among: Vec<usize> = order.iter().copied().filter(ties).collect();
    if among.len() > 1 {
        return Verdict::CannotLocate { among };
    }
    let also = order.iter().skip(1).take(2).copied().filter(|i| size(*i) > critical).collect();
    Verdict::Suspect { reading: first, also }
}
