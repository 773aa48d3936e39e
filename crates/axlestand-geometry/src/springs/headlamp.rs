//! What a change of rake does to the headlamps.

use axlestand_quantity::{Angle, Length, NotFinite};

/// How the headlamps' aim changes when the body pitches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AimChange {
    /// Change of the body's pitch, nose up positive: the lamps aim as much higher.
    pub pitch: Angle,
    /// Change of the cut-off's inclination in percent, up positive: 1 % is 10 cm at 10 m, the way
    /// lamp aim is stamped on lamps (UN Regulation No. 48, 6.2.6.1).
    pub percent: f64,
    /// Motion of the cut-off on a wall 10 m away, up positive.
    pub at_ten_metres: Length,
}

/// The change of headlamp aim when the body rises by `front` and `rear` at the axles, `wheelbase`
/// apart.
///
/// # Errors
/// [`NotFinite`] for a wheelbase of nought.
pub fn aim_change(front: Length, rear: Length, wheelbase: Length) -> Result<AimChange, NotFinite> {
    let slope = (front - rear).mm() / wheelbase.mm();
    Ok(AimChange {
        pitch: Angle::from_rad(slope.atan())?,
        percent: 100.0 * slope,
        at_ten_metres: Length::from_mm(10_000.0 * slope)?,
    })
}
