//! What goes on by itself after an operation, while the hands are free.

use crate::provenance::Provenance;
use crate::words::WaitKind;

/// A wait after an operation: whatever comes after it in the plan starts no sooner.
#[derive(Debug, Clone, PartialEq)]
pub struct Wait {
    /// What goes on.
    pub kind: WaitKind,
    /// For how many minutes.
    pub minutes: f64,
    /// Where the minutes come from; `typical` where the vehicle file gives none.
    pub provenance: Provenance,
}

impl Wait {
    /// Whether the car must not go on the road before it is over.
    #[must_use]
    pub fn is_firm(&self) -> bool {
        matches!(self.kind, WaitKind::Dry | WaitKind::Cure)
    }
}

impl WaitKind {
    /// Minutes where the vehicle file gives none: judgements of this project (source ids AX-55 to AX-58). The can
    /// or the tube says more.
    #[must_use]
    pub fn typical_minutes(self) -> f64 {
        match self {
            Self::Soak => 480.0,
            Self::Dry => 240.0,
            Self::Cure => 1440.0,
            Self::Drain => 15.0,
        }
    }
}
