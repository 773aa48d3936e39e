//! What is wrong with the hardpoints of an axle.

use super::adjusters::adjuster_faults;
use super::corner_figures::{corner_spec, whole_spec};
use super::points::{from_word, unknown_hint, whole_layout, word};
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{Corner, Finding, Point, WholeAxle, WholeLayout, check, check_axle};
use axlestand_model::Hand;
use axlestand_model::car::Axle;
use axlestand_model::file::{CornerFault, Doubt, Spot};

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

/// What the kinematics say of the points of one side, missing ones apart; of an axle that carries both
/// wheels all is said of the left one.
fn findings(axle: &Axle, side: Side) -> Vec<Finding> {
    let whole = whole_spec(axle).filter(|_| side == Side::Left);
    let (mut findings, put_together) = match (corner_spec(axle, side), whole) {
        (Some(spec), _) => (check(&spec), Corner::new(spec).err()),
        (None, Some(spec)) => (check_axle(&spec), WholeAxle::new(spec).err()),
        (None, None) => return Vec::new(),
    };
    if let Some(bad) = put_together.filter(|_| findings.is_empty()) {
        findings = bad.findings;
    }
    let missing = |f: &Finding| matches!(f, Finding::Missing { .. } | Finding::MissingOfAxle { .. });
    findings.retain(|finding| !missing(finding));
    findings
}

/// What is wrong with the right corner by its own points. What its mirrored points show is said of
/// the left ones already; where those are faulty, only what its own points show by themselves.
fn right_faults(axle: &Axle, left_is_faulty: bool) -> Vec<CornerFault> {
    if axle.points_right.is_empty() {
        return Vec::new();
    }
    let mut all = unknown_points(axle, Hand::Right);
    if whole_layout(axle).is_some() {
        all.extend(not_used_of_the_right(axle));
        return all;
    }
    let own = |point: &Point| axle.points_right.contains_key(&word(*point));
    let mut findings = findings(axle, Side::Right);
    findings.retain(|finding| {
        let points = finding.points();
        if left_is_faulty { !points.is_empty() && points.iter().all(own) } else { points.iter().any(own) }
    });
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

/// Points of the right side where one axle carries both wheels: nothing reads them.
fn not_used_of_the_right(axle: &Axle) -> Option<CornerFault> {
    let hint = match whole_layout(axle)? {
        WholeLayout::Links => {
            "write the rods of the right side among the other points, with negative y, and take this table out"
        }
        WholeLayout::TwistBeam | WholeLayout::Leaves => {
            "take the table out; camber_right and toe_right are used where the right wheel's differ"
        }
    };
    Some(CornerFault {
        doubt: Doubt::Doubtful,
        spot: Spot::Points(Hand::Right),
        points: Vec::new(),
        message: format!("points of the right side are not used on a {}", axle.layout.phrase()),
        hint: hint.to_owned(),
    })
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
