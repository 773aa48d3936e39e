//! Toe as an angle and in millimetres.

use axlestand_quantity::{Angle, Length, NotFinite};

/// Total toe in millimetres of two equal halves over a diameter: 2 D sin(θ/2). Toe in millimetres
/// without its diameter is not a toe.
///
/// # Errors
/// [`NotFinite`] never, for lengths that are ordinary.
pub fn toe_mm_total(total: Angle, diameter: Length) -> Result<Length, NotFinite> {
    Length::from_mm(2.0 * diameter.mm() * (total.rad() / 2.0).sin())
}

/// The total toe angle of a difference in millimetres over a diameter: 2 asin(t / 2D).
///
/// # Errors
/// [`NotFinite`] where the difference is more than twice the diameter, or the diameter nought.
pub fn toe_angle_total(difference: Length, diameter: Length) -> Result<Angle, NotFinite> {
    Angle::from_rad(2.0 * (difference.mm() / (2.0 * diameter.mm())).asin())
}
