//! Axes and signs: the one place where they are defined.
//!
//! Axes after ISO 8855: x forward, y to the left (as the driver sees it), z up, right-handed,
//! fixed to the body. The origin is the car's own choice; z = 0 need not be the floor. Lengths in
//! millimetres, angles in degrees where a number leaves this crate.
//!
//! ```text
//!  from behind, left wheel            from above, left wheel        from the left side
//!
//!        z                                  x (forward)                       z
//!   camber > 0   |                    toe > 0  (front edge inboard)           |   caster > 0
//!   top outboard |                            \  |                            |     / top rearward
//!        \   /inclination > 0 (top inboard)    \ |                  x <-------+    /
//!         \ /    |                              \|                    forward     / steering axis
//!    y <---W-----+ centreline           y <------W                               /
//!         / \    |                               |\                    G--------C        ground
//!        C-->G   |                               | \                   trail > 0: G ahead of C
//!        scrub > 0: G inboard of C              heading > 0 = steered to the left
//!
//!   W wheel centre   C contact point (lowest point of the wheel)   G steering axis at the ground
//! ```
//!
//! | angle or length | sign | formula (n: unit spin axis pointing outboard; k: steering axis, upward; s: +1 left, −1 right) |
//! | --- | --- | --- |
//! | camber | + top outboard | −asin n_z, the angle between wheel plane and vertical |
//! | toe of a wheel | + front edge inboard (toe-in) | atan2(n_x, s·n_y) |
//! | heading of a wheel | + to the left | −s·toe |
//! | caster | + top rearward, in side view | atan2(−k_x, k_z) |
//! | steering-axis inclination | + top inboard, in front view | atan2(−s·k_y, k_z) |
//! | scrub radius | + G inboard of C | s·(C − G)_y |
//! | caster trail | + G ahead of C | (G − C)_x |
//! | travel | + wheel up relative to the body (bump) | z of the wheel centre less its design value |
//! | rack travel | + rack to the left | |
//! | roll-centre height | + above the contact point | \|y_C\|·d(half track)/dz_C |
//! | motion ratio | −d(spring length)/d(travel), about 0.5 to 1 | others use its inverse |
//! | thrust angle | + to the left | (toe right rear − toe left rear)/2 |
//!
//! Sources: ISO 8855:2011, 2.1–2.7 (axes), 7.1.3–7.1.9 (wheel angles: toe at rest, straight ahead,
//! toe-in positive, total toe the sum of both wheels); the remaining signs are those of the trade.
//! SAE J670 in its older issue has z down. Points on the right are mirrored in y; no angle is ever
//! negated by hand.

use crate::mathematics::{Scalar, Vec3};

/// A side of the car as the driver sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

impl Side {
    /// +1 for left, −1 for right: the sign of y on this side.
    #[must_use]
    pub fn sign(self) -> f64 {
        match self {
            Self::Left => 1.0,
            Self::Right => -1.0,
        }
    }

    /// The other side.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

impl std::fmt::Display for Side {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Left => "left",
            Self::Right => "right",
        })
    }
}

/// Camber in radians of a wheel with unit spin axis `n` pointing outboard.
#[must_use]
pub fn camber<S: Scalar>(n: Vec3<S>) -> S {
    (-n.z).atan2((n.x.squared() + n.y.squared()).sqrt())
}

/// Toe in radians of a wheel with unit spin axis `n` pointing outboard.
#[must_use]
pub fn toe<S: Scalar>(n: Vec3<S>, side: Side) -> S {
    n.x.atan2(n.y.scaled(side.sign()))
}

/// The unit spin axis pointing outboard of a wheel with these angles in radians.
#[must_use]
pub fn spin_axis<S: Scalar>(camber: S, toe: S, side: Side) -> Vec3<S> {
    let ((sin_c, cos_c), (sin_t, cos_t)) = (camber.sin_cos(), toe.sin_cos());
    Vec3::new(cos_c * sin_t, (cos_c * cos_t).scaled(side.sign()), -sin_c)
}

/// Caster in radians of a steering axis with direction `k`, pointing up.
#[must_use]
pub fn caster<S: Scalar>(k: Vec3<S>) -> S {
    (-k.x).atan2(k.z)
}

/// Steering-axis inclination in radians of a steering axis with direction `k`, pointing up.
#[must_use]
pub fn inclination<S: Scalar>(k: Vec3<S>, side: Side) -> S {
    k.y.scaled(-side.sign()).atan2(k.z)
}

/// From the wheel centre to the lowest point of a wheel with unit spin axis `n` and radius
/// `radius`: the contact point on level ground.
#[must_use]
pub fn to_contact<S: Scalar>(n: Vec3<S>, radius: S) -> Vec3<S> {
    let up = Vec3::new(S::zero(), S::zero(), S::one()).across(n);
    -up.unit().times(radius)
}

#[cfg(test)]
mod tests {
    use super::{Side, camber, spin_axis, toe};

    #[test]
    fn angles_come_back_from_the_spin_axis() {
        for side in [Side::Left, Side::Right] {
            for (c, t) in [(0.02, -0.01), (-0.05, 0.5), (0.3, -0.7)] {
                let n = spin_axis::<f64>(c, t, side);
                assert!((camber(n) - c).abs() < 1e-15 && (toe(n, side) - t).abs() < 1e-15);
                assert!(n.y * side.sign() > 0.0, "points outboard");
            }
        }
    }
}
