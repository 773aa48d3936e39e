//! What turning the whole car round does: fore and aft exchanged, left and right exchanged. No formula is needed for
//! what then has to come out.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod cars;

use axlestand_geometry::Vec3;
use axlestand_geometry::kinematics::{
    AxleHold, AxleSpec, Corner, CornerSpec, LiveAxle, Output, TwistBeamOutputs, TwistBeamSpec,
};

fn fore_and_aft(p: Vec3) -> Vec3 {
    Vec3::new(-p.x, p.y, p.z)
}

fn close(found: f64, expected: f64, within: f64, what: &str) {
    assert!(
        (found - expected).abs() <= within * (1.0 + expected.abs()),
        "{what}: {found}, expected {expected}"
    );
}

/// The corner seen from the other end of the car.
fn turned(spec: &CornerSpec) -> CornerSpec {
    let mut out = spec.clone();
    for (point, place) in spec.points() {
        out.set(point, fore_and_aft(place));
    }
    out.toe_deg = -spec.toe_deg;
    (out.rack, out.axle_axis) = (fore_and_aft(spec.rack), fore_and_aft(spec.axle_axis));
    out.bar_axis = fore_and_aft(spec.bar_axis);
    for joint in &mut out.joints {
        joint.axis = fore_and_aft(joint.axis);
    }
    out
}

/// Whatever counts along the car changes its sign, all else stays.
#[test]
fn a_corner_with_fore_and_aft_exchanged() {
    let mut random = cars::Random(5);
    for base in cars::every_layout() {
        for base in [base.clone(), base.mirrored()] {
            let spec = cars::jittered(&base, &mut random, 10.0);
            let (one, other) = (Corner::new(spec.clone()).unwrap(), Corner::new(turned(&spec)).unwrap());
            for (travel, rack) in [(0.0, 0.0), (50.0, 8.0), (-40.0, -15.0)] {
                let (at, a) = one.at(travel, rack).unwrap();
                let (turned, b) = other.at(travel, rack).unwrap();
                assert!((fore_and_aft(at.pose.origin) - turned.pose.origin).norm() < 1e-9);
                close(turned.margin, at.margin, 1e-9, "margin");
                for output in Output::ALL {
                    use Output as O;
                    let along = matches!(
                        output,
                        O::Toe
                            | O::Heading
                            | O::ToeRate
                            | O::Caster
                            | O::Trail
                            | O::Wheelbase
                            | O::ContactSlope
                            | O::CentreSlope
                            | O::SideCentreX
                    );
                    let sign = if along { -1.0 } else { 1.0 };
                    assert_eq!(a.get(output).is_some(), b.get(output).is_some(), "{output:?}");
                    if let (Some(a), Some(b)) = (a.get(output), b.get(output)) {
                        close(b, sign * a, 1e-7, &format!("{} {output:?}", spec.layout));
                    }
                }
                for (a, b) in a.joints.iter().zip(b.joints) {
                    assert!(a.is_some() == b.is_some() && (a.unwrap_or(0.0) - b.unwrap_or(0.0)).abs() < 1e-7);
                }
            }
        }
    }
}

fn beam(random: &mut cars::Random) -> TwistBeamSpec {
    let mut v = |x: f64, y: f64, z: f64| Vec3::new(x, y, z) + random.vector(20.0);
    TwistBeamSpec {
        bushing: [v(420.0, 560.0, 330.0), v(420.0, -560.0, 330.0)],
        wheel: [v(0.0, 730.0, 300.0), v(0.0, -730.0, 300.0)],
        shear_centre: v(260.0, 0.0, 340.0),
        camber_deg: -1.0,
        toe_deg: 0.1,
    }
}

fn same(a: &TwistBeamOutputs, b: &TwistBeamOutputs, toe: f64, order: [usize; 2], what: &str) {
    close(b.bounce, a.bounce, 1e-9, &format!("{what}, bounce"));
    for (i, k) in order.into_iter().enumerate() {
        close(b.camber[k], a.camber[i], 1e-9, &format!("{what}, camber"));
        close(b.toe[k], toe * a.toe[i], 1e-9, &format!("{what}, toe"));
        close(b.twist[k], a.twist[i], 1e-9, &format!("{what}, twist"));
        close(b.wheel[k].z, a.wheel[i].z, 1e-9, &format!("{what}, height"));
    }
}

/// A beam on leading arms is one on trailing arms seen from the other end; its right side is its left one in a mirror.
#[test]
fn a_twist_beam_turned_round() {
    let mut random = cars::Random(9);
    for _ in 0..20 {
        let spec = beam(&mut random);
        let map = |f: fn(Vec3) -> Vec3, toe: f64| TwistBeamSpec {
            bushing: spec.bushing.map(f),
            wheel: spec.wheel.map(f),
            shear_centre: f(spec.shear_centre),
            toe_deg: toe,
            ..spec
        };
        let leading = map(fore_and_aft, -spec.toe_deg);
        let mut mirrored = map(Vec3::mirrored, spec.toe_deg);
        mirrored.bushing.swap(0, 1);
        mirrored.wheel.swap(0, 1);
        assert!(leading.check().is_ok() && mirrored.check().is_ok());
        for (left, right) in [(40.0, 40.0), (30.0, -20.0), (-50.0, -35.0), (0.0, 60.0)] {
            let at = spec.at(left, right).unwrap();
            // Bounce and twist count upward. What is not twist is a turn about the bushings by the mean height.
            assert!(
                (at.bounce > 0.0) == (left + right > 0.0)
                    && (left - right) * (at.twist[0] - at.twist[1]) >= -1e-9
            );
            same(&at, &leading.at(left, right).unwrap(), -1.0, [0, 1], "leading");
            same(&at, &mirrored.at(right, left).unwrap(), 1.0, [1, 0], "mirrored");
        }
    }
}

fn mapped(spec: &AxleSpec, f: fn(Vec3) -> Vec3) -> AxleSpec {
    let holds = spec.holds.map(|hold| match hold {
        AxleHold::Rod { inner, outer } => AxleHold::Rod { inner: f(inner), outer: f(outer) },
        AxleHold::Guide { point, normal } => AxleHold::Guide { point: f(point), normal: f(normal) },
    });
    AxleSpec { left: f(spec.left), right: f(spec.right), holds, ..spec.clone() }
}

#[test]
fn a_live_axle_turned_round() {
    let mut random = cars::Random(4);
    for guided in [false, true] {
        let mut spec = cars::live_axle();
        (spec.camber_deg, spec.toe_deg) = (-0.7, 0.2);
        for hold in &mut spec.holds {
            if let AxleHold::Rod { inner, outer } = hold {
                (*inner, *outer) = (*inner + random.vector(25.0), *outer + random.vector(25.0));
            }
        }
        // The wheel centres need not lie square to the car.
        (spec.left, spec.right) = (Vec3::new(6.0, 705.0, 303.0), Vec3::new(-4.0, -695.0, 298.0));
        if guided {
            let (point, normal) = (Vec3::new(-30.0, 480.0, 340.0), Vec3::new(0.1, 1.0, 0.05));
            spec.holds[3] = AxleHold::Guide { point, normal };
        }
        let mut ahead = mapped(&spec, fore_and_aft);
        ahead.toe_deg = -spec.toe_deg;
        let mut mirrored = mapped(&spec, Vec3::mirrored);
        std::mem::swap(&mut mirrored.left, &mut mirrored.right);
        let axle = |spec: AxleSpec| LiveAxle::new(spec).unwrap();
        let (one, ahead, mirrored) = (axle(spec), axle(ahead), axle(mirrored));
        for (left, right) in [(0.0, 0.0), (45.0, 45.0), (50.0, -30.0), (-20.0, 35.0)] {
            let of = |axle: &LiveAxle, l, r| axle.outputs(&axle.solve(l, r).unwrap()).unwrap();
            let (a, b, c) = (of(&one, left, right), of(&ahead, left, right), of(&mirrored, right, left));
            for (found, expected) in [
                (b.camber[0], a.camber[0]),
                (b.camber[1], a.camber[1]),
                (b.toe[0], -a.toe[0]),
                (b.toe[1], -a.toe[1]),
                (b.steer, -a.steer),
                (b.roll, a.roll),
                (b.pitch, -a.pitch),
                (b.forward, -a.forward),
                (b.sideways, a.sideways),
                (b.roll_centre, a.roll_centre),
                (b.roll_steer, -a.roll_steer),
                (c.camber[1], a.camber[0]),
                (c.camber[0], a.camber[1]),
                (c.toe[1], a.toe[0]),
                (c.toe[0], a.toe[1]),
                (c.steer, -a.steer),
                (c.roll, -a.roll),
                (c.pitch, a.pitch),
                (c.forward, a.forward),
                (c.sideways, -a.sideways),
                (c.roll_centre, a.roll_centre),
                (c.roll_steer, a.roll_steer),
            ] {
                close(found, expected, 1e-9, &format!("{left} {right}"));
            }
        }
    }
}
