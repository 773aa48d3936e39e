//! The corner of a car as a mechanism, or what is missing for it.

use super::corner_figures::CornerFigures;
use super::points::{layout, missing};
use crate::error::GarageError;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::Corner;
use axlestand_model::Hand;
use axlestand_model::car::{Axle, Car};

/// The axle of that name.
pub(crate) fn axle<'a>(car: &'a Car, name: &str) -> Result<&'a Axle, GarageError> {
    let names: Vec<&str> = car.axles.iter().map(|axle| axle.name.as_str()).collect();
    car.axles.iter().find(|axle| axle.name == name).ok_or_else(|| {
        let known = if names.is_empty() { "none".to_owned() } else { names.join(", ") };
        GarageError::Input(format!(
            "the vehicle file describes no axle '{name}' (it has: {known}); write [axle.{name}] with its layout"
        ))
    })
}

/// Why an axle's corner cannot be computed, as a sentence that says what to do; `None`: it can.
pub(crate) fn lacking(axle: &Axle) -> Option<String> {
    if layout(axle).is_none() {
        return Some(format!(
            "the {} axle is a {}: curves are computed for wheels that are hung one by one",
            axle.name,
            axle.layout.phrase()
        ));
    }
    let missing = missing(axle);
    let all = axle.points.is_empty();
    (!missing.is_empty()).then(|| {
        let what = if all { "no hardpoints" } else { "not all hardpoints" };
        format!(
            "the {} axle has {what}: measure {} at the left wheel and write them under [axle.{}.points]",
            axle.name,
            missing.join(", "),
            axle.name
        )
    })
}

/// The corner of one side with its figures.
pub(crate) fn corner(figures: &CornerFigures, side: Side) -> Option<Corner> {
    Corner::new(figures.spec(side)?).ok()
}

/// The corner of one side of an axle with the figures of both.
///
/// # Errors
/// [`GarageError::Input`] that names what is missing or cannot be right.
pub(crate) fn sound_corner(
    car: &Car,
    axle: &Axle,
    side: Side,
) -> Result<(CornerFigures, Corner), GarageError> {
    if let Some(why) = lacking(axle) {
        return Err(GarageError::Input(why));
    }
    let figures = CornerFigures::of(car, axle);
    let spec = figures.spec(side).ok_or_else(|| GarageError::Input("the axle has no corners".to_owned()))?;
    let corner = Corner::new(spec).map_err(|bad| GarageError::Input(bad.to_string()))?;
    Ok((figures, corner))
}

/// The corner of one side where it can be computed.
pub(crate) fn known_corner(car: &Car, axle: &Axle, side: Side) -> Option<(CornerFigures, Corner)> {
    sound_corner(car, axle, side).ok()
}

/// The side as the kinematics name it.
pub(crate) fn side_of(hand: Hand) -> Side {
    match hand {
        Hand::Left => Side::Left,
        Hand::Right => Side::Right,
    }
}
