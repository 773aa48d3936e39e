//! The corner of a car as a mechanism, or what is missing for it.

use super::corner_figures::CornerFigures;
use super::points::{layout, missing, whole_layout};
use crate::error::GarageError;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{Corner, WholeLayout};
use axlestand_model::Hand;
use axlestand_model::car::{Axle, Car};

/// The axle of that name.
pub(crate) fn axle<'a>(car: &'a Car, name: &str) -> Result<&'a Axle, GarageError> {
    let known: Vec<String> = car.axles.iter().map(|axle| axle.name.clone()).collect();
    car.axles.iter().find(|axle| axle.name == name).ok_or_else(|| {
        if known.is_empty() {
            GarageError::Input(format!(
                "the vehicle file describes no axle; write [axle.{name}] with its layout"
            ))
        } else {
            GarageError::NoAxle { asked: name.to_owned(), known }
        }
    })
}

/// Why an axle's wheels cannot be computed, as a sentence that says what to do; `None`: they can.
pub(crate) fn lacking(axle: &Axle) -> Option<String> {
    let missing = missing(axle);
    let (name, given) = (&axle.name, &axle.points);
    let what = if given.is_empty() { "no hardpoints" } else { "not all hardpoints" };
    let write = format!("write them under [axle.{name}.points]");
    let list = missing.join(", ");
    (!missing.is_empty()).then(|| match whole_layout(axle) {
        Some(WholeLayout::TwistBeam) => format!(
            "the {name} axle has {what}: measure {list} on the left side (the beam's shear centre in the car's middle) and {write}"
        ),
        Some(WholeLayout::Links) if given.is_empty() => format!(
            "the {name} axle has no hardpoints: measure wheel-centre on the left side and both ends of its four rods, {}, each as it stands (or wheel-centre and leaf-spring-front-eye where it is on leaf springs), and {write}",
            "link-1-inner-joint to link-4-outer-joint"
        ),
        Some(_) => format!("the {name} axle has {what}: measure {list} and {write}"),
        None => format!("the {name} axle has {what}: measure {list} at the left wheel and {write}"),
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
    if layout(axle).is_none() {
        return Err(GarageError::Input(format!(
            "the {} axle is a {}: its wheels are not hung one by one, and no rack turns them",
            axle.name,
            axle.layout.phrase()
        )));
    }
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

/// Where the damper's lengths end the wheel's travel: full droop and bump stop, mm.
pub(crate) fn corner_ends(corner: &Corner) -> [Option<f64>; 2] {
    corner.travel_ends().map_or([None; 2], |ends| [ends.droop, ends.bump])
}

/// What to know of curves of these corners.
pub(crate) fn corner_notes<'a>(corners: impl IntoIterator<Item = &'a Corner>) -> Vec<String> {
    let doubts = corners.into_iter().flat_map(Corner::doubts);
    let mut notes: Vec<String> = Vec::new();
    for note in doubts.map(|doubt| format!("look at this in the file: {doubt}")) {
        if !notes.contains(&note) {
            notes.push(note);
        }
    }
    notes.push(
        "Rigid links, no bushing give, tyres taken as rigid: what bushings add under load is not in it."
            .to_owned(),
    );
    notes
}
