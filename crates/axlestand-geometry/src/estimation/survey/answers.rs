//! What the mechanism does, by the crate's own kinematics.

use super::reading::SurveyKind;
use super::unknowns::{self, POINTS};
use crate::estimation::Model;
use crate::kinematics::{Adjuster, Axis, Corner, CornerSpec, Effect, Parameter, Point};
use crate::mathematics::Vec3;

/// What is asked of a survey, about the true ride height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SurveyAnswer {
    /// Change of camber, degrees, with the car lowered by this much, mm.
    CamberChange(f64),
    /// Change of toe of this wheel, degrees, with the car lowered by this much, mm.
    ToeChange(f64),
    /// Change of toe of this wheel, degrees, with the tie rod longer by this much, mm: a turn is the
    /// pitch.
    ToeOfRod(f64),
    /// Change of the bump steer, degrees of toe for 10 mm of travel about ride height, with the outer
    /// tie-rod joint lower by this much, mm, and toe set again: what a shim there does.
    BumpOfShim(f64),
}

impl std::fmt::Display for SurveyAnswer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::CamberChange(by) => write!(f, "camber change, lowered {by} mm"),
            Self::ToeChange(by) => write!(f, "toe change, lowered {by} mm"),
            Self::ToeOfRod(by) => write!(f, "toe for {by} mm of tie rod"),
            Self::BumpOfShim(by) => write!(f, "bump steer for {by} mm of shim"),
        }
    }
}

/// Which of the two angles.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Angle {
    Camber,
    Toe,
}

/// One pose of the mechanism that counts in a reading or answer.
#[derive(Debug, Clone, Copy)]
struct Pose {
    /// +1 or −1.
    sign: f64,
    /// Hub raised by this much, mm, and whether the ride height's unknown is to be added.
    travel: f64,
    from_ride: bool,
    /// Tie rod longer by this much, mm.
    rod: f64,
    /// Outer tie-rod joint lower by this much, mm.
    shim: f64,
}

/// A sum of angles in poses, plus a gauge's zero.
#[derive(Debug, Clone)]
pub(crate) struct Moved {
    template: CornerSpec,
    angle: Angle,
    poses: Vec<Pose>,
    zero: Option<usize>,
}

impl Moved {
    /// A reading with the hub raised or the rod turned; `None` for another kind.
    pub(crate) fn reading(template: &CornerSpec, kind: SurveyKind) -> Option<Self> {
        let pose = |sign, travel, rod| Pose { sign, travel, from_ride: false, rod, shim: 0.0 };
        let (angle, poses, zero) = match kind {
            SurveyKind::SweepCamber(z) => {
                (Angle::Camber, vec![pose(1.0, z, 0.0)], Some(unknowns::CAMBER_ZERO))
            }
            SurveyKind::SweepToe(z) => (Angle::Toe, vec![pose(1.0, z, 0.0)], Some(unknowns::TOE_ZERO)),
            SurveyKind::ToeOfRod(by) => (Angle::Toe, vec![pose(1.0, 0.0, by), pose(-1.0, 0.0, 0.0)], None),
            _ => return None,
        };
        Some(Self { template: template.clone(), angle, poses, zero })
    }

    /// An answer.
    pub(crate) fn answer(template: &CornerSpec, answer: SurveyAnswer) -> Self {
        let pose = |sign, travel, rod, shim| Pose { sign, travel, from_ride: true, rod, shim };
        let change = |travel, rod| vec![pose(1.0, travel, rod, 0.0), pose(-1.0, 0.0, 0.0, 0.0)];
        let (angle, poses) = match answer {
            SurveyAnswer::CamberChange(by) => (Angle::Camber, change(by, 0.0)),
            SurveyAnswer::ToeChange(by) => (Angle::Toe, change(by, 0.0)),
            SurveyAnswer::ToeOfRod(by) => (Angle::Toe, change(0.0, by)),
            SurveyAnswer::BumpOfShim(by) => {
                let slope = |sign, shim| [pose(sign, 5.0, 0.0, shim), pose(-sign, -5.0, 0.0, shim)];
                (Angle::Toe, [slope(1.0, by), slope(-1.0, 0.0)].concat())
            }
        };
        Self { template: template.clone(), angle, poses, zero: None }
    }

    /// The corner as the unknowns have it, in a pose.
    fn corner(&self, at: &[f64], pose: &Pose) -> Option<Corner> {
        let mut spec = self.template.clone();
        for (place, point) in POINTS.iter().enumerate() {
            let [x, y, z] = unknowns::coordinates(place).map(|c| c.map_or(Some(0.0), |c| at.get(c).copied()));
            let shim = if *point == Point::TieRodOuter { pose.shim } else { 0.0 };
            spec.set(*point, Vec3::new(x?, y?, z? - shim));
        }
        spec.camber_deg = *at.get(unknowns::CAMBER)?;
        spec.toe_deg = *at.get(unknowns::TOE)?;
        spec.adjusters = if pose.rod.abs() > 0.0 { vec![(Adjuster::TieRod, pose.rod)] } else { Vec::new() };
        Corner::new(spec).ok()
    }
}

/// The unknowns the mechanism depends on, each with the parameter of the kinematics.
fn parameters() -> Vec<(usize, Parameter)> {
    let mut out = Vec::with_capacity(26);
    for (place, point) in POINTS.iter().enumerate() {
        for (unknown, axis) in unknowns::coordinates(place).into_iter().zip(Axis::ALL) {
            out.extend(unknown.map(|u| (u, Parameter::Surveyed(*point, axis))));
        }
    }
    out.push((unknowns::CAMBER, Parameter::DesignCamber));
    out.push((unknowns::TOE, Parameter::DesignToe));
    out.push((unknowns::RIDE, Parameter::Travel));
    out
}

impl Model for Moved {
    fn evaluate(&self, at: &[f64], gradient: &mut [f64]) -> Option<f64> {
        let mut sum = 0.0;
        let list = parameters();
        let by: Vec<Parameter> = list.iter().map(|(_, p)| *p).collect();
        for pose in &self.poses {
            let corner = self.corner(at, pose)?;
            let ride = if pose.from_ride { *at.get(unknowns::RIDE)? } else { 0.0 };
            let solved = corner.solve(pose.travel + ride, 0.0).ok()?;
            let (here, rates) = corner.wheel_effects(&solved, &by).ok()?;
            let pick = |e: &Effect| if self.angle == Angle::Camber { e.camber } else { e.toe };
            sum += pose.sign * pick(&here);
            for ((unknown, _), rate) in list.iter().zip(&rates) {
                if *unknown != unknowns::RIDE || pose.from_ride {
                    *gradient.get_mut(*unknown)? += pose.sign * pick(rate);
                }
            }
        }
        if let Some(zero) = self.zero {
            sum += at.get(zero)?;
            *gradient.get_mut(zero)? += 1.0;
        }
        Some(sum)
    }
}

/// The points a strut survey needs in its typical corner.
pub(crate) fn missing(template: &CornerSpec) -> Vec<Point> {
    POINTS.iter().copied().filter(|p| template.point(*p).is_none()).collect()
}
