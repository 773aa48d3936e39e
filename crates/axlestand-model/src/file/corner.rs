//! What is asked about an axle's hardpoints: kinematics are another crate's subject, so the check is
//! a function handed in, as for threads.

use crate::car::Axle;
use crate::words::Hand;

/// What kind of fault a corner has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    /// No point has that name.
    UnknownPoint,
    /// The points cannot be those of a suspension.
    Impossible,
    /// They can be computed with, but look wrong.
    Doubtful,
    /// The axle has nothing that could be adjusted like that.
    Adjuster,
}

/// Which table of an axle a fault speaks of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Spot {
    /// The hardpoints of a corner.
    Points(Hand),
    /// A key of an adjuster.
    Adjuster {
        /// The adjuster's name in the file.
        name: String,
        /// The key.
        key: &'static str,
    },
}

/// A fault of an axle's hardpoints or adjusters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CornerFault {
    /// What kind.
    pub doubt: Doubt,
    /// Where it stands.
    pub spot: Spot,
    /// The points it speaks of, as they are named in the file.
    pub points: Vec<String>,
    /// What is wrong, in one sentence.
    pub message: String,
    /// What to do.
    pub hint: String,
}

/// Tells every fault of an axle's hardpoints and adjusters.
pub type CheckCorner = fn(&Axle) -> Vec<CornerFault>;

/// No check at all.
pub(super) fn unchecked(_: &Axle) -> Vec<CornerFault> {
    Vec::new()
}
