//! Combined tension and torsion, and the preload and torque at a share of the yield strength.
//!
//! Two rules are in print. Tables after VDI 2230 of 2001 and later let torsion go fully plastic
//! (k = 3/2, Wt = π·d0³/12); VDI 2230:1986 and JIS B 1083 stay elastic (k = 2, Wt = π·d0³/16). The
//! same bolt at the same friction differs by 8 to 9 % between them, so a table without its edition
//! cannot be compared.

use axlestand_quantity::{Force, Torque};

use super::{Joint, TighteningError, checked_force};
use crate::friction::{Friction, FrictionRange};
use crate::interval::Interval;
use crate::saturate;

/// How torsion in the bolt is reckoned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Torsion {
    /// k = 3/2, fully plastic: VDI 2230 of 2001 and later. Compare modern tables with this one.
    Plastic,
    /// k = 2, elastic: VDI 2230:1986, JIS B 1083. The safe side.
    Elastic,
}

/// How far a torque loads a bolt over the range of a thread condition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Utilisation {
    /// Clamp load; the low end belongs to the highest friction.
    pub preload: Interval<Force>,
    /// Combined stress over yield strength; the high end belongs to the lowest friction. Above 1
    /// the bolt yields instead of carrying the load.
    pub share: Interval<f64>,
}

impl Torsion {
    fn k(self) -> f64 {
        match self {
            Self::Plastic => 1.5,
            Self::Elastic => 2.0,
        }
    }
}

impl Joint {
    /// Combined (von Mises) stress over yield strength under `preload` while the wrench still
    /// turns: σred/Rp with σred = √(σ² + 3τ²) (JIS B 1083; VDI 2230).
    ///
    /// # Errors
    /// [`TighteningError`] for a negative preload or a strength that is not positive.
    pub fn utilisation(
        self,
        preload: Force,
        mu: Friction,
        yield_mpa: f64,
        torsion: Torsion,
    ) -> Result<f64, TighteningError> {
        checked_strength(yield_mpa)?;
        let tension = checked_force(preload)?.n() / self.thread().stress_area_mm2();
        Ok((tension * self.combined(mu, torsion) / yield_mpa).min(f64::MAX))
    }

    /// Preload at which the bolt is used to the share `share` of its yield strength (0.9 in the
    /// common tables): F = ν·Rp·A0/√(1 + 3·[k·(d2/d0)·(P/(π·d2) + 1.155·μ_thread)]²).
    ///
    /// # Errors
    /// [`TighteningError`] for a share outside 0 to 1 or a strength that is not positive.
    pub fn preload_at(
        self,
        share: f64,
        mu: Friction,
        yield_mpa: f64,
        torsion: Torsion,
    ) -> Result<Force, TighteningError> {
        checked_strength(yield_mpa)?;
        if !(share > 0.0 && share <= 1.0) {
            return Err(TighteningError::Utilisation(share));
        }
        let area = self.thread().stress_area_mm2();
        Ok(saturate::force(share * yield_mpa * area / self.combined(mu, torsion)))
    }

    /// Torque at which the bolt is used to the share `share` of its yield strength. A limit, not a
    /// specification.
    ///
    /// # Errors
    /// As [`Joint::preload_at`].
    pub fn torque_at(
        self,
        share: f64,
        mu: Friction,
        yield_mpa: f64,
        torsion: Torsion,
    ) -> Result<Torque, TighteningError> {
        self.torque(self.preload_at(share, mu, yield_mpa, torsion)?, mu)
    }

    /// What `torque` does to the bolt over the range of a thread condition: whether it may be
    /// over-stressed is decided at the lowest credible friction, whether it clamps at the highest.
    ///
    /// # Errors
    /// [`TighteningError`] for a negative torque or a strength that is not positive.
    pub fn load_of(
        self,
        torque: Torque,
        range: &FrictionRange,
        yield_mpa: f64,
        torsion: Torsion,
    ) -> Result<Utilisation, TighteningError> {
        let preload = self.preload_range(torque, range)?;
        let mu = range.coefficient;
        let share = |force, mu| self.utilisation(force, Friction::known(mu), yield_mpa, torsion);
        let low = share(preload.low(), mu.high())?;
        let point = share(preload.point(), mu.point())?;
        let high = share(preload.high(), mu.low())?;
        Ok(Utilisation { preload, share: Interval::hull(low, point, high) })
    }

    /// Combined stress over tension alone.
    fn combined(self, mu: Friction, torsion: Torsion) -> f64 {
        let (d2, d0) = (self.thread().pitch_diameter().mm(), self.thread().stress_diameter().mm());
        let wedge = self.thread().pitch_mm() / (std::f64::consts::PI * d2) + 2.0 * super::FLANK * mu.thread();
        (1.0 + 3.0 * (torsion.k() * d2 / d0 * wedge).powi(2)).sqrt()
    }
}

fn checked_strength(yield_mpa: f64) -> Result<(), TighteningError> {
    if yield_mpa.is_finite() && yield_mpa > 0.0 { Ok(()) } else { Err(TighteningError::Strength(yield_mpa)) }
}
