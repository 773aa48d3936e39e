//! A strut corner from tapes, heights, angles and a sweep.

use super::answers::{Moved, SurveyAnswer, missing};
use super::geometry::Plain;
use super::reading::SurveyKind;
use super::unknowns;
use crate::estimation::{Estimate, Function, Linear, Model, Problem, Reading, Settings, Trouble};
use crate::kinematics::{CornerSpec, Layout};

/// How well a hub's height is set and read in a sweep, mm (`judgement`).
const SWEEP_HEIGHT: f64 = 1.0;

/// How far apart the starts of the search lie, mm (`judgement`).
const SCATTER: f64 = 80.0;

/// The survey of one left strut corner about a typical one.
#[derive(Debug, Clone)]
pub struct StrutSurvey {
    template: CornerSpec,
}

impl StrutSurvey {
    /// About a typical corner, whose points are good to some 50 mm each way.
    ///
    /// # Errors
    /// [`Trouble::Undefined`] for another layout or a missing point.
    pub fn new(template: &CornerSpec) -> Result<Self, Trouble> {
        if template.layout != Layout::Strut {
            return Err(Trouble::Undefined { what: "the survey of a corner without a strut".into() });
        }
        if let Some(point) = missing(template).first() {
            return Err(Trouble::Undefined {
                what: format!("the survey without {point} in the typical corner"),
            });
        }
        Ok(Self { template: template.clone() })
    }

    /// The problem: 54 unknowns and the readings, each with value and standard uncertainty.
    ///
    /// # Errors
    /// [`Trouble`] for numbers that are none, an uncertainty not above nought, a point that a strut
    /// corner has not.
    pub fn problem(&self, readings: &[(SurveyKind, f64, f64)]) -> Result<Problem<'static>, Trouble> {
        let reading = |(kind, value, sigma): &(SurveyKind, f64, f64)| -> Result<Reading<'static>, Trouble> {
            Ok(Reading { name: kind.to_string(), value: *value, sigma: *sigma, model: self.model(*kind)? })
        };
        let readings = readings.iter().map(reading).collect::<Result<Vec<_>, _>>()?;
        Problem::new(unknowns::list(&self.template), readings)
    }

    /// The estimate from `starts` start places (twelve are plenty; one will do near the typical corner).
    /// Sweep readings count less by what a millimetre of hub height does to them, with the slope of a
    /// first fit.
    ///
    /// # Errors
    /// [`Trouble`] as for the problem, or where no fit is found.
    pub fn estimate(&self, readings: &[(SurveyKind, f64, f64)], starts: usize) -> Result<Estimate, Trouble> {
        let first = self.fit(readings, starts)?;
        let swept = readings.iter().any(|r| slope_kind(r.0, 0.0).is_some());
        if !swept {
            return Ok(first);
        }
        let mut widened = readings.to_vec();
        for (kind, _, sigma) in &mut widened {
            if let Some(slope) = self.slope(&first, *kind)? {
                *sigma = sigma.hypot(slope * SWEEP_HEIGHT);
            }
        }
        self.problem(&widened)?.solve_from(&[first.values().to_vec()], &Settings::default())
    }

    /// Answers with their uncertainty and the share that is no more than the typical corner.
    #[must_use]
    pub fn functions(&self, answers: &[SurveyAnswer]) -> Vec<Function<'static>> {
        answers.iter().map(|a| Function::new(a.to_string(), Moved::answer(&self.template, *a))).collect()
    }

    /// The share of an answer's variance that comes from the typical corner (its points, static camber and
    /// toe), 0 to 1. Above a half the answer is mostly that corner, not this one. How far a target lies off
    /// its joint, floor and gauges' zeros are not counted: they are no layout.
    ///
    /// # Errors
    /// [`Trouble::Undefined`] where the answer has no value at the estimate.
    pub fn typical_share(&self, estimate: &Estimate, answer: &Function<'_>) -> Result<f64, Trouble> {
        estimate.prior_share(answer, |unknown| unknown < unknowns::OFFSETS)
    }

    /// What a reading would be, for asking what to read next.
    ///
    /// # Errors
    /// [`Trouble::Undefined`] for a point that a strut corner has not.
    pub fn model(&self, kind: SurveyKind) -> Result<Box<dyn Model>, Trouble> {
        if let Some(moved) = Moved::reading(&self.template, kind) {
            return Ok(Box::new(moved));
        }
        match kind {
            SurveyKind::Camber => Ok(Box::new(Linear::of(&[(unknowns::CAMBER, 1.0)]))),
            SurveyKind::Toe => Ok(Box::new(Linear::of(&[(unknowns::TOE, 1.0)]))),
            SurveyKind::Tape(a, b) | SurveyKind::Diagonal(a, b) | SurveyKind::Angle(a, b, _)
                if unknowns::place(a).and(unknowns::place(b)).is_none() =>
            {
                Err(Trouble::Undefined { what: kind.to_string() })
            }
            SurveyKind::Across(p) | SurveyKind::Height(p) | SurveyKind::Station(p)
                if unknowns::place(p).is_none() =>
            {
                Err(Trouble::Undefined { what: kind.to_string() })
            }
            _ => Ok(Box::new(Plain(kind))),
        }
    }

    fn fit(&self, readings: &[(SurveyKind, f64, f64)], starts: usize) -> Result<Estimate, Trouble> {
        let problem = self.problem(readings)?;
        if starts <= 1 {
            return problem.solve_from_robust_start(&Settings::default());
        }
        // Only the hardpoints are scattered.
        let scatter: Vec<f64> = (0..54).map(|i| if i < unknowns::CAMBER { SCATTER } else { 0.0 }).collect();
        problem.solve_from(&problem.scattered_starts(starts, &scatter)?, &Settings::default())
    }

    /// Change of a sweep reading for a millimetre of hub height; `None` for other readings.
    fn slope(&self, fitted: &Estimate, kind: SurveyKind) -> Result<Option<f64>, Trouble> {
        let (Some(above), Some(below)) = (slope_kind(kind, 1.0), slope_kind(kind, -1.0)) else {
            return Ok(None);
        };
        let value = |kind| -> Result<f64, Trouble> {
            let function = Function { name: "the slope of the sweep".into(), model: self.model(kind)? };
            Ok(fitted.answers(&[function])?.list()[0].value)
        };
        Ok(Some((value(above)? - value(below)?) / 2.0))
    }
}

/// The same sweep reading a little higher; `None` for another kind.
fn slope_kind(kind: SurveyKind, by: f64) -> Option<SurveyKind> {
    match kind {
        SurveyKind::SweepCamber(z) => Some(SurveyKind::SweepCamber(z + by)),
        SurveyKind::SweepToe(z) => Some(SurveyKind::SweepToe(z + by)),
        _ => None,
    }
}
