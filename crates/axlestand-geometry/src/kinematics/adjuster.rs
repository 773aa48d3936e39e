//! What a mechanic can turn, slot or shim, as parameters of the mechanism.

use super::point::{PerPoint, Point};
use crate::conventions::Side;
use crate::mathematics::{Mat3, Scalar, Vec3};

/// Most adjusters one corner can have.
pub const MOST_ADJUSTERS: usize = 12;

/// An adjuster of a corner. Its setting is nought as the hardpoints were taken; mm or degrees as
/// said at each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Adjuster {
    /// Length of the tie rod or toe link, mm longer.
    TieRod,
    /// Length of another rod or arm leg, mm longer; by its place in
    /// [`Layout::rods`](super::Layout::rods).
    Rod(usize),
    /// A mount moved along `direction` (made a unit vector), mm: camber plate, shims, slotted
    /// mount, spacer under a steering rack or ball joint. All links keep their lengths.
    Shift {
        /// What moves.
        point: Point,
        /// Which way, in the car's axes at the design position.
        direction: Vec3,
    },
    /// An eccentric bolt in a pivot, degrees turned about `bolt` from where it stands: the pivot
    /// runs on a circle of radius `eccentricity`. At angle nought the cam points outboard, at 90°
    /// square to that and to the bolt.
    Eccentric {
        /// The pivot it moves.
        point: Point,
        /// Direction of the bolt.
        bolt: Vec3,
        /// Radius of the pivot's circle, mm.
        eccentricity: f64,
        /// Where the cam stands at setting nought, degrees.
        start_deg: f64,
    },
    /// The strut turned in the knuckle about its lower bolt by a camber bolt or slotted holes,
    /// degrees; positive moves camber towards positive when `axis` points forward on the left. For
    /// a shift d at the upper bolt, a distance h from the lower, the setting is atan(d/h).
    StrutTurn {
        /// The lower bolt.
        bolt: Vec3,
        /// Direction of the bolts: the turn is right-handed about it.
        axis: Vec3,
    },
    /// The spring's collar or lower seat, mm raised towards the spring. It moves no hardpoint:
    /// height follows from the load balance in [`springs`](crate::springs).
    Collar,
}

impl Adjuster {
    /// The same adjuster on the other side of the car, for mirrored hardpoints.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        match *self {
            Self::Shift { point, direction } => Self::Shift { point, direction: direction.mirrored() },
            Self::Eccentric { point, bolt, eccentricity, start_deg } => {
                Self::Eccentric { point, bolt: bolt.mirrored(), eccentricity, start_deg }
            }
            // A rotation's axis mirrors as an axial vector.
            Self::StrutTurn { bolt, axis } => {
                Self::StrutTurn { bolt: bolt.mirrored(), axis: -axis.mirrored() }
            }
            Self::TieRod | Self::Rod(_) | Self::Collar => *self,
        }
    }

    /// Whether the setting is an angle in degrees rather than a length in mm.
    #[must_use]
    pub fn in_degrees(&self) -> bool {
        matches!(self, Self::Eccentric { .. } | Self::StrutTurn { .. })
    }

    /// How far a setting moves the points it moves, mm in the car's axes at the design position; the
    /// same at either side of the car for mirrored adjusters but for the sign of y. Nought for what
    /// moves no mount.
    #[must_use]
    pub fn displacement(&self, setting: f64, side: Side) -> Vec3 {
        match *self {
            Self::Shift { direction, .. } => direction.unit().times(setting),
            Self::Eccentric { bolt, eccentricity, start_deg, .. } => {
                cam(bolt, eccentricity, setting + start_deg, side) - cam(bolt, eccentricity, start_deg, side)
            }
            Self::TieRod | Self::Rod(_) | Self::StrutTurn { .. } | Self::Collar => Vec3::default(),
        }
    }

    /// The vectors it is described by, for checking.
    pub(crate) fn vectors(&self) -> [Option<Vec3>; 2] {
        match *self {
            Self::Shift { direction, .. } => [Some(direction), None],
            Self::Eccentric { bolt, .. } => [Some(bolt), None],
            Self::StrutTurn { bolt, axis } => [Some(axis), Some(bolt)],
            Self::TieRod | Self::Rod(_) | Self::Collar => [None, None],
        }
    }
}

/// What all adjusters of a corner do together.
pub(crate) struct Adjusted<S> {
    /// How far each point is from where it was taken.
    pub(crate) shift: PerPoint<Vec3<S>>,
    /// How much longer each rod is.
    pub(crate) longer: [S; 5],
    /// The turn of the strut in the knuckle and the point it turns about.
    pub(crate) strut: Option<(Mat3<S>, Vec3<S>)>,
}

impl<S: Scalar> Adjusted<S> {
    /// Nothing adjusted but for the given shifts.
    pub(crate) fn new(shift: PerPoint<Vec3<S>>) -> Self {
        Self { shift, longer: [S::zero(); 5], strut: None }
    }

    /// Adds one adjuster at its setting.
    pub(crate) fn apply(&mut self, adjuster: &Adjuster, setting: S, tie_rod: Option<usize>, side: Side) {
        match *adjuster {
            Adjuster::TieRod => {
                if let Some(tie) = tie_rod {
                    self.longer[tie] = self.longer[tie] + setting;
                }
            }
            Adjuster::Rod(rod) => {
                if let Some(longer) = self.longer.get_mut(rod) {
                    *longer = *longer + setting;
                }
            }
            Adjuster::Shift { point, direction } => {
                self.shift[point] = self.shift[point] + Vec3::constant(direction.unit()).times(setting);
            }
            Adjuster::Eccentric { point, bolt, eccentricity, start_deg } => {
                let at = cam(bolt, eccentricity, setting + S::constant(start_deg), side);
                let from = cam(bolt, eccentricity, S::constant(start_deg), side);
                self.shift[point] = self.shift[point] + at - from;
            }
            Adjuster::StrutTurn { bolt, axis } => {
                let turn = Mat3::turned_by(Vec3::constant(axis.unit()).times(setting.in_radians()));
                self.strut = Some((turn, Vec3::constant(bolt)));
            }
            Adjuster::Collar => {}
        }
    }
}

/// Where an eccentric's pivot is from the bolt's centre.
fn cam<S: Scalar>(bolt: Vec3, eccentricity: f64, angle_deg: S, side: Side) -> Vec3<S> {
    let bolt = bolt.unit();
    let outboard = Vec3::new(0.0, side.sign(), 0.0).across(bolt);
    // A bolt that lies across the car has no outboard direction: the cam starts upward then.
    let first = if outboard.norm() > 0.1 { outboard } else { Vec3::new(0.0, 0.0, 1.0).across(bolt) };
    let first = first.unit();
    // Mirror images turn the other way round, so that equal settings mean equal pivots.
    let second = bolt.cross(first).times(side.sign());
    let (sin, cos) = angle_deg.in_radians().sin_cos();
    let along = |v: Vec3, k: S| Vec3::constant(v).times(k.scaled(eccentricity));
    along(first, cos) + along(second, sin)
}
