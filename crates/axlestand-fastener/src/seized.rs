//! Seized fasteners: what breaks first, how hard to pull, and what to try in which order.

mod drive;
mod ladder;
mod torsion;

pub use drive::{
    Drive, DriveError, Limit, LimitKind, Trust, WrenchEnd, drive_limit, pull_on_bar, weakest, wrench_proof,
};
pub(crate) use drive::{PROOF_TEXT, read_proof};
pub use ladder::{Caution, Near, Rung, Situation, SkipReason, Use, ladder};
pub(crate) use ladder::{TEXT as LADDER_TEXT, read as read_rung};
pub(crate) use torsion::{
    ALLOWANCES_TEXT, RATIO_TEXT, TOLERANCES_TEXT, read_allowance, read_ratio, read_tolerance,
};
pub use torsion::{
    Basis, BreakingTorque, RootState, SeizedError, breaking_torque, least_root_diameter,
    remaining_tensile_load, safe_loosening_torque, torsion_of_root, twist_share,
};

use axlestand_quantity::Length;

use crate::saturate;

/// Growth of a bore in steel by heating: ΔD = α·D·ΔT with α = 11.7·10⁻⁶/K. A 12 mm nut 200 K warmer
/// than its bolt opens by 0.028 mm.
#[must_use]
pub fn bore_growth(diameter: Length, warmer_by_kelvin: f64) -> Length {
    saturate::length(11.7e-6 * diameter.mm() * warmer_by_kelvin)
}
