//! Axles that carry both wheels, against constructions by hand and finite differences.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

mod cars;

use axlestand_geometry::kinematics::{
    AxleHold, AxleSpec, Finding, LiveAxle, Point, TwistBeamSpec, WholeAxle, WholeAxleOutputs, WholeAxleSpec,
    WholeLayout, check_axle,
};
use axlestand_geometry::{Mat3, Vec3};

const RADIUS: f64 = 290.0;

fn beam_spec() -> WholeAxleSpec {
    WholeAxleSpec::new(WholeLayout::TwistBeam, RADIUS)
        .with(Point::WheelCentre, 0.0, 730.0, 300.0)
        .with(Point::BeamPivot, 400.0, 560.0, 300.0)
        .with(Point::BeamShearCentre, 250.0, 0.0, 330.0)
}

fn beam() -> WholeAxle {
    WholeAxle::new(beam_spec()).unwrap()
}

/// The live axle of the other checks, by named points.
fn links_spec() -> WholeAxleSpec {
    WholeAxleSpec::new(WholeLayout::Links, RADIUS)
        .with(Point::WheelCentre, 0.0, 700.0, 300.0)
        .with(Point::Link1Inner, 550.0, 480.0, 270.0)
        .with(Point::Link1Outer, 20.0, 480.0, 230.0)
        .with(Point::Link2Inner, 550.0, -480.0, 270.0)
        .with(Point::Link2Outer, 20.0, -480.0, 230.0)
        .with(Point::Link3Inner, 380.0, 0.0, 420.0)
        .with(Point::Link3Outer, 0.0, 0.0, 430.0)
        .with(Point::Link4Inner, -60.0, 520.0, 340.0)
        .with(Point::Link4Outer, -60.0, -480.0, 330.0)
}

fn close(found: f64, expected: f64, within: f64, what: &str) {
    assert!((found - expected).abs() < within, "{what}: {found}, expected {expected}");
}

#[test]
fn the_roll_centre_of_a_twist_beam_is_that_of_the_drawing() {
    // The line from pivot to shear centre goes through the plane of the wheel centres (x = 0) at
    // t = 400/150: (0, 560 − 560 t, 300 + 30 t) = (0, −933.33, 380). The line from there to the
    // contact point (0, 730, 10) crosses the middle at 10 + 370 · 730/1663.33 = 172.385, so the roll
    // centre is 162.385 mm above the ground.
    let out = beam().at(0.0, 0.0).unwrap();
    close(out.ground, 10.0, 1e-9, "ground");
    close(out.roll_centre.unwrap(), 162.385, 1e-3, "roll centre");
}

#[test]
fn the_roll_steer_of_a_twist_beam_is_the_turn_of_its_arms() {
    // The left arm turns about l = (−150, −560, 30) (pivot to shear centre); per mm of rise by
    // 1/|(l × (−400, 170, 0))_z| = 1/249 500 of l. Toe follows l_z, camber l_x; the roll is 1/730 rad
    // per mm of opposite travel.
    let out = beam().at(0.0, 0.0).unwrap();
    close(out.roll_steer.unwrap(), -30.0 / 249_500.0 * 730.0, 1e-9, "roll steer");
    let (up, down) = (beam().at(0.5, -0.5).unwrap(), beam().at(-0.5, 0.5).unwrap());
    close((up.camber[0] - down.camber[0]).to_radians(), -150.0 / 249_500.0, 1e-9, "camber rate in roll");
}

#[test]
fn a_twist_beam_that_trails_level_turns_about_its_pivots_in_side_view() {
    let out = beam().at(0.0, 0.0).unwrap();
    let [x, z] = out.side_centre.unwrap();
    close(x, 400.0, 1e-9, "instant centre ahead");
    close(z, 300.0, 1e-9, "instant centre up");
    close(out.centre_slope, 0.0, 1e-12, "the wheel centre goes straight up");
    close(out.contact_slope.unwrap(), -290.0 / 400.0, 1e-12, "the contact point goes rearward");
    // Halfway along the arm a spring that stands upright moves half as far; at the wheel centre the
    // damper as far.
    let sprung = beam_spec()
        .with(Point::SpringSeat, 200.0, 600.0, 300.0)
        .with(Point::SpringTop, 200.0, 600.0, 520.0)
        .with(Point::DamperSeat, 0.0, 640.0, 300.0)
        .with(Point::DamperTop, 0.0, 640.0, 700.0);
    let out = WholeAxle::new(sprung).unwrap().at(0.0, 0.0).unwrap();
    close(out.spring_ratio.unwrap(), 0.5, 1e-12, "spring");
    close(out.damper_ratio.unwrap(), 1.0, 1e-12, "damper");
    close(out.spring_length.unwrap(), 220.0, 1e-12, "spring length");
    // 40 mm at an arm of 400 mm: sin φ = 0.1.
    close(beam().at(40.0, 40.0).unwrap().pivot_turn.unwrap(), 0.1_f64.asin().to_degrees(), 1e-9, "turn");
}

/// Rates of an axle by central differences of its positions.
fn by_differences(axle: &WholeAxle, left: f64, right: f64) -> [f64; 5] {
    let h = 0.01;
    let at = |l: f64, r: f64| axle.at(left + l, right + r).unwrap();
    let (up, down) = (at(h, h), at(-h, -h));
    let (one, other) = (at(h, -h), at(-h, h));
    let slope = (up.wheelbase - down.wheelbase) / (2.0 * h);
    let toe = [0, 1].map(|wheel| (up.toe[wheel] - down.toe[wheel]) / (2.0 * h));
    let steer = (one.steer - other.steer) / (one.roll - other.roll);
    let spring = up.spring_length.zip(down.spring_length).map_or(0.0, |(u, d)| (d - u) / (2.0 * h));
    [slope, toe[0], toe[1], steer, spring]
}

#[test]
fn rates_are_those_of_the_positions() {
    let springs = |spec: WholeAxleSpec| {
        spec.with(Point::SpringSeat, 100.0, 520.0, 250.0).with(Point::SpringTop, 130.0, 500.0, 480.0)
    };
    for spec in [springs(beam_spec()), springs(links_spec())] {
        let axle = WholeAxle::new(spec).unwrap();
        for (left, right) in [(0.0, 0.0), (35.0, 35.0), (-50.0, -50.0), (30.0, -20.0)] {
            let out = axle.at(left, right).unwrap();
            let [slope, toe, toe_right, steer, spring] = by_differences(&axle, left, right);
            // Of both wheels' centres; on a level axle the left one's.
            if (left - right).abs() < 1e-9 {
                close(out.centre_slope, slope, 1e-6, "centre slope");
            }
            close(out.toe_rate[0], toe, 1e-6, "toe rate");
            close(out.toe_rate[1], toe_right, 1e-6, "toe rate, right");
            close(out.roll_steer.unwrap(), steer, 1e-6, "roll steer");
            close(out.spring_ratio.unwrap(), spring, 1e-6, "spring ratio");
        }
    }
}

/// Each wheel's centre and the turn of what carries it at two travels: all that the check below takes from the crate.
type Placed = dyn Fn(f64, f64) -> [(Vec3, Mat3); 2];

fn beam_placed(spec: &WholeAxleSpec) -> Box<Placed> {
    let point = |p| spec.point(p).unwrap();
    let pair = |p: Point| [point(p), point(p).mirrored()];
    let beam = TwistBeamSpec {
        bushing: pair(Point::BeamPivot),
        wheel: pair(Point::WheelCentre),
        shear_centre: point(Point::BeamShearCentre),
        camber_deg: 0.0,
        toe_deg: 0.0,
    };
    Box::new(move |left, right| {
        let out = beam.at(left, right).unwrap();
        [0, 1].map(|i| (out.wheel[i], out.turn[i]))
    })
}

fn links_placed(spec: &WholeAxleSpec) -> Box<Placed> {
    let rods = [
        (Point::Link1Inner, Point::Link1Outer),
        (Point::Link2Inner, Point::Link2Outer),
        (Point::Link3Inner, Point::Link3Outer),
        (Point::Link4Inner, Point::Link4Outer),
    ];
    let holds =
        rods.map(|(a, b)| AxleHold::Rod { inner: spec.point(a).unwrap(), outer: spec.point(b).unwrap() });
    let left = spec.point(Point::WheelCentre).unwrap();
    let right = left.mirrored();
    let axle = LiveAxle::new(AxleSpec { left, right, holds, camber_deg: 0.0, toe_deg: 0.0 }).unwrap();
    let middle = (left + right).times(0.5);
    Box::new(move |l, r| {
        let pose = axle.solve(l, r).unwrap().pose;
        [left, right].map(|wheel| (pose.place(wheel - middle), pose.turn))
    })
}

/// The wheel's spin axis, outboard, from its definition.
fn spin(spec: &WholeAxleSpec, i: usize, turn: &Mat3) -> Vec3 {
    let (camber, toe) = (spec.camber_deg[i].to_radians(), spec.toe_deg[i].to_radians());
    let side = if i == 0 { 1.0 } else { -1.0 };
    turn.times(Vec3::new(camber.cos() * toe.sin(), side * camber.cos() * toe.cos(), -camber.sin()))
}

/// From the wheel centre to the lowest point of the wheel's circle.
fn lowest(n: Vec3) -> Vec3 {
    let down = Vec3::new(0.0, 0.0, -1.0) - n.times(-n.z);
    down.times(RADIUS / down.norm())
}

/// Every output by its definition, rates by central differences of where wheels and their carriers are.
#[test]
fn what_an_axle_shows_is_where_its_wheels_are() {
    let dressed = |mut spec: WholeAxleSpec| {
        (spec.camber_deg, spec.toe_deg) = ([-1.2, -0.6], [0.2, -0.3]);
        spec.with(Point::SpringSeat, 100.0, 520.0, 250.0)
            .with(Point::SpringTop, 130.0, 500.0, 480.0)
            .with(Point::DamperSeat, -60.0, 590.0, 270.0)
            .with(Point::DamperTop, -90.0, 540.0, 640.0)
    };
    let (beam, links) = (dressed(beam_spec()), dressed(links_spec()));
    for (placed, spec) in [(beam_placed(&beam), beam), (links_placed(&links), links)] {
        let axle = WholeAxle::new(spec.clone()).unwrap();
        for (left, right) in [(0.0, 0.0), (40.0, 40.0), (35.0, -25.0), (-50.0, 20.0)] {
            let out = axle.at(left, right).unwrap();
            let (now, rest) = (placed(left, right), placed(0.0, 0.0));
            let n = [0, 1].map(|i| spin(&spec, i, &now[i].1));
            let toe = [n[0].x.atan2(n[0].y), n[1].x.atan2(-n[1].y)].map(f64::to_degrees);
            let contact = [0, 1].map(|i| now[i].0 + lowest(n[i]));
            let was = [0, 1].map(|i| rest[i].0 + lowest(spin(&spec, i, &rest[i].1)));
            let line = now[0].0 - now[1].0;
            let moved = (now[0].0 + now[1].0 - rest[0].0 - rest[1].0).times(0.5);
            for (what, found, expected) in [
                ("camber left", out.camber[0], -n[0].z.asin().to_degrees()),
                ("camber right", out.camber[1], -n[1].z.asin().to_degrees()),
                ("toe left", out.toe[0], toe[0]),
                ("toe right", out.toe[1], toe[1]),
                ("steer", out.steer, (toe[1] - toe[0]) / 2.0),
                ("roll", out.roll, line.z.atan2(line.y).to_degrees()),
                ("track", out.track, (contact[0] - contact[1]).y - (was[0] - was[1]).y),
                ("wheelbase", out.wheelbase, moved.x),
                ("sideways", out.sideways, moved.y),
                ("ground", out.ground, contact[0].z),
            ] {
                close(found, expected, 1e-9, what);
            }
            let length = |placed: &[(Vec3, Mat3); 2], seat, top| {
                let arm = spec.point(seat).unwrap() - spec.point(Point::WheelCentre).unwrap();
                (placed[0].0 + placed[0].1.times(arm) - spec.point(top).unwrap()).norm()
            };
            let (spring, damper) =
                ((Point::SpringSeat, Point::SpringTop), (Point::DamperSeat, Point::DamperTop));
            close(out.spring_length.unwrap(), length(&now, spring.0, spring.1), 1e-9, "spring");
            close(out.damper_length.unwrap(), length(&now, damper.0, damper.1), 1e-9, "damper");
            let h = 0.01;
            // A point that is fixed to wheel i's carrier, here at `from` its centre, before and after.
            let rate = |i: usize, from: Vec3, signs: [f64; 2]| {
                let own = now[i].1.back(from);
                let [a, b] = [h, -h].map(|h| placed(left + h * signs[0], right + h * signs[1])[i]);
                (a.0 + a.1.times(own) - b.0 - b.1.times(own)).times(0.5 / h)
            };
            let (both, opposite) = ([1.0, 1.0], [1.0, -1.0]);
            let down = lowest(n[0]);
            let touching = rate(0, down, both);
            close(out.contact_slope.unwrap(), touching.x / touching.z, 1e-5, "contact slope");
            close(out.centre_slope, rate(0, Vec3::default(), both).x, 1e-6, "centre slope");
            let ends = [h, -h].map(|h| placed(left + h, right + h));
            let ratio = |(seat, top): (Point, Point)| {
                (length(&ends[1], seat, top) - length(&ends[0], seat, top)) / (2.0 * h)
            };
            close(out.spring_ratio.unwrap(), ratio(spring), 1e-6, "spring ratio");
            close(out.damper_ratio.unwrap(), ratio(damper), 1e-6, "damper ratio");
            let centre = [0, 1].map(|i| {
                let v = rate(i, lowest(n[i]), opposite);
                contact[i].y * v.y / v.z
            });
            close(out.roll_centre.unwrap(), f64::midpoint(centre[0], centre[1]), 1e-3, "roll centre");
            // A point of the left carrier that stands still in side view as both wheels rise.
            let [x, z] = out.side_centre.unwrap();
            let from = Vec3::new(x - now[0].0.x, 0.0, z - now[0].0.z);
            let still = rate(0, from, both);
            assert!(still.x.abs() < 1e-4 && still.z.abs() < 1e-4, "{still:?}");
        }
    }
}

#[test]
fn each_wheel_may_have_angles_of_its_own() {
    for mut spec in [beam_spec(), links_spec()] {
        let alike = WholeAxle::new(spec.clone()).unwrap().at(30.0, 30.0).unwrap();
        (spec.camber_deg, spec.toe_deg) = ([-1.0, 0.5], [0.1, -0.2]);
        let rest = WholeAxle::new(spec.clone()).unwrap().at(0.0, 0.0).unwrap();
        for wheel in [0, 1] {
            close(rest.camber[wheel], spec.camber_deg[wheel], 1e-9, "camber at rest");
            close(rest.toe[wheel], spec.toe_deg[wheel], 1e-9, "toe at rest");
        }
        // As the axle moves they stay on top of its own turn, but for what small angles make of each other.
        let out = WholeAxle::new(spec).unwrap().at(30.0, 30.0).unwrap();
        close(out.camber[1] - alike.camber[1], 0.5, 0.03, "camber of the right wheel");
        close(out.camber[0] - alike.camber[0], -1.0, 0.03, "camber of the left wheel");
    }
}

#[test]
fn a_live_axle_by_its_points_is_the_one_checked_elsewhere() {
    let (axle, bare) = (WholeAxle::new(links_spec()).unwrap(), LiveAxle::new(cars::live_axle()).unwrap());
    for (left, right) in [(0.0, 0.0), (40.0, 40.0), (-60.0, -60.0)] {
        let out = axle.at(left, right).unwrap();
        let expected = bare.outputs(&bare.solve(left, right).unwrap()).unwrap();
        close(out.camber[0], expected.camber[0], 1e-9, "camber");
        close(out.toe[1], expected.toe[1], 1e-9, "toe");
        close(out.wheelbase, expected.forward, 1e-9, "wheelbase");
        close(out.sideways, expected.sideways, 1e-9, "sideways");
    }
    // The published-style case: wheels +40/−40 steer by 0.24773° and move 1.8365 mm sideways, from an
    // independent multibody program (see SOURCES.md, mujoco).
    let out = axle.at(40.0, -40.0).unwrap();
    close(out.steer, 0.24773, 1e-4, "steer");
    close(out.sideways, 1.8365, 1e-4, "sideways");
    close(out.roll, 3.2758, 1e-4, "roll");
    // At rest the roll centre is where the axle does not go sideways, counted from the ground at 10.
    let rest = axle.at(0.0, 0.0).unwrap();
    let expected = bare.outputs(&bare.solve(0.0, 0.0).unwrap()).unwrap();
    close(rest.roll_centre.unwrap(), expected.roll_centre - 10.0, 1e-6, "roll centre");
    close(rest.roll_steer.unwrap(), expected.roll_steer, 1e-9, "roll steer");
}

#[test]
fn leaf_springs_guide_the_axle_about_three_quarters_of_their_front_half() {
    let leaves = WholeAxleSpec::new(WholeLayout::Leaves, RADIUS)
        .with(Point::WheelCentre, 0.0, 700.0, 300.0)
        .with(Point::LeafFrontEye, 600.0, 480.0, 300.0);
    let out = WholeAxle::new(leaves).unwrap().at(0.0, 0.0).unwrap();
    // The equivalent arm is 0.75 · 600 = 450 mm and level: it lifts the axle straight up, and the
    // side-view centre is its pivot.
    close(out.centre_slope, 0.0, 1e-9, "centre slope");
    close(out.side_centre.unwrap()[0], 450.0, 1e-6, "instant centre ahead");
    assert!(out.pivot_turn.is_none());
}

fn findings(spec: &WholeAxleSpec) -> Vec<String> {
    let mut all = check_axle(spec);
    if all.is_empty()
        && let Err(bad) = WholeAxle::new(spec.clone())
    {
        all = bad.findings;
    }
    all.iter().map(ToString::to_string).collect()
}

#[test]
fn impossible_points_are_named() {
    let one = |spec: WholeAxleSpec, words: &[&str]| {
        let found = findings(&spec);
        assert!(found.len() == 1 && words.iter().all(|word| found[0].contains(word)), "{words:?}: {found:?}");
    };
    assert!(findings(&beam_spec()).is_empty() && findings(&links_spec()).is_empty());
    one(beam_spec().with(Point::WheelCentre, 0.0, -730.0, 300.0), &["wheel centre", "other side"]);
    one(beam_spec().with(Point::BeamShearCentre, 250.0, 90.0, 330.0), &["90 mm from the car's middle"]);
    one(beam_spec().with(Point::BeamPivot, 20.0, 560.0, 300.0), &["20 mm apart", "no arm"]);
    one(beam_spec().with(Point::BeamPivot, -400.0, 560.0, 300.0), &["behind the wheel centre"]);
    one(beam_spec().with(Point::BeamShearCentre, 1716.0, 0.0, 300.0), &["in line"]);
    one(beam_spec().with(Point::WheelCentre, 0.0, 28.7, 300.0), &["inches"]);
    one(beam_spec().with(Point::BeamPivot, f64::NAN, 560.0, 300.0), &["ordinary number"]);
    one(links_spec().with(Point::Link5Inner, 380.0, 100.0, 420.0), &["fifth rod"]);
    one(links_spec().with(Point::Link2Outer, 900.0, -480.0, 230.0), &["link 2 outer", "from the axle"]);
    let swapped =
        links_spec().with(Point::Link1Inner, 20.0, 480.0, 230.0).with(Point::Link1Outer, 550.0, 480.0, 270.0);
    one(swapped, &["link 1 inner joint", "swapped"]);
    // Four rods that all lie lengthwise leave the axle loose sideways.
    let loose =
        links_spec().with(Point::Link4Inner, 380.0, 100.0, 420.0).with(Point::Link4Outer, 0.0, 100.0, 430.0);
    one(loose, &["do not hold the axle"]);
    let bare = WholeAxleSpec::new(WholeLayout::TwistBeam, RADIUS);
    let bad = WholeAxle::new(bare).unwrap_err();
    assert!(matches!(bad.findings[0], Finding::MissingOfAxle { point: Point::WheelCentre }));
}

#[test]
fn no_travel_gives_a_number_that_is_none() {
    let finite = |out: WholeAxleOutputs| {
        [out.camber[0], out.toe[1], out.steer, out.roll, out.track, out.centre_slope]
            .iter()
            .all(|x| x.is_finite())
    };
    for axle in [beam(), WholeAxle::new(links_spec()).unwrap()] {
        let mut random = cars::Random(3);
        for _ in 0..300 {
            let (left, right) = (400.0 * random.next(), 400.0 * random.next());
            match axle.at(left, right) {
                Ok(out) => assert!(finite(out), "{left} {right} {out:?}"),
                Err(trouble) => assert!(trouble.to_string().len() > 20, "{trouble}"),
            }
        }
        assert!(axle.at(f64::NAN, 0.0).is_err() && axle.at(1e9, 0.0).is_err());
    }
}
