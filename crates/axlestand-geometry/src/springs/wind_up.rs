//! Rubber bushings tightened at the wrong height.

use crate::kinematics::{Corner, Trouble};

/// What it does to tighten a bonded bushing away from ride height: the rubber holds the inner
/// sleeve where it was tightened and twists with the arm from there. A reason to wait with the
/// final torque until the car stands at ride height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindUp {
    /// Twist of the lower arm's bushings at ride height from where they were tightened, degrees, positive
    /// where the wheel is higher than it was then.
    pub at_ride: f64,
    /// Most twist between the given ends of travel, degrees, without sign.
    pub most: f64,
    /// Most twist if they are tightened at ride height, degrees, without sign.
    pub most_if_right: f64,
    /// Torque of the bushings at ride height, N·m, with the sign of the twist, if their stiffness is known:
    /// positive pushes the wheel down.
    pub torque: Option<f64>,
    /// Height error it causes, mm, positive where the car stands higher.
    pub height_error: Option<f64>,
}

/// Bushing twist when tightened at the travel `tightened` and standing at `ride`, over the travel
/// between the `ends` (full droop, bump stop), all mm, bump positive. `stiffness` in N·m per degree for
/// both bushings of the arm and `wheel_rate` in N/mm give torque and height error: the torque works
/// through the arm's turn per mm of travel.
///
/// # Errors
/// [`Trouble`] where a travel cannot be reached or the corner has no control arm.
pub fn wind_up(
    corner: &Corner,
    tightened: f64,
    ride: f64,
    ends: (f64, f64),
    stiffness: Option<f64>,
    wheel_rate: Option<f64>,
) -> Result<WindUp, Trouble> {
    let mut tracker = corner.tracker();
    let mut turn = |travel: f64| {
        let at = tracker.advance(travel, 0.0)?;
        let none = Trouble::NotANumber { what: "the control arm's turn: the corner has no arm, it" };
        corner.outputs(&at)?.lower_arm_turn.ok_or(none)
    };
    let (droop, at, standing, bump) = (turn(ends.0)?, turn(tightened)?, turn(ride)?, turn(ends.1)?);
    let per_mm = (turn(ride + 0.5)? - turn(ride - 0.5)?).to_radians();
    let most = |from: f64| (droop - from).abs().max((bump - from).abs());
    let torque = stiffness.map(|k| k * (standing - at));
    // The bushings push the wheel back towards where they were tightened: T dφ/dz at the wheel.
    let error = torque.zip(wheel_rate).map(|(t, k)| t * 1000.0 * per_mm / k);
    Ok(WindUp {
        at_ride: standing - at,
        most: most(at),
        most_if_right: most(standing),
        torque,
        height_error: error,
    })
}
