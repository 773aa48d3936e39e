//! What is wrong with a described corner before anything is computed.

use super::adjuster::{Adjuster, MOST_ADJUSTERS};
use super::layout::{Layout, Member, in_words};
use super::point::Point;
use super::spec::{CornerSpec, MOST_JOINTS};
use crate::conventions::Side;
use crate::mathematics::Vec3;

/// Shortest rod or pivot spacing that is taken as one, mm.
pub(crate) const SHORTEST: f64 = 5.0;
/// Farthest a knuckle's point is from the wheel centre, mm.
const FARTHEST: f64 = 800.0;

/// Something wrong or doubtful about a corner's description, naming the points concerned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[allow(missing_docs, reason = "the fields are the points and numbers the message shows")]
pub enum Finding {
    #[error("{point} is missing, and a {layout} corner needs it; measure it or take it from a template")]
    Missing { point: Point, layout: Layout },
    #[error("{point} has a coordinate that is not an ordinary number; enter it again")]
    NotANumber { point: Point },
    #[error("{what} is not usable: {why}")]
    BadNumber { what: &'static str, why: &'static str },
    #[error("{from} and {to} are {distance:.1} mm apart, too little for two joints; one of them is mistyped")]
    ZeroLength { from: Point, to: Point, distance: f64 },
    #[error("the wheel centre is {outboard:.2} from the centreline: {unit} where millimetres are wanted? Points: {}", names(.points))]
    OtherUnit { outboard: f64, unit: &'static str, points: Vec<Point> },
    #[error(
        "{point} is {distance:.0} mm from the wheel centre, farther than a knuckle reaches; wrong unit, sign or axis?"
    )]
    FarFromWheel { point: Point, distance: f64 },
    #[error("{point} is on the other side of the car for a {side} corner (y = {y:.0}); left has positive y")]
    OtherSide { point: Point, side: Side, y: f64 },
    #[error("{inner} is nearer to the wheel than {outer}; the two are swapped")]
    SwappedEnds { inner: Point, outer: Point },
    #[error("{upper} is not above {lower}; the two are swapped")]
    SwappedHeights { upper: Point, lower: Point },
    #[error("{front} is behind {rear}; x is forward, so the two are swapped or x was measured rearward")]
    SwappedPivots { front: Point, rear: Point },
    #[error(
        "the line from {inner} to {outer} passes the steering axis at {lever:.0} mm; it cannot steer: one of them is mistyped"
    )]
    NoSteeringArm { inner: Point, outer: Point, lever: f64 },
    #[error("{} do not hold the wheel at the design position: they stand in line or repeat each other", in_words(.members))]
    NotHeld { members: Vec<Member> },
    #[error("{point} is missing; measure it")]
    MissingOfAxle { point: Point },
    #[error(
        "{point} is {y:.0} mm from the car's middle, where it lies on every twist beam; write y = 0, or look whether another point was measured"
    )]
    OffMiddle { point: Point, y: f64 },
    #[error(
        "{from} and {to} are {distance:.0} mm apart in side view, which leaves no arm; one of them is mistyped"
    )]
    NoArm { from: Point, to: Point, distance: f64 },
    #[error(
        "{point} is behind the wheel centre; x is forward, so it was measured rearward, or the arms of this axle lead"
    )]
    BehindWheel { point: Point },
    #[error(
        "the beam shear centre lies in line with beam pivot and wheel centre; measure where the cross member runs"
    )]
    ShearCentreInLine,
    #[error(
        "{point} is {distance:.0} mm from the axle in side view, farther than a bracket reaches; wrong unit, sign or axis?"
    )]
    FarFromAxle { point: Point, distance: f64 },
    #[error(
        "{point} belongs to a fifth rod, and four hold a live axle; a fifth works only because bushings give: write an upper pair as one rod in the middle between the two"
    )]
    FifthRod { point: Point },
    #[error(
        "{point} is not used; the leaf springs alone hold the axle here, so take it out or describe the rods without the springs' eye"
    )]
    BesideLeaves { point: Point },
    #[error("the rods do not hold the axle at the design position; these stand in line or repeat each other: {}", in_words(.members))]
    AxleNotHeld { members: Vec<Member> },
    #[error("{why}")]
    BadAxle { why: String },
    #[error("the adjusters at their settings cannot be put together from the design position: {trouble}")]
    AdjustersDoNotFit { trouble: String },
}

fn names(points: &[Point]) -> String {
    points.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

impl Finding {
    /// Whether nothing can be computed with it. The others are doubts to be shown.
    #[must_use]
    pub fn stops(&self) -> bool {
        !matches!(self, Self::SwappedPivots { .. } | Self::BehindWheel { .. } | Self::BesideLeaves { .. })
    }

    /// The points it names.
    #[must_use]
    pub fn points(&self) -> Vec<Point> {
        match self {
            Self::Missing { point, .. }
            | Self::NotANumber { point }
            | Self::FarFromWheel { point, .. }
            | Self::MissingOfAxle { point }
            | Self::OffMiddle { point, .. }
            | Self::BehindWheel { point }
            | Self::FarFromAxle { point, .. }
            | Self::FifthRod { point }
            | Self::BesideLeaves { point }
            | Self::OtherSide { point, .. } => vec![*point],
            Self::ZeroLength { from: a, to: b, .. }
            | Self::NoArm { from: a, to: b, .. }
            | Self::SwappedEnds { inner: a, outer: b }
            | Self::NoSteeringArm { inner: a, outer: b, .. }
            | Self::SwappedHeights { upper: a, lower: b }
            | Self::SwappedPivots { front: a, rear: b } => vec![*a, *b],
            Self::OtherUnit { points, .. } => points.clone(),
            Self::ShearCentreInLine => vec![Point::BeamShearCentre, Point::BeamPivot],
            Self::NotHeld { members } | Self::AxleNotHeld { members } => {
                members.iter().flat_map(member_points).collect()
            }
            Self::BadNumber { .. } | Self::BadAxle { .. } | Self::AdjustersDoNotFit { .. } => Vec::new(),
        }
    }
}

fn member_points(member: &Member) -> Vec<Point> {
    match member {
        Member::Rod(a, b) => vec![*a, *b],
        Member::Strut => vec![Point::StrutTop, Point::StrutSeat],
        Member::Pivot(p) => vec![*p],
        Member::Guide | Member::WheelHeight => Vec::new(),
    }
}

/// Everything that can be said of a description without solving it, in one pass.
#[must_use]
pub fn check(spec: &CornerSpec) -> Vec<Finding> {
    let mut out = Vec::new();
    given(spec, &mut out);
    numbers(spec, &mut out);
    // Points that are there are judged even where others are still to be measured.
    let only_missing = |out: &[Finding]| out.iter().all(|f| matches!(f, Finding::Missing { .. }));
    let judged = spec.point(Point::WheelCentre).is_some();
    if judged && only_missing(&out) {
        unit(spec, &mut out);
    }
    if judged && only_missing(&out) {
        sides(spec, &mut out);
        lengths(spec, &mut out);
        order(spec, &mut out);
    }
    if out.iter().all(|f| !f.stops()) {
        steering_arm(spec, &mut out);
    }
    out
}

fn given(spec: &CornerSpec, out: &mut Vec<Finding>) {
    for &point in spec.layout.points() {
        if spec.point(point).is_none() {
            out.push(Finding::Missing { point, layout: spec.layout });
        }
    }
    for (point, place) in spec.points() {
        if !place.is_finite() {
            out.push(Finding::NotANumber { point });
        }
    }
}

fn numbers(spec: &CornerSpec, out: &mut Vec<Finding>) {
    let mut bad = |what, why| out.push(Finding::BadNumber { what, why });
    let small = -45.0..45.0;
    if !small.contains(&spec.camber_deg) {
        bad("the design camber", "it must be an angle in degrees below 45");
    }
    if !small.contains(&spec.toe_deg) {
        bad("the design toe", "it must be an angle in degrees below 45");
    }
    if !(spec.loaded_radius > 10.0 && spec.loaded_radius < 2000.0) {
        bad("the loaded radius", "it must be in millimetres, from hub centre to the floor");
    }
    let no_direction = |v: Vec3| !(v.is_finite() && v.norm() > 1e-6);
    if [spec.rack, spec.bar_axis, spec.axle_axis].into_iter().any(no_direction) {
        bad("a direction (rack, bar axis or drive-axle axis)", "it must not be nought");
    }
    if spec.adjusters.len() > MOST_ADJUSTERS {
        bad("the number of adjusters", "one corner takes at most twelve");
    }
    if spec.joints.len() > MOST_JOINTS || spec.joints.iter().any(|j| no_direction(j.axis)) {
        bad("the joints", "one corner follows at most six, each with a direction");
    }
    for (adjuster, setting) in &spec.adjusters {
        let vectors = adjuster.vectors();
        if vectors[0].is_some_and(no_direction) || vectors[1].is_some_and(|v| !v.is_finite()) {
            bad("an adjuster's direction", "it must not be nought");
        }
        let cam = match adjuster {
            Adjuster::Eccentric { eccentricity, start_deg, .. } => [*eccentricity, *start_deg],
            _ => [0.0; 2],
        };
        if !(setting.is_finite() && cam.iter().all(|x| x.is_finite())) {
            bad("an adjuster's setting", "it must be an ordinary number");
        }
    }
}

fn place(spec: &CornerSpec, point: Point) -> Vec3 {
    spec.point(point).unwrap_or_default()
}

/// Inches, metres and centimetres show in the wheel centre's distance from the centreline: half
/// the track of a road car is 550 to 900 mm, of small and large vehicles 300 to 1300.
pub(crate) fn other_unit(outboard: f64) -> Option<&'static str> {
    if outboard < 3.0 {
        Some("metres")
    } else if (15.0..45.0).contains(&outboard) {
        Some("inches")
    } else if (45.0..110.0).contains(&outboard) {
        Some("centimetres")
    } else {
        None
    }
}

fn unit(spec: &CornerSpec, out: &mut Vec<Finding>) {
    let outboard = place(spec, Point::WheelCentre).y.abs();
    let Some(unit) = other_unit(outboard) else { return };
    let points = spec.points().map(|(p, _)| p).collect();
    out.push(Finding::OtherUnit { outboard, unit, points });
}

fn sides(spec: &CornerSpec, out: &mut Vec<Finding>) {
    let centre = place(spec, Point::WheelCentre);
    for (point, p) in spec.points() {
        // Inner points may lie a little beyond the centreline, outer ones may not.
        let slack = if point.on_body() { -200.0 } else { 0.0 };
        if p.y * spec.side.sign() < slack {
            out.push(Finding::OtherSide { point, side: spec.side, y: p.y });
        } else if !point.on_body() && (p - centre).norm() > FARTHEST {
            out.push(Finding::FarFromWheel { point, distance: (p - centre).norm() });
        }
    }
}

fn lengths(spec: &CornerSpec, out: &mut Vec<Finding>) {
    let mut pairs: Vec<(Point, Point)> = spec.layout.rods().to_vec();
    match spec.layout {
        Layout::Strut => {
            pairs.extend([(Point::LowerFront, Point::LowerRear), (Point::StrutTop, Point::StrutSeat)]);
        }
        Layout::DoubleWishbone => pairs.extend([
            (Point::LowerFront, Point::LowerRear),
            (Point::UpperFront, Point::UpperRear),
            (Point::LowerBall, Point::UpperBall),
        ]),
        Layout::SemiTrailing => pairs.push((Point::ArmInnerPivot, Point::ArmOuterPivot)),
        Layout::FiveLink => {}
    }
    pairs.extend([
        (Point::SpringTop, Point::SpringSeat),
        (Point::DamperTop, Point::DamperSeat),
        (Point::BarArmEnd, Point::BarLinkEnd),
        (Point::BarPivot, Point::BarArmEnd),
        (Point::AxleInner, Point::AxleOuter),
    ]);
    for (from, to) in pairs {
        if let (Some(a), Some(b)) = (spec.point(from), spec.point(to)) {
            let distance = (a - b).norm();
            if distance < SHORTEST {
                out.push(Finding::ZeroLength { from, to, distance });
            }
        }
    }
}

fn order(spec: &CornerSpec, out: &mut Vec<Finding>) {
    let wheel = place(spec, Point::WheelCentre);
    let mut ends: Vec<(Point, Point)> = spec.layout.rods().to_vec();
    ends.push((Point::AxleInner, Point::AxleOuter));
    for (inner, outer) in ends {
        if let (Some(a), Some(b)) = (spec.point(inner), spec.point(outer))
            && (a - wheel).norm() + 1.0 < (b - wheel).norm()
        {
            out.push(Finding::SwappedEnds { inner, outer });
        }
    }
    let above: &[(Point, Point)] = &[
        (Point::StrutTop, Point::StrutSeat),
        (Point::UpperBall, Point::LowerBall),
        (Point::SpringTop, Point::SpringSeat),
    ];
    for &(upper, lower) in above {
        let used = |p: &Point| spec.layout.points().contains(p) || *p == Point::SpringTop;
        if let (Some(a), Some(b)) = (spec.point(upper), spec.point(lower))
            && used(&upper)
            && a.z <= b.z
        {
            out.push(Finding::SwappedHeights { upper, lower });
        }
    }
    for (front, rear) in [(Point::LowerFront, Point::LowerRear), (Point::UpperFront, Point::UpperRear)] {
        if let (Some(a), Some(b)) = (spec.point(front), spec.point(rear))
            && a.x < b.x
        {
            out.push(Finding::SwappedPivots { front, rear });
        }
    }
}

/// Shortest steering arm, mm; cars have 90 to 170.
const SHORTEST_LEVER: f64 = 15.0;

/// The tie rod must pass the steering axis at some distance: |k·((O − L) × u)|.
fn steering_arm(spec: &CornerSpec, out: &mut Vec<Finding>) {
    let upper = match spec.layout {
        Layout::Strut => Point::StrutTop,
        Layout::DoubleWishbone => Point::UpperBall,
        Layout::FiveLink | Layout::SemiTrailing => return,
    };
    let (inner, outer) = (Point::TieRodInner, Point::TieRodOuter);
    let low = place(spec, Point::LowerBall);
    let k = (place(spec, upper) - low).unit();
    let u = (place(spec, outer) - place(spec, inner)).unit();
    let lever = k.dot((place(spec, outer) - low).cross(u)).abs();
    if lever < SHORTEST_LEVER {
        out.push(Finding::NoSteeringArm { inner, outer, lever });
    }
}

/// A corner that cannot be computed, with everything found at once.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("the corner's points cannot be right: {}", .findings.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
pub struct BadCorner {
    /// All findings, doubts included.
    pub findings: Vec<Finding>,
}
