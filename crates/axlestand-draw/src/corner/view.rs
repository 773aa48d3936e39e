//! From where a corner is looked at.

use super::Point;
use crate::scene::Spot;

/// From where a corner is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// From outside, in front and above, so that all three directions are seen.
    Oblique,
    /// From in front of the car.
    Front,
    /// From the wheel's side.
    Side,
    /// From above, the front of the car up.
    Above,
}

/// How far the oblique view is turned from the front towards the side, and looks down: chosen so
/// that neither arm nor rack hides behind the wheel. Degrees.
const TURNED: f64 = 38.0;
const DOWN: f64 = 22.0;

impl View {
    /// Every view.
    pub const ALL: [Self; 4] = [Self::Oblique, Self::Front, Self::Side, Self::Above];

    /// The view in words.
    #[must_use]
    pub const fn phrase(self) -> &'static str {
        match self {
            Self::Oblique => "seen from outside, in front and above",
            Self::Front => "seen from in front of the car",
            Self::Side => "seen from the wheel's side",
            Self::Above => "seen from above, front of the car up",
        }
    }

    /// Where a point comes to lie (right and down, mm) and how near it is to who looks. `outside`
    /// is +1 for the left corner, -1 for the right one.
    pub(super) fn project(self, [x, y, z]: Point, outside: f64) -> (Spot, f64) {
        // Mirrored to the left corner, projected, mirrored back.
        let y = y * outside;
        let ([right, down], near) = match self {
            Self::Front => ([y, -z], x),
            Self::Side => ([-x, -z], y),
            Self::Above => ([-y, -x], z),
            Self::Oblique => {
                let (sin, cos) = TURNED.to_radians().sin_cos();
                let (dip, level) = DOWN.to_radians().sin_cos();
                let away = x * cos + y * sin;
                ([y * cos - x * sin, away * dip - z * level], away * level + z * dip)
            }
        };
        ([right * outside, down], near)
    }
}
