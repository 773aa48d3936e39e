//! The unknowns of a strut corner and what is known of them beforehand.

use crate::estimation::Unknown;
use crate::kinematics::{CornerSpec, Point};

/// The points in their order; the wheel centre, last, has x = 0 by definition.
pub(crate) const POINTS: [Point; 8] = [
    Point::LowerFront,
    Point::LowerRear,
    Point::LowerBall,
    Point::TieRodInner,
    Point::TieRodOuter,
    Point::StrutSeat,
    Point::StrutTop,
    Point::WheelCentre,
];

/// How far what one can touch lies off the joint's centre, each axis, mm (`judgement`): bolt heads, ball
/// housings, a rack-end ball under its bellows, a tube, the nut above a top mount, a hub.
const TARGET: [f64; 8] = [1.0, 1.5, 1.5, 2.0, 1.5, 1.5, 2.5, 0.7];

/// The first unknown behind those of the layout.
pub(crate) const OFFSETS: usize = 25;
pub(crate) const CAMBER: usize = 23;
pub(crate) const TOE: usize = 24;
/// Roll of floor and car, degrees.
pub(crate) const ROLL: usize = 49;
/// Pitch of floor and car, degrees.
pub(crate) const PITCH: usize = 50;
/// Zero of the camber gauge in the sweep, degrees.
pub(crate) const CAMBER_ZERO: usize = 51;
/// Zero of the toe gauge in the sweep, degrees.
pub(crate) const TOE_ZERO: usize = 52;
/// True ride height above the height of the survey, mm.
pub(crate) const RIDE: usize = 53;

/// The place of a point in [`POINTS`]; `None` for one that a strut survey has not.
pub(crate) fn place(point: Point) -> Option<usize> {
    POINTS.iter().position(|p| *p == point)
}

/// Where x, y, z of a point stand; the wheel centre's x is none.
pub(crate) fn coordinates(place: usize) -> [Option<usize>; 3] {
    if place == 7 { [None, Some(21), Some(22)] } else { [0, 1, 2].map(|k| Some(3 * place + k)) }
}

/// Where the target's offsets of a point stand.
pub(crate) fn offsets(place: usize) -> [usize; 3] {
    [0, 1, 2].map(|k| OFFSETS + 3 * place + k)
}

/// The 54 unknowns, about the typical corner `template`.
pub(crate) fn list(template: &CornerSpec) -> Vec<Unknown> {
    let mut out = Vec::with_capacity(54);
    for (i, point) in POINTS.iter().enumerate() {
        let p = template.point(*point).unwrap_or_default();
        // The hub is better known than the rest: track and tyre size are.
        let widths = if i == 7 { [0.0, 60.0, 40.0] } else { [50.0; 3] };
        for ((mean, width), axis) in [p.x, p.y, p.z].into_iter().zip(widths).zip(["x", "y", "z"]) {
            if width > 0.0 {
                out.push(Unknown::with_prior(format!("{point} {axis}"), mean, width));
            }
        }
    }
    out.push(Unknown::with_prior("static camber", template.camber_deg, 3.0));
    out.push(Unknown::with_prior("static toe", template.toe_deg, 1.5));
    for (point, width) in POINTS.iter().zip(TARGET) {
        for axis in ["x", "y", "z"] {
            out.push(Unknown::with_prior(format!("target of {point} {axis}"), 0.0, width));
        }
    }
    for (name, width) in [
        ("roll of the floor", 0.15),
        ("pitch of the floor", 0.15),
        ("zero of the camber gauge", 1.0),
        ("zero of the toe gauge", 1.0),
        ("ride height", 2.0),
    ] {
        out.push(Unknown::with_prior(name, 0.0, width));
    }
    out
}
