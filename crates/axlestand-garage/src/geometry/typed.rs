//! What a person types for the Set stage: lengths, angles and masses with their units.

use crate::error::GarageError;
use axlestand_quantity::{Dimension, Uncertain};

/// A quantity in the project's own unit, with its standard uncertainty where one was typed.
///
/// # Errors
/// [`GarageError::Input`] that says what was expected; `what` names it: "--lower".
pub(crate) fn quantity(
    what: &str,
    text: &str,
    dimension: Dimension,
) -> Result<(f64, Option<f64>), GarageError> {
    let parsed = dimension.parse(text).map_err(|why| GarageError::Input(format!("{what}: {why}")))?;
    Ok((parsed.value, parsed.u))
}

/// A quantity within limits that a car keeps.
///
/// # Errors
/// As [`quantity`], and where it is outside.
pub(crate) fn within(
    what: &str,
    text: &str,
    dimension: Dimension,
    limits: std::ops::RangeInclusive<f64>,
) -> Result<(f64, Option<f64>), GarageError> {
    let (value, u) = quantity(what, text, dimension)?;
    if limits.contains(&value) {
        return Ok((value, u));
    }
    let unit = dimension.own_unit();
    Err(GarageError::Input(format!(
        "{what}: {value} {unit} is not possible here; from {} to {} {unit} it is: is the unit right?",
        limits.start(),
        limits.end()
    )))
}

/// A length in mm; a number without a unit counts as millimetres, which the answer repeats.
///
/// # Errors
/// As [`within`].
pub(crate) fn millimetres(
    what: &str,
    text: &str,
    limits: std::ops::RangeInclusive<f64>,
) -> Result<f64, GarageError> {
    let bare = text.trim().replace(',', ".").parse::<f64>().is_ok_and(f64::is_finite);
    let text = if bare { format!("{text} mm") } else { text.to_owned() };
    within(what, &text, Dimension::Length, limits).map(|(value, _)| value)
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
