//! Which reading is worth taking next.

use super::answers::Answers;
use super::estimate::Estimate;
use super::model::Model;
use super::trouble::Trouble;
use nalgebra::{Cholesky, DMatrix};

/// A reading that could be taken.
pub struct Planned<'m> {
    /// What it would be.
    pub model: &'m dyn Model,
    /// Its standard uncertainty.
    pub sigma: f64,
}

/// One or several readings that could be taken in one go.
pub struct Candidate<'m> {
    /// How it is called.
    pub name: String,
    /// How long it takes, minutes.
    pub minutes: f64,
    /// What would be read. Some are worth nothing alone: the first of a series only fixes its gauge's
    /// zero, so a series stands here as one.
    pub readings: Vec<Planned<'m>>,
}

impl<'m> Candidate<'m> {
    /// A single reading.
    #[must_use]
    pub fn single(name: impl Into<String>, minutes: f64, model: &'m dyn Model, sigma: f64) -> Self {
        Self { name: name.into(), minutes, readings: vec![Planned { model, sigma }] }
    }
}

/// Every two of the candidates as one, with the sum of their minutes, in the order (0, 1), (0, 2), …
#[must_use]
pub fn in_pairs<'m>(singles: &[Candidate<'m>]) -> Vec<Candidate<'m>> {
    let copy = |c: &Candidate<'m>| c.readings.iter().map(|p| Planned { ..*p }).collect::<Vec<_>>();
    let mut pairs = Vec::new();
    for (i, a) in singles.iter().enumerate() {
        for b in &singles[i + 1..] {
            let mut readings = copy(a);
            readings.extend(copy(b));
            let name = format!("{} with {}", a.name, b.name);
            pairs.push(Candidate { name, minutes: a.minutes + b.minutes, readings });
        }
    }
    pairs
}

/// How certain each answer is wanted to be: its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted(pub f64);

/// What a candidate would bring.
#[derive(Debug, Clone, PartialEq)]
pub struct Worth {
    /// Its place among the candidates.
    pub candidate: usize,
    /// Its name.
    pub name: String,
    /// Σ over answers of (fall of variance)/(wanted uncertainty)², for each minute.
    pub score: f64,
    /// The standard uncertainty of each answer with it.
    pub u: Vec<f64>,
}

impl Estimate {
    /// The candidates, best first, by the fall of the answers' variances for each minute:
    /// diag G S Aᵀ (A S Aᵀ + R)⁻¹ A S Gᵀ for a block of readings with derivatives A and
    /// variances R, which for one reading is (gᵀSa)²/(aᵀSa + s²). It equals what a fit with the
    /// reading would give at the same place; choose anew after every few readings.
    ///
    /// # Errors
    /// [`Trouble`] for sizes that do not fit, minutes or uncertainties not above nought, a model
    /// without a value.
    pub fn rank_next(
        &self,
        answers: &Answers,
        wanted: &[Wanted],
        candidates: &[Candidate<'_>],
    ) -> Result<Vec<Worth>, Trouble> {
        Trouble::size("the wanted uncertainties", wanted.len(), answers.list.len())?;
        wanted.iter().try_for_each(|w| Trouble::positive("a wanted uncertainty", w.0))?;
        let mut out = Vec::with_capacity(candidates.len());
        for (place, candidate) in candidates.iter().enumerate() {
            Trouble::positive(&format!("the minutes of {}", candidate.name), candidate.minutes)?;
            let falls = self.falls(answers, candidate)?;
            let total: f64 = falls.iter().zip(wanted).map(|(fall, w)| fall / (w.0 * w.0)).sum();
            let left = |(answer, fall): (&super::Answer, &f64)| (answer.u * answer.u - fall).max(0.0).sqrt();
            out.push(Worth {
                candidate: place,
                name: candidate.name.clone(),
                score: total / candidate.minutes,
                u: answers.list.iter().zip(&falls).map(left).collect(),
            });
        }
        out.sort_by(|a, b| b.score.total_cmp(&a.score).then(a.candidate.cmp(&b.candidate)));
        Ok(out)
    }

    /// The fall of each answer's variance with the candidate's readings.
    fn falls(&self, answers: &Answers, candidate: &Candidate<'_>) -> Result<Vec<f64>, Trouble> {
        let count = candidate.readings.len();
        let mut rows = DMatrix::zeros(self.values.len(), count);
        for (k, planned) in candidate.readings.iter().enumerate() {
            Trouble::positive(&format!("the uncertainty of {}", candidate.name), planned.sigma)?;
            let (_, gradient) = self.evaluate(&candidate.name, planned.model)?;
            rows.set_column(k, &(self.factor.tr_mul(&gradient) / planned.sigma));
        }
        let inner = DMatrix::identity(count, count) + rows.tr_mul(&rows);
        let factor =
            Cholesky::new(inner).ok_or_else(|| Trouble::Undefined { what: candidate.name.clone() })?;
        let fall = |gradient| {
            let mut along = rows.tr_mul(&self.factor.tr_mul(gradient));
            factor.l().solve_lower_triangular_mut(&mut along);
            along.norm_squared()
        };
        Ok(answers.gradients.iter().map(fall).collect())
    }
}
