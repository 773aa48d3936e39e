//! What it does to a rubber bushing to be tightened with the wheel hanging.

use super::corner::{known_corner, side_of};
use super::figures::Figure;
use super::whole::{ends, whole_axle};
use crate::fastening::Subject;
use crate::units::Units;
use axlestand_fastener::Place as Seat;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::springs::wind_up;
use axlestand_ledger::Action;
use axlestand_model::car::{Axle, Car};
use axlestand_model::{CarState, Hand, Layout};

/// Wheel travel to full droop where the damper's lengths do not tell it, mm: passenger cars, a
/// judgement (AX-71).
const TYPICAL_DROOP: f64 = -80.0;

/// Why a ride-height torque must wait, in degrees of bushing twist; `None` where the fastener is no
/// bolt through a bushing's sleeve, or nothing can be said of its axle. Where the file does not say
/// which axle it is on, the first with control arms and hardpoints speaks; it is named.
pub(crate) fn hanging_reason(car: &Car, action: &Action) -> Option<String> {
    let fastener = car.fastener(&action.item)?;
    let due = fastener.torque.as_ref().and_then(|torque| torque.state)?;
    let twists = Subject::of(car, fastener).place == Seat::ShankInSleeve;
    if due != CarState::RideHeight || !twists {
        return None;
    }
    let side = side_of(action.item.side().unwrap_or(Hand::Left));
    if let Some(end) = fastener.axle {
        let axle = car.axles.iter().find(|axle| axle.name == end.word())?;
        return Some(from_points(car, axle, side).unwrap_or_else(|| typical(axle)));
    }
    let has_arms = |axle: &&Axle| !matches!(axle.layout, Layout::TwistBeam | Layout::LiveAxle);
    let mut axles = car.axles.iter().filter(has_arms);
    axles.clone().find_map(|axle| from_points(car, axle, side)).or_else(|| axles.next().map(typical))
}

/// Twist at ride height of bushings tightened at full droop.
struct Twist {
    degrees: f64,
    /// N·m, where the stiffness is known.
    torque: Option<f64>,
    droop_is_known: bool,
}

fn from_points(car: &Car, axle: &Axle, side: Side) -> Option<String> {
    let twist = of_arm(car, axle, side).or_else(|| of_beam(car, axle))?;
    let what = match axle.layout {
        Layout::TwistBeam => "twist beam",
        _ => "control arm",
    };
    let guess = if twist.droop_is_known { "" } else { " (full droop taken as 80 mm, typical)" };
    let limit = axle.limits.as_ref().and_then(|l| l.bushing_twist).map_or_else(String::new, |limit| {
        format!(", against the {:.0}° that they bear in the long run", limit.deg())
    });
    let torque = twist.torque.map_or_else(String::new, |t| format!(" and push back with {:.0} N·m", t.abs()));
    Some(format!(
        "tightened with the wheel hanging, the rubber bushings of the {} {what} would be twisted by {:.0}°{torque} whenever the car stands at ride height{limit}{guess}: from the hardpoints [{}]",
        axle.name,
        twist.degrees.abs(),
        axle.provenance
    ))
}

/// Of the control arm of one side: its turn from full droop to ride height.
fn of_arm(car: &Car, axle: &Axle, side: Side) -> Option<Twist> {
    let (_, corner) = known_corner(car, axle, side)?;
    let droop = corner.travel_ends().ok().and_then(|ends| ends.droop);
    let at = droop.unwrap_or(TYPICAL_DROOP);
    let wound = wind_up(&corner, at, 0.0, (at, 0.0), stiffness(axle), None).ok()?;
    Some(Twist { degrees: wound.at_ride, torque: wound.torque, droop_is_known: droop.is_some() })
}

/// Of a twist beam: its turn in its pivots, both wheels hanging.
fn of_beam(car: &Car, axle: &Axle) -> Option<Twist> {
    let (_, whole) = whole_axle(car, axle).ok().flatten()?;
    let [droop, _] = ends(axle, &whole);
    let at = droop.unwrap_or(TYPICAL_DROOP);
    let degrees = whole.at(0.0, 0.0).ok()?.pivot_turn? - whole.at(at, at).ok()?.pivot_turn?;
    let torque = stiffness(axle).map(|k| k * degrees);
    Some(Twist { degrees, torque, droop_is_known: droop.is_some() })
}

fn stiffness(axle: &Axle) -> Option<f64> {
    axle.limits.as_ref().and_then(|limits| limits.bushing_stiffness)
}

/// The twist from full droop to ride height where there are no hardpoints, by 60 to 100 mm of droop
/// and the arm's usual length, a judgement (AX-71).
fn typical(axle: &Axle) -> String {
    let (what, usual, range, why) = match axle.layout {
        Layout::TwistBeam => {
            ("on a twist beam", 10.0, (7.0, 17.0), "arms of 350 to 500 mm, 60 to 100 mm of droop")
        }
        Layout::LiveAxle => {
            ("on an axle's rod", 9.0, (6.0, 17.0), "rods of 350 to 600 mm, 60 to 100 mm of droop")
        }
        _ => ("on a control arm", 13.0, (9.0, 19.0), "arms of 300 to 400 mm, 60 to 100 mm of droop"),
    };
    let view = Figure::typical("twist", "°", usual, range, why).view(Units::Metric);
    // The rods of a live axle are not followed one by one.
    let own = match axle.layout {
        Layout::LiveAxle => "",
        _ => "; the hardpoints would give this car's own",
    };
    format!(
        "tightened with the wheel hanging, a rubber bushing stays twisted whenever the car stands at ride height: by about {} {what} ({}) [{}{own}]",
        view.value,
        view.range.unwrap_or_default(),
        view.from
    )
}
