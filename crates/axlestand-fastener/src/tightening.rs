//! Torque and preload: the full equation with thread and bearing friction apart, and the short
//! form with a nut factor.
//!
//! T = F·[P/(2π) + 0.577·d2·μ_thread + ½·Dkm·μ_bearing] (ISO 16047, VDI 2230; the same structure
//! stands in MIL-HDBK-60, appendix B, and in JIS B 1083). 0.577 is 1/(2·cos 30°).

mod angle;
mod nut_factor;
mod stress;

use axlestand_quantity::{Force, Torque};

use crate::bearing::Bearing;
use crate::friction::{Friction, FrictionRange};
use crate::interval::Interval;
use crate::saturate;
use crate::thread::Thread;

pub use angle::{AngleTightening, SnugAndTurn};
pub use nut_factor::{
    TangentForm, nut_factor_of, preload_by_nut_factor, tangent_nut_factor, torque_by_nut_factor,
};
pub use stress::{Torsion, Utilisation};

/// 1/(2·cos 30°): half the thread's wedge effect on its flanks.
const FLANK: f64 = 0.577_350_269_189_625_8;
/// Millimetres in a metre, for torques in N·m from forces in N and arms in mm.
pub(crate) const MM_PER_M: f64 = 1000.0;

/// Why a tightening figure was refused.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum TighteningError {
    /// A torque below nought.
    #[error("a tightening torque cannot be negative ({0}); give the torque that tightens")]
    NegativeTorque(Torque),
    /// A force below nought.
    #[error("a clamp load cannot be negative ({0}); a bolt only pulls")]
    NegativeForce(Force),
    /// An angle below nought.
    #[error("a tightening angle cannot be negative ({0}); going back loosens")]
    NegativeAngle(axlestand_quantity::Angle),
    /// A utilisation outside 0 to 1.
    #[error("the share of the yield strength lies above 0 and is at most 1; {0} does not")]
    Utilisation(f64),
    /// A strength of nought, below, or no number.
    #[error("a yield strength must be a positive number of MPa; {0} is not")]
    Strength(f64),
    /// A nut factor of nought, below, or no number.
    #[error("a nut factor must be a positive number, usually 0.1 to 0.3; {0} is not")]
    NutFactor(f64),
    /// Friction so great that the tangent form has no answer.
    #[error("with thread friction {0} and this lead the thread locks; no torque moves it")]
    ThreadLocks(f64),
}

/// A thread with the face its head or nut turns on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    thread: Thread,
    bearing: Bearing,
}

/// Where a tightening torque goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TorqueShares {
    /// Into stretching the bolt.
    pub stretch: Torque,
    /// Into friction in the thread.
    pub thread: Torque,
    /// Into friction under the head or nut.
    pub bearing: Torque,
}

impl Joint {
    /// A thread and its bearing face.
    #[must_use]
    pub fn new(thread: Thread, bearing: Bearing) -> Self {
        Self { thread, bearing }
    }

    /// A thread with a plain hexagon head or nut.
    #[must_use]
    pub fn hex(thread: Thread) -> Self {
        Self::new(thread, Bearing::of_hex_head(thread))
    }

    /// The thread.
    #[must_use]
    pub fn thread(self) -> Thread {
        self.thread
    }

    /// The bearing face.
    #[must_use]
    pub fn bearing(self) -> Bearing {
        self.bearing
    }

    /// Torque that gives `preload` at friction `mu`.
    ///
    /// # Errors
    /// [`TighteningError::NegativeForce`].
    pub fn torque(self, preload: Force, mu: Friction) -> Result<Torque, TighteningError> {
        checked_force(preload)?;
        Ok(saturate::torque(preload.n() * self.arm_mm(mu) / MM_PER_M))
    }

    /// Preload that `torque` gives at friction `mu`. Prevailing torque (a nylon insert) must be
    /// taken off first: it stretches nothing.
    ///
    /// # Errors
    /// [`TighteningError::NegativeTorque`].
    pub fn preload(self, torque: Torque, mu: Friction) -> Result<Force, TighteningError> {
        checked_torque(torque)?;
        Ok(saturate::force(torque.nm() * MM_PER_M / self.arm_mm(mu)))
    }

    /// Preload over the whole range of a condition: low friction gives the high end.
    ///
    /// # Errors
    /// [`TighteningError::NegativeTorque`].
    pub fn preload_range(
        self,
        torque: Torque,
        range: &FrictionRange,
    ) -> Result<Interval<Force>, TighteningError> {
        let at = |mu: f64| self.preload(torque, Friction::known(mu));
        let mu = range.coefficient;
        Ok(Interval::hull(at(mu.high())?, at(mu.point())?, at(mu.low())?))
    }

    /// Torque that loosens a bolt still carrying `preload`, at unchanged friction:
    /// F·[−P/(2π) + 0.577·d2·μ_thread + ½·Dkm·μ_bearing]. Negative where the thread would unwind by
    /// itself. Rust comes on top and cannot be predicted.
    ///
    /// # Errors
    /// [`TighteningError::NegativeForce`].
    pub fn loosening_torque(self, preload: Force, mu: Friction) -> Result<Torque, TighteningError> {
        checked_force(preload)?;
        let arm = self.arm_mm(mu) - 2.0 * self.stretch_arm_mm();
        Ok(saturate::torque(preload.n() * arm / MM_PER_M))
    }

    /// Where the torque for `preload` goes.
    ///
    /// # Errors
    /// [`TighteningError::NegativeForce`].
    pub fn shares(self, preload: Force, mu: Friction) -> Result<TorqueShares, TighteningError> {
        checked_force(preload)?;
        let part = |arm: f64| saturate::torque(preload.n() * arm / MM_PER_M);
        Ok(TorqueShares {
            stretch: part(self.stretch_arm_mm()),
            thread: part(self.thread_arm_mm(mu)),
            bearing: part(self.bearing_arm_mm(mu)),
        })
    }

    /// Nut factor K of this joint at friction `mu`: the arm of the equation over the diameter.
    #[must_use]
    pub fn nut_factor(self, mu: Friction) -> f64 {
        self.arm_mm(mu) / self.thread.diameter_mm()
    }

    /// Torque per newton of preload, in mm.
    pub(crate) fn arm_mm(self, mu: Friction) -> f64 {
        self.stretch_arm_mm() + self.thread_arm_mm(mu) + self.bearing_arm_mm(mu)
    }

    fn stretch_arm_mm(self) -> f64 {
        self.thread.pitch_mm() / std::f64::consts::TAU
    }

    fn thread_arm_mm(self, mu: Friction) -> f64 {
        FLANK * self.thread.pitch_diameter().mm() * mu.thread()
    }

    fn bearing_arm_mm(self, mu: Friction) -> f64 {
        0.5 * self.bearing.mean_mm() * mu.bearing()
    }
}

/// What to reach on the wrench where a nut drags before it seats: target and prevailing torque
/// together (MIL-HDBK-60, 110.3; FAA AC 43.13-1B, 7-40). Only where the specification does not
/// already hold the drag.
///
/// # Errors
/// [`TighteningError::NegativeTorque`].
pub fn with_prevailing(target: Torque, prevailing: Torque) -> Result<Torque, TighteningError> {
    checked_torque(target)?;
    checked_torque(prevailing)?;
    Ok(target + prevailing)
}

pub(crate) fn checked_torque(torque: Torque) -> Result<Torque, TighteningError> {
    if torque.nm() < 0.0 { Err(TighteningError::NegativeTorque(torque)) } else { Ok(torque) }
}

pub(crate) fn checked_force(force: Force) -> Result<Force, TighteningError> {
    if force.n() < 0.0 { Err(TighteningError::NegativeForce(force)) } else { Ok(force) }
}
