//! From the plain numbers of a formula back to quantities. The inputs are finite and checked, so
//! a result can at worst be too large to hold; it then stops at the largest finite number, as the
//! sums of the quantity types do.

use axlestand_quantity::{Angle, Force, Length, Torque};

fn finite(value: f64) -> f64 {
    if value.is_nan() { 0.0 } else { value.clamp(f64::MIN, f64::MAX) }
}

/// A length from millimetres.
pub(crate) fn length(mm: f64) -> Length {
    Length::from_mm(finite(mm)).unwrap_or(Length::ZERO)
}

/// A torque from newton metres.
pub(crate) fn torque(nm: f64) -> Torque {
    Torque::from_nm(finite(nm)).unwrap_or(Torque::ZERO)
}

/// A force from newtons.
pub(crate) fn force(n: f64) -> Force {
    Force::from_n(finite(n)).unwrap_or(Force::ZERO)
}

/// An angle from degrees.
pub(crate) fn angle(deg: f64) -> Angle {
    Angle::from_deg(finite(deg)).unwrap_or(Angle::ZERO)
}
