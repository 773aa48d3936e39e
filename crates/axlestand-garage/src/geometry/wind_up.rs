//! What it does to a rubber bushing to be tightened with the wheel hanging.

use super::corner::{known_corner, side_of};
use super::figures::Figure;
use crate::fastening::Subject;
use axlestand_fastener::Place as Seat;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::springs::wind_up;
use axlestand_ledger::Action;
use axlestand_model::car::{Axle, Car};
use axlestand_model::{CarState, Hand, Layout};

/// Wheel travel to full droop where the damper's lengths do not tell it, mm: passenger cars, a
/// judgement.
const TYPICAL_DROOP: f64 = -80.0;
/// Twist of a control arm's bushings from full droop to ride height where there are no hardpoints,
/// degrees: arms of 300 to 400 mm and 60 to 100 mm of droop, a judgement.
const TYPICAL_TWIST: (f64, (f64, f64)) = (13.0, (9.0, 19.0));

/// Why a ride-height torque must wait, in degrees of bushing twist; `None` where the fastener is
/// no bolt through a bushing's sleeve or no axle has control arms. The first axle whose hardpoints are known speaks, and
/// it is named: a fastener does not say which axle it belongs to.
pub(crate) fn hanging_reason(car: &Car, action: &Action) -> Option<String> {
    let fastener = car.fastener(&action.item)?;
    let due = fastener.torque.as_ref().and_then(|torque| torque.state)?;
    let twists = Subject::of(car, fastener).place == Seat::ShankInSleeve;
    if due != CarState::RideHeight || !twists {
        return None;
    }
    let side = side_of(action.item.side().unwrap_or(Hand::Left));
    car.axles.iter().find_map(|axle| from_points(car, axle, side)).or_else(|| typical(car))
}

fn from_points(car: &Car, axle: &Axle, side: Side) -> Option<String> {
    let (_, corner) = known_corner(car, axle, side)?;
    let droop = corner.travel_ends().ok().and_then(|ends| ends.droop);
    let at = droop.unwrap_or(TYPICAL_DROOP);
    let limits = axle.limits.as_ref();
    let wound = wind_up(&corner, at, 0.0, (at, 0.0), limits.and_then(|l| l.bushing_stiffness), None).ok()?;
    let guess = if droop.is_some() { "" } else { " (full droop taken as 80 mm, typical)" };
    let limit = limits
        .and_then(|l| l.bushing_twist)
        .map_or_else(String::new, |limit| format!(", against {:.0}° that they stand for long", limit.deg()));
    let torque = wound.torque.map_or_else(String::new, |t| format!(" and push with {:.0} N·m", t.abs()));
    Some(format!(
        "tightened with the wheel hanging, the rubber bushings of the {} control arm would be twisted by {:.0}°{torque} whenever the car stands at ride height{limit}{guess}: from the hardpoints [{}]",
        axle.name,
        wound.at_ride.abs(),
        axle.provenance
    ))
}

fn typical(car: &Car) -> Option<String> {
    let has_arms = |axle: &Axle| !matches!(axle.layout, Layout::TwistBeam | Layout::LiveAxle);
    car.axles.iter().find(|axle| has_arms(axle))?;
    let (usual, range) = TYPICAL_TWIST;
    let twist = Figure::typical("twist", "°", usual, range, "arms of 300 to 400 mm, 60 to 100 mm of droop");
    let view = twist.view();
    Some(format!(
        "tightened with the wheel hanging, a rubber bushing stays twisted whenever the car stands at ride height: by about {} on a control arm ({}) [{}; the hardpoints would give this car's own]",
        view.value,
        view.range.unwrap_or_default(),
        view.from
    ))
}
