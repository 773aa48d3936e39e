//! Camber of a wheel as it is steered.

use crate::conventions::Side;
use crate::estimation::Formula;
use crate::mathematics::Scalar;

/// Inclination of the steering axis that is assumed, degrees; it counts only where the two headings
/// of a sweep differ in size (`judgement`).
pub(crate) const INCLINATION: f64 = 12.0;

/// Its standard uncertainty, degrees (`judgement`).
pub(crate) const INCLINATION_U: f64 = 4.0;

/// Camber at one heading less camber at another as a function of caster, degrees. The spin axis n runs on a cone about the steering axis k, so that k·n stays what it is
/// straight ahead: a·cos γ − sin γ = k·n₀ with a = k_x sin t + s·k_y cos t, solved for γ. For small
/// angles it is (sin S_left + sin S_right)·caster.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CamberChange {
    /// The wheel's side.
    pub(crate) side: Side,
    /// Heading at the first reading, degrees, to the left positive.
    pub(crate) first: f64,
    /// Heading at the second.
    pub(crate) second: f64,
    /// Camber straight ahead, degrees; half a degree off changes nothing that counts.
    pub(crate) straight: f64,
}

impl CamberChange {
    fn camber<S: Scalar>(self, heading: f64, caster: S) -> S {
        let s = self.side.sign();
        let (sin, cos) = caster.sin_cos();
        let lean = INCLINATION.to_radians().tan();
        let (kx, ky) = (-(sin / cos), -s * lean);
        let (sin0, cos0) = self.straight.to_radians().sin_cos();
        let along = S::constant(s * ky * cos0 - sin0);
        let t = -s * heading.to_radians();
        let a = kx.scaled(t.sin()) + S::constant(s * ky * t.cos());
        let size = (a.squared() + S::one()).sqrt();
        let x = along / size;
        (S::one() - x.squared()).sqrt().atan2(x) - S::one().atan2(a)
    }
}

impl Formula for CamberChange {
    fn at<S: Scalar>(&self, inputs: &[S]) -> S {
        let caster = inputs[0].in_radians();
        (self.camber(self.first, caster) - self.camber(self.second, caster)).in_degrees()
    }
}

#[cfg(test)]
mod tests {
    use super::{CamberChange, INCLINATION};
    use crate::conventions::{Side, camber, spin_axis, toe};
    use crate::estimation::Formula;
    use crate::mathematics::Vec3;

    /// Camber after turning the spin axis about the steering axis, step by step (Rodrigues).
    fn turned(side: Side, heading: f64, straight: f64, caster: f64) -> f64 {
        let lean = INCLINATION.to_radians().tan();
        let k = Vec3::new(-caster.to_radians().tan(), -side.sign() * lean, 1.0).unit();
        let n0: Vec3<f64> = spin_axis(straight.to_radians(), 0.0, side);
        let at = |angle: f64| {
            let (sin, cos) = angle.sin_cos();
            n0.times(cos) + k.cross(n0).times(sin) + k.times(k.dot(n0) * (1.0 - cos))
        };
        let wanted = -side.sign() * heading.to_radians();
        let (mut low, mut high) = (-1.2, 1.2);
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            let past = (toe(at(middle), side) - wanted) * -side.sign() > 0.0;
            if past { high = middle } else { low = middle }
        }
        camber(at(low)).to_degrees()
    }

    #[test]
    fn agrees_with_turning_the_wheel_about_its_axis() {
        for side in [Side::Left, Side::Right] {
            for (straight, caster) in [(-0.6, 4.0), (1.2, 8.0), (-2.0, -1.5)] {
                for (first, second) in [(20.0, -20.0), (18.5, -21.0)] {
                    let wanted =
                        turned(side, first, straight, caster) - turned(side, second, straight, caster);
                    let found = CamberChange { side, first, second, straight }.at(&[caster]);
                    assert!((found - wanted).abs() < 1e-9, "{side} {found} {wanted}");
                }
            }
        }
    }
}
