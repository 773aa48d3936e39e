//! The short form T = K·F·d, and K from the exact tangent form.

use axlestand_quantity::{Force, Length, Torque};

use super::{MM_PER_M, TighteningError, checked_force, checked_torque};
use crate::saturate;

/// T = K·F·d (Shigley, 9th edition, equation 8-27; NASA-STD-5020B).
///
/// # Errors
/// [`TighteningError`] for a negative preload or a nut factor that is not positive.
pub fn torque_by_nut_factor(k: f64, diameter: Length, preload: Force) -> Result<Torque, TighteningError> {
    let arm = arm_mm(k, diameter)?;
    Ok(saturate::torque(checked_force(preload)?.n() * arm / MM_PER_M))
}

/// F = T/(K·d).
///
/// # Errors
/// [`TighteningError`] for a negative torque or a nut factor that is not positive.
pub fn preload_by_nut_factor(k: f64, diameter: Length, torque: Torque) -> Result<Force, TighteningError> {
    let arm = arm_mm(k, diameter)?;
    Ok(saturate::force(checked_torque(torque)?.nm() * MM_PER_M / arm))
}

/// K = T/(F·d) from a measured torque and preload.
///
/// # Errors
/// [`TighteningError`] for negative input, and [`TighteningError::NutFactor`] where the result is no
/// positive number (no preload, no torque, no diameter).
pub fn nut_factor_of(torque: Torque, preload: Force, diameter: Length) -> Result<f64, TighteningError> {
    let moment = checked_torque(torque)?.nm() * MM_PER_M;
    let k = moment / (checked_force(preload)?.n() * diameter.mm());
    if k.is_finite() && k > 0.0 { Ok(k) } else { Err(TighteningError::NutFactor(k)) }
}

/// What goes into the exact form of Shigley's equations 8-26 and 8-27.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TangentForm {
    /// Nominal diameter.
    pub diameter: Length,
    /// Mean thread diameter dm: halfway between outer and *sharp* root diameter in Shigley's
    /// example, which is not d2.
    pub mean_diameter: Length,
    /// Pitch (lead of a single-start thread).
    pub pitch: Length,
    /// Friction in the thread.
    pub thread_friction: f64,
    /// Friction under the nut; the mean bearing diameter is 1.25·d.
    pub collar_friction: f64,
}

/// K = (dm/2d)·(tan λ + f·sec 30°)/(1 − f·tan λ·sec 30°) + 0.625·fc (Shigley, 9th edition, equation
/// 8-26; NASA TM-106943, equation 2). The full equation is its linear form.
///
/// # Errors
/// [`TighteningError::NutFactor`] for sizes or frictions that are not positive,
/// [`TighteningError::ThreadLocks`] where the denominator vanishes.
pub fn tangent_nut_factor(form: &TangentForm) -> Result<f64, TighteningError> {
    let (d, dm, p) = (form.diameter.mm(), form.mean_diameter.mm(), form.pitch.mm());
    let f = form.thread_friction;
    if !(d > 0.0 && dm > 0.0 && p > 0.0) {
        return Err(TighteningError::NutFactor(0.0));
    }
    if !(f >= 0.0 && form.collar_friction >= 0.0) {
        return Err(TighteningError::NutFactor(f.min(form.collar_friction)));
    }
    let slope = p / (std::f64::consts::PI * dm);
    let wedge = f / std::f64::consts::FRAC_PI_6.cos();
    let below = 1.0 - slope * wedge;
    if below <= 0.0 {
        return Err(TighteningError::ThreadLocks(f));
    }
    let k = dm / (2.0 * d) * (slope + wedge) / below + 0.625 * form.collar_friction;
    if k.is_finite() { Ok(k) } else { Err(TighteningError::NutFactor(k)) }
}

fn arm_mm(k: f64, diameter: Length) -> Result<f64, TighteningError> {
    let arm = k * diameter.mm();
    if arm.is_finite() && k > 0.0 && arm > 0.0 { Ok(arm) } else { Err(TighteningError::NutFactor(k)) }
}
