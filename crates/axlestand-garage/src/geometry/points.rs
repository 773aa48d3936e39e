//! Hardpoints of the vehicle file: their names, and what is wrong with them.

use super::adjusters::adjuster_faults;
use super::corner_figures::corner_spec;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{Corner, Finding, Layout, Point, check};
use axlestand_model::Hand;
use axlestand_model::car::{Axle, nearest};
use axlestand_model::file::{CornerFault, Doubt, Spot};
use std::collections::BTreeSet;

/// The name of a point as it stands in a vehicle file: the trade's words joined with hyphens.
pub(crate) fn word(point: Point) -> String {
    point.name().replace(' ', "-")
}

/// The point that is written as `word`.
pub(crate) fn from_word(text: &str) -> Option<Point> {
    Point::ALL.into_iter().find(|point| word(*point) == text)
}

/// The kinematic layout of an axle; `None` for axles whose wheels are not hung one by one.
pub(crate) fn layout(axle: &Axle) -> Option<Layout> {
    use axlestand_model::Layout as L;
    match axle.layout {
        L::Strut => Some(Layout::Strut),
        L::DoubleWishbone => Some(Layout::DoubleWishbone),
        L::SemiTrailing => Some(Layout::SemiTrailing),
        L::MultiLink => Some(Layout::FiveLink),
        L::TwistBeam | L::LiveAxle => None,
    }
}

/// The points that the axle's layout cannot do without and that are not given.
pub(crate) fn missing(axle: &Axle) -> Vec<String> {
    let needed = layout(axle).map_or(&[][..], Layout::points);
    needed.iter().map(|point| word(*point)).filter(|name| !axle.points.contains_key(name)).collect()
}

/// Everything that is wrong with an axle's hardpoints and adjusters. Missing ones are no fault: a car without them
/// works as before, and what needs them names them.
pub(crate) fn faults(axle: &Axle) -> Vec<CornerFault> {
    let mut all = unknown_points(axle, Hand::Left);
    let left = findings(axle, Side::Left);
    all.extend(left.iter().map(|finding| fault(finding, Hand::Left)));
    all.extend(right_faults(axle, left.iter().any(Finding::stops)));
    all.extend(adjuster_faults(axle));
    all
}

fn unknown_points(axle: &Axle, side: Hand) -> Vec<CornerFault> {
    let points = if side == Hand::Left { &axle.points } else { &axle.points_right };
    points.keys().filter(|name| from_word(name).is_none()).map(|name| unknown(name, axle, side)).collect()
}

/// What can be said of the points of one side, missing ones apart.
fn findings(axle: &Axle, side: Side) -> Vec<Finding> {
    let Some(spec) = corner_spec(axle, side) else { return Vec::new() };
    let mut findings = check(&spec);
    if findings.is_empty()
        && let Err(bad) = Corner::new(spec)
    {
        findings = bad.findings;
    }
    findings.retain(|finding| !matches!(finding, Finding::Missing { .. }));
    findings
}

/// What is wrong with the right corner by its own points. What its mirrored points show is said of
/// the left ones already; where those are faulty, only what its own points show by themselves.
fn right_faults(axle: &Axle, left_is_faulty: bool) -> Vec<CornerFault> {
    if axle.points_right.is_empty() {
        return Vec::new();
    }
    let own = |point: &Point| axle.points_right.contains_key(&word(*point));
    let mut findings = findings(axle, Side::Right);
    findings.retain(|finding| {
        let points = finding.points();
        if left_is_faulty { !points.is_empty() && points.iter().all(own) } else { points.iter().any(own) }
    });
    let mut all = unknown_points(axle, Hand::Right);
    all.extend(findings.iter().map(|finding| match finding {
        Finding::OtherSide { point, y, .. } => typed_as_left(*point, *y),
        other => fault(other, Hand::Right),
    }));
    if findings.is_empty() && !left_is_faulty {
        all.extend(
            axle.points_right.iter().filter_map(|(name, place)| far_from_mirrored(axle, name, *place)),
        );
    }
    all
}

/// A point of the left corner that stands among those of the right one.
fn typed_as_left(point: Point, y: f64) -> CornerFault {
    let name = word(point);
    CornerFault {
        doubt: Doubt::Impossible,
        spot: Spot::Points(Hand::Right),
        message: format!("'{name}' has y = {y:.0}: that is a point of the left corner, not of the right one"),
        hint: format!(
            "on the right y is negative: write {:.0} if it was measured there; a point that mirrors the left one needs no line",
            -y
        ),
        points: vec![name],
    }
}

/// How far a point of the right corner may be from the mirror image of the left one before it is
/// asked about, mm: a judgement, more than a car that was never bent shows.
const ODD_MM: f64 = 40.0;

/// A doubt about a point that is far from the mirror image of the left one. Inner joints of drive
/// axles are left out: shafts of two lengths are common.
fn far_from_mirrored(axle: &Axle, name: &str, [x, y, z]: [f64; 3]) -> Option<CornerFault> {
    let point = from_word(name).filter(|point| *point != Point::AxleInner)?;
    let [lx, ly, lz] = *axle.points.get(name)?;
    let apart = (x - lx).hypot(y + ly).hypot(z - lz);
    (apart > ODD_MM).then(|| CornerFault {
        doubt: Doubt::Doubtful,
        spot: Spot::Points(Hand::Right),
        points: vec![name.to_owned()],
        message: format!(
            "the right {point} is {apart:.0} mm from where the left one's mirror image would be"
        ),
        hint: "measure both again; leave it where the car really is so".to_owned(),
    })
}

fn fault(finding: &Finding, side: Hand) -> CornerFault {
    let text = finding.to_string();
    let (what, todo) = text.split_once("; ").unwrap_or((text.as_str(), "look at these points again"));
    CornerFault {
        doubt: if finding.stops() { Doubt::Impossible } else { Doubt::Doubtful },
        spot: Spot::Points(side),
        points: finding.points().into_iter().map(word).collect(),
        message: if side == Hand::Left { what.to_owned() } else { format!("right corner: {what}") },
        hint: todo.to_owned(),
    }
}

fn unknown(name: &str, axle: &Axle, side: Hand) -> CornerFault {
    CornerFault {
        doubt: Doubt::UnknownPoint,
        spot: Spot::Points(side),
        points: vec![name.to_owned()],
        message: format!("'{name}' is no hardpoint"),
        hint: unknown_hint(name, axle),
    }
}

/// What to write instead of a name that no point has.
pub(crate) fn unknown_hint(name: &str, axle: &Axle) -> String {
    if let Some(near) = suggestion(name, axle) {
        return format!("did you mean '{near}'?");
    }
    let needed = layout(axle).map_or(&[][..], Layout::points);
    let names: Vec<String> = needed.iter().map(|point| word(*point)).collect();
    if names.is_empty() {
        return "docs/vehicle-file.md lists the points".to_owned();
    }
    format!("a {} axle takes {}; docs/vehicle-file.md lists all", axle.layout.phrase(), names.join(", "))
}

/// The point that was meant: one that differs by a slip, else the only one of the layout that has
/// all the words typed.
fn suggestion(name: &str, axle: &Axle) -> Option<String> {
    let all: Vec<String> = Point::ALL.into_iter().map(word).collect();
    if let Some(near) = nearest(name, all.iter().map(String::as_str)) {
        return Some(near.to_owned());
    }
    let typed: BTreeSet<&str> = name.split('-').collect();
    let has_all = |point: &&Point| {
        let known = word(**point);
        typed.is_subset(&known.split('-').collect())
    };
    let needed = layout(axle).map_or(&[][..], Layout::points);
    let mut fitting = needed.iter().filter(has_all);
    match (fitting.next(), fitting.next()) {
        (Some(only), None) => Some(word(*only)),
        _ => None,
    }
}
