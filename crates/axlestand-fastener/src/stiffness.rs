//! How stiff a joint is, and so what an angle does to its clamp load.
//!
//! Shigley, 9th edition, chapter 8: bolt and member stiffness from 30° pressure cones. MIL-HDBK-60,
//! 6.2.4: stretch = turn/360·lead. The figures hold for solid steel joints that are already snug;
//! bushes, settling faces and tapers are far softer, so an angle is a warning and torque the limit.

use axlestand_quantity::{Angle, Force, Length};

use crate::saturate;
use crate::thread::Thread;

/// Young's modulus of steel in MPa (Shigley, Table A-5: 207 GPa).
pub const STEEL_MPA: f64 = 207_000.0;
/// tan 30°, as it stands in Shigley's equations.
const TAN_30: f64 = 0.577_350_269_189_625_8;

/// Why a stiffness was refused.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum StiffnessError {
    /// A length, area, modulus or stiffness that must be positive and finite is not.
    #[error("{what} must be a positive number; {value} is not")]
    NotPositive {
        /// What was wrong.
        what: &'static str,
        /// What was given.
        value: f64,
    },
    /// A cone no wider than the hole.
    #[error("the bearing face ({face:.2}) must be wider than the bolt ({bolt:.2})")]
    FaceTooSmall {
        /// Width of the face.
        face: Length,
        /// Diameter of the bolt.
        bolt: Length,
    },
}

/// Stiffness in newtons per millimetre, positive and finite. 1 MN/m is 1000 N/mm.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Stiffness(f64);

impl Stiffness {
    /// From newtons per millimetre.
    ///
    /// # Errors
    /// [`StiffnessError::NotPositive`].
    pub fn from_n_per_mm(value: f64) -> Result<Self, StiffnessError> {
        positive("a stiffness", value).map(Self)
    }

    /// Newtons per millimetre.
    #[must_use]
    pub fn n_per_mm(self) -> f64 {
        self.0
    }

    /// Two springs in a row: 1/k = 1/k1 + 1/k2.
    #[must_use]
    pub fn in_series(self, other: Self) -> Self {
        // Divided by the larger one first, so that huge values do not overflow.
        let (small, large) = if self.0 < other.0 { (self.0, other.0) } else { (other.0, self.0) };
        Self((small / (small / large + 1.0)).max(f64::MIN_POSITIVE))
    }
}

/// Bolt with a plain part `plain` of area `plain_area_mm2` and a threaded part `threaded` within the
/// grip: k = Ad·At·E/(Ad·lt + At·ld) (Shigley, 9th edition, equation 8-17).
///
/// # Errors
/// [`StiffnessError::NotPositive`].
pub fn bolt(
    plain_area_mm2: f64,
    stress_area_mm2: f64,
    plain: Length,
    threaded: Length,
    youngs_mpa: f64,
) -> Result<Stiffness, StiffnessError> {
    let ad = positive("the area of the plain shank", plain_area_mm2)?;
    let at = positive("the stress area", stress_area_mm2)?;
    let e = positive("Young's modulus", youngs_mpa)?;
    if plain.mm() < 0.0 || threaded.mm() < 0.0 {
        let value = plain.mm().min(threaded.mm());
        return Err(StiffnessError::NotPositive { what: "a length within the grip", value });
    }
    positive("the grip", plain.mm() + threaded.mm())?;
    Stiffness::from_n_per_mm(ad * at * e / (ad * threaded.mm() + at * plain.mm()))
}

/// One pressure cone of 30° through a layer: k = 0.5774·π·E·d/ln[(1.155·t + D − d)(D + d)/
/// ((1.155·t + D + d)(D − d))] (Shigley, 9th edition, equation 8-20).
///
/// # Errors
/// [`StiffnessError`] for sizes that are not positive or a face no wider than the bolt.
pub fn cone(
    thickness: Length,
    bolt_diameter: Length,
    face: Length,
    youngs_mpa: f64,
) -> Result<Stiffness, StiffnessError> {
    let t = positive("the thickness of the layer", thickness.mm())?;
    let d = positive("the bolt's diameter", bolt_diameter.mm())?;
    let e = positive("Young's modulus", youngs_mpa)?;
    if face <= bolt_diameter {
        return Err(StiffnessError::FaceTooSmall { face, bolt: bolt_diameter });
    }
    let wide = face.mm();
    let reach = 2.0 * TAN_30 * t;
    let ratio = (reach + wide - d) * (wide + d) / ((reach + wide + d) * (wide - d));
    Stiffness::from_n_per_mm(TAN_30 * std::f64::consts::PI * e * d / ratio.ln())
}

/// Members of one material clamped by a face of 1.5·d: k = 0.5774·π·E·d/(2·ln[5·(0.5774·l + 0.5·d)/
/// (0.5774·l + 2.5·d)]) (Shigley, 9th edition, equation 8-22).
///
/// # Errors
/// [`StiffnessError::NotPositive`].
pub fn members(grip: Length, bolt_diameter: Length, youngs_mpa: f64) -> Result<Stiffness, StiffnessError> {
    let l = positive("the grip", grip.mm())?;
    let d = positive("the bolt's diameter", bolt_diameter.mm())?;
    let e = positive("Young's modulus", youngs_mpa)?;
    let ratio = 5.0 * (TAN_30 * l + 0.5 * d) / (TAN_30 * l + 2.5 * d);
    Stiffness::from_n_per_mm(TAN_30 * std::f64::consts::PI * e * d / (2.0 * ratio.ln()))
}

/// A solid steel joint with thread all through the grip: the stiffest case, as an upper bound.
///
/// # Errors
/// [`StiffnessError::NotPositive`].
pub fn solid_steel(thread: Thread, grip: Length, youngs_mpa: f64) -> Result<Stiffness, StiffnessError> {
    let area = thread.stress_area_mm2();
    let shank = bolt(area, area, Length::ZERO, grip, youngs_mpa)?;
    Ok(shank.in_series(members(grip, thread.diameter(), youngs_mpa)?))
}

/// Share C = kb/(kb + km) of an outer load that reaches the bolt (Shigley, 9th edition, (f) in 8-7).
#[must_use]
pub fn bolt_share(bolt: Stiffness, members: Stiffness) -> f64 {
    1.0 / (1.0 + members.0 / bolt.0)
}

/// Preload that one degree adds to a joint of stiffness `joint` (bolt and members in series):
/// ΔF = P/360·k.
#[must_use]
pub fn preload_per_degree(thread: Thread, joint: Stiffness) -> Force {
    saturate::force(thread.pitch_mm() / 360.0 * joint.0)
}

/// Preload that the turn `turn` adds; negative for a turn back.
#[must_use]
pub fn preload_of_turn(thread: Thread, joint: Stiffness, turn: Angle) -> Force {
    saturate::force(preload_per_degree(thread, joint).n() * turn.deg())
}

/// By how many kelvins a bolt must be hotter than its joint to be tightened by cooling to
/// `stress_mpa`: σ/(E·α) (MIL-HDBK-60, 6.3.2), α in 1/K.
///
/// # Errors
/// [`StiffnessError::NotPositive`].
pub fn heating_for_stress(stress_mpa: f64, youngs_mpa: f64, alpha: f64) -> Result<f64, StiffnessError> {
    let stress = positive("a stress", stress_mpa)?;
    let e = positive("Young's modulus", youngs_mpa)?;
    positive("a temperature rise", stress / e / positive("a coefficient of expansion", alpha)?)
}

fn positive(what: &'static str, value: f64) -> Result<f64, StiffnessError> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(StiffnessError::NotPositive { what, value })
    }
}
