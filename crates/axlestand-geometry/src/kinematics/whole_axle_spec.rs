//! The description of an axle that carries both wheels: what goes in.

use super::axle_spec::{AxleHold, AxleSpec};
use super::point::{PerPoint, Point};
use super::twist_beam::TwistBeamSpec;
use crate::mathematics::Vec3;

/// How an axle that carries both wheels is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WholeLayout {
    /// A twist beam on two bushings.
    TwistBeam,
    /// A live axle on four rods.
    Links,
    /// A live axle on two leaf springs.
    Leaves,
}

/// The four rods of a live axle, body end first.
pub(crate) const RODS: [(Point, Point); 4] = [
    (Point::Link1Inner, Point::Link1Outer),
    (Point::Link2Inner, Point::Link2Outer),
    (Point::Link3Inner, Point::Link3Outer),
    (Point::Link4Inner, Point::Link4Outer),
];

impl WholeLayout {
    /// The points it cannot do without. Those of a twist beam and of leaf springs are the left
    /// ones; the right ones are their mirror images. Rods are written as they stand, all four.
    #[must_use]
    pub fn points(self) -> &'static [Point] {
        use Point as P;
        match self {
            Self::TwistBeam => &[P::WheelCentre, P::BeamPivot, P::BeamShearCentre],
            Self::Links => &[
                P::WheelCentre,
                P::Link1Inner,
                P::Link1Outer,
                P::Link2Inner,
                P::Link2Outer,
                P::Link3Inner,
                P::Link3Outer,
                P::Link4Inner,
                P::Link4Outer,
            ],
            Self::Leaves => &[P::WheelCentre, P::LeafFrontEye],
        }
    }
}

/// An axle that carries both wheels, by its points at the design position, car's axes, mm.
#[derive(Debug, Clone)]
pub struct WholeAxleSpec {
    /// How it is held.
    pub layout: WholeLayout,
    /// Loaded radius of the tyre, mm.
    pub loaded_radius: f64,
    /// Camber of the left and of the right wheel at the design position, degrees.
    pub camber_deg: [f64; 2],
    /// Toe of the left and of the right wheel at the design position, degrees, toe-in positive.
    pub toe_deg: [f64; 2],
    points: PerPoint<Option<Vec3>>,
}

impl WholeAxleSpec {
    /// An axle without points yet, no camber and no toe.
    #[must_use]
    pub fn new(layout: WholeLayout, loaded_radius: f64) -> Self {
        let points = PerPoint::filled(None);
        Self { layout, loaded_radius, camber_deg: [0.0; 2], toe_deg: [0.0; 2], points }
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

    /// A left point with its mirror image.
    fn pair(&self, point: Point) -> Option<[Vec3; 2]> {
        let left = self.point(point)?;
        Some([left, left.mirrored()])
    }

    /// The twist beam that the points describe, with the left wheel's angles; `None` where a point is
    /// missing.
    pub(crate) fn beam(&self) -> Option<TwistBeamSpec> {
        Some(TwistBeamSpec {
            bushing: self.pair(Point::BeamPivot)?,
            wheel: self.pair(Point::WheelCentre)?,
            shear_centre: self.point(Point::BeamShearCentre)?,
            camber_deg: self.camber_deg[0],
            toe_deg: self.toe_deg[0],
        })
    }

    /// The live axle that the points describe, with the left wheel's angles; `None` where a point is
    /// missing.
    pub(crate) fn live(&self) -> Option<AxleSpec> {
        let [left, right] = self.pair(Point::WheelCentre)?;
        let (camber_deg, toe_deg) = (self.camber_deg[0], self.toe_deg[0]);
        if self.layout == WholeLayout::Leaves {
            let [eye_left, eye_right] = self.pair(Point::LeafFrontEye)?;
            let leaves = AxleSpec::on_leaves(left, right, eye_left, eye_right);
            return Some(AxleSpec { camber_deg, toe_deg, ..leaves });
        }
        let rod = |(inner, outer): (Point, Point)| {
            Some(AxleHold::Rod { inner: self.point(inner)?, outer: self.point(outer)? })
        };
        let [a, b, c, d] = RODS.map(rod);
        Some(AxleSpec { left, right, holds: [a?, b?, c?, d?], camber_deg, toe_deg })
    }
}
