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
}

/// A fault of an axle's hardpoints.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CornerFault {
    /// What kind.
    pub doubt: Doubt,
    /// Of which corner.
    pub side: Hand,
    /// The points it speaks of, as they are named in the file.
    pub points: Vec<String>,
    /// What is wrong, in one sentence.
    pub message: String,
    /// What to do.
    pub hint: String,
}

/// Tells every fault of an axle's hardpoints.
pub type CheckCorner = fn(&Axle) -> Vec<CornerFault>;

/// No check at all.
pub(super) fn unchecked(_: &Axle) -> Vec<CornerFault> {
    Vec::new()
}
