//! Where a specification comes from.

use crate::words::Origin;

/// Origin of a specification with the reference the owner gave.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Provenance {
    /// What kind of origin.
    pub origin: Origin,
    /// The reference: page or sheet of a manual, how it was measured, from what it was derived.
    pub source: Option<String>,
}

impl Provenance {
    /// What a layout template or this project says of any such car: never the value to work to.
    #[must_use]
    pub fn typical() -> Self {
        Self { origin: Origin::Typical, source: None }
    }

    /// Whether the owner may work to such a value: from a manual or derived, each with a reference, or
    /// measured at this car.
    #[must_use]
    pub fn may_be_worked_to(&self) -> bool {
        match self.origin {
            Origin::Manual | Origin::Derived => self.source.is_some(),
            Origin::Measured => true,
            Origin::Typical => false,
        }
    }
}

impl std::fmt::Display for Provenance {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.source {
            Some(source) => write!(f, "{}: {source}", self.origin.word()),
            None => f.write_str(self.origin.word()),
        }
    }
}
