//! The description of one corner: what goes in.

use super::adjuster::Adjuster;
use super::layout::Layout;
use super::point::{PerPoint, Point};
use crate::conventions::Side;
use crate::mathematics::Vec3;

/// Most joints of one corner whose articulation is followed.
pub const MOST_JOINTS: usize = 6;

/// The part that carries a seat or joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carrier {
    /// The knuckle, the strut's tube or the semi-trailing arm: whatever is rigid with the wheel's
    /// bearing.
    Knuckle,
    /// The lower control arm.
    LowerArm,
    /// The upper control arm.
    UpperArm,
    /// A rod, by its place in [`Layout::rods`]. What sits off the rod's line is taken along
    /// without turning about it.
    Rod(usize),
}

/// How a joint's articulation is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Swing {
    /// Tilt between the rod that ends here and the plane square to the stud, whose direction `axis`
    /// is fixed to the knuckle: 0 when rod and stud are square. Tie-rod ends, outer link joints.
    StudAcrossRod,
    /// Angle between the rod and the direction `axis`, fixed to the body: inner tie-rod joints at a
    /// rack.
    RodFromAxis,
    /// Angle between the knuckle's and the control arm's idea of the direction `axis`, which is 0
    /// at the design position: ball joints of control arms.
    KnuckleFromArm,
}

/// A ball joint whose articulation is followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BallJoint {
    /// Which joint.
    pub point: Point,
    /// How its angle is counted.
    pub swing: Swing,
    /// Direction of stud or housing at the design position, in the car's axes.
    pub axis: Vec3,
    /// The angle its maker allows, degrees; without one the angle is shown without a verdict.
    pub limit_deg: Option<f64>,
}

/// Lengths and angles the parts allow, where their makers tell; without one no verdict is given.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Limits {
    /// Distance between the damper's mounts with the bump stop just touched, mm.
    pub damper_closed: Option<f64>,
    /// Distance between the damper's mounts fully extended, mm.
    pub damper_open: Option<f64>,
    /// Angle the drive axle's inner joint allows, degrees.
    pub axle_inner_deg: Option<f64>,
    /// Angle its outer joint allows, degrees.
    pub axle_outer_deg: Option<f64>,
    /// How far the plunging joint can go in from the design position, mm.
    pub plunge_in: Option<f64>,
    /// How far it can come out, mm.
    pub plunge_out: Option<f64>,
    /// Tilt of the bar link from square to the bar's arm that is still well, degrees.
    pub bar_link_deg: Option<f64>,
}

/// One corner by its hardpoints at the design position, in the car's axes, mm.
#[derive(Debug, Clone)]
pub struct CornerSpec {
    /// How the wheel is hung.
    pub layout: Layout,
    /// On which side of the car.
    pub side: Side,
    /// Camber at the design position, degrees.
    pub camber_deg: f64,
    /// Toe at the design position, degrees, toe-in positive.
    pub toe_deg: f64,
    /// Loaded radius of the tyre, mm.
    pub loaded_radius: f64,
    /// Direction in which the inner tie-rod joint goes for rack travel to the left.
    pub rack: Vec3,
    /// What the spring's lower seat is on. A strut without spring seats of its own has its spring
    /// on the strut.
    pub spring_on: Carrier,
    /// What the damper's lower mount is on.
    pub damper_on: Carrier,
    /// What the bar link's joint is on.
    pub bar_link_on: Carrier,
    /// Direction of the anti-roll bar's axis.
    pub bar_axis: Vec3,
    /// Direction of the differential's output, outboard.
    pub axle_axis: Vec3,
    /// Adjusters with their settings.
    pub adjusters: Vec<(Adjuster, f64)>,
    /// Ball joints whose articulation is followed.
    pub joints: Vec<BallJoint>,
    /// What the parts allow.
    pub limits: Limits,
    points: PerPoint<Option<Vec3>>,
}

impl CornerSpec {
    /// A corner without points yet: no camber, no toe, the rack moving along y, spring, damper and
    /// bar link on the knuckle, differential and bar axes across the car.
    #[must_use]
    pub fn new(layout: Layout, side: Side, loaded_radius: f64) -> Self {
        let across = Vec3::new(0.0, 1.0, 0.0);
        Self {
            layout,
            side,
            camber_deg: 0.0,
            toe_deg: 0.0,
            loaded_radius,
            rack: across,
            spring_on: Carrier::Knuckle,
            damper_on: Carrier::Knuckle,
            bar_link_on: Carrier::Knuckle,
            bar_axis: across,
            axle_axis: Vec3::new(0.0, side.sign(), 0.0),
            adjusters: Vec::new(),
            joints: Vec::new(),
            limits: Limits::default(),
            points: PerPoint::filled(None),
        }
    }

    /// With one point set, mm forward, left, up.
    #[must_use]
    pub fn with(mut self, point: Point, x: f64, y: f64, z: f64) -> Self {
        self.set(point, Vec3::new(x, y, z));
        self
    }

    /// Sets one point.
    pub fn set(&mut self, point: Point, place: Vec3) {
        self.points[point] = Some(place);
    }

    /// Where a point is, if it was given.
    #[must_use]
    pub fn point(&self, point: Point) -> Option<Vec3> {
        self.points[point]
    }

    /// Every point that was given.
    pub fn points(&self) -> impl Iterator<Item = (Point, Vec3)> + '_ {
        Point::ALL.into_iter().filter_map(|p| Some((p, self.points[p]?)))
    }

    /// The mirror image on the other side of the car. Rack travel stays "to the left", so equal
    /// rack travel steers both wheels the same way.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let mut other = self.clone();
        other.side = self.side.other();
        other.points = self.points.map(|p| p.map(Vec3::mirrored));
        // The rack's direction is mirrored and turned round: +1 stays to the left.
        other.rack = -self.rack.mirrored();
        other.bar_axis = -self.bar_axis.mirrored();
        other.axle_axis = self.axle_axis.mirrored();
        for (adjuster, _) in &mut other.adjusters {
            *adjuster = adjuster.mirrored();
        }
        for joint in &mut other.joints {
            joint.axis = joint.axis.mirrored();
        }
        other
    }
}
