//! Adjusters of the vehicle file as the kinematics take them, how their settings are said, and what is
//! wrong with them.

use super::corner_figures::corner_spec;
use super::figures::{InputView, short};
use super::points::{from_word, layout, unknown_hint, word};
use crate::units::Units;
use axlestand_geometry::Vec3;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{Adjuster as Part, Corner, Finding, Layout, Point, check};
use axlestand_model::Origin;
use axlestand_model::car::{Acts, Adjuster, Axle};
use axlestand_model::file::{CornerFault, Doubt, Spot};

fn vector([x, y, z]: [f64; 3]) -> Vec3 {
    Vec3::new(x, y, z)
}

/// What an adjuster moves at one wheel; `None` where the layout has nothing of the kind.
pub(crate) fn parts(adjuster: &Adjuster, layout: Layout, side: Side) -> Option<Vec<Part>> {
    let left = match &adjuster.acts {
        Acts::StrutTurn { bolt, direction, .. } if layout == Layout::Strut => {
            vec![Part::StrutTurn { bolt: vector(*bolt), axis: vector(*direction) }]
        }
        Acts::StrutTurn { .. } => return None,
        Acts::Eccentric { point, direction, eccentricity, start } => vec![Part::Eccentric {
            point: from_word(point)?,
            bolt: vector(*direction),
            eccentricity: *eccentricity,
            start_deg: *start,
        }],
        Acts::Shift { points, direction } => {
            let direction = vector(*direction);
            let shift = |name: &String| Some(Part::Shift { point: from_word(name)?, direction });
            points.iter().map(shift).collect::<Option<_>>()?
        }
        Acts::Rod { point } => vec![Part::Rod(rod_of(layout, from_word(point)?)?)],
    };
    if side == Side::Right && !adjuster.both_sides {
        return Some(left.iter().map(Part::mirrored).collect());
    }
    Some(left)
}

/// The only rod that ends at a point, the tie rod apart.
fn rod_of(layout: Layout, point: Point) -> Option<usize> {
    let ends = |(inner, outer): &(Point, Point)| *inner == point || *outer == point;
    let mut rods = layout.rods().iter().enumerate().filter(|(_, rod)| ends(rod)).map(|(i, _)| i);
    match (rods.next(), rods.next()) {
        (Some(only), None) if layout.tie_rod() != Some(only) => Some(only),
        _ => None,
    }
}

/// The unit of its setting.
pub(crate) fn unit(adjuster: &Adjuster) -> &'static str {
    if adjuster.acts.in_degrees() { "°" } else { "mm" }
}

/// A setting with its unit: `0.46°`, `3.1 mm`, `0.122 in`.
pub(crate) fn amount(adjuster: &Adjuster, setting: f64, units: Units) -> String {
    match &adjuster.acts {
        Acts::StrutTurn { .. } => format!("{setting:.2}°"),
        Acts::Eccentric { .. } => format!("{setting:.0}°"),
        Acts::Shift { .. } | Acts::Rod { .. } => units.length(setting, 1),
    }
}

/// Its range: `-0.75° to 0.75°`.
pub(crate) fn range_text(adjuster: &Adjuster, units: Units) -> String {
    let end = |setting: f64| {
        if adjuster.acts.in_degrees() { format!("{}°", short(setting)) } else { units.short_length(setting) }
    };
    format!("{} to {}", end(adjuster.from), end(adjuster.to))
}

/// Which way and by how much, as it is said at the car. `camber` is what the setting does to camber,
/// degrees.
pub(crate) fn way(
    adjuster: &Adjuster,
    (layout, side): (Layout, Side),
    setting: f64,
    camber: f64,
    units: Units,
) -> String {
    let size = amount(adjuster, setting.abs(), units);
    match &adjuster.acts {
        Acts::StrutTurn { apart, .. } => {
            let lean = if camber >= 0.0 { "outward" } else { "inward" };
            let at_bolt = apart.map_or_else(String::new, |apart| {
                let moved = units.length(apart * setting.abs().to_radians().tan(), 1);
                format!(", {moved} at the bolt in its slot")
            });
            format!("top of the wheel {lean}, the strut turned by {size}{at_bolt}")
        }
        Acts::Eccentric { point, .. } => {
            let moved = displacement(adjuster, layout, side, setting);
            format!(
                "bolt turned by {size}, which takes the {} {}",
                spoken(point),
                ways(moved, side, false, units)
            )
        }
        Acts::Shift { points, .. } => {
            let moved = displacement(adjuster, layout, side, setting);
            let what = if let [one] = points.as_slice() { spoken(one) } else { "whole of it".to_owned() };
            format!("the {what} {}", ways(moved, side, adjuster.both_sides, units))
        }
        Acts::Rod { .. } => format!("{size} {}", if setting >= 0.0 { "longer" } else { "shorter" }),
    }
}

fn spoken(point: &str) -> String {
    from_word(point).map_or_else(|| point.to_owned(), |point| point.name().to_owned())
}

fn displacement(adjuster: &Adjuster, layout: Layout, side: Side, setting: f64) -> Vec3 {
    let moved = parts(adjuster, layout, side);
    let first = moved.as_deref().and_then(<[Part]>::first);
    first.map_or_else(Vec3::default, |part| part.displacement(setting, side))
}

/// A motion in words: what is less than a quarter of the whole is left out.
fn ways(moved: Vec3, side: Side, in_the_car: bool, units: Units) -> String {
    let across = match (in_the_car, moved.y * side.sign() >= 0.0) {
        (true, _) if moved.y >= 0.0 => "to the left",
        (true, _) => "to the right",
        (false, true) => "outward",
        (false, false) => "inward",
    };
    let along = if moved.x >= 0.0 { "forward" } else { "rearward" };
    let upward = if moved.z >= 0.0 { "up" } else { "down" };
    let all = [(moved.y, across), (moved.x, along), (moved.z, upward)];
    let told = all.into_iter().filter(|(part, _)| part.abs() > 0.25 * moved.norm() && part.abs() > 0.005);
    let told: Vec<String> =
        told.map(|(part, way)| format!("{} {way}", units.length(part.abs(), 1))).collect();
    if told.is_empty() { "nowhere".to_owned() } else { told.join(" and ") }
}

/// Its range as an input of an answer.
pub(crate) fn range_view(adjuster: &Adjuster, units: Units) -> InputView {
    let typical = adjuster.provenance.origin == Origin::Typical;
    InputView {
        what: format!("range of the {}", adjuster.name),
        value: range_text(adjuster, units),
        from: if typical { "vehicle file, typical".to_owned() } else { adjuster.provenance.to_string() },
        typical,
        range: None,
    }
}

/// What is wrong with an axle's adjusters.
pub(crate) fn adjuster_faults(axle: &Axle) -> Vec<CornerFault> {
    let mut all = Vec::new();
    for adjuster in &axle.adjusters {
        let unknown: Vec<CornerFault> = adjuster
            .acts
            .points()
            .into_iter()
            .filter(|name| from_word(name).is_none())
            .map(|name| {
                let message = format!("'{name}' is no hardpoint");
                fault(adjuster, "moves", Doubt::UnknownPoint, message, unknown_hint(name, axle))
            })
            .collect();
        if !unknown.is_empty() {
            all.extend(unknown);
        } else if let Some(fault) = misfit(axle, adjuster) {
            all.push(fault);
        } else if let Some(fault) = odd_bolt(axle, adjuster).or_else(|| out_of_reach(axle, adjuster)) {
            all.push(fault);
        }
    }
    all
}

fn fault(
    adjuster: &Adjuster,
    key: &'static str,
    doubt: Doubt,
    message: String,
    hint: impl Into<String>,
) -> CornerFault {
    let spot = Spot::Adjuster { name: adjuster.key.clone(), key };
    CornerFault { doubt, spot, points: Vec::new(), message, hint: hint.into() }
}

/// An adjuster of something that the axle does not have.
fn misfit(axle: &Axle, adjuster: &Adjuster) -> Option<CornerFault> {
    let impossible =
        |key, message: String, hint: String| Some(fault(adjuster, key, Doubt::Adjuster, message, hint));
    let Some(layout) = layout(axle) else {
        return impossible(
            "kind",
            format!("nothing is computed of adjusters on a {} axle", axle.layout.phrase()),
            "take the table out: what it says would not be used".to_owned(),
        );
    };
    if matches!(adjuster.acts, Acts::StrutTurn { .. }) && layout != Layout::Strut {
        let message = format!("a {} axle has no strut to turn in its knuckle", axle.layout.phrase());
        return impossible("kind", message, "choose another kind: eccentric, shift or rod".to_owned());
    }
    let points: Vec<Point> = adjuster.acts.points().into_iter().filter_map(from_word).collect();
    if points.contains(&Point::WheelCentre) {
        let message = "the wheel centre goes where the knuckle goes, and is not moved by itself".to_owned();
        return impossible("moves", message, "name the mount or joint that is moved".to_owned());
    }
    if let Some(lacking) = points.iter().find(|point| !layout.points().contains(point)) {
        let names: Vec<String> = layout.points().iter().map(|point| word(*point)).collect();
        return impossible(
            "moves",
            format!("the wheel of a {} axle does not hang on its {lacking}", axle.layout.phrase()),
            format!("name one of {}", names.join(", ")),
        );
    }
    match (&adjuster.acts, points.as_slice()) {
        (Acts::Rod { .. }, [point]) if rod_of(layout, *point).is_none() => {
            let tie = layout.tie_rod().and_then(|tie| layout.rods().get(tie));
            if tie.is_some_and(|(inner, outer)| [inner, outer].contains(&point)) {
                return impossible(
                    "moves",
                    format!("the rod at the {point} is the tie rod, and toe is set with it anyway"),
                    "take the table out: the tie rod needs no entry".to_owned(),
                );
            }
            impossible(
                "moves",
                format!("not exactly one rod ends at the {point}"),
                "name the joint at the other end of the rod that is made longer".to_owned(),
            )
        }
        (Acts::Eccentric { .. }, [point]) if !point.on_body() => impossible(
            "moves",
            format!("the {point} is no pivot in the body, which an eccentric bolt would move"),
            "name the pivot: lower-arm-rear-pivot, link-1-inner-joint …".to_owned(),
        ),
        _ => None,
    }
}

/// Farthest that a strut's bolt is from the wheel centre, mm: a knuckle reaches no farther.
const FARTHEST_BOLT: f64 = 400.0;

/// A bolt that is nowhere near the knuckle, or that lies along the strut.
fn odd_bolt(axle: &Axle, adjuster: &Adjuster) -> Option<CornerFault> {
    let Acts::StrutTurn { bolt, direction, .. } = &adjuster.acts else { return None };
    let spec = corner_spec(axle, Side::Left)?;
    let away = (vector(*bolt) - spec.point(Point::WheelCentre)?).norm();
    if away > FARTHEST_BOLT {
        return Some(fault(
            adjuster,
            "bolt",
            Doubt::Adjuster,
            format!("the bolt is {away:.0} mm from the wheel centre, farther than a knuckle reaches"),
            "write its place at the left wheel in mm, in the axes of the hardpoints",
        ));
    }
    let strut = (spec.point(Point::StrutTop)? - spec.point(Point::StrutSeat)?).unit();
    let along = strut.dot(vector(*direction).unit()).abs();
    (along > 0.7).then(|| {
        let message = "the bolts would lie along the strut, which cannot turn about them".to_owned();
        fault(adjuster, "direction", Doubt::Adjuster, message, "[1, 0, 0] is a bolt that lies along the car")
    })
}

/// An end of the range at which the corner cannot be put together; not asked while points are missing.
fn out_of_reach(axle: &Axle, adjuster: &Adjuster) -> Option<CornerFault> {
    let spec = corner_spec(axle, Side::Left)?;
    if check(&spec).iter().any(Finding::stops) {
        return None;
    }
    for (key, setting) in [("from", adjuster.from), ("to", adjuster.to)] {
        let mut spec = spec.clone();
        spec.adjusters
            .extend(parts(adjuster, spec.layout, Side::Left)?.into_iter().map(|part| (part, setting)));
        if let Err(bad) = Corner::new(spec) {
            let unfit = |finding: &Finding| matches!(finding, Finding::AdjustersDoNotFit { .. });
            return bad.findings.iter().any(unfit).then(|| {
                let message = format!(
                    "with it at {} the links no longer go together",
                    amount(adjuster, setting, Units::Metric)
                );
                let hint = "the range is too wide, or a place or direction is mistyped";
                fault(adjuster, key, Doubt::Adjuster, message, hint)
            });
        }
    }
    None
}
