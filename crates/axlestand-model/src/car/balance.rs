//! What weighs on which axle as the car brakes and drives.

use crate::provenance::Provenance;
use axlestand_quantity::Length;

/// The car's balance.
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// Height of the centre of gravity above the floor, the car standing as the points were taken.
    pub cg_height: Option<Length>,
    /// Share of the brake force that the front axle gives, 0 to 1.
    pub brake_share_front: Option<f64>,
    /// Share of the drive that the front axle gives, 0 to 1, where all wheels are driven.
    pub drive_share_front: Option<f64>,
    /// Where this comes from.
    pub provenance: Provenance,
}
