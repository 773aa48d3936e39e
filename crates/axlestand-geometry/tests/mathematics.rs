//! Vectors, rotations and dual numbers against formulas written out and differences.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod cars;

use axlestand_geometry::{Dual, Mat3, Pose, Scalar, Twist, Vec3};
use cars::Random;

/// Rodrigues' formula by sine and cosine: v cos φ + k × v sin φ + k (k·v)(1 − cos φ).
fn rotated(axis: Vec3, angle: f64, v: Vec3) -> Vec3 {
    let (sin, cos) = angle.sin_cos();
    v.times(cos) + axis.cross(v).times(sin) + axis.times(axis.dot(v) * (1.0 - cos))
}

/// Small turns go by a series, large ones by sine and cosine; both are exact to rounding, and where they meet.
#[test]
fn a_rotation_turns_about_its_axis() {
    let mut random = Random(3);
    for angle in [0.0, 1e-9, 1e-4, 0.01, 0.05, 0.0999, 0.1001, 0.3, 1.0, 2.0, 3.1] {
        for _ in 0..5 {
            let (axis, v) = (random.vector(1.0).unit(), random.vector(1.0));
            let turn = Mat3::turned_by(axis.times(angle));
            assert!((turn.times(v) - rotated(axis, angle, v)).norm() < 2e-15, "{angle}");
            assert!((turn.back(turn.times(v)) - v).norm() < 2e-15, "{angle}");
            // Twice the turn is one turn after the other.
            let twice = Mat3::turned_by(axis.times(2.0 * angle));
            assert!((turn.after(&turn).times(v) - twice.times(v)).norm() < 4e-15, "{angle}");
            assert!((turn.cos_from(&Mat3::identity()) - angle.cos()).abs() < 1e-15);
            assert!((twice.cos_from(&turn) - angle.cos()).abs() < 2e-15);
        }
    }
    // Another order of two turns is another rotation: a quarter about x, then one about z takes y to z.
    let quarter = std::f64::consts::FRAC_PI_2;
    let [x, z] = [Vec3::new(quarter, 0.0, 0.0), Vec3::new(0.0, 0.0, quarter)].map(Mat3::turned_by);
    let (y, up) = (Vec3::new(0.0, 1.0, 0.0), Vec3::new(0.0, 0.0, 1.0));
    assert!((z.after(&x).times(y) - up).norm() < 1e-15);
    assert!((x.after(&z).times(y) - Vec3::new(-1.0, 0.0, 0.0)).norm() < 1e-15);
}

#[test]
fn a_rotation_depends_on_its_vector_as_differences_say() {
    let mut random = Random(4);
    for angle in [1e-6, 0.02, 0.0999, 0.1001, 0.8, 2.5] {
        let (w, by, v) = (random.vector(1.0).unit().times(angle), random.vector(1.0), random.vector(1.0));
        let dual = Mat3::turned_by(Vec3::with_rate(w, by)).times(Vec3::constant(v));
        let at = |h: f64| Mat3::turned_by(w + by.times(h)).times(v);
        let h = 1e-3;
        let found = ((at(h) - at(-h)).times(8.0) - (at(2.0 * h) - at(-2.0 * h))).times(1.0 / (12.0 * h));
        assert!((found - dual.map(|x| x.rate)).norm() < 1e-11, "{angle}");
    }
}

/// What rounding spoils by 1e-6 is mended to its square.
#[test]
fn a_spoilt_rotation_is_mended() {
    let mut random = Random(5);
    for _ in 0..20 {
        let turn = Mat3::turned_by(random.vector(2.0));
        let spoilt = Mat3 { rows: turn.rows.map(|row| row + random.vector(1e-6)) };
        let [a, b, c] = spoilt.tidied().rows;
        for (found, expected) in [
            (a.dot(a), 1.0),
            (b.dot(b), 1.0),
            (c.dot(c), 1.0),
            (a.dot(b), 0.0),
            (b.dot(c), 0.0),
            (c.dot(a), 0.0),
        ] {
            assert!((found - expected).abs() < 2e-11, "{found}");
        }
        for (mended, row) in [a, b, c].iter().zip(turn.rows) {
            assert!((*mended - row).norm() < 4e-6);
        }
    }
}

#[test]
fn vectors_by_their_definitions() {
    let (a, b) = (Vec3::new(1.0, -2.0, 3.0), Vec3::new(4.0, 0.5, -1.5));
    assert_eq!(a + b, Vec3::new(5.0, -1.5, 1.5));
    assert_eq!(a - b, Vec3::new(-3.0, -2.5, 4.5));
    assert_eq!(-a, Vec3::new(-1.0, 2.0, -3.0));
    assert!((a.dot(b) - (4.0 - 1.0 - 4.5)).abs() < 1e-15);
    assert_eq!(a.cross(b), Vec3::new(3.0 - 1.5, 12.0 + 1.5, 0.5 + 8.0));
    assert!((a.norm() - 14.0_f64.sqrt()).abs() < 1e-15 && (a.unit().norm() - 1.0).abs() < 1e-15);
    assert!((a.unit().times(a.norm()) - a).norm() < 1e-15);
    assert_eq!(a.mirrored(), Vec3::new(1.0, 2.0, 3.0));
    let along = b.unit();
    assert!(a.across(along).dot(b).abs() < 1e-14);
    assert!((a.across(along) + along.times(a.dot(along)) - a).norm() < 1e-15);
    assert!((a.angle_to(b) - (a.dot(b) / a.norm() / b.norm()).acos()).abs() < 1e-15);
    assert!((a.angle_to(-a) - std::f64::consts::PI).abs() < 1e-15);
    for (v, finite) in
        [(a, true), (Vec3::new(f64::NAN, 0.0, 0.0), false), (Vec3::new(0.0, f64::INFINITY, 0.0), false)]
    {
        assert_eq!(v.is_finite(), finite);
    }
    assert!(!Vec3::new(0.0, 0.0, f64::NAN).is_finite());
}

/// A point of a moving body goes with the shift and square to the turn.
#[test]
fn a_body_moves_by_shift_and_turn() {
    let mut random = Random(6);
    let twist = Twist { shift: random.vector(3.0), turn: random.vector(0.5) };
    let pose = Pose { origin: random.vector(100.0), turn: Mat3::turned_by(random.vector(1.0)) };
    let b = random.vector(50.0);
    let moved = pose.moved(&twist);
    let arm = pose.place(b) - pose.origin;
    let (axis, angle) = (twist.turn.unit(), twist.turn.norm());
    let expected = pose.origin + twist.shift + rotated(axis, angle, arm);
    assert!((moved.place(b) - expected).norm() < 1e-12);
    assert!((moved.turned_from_deg(&pose) - angle.to_degrees()).abs() < 1e-6);
    // At the first instant: v + ω × arm.
    let speed = pose.along(&twist).place(Vec3::constant(b)).map(|x| x.rate);
    assert!((speed - twist.of_point(arm)).norm() < 1e-12);
    assert!((twist.of_point(arm) - twist.shift - twist.turn.cross(arm)).norm() < 1e-12);
    let half = twist.times(0.5);
    assert!(
        (half.shift.times(2.0) - twist.shift).norm() < 1e-15
            && (half.turn.times(2.0) - twist.turn).norm() < 1e-15
    );
}

/// Every operation in one formula of two numbers.
fn formula<S: Scalar>(x: S, y: S) -> [S; 8] {
    let (sin, cos) = (x * y).sin_cos();
    [
        x + y * S::constant(3.0),
        x - y.scaled(2.0),
        x * y,
        x / y,
        -x,
        (x.squared() + y.squared() + S::one()).sqrt(),
        sin * cos,
        x.atan2(y).in_degrees() + y.atan2(x).in_radians(),
    ]
}

#[test]
fn dual_numbers_carry_first_and_second_derivatives() {
    let h = 1e-3;
    let five = |f: &dyn Fn(f64) -> f64| (8.0 * (f(h) - f(-h)) - (f(2.0 * h) - f(-2.0 * h))) / (12.0 * h);
    for (x, y) in [(0.7, 1.3), (-1.1, 0.4), (0.6, -0.9), (-0.5, -1.2)] {
        for (dx, dy) in [(1.0, 0.0), (0.0, 1.0), (0.6, -0.8)] {
            let dual = formula(Dual { value: x, rate: dx }, Dual { value: y, rate: dy });
            // Along the same way twice, by a dual number of dual numbers.
            let nest = |v: f64, rate: f64| Dual {
                value: Dual { value: v, rate },
                rate: Dual { value: rate, rate: 0.0 },
            };
            let twice = formula(nest(x, dx), nest(y, dy));
            for k in 0..8 {
                assert!((dual[k].value() - formula(x, y)[k]).abs() < 1e-15);
                let slope = five(&|t| formula(x + t * dx, y + t * dy)[k]);
                assert!(
                    (dual[k].rate - slope).abs() < 1e-9 * (1.0 + slope.abs()),
                    "{k}: {} {slope}",
                    dual[k].rate
                );
                let bend = five(&|t| {
                    formula(Dual { value: x + t * dx, rate: dx }, Dual { value: y + t * dy, rate: dy })[k]
                        .rate
                });
                assert!((twice[k].rate.rate - bend).abs() < 1e-8 * (1.0 + bend.abs()), "{k}");
            }
        }
    }
    // At nought the root's derivative is taken as nought, so that a point at its own place does no harm.
    let root = Dual { value: 0.0, rate: 2.0 }.sqrt();
    assert!(root.value.abs() < 1e-300 && root.rate.abs() < 1e-300);
    assert!(Dual::fixed(3.0).rate.abs() < 1e-300 && (Dual::<f64>::one().value - 1.0).abs() < 1e-300);
}
