//! Inclination of the steering axis, where camber was read straight ahead and steered to both sides.

use super::taken::Collected;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{Axle, Held, Kind, Wheel};
use axlestand_geometry::wheel_angles::{WheelPose, steering_axis_from_poses};
use axlestand_quantity::Angle;

/// Standard uncertainties of the camber gauge and of a heading, degrees (AX-20).
const STEPS: [f64; 5] = [0.1, 0.1, 0.1, 1.0, 1.0];

/// Inclination of one side and its standard uncertainty, degrees; `None` where a reading is missing.
/// The uncertainty adds the effects of a step in each input as a root sum of squares.
pub(crate) fn inclination(collected: &Collected, side: Side) -> Option<(f64, f64)> {
    let mut held: Option<(Held, Held)> = None;
    let mut cambers = Vec::new();
    let own = Wheel::of(Axle::Front, side);
    for taken in &collected.taken {
        match taken.kind {
            Kind::CasterSweep { side: of, left, right } if of == side => held = Some((left, right)),
            Kind::Camber { wheel, degrees, .. } if wheel == own => cambers.push(degrees),
            _ => {}
        }
    }
    let (left, right) = held?;
    let straight = cambers.iter().sum::<f64>() / cambers.len() as f64;
    let inputs = [left.camber, straight, right.camber, left.heading, right.heading];
    let value = from(side, inputs)?;
    let mut variance = 0.0;
    for (i, step) in STEPS.iter().enumerate() {
        let mut moved = inputs;
        moved[i] += step;
        variance += (from(side, moved)? - value).powi(2);
    }
    Some((value, variance.sqrt()))
}

fn from(side: Side, [left, straight, right, to_left, to_right]: [f64; 5]) -> Option<f64> {
    let pose = |camber: f64, heading: f64| {
        Some(WheelPose { camber: Angle::from_deg(camber).ok()?, heading: Angle::from_deg(heading).ok()? })
    };
    let poses = [pose(left, to_left)?, pose(straight, 0.0)?, pose(right, to_right)?];
    Some(steering_axis_from_poses(side, poses).ok()?.inclination.deg())
}
