//! The description of a live axle: what goes in.

use super::layout::{Member, in_words};
use super::row::Row;
use crate::mathematics::Vec3;

/// One of the four constraints that hold a live axle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AxleHold {
    /// A rod from a body point to an axle point, both in the car's axes at the design position.
    Rod {
        /// The end on the body.
        inner: Vec3,
        /// The end on the axle.
        outer: Vec3,
    },
    /// An axle point that stays on a plane of the body: a sideways guide, or a leaf spring's.
    Guide {
        /// The point, in the car's axes at the design position.
        point: Vec3,
        /// The plane's normal.
        normal: Vec3,
    },
}

/// A live axle by its points at the design position, in the car's axes, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct AxleSpec {
    /// Wheel centre left.
    pub left: Vec3,
    /// Wheel centre right.
    pub right: Vec3,
    /// The four constraints.
    pub holds: [AxleHold; 4],
    /// Camber of both wheels at the design position, degrees, top outward positive.
    pub camber_deg: f64,
    /// Toe of each wheel at the design position, degrees, toe-in positive.
    pub toe_deg: f64,
}

/// Why a live axle's description cannot be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BadAxle {
    /// A coordinate or angle that is not an ordinary number.
    #[error("a coordinate or angle of the axle is not an ordinary number; enter it again")]
    NotANumber,
    /// Wheel centres on the wrong sides or too near each other.
    #[error(
        "the wheel centres are at y = {left:.1} and {right:.1} mm: left must be positive, right negative, in millimetres"
    )]
    WheelCentres {
        /// y of the left centre.
        left: f64,
        /// y of the right centre.
        right: f64,
    },
    /// A rod of next to no length.
    #[error("rod {0} of the axle has both ends in one place; one of them is mistyped")]
    ZeroLength(usize),
    /// A guide without direction.
    #[error("guide {0} of the axle has no direction")]
    NoDirection(usize),
    /// The constraints leave the axle loose.
    #[error("the links do not hold the axle at the design position ({}); one repeats another or stands in line", in_words(.0))]
    NotHeld(Vec<Member>),
}

impl AxleSpec {
    /// A live axle on two leaf springs, as an approximation: each leaf's front half acts as a rod
    /// from a pivot behind the fixed eye to the axle (three-quarters of the front half in length,
    /// the three-link equivalent of SAE HS-788), the leaves hold the axle sideways, and the axle
    /// turns in side view with the rods.
    #[must_use]
    pub fn on_leaves(left: Vec3, right: Vec3, front_eye_left: Vec3, front_eye_right: Vec3) -> Self {
        let pivot = |eye: Vec3, seat: Vec3| seat + (eye - seat).times(0.75);
        let seat = |eye: Vec3, wheel: Vec3| Vec3::new(wheel.x, eye.y, wheel.z);
        let rod = |eye: Vec3, wheel: Vec3| {
            let outer = seat(eye, wheel);
            AxleHold::Rod { inner: pivot(eye, outer), outer }
        };
        let ends = [(front_eye_left, left), (front_eye_right, right)];
        let pivots = ends.map(|(eye, wheel)| pivot(eye, seat(eye, wheel)));
        let ahead = (pivots[0] + pivots[1]).times(0.5);
        let middle = (left + right).times(0.5);
        Self {
            left,
            right,
            holds: [
                rod(front_eye_left, left),
                rod(front_eye_right, right),
                AxleHold::Guide { point: middle, normal: Vec3::new(0.0, 1.0, 0.0) },
                AxleHold::Guide { point: ahead, normal: Vec3::new(0.0, 0.0, 1.0) },
            ],
            camber_deg: 0.0,
            toe_deg: 0.0,
        }
    }

    pub(crate) fn check(&self) -> Result<(), BadAxle> {
        let vectors = self.holds.iter().flat_map(|h| match *h {
            AxleHold::Rod { inner, outer } => [inner, outer],
            AxleHold::Guide { point, normal } => [point, normal],
        });
        let finite = vectors.chain([self.left, self.right]).all(Vec3::is_finite);
        if !(finite && self.camber_deg.abs() < 45.0 && self.toe_deg.abs() < 45.0) {
            return Err(BadAxle::NotANumber);
        }
        if !(self.left.y > 100.0 && self.right.y < -100.0) {
            return Err(BadAxle::WheelCentres { left: self.left.y, right: self.right.y });
        }
        for (i, hold) in self.holds.iter().enumerate() {
            match hold {
                AxleHold::Rod { inner, outer } if (*inner - *outer).norm() < 5.0 => {
                    return Err(BadAxle::ZeroLength(i + 1));
                }
                AxleHold::Guide { normal, .. } if normal.norm() < 1e-6 => {
                    return Err(BadAxle::NoDirection(i + 1));
                }
                _ => {}
            }
        }
        Ok(())
    }

    pub(crate) fn rows(&self, middle: Vec3) -> [Row; 6] {
        let up = Vec3::new(0.0, 0.0, 1.0);
        let height = |wheel: Vec3| Row::Plane { b: wheel - middle, n: up, at: wheel.z };
        let mut rows = [height(self.left); 6];
        rows[5] = height(self.right);
        for (slot, hold) in rows.iter_mut().zip(&self.holds) {
            *slot = match *hold {
                AxleHold::Rod { inner, outer } => {
                    Row::Rod { q: inner, b: outer - middle, length: (outer - inner).norm() }
                }
                AxleHold::Guide { point, normal } => {
                    let n = normal.unit();
                    Row::Plane { b: point - middle, n, at: n.dot(point) }
                }
            };
        }
        rows
    }
}
