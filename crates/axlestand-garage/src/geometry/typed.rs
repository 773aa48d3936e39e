//! What a person types for the Set stage: lengths, angles and masses with their units.

use crate::error::GarageError;
use crate::typed::with_unit;
use crate::units::Units;
use axlestand_quantity::{Dimension, Parsed, Uncertain, vulgar_fraction};

/// A quantity as it was typed.
///
/// # Errors
/// [`GarageError::Input`] that says what was expected; `what` names it: "--lower".
fn parsed(what: &str, text: &str, dimension: Dimension) -> Result<Parsed, GarageError> {
    dimension.parse(text).map_err(|why| GarageError::Input(format!("{what}: {why}")))
}

/// A quantity within limits that a car keeps, in the project's own unit, with its standard uncertainty
/// where one was typed.
///
/// # Errors
/// [`GarageError::Input`] that says what was expected, and where it is outside; `what` names it: "--lower".
pub(crate) fn within(
    what: &str,
    text: &str,
    dimension: Dimension,
    limits: std::ops::RangeInclusive<f64>,
) -> Result<(f64, Option<f64>), GarageError> {
    let parsed = parsed(what, text, dimension)?;
    if limits.contains(&parsed.value) {
        return Ok((parsed.value, parsed.u));
    }
    // As it was typed: who writes inches is answered in inches.
    let own = dimension.own_unit();
    let units = Units::of(parsed.unit);
    let unit = units.figure_in(0.0, 0, own).2;
    let here = |value: f64| match units.figure_in(value, 0, own) {
        (value, _, unit) if unit == own => value,
        (value, ..) => (value * 100.0).round() / 100.0,
    };
    Err(GarageError::Input(format!(
        "{what}: {} {unit} is not possible here; from {} to {} {unit} it is: is the unit right?",
        here(parsed.value),
        here(*limits.start()),
        here(*limits.end())
    )))
}

/// A length in mm; a number without a unit counts in the user's, which the answer repeats. A fraction is
/// none of millimetres.
///
/// # Errors
/// As [`within`].
pub(crate) fn length(
    what: &str,
    text: &str,
    units: Units,
    limits: std::ops::RangeInclusive<f64>,
) -> Result<f64, GarageError> {
    let fraction = text.contains(|c: char| c == '/' || vulgar_fraction(c).is_some());
    let is_asked_back = fraction && units == Units::Metric;
    let text = if is_asked_back { text.to_owned() } else { with_unit(text, units.length_unit()) };
    within(what, &text, Dimension::Length, limits).map(|(value, _)| value)
}

/// A spring's rate in N/mm; a number without a unit counts in the user's.
///
/// # Errors
/// As [`within`].
pub(crate) fn spring_rate(what: &str, text: &str, units: Units) -> Result<f64, GarageError> {
    let text = with_unit(text, units.rate_unit());
    within(what, &text, Dimension::SpringRate, 0.1..=1000.0).map(|(value, _)| value)
}

/// A length in mm with its uncertainty, or the one given where none was typed.
///
/// # Errors
/// As [`within`].
pub(crate) fn uncertain_mm(
    what: &str,
    text: &str,
    limits: std::ops::RangeInclusive<f64>,
    usual_u: f64,
) -> Result<Uncertain, GarageError> {
    let (value, u) = within(what, text, Dimension::Length, limits)?;
    Uncertain::new(value, u.unwrap_or(usual_u)).map_err(|why| GarageError::Input(format!("{what}: {why}")))
}

/// A plain number above nought.
///
/// # Errors
/// [`GarageError::Input`] for anything else.
pub(crate) fn number(what: &str, text: &str) -> Result<f64, GarageError> {
    let number: Option<f64> = text.trim().replace(',', ".").parse().ok();
    number.filter(|n| n.is_finite() && *n > 0.0).ok_or_else(|| {
        GarageError::Input(format!("{what}: '{text}' is no number above nought; write it like 24.5"))
    })
}
