//! Where a rigid body is and how it moves.

use super::scalar::{Dual, Scalar};
use super::vector::{Mat3, Vec3};

/// Place and attitude of a rigid body. The body's own axes are the car's axes at the design
/// position and its origin is the wheel centre (for an axle: midway between the wheel centres), so
/// the design pose has `turn` = identity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose<S = f64> {
    /// The body's origin in the car's axes, mm.
    pub origin: Vec3<S>,
    /// The rotation from the body's axes to the car's.
    pub turn: Mat3<S>,
}

/// An infinitesimal or small finite motion of a body: its origin moves by `shift` (mm) and the
/// body turns by the vector `turn` (rad) about its origin, both in the car's axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Twist<S = f64> {
    /// Motion of the body's origin.
    pub shift: Vec3<S>,
    /// Rotation vector.
    pub turn: Vec3<S>,
}

impl<S: Scalar> Twist<S> {
    /// From the six unknowns in the order of the equations.
    #[inline]
    pub(crate) fn from_array(x: [S; 6]) -> Self {
        let [a, b, c, d, e, f] = x;
        Self { shift: Vec3::new(a, b, c), turn: Vec3::new(d, e, f) }
    }

    /// No motion.
    #[must_use]
    pub fn still() -> Self {
        Self::from_array([S::zero(); 6])
    }

    /// How the point at `arm` from the body's origin moves (first order).
    #[inline]
    #[must_use]
    pub fn of_point(&self, arm: Vec3<S>) -> Vec3<S> {
        self.shift + self.turn.cross(arm)
    }

    /// The same motion `k` times as large.
    #[inline]
    #[must_use]
    pub fn times(&self, k: S) -> Self {
        Self { shift: self.shift.times(k), turn: self.turn.times(k) }
    }
}

impl<S: Scalar> Pose<S> {
    /// The body at its design position with its origin at `origin`.
    #[must_use]
    pub fn at(origin: Vec3<S>) -> Self {
        Self { origin, turn: Mat3::identity() }
    }

    /// Where the body's point `b` (body axes, from the body's origin) is in the car.
    #[inline]
    #[must_use]
    pub fn place(&self, b: Vec3<S>) -> Vec3<S> {
        self.origin + self.turn.times(b)
    }

    /// The pose after a finite motion.
    #[inline]
    #[must_use]
    pub fn moved(&self, twist: &Twist<S>) -> Self {
        Self { origin: self.origin + twist.shift, turn: Mat3::turned_by(twist.turn).after(&self.turn) }
    }

    /// The pose as a function of the amount of `twist`, at amount nought: value and rate.
    #[inline]
    #[must_use]
    pub fn along(&self, twist: &Twist<S>) -> Pose<Dual<S>> {
        let r = &self.turn;
        let column = |v: Vec3<S>| twist.turn.cross(v);
        let [a, b, c] = r.rows;
        let (x, y, z) = (
            column(Vec3::new(a.x, b.x, c.x)),
            column(Vec3::new(a.y, b.y, c.y)),
            column(Vec3::new(a.z, b.z, c.z)),
        );
        Pose {
            origin: Vec3::with_rate(self.origin, twist.shift),
            turn: Mat3 {
                rows: [
                    Vec3::with_rate(a, Vec3::new(x.x, y.x, z.x)),
                    Vec3::with_rate(b, Vec3::new(x.y, y.y, z.y)),
                    Vec3::with_rate(c, Vec3::new(x.z, y.z, z.z)),
                ],
            },
        }
    }

    /// Each number through `f`.
    #[inline]
    pub fn map<T>(self, f: impl Fn(S) -> T + Copy) -> Pose<T> {
        Pose { origin: self.origin.map(f), turn: self.turn.map(f) }
    }
}

impl Pose {
    /// Whether every number in it is ordinary.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        self.origin.is_finite() && self.turn.rows.iter().all(|row| row.is_finite())
    }

    /// The angle in degrees by which this pose is turned from another.
    #[must_use]
    pub fn turned_from_deg(&self, other: &Self) -> f64 {
        self.turn.cos_from(&other.turn).clamp(-1.0, 1.0).acos().to_degrees()
    }
}
