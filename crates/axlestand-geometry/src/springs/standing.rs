//! How the car stands on its springs.

use super::car::{CarSprings, HeightError, Load, Place};
use super::coil::{Compression, Seating};
use super::ride::{frequency_hz, ride_rate};
use axlestand_quantity::STANDARD_GRAVITY;

/// One corner as it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CornerStanding {
    /// Which.
    pub place: Place,
    /// Travel from the position at which the hardpoints were taken, mm, bump positive. Hub to arch
    /// is as much lower.
    pub travel: f64,
    /// Load on the tyre, N.
    pub tyre_load: f64,
    /// The spring, with its force and stored energy.
    pub spring: Compression,
    /// Motion ratio of the spring here.
    pub motion_ratio: f64,
    /// Wheel rate, N/mm, gradient of the motion ratio included.
    pub wheel_rate: f64,
    /// Ride frequency, Hz, of the load carried here on wheel and tyre in series.
    pub frequency_hz: Option<f64>,
    /// Travel left to the bump stop, mm.
    pub bump_left: Option<f64>,
    /// Travel left to full droop, mm.
    pub droop_left: Option<f64>,
    /// How the spring sits at full droop.
    pub at_droop: Option<Seating>,
    /// The spring at full droop: its preload and stored energy there.
    pub droop_spring: Option<Compression>,
    /// The spring with the bump stop touched: how near the coils come to binding.
    pub bump_spring: Option<Compression>,
}

impl CornerStanding {
    /// Whether the coils touch before the bump stop is reached.
    #[must_use]
    pub fn binds(&self) -> bool {
        let short = |c: Compression| c.to_bind.is_some_and(|left| left <= 0.0);
        short(self.spring) || self.bump_spring.is_some_and(short)
    }
}

/// The car as it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// The corners, in the order of [`Place`].
    pub corners: [CornerStanding; 4],
    /// Share of the weight on front right and rear left.
    pub cross_weight: f64,
}

impl CarSprings {
    /// Where the car comes to rest under a load: all four corners together, bars and tyres
    /// included, on level ground.
    ///
    /// # Errors
    /// [`HeightError`] for figures that cannot be or a load the springs do not carry.
    pub fn standing(&self, load: &Load) -> Result<Standing, HeightError> {
        self.check()?;
        let travels = self.balance(load)?;
        let corners = [0, 1, 2, 3].map(|i| self.corner_standing(i, &travels));
        let total: f64 = corners.iter().map(|c| c.tyre_load).sum();
        Ok(Standing { corners, cross_weight: (corners[1].tyre_load + corners[2].tyre_load) / total })
    }

    fn corner_standing(&self, i: usize, travels: &[f64; 4]) -> CornerStanding {
        let corner = &self.corners[i];
        let travel = travels[i];
        let across = travels[i ^ 1];
        let (length, motion_ratio, _) = corner.linkage.at(travel);
        let (force, wheel_rate) = Self::wheel_force(corner, travel);
        let carried = force + self.bars[i / 2] * (travel - across);
        let spring_at = |travel: f64| corner.coil.at(corner.linkage.at(travel).0 - corner.collar);
        let droop_spring = corner.droop.map(spring_at);
        CornerStanding {
            place: Place::ALL[i],
            travel,
            tyre_load: carried + corner.unsprung,
            spring: corner.coil.at(length - corner.collar),
            motion_ratio,
            wheel_rate,
            frequency_hz: ride_rate(wheel_rate, corner.tyre_rate)
                .and_then(|rate| frequency_hz(rate, carried / STANDARD_GRAVITY)),
            bump_left: corner.bump_stop.map(|(at, _)| at - travel),
            droop_left: corner.droop.map(|at| travel - at),
            at_droop: droop_spring.map(|s| corner.coil.seating(s.length)),
            droop_spring,
            bump_spring: corner.bump_stop.map(|(at, _)| spring_at(at)),
        }
    }
}
