//! What must not be believed: wrong assemblies, toggles, positions out of reach, impossible cars.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod cars;

use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{
    AxleHold, BadAxle, BadTwistBeam, Carrier, Corner, CornerSpec, Extended, Finding, Layout, Limited,
    LiveAxle, Member, Point, RoundPart, Trouble, TwistBeamSpec, Tyre,
};
use axlestand_geometry::{Mat3, Pose, Twist, Vec3};

#[test]
fn of_twenty_thousand_random_starts_none_is_returned_wrong() {
    for spec in cars::every_layout() {
        let corner = Corner::new(spec).unwrap();
        let mut random = cars::Random(20_000);
        let (mut right, mut other, mut none) = (0, 0, 0);
        for i in 0..20_000 {
            // Every fifth start asks for a position some way off instead of the neighbour's own.
            let (travel, rack) =
                if i % 5 == 0 { (20.0 * random.next(), 5.0 * random.next()) } else { (0.0, 0.0) };
            let truth = corner.solve(travel, rack).unwrap().pose;
            let normal = |r: &mut cars::Random, size: f64| {
                Vec3::new(r.normal() * size, r.normal() * size, r.normal() * size)
            };
            // 60 mm and 15°, one standard deviation each coordinate.
            let away = Twist { shift: normal(&mut random, 60.0), turn: normal(&mut random, 0.262) };
            let start = corner.design().pose.moved(&away);
            match corner.solve_from(&start, corner.design(), travel, rack) {
                Ok(found) => {
                    let off = (found.pose.origin - truth.origin).norm();
                    assert!(
                        off < 1e-7 && found.pose.turned_from_deg(&truth) < 1e-4,
                        "wrong one returned: {off}"
                    );
                    assert!(corner.closure(&found) < 1e-9);
                    right += 1;
                }
                Err(Trouble::WrongBranch { turned_deg, .. }) => {
                    assert!(turned_deg.is_finite());
                    other += 1;
                }
                Err(_) => none += 1,
            }
        }
        println!(
            "{}: {right} right, {other} other assemblies refused, {none} not closed",
            corner.spec().layout
        );
        assert!(right > 18_000);
    }
}

#[test]
fn starts_that_are_not_numbers() {
    let corner = Corner::new(cars::strut()).unwrap();
    let nowhere = Pose { origin: Vec3::new(f64::NAN, 0.0, 0.0), turn: Mat3::identity() };
    let refused = |t: Result<_, Trouble>| matches!(t, Err(Trouble::NotANumber { .. }));
    assert!(refused(corner.solve_from(&nowhere, corner.design(), 0.0, 0.0)));
    assert!(refused(corner.solve(f64::NAN, 0.0)) && refused(corner.solve(0.0, f64::INFINITY)));
}

#[test]
fn beyond_reach_is_named_and_never_a_number() {
    for spec in cars::every_layout() {
        let corner = Corner::new(spec).unwrap();
        for travel in [-3000.0, -600.0, 600.0, 3000.0] {
            match corner.at(travel, 0.0) {
                Err(Trouble::Unreachable { reached, members, asked }) => {
                    assert!(reached.travel.abs() < travel.abs() && !members.is_empty());
                    assert!((asked.travel - travel).abs() < 1e-12);
                    // The place it names can be reached, and not much more.
                    let back = corner.solve(reached.travel * 0.98, 0.0).unwrap();
                    assert!(back.margin > 0.0);
                    assert!(corner.solve(reached.travel + travel.signum() * 0.5, 0.0).is_err());
                }
                Err(Trouble::BarOverCentre { .. } | Trouble::Singular { .. }) => {}
                other => panic!("{} {travel}: {other:?}", corner.spec().layout),
            }
        }
    }
}

#[test]
fn steering_toggle_names_the_tie_rod() {
    // Pulled far, the tie rod comes in line with the steering arm.
    let corner = Corner::new(cars::rill()).unwrap();
    let found = corner.solve(0.0, -400.0);
    let Err(Trouble::Unreachable { ref members, reached, .. }) = found else { panic!("{found:?}") };
    assert!(members.contains(&Member::Rod(Point::TieRodInner, Point::TieRodOuter)), "{members:?}");
    let near = corner.solve(0.0, reached.rack * 0.999).unwrap();
    assert!(near.margin < 0.3, "close to the toggle: {}", near.margin);
    let text = found.unwrap_err().to_string();
    assert!(text.contains("outer tie-rod joint") && text.contains("reached"), "{text}");
}

/// A level trailing arm of 430 mm lifts the wheel by 430 mm and no more. A place a hair beyond is the toggle itself;
/// one farther off is out of reach. The same of a rack.
#[test]
fn the_toggle_itself_is_told_from_what_lies_beyond() {
    let arm = CornerSpec::new(Layout::SemiTrailing, Side::Left, 310.0)
        .with(Point::ArmInnerPivot, 430.0, 250.0, 310.0)
        .with(Point::ArmOuterPivot, 430.0, 560.0, 310.0)
        .with(Point::WheelCentre, 0.0, 720.0, 310.0);
    let arm = Corner::new(arm).unwrap();
    for sign in [1.0, -1.0] {
        assert!(arm.at(sign * 429.9, 0.0).is_ok());
        let just = arm.at(sign * 430.03, 0.0);
        let Err(Trouble::Singular { at, .. }) = just else { panic!("{just:?}") };
        assert!((at.travel - sign * 430.03).abs() < 1e-12);
        let beyond = arm.at(sign * 430.2, 0.0);
        let Err(Trouble::Unreachable { reached, .. }) = beyond else { panic!("{beyond:?}") };
        assert!((reached.travel - sign * 430.0).abs() < 0.01, "{reached:?}");
    }
    let steered = Corner::new(cars::rill()).unwrap();
    for far in [-400.0, 400.0] {
        let found = steered.solve(0.0, far);
        let Err(Trouble::Unreachable { reached, .. }) = found else { panic!("{found:?}") };
        let toggle = |beyond: f64| steered.solve(0.0, reached.rack + beyond * far.signum());
        let found = toggle(0.03);
        assert!(matches!(found, Err(Trouble::Singular { .. })), "{found:?}");
        let found = toggle(0.3);
        assert!(matches!(found, Err(Trouble::Unreachable { .. })), "{found:?}");
    }
}

/// A level trailing arm of 430 mm, lifted by 20 mm, has moved by 20.0 mm. It is no neighbour of where it stood unless
/// the step asked for is at least 7.5 mm: 5 mm and twice the way that the wheel goes at its design position.
#[test]
fn a_neighbour_is_no_farther_than_the_step_makes_it() {
    let spec = CornerSpec::new(Layout::SemiTrailing, Side::Left, 310.0)
        .with(Point::ArmInnerPivot, 430.0, 250.0, 310.0)
        .with(Point::ArmOuterPivot, 430.0, 560.0, 310.0)
        .with(Point::WheelCentre, 0.0, 720.0, 310.0);
    let corner = Corner::new(spec).unwrap();
    for travel in [20.0, -20.0] {
        let lifted = corner.solve(travel, 0.0).unwrap();
        for (step, near) in [(0.0, false), (7.3, false), (7.7, true), (-7.3, false), (-7.7, true)] {
            let mut from = *corner.design();
            from.input.travel = travel + step;
            let found = corner.solve_from(&lifted.pose, &from, travel, 0.0);
            assert_eq!(found.is_ok(), near, "{travel} {step} {found:?}");
            if let Err(trouble) = found {
                let Trouble::WrongBranch { turned_deg, moved_mm, asked } = trouble else {
                    panic!("{trouble:?}")
                };
                assert!((turned_deg - (20.0_f64 / 430.0).asin().to_degrees()).abs() < 1e-6);
                assert!((moved_mm - 20.005).abs() < 1e-2 && (asked.travel - travel).abs() < 1e-12);
            }
        }
    }
    // The same of the turn: 0.035 rad, and twice what the rack turns the wheel by at the design position.
    let corner = Corner::new(cars::rill()).unwrap();
    let turned =
        |rack: f64| corner.solve(0.0, rack).unwrap().pose.turned_from_deg(&corner.design().pose).to_radians();
    let rate = turned(0.01) / 0.01;
    let rack = 20.0;
    let least = (turned(rack) - 0.035) / 2.0 / rate;
    assert!(least > 1.0, "{least}");
    for (step, near) in
        [(0.98 * least, false), (1.02 * least, true), (-0.98 * least, false), (-1.02 * least, true)]
    {
        let steered = corner.solve(0.0, rack).unwrap();
        let mut from = *corner.design();
        from.input.rack = rack + step;
        assert_eq!(corner.solve_from(&steered.pose, &from, 0.0, rack).is_ok(), near, "{step}");
    }
}

/// A level damper much shorter than the links is longer both with the wheel up and down: what is shorter than
/// the shortest of many places is nowhere.
#[test]
fn a_damper_length_that_never_comes_is_no_travel() {
    let level = cars::five_link().with(Point::DamperTop, 0.0, 590.0, 310.0).with(
        Point::DamperSeat,
        0.0,
        690.0,
        310.0,
    );
    let corner = Corner::new(level).unwrap();
    let lengths: Vec<f64> = (-120..=120)
        .map(|travel| {
            let at = corner.solve(f64::from(travel), 0.0).unwrap();
            corner.outputs(&at).unwrap().damper_length.unwrap()
        })
        .collect();
    let shortest = lengths.iter().copied().fold(f64::INFINITY, f64::min);
    assert!(shortest < lengths[0] - 1.0 && shortest < lengths[240] - 1.0, "the shortest lies between");
    let found = corner.travel_at_damper(shortest - 0.5);
    let Err(Trouble::NeverThatLong { nearest, .. }) = found else { panic!("{found:?}") };
    assert!(nearest > shortest - 0.01, "{nearest} {shortest}");
    assert!(corner.travel_at_damper(shortest + 0.5).is_ok());
}

#[test]
fn the_ends_of_damper_and_drive_axle() {
    let mut spec = cars::full_strut();
    spec.limits.damper_open = Some(440.0);
    spec.limits.damper_closed = Some(330.0);
    spec.limits.plunge_out = Some(60.0);
    spec.limits.axle_outer_deg = Some(45.0);
    let corner = Corner::new(spec).unwrap();
    let ends = corner.travel_ends().unwrap();
    for (travel, length) in [(ends.droop.unwrap(), 440.0), (ends.bump.unwrap(), 330.0)] {
        let at = corner.solve(travel, 0.0).unwrap();
        let out = corner.outputs(&at).unwrap();
        assert!((out.damper_length.unwrap() - length).abs() < 1e-6);
    }
    let long = corner.at(-80.0, 0.0);
    let Err(Trouble::OverExtended { part: Extended::DamperOpen, by_mm, .. }) = long else {
        panic!("{long:?}")
    };
    assert!((by_mm - 19.912).abs() < 1e-3, "{by_mm}");
    assert!(matches!(corner.at(75.0, 0.0), Err(Trouble::OverExtended { part: Extended::DamperClosed, .. })));

    let verdicts = corner.verdicts(&corner.at(30.0, 0.0).unwrap().1);
    let outer = verdicts.iter().find(|v| v.what == Limited::AxleOuter).unwrap();
    assert!(outer.margin().unwrap() > 30.0);
    let inner = verdicts.iter().find(|v| v.what == Limited::AxleInner).unwrap();
    assert!(inner.value > 0.0 && inner.margin().is_none(), "no limit, no verdict");
}

/// Each end with how far the part is past it.
#[test]
fn each_end_is_told_with_how_far_it_is_passed() {
    let at = |travel: f64, set: fn(&mut axlestand_geometry::kinematics::Limits, f64), limit: f64| {
        let mut spec = cars::full_strut();
        set(&mut spec.limits, limit);
        Corner::new(spec).unwrap().at(travel, 0.0).map(|_| ())
    };
    let free = Corner::new(cars::full_strut()).unwrap();
    let out = |travel: f64| free.at(travel, 0.0).unwrap().1;
    let long = out(-60.0).damper_length.unwrap();
    let short = out(60.0).damper_length.unwrap();
    // The axle's joints come apart in bump, by 1.75 mm at 40 mm, and nearer in droop.
    let (apart, nearer) = (out(60.0).axle_plunge.unwrap(), -out(-60.0).axle_plunge.unwrap());
    assert!(apart > 1.0 && nearer > 1.0 && long > short);
    type Set = fn(&mut axlestand_geometry::kinematics::Limits, f64);
    let cases: [(f64, Set, f64, f64, Extended); 4] = [
        (-60.0, |l, x| l.damper_open = Some(x), long, -1.0, Extended::DamperOpen),
        (60.0, |l, x| l.damper_closed = Some(x), short, 1.0, Extended::DamperClosed),
        (60.0, |l, x| l.plunge_out = Some(x), apart, -1.0, Extended::AxleOut),
        (-60.0, |l, x| l.plunge_in = Some(x), nearer, -1.0, Extended::AxleIn),
    ];
    for (travel, set, value, sign, end) in cases {
        assert_eq!(at(travel, set, value - sign * 1e-3), Ok(()), "{end}");
        let found = at(travel, set, value + sign * 0.75);
        let Err(Trouble::OverExtended { part, by_mm, asked }) = found else { panic!("{end} {found:?}") };
        assert!(part == end && (by_mm - 0.75).abs() < 1e-9, "{part} {by_mm}");
        assert!((asked.travel - travel).abs() < 1e-12);
    }
}

/// The worst of each over a grid is the largest that any single position has, and where.
#[test]
fn the_worst_of_a_grid_is_the_largest_of_its_places() {
    let mut spec = cars::full_strut();
    spec.limits.plunge_in = Some(5.0);
    spec.limits.plunge_out = Some(6.0);
    spec.limits.bar_link_deg = Some(40.0);
    let corner = Corner::new(spec).unwrap();
    let (travels, racks) = ([-60.0, -10.0, 0.0, 25.0, 60.0], [-50.0, 0.0, 40.0]);
    let worst = corner.worst_over(&travels, &racks).unwrap();
    let mut all = Vec::new();
    for travel in travels {
        for rack in racks {
            let out = corner.at(travel, rack).unwrap().1;
            for verdict in corner.verdicts(&out) {
                let value = match verdict.what {
                    Limited::Joint(point) => {
                        let place = corner.spec().joints.iter().position(|j| j.point == point).unwrap();
                        out.joints[place].unwrap().abs()
                    }
                    Limited::AxleInner => out.axle_inner.unwrap(),
                    Limited::AxleOuter => out.axle_outer.unwrap(),
                    Limited::PlungeIn => (-out.axle_plunge.unwrap()).max(0.0),
                    Limited::PlungeOut => out.axle_plunge.unwrap().max(0.0),
                    Limited::BarLink => out.bar_link_tilt.unwrap(),
                };
                assert!((verdict.value - value).abs() < 1e-9, "{}", verdict.what);
                all.push((verdict, travel, rack));
            }
        }
    }
    assert_eq!(worst.len(), 8, "three joints, two angles, two plunges, the bar link");
    for w in &worst {
        let same = all.iter().filter(|(v, ..)| v.what == w.verdict.what);
        let (most, travel, rack) = same.max_by(|a, b| a.0.value.total_cmp(&b.0.value)).unwrap();
        assert!((most.value - w.verdict.value).abs() < 1e-9, "{}", w.verdict.what);
        assert!((travel - w.travel).abs() < 1e-12 && (rack - w.rack).abs() < 1e-12, "{}", w.verdict.what);
        assert_eq!(w.verdict.margin(), w.verdict.limit.map(|limit| limit - w.verdict.value));
    }
    let limit = |what| worst.iter().find(|w| w.verdict.what == what).unwrap().verdict.limit;
    assert_eq!(limit(Limited::PlungeIn), Some(5.0));
    assert_eq!(limit(Limited::PlungeOut), Some(6.0));
    assert_eq!(limit(Limited::BarLink), Some(40.0));
    assert_eq!(limit(Limited::AxleInner), None);
    assert!(corner.worst_over(&[0.0, 2000.0], &[0.0]).is_err());
}

#[test]
fn drive_axle_and_joint_angles_of_the_strut() {
    // Recorded from a separate script on the same invented points.
    let mut spec = cars::full_strut();
    spec.limits.axle_outer_deg = Some(45.0);
    let corner = Corner::new(spec).unwrap();
    for (travel, plunge, inner, outer) in [
        (-80.0, -3.22, 11.43, 9.73),
        (-40.0, -1.60, 5.39, 4.92),
        (0.0, 0.0, 1.46, 1.27),
        (40.0, 1.75, 6.97, 5.87),
        (80.0, 3.84, 13.05, 11.67),
    ] {
        let out = corner.at(travel, 0.0).unwrap().1;
        let near = |a: Option<f64>, b: f64| assert!((a.unwrap() - b).abs() < 6e-3, "{travel}: {a:?} {b}");
        near(out.axle_plunge, plunge);
        near(out.axle_inner, inner);
        near(out.axle_outer, outer);
    }
    let tilt = |travel| corner.at(travel, 0.0).unwrap().1.joints[0].unwrap();
    let (droop, bump) = (tilt(-80.0), tilt(80.0));
    assert!((droop - -13.7).abs() < 0.06 && (bump - 9.6).abs() < 0.06, "{droop} {bump}");
    // The ball joint swings with the arm: ±13.3° over ±80 mm, less the knuckle's own turn.
    let arm = |travel| corner.at(travel, 0.0).unwrap().1.lower_arm_turn.unwrap();
    assert!((arm(-80.0) - -13.3).abs() < 0.06, "{}", arm(-80.0));
    // At the design position it has not swung; the knuckle leans by far less than the arm turns.
    let ball = |travel| corner.at(travel, 0.0).unwrap().1.joints[2].unwrap();
    assert!(ball(0.0) < 1e-6, "{}", ball(0.0));
    for travel in [-80.0, 80.0] {
        assert!((ball(travel) - arm(travel).abs()).abs() < 4.0, "{} {}", ball(travel), arm(travel));
    }
    // Steered by −70 mm of rack: 31.4° of heading, outer joint at 32.9°.
    let out = corner.at(0.0, -70.0).unwrap().1;
    assert!((out.heading - 31.4).abs() < 0.1 && (out.axle_outer.unwrap() - 32.9).abs() < 0.05, "{out:?}");

    let worst = corner.worst_over(&[-80.0, 0.0, 80.0], &[-70.0, 0.0, 70.0]).unwrap();
    let outer = worst.iter().find(|w| w.verdict.what == Limited::AxleOuter).unwrap();
    assert!(outer.rack.abs() > 60.0 && outer.verdict.value > 33.0 && outer.verdict.margin().unwrap() > 0.0);
}

/// The tilt out of a housing is the same whichever way the housing's axis is written down.
#[test]
fn either_end_of_a_housings_axis_will_do() {
    let turned = |sign: f64| {
        let mut spec = cars::full_strut();
        spec.joints[1].axis = Vec3::new(0.0, sign, 0.0);
        Corner::new(spec).unwrap().at(40.0, 10.0).unwrap().1.joints[1].unwrap()
    };
    let (one, other) = (turned(1.0), turned(-1.0));
    assert!((one - other).abs() < 1e-12 && one > 0.0 && one < 45.0, "{one} {other}");
}

#[test]
fn bar_link_over_centre_is_said() {
    let mut spec = cars::full_strut();
    // A short link nearly in line with the arm: it cannot follow the droop.
    spec.set(Point::BarLinkEnd, Vec3::new(-52.0, 600.0, 245.0));
    let corner = Corner::new(spec).unwrap();
    let found = corner.at(-80.0, 0.0).map(|o| o.1.bar_link_tilt);
    assert!(matches!(found, Err(Trouble::BarOverCentre { .. })), "{found:?}");
    // The sound one follows the strut with its arm end nearly 1:1.
    let corner = Corner::new(cars::full_strut()).unwrap();
    let out = corner.at(0.0, 0.0).unwrap().1;
    assert!(out.bar_turn.unwrap().abs() < 1e-9 && (0.8..1.1).contains(&out.bar_ratio.unwrap()), "{out:?}");
    assert!(out.bar_link_tilt.unwrap() < 15.0);
}

#[test]
fn tyre_and_strut() {
    let corner = Corner::new(cars::strut()).unwrap();
    let tube = RoundPart { radius: 26.0, from: -60.0, to: 60.0 };
    let tyre = Tyre { radius: 300.0, width: 165.0, outboard: 0.0 };
    let gap = corner.tyre_gap(corner.design(), &tyre, &tube).unwrap();
    // By hand at the tube's lower end, 60 mm down the axis: (−9, 637.8, 360.8) mm is 97.2·cos 0.5° less
    // the camber's share inboard of the wheel's plane.
    let along = 60.0 * 63.0 / (19.0_f64.powi(2) + 63.0_f64.powi(2) + 380.0_f64.powi(2)).sqrt();
    let inboard = 107.0 - along;
    let height = 130.0 - 60.0 * 380.0 / 385.655;
    let n = 0.5_f64.to_radians();
    let by_hand = inboard * n.cos() - height * n.sin() - 82.5 - 26.0;
    assert!((gap - by_hand).abs() < 0.01, "{gap} {by_hand}");
    let spaced = corner.tyre_gap(corner.design(), &Tyre { outboard: 10.0, ..tyre }, &tube).unwrap();
    assert!((spaced - gap - 10.0).abs() < 0.01);
    assert_eq!(Corner::new(cars::rill()).unwrap().tyre_gap(corner.design(), &tyre, &tube), None);
}

/// An upright strut beside an upright wheel: the tube's places beside, above and off the tyre's edge, by right-angled
/// triangles.
#[test]
fn tyre_and_an_upright_strut() {
    let spec = cars::strut()
        .with(Point::LowerBall, 0.0, 620.0, 190.0)
        .with(Point::StrutSeat, 0.0, 620.0, 420.0)
        .with(Point::StrutTop, 0.0, 620.0, 800.0);
    let mut spec = spec;
    spec.camber_deg = 0.0;
    let corner = Corner::new(spec).unwrap();
    // The axis is 115 mm inboard of the wheel's middle, the lower point 130 mm above its centre.
    let gap = |from: f64, to: f64, tyre: Tyre, radius: f64| {
        corner.tyre_gap(corner.design(), &tyre, &RoundPart { radius, from, to }).unwrap()
    };
    let tyre = Tyre { radius: 300.0, width: 165.0, outboard: 0.0 };
    let near = |found: f64, expected: f64| assert!((found - expected).abs() < 1e-6, "{found} {expected}");
    // Beside the tyre's wall.
    near(gap(0.0, 100.0, tyre, 26.0), 115.0 - 82.5 - 26.0);
    // Above its tread: 200 mm along is 330 mm above the centre, 30 above and 32.5 beside.
    near(gap(200.0, 260.0, tyre, 26.0), 30.0_f64.hypot(32.5) - 26.0);
    near(gap(260.0, 200.0, tyre, 26.0), 30.0_f64.hypot(32.5) - 26.0);
    // A spring seat of 80 mm over a tyre that is set in by 115 mm: right above the tread.
    let inboard = Tyre { outboard: -115.0, ..tyre };
    near(gap(250.0, 300.0, inboard, 80.0), 380.0 - 300.0 - 80.0);
    // Through the tyre: as deep as the nearer of wall and tread.
    near(gap(100.0, 100.0, inboard, 26.0), -70.0_f64.min(82.5) - 26.0);
}

/// The findings of a corner that must be refused.
fn refused(spec: CornerSpec) -> Vec<Finding> {
    Corner::new(spec).map(|_| ()).unwrap_err().findings
}

#[test]
fn missing_points_are_all_named_at_once() {
    let spec = CornerSpec::new(Layout::Strut, Side::Left, 290.0).with(Point::WheelCentre, 0.0, 735.0, 290.0);
    let findings = refused(spec);
    assert_eq!(findings.len(), 7);
    assert!(findings.iter().all(|f| matches!(f, Finding::Missing { .. })));
    assert!(findings[0].to_string().contains("lower ball joint"), "{}", findings[0]);
}

#[test]
fn bad_cars_are_refused_by_the_names_of_their_points() {
    let zero = cars::strut().with(Point::TieRodInner, -140.0, 664.0, 222.0);
    assert!(refused(zero).iter().any(|f| {
        matches!(f, Finding::ZeroLength { from: Point::TieRodInner, to: Point::TieRodOuter, .. })
    }));

    let one_pivot = cars::strut().with(Point::LowerRear, 10.0, 345.0, 212.0);
    assert!(refused(one_pivot).iter().any(|f| f.points() == [Point::LowerFront, Point::LowerRear]));

    let base = cars::strut();
    let swapped = |a: Point, b: Point| {
        let mut spec = base.clone();
        let (pa, pb) = (base.point(a).unwrap(), base.point(b).unwrap());
        spec.set(a, pb);
        spec.set(b, pa);
        refused(spec)
    };
    let has = |f: &[Finding], wanted: &Finding| f.contains(wanted);
    let (inner, outer) = (Point::TieRodInner, Point::TieRodOuter);
    assert!(has(&swapped(inner, outer), &Finding::SwappedEnds { inner, outer }));
    let (upper, lower) = (Point::StrutTop, Point::StrutSeat);
    assert!(has(&swapped(upper, lower), &Finding::SwappedHeights { upper, lower }));

    let mut inches = cars::strut();
    let mut right = cars::strut();
    for (point, p) in base.points() {
        inches.set(point, p.times(1.0 / 25.4));
        right.set(point, p.mirrored());
    }
    let found = refused(inches);
    let Finding::OtherUnit { unit: "inches", points, .. } = &found[0] else { panic!("{found:?}") };
    assert_eq!(points.len(), 8);
    let found = refused(right);
    let other = |f: &&Finding| matches!(f, Finding::OtherSide { side: Side::Left, .. });
    assert_eq!(found.iter().filter(other).count(), 8, "{found:?}");

    let one_wrong_sign = cars::strut().with(Point::LowerBall, 5.0, -690.0, 190.0);
    let found = refused(one_wrong_sign);
    assert!(found.iter().any(|f| f.points() == [Point::LowerBall]), "{found:?}");

    let far = cars::strut().with(Point::TieRodOuter, -1400.0, 665.0, 222.0);
    assert!(refused(far).iter().any(|f| f.points() == [Point::TieRodOuter]));

    let nan = cars::strut().with(Point::StrutTop, f64::NAN, 565.0, 800.0);
    assert_eq!(refused(nan), [Finding::NotANumber { point: Point::StrutTop }]);

    let mut camber = cars::strut();
    camber.camber_deg = f64::INFINITY;
    assert!(matches!(refused(camber)[..], [Finding::BadNumber { .. }]));
}

#[test]
fn front_and_rear_pivots_swapped_is_a_doubt() {
    let spec = cars::strut().with(Point::LowerFront, -300.0, 370.0, 222.0).with(
        Point::LowerRear,
        10.0,
        345.0,
        212.0,
    );
    let corner = Corner::new(spec).unwrap();
    let doubt = Finding::SwappedPivots { front: Point::LowerFront, rear: Point::LowerRear };
    assert_eq!(corner.doubts(), [doubt]);
    // It computes as the right one: an arm is the same whichever leg is called front.
    let (a, b) =
        (corner.at(40.0, 0.0).unwrap().1, Corner::new(cars::strut()).unwrap().at(40.0, 0.0).unwrap().1);
    assert!(
        (a.camber - b.camber).abs() < 1e-10
            && (a.lower_arm_turn.unwrap() - b.lower_arm_turn.unwrap()).abs() < 1e-9
    );
}

#[test]
fn links_that_do_not_hold_are_named() {
    // A tie rod that runs through the steering axis steers nothing.
    let spec = cars::strut().with(Point::TieRodOuter, 5.0, 690.0, 190.0);
    let found = refused(spec);
    let rod = [Point::TieRodInner, Point::TieRodOuter];
    assert!(
        found.iter().any(|f| matches!(f, Finding::NoSteeringArm { .. }) && f.points() == rod),
        "{found:?}"
    );
    // The same on a five-link, whose steering axis has no points: two links and the toe link meet.
    let spec = cars::five_link().with(Point::Link5Outer, 25.0, 690.0, 190.0).with(
        Point::Link2Outer,
        25.0,
        690.0,
        190.0,
    );
    assert!(refused(spec).iter().any(|f| matches!(f, Finding::NotHeld { .. })));
    // Five links of which two are one and the same.
    let mut spec = cars::five_link();
    for (a, b) in [(Point::Link1Inner, Point::Link5Inner), (Point::Link1Outer, Point::Link5Outer)] {
        let place = spec.point(a).unwrap();
        spec.set(b, place);
    }
    // The two push against each other with any force, and no other link takes part in it.
    let found = refused(spec);
    let points = found.last().unwrap().points();
    let repeated = [Point::Link1Inner, Point::Link1Outer, Point::Link5Inner, Point::Link5Outer];
    assert_eq!(points, repeated, "{found:?}");
}

#[test]
fn adjusters_that_cannot_be_set_are_refused() {
    use axlestand_geometry::kinematics::Adjuster;
    let mut spec = cars::strut();
    spec.adjusters = vec![(Adjuster::TieRod, 900.0)];
    let found = refused(spec);
    assert!(matches!(found[..], [Finding::AdjustersDoNotFit { .. }]), "{found:?}");
    let mut spec = cars::strut();
    spec.adjusters = vec![(Adjuster::TieRod, 0.0); 13];
    assert!(matches!(refused(spec)[..], [Finding::BadNumber { .. }]));
}

#[test]
fn bad_axles_and_beams() {
    let mut spec = cars::live_axle();
    spec.holds[3] = spec.holds[0];
    assert!(matches!(LiveAxle::new(spec), Err(BadAxle::NotHeld(_))));
    let mut spec = cars::live_axle();
    if let AxleHold::Rod { inner, outer } = &mut spec.holds[2] {
        *inner = *outer;
    }
    assert!(matches!(LiveAxle::new(spec), Err(BadAxle::ZeroLength(3))));
    let mut spec = cars::live_axle();
    (spec.left, spec.right) = (spec.right, spec.left);
    assert!(matches!(LiveAxle::new(spec), Err(BadAxle::WheelCentres { .. })));
    let axle = LiveAxle::new(cars::live_axle()).unwrap();
    assert!(matches!(axle.solve(1500.0, 1500.0), Err(Trouble::Unreachable { .. })));
    assert!(axle.solve(f64::NAN, 0.0).is_err());

    let v = Vec3::new;
    let beam = TwistBeamSpec {
        bushing: [v(420.0, 560.0, 330.0), v(420.0, -560.0, 330.0)],
        wheel: [v(0.0, 730.0, 300.0), v(0.0, -730.0, 300.0)],
        shear_centre: v(260.0, 0.0, 340.0),
        camber_deg: 0.0,
        toe_deg: 0.0,
    };
    assert!(beam.check().is_ok());
    let swapped = TwistBeamSpec { wheel: [beam.wheel[1], beam.wheel[0]], ..beam };
    assert!(swapped.check().unwrap_err().to_string().contains("left"));
    for no_arm in [beam.bushing, [v(390.0, 730.0, 300.0), v(0.0, -730.0, 300.0)]] {
        let refused = TwistBeamSpec { wheel: no_arm, ..beam }.check();
        assert!(matches!(refused, Err(BadTwistBeam::ZeroLength)), "{refused:?}");
    }
}

#[test]
fn leaf_springs_hold_an_axle() {
    let v = Vec3::new;
    let spec = axlestand_geometry::kinematics::AxleSpec::on_leaves(
        v(0.0, 700.0, 300.0),
        v(0.0, -700.0, 300.0),
        v(600.0, 450.0, 280.0),
        v(600.0, -450.0, 280.0),
    );
    let axle = LiveAxle::new(spec).unwrap();
    let bounce = axle.outputs(&axle.solve(50.0, 50.0).unwrap()).unwrap();
    assert!(bounce.steer.abs() < 1e-9 && bounce.roll.abs() < 1e-9 && bounce.sideways.abs() < 1e-9);
    // The axle turns about the pivots 450 mm ahead of it.
    let turn = ((50.0_f64 + 15.0) / 450.3).asin() - (15.0_f64 / 450.3).asin();
    assert!((bounce.pitch.abs() - turn.to_degrees()).abs() < 0.05, "{} {}", bounce.pitch, turn.to_degrees());
    let roll = axle.outputs(&axle.solve(30.0, -30.0).unwrap()).unwrap();
    assert!(roll.steer.abs() > 0.0 && roll.roll > 2.0);
}

#[test]
fn a_seat_on_a_part_the_layout_lacks_is_no_spring() {
    let mut spec = cars::full_five_link();
    spec.spring_on = Carrier::UpperArm;
    let out = Corner::new(spec).unwrap();
    assert!(out.outputs(out.design()).unwrap().spring_length.is_none());
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(400))]

    /// Whatever is typed, the answer is a finding, a trouble or ordinary numbers.
    #[test]
    fn garbage_never_becomes_a_number(
        layout in 0_usize..4,
        seed in proptest::num::u64::ANY,
        size in proptest::prop_oneof![0.1..60.0_f64, 100.0..2000.0_f64, 1e6..1e300_f64],
        travel in proptest::num::f64::ANY,
        rack in -300.0..300.0_f64,
    ) {
        let mut random = cars::Random(seed | 1);
        let base = cars::every_layout()[layout].clone();
        let spec = cars::jittered(&base, &mut random, size);
        let bad = |x: f64| !x.is_finite();
        if let Ok(corner) = Corner::new(spec) {
            for (travel, rack) in [(travel, rack), (rack, travel), (0.3 * rack, 0.2 * rack)] {
                if let Ok((at, out)) = corner.at(travel, rack) {
                    proptest::prop_assert!(at.pose.is_finite() && out.is_finite() && !bad(at.margin));
                    proptest::prop_assert!(corner.closure(&at) < 1e-9);
                }
            }
        }
    }
}
