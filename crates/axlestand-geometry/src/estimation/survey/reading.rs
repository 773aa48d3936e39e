//! What is read at a corner on stands.

use crate::kinematics::Point;

/// From where a rod's or tube's angle is read, degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tilt {
    /// Rise over outward run, seen from in front: arms, tie rods.
    RiseInFront,
    /// Lean from the vertical, seen from in front, top outward positive: struts.
    LeanInFront,
    /// Lean from the vertical, seen from the side, top forward positive: struts.
    LeanFromSide,
}

/// A reading at a left corner; a right one is read as its mirror image. Millimetres and degrees; points
/// are what a tape can touch of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SurveyKind {
    /// Distance of two points.
    Tape(Point, Point),
    /// Distance of a point and the same one of the other side.
    Across(Point),
    /// Distance of a point and another one of the other side.
    Diagonal(Point, Point),
    /// Height above the floor.
    Height(Point),
    /// How far ahead of the hub, by plumb line.
    Station(Point),
    /// Angle of the line from the first to the second point.
    Angle(Point, Point, Tilt),
    /// Camber at the height of the survey, by a gauge that was checked.
    Camber,
    /// Toe at the height of the survey, likewise.
    Toe,
    /// Camber with the hub raised by this much, against the gauge's own zero.
    SweepCamber(f64),
    /// Toe with the hub raised by this much, likewise.
    SweepToe(f64),
    /// Change of toe as the tie rod is made longer by this much.
    ToeOfRod(f64),
}

impl std::fmt::Display for SurveyKind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Tape(a, b) => write!(f, "{a} to {b}"),
            Self::Across(p) => write!(f, "{p} across"),
            Self::Diagonal(a, b) => write!(f, "{a} to {b} of the other side"),
            Self::Height(p) => write!(f, "height of {p}"),
            Self::Station(p) => write!(f, "{p} ahead of the hub"),
            Self::Angle(a, b, Tilt::LeanFromSide) => write!(f, "angle {a} to {b}, from the side"),
            Self::Angle(a, b, _) => write!(f, "angle {a} to {b}, from in front"),
            Self::Camber => f.write_str("static camber"),
            Self::Toe => f.write_str("static toe"),
            Self::SweepCamber(z) => write!(f, "camber at {z:+} mm"),
            Self::SweepToe(z) => write!(f, "toe at {z:+} mm"),
            Self::ToeOfRod(by) => write!(f, "toe for {by:+} mm of tie rod"),
        }
    }
}
