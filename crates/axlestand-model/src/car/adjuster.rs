//! What a mechanic can set at a wheel besides the tie rod: slots, camber bolts, eccentrics, mounts
//! that are moved, rods of adjustable length.

use crate::provenance::Provenance;

/// One adjuster of an axle: of each wheel, or of both at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Adjuster {
    /// Its name in the file.
    pub key: String,
    /// What a mechanic calls it.
    pub name: String,
    /// What it does.
    pub acts: Acts,
    /// Lower end of its range, counted from where it stood as the points were taken: degrees or mm, as
    /// said at what it does.
    pub from: f64,
    /// Upper end of its range, counted as `from`.
    pub to: f64,
    /// Whether both wheels move as one, by the same way in the car: a subframe.
    pub both_sides: bool,
    /// Where this comes from.
    pub provenance: Provenance,
}

/// What an adjuster does. Places and directions are the left corner's, ISO 8855 axes, mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Acts {
    /// The strut is turned in the knuckle about one of its bolts: camber bolt, slotted hole. Set in
    /// degrees, right-handed about `direction`.
    StrutTurn {
        /// The bolt about which it turns.
        bolt: [f64; 3],
        /// Direction of the bolts.
        direction: [f64; 3],
        /// Distance to the bolt that moves in its slot, mm, where known.
        apart: Option<f64>,
    },
    /// An eccentric bolt carries a pivot on a circle. Set in degrees of the bolt's turn.
    Eccentric {
        /// The pivot.
        point: String,
        /// Direction of the bolt.
        direction: [f64; 3],
        /// Radius of the circle, mm.
        eccentricity: f64,
        /// Where the cam stands at nought, degrees: 0 outboard.
        start: f64,
    },
    /// A mount is moved, all links keeping their lengths. Set in mm.
    Shift {
        /// The points that move.
        points: Vec<String>,
        /// Which way for a setting above nought.
        direction: [f64; 3],
    },
    /// A rod or one leg of an arm is made longer. Set in mm.
    Rod {
        /// A joint at one of its ends.
        point: String,
    },
}

impl Acts {
    /// Whether it is set in degrees rather than in mm.
    #[must_use]
    pub fn in_degrees(&self) -> bool {
        matches!(self, Self::StrutTurn { .. } | Self::Eccentric { .. })
    }

    /// The points of the file that it names.
    #[must_use]
    pub fn points(&self) -> Vec<&str> {
        match self {
            Self::StrutTurn { .. } => Vec::new(),
            Self::Eccentric { point, .. } | Self::Rod { point } => vec![point],
            Self::Shift { points, .. } => points.iter().map(String::as_str).collect(),
        }
    }
}
