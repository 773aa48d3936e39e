//! What the readings of a job say of the car as it stands now.

use crate::job::Job;
use axlestand_model::car::{Car, Reading};
use axlestand_model::{AxleEnd, Hand, ReadingKind};

/// The last reading of a kind.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Latest {
    /// Value in mm or degrees.
    pub(crate) value: f64,
    /// Standard uncertainty.
    pub(crate) u: f64,
    /// Which reading, and when it was taken.
    pub(crate) from: String,
    /// Whether it is of the car as it stands now: read again since the work, and nothing moved since.
    pub(crate) fresh: bool,
}

/// The axle's name as a word of the file.
pub(crate) fn end(axle: &str) -> AxleEnd {
    AxleEnd::from_word(axle).unwrap_or(AxleEnd::Front)
}

/// The reading of a kind at an axle and side, as the file describes it.
pub(crate) fn reading(car: &Car, kind: ReadingKind, axle: AxleEnd, side: Option<Hand>) -> Option<&Reading> {
    car.readings.iter().find(|r| r.kind == Some(kind) && r.axle == axle && r.id.side() == side)
}

/// The last value that was read.
pub(crate) fn latest(job: &Job, kind: ReadingKind, axle: AxleEnd, side: Option<Hand>) -> Option<Latest> {
    let reading = reading(&job.car, kind, axle, side)?;
    let record = job.state.readings.get(&reading.id)?.last()?;
    let when = if record.again { "read at the end" } else { "read before" };
    Some(Latest {
        value: record.value,
        u: record.u,
        from: format!("{when}: {}", reading.name),
        fresh: record.again && !record.stale,
    })
}
