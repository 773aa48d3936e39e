//! Friction of threads and bearing faces by condition, from published ranges.
//!
//! There is no true value: every answer is an [`Interval`] with the evidence behind it. The ranges
//! are those of VDI 2230's friction classes and of MIL-HDBK-60, table II, as named in each row. At
//! one bolt and one lubricant the scatter is still about ±20 % (MIL-HDBK-60), and plating, batch
//! and reuse come on top.

mod condition;
mod family;
mod rows;

use crate::interval::Interval;

pub use condition::{Condition, ConditionError};
pub(crate) use rows::{TEXT, read};

/// The greatest coefficient that is taken for one.
const GREATEST: f64 = 2.0;

/// How well a condition's range is founded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Evidence {
    /// Sources disagree, or none is about just this.
    Weak,
    /// One published source or class.
    Fair,
    /// Several published sources agree.
    Good,
}

/// Why a friction was refused.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum FrictionError {
    /// NaN, negative, or far beyond any metal pair.
    #[error("a coefficient of friction must lie between 0 and {GREATEST}; {0} does not")]
    OutOfRange(f64),
    /// Nothing is published for the condition.
    #[error(
        "nobody can say the friction of a {0} thread; clean the thread (wire brush, thread file, die) or \
         replace the fastener, then say what it is like"
    )]
    NotKnown(Condition),
}

/// Coefficients of friction in the thread and under the turning face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Friction {
    thread: f64,
    bearing: f64,
}

/// What is published for one condition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrictionRange {
    /// The condition.
    pub condition: Condition,
    /// Coefficient of friction: hull of the published ranges and the value to plan with.
    pub coefficient: Interval<f64>,
    /// How well it is founded.
    pub evidence: Evidence,
}

/// One published range or value, as in the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrictionRow {
    /// The condition.
    pub condition: Condition,
    /// Lower end of the coefficient of friction, where the source has one.
    pub low: Option<f64>,
    /// Single coefficient, where the source has one.
    pub point: Option<f64>,
    /// Upper end of the coefficient, where the source has one.
    pub high: Option<f64>,
    /// How well this source carries it.
    pub evidence: Evidence,
    /// Source id, as in SOURCES.md.
    pub source: &'static str,
    /// What the source says.
    pub note: &'static str,
}

impl Friction {
    /// Thread friction and bearing friction apart, each between 0 and 2.
    ///
    /// # Errors
    /// [`FrictionError::OutOfRange`].
    pub fn new(thread: f64, bearing: f64) -> Result<Self, FrictionError> {
        for value in [thread, bearing] {
            if !(0.0..=GREATEST).contains(&value) {
                return Err(FrictionError::OutOfRange(value));
            }
        }
        Ok(Self { thread, bearing })
    }

    /// The same coefficient in thread and bearing.
    ///
    /// # Errors
    /// [`FrictionError::OutOfRange`].
    pub fn same(both: f64) -> Result<Self, FrictionError> {
        Self::new(both, both)
    }

    /// Friction in the thread.
    #[must_use]
    pub fn thread(self) -> f64 {
        self.thread
    }

    /// Friction under the turning face.
    #[must_use]
    pub fn bearing(self) -> f64 {
        self.bearing
    }

    /// The same coefficient in both places, already known to be in range.
    pub(crate) fn known(both: f64) -> Self {
        Self { thread: both, bearing: both }
    }
}

impl Condition {
    /// What is published for this condition.
    ///
    /// # Errors
    /// [`FrictionError::NotKnown`] for conditions such as rust, for which nothing is.
    pub fn friction(self) -> Result<FrictionRange, FrictionError> {
        rows::range(self).ok_or(FrictionError::NotKnown(self))
    }

    /// The published rows behind [`Condition::friction`].
    pub fn friction_rows(self) -> impl Iterator<Item = FrictionRow> {
        rows::all().iter().copied().filter(move |row| row.condition == self)
    }
}
