//! What hangs on a corner besides its links: spring, damper, bar link, drive axle, ball joints. Each is placed here by
//! turning its points about their axes (Rodrigues' formula), with nothing but the knuckle's pose taken from the crate.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod cars;

use axlestand_geometry::kinematics::{Carrier, Corner, Outputs, Point, Solved};
use axlestand_geometry::{Pose, Vec3};

/// A place turned about the axis through `on`, rad, counter-clockwise as seen against `axis`.
fn about(on: Vec3, axis: Vec3, turn: f64, place: Vec3) -> Vec3 {
    let d = place - on;
    let along = axis.times(axis.dot(d));
    on + along + (d - along).times(turn.cos()) + axis.cross(d).times(turn.sin())
}

fn point(corner: &Corner, point: Point) -> Vec3 {
    corner.spec().point(point).unwrap()
}

/// Where a point of the knuckle is.
fn on_knuckle(corner: &Corner, pose: &Pose, place: Vec3) -> Vec3 {
    pose.place(place - point(corner, Point::WheelCentre))
}

/// Axis and turn, rad, of the arm with these pivots that its ball joint shows.
fn arm_turn(corner: &Corner, pose: &Pose, pivots: [Point; 2], ball: Point) -> (Vec3, Vec3, f64) {
    let [front, rear] = pivots.map(|p| point(corner, p));
    let axis = (front - rear).times(1.0 / (front - rear).norm());
    let ball = point(corner, ball);
    let foot = front + axis.times(axis.dot(ball - front));
    let (then, now) = (ball - foot, on_knuckle(corner, pose, ball) - foot);
    (front, axis, axis.dot(then.cross(now)).atan2(then.dot(now)))
}

const LOWER: ([Point; 2], Point) = ([Point::LowerFront, Point::LowerRear], Point::LowerBall);
const UPPER: ([Point; 2], Point) = ([Point::UpperFront, Point::UpperRear], Point::UpperBall);

/// Where a point is that rides on a part.
fn carried(corner: &Corner, pose: &Pose, on: Carrier, place: Vec3) -> Vec3 {
    match on {
        Carrier::Knuckle => on_knuckle(corner, pose, place),
        Carrier::LowerArm | Carrier::UpperArm => {
            let (pivots, ball) = if on == Carrier::LowerArm { LOWER } else { UPPER };
            let (on, axis, turn) = arm_turn(corner, pose, pivots, ball);
            about(on, axis, turn, place)
        }
        Carrier::Rod(i) => {
            let (inner, outer) = corner.spec().layout.rods()[i];
            let (inner, outer) = (point(corner, inner), point(corner, outer));
            let (then, now) = (outer - inner, on_knuckle(corner, pose, outer) - inner);
            let square = then.cross(now);
            let turn = square.norm().atan2(then.dot(now));
            if turn < 1e-12 { place } else { about(inner, square.times(1.0 / square.norm()), turn, place) }
        }
    }
}

fn close(found: Option<f64>, expected: f64, within: f64, what: &str) {
    let found = found.unwrap_or_else(|| panic!("{what} is not told"));
    assert!((found - expected).abs() < within, "{what}: {found}, expected {expected}");
}

/// Every layout's full corner and variants that carry parts elsewhere, all jittered, at positions all over.
fn everywhere(check: impl Fn(&Corner, &Solved, &Outputs)) {
    let mut random = cars::Random(31);
    let mut on_upper = cars::full_wishbone();
    (on_upper.spring_on, on_upper.damper_on) = (Carrier::UpperArm, Carrier::UpperArm);
    let mut on_rods = cars::full_five_link();
    (on_rods.spring_on, on_rods.damper_on) = (Carrier::Rod(4), Carrier::Rod(0));
    for base in cars::every_layout().into_iter().chain([on_upper, on_rods]) {
        for spec in [base.clone(), base.mirrored()] {
            for _ in 0..3 {
                let corner = Corner::new(cars::jittered(&spec, &mut random, 15.0)).unwrap();
                for (travel, rack) in [(0.0, 0.0), (50.0, 0.0), (-60.0, 15.0), (25.0, -30.0)] {
                    let at = corner.solve(travel, rack).unwrap();
                    check(&corner, &at, &corner.outputs(&at).unwrap());
                }
            }
        }
    }
}

/// The outputs a little way up or down from a position.
fn beside(corner: &Corner, at: &Solved, by: f64) -> Outputs {
    corner.outputs(&corner.solve(at.input.travel + by, at.input.rack).unwrap()).unwrap()
}

#[test]
fn springs_and_dampers_are_as_long_as_their_ends_are_apart() {
    everywhere(|corner, at, out| {
        let spec = corner.spec();
        let slope = |length: fn(&Outputs) -> Option<f64>| {
            (length(&beside(corner, at, -0.05)).unwrap() - length(&beside(corner, at, 0.05)).unwrap()) / 0.1
        };
        if let (Some(top), Some(seat)) = (spec.point(Point::SpringTop), spec.point(Point::SpringSeat)) {
            let length = (carried(corner, &at.pose, spec.spring_on, seat) - top).norm();
            close(out.spring_length, length, 1e-9, "spring");
            close(out.spring_ratio, slope(|o| o.spring_length), 1e-6, "spring ratio");
        }
        if let (Some(top), Some(seat)) = (spec.point(Point::DamperTop), spec.point(Point::DamperSeat)) {
            let length = (carried(corner, &at.pose, spec.damper_on, seat) - top).norm();
            close(out.damper_length, length, 1e-9, "damper");
            close(out.damper_ratio, slope(|o| o.damper_length), 1e-6, "damper ratio");
        }
    });
}

#[test]
fn control_arms_turn_as_their_ball_joints_do() {
    everywhere(|corner, at, out| {
        for (found, (pivots, ball)) in [(out.lower_arm_turn, LOWER), (out.upper_arm_turn, UPPER)] {
            if let (Some(found), Some(_)) = (found, corner.spec().point(ball)) {
                let (_, axis, turn) = arm_turn(corner, &at.pose, pivots, ball);
                let outboard = point(corner, ball) - point(corner, pivots[0]);
                let up = axis.cross(outboard).z.signum();
                close(Some(found), up * turn.to_degrees(), 1e-9, "arm");
            }
        }
    });
}

/// The bar's arm is turned by what is told, and the link must be as long as it was.
#[test]
fn the_bar_link_keeps_its_length() {
    everywhere(|corner, at, out| {
        let spec = corner.spec();
        let Some(joint) = spec.point(Point::BarLinkEnd) else {
            assert!(out.bar_turn.is_none() && out.bar_ratio.is_none() && out.bar_link_tilt.is_none());
            return;
        };
        let (pivot, end) = (point(corner, Point::BarPivot), point(corner, Point::BarArmEnd));
        let across = spec.bar_axis.times(1.0 / spec.bar_axis.norm());
        let axis = if across.cross(end - pivot).z < 0.0 { -across } else { across };
        let turn = out.bar_turn.unwrap().to_radians();
        let now = carried(corner, &at.pose, spec.bar_link_on, joint);
        let arm_end = about(pivot, axis, turn, end);
        close(Some((now - arm_end).norm()), (joint - end).norm(), 1e-8, "link");
        // It followed the way from the design position, and did not flip over.
        assert!(turn.abs() < 0.6, "{turn}");
        let way = axis.cross(arm_end - pivot);
        let cosine = (way.dot(now - arm_end) / way.norm() / (now - arm_end).norm()).abs();
        close(out.bar_link_tilt, cosine.acos().to_degrees(), 1e-6, "tilt");
        let radius = way.norm();
        let turn = |by| beside(corner, at, by).bar_turn.unwrap().to_radians();
        close(out.bar_ratio, radius * (turn(0.05) - turn(-0.05)) / 0.1, 1e-6, "bar ratio");
    });
}

#[test]
fn the_drive_axle_is_the_line_between_its_joints() {
    everywhere(|corner, at, out| {
        let spec = corner.spec();
        let (Some(inner), Some(outer)) = (spec.point(Point::AxleInner), spec.point(Point::AxleOuter)) else {
            assert!(out.axle_plunge.is_none() && out.axle_inner.is_none() && out.axle_outer.is_none());
            return;
        };
        let along = on_knuckle(corner, &at.pose, outer) - inner;
        close(out.axle_plunge, along.norm() - (outer - inner).norm(), 1e-9, "plunge");
        let (camber, toe) = (spec.camber_deg.to_radians(), spec.toe_deg.to_radians());
        // The spin axis from its definition: outboard, down with positive camber, forward with toe-in.
        let spin =
            Vec3::new(camber.cos() * toe.sin(), spec.side.sign() * camber.cos() * toe.cos(), -camber.sin());
        let spin = at.pose.place(spin) - at.pose.origin;
        let angle = |a: Vec3, b: Vec3| (a.dot(b) / a.norm() / b.norm()).acos().to_degrees();
        close(out.axle_inner, angle(along, spec.axle_axis), 1e-6, "inner joint");
        close(out.axle_outer, angle(along, spin), 1e-6, "outer joint");
    });
}

/// Tie-rod ends and the lower ball joint of the strut: angles between the rod and what holds it.
#[test]
fn ball_joints_bend_by_the_angle_between_their_halves() {
    let mut random = cars::Random(77);
    let full = cars::full_strut();
    for spec in [full.clone(), full.mirrored()] {
        let mut spec = cars::jittered(&spec, &mut random, 15.0);
        for joint in &mut spec.joints {
            joint.axis = joint.axis + random.vector(0.3);
        }
        let corner = Corner::new(spec.clone()).unwrap();
        let [stud, housing, ball] = [0, 1, 2].map(|i| spec.joints[i].axis);
        for (travel, rack) in [(0.0, 0.0), (60.0, -40.0), (-70.0, 50.0)] {
            let at = corner.solve(travel, rack).unwrap();
            let out = corner.outputs(&at).unwrap();
            let carry = |v: Vec3| at.pose.place(v) - at.pose.origin;
            let angle = |a: Vec3, b: Vec3| (a.dot(b) / a.norm() / b.norm()).acos().to_degrees();
            let inner = point(&corner, Point::TieRodInner) + Vec3::new(0.0, rack, 0.0);
            let rod = on_knuckle(&corner, &at.pose, point(&corner, Point::TieRodOuter)) - inner;
            close(out.joints[0], 90.0 - angle(rod, carry(stud)), 1e-9, "outer tie-rod joint");
            let from = angle(rod, housing);
            close(out.joints[1], from.min(180.0 - from), 1e-9, "inner tie-rod joint");
            let (_, axis, turn) = arm_turn(&corner, &at.pose, LOWER.0, LOWER.1);
            let of_arm = about(Vec3::default(), axis, turn, ball);
            close(out.joints[2], angle(of_arm, carry(ball)), 1e-5, "lower ball joint");
        }
    }
}

/// Half a spring is none: a strut's is then the strut itself, and links have none.
#[test]
fn a_spring_needs_both_its_seats() {
    let ends = [(Point::SpringTop, Point::SpringSeat), (Point::DamperTop, Point::DamperSeat)];
    for (point, other) in ends.into_iter().chain(ends.map(|(a, b)| (b, a))) {
        let strut = cars::strut();
        let bare = Corner::new(strut.clone()).unwrap();
        let expected = bare.outputs(bare.design()).unwrap();
        let half = Corner::new(strut.with(point, -20.0, 600.0, 500.0)).unwrap();
        let found = half.outputs(half.design()).unwrap();
        assert_eq!(found.spring_length, expected.spring_length, "{point}");
        assert_eq!(found.damper_length, expected.damper_length, "{point}");
        let links = Corner::new(cars::five_link().with(point, -60.0, 600.0, 400.0)).unwrap();
        let found = links.outputs(links.design()).unwrap();
        assert!(found.spring_length.is_none() && found.damper_length.is_none(), "{point}");
        let both =
            Corner::new(cars::five_link().with(point, -60.0, 600.0, 400.0).with(other, -60.0, 600.0, 500.0));
        // Upside down it is refused, else it is a spring or a damper of 100 mm.
        if let Ok(both) = both {
            let found = both.outputs(both.design()).unwrap();
            let length = found.spring_length.or(found.damper_length).unwrap();
            assert!((length - 100.0).abs() < 1e-9, "{point}");
        }
    }
}
