//! The unknowns of an alignment and what is known of them beforehand.

use super::car::{CarSize, Wheel};
use crate::conventions::Side;
use crate::estimation::Unknown;

/// Where each unknown stands in the list.
pub(crate) const COUNT: usize = 31;

/// Priors: standard deviations, all `judgement`; wide where the car is concerned, what a garage
/// shows where its gauges and floor are.
pub(crate) mod width {
    /// Toe of a wheel about 0, degrees.
    pub(crate) const TOE: f64 = 3.0;
    /// Camber about 0, degrees.
    pub(crate) const CAMBER: f64 = 5.0;
    /// Caster about 4, degrees.
    pub(crate) const CASTER: f64 = 6.0;
    /// Hub about half the nominal track, mm.
    pub(crate) const HUB: f64 = 20.0;
    /// Run-out at the rim's edge, each part, mm.
    pub(crate) const RUN_OUT: f64 = 0.3;
    /// String about where it seems to be, mm.
    pub(crate) const STRING: f64 = 50.0;
    /// Direction of a string about straight ahead, degrees.
    pub(crate) const YAW: f64 = 1.0;
    /// Floor under a wheel, mm.
    pub(crate) const FLOOR: f64 = 4.0;
    /// Zero of the camber gauge, degrees.
    pub(crate) const GAUGE: f64 = 0.1;
    /// Wheelbase about its nominal value, mm.
    pub(crate) const WHEELBASE: f64 = 20.0;
    /// Left wheel ahead of the right one, mm.
    pub(crate) const SKEW: f64 = 15.0;
}

/// Caster that is assumed where none was read, degrees (`judgement`).
pub(crate) const CASTER_MEAN: f64 = 4.0;

pub(crate) fn toe(wheel: Wheel) -> usize {
    2 * wheel.place()
}

pub(crate) fn camber(wheel: Wheel) -> usize {
    2 * wheel.place() + 1
}

pub(crate) fn hub(wheel: Wheel) -> usize {
    8 + wheel.place()
}

/// Run-out of the rim along the car: how far its front edge stands out, mm.
pub(crate) fn run_out(wheel: Wheel) -> usize {
    12 + 2 * wheel.place()
}

/// Run-out of the rim upward: how far its top stands out, mm.
pub(crate) fn run_out_up(wheel: Wheel) -> usize {
    13 + 2 * wheel.place()
}

pub(crate) fn string(side: Side) -> usize {
    20 + 2 * usize::from(side == Side::Right)
}

pub(crate) fn yaw(side: Side) -> usize {
    21 + 2 * usize::from(side == Side::Right)
}

pub(crate) fn floor(wheel: Wheel) -> usize {
    24 + wheel.place()
}

pub(crate) const GAUGE_ZERO: usize = 28;

pub(crate) fn caster(side: Side) -> usize {
    29 + usize::from(side == Side::Right)
}

/// Present only where wheelbases or diagonals were read.
pub(crate) const WHEELBASE: usize = 31;

/// How far the left wheel of an axle is ahead of the right one; present with [`WHEELBASE`].
pub(crate) fn skew(axle: super::Axle) -> usize {
    32 + usize::from(axle == super::Axle::Rear)
}

/// Whether the unknown is an angle of the car itself, so that leaning on its prior means not to
/// know it.
pub(crate) fn is_of_the_car(place: usize) -> bool {
    place < 8 || place == caster(Side::Left) || place == caster(Side::Right) || place > WHEELBASE
}

/// The unknowns with their priors. `stand_off`: how far each string seems to stand outside the
/// hubs, mm, left and right.
pub(crate) fn list(size: &CarSize, stand_off: [f64; 2], lengthwise: bool) -> Vec<Unknown> {
    let mut out = Vec::with_capacity(COUNT + 3);
    for wheel in Wheel::ALL {
        out.push(Unknown::with_prior(format!("toe {wheel}"), 0.0, width::TOE));
        out.push(Unknown::with_prior(format!("camber {wheel}"), 0.0, width::CAMBER));
    }
    for wheel in Wheel::ALL {
        let mean = wheel.side.sign() * size.track(wheel.axle) / 2.0;
        out.push(Unknown::with_prior(format!("hub {wheel}"), mean, width::HUB));
    }
    for wheel in Wheel::ALL {
        out.push(Unknown::with_prior(format!("run-out {wheel}, front"), 0.0, width::RUN_OUT));
        out.push(Unknown::with_prior(format!("run-out {wheel}, top"), 0.0, width::RUN_OUT));
    }
    for (side, off) in [Side::Left, Side::Right].into_iter().zip(stand_off) {
        let mean = side.sign() * (size.front_track / 2.0 + off);
        out.push(Unknown::with_prior(format!("string {side}"), mean, width::STRING));
        out.push(Unknown::with_prior(format!("direction of string {side}"), 0.0, width::YAW));
    }
    for wheel in Wheel::ALL {
        out.push(Unknown::with_prior(format!("floor {wheel}"), 0.0, width::FLOOR));
    }
    out.push(Unknown::with_prior("zero of the camber gauge", 0.0, width::GAUGE));
    for side in [Side::Left, Side::Right] {
        out.push(Unknown::with_prior(format!("caster {side}"), CASTER_MEAN, width::CASTER));
    }
    if lengthwise {
        out.push(Unknown::with_prior("wheelbase", size.wheelbase, width::WHEELBASE));
        for axle in ["front", "rear"] {
            out.push(Unknown::with_prior(format!("{axle} axle askew"), 0.0, width::SKEW));
        }
    }
    out
}
