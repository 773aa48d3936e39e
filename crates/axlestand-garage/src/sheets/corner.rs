//! The picture of a corner, from the car and the state of the job.

use super::hardpoints::{Hardpoints, is_strut};
use super::pins;
use crate::job::Job;
use crate::units::Units;
use crate::views::row_text;
use axlestand_draw::Drawing;
use axlestand_draw::corner::{Corner, Measure, Piece, Point, Room, Shape, Standing, View, circle};
use axlestand_ledger::{Action, RowStatus, obstacles, row_status};
use axlestand_model::car::Part;
use axlestand_model::{Hand, ItemId, ReadingKind};
use axlestand_plan::Plan;

/// The corner of a side as it stands in the job, seen from `view`; what can be done next stands out.
pub(super) fn corner(job: &Job, plan: &Plan, side: Hand, view: View, room: Room, units: Units) -> Drawing {
    let now = current(job, plan).filter(|action| action.item.side().is_none_or(|of| of == side));
    of_actions(job, side, view, room, units, now.as_ref(), |id| plan.scope.holds.contains(id))
}

/// The corner of a side with the step that is named standing out, else with what can be done next.
pub(crate) fn corner_of(
    job: &Job,
    plan: &Plan,
    side: Hand,
    view: View,
    room: Room,
    units: Units,
    step: Option<&Action>,
) -> Drawing {
    match step {
        Some(_) => of_actions(job, side, view, room, units, step, |id| plan.scope.holds.contains(id)),
        None => corner(job, plan, side, view, room, units),
    }
}

/// The corner with the fasteners that `wanted` names, besides those that are not as they were.
pub(super) fn of_actions(
    job: &Job,
    side: Hand,
    view: View,
    room: Room,
    units: Units,
    now: Option<&Action>,
    wanted: impl Fn(&ItemId) -> bool,
) -> Drawing {
    let points = Hardpoints::of(&job.car, side);
    let corner = Corner {
        title: format!("{} front corner", capital(side.phrase())),
        schematic: schematic(job, &points),
        step: now.map(|action| row_text(job, action)),
        pieces: pieces(job, &points, side, now),
        pins: pins::pins(job, &points, side, now, wanted),
        measures: if view == View::Oblique { Vec::new() } else { measures(job, &points, side, view, units) },
    };
    corner.drawing(view, room)
}

/// The first row of the plan that can be done now.
pub(super) fn current(job: &Job, plan: &Plan) -> Option<Action> {
    let pending = |action: &&Action| row_status(&job.car, &job.state, action) == RowStatus::Pending;
    let mut actions = plan.rows.iter().map(|row| &row.action).filter(pending);
    actions.find(|action| obstacles(&job.car, &job.state, action).is_empty()).cloned()
}

pub(super) fn capital(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

fn schematic(job: &Job, points: &Hardpoints) -> Option<String> {
    let axle = job.car.axles.iter().find(|axle| axle.name == "front");
    if let Some(axle) = axle.filter(|axle| !is_strut(axle)) {
        return Some(format!("schematic: drawn as a strut corner; this axle is a {}", axle.layout.phrase()));
    }
    let told = match points.typical {
        0 => return Some("drawn from the vehicle file's hardpoints; fasteners near their places".to_owned()),
        15 => "no hardpoints in the vehicle file, drawn with typical ones".to_owned(),
        n => format!("{n} of 15 hardpoints are typical ones"),
    };
    Some(format!("schematic, not to measure: {told}"))
}

/// How parts are drawn: the name in the vehicle file, then the shape.
fn shapes(p: &Hardpoints) -> Vec<(&'static str, Shape)> {
    let tube = |through: Vec<Point>, radius| Shape::Tube { through, radius };
    let wheel = |radii: Vec<f64>, outward| Shape::Rings {
        centre: p.by("wheel-centre", [0.0, outward, 0.0]),
        radii,
        upright: false,
    };
    let ball = p.at("lower-ball-joint");
    let (front, rear) = (p.at("lower-arm-front-pivot"), p.at("lower-arm-rear-pivot"));
    let eye = |[x, y, z]: Point| vec![[x - 28.0, y, z], [x + 28.0, y, z]];
    let (inner, outer) = (p.at("drive-axle-inner-joint"), p.at("drive-axle-outer-joint"));
    let high = p.at("strut-top-mount");
    vec![
        (
            "wheel",
            Shape::Frame(
                [1.0, 0.66]
                    .map(|part| circle(p.by("wheel-centre", [0.0, 40.0, 0.0]), p.tyre * part))
                    .to_vec(),
            ),
        ),
        ("disc", wheel(vec![128.0, 74.0], 30.0)),
        ("hub", wheel(vec![66.0, 30.0], 38.0)),
        (
            "knuckle",
            Shape::Tubes(vec![
                (
                    vec![p.by("lower-ball-joint", [0.0, 0.0, 22.0]), p.by("wheel-centre", [0.0, -30.0, 0.0])],
                    22.0,
                ),
                (
                    vec![
                        p.by("wheel-centre", [0.0, -30.0, 0.0]),
                        p.by("strut-lower-point", [0.0, 0.0, -70.0]),
                    ],
                    20.0,
                ),
                (vec![p.by("wheel-centre", [-20.0, -30.0, -30.0]), p.at("outer-tie-rod-joint")], 14.0),
            ]),
        ),
        (
            "control-arm",
            Shape::Tubes(vec![
                (vec![front, ball], 19.0),
                (vec![rear, ball], 19.0),
                (eye(front), 27.0),
                (eye(rear), 27.0),
            ]),
        ),
        (
            "strut",
            Shape::Tubes(vec![
                (vec![p.between("strut-lower-point", "strut-top-mount", 0.42), high], 9.0),
                (
                    vec![
                        p.by("strut-lower-point", [0.0, 0.0, -75.0]),
                        p.between("strut-lower-point", "strut-top-mount", 0.48),
                    ],
                    25.0,
                ),
            ]),
        ),
        (
            "spring",
            Shape::Coil {
                between: [p.at("spring-lower-seat"), p.at("spring-upper-seat")],
                radius: 66.0,
                wire: 7.0,
                turns: 5,
            },
        ),
        ("top-mount", Shape::Rings { centre: high, radii: vec![62.0, 20.0], upright: true }),
        (
            "tie-rod-end",
            tube(
                vec![
                    p.at("outer-tie-rod-joint"),
                    p.between("outer-tie-rod-joint", "inner-tie-rod-joint", 0.26),
                ],
                15.0,
            ),
        ),
        (
            "tie-rod",
            tube(
                vec![
                    p.between("outer-tie-rod-joint", "inner-tie-rod-joint", 0.2),
                    p.at("inner-tie-rod-joint"),
                ],
                9.0,
            ),
        ),
        (
            "arb-link",
            tube(vec![p.at("anti-roll-bar-arm-end"), p.at("bar-link-joint-at-the-suspension")], 8.0),
        ),
        (
            "arb",
            tube(
                vec![
                    p.at("anti-roll-bar-arm-end"),
                    p.at("anti-roll-bar-pivot"),
                    p.inboard("anti-roll-bar-pivot", 210.0),
                ],
                12.0,
            ),
        ),
        (
            "drive-axle",
            Shape::Tubes(vec![
                (vec![inner, outer], 12.0),
                (
                    vec![
                        p.between("drive-axle-inner-joint", "drive-axle-outer-joint", -0.04),
                        p.between("drive-axle-inner-joint", "drive-axle-outer-joint", 0.14),
                    ],
                    36.0,
                ),
                (vec![p.between("drive-axle-inner-joint", "drive-axle-outer-joint", 0.84), outer], 36.0),
            ]),
        ),
        (
            "subframe",
            Shape::Frame(vec![vec![
                p.inboard("lower-arm-front-pivot", 230.0),
                p.by("lower-arm-front-pivot", [60.0, 10.0, 25.0]),
                p.by("lower-arm-rear-pivot", [-70.0, 10.0, 25.0]),
                p.inboard("lower-arm-rear-pivot", 230.0),
            ]]),
        ),
        ("rack", tube(vec![p.at("inner-tie-rod-joint"), p.inboard("inner-tie-rod-joint", 200.0)], 20.0)),
    ]
}

fn pieces(job: &Job, points: &Hardpoints, side: Hand, now: Option<&Action>) -> Vec<Piece> {
    let shapes = shapes(points).into_iter();
    shapes
        .filter_map(|(base, shape)| {
            let part = part(job, base, side)?;
            Some(Piece {
                id: part.id.to_string(),
                name: part.name.clone(),
                shape,
                standing: standing(job, part, now),
            })
        })
        .collect()
}

fn part<'a>(job: &'a Job, base: &str, side: Hand) -> Option<&'a Part> {
    job.car.part(&ItemId::new(base, Some(side))).or_else(|| job.car.part(&ItemId::new(base, None)))
}

/// Off with the part that it is part of; now where the step is about it or one of its holds.
fn standing(job: &Job, part: &Part, now: Option<&Action>) -> Standing {
    if now.is_some_and(|action| action.item == part.id) {
        return Standing::Now;
    }
    let mut each = Some(part);
    // Parts of parts: a car has only a few levels, and no circles.
    for _ in 0..16 {
        let Some(part) = each else { break };
        if job.state.part(&part.id).off {
            return Standing::Gone;
        }
        each = part.part_of.as_ref().and_then(|whole| job.car.part(whole));
    }
    Standing::There
}

/// What is read at this corner, where the view shows it.
fn measures(job: &Job, p: &Hardpoints, side: Hand, view: View, units: Units) -> Vec<Measure> {
    let ends = |kind: ReadingKind| -> Option<(Point, Point)> {
        let along = |part| p.between("outer-tie-rod-joint", "inner-tie-rod-joint", part);
        match kind {
            ReadingKind::Height if view != View::Above => {
                Some((p.by("wheel-centre", [0.0, 80.0, 0.0]), p.by("arch-lip", [0.0, 55.0, 0.0])))
            }
            ReadingKind::ExposedThread if view != View::Side => Some((along(0.28), along(0.40))),
            ReadingKind::BallCentre if view != View::Side => Some((along(0.0), along(0.26))),
            _ => None,
        }
    };
    let readings = job.car.readings.iter().filter(|r| r.axle != axlestand_model::AxleEnd::Rear);
    readings
        .filter(|reading| reading.id.side() == Some(side))
        .filter_map(|reading| {
            let (from, to) = ends(reading.kind?)?;
            let last = job.state.readings.get(&reading.id).and_then(|records| records.last());
            Some(Measure {
                id: reading.id.to_string(),
                name: without_side(&reading.name),
                value: last.map(|record| units.reading(reading.dimension, record.value, record.u)),
                from,
                to,
            })
        })
        .collect()
}

/// A name without the side that the picture's title says already.
pub(super) fn without_side(name: &str) -> String {
    let cut = [Hand::Left, Hand::Right]
        .into_iter()
        .find_map(|side| name.strip_suffix(&format!(", {}", side.phrase())));
    cut.unwrap_or(name).to_owned()
}
