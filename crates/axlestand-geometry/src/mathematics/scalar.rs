//! The scalars the formulas are written for: plain numbers and dual numbers.

use std::fmt::Debug;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// What a geometric formula needs of a number. Every formula of this crate is written once for
/// any scalar; put in [`Dual`] numbers and the exact derivative comes out beside the value.
pub trait Scalar:
    Copy
    + Debug
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
{
    /// A number that does not depend on anything.
    fn constant(x: f64) -> Self;
    /// The plain value, without derivatives.
    fn value(self) -> f64;
    /// The product with a plain number.
    #[must_use]
    fn scaled(self, k: f64) -> Self;
    /// The square root; its derivative at nought is taken as nought.
    #[must_use]
    fn sqrt(self) -> Self;
    /// Sine and cosine of an angle in radians.
    #[must_use]
    fn sin_cos(self) -> (Self, Self);
    /// The angle in radians of the point (`x`, `self`), within ±π.
    #[must_use]
    fn atan2(self, x: Self) -> Self;

    /// Nought.
    #[must_use]
    fn zero() -> Self {
        Self::constant(0.0)
    }
    /// One.
    #[must_use]
    fn one() -> Self {
        Self::constant(1.0)
    }
    /// The square.
    #[must_use]
    fn squared(self) -> Self {
        self * self
    }
    /// Radians as degrees.
    #[must_use]
    fn in_degrees(self) -> Self {
        self.scaled(180.0 / std::f64::consts::PI)
    }
    /// Degrees as radians.
    #[must_use]
    fn in_radians(self) -> Self {
        self.scaled(std::f64::consts::PI / 180.0)
    }
}

impl Scalar for f64 {
    fn constant(x: f64) -> Self {
        x
    }
    fn value(self) -> f64 {
        self
    }
    fn scaled(self, k: f64) -> Self {
        self * k
    }
    fn sqrt(self) -> Self {
        f64::sqrt(self)
    }
    fn sin_cos(self) -> (Self, Self) {
        f64::sin_cos(self)
    }
    fn atan2(self, x: Self) -> Self {
        f64::atan2(self, x)
    }
}

/// A value with its derivative along one direction (forward-mode differentiation, exact to
/// rounding). Nests: `Dual<Dual<f64>>` carries a mixed second derivative.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dual<S> {
    /// The value.
    pub value: S,
    /// The derivative of the value along the direction in question.
    pub rate: S,
}

impl<S: Scalar> Dual<S> {
    /// A value that does not change along the direction.
    #[must_use]
    pub fn fixed(value: S) -> Self {
        Self { value, rate: S::zero() }
    }
}

impl<S: Scalar> Add for Dual<S> {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self { value: self.value + o.value, rate: self.rate + o.rate }
    }
}

impl<S: Scalar> Sub for Dual<S> {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self { value: self.value - o.value, rate: self.rate - o.rate }
    }
}

impl<S: Scalar> Mul for Dual<S> {
    type Output = Self;
    fn mul(self, o: Self) -> Self {
        Self { value: self.value * o.value, rate: self.rate * o.value + self.value * o.rate }
    }
}

impl<S: Scalar> Div for Dual<S> {
    type Output = Self;
    fn div(self, o: Self) -> Self {
        let value = self.value / o.value;
        Self { value, rate: (self.rate - value * o.rate) / o.value }
    }
}

impl<S: Scalar> Neg for Dual<S> {
    type Output = Self;
    fn neg(self) -> Self {
        Self { value: -self.value, rate: -self.rate }
    }
}

impl<S: Scalar> Scalar for Dual<S> {
    fn constant(x: f64) -> Self {
        Self::fixed(S::constant(x))
    }
    fn value(self) -> f64 {
        self.value.value()
    }
    fn scaled(self, k: f64) -> Self {
        Self { value: self.value.scaled(k), rate: self.rate.scaled(k) }
    }
    fn sqrt(self) -> Self {
        let value = self.value.sqrt();
        let rate = if value.value() == 0.0 { S::zero() } else { self.rate / value.scaled(2.0) };
        Self { value, rate }
    }
    fn sin_cos(self) -> (Self, Self) {
        let (sin, cos) = self.value.sin_cos();
        (Self { value: sin, rate: self.rate * cos }, Self { value: cos, rate: -(self.rate * sin) })
    }
    fn atan2(self, x: Self) -> Self {
        let square = self.value.squared() + x.value.squared();
        Self { value: self.value.atan2(x.value), rate: (self.rate * x.value - self.value * x.rate) / square }
    }
}
