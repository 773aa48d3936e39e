//! The curves of both wheels of an axle as the body rolls.

use super::corner::{corner, corner_ends, corner_notes, sound_corner};
use super::corner_figures::CornerFigures;
use super::curve_columns::{ROLL, RollPlace};
use super::curve_table::{At, Ends, Places, beyond, table};
use super::curves::CurvesView;
use super::whole::{ends as whole_ends, notes as whole_notes, whole, whole_axle};
use crate::error::GarageError;
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{Corner, Trouble};
use axlestand_model::car::{Axle, Car};

/// Both wheels with the left one up by each travel, mm, and the right one down by as much.
///
/// # Errors
/// [`GarageError::Input`] where hardpoints are missing or cannot be right.
pub(super) fn rolling(
    car: &Car,
    axle: &Axle,
    travels: &[f64],
    units: Units,
) -> Result<CurvesView, GarageError> {
    let (figures, [left, right], notes) = match whole_axle(car, axle)? {
        Some((figures, whole)) => (figures, [whole_ends(axle, &whole); 2], whole_notes(axle, &whole)),
        None => {
            let (figures, left) = sound_corner(car, axle, Side::Left)?;
            let (_, right) = sound_corner(car, axle, Side::Right)?;
            let ends = [&left, &right].map(corner_ends);
            let own = (!figures.right_is_mirrored()).then_some(&right);
            let notes = corner_notes([&left].into_iter().chain(own));
            (figures, ends, notes)
        }
    };
    let at = |travel: &f64| At {
        travel: *travel,
        rack: 0.0,
        beyond: beyond(*travel, left).or_else(|| beyond(-travel, right)),
    };
    let at: Vec<At> = travels.iter().map(at).collect();
    let table = table(ROLL.iter(), axle, &at, &figures, |figures| rolled(figures, travels, units));
    let [droop, bump] = first(left, right);
    Ok(CurvesView {
        against: "opposite-travel",
        wheels: "left wheel up, right wheel down by as much",
        mirrored: figures.right_is_mirrored(),
        droop,
        bump,
        inputs: figures.both_views(units),
        notes,
        ..CurvesView::of(car, axle, table)
    })
}

/// The ends of the wheel that comes to its end first.
fn first([droop, bump]: Ends, [droop_right, bump_right]: Ends) -> Ends {
    let nearer = |one: Option<f64>, other: Option<f64>| match (one, other) {
        (Some(a), Some(b)) => Some(if a.abs() < b.abs() { a } else { b }),
        (one, other) => one.or(other),
    };
    [nearer(droop, droop_right), nearer(bump, bump_right)]
}

/// What is measured at each travel, or why there is nothing.
fn rolled(figures: &CornerFigures, travels: &[f64], units: Units) -> Option<Places<RollPlace>> {
    let said = |trouble: Trouble| trouble.said(units.lengths());
    if let Some(whole) = whole(figures) {
        let at = |z: f64| {
            let out = whole.at(z, -z).map_err(said)?;
            Ok(RollPlace { roll: out.roll, camber: out.camber, toe: out.toe, sideways: Some(out.sideways) })
        };
        return Some(travels.iter().map(|z| at(*z)).collect());
    }
    let (left, right) = (corner(figures, Side::Left)?, corner(figures, Side::Right)?);
    let at = |z: f64| {
        let one = |corner: &Corner, z: f64| {
            let solved = corner.solve(z, 0.0).map_err(said)?;
            let out = corner.outputs(&solved).map_err(said)?;
            Ok::<_, String>((solved.pose.origin, out))
        };
        let ((here, left), (there, right)) = (one(&left, z)?, one(&right, -z)?);
        let roll = (here.z - there.z).atan2(here.y - there.y).to_degrees();
        let (camber, toe) = ([left.camber, right.camber], [left.toe, right.toe]);
        Ok(RollPlace { roll, camber, toe, sideways: None })
    };
    Some(travels.iter().map(|z| at(*z)).collect())
}
