//! The picture of a corner, from the car and the state of the job.

use super::hardpoints::Hardpoints;
use super::{layouts, pins};
use crate::job::Job;
use crate::sentence::capital;
use crate::units::Units;
use crate::views::row_text;
use axlestand_draw::Drawing;
use axlestand_draw::corner::{Corner, Measure, Piece, Point, Room, Shape, Standing, View, circle};
use axlestand_ledger::{Action, RowStatus, obstacles, row_status};
use axlestand_model::car::Part;
use axlestand_model::{AxleEnd, Hand, ItemId, Layout, ReadingKind, without_side};
use axlestand_plan::Plan;

/// Which corner is drawn, and how.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted {
    pub(crate) end: AxleEnd,
    pub(crate) side: Hand,
    pub(crate) view: View,
    pub(crate) room: Room,
    pub(crate) units: Units,
}

/// The corner as it stands in the job with the step that is named standing out, else with what can be
/// done next.
pub(crate) fn corner_of(job: &Job, plan: &Plan, wanted: Wanted, step: Option<&Action>) -> Drawing {
    let next = || current(job, plan).filter(|action| action.item.side().is_none_or(|of| of == wanted.side));
    let now = step.cloned().or_else(next);
    of_actions(job, wanted, now.as_ref(), |id| plan.scope.holds.contains(id))
}

/// The corner with the fasteners that `named` names, besides those that are not as they were.
pub(super) fn of_actions(
    job: &Job,
    wanted: Wanted,
    now: Option<&Action>,
    named: impl Fn(&ItemId) -> bool,
) -> Drawing {
    let Wanted { end, side, view, room, .. } = wanted;
    let points = Hardpoints::of(&job.car, end, side);
    let now = now.filter(|action| end_of(job, &action.item) == end);
    let corner = Corner {
        title: format!("{} {} corner", capital(side.phrase()), end.word()),
        schematic: Some(schematic(&points)),
        step: now.map(|action| row_text(job, action)),
        pieces: pieces(job, &points, end, side, now),
        pins: pins::pins(job, &points, end, side, now, named),
        measures: if view == View::Oblique { Vec::new() } else { measures(job, &points, wanted) },
    };
    corner.drawing(view, room)
}

/// The axle that an item belongs to: the fastener's or the reading's own word, else what its name begins
/// with; what says neither is at the front.
pub(crate) fn end_of(job: &Job, id: &ItemId) -> AxleEnd {
    let rear = id.base().starts_with("rear-") || id.base().starts_with("beam");
    let named = if rear { AxleEnd::Rear } else { AxleEnd::Front };
    let said = job.car.fastener(id).and_then(|fastener| fastener.axle);
    said.or_else(|| job.car.reading(id).map(|reading| reading.axle)).unwrap_or(named)
}

/// The first row of the plan that can be done now.
pub(super) fn current(job: &Job, plan: &Plan) -> Option<Action> {
    let pending = |action: &&Action| row_status(&job.car, &job.state, action) == RowStatus::Pending;
    let mut actions = plan.rows.iter().map(|row| &row.action).filter(pending);
    actions.find(|action| obstacles(&job.car, &job.state, action).is_empty()).cloned()
}

fn schematic(points: &Hardpoints) -> String {
    let layout = points.layout.phrase();
    match points.typical {
        [0, _] => "drawn from the vehicle file's hardpoints; fasteners near their places".to_owned(),
        [n, all] if n == all => {
            format!(
                "schematic, not to measure: {layout}, no hardpoints in the vehicle file, drawn with typical ones"
            )
        }
        [n, all] => format!("schematic, not to measure: {layout}, {n} of {all} points are typical ones"),
    }
}

/// How the parts of a strut corner are drawn: the name in the vehicle file, then the shape.
fn strut(p: &Hardpoints) -> Vec<(&'static str, Shape)> {
    [wheel_end(p), springing(p), steering(p), across(p)].into_iter().flatten().collect()
}

/// The wheel with what turns in it, the knuckle and its arm.
fn wheel_end(p: &Hardpoints) -> Vec<(&'static str, Shape)> {
    let wheel = |radii: Vec<f64>, outward| Shape::Rings {
        centre: p.by("wheel-centre", [0.0, outward, 0.0]),
        radii,
        upright: false,
    };
    let ball = p.at("lower-ball-joint");
    let (front, rear) = (p.at("lower-arm-front-pivot"), p.at("lower-arm-rear-pivot"));
    let eye = |[x, y, z]: Point| vec![[x - 28.0, y, z], [x + 28.0, y, z]];
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
    ]
}

/// Strut, spring and their mount.
fn springing(p: &Hardpoints) -> Vec<(&'static str, Shape)> {
    let high = p.at("strut-top-mount");
    vec![
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
    ]
}

/// Tie rod, its end and the rack.
fn steering(p: &Hardpoints) -> Vec<(&'static str, Shape)> {
    let tube = |through: Vec<Point>, radius| Shape::Tube { through, radius };
    vec![
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
        ("rack", tube(vec![p.at("inner-tie-rod-joint"), p.inboard("inner-tie-rod-joint", 200.0)], 20.0)),
    ]
}

/// What leads across the car: anti-roll bar, drive axle, subframe.
fn across(p: &Hardpoints) -> Vec<(&'static str, Shape)> {
    let tube = |through: Vec<Point>, radius| Shape::Tube { through, radius };
    let (inner, outer) = (p.at("drive-axle-inner-joint"), p.at("drive-axle-outer-joint"));
    vec![
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
    ]
}

fn pieces(job: &Job, points: &Hardpoints, end: AxleEnd, side: Hand, now: Option<&Action>) -> Vec<Piece> {
    let of_car = |part: &Part, shape| Piece {
        id: part.id.to_string(),
        name: part.name.clone(),
        shape,
        standing: standing(job, part, now),
    };
    if points.layout == Layout::Strut {
        let known = |(word, shape)| Some(of_car(part(job, end, word, side)?, shape));
        return strut(points).into_iter().filter_map(known).collect();
    }
    // What the vehicle file has as no part is drawn all the same: it is on the car.
    let drawn = |(word, name, shape): layouts::Drawn| match part(job, end, word, side) {
        Some(part) => of_car(part, shape),
        None => Piece {
            id: format!("{}-{word}.{}", end.word(), side.word()),
            name: format!("{name}, {}", side.phrase()),
            shape,
            standing: Standing::There,
        },
    };
    layouts::shapes(points.layout, points).into_iter().map(drawn).collect()
}

/// The part of a corner with that word for a name, at the rear with `rear-` before it.
fn part<'a>(job: &'a Job, end: AxleEnd, word: &str, side: Hand) -> Option<&'a Part> {
    let own = match end {
        AxleEnd::Front => word.to_owned(),
        AxleEnd::Rear if word == "beam" => word.to_owned(),
        AxleEnd::Rear => format!("rear-{word}"),
    };
    job.car.part(&ItemId::new(&own, Some(side))).or_else(|| job.car.part(&ItemId::new(&own, None)))
}

/// Off with the part that it is part of; now where the step is about it or the whole that it is part of.
fn standing(job: &Job, part: &Part, now: Option<&Action>) -> Standing {
    let whole = |part: &Part| part.part_of.as_ref().and_then(|whole| job.car.part(whole));
    // Parts of parts: a car has only a few levels, and no circles.
    let chain = || std::iter::successors(Some(part), |part| whole(part)).take(16);
    if now.is_some_and(|action| chain().any(|part| action.item == part.id)) {
        return Standing::Now;
    }
    if chain().any(|part| job.state.part(&part.id).off) { Standing::Gone } else { Standing::There }
}

/// What is read at this corner, where the view shows it.
fn measures(job: &Job, p: &Hardpoints, wanted: Wanted) -> Vec<Measure> {
    let Wanted { end, side, view, units, .. } = wanted;
    let rod = p.has("outer-tie-rod-joint");
    let ends = |kind: ReadingKind| -> Option<(Point, Point)> {
        let along = |part| p.between("outer-tie-rod-joint", "inner-tie-rod-joint", part);
        match kind {
            ReadingKind::Height if view != View::Above => {
                Some((p.by("wheel-centre", [0.0, 80.0, 0.0]), p.by("arch-lip", [0.0, 55.0, 0.0])))
            }
            ReadingKind::ExposedThread if rod && view != View::Side => Some((along(0.28), along(0.40))),
            ReadingKind::BallCentre if rod && view != View::Side => Some((along(0.0), along(0.26))),
            _ => None,
        }
    };
    let readings = job.car.readings.iter().filter(|reading| reading.axle == end);
    readings
        .filter(|reading| reading.id.side() == Some(side))
        .filter_map(|reading| {
            let (from, to) = ends(reading.kind?)?;
            let last = job.state.readings.get(&reading.id).and_then(|records| records.last());
            Some(Measure {
                id: reading.id.to_string(),
                name: without_side(&reading.name).to_owned(),
                value: last.map(|record| units.reading(reading.dimension, record.value, record.u)),
                from,
                to,
            })
        })
        .collect()
}
