//! Free-standing arithmetic: nothing but what is typed goes in, and every answer explains itself.
//!
//! Each subject has its input as typed text and one function; all answer with the same plain view.

mod adapter;
mod breaking;
mod castle;
mod preload;
mod thread;
mod torque;
mod wheel;
mod wrench;

pub use adapter::{AdapterInput, adapter};
pub use breaking::{BreakInput, breaking};
pub use castle::{CastleInput, castle};
pub use preload::{PreloadInput, preload};
pub use thread::thread;
pub use torque::{TorqueInput, torque};
pub use wheel::wheel;
pub use wrench::{WrenchInput, wrench};

use super::figures::Reason;
use crate::error::GarageError;
use axlestand_fastener::{Condition, Friction, FrictionRange, Interval, PropertyClass, Thread};
use axlestand_quantity::{Dimension, Force, Length, Torque, Unit};
use serde::Serialize;

/// The answer of a calculation.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct CalcView {
    /// The answer in one line.
    pub line: String,
    /// Every figure, unrounded, for programs.
    pub figures: Vec<Figure>,
    /// Further lines to read.
    pub lines: Vec<String>,
    /// What to beware of.
    pub warnings: Vec<String>,
    /// Inputs, formulas, sources and limits.
    pub reasons: Vec<Reason>,
}

/// One figure of an answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Figure {
    /// What it is, in words joined by hyphens.
    pub name: &'static str,
    /// Its value in `unit`, not rounded.
    pub value: f64,
    /// The lowest value, where it is an interval.
    pub low: Option<f64>,
    /// The highest value, where it is an interval.
    pub high: Option<f64>,
    /// Its unit.
    pub unit: &'static str,
}

impl CalcView {
    fn new(line: impl Into<String>) -> Self {
        Self {
            line: line.into(),
            figures: Vec::new(),
            lines: Vec::new(),
            warnings: Vec::new(),
            reasons: Vec::new(),
        }
    }

    fn figure(&mut self, name: &'static str, value: f64, unit: &'static str) {
        self.figures.push(Figure { name, value, low: None, high: None, unit });
    }

    fn interval(&mut self, name: &'static str, range: Interval<f64>, unit: &'static str) {
        self.figures.push(Figure {
            name,
            value: range.point(),
            low: Some(range.low()),
            high: Some(range.high()),
            unit,
        });
    }
}

/// Anything the numeric crate refuses, as an error that says why.
fn refused(why: impl std::fmt::Display) -> GarageError {
    GarageError::Input(why.to_string())
}

fn read_thread(text: &str) -> Result<Thread, GarageError> {
    Thread::parse(text).map_err(refused)
}

fn read_class(text: &str) -> Result<PropertyClass, GarageError> {
    PropertyClass::parse(text).map_err(refused)
}

fn read_torque(text: &str) -> Result<(Torque, &'static Unit), GarageError> {
    let parsed = Dimension::Torque.parse(text).map_err(refused)?;
    let torque = Torque::from_nm(parsed.value).map_err(refused)?;
    if torque.nm() < 0.0 {
        return Err(GarageError::Input(format!("'{text}' is below nought: give the torque that tightens")));
    }
    Ok((torque, parsed.unit))
}

fn read_force(text: &str) -> Result<Force, GarageError> {
    text.parse().map_err(refused)
}

fn read_length(text: &str) -> Result<Length, GarageError> {
    text.parse().map_err(refused)
}

fn read_number(text: &str, what: &str) -> Result<f64, GarageError> {
    match text.trim().replace(',', ".").parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(GarageError::Input(format!("'{text}' is no {what}; write a number such as 0.14"))),
    }
}

/// The friction to reckon with: a number for thread and face alike, or the range of a condition.
fn read_friction(
    number: Option<&str>,
    condition: Option<&str>,
) -> Result<(FrictionRange, String), GarageError> {
    if let Some(text) = number {
        let mu = read_number(text, "coefficient of friction")?;
        Friction::same(mu).map_err(refused)?;
        let exact = Interval::new(mu, mu, mu).ok_or_else(|| refused("no friction"))?;
        let evidence = axlestand_fastener::friction::Evidence::Fair;
        let range = FrictionRange { condition: Condition::AsSupplied, coefficient: exact, evidence };
        return Ok((range, format!("friction {mu}, as given")));
    }
    let condition = Condition::parse(condition.unwrap_or("dry")).map_err(refused)?;
    let range = condition.friction().map_err(refused)?;
    let sources = super::figures::friction_sources(condition);
    Ok((range, format!("{condition}: friction {} [{sources}]", super::figures::friction(&range))))
}
