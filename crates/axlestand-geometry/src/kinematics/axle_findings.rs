//! What is wrong with a described axle that carries both wheels, before anything is computed.

use super::findings::{Finding, SHORTEST, other_unit};
use super::point::Point;
use super::whole_axle_spec::{RODS, WholeAxleSpec, WholeLayout};
use crate::conventions::Side;
use crate::mathematics::Vec3;

/// How far from the car's middle a point of the middle may be, mm.
const OFF_MIDDLE: f64 = 30.0;
/// Shortest arm of a twist beam in side view, mm; cars have 300 to 550.
const SHORTEST_ARM: f64 = 50.0;
/// Farthest an axle's own point is from the line through the wheel centres in side view, mm.
const FARTHEST: f64 = 600.0;
/// By how much the body's end of a rod may be nearer to the axle than the other, mm: a sideways rod
/// has both ends at the axle.
const NEARER: f64 = 100.0;

/// Everything that can be said of a description without solving it, in one pass. Points that are
/// missing are not among it.
#[must_use]
pub fn check_axle(spec: &WholeAxleSpec) -> Vec<Finding> {
    let mut out = Vec::new();
    numbers(spec, &mut out);
    let Some(wheel) = spec.point(Point::WheelCentre) else { return out };
    if !out.is_empty() {
        return out;
    }
    if let Some(unit) = other_unit(wheel.y.abs()) {
        let points = spec.points().map(|(p, _)| p).collect();
        return vec![Finding::OtherUnit { outboard: wheel.y.abs(), unit, points }];
    }
    left_side(spec, &mut out);
    match spec.layout {
        WholeLayout::TwistBeam => beam(spec, wheel, &mut out),
        WholeLayout::Links => rods(spec, wheel, &mut out),
        WholeLayout::Leaves => leaves(spec, wheel, &mut out),
    }
    out
}

fn numbers(spec: &WholeAxleSpec, out: &mut Vec<Finding>) {
    for (point, place) in spec.points() {
        if !place.is_finite() {
            out.push(Finding::NotANumber { point });
        }
    }
    let small = -45.0..45.0;
    if !spec.camber_deg.iter().chain(&spec.toe_deg).all(|angle| small.contains(angle)) {
        let why = "it must be an angle in degrees below 45";
        out.push(Finding::BadNumber { what: "the design camber or toe", why });
    }
    if !(spec.loaded_radius > 10.0 && spec.loaded_radius < 2000.0) {
        let why = "it must be in millimetres, from hub centre to the floor";
        out.push(Finding::BadNumber { what: "the loaded radius", why });
    }
}

/// Points of which the left one is wanted.
fn left_side(spec: &WholeAxleSpec, out: &mut Vec<Finding>) {
    for point in [Point::WheelCentre, Point::BeamPivot, Point::LeafFrontEye] {
        if let Some(place) = spec.point(point).filter(|place| place.y < 50.0) {
            out.push(Finding::OtherSide { point, side: Side::Left, y: place.y });
        }
    }
}

/// Distance in side view.
fn beside(a: Vec3, b: Vec3) -> f64 {
    (a.x - b.x).hypot(a.z - b.z)
}

fn beam(spec: &WholeAxleSpec, wheel: Vec3, out: &mut Vec<Finding>) {
    let (pivot, shear) = (spec.point(Point::BeamPivot), spec.point(Point::BeamShearCentre));
    if let Some(shear) = shear.filter(|shear| shear.y.abs() > OFF_MIDDLE) {
        out.push(Finding::OffMiddle { point: Point::BeamShearCentre, y: shear.y });
    }
    let Some(pivot) = pivot else { return };
    let arm = beside(pivot, wheel);
    if arm < SHORTEST_ARM {
        let (from, to) = (Point::BeamPivot, Point::WheelCentre);
        out.push(Finding::NoArm { from, to, distance: arm });
        return;
    }
    if pivot.x < wheel.x {
        out.push(Finding::BehindWheel { point: Point::BeamPivot });
    }
    if let Some(shear) = shear.filter(|_| out.iter().all(|f| !f.stops())) {
        let line = shear - pivot;
        if line.cross(wheel - pivot).norm() < 20.0 * line.norm() {
            out.push(Finding::ShearCentreInLine);
        }
    }
}

fn leaves(spec: &WholeAxleSpec, wheel: Vec3, out: &mut Vec<Finding>) {
    let beside_them = |point: &Point| RODS.iter().any(|(inner, outer)| point == inner || point == outer);
    for (point, _) in spec.points().filter(|(point, _)| beside_them(point)) {
        out.push(Finding::BesideLeaves { point });
    }
    let Some(eye) = spec.point(Point::LeafFrontEye) else { return };
    if beside(eye, wheel) < SHORTEST_ARM {
        let (from, to) = (Point::LeafFrontEye, Point::WheelCentre);
        out.push(Finding::NoArm { from, to, distance: beside(eye, wheel) });
    } else if eye.x < wheel.x {
        out.push(Finding::BehindWheel { point: Point::LeafFrontEye });
    }
}

fn rods(spec: &WholeAxleSpec, wheel: Vec3, out: &mut Vec<Finding>) {
    if let Some(point) = [Point::Link5Inner, Point::Link5Outer].into_iter().find(|p| spec.point(*p).is_some())
    {
        out.push(Finding::FifthRod { point });
    }
    for (inner, outer) in RODS {
        if let Some(place) = spec.point(outer) {
            let distance = beside(place, wheel);
            if distance > FARTHEST {
                out.push(Finding::FarFromAxle { point: outer, distance });
                continue;
            }
        }
        let (Some(a), Some(b)) = (spec.point(inner), spec.point(outer)) else { continue };
        let distance = (a - b).norm();
        if distance < SHORTEST {
            out.push(Finding::ZeroLength { from: inner, to: outer, distance });
        } else if beside(a, wheel) + NEARER < beside(b, wheel) {
            out.push(Finding::SwappedEnds { inner, outer });
        }
    }
}
