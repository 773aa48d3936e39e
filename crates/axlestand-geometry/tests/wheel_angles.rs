//! Closed formulas of wheel angles and readings.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use axlestand_geometry::conventions::{Side, camber, spin_axis, toe};
use axlestand_geometry::wheel_angles::{
    WheelPose, caster_by_sine_rule, conformance_probability, guarded_band, on_sloped_floor,
    steering_axis_from_poses, toe_angle_total, toe_mm_total, without_run_out,
};
use axlestand_geometry::{Mat3, Vec3};
use axlestand_quantity::{Angle, Length};

fn deg(x: f64) -> Angle {
    Angle::from_deg(x).unwrap()
}

fn mm(x: f64) -> Length {
    Length::from_mm(x).unwrap()
}

#[track_caller]
fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found} {wanted}");
}

#[test]
fn toe_in_millimetres() {
    // ISO 8855:2011, 7.1.6–7.1.7 and trigonometry.
    near(toe_mm_total(deg(0.2), mm(400.0)).unwrap().mm(), 1.3963, 1e-4);
    near(toe_angle_total(mm(1.0), mm(400.0)).unwrap().deg(), 0.14324, 1e-5);
    near(toe_angle_total(mm(1.0), mm(431.8)).unwrap().deg(), 0.13269, 1e-5);
    near(toe_mm_total(deg(0.2), mm(600.0)).unwrap().mm(), 2.0944, 1e-4);
    assert!(toe_angle_total(mm(1.0), mm(0.0)).is_err());
}

/// Camber and heading of a wheel turned by `angle` (rad) about its steering axis.
fn turned(side: Side, caster: f64, inclination: f64, at_rest: f64, angle: f64) -> WheelPose {
    let k = Vec3::new(-caster.to_radians().tan(), -side.sign() * inclination.to_radians().tan(), 1.0).unit();
    let n = Mat3::turned_by(k.times(angle)).times(spin_axis(at_rest.to_radians(), 0.0, side));
    let heading = -side.sign() * toe(n, side).to_degrees();
    WheelPose { camber: deg(camber(n).to_degrees()), heading: deg(heading) }
}

fn at_heading(side: Side, caster: f64, inclination: f64, at_rest: f64, heading: f64) -> WheelPose {
    let (mut low, mut high) = (-1.0, 1.0);
    for _ in 0..100 {
        let middle = (low + high) / 2.0;
        let pose = turned(side, caster, inclination, at_rest, middle);
        if pose.heading.deg() < heading { low = middle } else { high = middle }
    }
    turned(side, caster, inclination, at_rest, low)
}

#[test]
fn caster_from_a_steered_wheel() {
    // Exact rotation about a known axis, wheel held at ±20° of heading.
    let pose = |heading| at_heading(Side::Left, 5.0, 13.0, -1.0, heading);
    let (left, right) = (pose(20.0), pose(-20.0));
    near(left.camber.deg(), 1.5141, 1e-4);
    near(right.camber.deg(), -1.9112, 1e-4);
    let sine = caster_by_sine_rule(Side::Left, left.camber, right.camber, deg(20.0)).unwrap();
    near(sine.deg(), 5.0075, 1e-4);
    // The right wheel's camber changes the other way round; twice the change is twice the caster.
    let other = caster_by_sine_rule(Side::Right, right.camber, left.camber, deg(20.0)).unwrap();
    near(other.deg(), sine.deg(), 1e-12);
    let twice = caster_by_sine_rule(Side::Left, deg(2.0), deg(-2.0), deg(30.0)).unwrap();
    near(twice.deg(), 4.0, 1e-12);
    assert!(caster_by_sine_rule(Side::Left, deg(2.0), deg(-2.0), deg(0.0)).is_err());
    for side in [Side::Left, Side::Right] {
        let poses = [20.0, 0.0, -20.0].map(|h| at_heading(side, 5.0, 13.0, -1.0, h));
        let axis = steering_axis_from_poses(side, poses).unwrap();
        near(axis.caster.deg(), 5.0, 1e-6);
        near(axis.inclination.deg(), 13.0, 1e-6);
    }
    let same = [left, left, left];
    assert!(steering_axis_from_poses(Side::Left, same).is_err());
}

#[test]
fn run_out_floor_and_conformance() {
    near(without_run_out(deg(-0.9319), deg(-1.4681)).unwrap().deg(), -1.2, 1e-4);
    let [left, right] = on_sloped_floor(deg(-1.1), deg(-0.6), mm(6.0), mm(1470.0)).unwrap();
    near(left.deg(), -0.8661, 1e-4);
    near(right.deg(), -0.8339, 1e-4);
    // JCGM 106:2012: toe 0 to 0.20° with u = 0.04°.
    for (y, p) in [(0.15, 0.8943), (0.12, 0.9759), (0.10, 0.9876)] {
        near(conformance_probability(y, 0.04, 0.0, 0.2), p, 1e-4);
    }
    let (from, to) = guarded_band(0.0, 0.2, 0.04, 2.0).unwrap();
    near(from, 0.08, 1e-12);
    near(to, 0.12, 1e-12);
    let (from, to) = guarded_band(0.0, 0.2, 0.04, 1.645).unwrap();
    near(from, 0.0658, 1e-12);
    near(to, 0.1342, 1e-12);
    assert_eq!(guarded_band(0.0, 0.2, 0.06, 2.0), None);
    // Tails: Φ(−5) = 2.866515719e-7 (Abramowitz and Stegun, table 26.2).
    near(conformance_probability(0.0, 1.0, 5.0, f64::INFINITY) / 2.866_515_719e-7, 1.0, 1e-8);
    // What is known exactly is within or not; limits belong to it.
    for (y, within) in [(0.0, 1.0), (1.0, 1.0), (-1.0, 1.0), (1.1, 0.0), (-1.1, 0.0)] {
        near(conformance_probability(y, 0.0, -1.0, 1.0), within, 0.0);
    }
    // A guard that leaves one place, and none.
    assert_eq!(guarded_band(0.0, 4.0, 1.0, 2.0), Some((2.0, 2.0)));
    assert_eq!(guarded_band(0.0, 4.0, 1.0, 2.5), None);
}
