//! Readings and targets that no car gives: refused, or asked back as slips of the unit or the finger.

use crate::error::GarageError;
use crate::units::Units;
use axlestand_ledger::ReadingRecord;
use axlestand_model::car::{Car, Reading};
use axlestand_model::{ItemId, ReadingKind};
use axlestand_quantity::{Dimension, Parsed};

/// A reading that nothing gives; a length is told as it was typed.
///
/// # Errors
/// [`GarageError::Input`] with the value.
pub(crate) fn possible(dimension: Dimension, read: &Parsed) -> Result<(), GarageError> {
    let limit = if dimension == Dimension::Angle { 90.0 } else { 10_000.0 };
    if read.value.abs() <= limit {
        return Ok(());
    }
    let value = said(dimension, read, read.value);
    Err(GarageError::Input(format!("{value} is not possible on a car: is the unit right?")))
}

/// What is odd about a reading: outside of what its kind comes to on any car, or further from the one
/// before than doubt and setting explain.
pub(crate) fn question(reading: &Reading, read: &Parsed, before: Option<&ReadingRecord>) -> Option<String> {
    let kind = reading.kind?;
    let dimension = reading.dimension;
    if let Some(odd) = outside(kind, dimension, read, read.value) {
        return Some(odd);
    }
    let before = before?;
    let doubt = read.u.unwrap_or(reading.u).hypot(before.u);
    let change = (read.value - before.value).abs();
    (change > reach(kind, dimension).max(DOUBTS * doubt)).then(|| {
        format!(
            "it was read as {} before, and no setting moves it by {}: are unit and decimal point right?",
            said(dimension, read, before.value),
            said(dimension, read, change)
        )
    })
}

/// The question to ask back about the value of a target as it was typed; `None` where it is usual.
#[must_use]
pub fn target_question(car: &Car, item: &ItemId, typed: &str) -> Option<String> {
    let target = car.targets.iter().find(|target| target.id == *item)?;
    let reading = car.reading(&target.reading)?;
    let kind = reading.kind?;
    let read = reading.dimension.parse(typed).ok()?;
    outside(kind, reading.dimension, &read, read.value)
}

/// What a value outside of the range of its kind is asked.
fn outside(kind: ReadingKind, dimension: Dimension, read: &Parsed, value: f64) -> Option<String> {
    let (least, most) = range(kind, dimension);
    (!(least..=most).contains(&value)).then(|| {
        format!(
            "{} is far from what a car has ({} lies from {} to {}): is the unit right?",
            said(dimension, read, value),
            kind.phrase(),
            said(dimension, read, least),
            said(dimension, read, most)
        )
    })
}

/// How many standard uncertainties two readings may differ by in any case.
const DOUBTS: f64 = 10.0;

/// Between what a reading of this kind lies on any car, mm or degrees: common practice, no source (AX-72).
fn range(kind: ReadingKind, dimension: Dimension) -> (f64, f64) {
    let is_angle = dimension == Dimension::Angle;
    match kind {
        ReadingKind::Height => (150.0, 900.0),
        // In mm it is the difference across a rim: some 10 mm for each degree.
        ReadingKind::Toe if is_angle => (-6.0, 6.0),
        ReadingKind::Toe => (-60.0, 60.0),
        ReadingKind::Camber if is_angle => (-12.0, 12.0),
        ReadingKind::Camber => (-120.0, 120.0),
        ReadingKind::Caster => (-10.0, 20.0),
        ReadingKind::ExposedThread => (0.0, 120.0),
        ReadingKind::BallCentre => (10.0, 300.0),
    }
}

/// By how much work on a suspension moves a reading at most, mm or degrees: common practice, no source
/// (AX-72).
fn reach(kind: ReadingKind, dimension: Dimension) -> f64 {
    let is_angle = dimension == Dimension::Angle;
    match kind {
        ReadingKind::Height => 120.0,
        ReadingKind::Toe if is_angle => 2.5,
        ReadingKind::Toe => 25.0,
        ReadingKind::Camber if is_angle => 5.0,
        ReadingKind::Camber => 50.0,
        ReadingKind::Caster => 8.0,
        ReadingKind::ExposedThread => 20.0,
        ReadingKind::BallCentre => 40.0,
    }
}

/// A value in mm or degrees, in the unit that was typed.
fn said(dimension: Dimension, typed: &Parsed, value: f64) -> String {
    let (value, _, unit) = Units::of(typed.unit).figure_in(value, 0, dimension.own_unit());
    let gap = if unit == "°" { "" } else { " " };
    format!("{}{gap}{unit}", (value * 100.0).round() / 100.0)
}
