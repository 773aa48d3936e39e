//! Torque wrench with a crow's foot or another offset adapter.
//!
//! With L from the grip to the square, A from the square to the fastener and θ between handle and
//! adapter (0° straight out), the fastener gets (L + A·cos θ)/L times the reading (US Army TM 9-254,
//! figure 4-6; TM 1-1500-204-23-9). At 90° there is nothing to correct; folded back to 180° the
//! wrench is shorter and must be set higher, and with A as long as L it turns nothing at all.

use axlestand_quantity::{Angle, Length, Torque};

use crate::saturate;
use crate::tightening::{TighteningError, checked_torque};

/// Arms shorter than this share of the wrench count as none.
const LEAST_ARM: f64 = 1e-9;

/// Why an adapter was refused.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum AdapterError {
    /// No lever.
    #[error("measure the wrench from the middle of the grip to the square; {0:.1} is no length")]
    NoLever(Length),
    /// An offset below nought.
    #[error("the adapter's offset is measured from square to fastener and cannot be negative ({0:.1})")]
    NegativeOffset(Length),
    /// Folded back so far that the fastener lies at or behind the hand.
    #[error(
        "at {angle:.0} an adapter of {offset:.0} leaves a wrench of {lever:.0} no lever: turn the adapter to 90° \
         or use a longer wrench"
    )]
    NoArm {
        /// Grip to square.
        lever: Length,
        /// Square to fastener.
        offset: Length,
        /// Between handle and adapter.
        angle: Angle,
    },
    /// A pull along the handle.
    #[error("a pull {0:.0} off square turns nothing; pull at a right angle to the handle")]
    PullAlongHandle(Angle),
    /// The torque itself.
    #[error(transparent)]
    Tightening(#[from] TighteningError),
}

/// A wrench with an adapter that can turn a fastener.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adapter {
    lever: Length,
    offset: Length,
    angle: Angle,
}

impl Adapter {
    /// `lever` from the middle of the grip to the square, `offset` from the square to the middle of
    /// the fastener, `angle` between handle and adapter, 0° straight out; its sign does not matter.
    ///
    /// # Errors
    /// [`AdapterError`] for lengths that are none, and where no lever is left.
    pub fn new(lever: Length, offset: Length, angle: Angle) -> Result<Self, AdapterError> {
        if lever.mm() <= 0.0 {
            return Err(AdapterError::NoLever(lever));
        }
        if offset.mm() < 0.0 {
            return Err(AdapterError::NegativeOffset(offset));
        }
        let adapter = Self { lever, offset, angle };
        if adapter.factor() > LEAST_ARM {
            Ok(adapter)
        } else {
            Err(AdapterError::NoArm { lever, offset, angle })
        }
    }

    /// Torque on the fastener over the reading, 1 + A·cos θ/L.
    #[must_use]
    pub fn factor(self) -> f64 {
        1.0 + self.offset.mm() / self.lever.mm() * cosine(self.angle)
    }

    /// What to set so that the fastener gets `target`: T·L/(L + A·cos θ).
    ///
    /// # Errors
    /// [`AdapterError::Tightening`] for a negative torque.
    pub fn setting(self, target: Torque) -> Result<Torque, AdapterError> {
        Ok(saturate::torque(checked_torque(target)?.nm() / self.factor()))
    }

    /// What the fastener gets at a reading.
    ///
    /// # Errors
    /// [`AdapterError::Tightening`] for a negative torque.
    pub fn at_fastener(self, reading: Torque) -> Result<Torque, AdapterError> {
        Ok(saturate::torque(checked_torque(reading)?.nm() * self.factor()))
    }

    /// What the fastener gets where the hand pulls `off` away from square in the plane of the
    /// wrench, toward the adapter's side: the reading is F·L·cos φ, the fastener gets
    /// F·[L·cos φ + A·cos(θ − φ)].
    ///
    /// # Errors
    /// [`AdapterError::PullAlongHandle`] from 90° on, [`AdapterError::Tightening`] for a negative
    /// reading.
    pub fn at_fastener_off_square(self, reading: Torque, off: Angle) -> Result<Torque, AdapterError> {
        if off.abs().deg() >= 90.0 {
            return Err(AdapterError::PullAlongHandle(off));
        }
        let (l, a) = (self.lever.mm(), self.offset.mm());
        let square = l * off.rad().cos();
        let arm = square + a * (self.angle.rad() - off.rad()).cos();
        Ok(saturate::torque(checked_torque(reading)?.nm() * arm / square))
    }
}

/// Cosine of degrees, exact at the right angles.
fn cosine(angle: Angle) -> f64 {
    let turned = angle.deg().rem_euclid(360.0);
    match turned {
        t if (t - 90.0).abs() < 1e-12 || (t - 270.0).abs() < 1e-12 => 0.0,
        t => t.to_radians().cos(),
    }
}
