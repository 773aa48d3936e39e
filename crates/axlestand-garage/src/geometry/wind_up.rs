//! What it does to a rubber bushing to be tightened with the wheel hanging.

use super::corner::known_corner;
use axlestand_geometry::springs::wind_up;
use axlestand_ledger::Action;
use axlestand_model::CarState;
use axlestand_model::car::Car;

/// Wheel travel to full droop where the damper's lengths do not tell it, mm: passenger cars, a
/// judgement.
const TYPICAL_DROOP: f64 = -80.0;

/// Why a ride-height torque must wait, in degrees of bushing twist; `None` where the fastener is
/// none of those or the hardpoints are not known.
pub(crate) fn hanging_reason(car: &Car, action: &Action) -> Option<String> {
    let fastener = car.fastener(&action.item)?;
    let due = fastener.torque.as_ref().and_then(|torque| torque.state)?;
    if due != CarState::RideHeight {
        return None;
    }
    let (axle, corner) =
        car.axles.iter().find_map(|axle| known_corner(car, axle).map(|(_, corner)| (axle, corner)))?;
    let droop = corner.travel_ends().ok().and_then(|ends| ends.droop);
    let at = droop.unwrap_or(TYPICAL_DROOP);
    let stiffness = axle.limits.as_ref().and_then(|l| l.bushing_stiffness);
    let wound = wind_up(&corner, at, 0.0, (at, 0.0), stiffness, None).ok()?;
    let guess = if droop.is_some() { "" } else { " (full droop taken as 80 mm, typical)" };
    let limit =
        axle.limits.as_ref().and_then(|l| l.bushing_twist).map_or_else(String::new, |limit| {
            format!(", against {:.0}° that they stand for long", limit.deg())
        });
    let torque = wound.torque.map_or_else(String::new, |t| format!(" and push with {:.0} N·m", t.abs()));
    Some(format!(
        "tightened with the wheel hanging, the rubber bushings of the {} control arm would be twisted by {:.0}°{torque} whenever the car stands at ride height{limit}{guess}: from the hardpoints [{}]",
        axle.name,
        wound.at_ride.abs(),
        axle.provenance
    ))
}
