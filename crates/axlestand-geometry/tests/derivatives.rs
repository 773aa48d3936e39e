//! Sensitivities by implicit differentiation against central differences of re-solved positions, on
//! a thousand random mechanisms of every layout.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod cars;

use axlestand_geometry::Vec3;
use axlestand_geometry::kinematics::{
    Adjuster, Axis, AxleHold, AxleParameter, Corner, CornerSpec, LiveAxle, Output, Outputs, Parameter, Point,
    TwistBeamSpec,
};
use axlestand_geometry::{Dual, Scalar};

/// How many random mechanisms of each layout, and how many random parameters are tried on each
/// (more in a release build).
const CARS: usize = 1000;
const TRIES: usize = if cfg!(debug_assertions) { 1 } else { 6 };
const TRAVEL: f64 = 35.0;
const RACK: f64 = 8.0;

fn with_adjusters(mut spec: CornerSpec, pivot: Point) -> CornerSpec {
    spec.adjusters = vec![
        (Adjuster::TieRod, 0.5),
        (Adjuster::Shift { point: pivot, direction: Vec3::new(0.2, 1.0, 0.3) }, -1.0),
        (
            Adjuster::Eccentric {
                point: pivot,
                bolt: Vec3::new(1.0, 0.1, 0.0),
                eccentricity: 4.0,
                start_deg: 20.0,
            },
            30.0,
        ),
        (Adjuster::StrutTurn { bolt: Vec3::new(-4.0, 640.0, 335.0), axis: Vec3::new(1.0, 0.0, 0.0) }, 0.4),
        (Adjuster::Rod(0), 0.3),
    ];
    spec
}

/// The description with a parameter changed, and the inputs that go with it.
fn changed(spec: &CornerSpec, by: Parameter, amount: f64) -> (CornerSpec, f64, f64) {
    let mut spec = spec.clone();
    let (mut travel, mut rack) = (TRAVEL, RACK);
    let along = |axis| match axis {
        Axis::X => Vec3::new(1.0, 0.0, 0.0),
        Axis::Y => Vec3::new(0.0, 1.0, 0.0),
        Axis::Z => Vec3::new(0.0, 0.0, 1.0),
    };
    match by {
        Parameter::Surveyed(point, axis) => {
            let place = spec.point(point).unwrap() + along(axis).times(amount);
            spec.set(point, place);
        }
        Parameter::Moved(point, axis) => {
            spec.adjusters.push((Adjuster::Shift { point, direction: along(axis) }, amount));
        }
        Parameter::Adjuster(i) => spec.adjusters[i].1 += amount,
        Parameter::Travel => travel += amount,
        Parameter::Rack => rack += amount,
        Parameter::DesignCamber => spec.camber_deg += amount,
        Parameter::DesignToe => spec.toe_deg += amount,
        Parameter::LoadedRadius => spec.loaded_radius += amount,
    }
    (spec, travel, rack)
}

fn shown(spec: &CornerSpec, by: Parameter, amount: f64) -> Outputs {
    let (spec, travel, rack) = changed(spec, by, amount);
    let corner = Corner::new(spec).unwrap();
    corner.outputs(&corner.solve(travel, rack).unwrap()).unwrap()
}

#[test]
fn corners_of_every_layout() {
    let mut random = cars::Random(2024);
    let pivots = [Point::LowerFront, Point::UpperRear, Point::Link3Inner, Point::ArmOuterPivot];
    for (base, pivot) in cars::every_layout().into_iter().zip(pivots) {
        let base = with_adjusters(base, pivot);
        let mut worst = 0.0_f64;
        for _ in 0..CARS {
            let spec = cars::jittered(&base, &mut random, 6.0);
            let corner = Corner::new(spec.clone()).unwrap();
            let at = corner.solve(TRAVEL, RACK).unwrap();
            assert!(corner.closure(&at) < 1e-9);
            let all = corner.parameters();
            for _ in 0..TRIES {
                let pick = ((random.next() + 1.0) / 2.0 * all.len() as f64) as usize;
                worst = worst.max(compare(&spec, &corner, &at, all[pick.min(all.len() - 1)]));
            }
        }
        println!("{}: worst relative deviation {worst:.1e}", base.layout);
    }
}

fn compare(
    spec: &CornerSpec,
    corner: &Corner,
    at: &axlestand_geometry::kinematics::Solved,
    by: Parameter,
) -> f64 {
    let exact = corner.sensitivity(at, by).unwrap();
    // Central differences of the fourth order.
    let step = 0.02;
    let near = [step, -step, 2.0 * step, -2.0 * step].map(|x| shown(spec, by, x));
    let mut worst = 0.0_f64;
    for output in Output::ALL {
        let Some(exact) = exact.get(output) else { continue };
        let [a, b, c, d] = near.map(|o| o.get(output).unwrap());
        // An instant centre farther than 20 m moves too fast for differences.
        let centre = [Output::FrontCentreY, Output::FrontCentreZ, Output::SideCentreX, Output::SideCentreZ];
        let far = |o: &Outputs| centre.iter().any(|c| o.get(*c).is_some_and(|x| x.abs() > 2e4));
        if centre.contains(&output) && near.iter().any(far) {
            continue;
        }
        let found = (8.0 * (a - b) - (c - d)) / (12.0 * step);
        // Rounding of the values and the fifth derivative bound the difference.
        let scale = exact.abs().max(1e-3 * a.abs()).max(1e-5);
        let off = (found - exact).abs() / scale;
        assert!(off < 2e-5, "{} {by:?} {output:?}: {exact} {found}", spec.layout);
        worst = worst.max(off);
    }
    for (i, exact) in exact.joints.iter().enumerate() {
        let Some(exact) = exact else { continue };
        let [a, b, c, d] = near.map(|o| o.joints[i].unwrap());
        let found = (8.0 * (a - b) - (c - d)) / (12.0 * step);
        assert!((found - exact).abs() < 2e-5 * exact.abs().max(0.01), "joint {i} {by:?} {exact} {found}");
    }
    worst
}

#[test]
fn fast_effects_equal_the_full_sensitivities() {
    let mut random = cars::Random(7);
    let pivots = [Point::LowerFront, Point::UpperRear, Point::Link3Inner, Point::ArmOuterPivot];
    let mut effects = [axlestand_geometry::kinematics::Effect { camber: 0.0, toe: 0.0 }; 7];
    for (base, pivot) in cars::every_layout().into_iter().zip(pivots) {
        let base = with_adjusters(base, pivot);
        for _ in 0..100 {
            let corner = Corner::new(cars::jittered(&base, &mut random, 6.0)).unwrap();
            let at = corner.solve(-30.0, 12.0).unwrap();
            assert_eq!(corner.adjuster_effects(&at, &mut effects).unwrap(), 7);
            let by = (0..5).map(Parameter::Adjuster).chain([Parameter::Rack, Parameter::Travel]);
            for (by, fast) in by.zip(effects) {
                let full = corner.sensitivity(&at, by).unwrap();
                assert!((full.camber - fast.camber).abs() < 1e-11, "{by:?} {full:?} {fast:?}");
                assert!((full.toe - fast.toe).abs() < 1e-11, "{by:?} {full:?} {fast:?}");
            }
        }
    }
}

#[test]
fn wheel_effects_equal_the_full_sensitivities() {
    let mut random = cars::Random(8);
    let pivots = [Point::LowerFront, Point::UpperRear, Point::Link3Inner, Point::ArmOuterPivot];
    for (base, pivot) in cars::every_layout().into_iter().zip(pivots) {
        let base = with_adjusters(base, pivot);
        for _ in 0..20 {
            let corner = Corner::new(cars::jittered(&base, &mut random, 6.0)).unwrap();
            let (at, out) = corner.at(-30.0, 12.0).unwrap();
            let by = corner.parameters();
            let (here, effects) = corner.wheel_effects(&at, &by).unwrap();
            assert!((here.camber - out.camber).abs() < 1e-12 && (here.toe - out.toe).abs() < 1e-12);
            for ((by, effect), full) in by.iter().zip(effects).zip(corner.sensitivities(&at, &by).unwrap()) {
                assert!((full.camber - effect.camber).abs() < 1e-11, "{by:?} {full:?} {effect:?}");
                assert!((full.toe - effect.toe).abs() < 1e-11, "{by:?} {full:?} {effect:?}");
            }
        }
    }
}

/// A guide moved on the body takes the axle with it; moved on the body and on the axle alike it changes nothing.
#[test]
fn a_guide_takes_the_axle_with_it() {
    let mut spec = cars::live_axle();
    spec.holds[3] = AxleHold::Guide { point: Vec3::new(0.0, 480.0, 340.0), normal: Vec3::new(0.0, 1.0, 0.0) };
    let axle = LiveAxle::new(spec).unwrap();
    let at = axle.solve(0.0, 0.0).unwrap();
    let of = |by| axle.sensitivity(&at, by).unwrap();
    let (body, beam) = (of(AxleParameter::Inner(3, Axis::Y)), of(AxleParameter::Outer(3, Axis::Y)));
    assert!((body.sideways - 1.0).abs() < 0.1, "{}", body.sideways);
    assert!((body.sideways + beam.sideways).abs() < 1e-12 && (body.steer + beam.steer).abs() < 1e-12);
    for along in [Axis::X, Axis::Z] {
        assert!(of(AxleParameter::Inner(3, along)).sideways.abs() < 1e-12, "a plane moved along itself");
    }
}

#[test]
fn live_axles() {
    let mut random = cars::Random(99);
    for _ in 0..CARS {
        let mut spec = cars::live_axle();
        for hold in &mut spec.holds {
            if let AxleHold::Rod { inner, outer } = hold {
                (*inner, *outer) = (*inner + random.vector(20.0), *outer + random.vector(20.0));
            }
        }
        let axle = LiveAxle::new(spec).unwrap();
        let (left, right) = (35.0, -20.0);
        let at = axle.solve(left, right).unwrap();
        assert!(axle.closure(&at) < 1e-9);
        let rod = ((random.next() + 1.0) * 2.0) as usize % 4;
        let axis = Axis::ALL[((random.next() + 1.0) * 1.5) as usize % 3];
        let all = [
            AxleParameter::Inner(rod, axis),
            AxleParameter::Outer(rod, axis),
            AxleParameter::Length(rod),
            AxleParameter::Left,
            AxleParameter::Right,
        ];
        for by in all {
            let exact = axle.sensitivity(&at, by).unwrap();
            let h = 0.02;
            let near = [h, -h, 2.0 * h, -2.0 * h].map(|x| {
                let o = match by {
                    AxleParameter::Left => axle.outputs(&axle.solve(left + x, right).unwrap()),
                    AxleParameter::Right => axle.outputs(&axle.solve(left, right + x).unwrap()),
                    _ => {
                        let other = axle.changed(by, x).unwrap();
                        other.outputs(&other.solve(left, right).unwrap())
                    }
                };
                let o = o.unwrap();
                [
                    o.camber[0],
                    o.toe[1],
                    o.steer,
                    o.roll,
                    o.pitch,
                    o.forward,
                    o.sideways,
                    o.roll_centre,
                    o.roll_steer,
                ]
            });
            let e = exact;
            let exact = [
                e.camber[0],
                e.toe[1],
                e.steer,
                e.roll,
                e.pitch,
                e.forward,
                e.sideways,
                e.roll_centre,
                e.roll_steer,
            ];
            for (i, exact) in exact.into_iter().enumerate() {
                let [a, b, c, d] = near.map(|o| o[i]);
                let found = (8.0 * (a - b) - (c - d)) / (12.0 * h);
                let scale = exact.abs().max(1e-3 * a.abs()).max(1e-4);
                assert!((found - exact).abs() < 1e-6 * scale.max(1e-2), "{by:?} {i}: {exact} {found}");
            }
        }
    }
}

#[test]
fn twist_beams() {
    let mut random = cars::Random(5);
    for _ in 0..CARS {
        let v = |x: f64, y: f64, z: f64, r: &mut cars::Random| Vec3::new(x, y, z) + r.vector(20.0);
        let spec = TwistBeamSpec {
            bushing: [v(420.0, 560.0, 330.0, &mut random), v(420.0, -560.0, 330.0, &mut random)],
            wheel: [v(0.0, 730.0, 300.0, &mut random), v(0.0, -730.0, 300.0, &mut random)],
            shear_centre: Vec3::new(260.0 + 40.0 * random.next(), 0.0, 340.0 + 20.0 * random.next()),
            camber_deg: -1.0,
            toe_deg: 0.1,
        };
        spec.check().unwrap();
        let at = spec.at(30.0, -15.0).unwrap();
        assert!((at.wheel[0].z - spec.wheel[0].z - 30.0).abs() < 1e-9);
        assert!((at.wheel[1].z - spec.wheel[1].z + 15.0).abs() < 1e-9);
        // Arms keep their length.
        let arm = |w: Vec3, b: Vec3| (w - b).norm();
        assert!((arm(at.wheel[0], spec.bushing[0]) - arm(spec.wheel[0], spec.bushing[0])).abs() < 1e-9);
        // Derivative by the left travel, by dual numbers and by differences.
        let f = Dual::fixed;
        let dual = TwistBeamSpec {
            bushing: spec.bushing.map(|p| p.map(f)),
            wheel: spec.wheel.map(|p| p.map(f)),
            shear_centre: spec.shear_centre.map(f),
            camber_deg: f(spec.camber_deg),
            toe_deg: f(spec.toe_deg),
        };
        let rate = dual.placed([Dual { value: 30.0, rate: 1.0 }, Dual::constant(-15.0)]).unwrap();
        let h = 0.05;
        let (up, down) = (spec.at(30.0 + h, -15.0).unwrap(), spec.at(30.0 - h, -15.0).unwrap());
        for i in 0..2 {
            let camber = (up.camber[i] - down.camber[i]) / (2.0 * h);
            let toe = (up.toe[i] - down.toe[i]) / (2.0 * h);
            assert!((camber - rate.camber[i].rate).abs() < 1e-7, "{camber} {:?}", rate.camber[i]);
            assert!((toe - rate.toe[i].rate).abs() < 1e-7, "{toe} {:?}", rate.toe[i]);
        }
    }
}

#[test]
fn twist_beam_turns_as_described() {
    let v = Vec3::new;
    let spec = TwistBeamSpec {
        bushing: [v(420.0, 560.0, 330.0), v(420.0, -560.0, 330.0)],
        wheel: [v(0.0, 730.0, 300.0), v(0.0, -730.0, 300.0)],
        shear_centre: v(260.0, 0.0, 340.0),
        camber_deg: -1.0,
        toe_deg: 0.1,
    };
    // Bounce: a pure turn about a level line across the car changes no camber of note.
    let bounce = spec.at(40.0, 40.0).unwrap();
    assert!(
        (bounce.toe[0] - bounce.toe[1]).abs() < 1e-12 && (bounce.camber[0] - bounce.camber[1]).abs() < 1e-12
    );
    assert!((bounce.twist[0]).abs() < 1e-9 && bounce.bounce > 5.0);
    // Roll: left and right are mirror images of opposite rolls, and the wheel in bump gains
    // negative camber relative to the body.
    let (roll, other) = (spec.at(40.0, -40.0).unwrap(), spec.at(-40.0, 40.0).unwrap());
    assert!((roll.camber[0] - other.camber[1]).abs() < 1e-9 && roll.camber[0] < -1.2, "{roll:?}");
    assert!(spec.at(2000.0, 0.0).is_err() && spec.at(f64::NAN, 0.0).is_err());
}
