//! Vectors in space and rotation matrices.

use super::scalar::{Dual, Scalar};
use std::ops::{Add, Neg, Sub};

/// A vector or point in millimetres (or a direction without unit), in the axes of
/// [`conventions`](crate::conventions).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Vec3<S = f64> {
    /// Forward.
    pub x: S,
    /// To the left.
    pub y: S,
    /// Upward.
    pub z: S,
}

impl<S: Scalar> Vec3<S> {
    /// From forward, left and up.
    #[inline]
    #[must_use]
    pub const fn new(x: S, y: S, z: S) -> Self {
        Self { x, y, z }
    }

    /// A vector that depends on nothing.
    #[inline]
    #[must_use]
    pub fn constant(v: Vec3) -> Self {
        Self::new(S::constant(v.x), S::constant(v.y), S::constant(v.z))
    }

    /// The plain values.
    #[must_use]
    pub fn values(self) -> Vec3 {
        Vec3::new(self.x.value(), self.y.value(), self.z.value())
    }

    /// The scalar product.
    #[inline]
    #[must_use]
    pub fn dot(self, o: Self) -> S {
        self.x * o.x + self.y * o.y + self.z * o.z
    }

    /// The vector product.
    #[inline]
    #[must_use]
    pub fn cross(self, o: Self) -> Self {
        Self::new(self.y * o.z - self.z * o.y, self.z * o.x - self.x * o.z, self.x * o.y - self.y * o.x)
    }

    /// Every component times `k`.
    #[inline]
    #[must_use]
    pub fn times(self, k: S) -> Self {
        Self::new(self.x * k, self.y * k, self.z * k)
    }

    /// The length.
    #[inline]
    #[must_use]
    pub fn norm(self) -> S {
        self.dot(self).sqrt()
    }

    /// The direction with length one. A vector of length nought gives undefined components, so
    /// callers check lengths first.
    #[inline]
    #[must_use]
    pub fn unit(self) -> Self {
        self.times(S::one() / self.norm())
    }

    /// The part at right angles to the unit vector `axis`.
    #[inline]
    #[must_use]
    pub fn across(self, axis: Self) -> Self {
        self - axis.times(self.dot(axis))
    }

    /// Mirrored in the plane y = 0, as the right-hand point is to the left-hand one.
    #[must_use]
    pub fn mirrored(self) -> Self {
        Self::new(self.x, -self.y, self.z)
    }

    /// The angle to another vector in radians, 0 to π.
    #[must_use]
    pub fn angle_to(self, o: Self) -> S {
        self.cross(o).norm().atan2(self.dot(o))
    }

    /// Each component through `f`.
    #[inline]
    pub fn map<T>(self, f: impl Fn(S) -> T) -> Vec3<T> {
        Vec3 { x: f(self.x), y: f(self.y), z: f(self.z) }
    }
}

impl Vec3 {
    /// Whether every component is an ordinary number.
    #[must_use]
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite() && self.z.is_finite()
    }
}

impl<S: Scalar> Vec3<Dual<S>> {
    /// A vector with its rate of change.
    #[inline]
    #[must_use]
    pub fn with_rate(value: Vec3<S>, rate: Vec3<S>) -> Self {
        let dual = |value, rate| Dual { value, rate };
        Self::new(dual(value.x, rate.x), dual(value.y, rate.y), dual(value.z, rate.z))
    }
}

impl<S: Scalar> Add for Vec3<S> {
    type Output = Self;
    #[inline]
    fn add(self, o: Self) -> Self {
        Self::new(self.x + o.x, self.y + o.y, self.z + o.z)
    }
}

impl<S: Scalar> Sub for Vec3<S> {
    type Output = Self;
    #[inline]
    fn sub(self, o: Self) -> Self {
        Self::new(self.x - o.x, self.y - o.y, self.z - o.z)
    }
}

impl<S: Scalar> Neg for Vec3<S> {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        Self::new(-self.x, -self.y, -self.z)
    }
}

/// A three-by-three matrix by its rows; here always a rotation or the rate of one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mat3<S = f64> {
    /// The rows, top first.
    pub rows: [Vec3<S>; 3],
}

impl<S: Scalar> Mat3<S> {
    /// The rotation by nought.
    #[must_use]
    pub fn identity() -> Self {
        let (o, i) = (S::zero(), S::one());
        Self { rows: [Vec3::new(i, o, o), Vec3::new(o, i, o), Vec3::new(o, o, i)] }
    }

    /// The rotation by the vector `w` (direction of the axis, length in radians), Rodrigues'
    /// formula; up to a tenth of a radian by its series, which is exact to rounding there.
    #[inline]
    #[must_use]
    pub fn turned_by(w: Vec3<S>) -> Self {
        let square = w.dot(w);
        let (a, b) = if square.value() < 1e-2 {
            let series = |c: [f64; 5]| {
                let mut sum = S::constant(c[4]);
                for k in c.iter().rev().skip(1) {
                    sum = sum * square + S::constant(*k);
                }
                sum
            };
            (
                series([1.0, -1.0 / 6.0, 1.0 / 120.0, -1.0 / 5040.0, 1.0 / 362_880.0]),
                series([0.5, -1.0 / 24.0, 1.0 / 720.0, -1.0 / 40_320.0, 1.0 / 3_628_800.0]),
            )
        } else {
            let angle = square.sqrt();
            let (sin, cos) = angle.sin_cos();
            (sin / angle, (S::one() - cos) / square)
        };
        let (x, y, z) = (w.x, w.y, w.z);
        let (bxy, bxz, byz) = (b * x * y, b * x * z, b * y * z);
        let (xx, yy, zz) = (x * x, y * y, z * z);
        Self {
            rows: [
                Vec3::new(S::one() - b * (yy + zz), bxy - a * z, bxz + a * y),
                Vec3::new(bxy + a * z, S::one() - b * (xx + zz), byz - a * x),
                Vec3::new(bxz - a * y, byz + a * x, S::one() - b * (xx + yy)),
            ],
        }
    }

    /// The matrix times a column.
    #[inline]
    #[must_use]
    pub fn times(&self, v: Vec3<S>) -> Vec3<S> {
        let [a, b, c] = &self.rows;
        Vec3::new(a.dot(v), b.dot(v), c.dot(v))
    }

    /// The transposed matrix times a column: for a rotation, back into the body.
    #[inline]
    #[must_use]
    pub fn back(&self, v: Vec3<S>) -> Vec3<S> {
        let [a, b, c] = &self.rows;
        a.times(v.x) + b.times(v.y) + c.times(v.z)
    }

    /// This matrix times another.
    #[inline]
    #[must_use]
    pub fn after(&self, o: &Self) -> Self {
        Self { rows: self.rows.map(|row| o.back(row)) }
    }

    /// Each entry through `f`.
    #[inline]
    pub fn map<T>(self, f: impl Fn(S) -> T + Copy) -> Mat3<T> {
        Mat3 { rows: self.rows.map(|row| row.map(f)) }
    }
}

impl Mat3 {
    /// Brought back to an exact rotation after rounding: one Newton step of the polar
    /// decomposition, R ← R (3 − RᵀR) / 2.
    #[inline]
    #[must_use]
    pub fn tidied(&self) -> Self {
        let [a, b, c] = self.rows;
        let (aa, bb, cc) = (a.dot(a), b.dot(b), c.dot(c));
        let (ab, ac, bc) = (a.dot(b), a.dot(c), b.dot(c));
        let row = |r: Vec3, k: f64, p: Vec3, kp: f64, q: Vec3, kq: f64| {
            r.times((3.0 - k) / 2.0) - p.times(kp / 2.0) - q.times(kq / 2.0)
        };
        Self { rows: [row(a, aa, b, ab, c, ac), row(b, bb, a, ab, c, bc), row(c, cc, a, ac, b, bc)] }
    }

    /// Cosine of the angle of the rotation from `other` to this one.
    #[inline]
    #[must_use]
    pub fn cos_from(&self, other: &Self) -> f64 {
        let [a, b, c] = &self.rows;
        let [d, e, f] = &other.rows;
        (a.dot(*d) + b.dot(*e) + c.dot(*f) - 1.0) / 2.0
    }
}
