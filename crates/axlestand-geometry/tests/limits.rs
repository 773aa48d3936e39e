//! Each limit in the description of a corner or an axle, tried just inside and just outside, one at a time. Where the
//! limits lie is common practice, no source; what is tested is that each stands where it is said to stand and that no
//! other finding comes in its place.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod cars;

use axlestand_geometry::Vec3;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{
    Adjuster, AxleHold, BadAxle, BadTwistBeam, BallJoint, Corner, CornerSpec, Finding, Input, Layout,
    LiveAxle, MOST_ADJUSTERS, MOST_JOINTS, Point as P, Swing, Trouble, TwistBeamSpec, WholeAxle,
    WholeAxleSpec, WholeLayout, check, check_axle,
};

const V: fn(f64, f64, f64) -> Vec3 = Vec3::new;

fn is_bad(spec: &CornerSpec, what: &str) -> bool {
    check(spec).iter().any(|f| matches!(f, Finding::BadNumber { what: w, .. } if w.contains(what)))
}

/// A number of the corner: its name in the finding, how it is set, values that pass, values that do not.
type Number = (&'static str, fn(&mut CornerSpec, f64), [f64; 2], [f64; 3]);

#[test]
fn numbers_of_a_corner() {
    let numbers: [Number; 3] = [
        ("design camber", |s, x| s.camber_deg = x, [-44.9, 44.9], [-45.1, 45.1, f64::NAN]),
        ("design toe", |s, x| s.toe_deg = x, [-44.9, 44.9], [-45.1, 45.1, f64::NAN]),
        ("loaded radius", |s, x| s.loaded_radius = x, [10.1, 1999.9], [9.9, 2000.1, f64::NAN]),
    ];
    for (what, set, good, bad) in numbers {
        let with = |x| {
            let mut spec = cars::strut();
            set(&mut spec, x);
            spec
        };
        assert!(good.iter().all(|x| check(&with(*x)).is_empty()), "{what}");
        assert!(bad.iter().all(|x| is_bad(&with(*x), what)), "{what}");
    }
}

#[test]
fn directions_of_a_corner() {
    let set: [fn(&mut CornerSpec, Vec3); 3] =
        [|s, v| s.rack = v, |s, v| s.bar_axis = v, |s, v| s.axle_axis = v];
    for set in set {
        for (direction, bad) in [
            (V(0.0, 1e-5, 0.0), false),
            (V(0.0, 1e-7, 0.0), true),
            (Vec3::default(), true),
            (V(f64::NAN, 1.0, 0.0), true),
            (V(0.0, f64::INFINITY, 0.0), true),
        ] {
            let mut spec = cars::strut();
            set(&mut spec, direction);
            assert_eq!(is_bad(&spec, "a direction"), bad, "{direction:?}");
            assert_eq!(check(&spec).is_empty(), !bad, "{direction:?}");
        }
    }
}

#[test]
fn adjusters_and_joints_of_a_corner() {
    let with = |adjuster, setting| {
        let mut spec = cars::strut();
        spec.adjusters = vec![(adjuster, setting)];
        spec
    };
    let (point, forward) = (P::LowerFront, V(1.0, 0.0, 0.0));
    let cam = |bolt, eccentricity, start_deg| Adjuster::Eccentric { point, bolt, eccentricity, start_deg };
    let turn = |bolt, axis| Adjuster::StrutTurn { bolt, axis };
    let good = [
        Adjuster::Shift { point, direction: forward },
        cam(forward, -5.0, -90.0),
        turn(Vec3::default(), forward),
        Adjuster::TieRod,
    ];
    for adjuster in good {
        assert!(check(&with(adjuster, -3.0)).is_empty(), "{adjuster:?}");
        for setting in [f64::NAN, f64::INFINITY] {
            assert!(is_bad(&with(adjuster, setting), "an adjuster's setting"), "{adjuster:?}");
        }
    }
    let nowhere = V(0.0, f64::NAN, 0.0);
    for adjuster in [
        Adjuster::Shift { point, direction: Vec3::default() },
        Adjuster::Shift { point, direction: nowhere },
        cam(Vec3::default(), 5.0, 0.0),
        turn(forward, Vec3::default()),
        turn(nowhere, forward),
    ] {
        assert!(is_bad(&with(adjuster, 1.0), "an adjuster's direction"), "{adjuster:?}");
    }
    for (eccentricity, start) in [(f64::NAN, 0.0), (5.0, f64::NAN), (f64::INFINITY, 0.0)] {
        assert!(is_bad(&with(cam(forward, eccentricity, start), 1.0), "an adjuster's setting"));
    }
    let joint =
        |axis| BallJoint { point: P::TieRodOuter, swing: Swing::StudAcrossRod, axis, limit_deg: None };
    for (adjusters, joints, axis) in [
        (MOST_ADJUSTERS, MOST_JOINTS, forward),
        (MOST_ADJUSTERS + 1, MOST_JOINTS, forward),
        (MOST_ADJUSTERS, MOST_JOINTS + 1, forward),
        (0, 1, Vec3::default()),
    ] {
        let mut spec = cars::strut();
        spec.adjusters = vec![(Adjuster::TieRod, 0.0); adjusters];
        spec.joints = vec![joint(axis); joints];
        assert_eq!(is_bad(&spec, "number of adjusters"), adjusters > MOST_ADJUSTERS);
        assert_eq!(is_bad(&spec, "the joints"), joints > MOST_JOINTS || axis.norm() < 0.5);
    }
}

#[test]
fn units_show_in_the_wheel_centre() {
    let cases = [
        (2.9, Some("metres")),
        (3.1, None),
        (14.9, None),
        (15.1, Some("inches")),
        (44.9, Some("inches")),
        (45.1, Some("centimetres")),
        (109.9, Some("centimetres")),
        (110.1, None),
    ];
    for (y, expected) in cases {
        for side in [Side::Left, Side::Right] {
            // The other points may still be missing.
            let spec =
                CornerSpec::new(Layout::Strut, side, 290.0).with(P::WheelCentre, 0.0, side.sign() * y, 290.0);
            let found = check(&spec).iter().find_map(|f| match f {
                Finding::OtherUnit { unit, outboard, points } => {
                    assert!((outboard - y).abs() < 1e-12 && *points == [P::WheelCentre]);
                    Some(*unit)
                }
                _ => None,
            });
            assert_eq!(found, expected, "{y} {side}");
        }
        let axle = WholeAxleSpec::new(WholeLayout::Leaves, 290.0).with(P::WheelCentre, 0.0, y, 290.0);
        let found = check_axle(&axle)
            .iter()
            .find_map(|f| if let Finding::OtherUnit { unit, .. } = f { Some(*unit) } else { None });
        assert_eq!(found, expected, "{y}");
    }
}

#[test]
fn points_of_a_corner_are_on_its_side_and_near_the_wheel() {
    for spec in [cars::full_strut(), cars::full_strut().mirrored()] {
        let sign = spec.side.sign();
        for (point, place) in spec.points().collect::<Vec<_>>() {
            let edge = if point.on_body() { -200.0 } else { 0.0 };
            for (y, other) in [(edge - 0.1, true), (edge + 0.1, false)] {
                let mut moved = spec.clone();
                moved.set(point, V(place.x, sign * y, place.z));
                let expected = Finding::OtherSide { point, side: spec.side, y: sign * y };
                // A wheel centre at nought is in another unit before it is on another side.
                let found = check(&moved).contains(&expected);
                assert_eq!(found, other && point != P::WheelCentre, "{point} {y}");
            }
            let wheel = spec.point(P::WheelCentre).unwrap();
            for (distance, far) in [(799.9, false), (800.1, true)] {
                let mut moved = spec.clone();
                moved.set(point, wheel + V(-distance, 0.0, 0.0));
                let found = check(&moved).iter().any(|f| {
                    matches!(f, Finding::FarFromWheel { point: p, distance: d }
                        if *p == point && (d - distance).abs() < 1e-9)
                });
                assert_eq!(found, far && !point.on_body() && point != P::WheelCentre, "{point} {distance}");
            }
        }
    }
}

#[test]
fn joints_that_are_too_near_each_other() {
    let bar_and_axle =
        [(P::BarArmEnd, P::BarLinkEnd), (P::BarPivot, P::BarArmEnd), (P::AxleInner, P::AxleOuter)];
    let sprung = [(P::SpringTop, P::SpringSeat), (P::DamperTop, P::DamperSeat)];
    let cases: [(CornerSpec, Vec<(P, P)>); 4] = [
        (
            cars::full_strut(),
            [&bar_and_axle[..], &[(P::LowerFront, P::LowerRear), (P::StrutTop, P::StrutSeat)]].concat(),
        ),
        (
            cars::full_wishbone(),
            [
                &bar_and_axle[..],
                &sprung,
                &[(P::LowerFront, P::LowerRear), (P::UpperFront, P::UpperRear), (P::LowerBall, P::UpperBall)],
            ]
            .concat(),
        ),
        (cars::full_five_link(), sprung.to_vec()),
        (cars::full_semi_trailing(), [&sprung[..], &[(P::ArmInnerPivot, P::ArmOuterPivot)]].concat()),
    ];
    for (spec, pairs) in cases {
        for (from, to) in pairs.into_iter().chain(spec.layout.rods().iter().copied()) {
            for (apart, short) in [(4.9, true), (5.1, false)] {
                let mut near = spec.clone();
                near.set(to, spec.point(from).unwrap() + V(0.0, 0.0, apart));
                let found = check(&near).iter().any(|f| {
                    matches!(f, Finding::ZeroLength { from: a, to: b, distance }
                        if (*a, *b) == (from, to) && (distance - apart).abs() < 1e-9)
                });
                assert_eq!(found, short, "{from} {to} {apart}");
            }
        }
    }
}

#[test]
fn ends_heights_and_pivots_in_their_order() {
    for spec in cars::every_layout() {
        let wheel = spec.point(P::WheelCentre).unwrap();
        let ends = spec.layout.rods().iter().copied().chain([(P::AxleInner, P::AxleOuter)]);
        for (inner, outer) in ends.filter(|(a, _)| spec.point(*a).is_some()) {
            for (farther, swapped) in [(0.9, false), (1.1, true)] {
                let mut turned = spec.clone();
                turned.set(inner, wheel + V(0.0, -200.0, 0.0));
                turned.set(outer, wheel + V(-200.0 - farther, 0.0, 0.0));
                let found = check(&turned).contains(&Finding::SwappedEnds { inner, outer });
                assert_eq!(found, swapped, "{inner} {outer} {farther}");
            }
        }
        let pairs =
            [(P::StrutTop, P::StrutSeat), (P::UpperBall, P::LowerBall), (P::SpringTop, P::SpringSeat)];
        for (upper, lower) in pairs {
            let (Some(a), Some(b)) = (spec.point(upper), spec.point(lower)) else { continue };
            for (above, swapped) in [(0.1, false), (0.0, true), (-0.1, true)] {
                let mut level = spec.clone();
                level.set(upper, V(a.x, a.y, b.z + above));
                let found = check(&level).contains(&Finding::SwappedHeights { upper, lower });
                assert_eq!(found, swapped, "{upper} {above}");
            }
        }
        for (front, rear) in [(P::LowerFront, P::LowerRear), (P::UpperFront, P::UpperRear)] {
            let (Some(a), Some(b)) = (spec.point(front), spec.point(rear)) else { continue };
            for (ahead, swapped) in [(0.1, false), (0.0, false), (-0.1, true)] {
                let mut across = spec.clone();
                across.set(front, V(b.x + ahead, a.y, a.z));
                let doubt = Finding::SwappedPivots { front, rear };
                assert_eq!(check(&across).contains(&doubt), swapped, "{front} {ahead}");
                assert!(!doubt.stops());
            }
        }
    }
    // Points that the layout does not use are not judged.
    let unused = cars::strut().with(P::UpperBall, 0.0, 690.0, 100.0);
    assert_eq!(check(&unused), []);
}

/// With an upright steering axis a tie rod that lies across passes it at the joint's distance ahead or behind.
#[test]
fn the_steering_arm_has_a_least_length() {
    for (lever, none) in [(14.9, true), (15.1, false), (-14.9, true), (-15.1, false)] {
        let x = 5.0 + lever;
        let strut = cars::strut()
            .with(P::StrutTop, 5.0, 690.0, 800.0)
            .with(P::TieRodInner, x, 330.0, 222.0)
            .with(P::TieRodOuter, x, 665.0, 222.0);
        let arms = cars::rill()
            .with(P::LowerBall, 5.0, 737.0, -145.0)
            .with(P::UpperBall, 5.0, 737.0, 162.0)
            .with(P::TieRodInner, x, 380.0, -40.0)
            .with(P::TieRodOuter, x, 690.0, -40.0);
        for spec in [strut, arms] {
            let found = check(&spec).iter().any(
                |f| matches!(f, Finding::NoSteeringArm { lever: l, .. } if (l - lever.abs()).abs() < 1e-9),
            );
            assert_eq!(found, none, "{lever}");
        }
    }
}

fn beam() -> TwistBeamSpec {
    TwistBeamSpec {
        bushing: [V(420.0, 560.0, 330.0), V(420.0, -560.0, 330.0)],
        wheel: [V(0.0, 730.0, 300.0), V(0.0, -730.0, 300.0)],
        shear_centre: V(260.0, 0.0, 340.0),
        camber_deg: 0.0,
        toe_deg: 0.0,
    }
}

#[test]
fn numbers_and_points_of_a_twist_beam() {
    let after = |change: &dyn Fn(&mut TwistBeamSpec)| {
        let mut spec = beam();
        change(&mut spec);
        spec.check().err()
    };
    for (angle, bad) in [(44.9, false), (-44.9, false), (45.1, true), (-45.1, true), (f64::NAN, true)] {
        let expected = bad.then_some(BadTwistBeam::NotANumber);
        assert_eq!(after(&|s| s.camber_deg = angle), expected, "{angle}");
        assert_eq!(after(&|s| s.toe_deg = angle), expected, "{angle}");
    }
    for nowhere in [f64::NAN, f64::INFINITY] {
        for i in [0, 1] {
            assert_eq!(after(&|s| s.bushing[i].x = nowhere), Some(BadTwistBeam::NotANumber));
            assert_eq!(after(&|s| s.wheel[i].z = nowhere), Some(BadTwistBeam::NotANumber));
        }
        assert_eq!(after(&|s| s.shear_centre.y = nowhere), Some(BadTwistBeam::NotANumber));
    }
    for (y, bad) in [(49.9, true), (50.1, false), (-60.0, true)] {
        let left = bad.then_some(BadTwistBeam::Sides("left wheel"));
        let right = bad.then_some(BadTwistBeam::Sides("right wheel"));
        assert_eq!(after(&|s| s.bushing[0].y = y), left, "{y}");
        assert_eq!(after(&|s| s.wheel[0].y = y), left, "{y}");
        assert_eq!(after(&|s| s.bushing[1].y = -y), right, "{y}");
        assert_eq!(after(&|s| s.wheel[1].y = -y), right, "{y}");
    }
    for (arm, bad) in [(49.9, true), (50.1, false)] {
        for i in [0, 1] {
            // Ahead and above count alike.
            for place in
                [V(arm, 560.0, 300.0), V(0.0, 560.0, 300.0 + arm), V(-0.6 * arm, 560.0, 300.0 - 0.8 * arm)]
            {
                let place = if i == 0 { place } else { place.mirrored() };
                let found = after(&|s| (s.bushing[i], s.shear_centre) = (place, V(260.0, 0.0, 600.0)));
                assert_eq!(found, bad.then_some(BadTwistBeam::ZeroLength), "{i} {place:?}");
            }
        }
    }
}

/// The wheel centre's distance from the line through bushing and shear centre is the arm on which it turns.
#[test]
fn a_shear_centre_in_line_leaves_no_arm() {
    for (arm, bad) in [(19.9, true), (20.1, false)] {
        for i in [0, 1] {
            let mut spec = beam();
            let (bushing, wheel) = (spec.bushing[i], spec.wheel[i]);
            let away = bushing - wheel;
            let aside = away.cross(V(0.0, 0.0, 1.0)).unit();
            // A line through the bushing that is inclined to the one to the wheel by asin(arm / distance).
            let sine = arm / away.norm();
            spec.shear_centre =
                bushing + away.unit().times(300.0 * (1.0 - sine * sine).sqrt()) + aside.times(300.0 * sine);
            assert_eq!(spec.check().err(), bad.then_some(BadTwistBeam::InLine), "{i} {arm}");
        }
    }
    for (apart, bad) in [(49.9, true), (50.1, false)] {
        let mut spec = beam();
        spec.shear_centre = spec.bushing[0] - V(0.0, apart, 0.0);
        assert_eq!(spec.check().err(), bad.then_some(BadTwistBeam::InLine), "{apart}");
    }
}

#[test]
fn numbers_and_points_of_a_live_axle() {
    let guide = |point, normal| AxleHold::Guide { point, normal };
    let mut base = cars::live_axle();
    base.holds[3] = guide(V(0.0, 480.0, 340.0), V(0.0, 1.0, 0.0));
    let after = |change: &dyn Fn(&mut axlestand_geometry::kinematics::AxleSpec)| {
        let mut spec = base.clone();
        change(&mut spec);
        LiveAxle::new(spec).err()
    };
    for (angle, bad) in [(44.9, false), (-44.9, false), (45.1, true), (-45.1, true), (f64::NAN, true)] {
        let expected = bad.then_some(BadAxle::NotANumber);
        assert_eq!(after(&|s| s.camber_deg = angle), expected, "{angle}");
        assert_eq!(after(&|s| s.toe_deg = angle), expected, "{angle}");
    }
    let nowhere = V(0.0, f64::NAN, 0.0);
    let rod = |inner, outer| AxleHold::Rod { inner, outer };
    assert_eq!(after(&|s| s.left = nowhere), Some(BadAxle::NotANumber));
    assert_eq!(after(&|s| s.right = nowhere), Some(BadAxle::NotANumber));
    for bad in [
        rod(nowhere, V(20.0, 480.0, 230.0)),
        rod(V(20.0, 480.0, 230.0), nowhere),
        guide(nowhere, V(0.0, 1.0, 0.0)),
        guide(V(0.0, 480.0, 340.0), nowhere),
    ] {
        assert_eq!(after(&|s| s.holds[3] = bad), Some(BadAxle::NotANumber), "{bad:?}");
    }
    for (y, bad) in [(99.9, true), (100.1, false)] {
        assert_eq!(after(&|s| s.left.y = y), bad.then_some(BadAxle::WheelCentres { left: y, right: -700.0 }));
        assert_eq!(
            after(&|s| s.right.y = -y),
            bad.then_some(BadAxle::WheelCentres { left: 700.0, right: -y })
        );
    }
    for i in 0..3 {
        for (length, bad) in [(4.9, true), (5.1, false)] {
            let found = after(&|s| {
                if let AxleHold::Rod { inner, outer } = &mut s.holds[i] {
                    *inner = *outer + (*inner - *outer).unit().times(length);
                }
            });
            assert_eq!(found, bad.then_some(BadAxle::ZeroLength(i + 1)), "{i} {length}");
        }
    }
    for (size, bad) in [(1e-7, true), (1e-5, false)] {
        let found = after(&|s| s.holds[3] = guide(V(0.0, 480.0, 340.0), V(0.0, size, 0.0)));
        assert_eq!(found, bad.then_some(BadAxle::NoDirection(4)), "{size}");
    }
}

fn whole(layout: WholeLayout) -> WholeAxleSpec {
    let spec = WholeAxleSpec::new(layout, 290.0).with(P::WheelCentre, 0.0, 730.0, 300.0);
    match layout {
        WholeLayout::TwistBeam => {
            spec.with(P::BeamPivot, 400.0, 560.0, 300.0).with(P::BeamShearCentre, 250.0, 0.0, 330.0)
        }
        WholeLayout::Links => spec
            .with(P::Link1Inner, 550.0, 480.0, 270.0)
            .with(P::Link1Outer, 20.0, 480.0, 230.0)
            .with(P::Link2Inner, 550.0, -480.0, 270.0)
            .with(P::Link2Outer, 20.0, -480.0, 230.0)
            .with(P::Link3Inner, 380.0, 0.0, 420.0)
            .with(P::Link3Outer, 0.0, 0.0, 430.0)
            .with(P::Link4Inner, -60.0, 520.0, 340.0)
            .with(P::Link4Outer, -60.0, -480.0, 330.0),
        WholeLayout::Leaves => spec.with(P::LeafFrontEye, 600.0, 480.0, 300.0),
    }
}

#[test]
fn numbers_of_an_axle_with_both_wheels() {
    for layout in [WholeLayout::TwistBeam, WholeLayout::Links, WholeLayout::Leaves] {
        let spec = whole(layout);
        assert_eq!(check_axle(&spec), [], "{layout:?}");
        for (angle, bad) in [(44.9, false), (-44.9, false), (45.1, true), (-45.1, true), (f64::NAN, true)] {
            for i in [0, 1] {
                let (mut camber, mut toe) = (spec.clone(), spec.clone());
                (camber.camber_deg[i], toe.toe_deg[i]) = (angle, angle);
                assert_eq!(check_axle(&camber).len(), usize::from(bad), "{angle}");
                assert_eq!(check_axle(&toe).len(), usize::from(bad), "{angle}");
            }
        }
        for (radius, bad) in [(9.9, true), (10.1, false), (1999.9, false), (2000.1, true), (f64::NAN, true)] {
            let mut odd = spec.clone();
            odd.loaded_radius = radius;
            let found = check_axle(&odd);
            let named = matches!(found[..], [Finding::BadNumber { what: "the loaded radius", .. }]);
            assert_eq!((named, found.len()), (bad, usize::from(bad)), "{radius}");
        }
    }
}

#[test]
fn points_of_an_axle_with_both_wheels() {
    let found = |layout, point, x, y, z| check_axle(&whole(layout).with(point, x, y, z));
    let beam = WholeLayout::TwistBeam;
    for (y, off) in [(29.9, false), (-29.9, false), (30.1, true), (-30.1, true)] {
        let expected = off.then_some(Finding::OffMiddle { point: P::BeamShearCentre, y });
        assert_eq!(found(beam, P::BeamShearCentre, 250.0, y, 330.0), Vec::from_iter(expected), "{y}");
    }
    for (y, other) in [(49.9, true), (50.1, false)] {
        for (layout, point, x) in [(beam, P::BeamPivot, 400.0), (WholeLayout::Leaves, P::LeafFrontEye, 600.0)]
        {
            let expected = other.then_some(Finding::OtherSide { point, side: Side::Left, y });
            assert_eq!(found(layout, point, x, y, 300.0), Vec::from_iter(expected), "{point} {y}");
        }
    }
    for (layout, from) in [(beam, P::BeamPivot), (WholeLayout::Leaves, P::LeafFrontEye)] {
        for (arm, none) in [(49.9, true), (50.1, false)] {
            let findings = found(layout, from, 0.6 * arm, 560.0, 300.0 - 0.8 * arm);
            let named = findings.iter().any(|f| {
                matches!(f, Finding::NoArm { from: a, to: P::WheelCentre, distance }
                    if *a == from && (distance - arm).abs() < 1e-9)
            });
            assert_eq!((named, findings.len()), (none, usize::from(none)), "{from} {arm}");
        }
        for (x, behind) in [(0.1, false), (0.0, false), (-0.1, true)] {
            let expected = behind.then_some(Finding::BehindWheel { point: from });
            assert_eq!(found(layout, from, x, 560.0, 400.0), Vec::from_iter(expected), "{from} {x}");
        }
    }
    // The wheel's distance from a level line through pivot and shear centre, as above.
    for (arm, in_line) in [(19.9, true), (20.1, false)] {
        let away = V(400.0, -170.0, 0.0);
        let sine = arm / away.norm();
        // From the pivot to the middle of the car along a line inclined upward.
        let run = 560.0 / 170.0;
        let rise = run * away.norm() * sine / (1.0 - sine * sine).sqrt();
        let findings = found(beam, P::BeamShearCentre, 400.0 + run * 400.0, 0.0, 300.0 + rise);
        assert_eq!(findings, Vec::from_iter(in_line.then_some(Finding::ShearCentreInLine)), "{arm}");
    }
}

#[test]
fn rods_of_a_live_axle() {
    let spec = whole(WholeLayout::Links);
    for point in [P::Link5Inner, P::Link5Outer] {
        assert_eq!(check_axle(&spec.clone().with(point, 300.0, 0.0, 300.0)), [Finding::FifthRod { point }]);
    }
    let rods = [
        (P::Link1Inner, P::Link1Outer),
        (P::Link2Inner, P::Link2Outer),
        (P::Link3Inner, P::Link3Outer),
        (P::Link4Inner, P::Link4Outer),
    ];
    for (inner, outer) in rods {
        let y = spec.point(outer).unwrap().y;
        for (distance, far) in [(599.9, false), (600.1, true)] {
            let spec = spec.clone().with(inner, 900.0, y, 300.0).with(
                outer,
                0.6 * distance,
                y,
                300.0 + 0.8 * distance,
            );
            let findings = check_axle(&spec);
            let named = findings.iter().any(|f| {
                matches!(f, Finding::FarFromAxle { point, distance: d }
                    if *point == outer && (d - distance).abs() < 1e-9)
            });
            assert_eq!((named, findings.len()), (far, usize::from(far)), "{outer} {distance}");
        }
        for (length, short) in [(4.9, true), (5.1, false)] {
            let at = spec.point(outer).unwrap();
            let findings = check_axle(&spec.clone().with(inner, at.x, at.y, at.z + length));
            let named = findings
                .iter()
                .any(|f| matches!(f, Finding::ZeroLength { from, to, .. } if (*from, *to) == (inner, outer)));
            assert_eq!((named, findings.len()), (short, usize::from(short)), "{inner} {length}");
        }
        for (nearer, swapped) in [(99.9, false), (100.1, true)] {
            let spec = spec.clone().with(inner, 200.0, y, 300.0).with(outer, 0.0, y, 300.0 + 200.0 + nearer);
            let expected = swapped.then_some(Finding::SwappedEnds { inner, outer });
            assert_eq!(check_axle(&spec), Vec::from_iter(expected), "{inner} {nearer}");
        }
    }
    let leaves = whole(WholeLayout::Leaves);
    for point in rods.iter().flat_map(|(a, b)| [*a, *b]) {
        let expected = Finding::BesideLeaves { point };
        assert!(!expected.stops());
        assert_eq!(check_axle(&leaves.clone().with(point, 100.0, 300.0, 300.0)), [expected]);
    }
}

/// A travel that is no number is told as such, not as one out of reach, whichever wheel's it is.
#[test]
fn travels_that_are_no_numbers_are_told_as_such() {
    let no_number = |trouble: Trouble| assert!(matches!(trouble, Trouble::NotANumber { .. }), "{trouble:?}");
    let (corner, axle) = (Corner::new(cars::strut()).unwrap(), LiveAxle::new(cars::live_axle()).unwrap());
    let wholes = [WholeLayout::TwistBeam, WholeLayout::Links].map(|l| WholeAxle::new(whole(l)).unwrap());
    for (a, b) in [(f64::NAN, 0.0), (0.0, f64::NAN), (f64::INFINITY, 0.0), (0.0, f64::NEG_INFINITY)] {
        no_number(corner.solve(a, b).unwrap_err());
        no_number(corner.solve_from(&corner.design().pose, corner.design(), a, b).unwrap_err());
        no_number(axle.solve(a, b).unwrap_err());
        no_number(beam().at(a, b).unwrap_err());
        for whole in &wholes {
            no_number(whole.at(a, b).unwrap_err());
        }
    }
    for length in [f64::NAN, f64::INFINITY] {
        no_number(Corner::new(cars::full_strut()).unwrap().travel_at_damper(length).unwrap_err());
    }
    // Links without a damper have no travel at any length of it.
    no_number(Corner::new(cars::five_link()).unwrap().travel_at_damper(400.0).unwrap_err());
    // The arm is 420 mm long: 600 mm are out of reach, asked of either wheel.
    for (left, right) in [(600.0, 0.0), (0.0, -600.0), (700.0, 700.0)] {
        let found = beam().at(left, right).unwrap_err();
        assert!(
            matches!(found, Trouble::ArmTooShort { asked } if asked == Input { travel: left, rack: right })
        );
    }
}

/// On a trailing arm of less than 50 mm a millimetre turns the wheel by more than a degree: it does not hold it.
#[test]
fn an_arm_has_a_least_length() {
    for (arm, held) in [(49.9, false), (50.1, true)] {
        let spec = CornerSpec::new(Layout::SemiTrailing, Side::Left, 310.0)
            .with(P::ArmInnerPivot, arm, 250.0, 310.0)
            .with(P::ArmOuterPivot, arm, 560.0, 310.0)
            .with(P::WheelCentre, 0.0, 720.0, 310.0);
        let found = Corner::new(spec).map(|_| ()).map_err(|bad| bad.findings);
        assert_eq!(found.is_ok(), held, "{arm} {found:?}");
        if let Err(findings) = found {
            assert!(matches!(findings[..], [Finding::NotHeld { .. }]), "{findings:?}");
        }
    }
}
