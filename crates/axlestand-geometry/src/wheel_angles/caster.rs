//! Caster and steering-axis inclination from a steered wheel.

use crate::conventions::{Side, caster, inclination, spin_axis};
use axlestand_quantity::{Angle, NotFinite};

/// Camber and heading (to the left positive) of a wheel as it was held and read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelPose {
    /// Camber, top outward positive.
    pub camber: Angle,
    /// Heading, to the left positive.
    pub heading: Angle,
}

/// A steering axis by its two angles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteeringAxis {
    /// Caster, top rearward positive.
    pub caster: Angle,
    /// Inclination, top inward positive. Ill-conditioned from cambers: with 0.1° in camber and 0.3° in
    /// heading it is good to 2° only.
    pub inclination: Angle,
}

/// Caster by the sine rule from cambers at equal headings to the left and to the right, left
/// wheel: τ ≈ (γ_left − γ_right) / (2 sin S). Good to 0.03° up to 8° of caster. On the right wheel
/// the sign turns round.
///
/// # Errors
/// [`NotFinite`] for a heading of nought.
pub fn caster_by_sine_rule(
    side: Side,
    turned_left: Angle,
    turned_right: Angle,
    heading: Angle,
) -> Result<Angle, NotFinite> {
    let difference = (turned_left - turned_right).deg() * side.sign();
    Angle::from_deg(difference / (2.0 * heading.rad().sin()))
}

/// The steering axis from three poses of one wheel, exactly: the spin axis runs on a cone about
/// it, so k ∝ (n₁ − n₀) × (n₂ − n₀).
///
/// # Errors
/// [`NotFinite`] where the three poses do not differ.
pub fn steering_axis_from_poses(side: Side, poses: [WheelPose; 3]) -> Result<SteeringAxis, NotFinite> {
    let [a, b, c] = poses.map(|p| {
        let toe = -side.sign() * p.heading.rad();
        spin_axis(p.camber.rad(), toe, side)
    });
    let k = (b - a).cross(c - a);
    let size = k.norm();
    let k = k.times(k.z.signum() / size);
    let angle = |x: f64| if size > 1e-12 { Angle::from_rad(x) } else { Angle::from_rad(f64::NAN) };
    Ok(SteeringAxis { caster: angle(caster(k))?, inclination: angle(inclination(k, side))? })
}
