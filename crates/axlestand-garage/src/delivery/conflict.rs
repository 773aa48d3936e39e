//! Two devices that read the same thing and do not agree: both readings are kept, and a person is told.

use super::Answer;
use crate::error::GarageError;
use crate::job::Garage;
use crate::store::Stamp;
use axlestand_ledger::{Entry, Event};

/// How many combined standard uncertainties two readings of one thing may differ: about 95 % of honest
/// pairs lie within. Source: JCGM 100:2008 (GUM), 6.2 and annex G, coverage factor 2.
const COVERAGE: f64 = 2.0;

impl Garage {
    /// Why a reading that was just recorded does not agree with the one before it, where another device
    /// (or the command line) recorded that and the car was not worked on between the two. Who reads
    /// anew on the same device corrects, and is not asked.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub(super) fn disagreement(
        &self,
        job: &str,
        stamp: &Stamp,
        answer: &Answer,
    ) -> Result<Option<String>, GarageError> {
        let Some((now, before)) = two_readings(answer) else { return Ok(None) };
        let (Some(one), Some(other)) = (Taken::of(now), Taken::of(before)) else { return Ok(None) };
        if (one.value - other.value).abs() <= COVERAGE * one.u.hypot(other.u) {
            return Ok(None);
        }
        let sender = self.store.sender_of(job, &before.id)?;
        if sender.as_deref() == Some(stamp.device.as_str()) {
            return Ok(None);
        }
        Ok(Some(format!(
            "read twice: {} before, from {}, and {} now, from {}. Both are kept and the later one counts; take the wrong one back in the ledger",
            other.typed,
            sender.as_deref().map_or("the command line", person_like),
            one.typed,
            person_like(&stamp.device),
        )))
    }
}

/// A sender without the name of its browser's queue.
pub(super) fn person_like(sender: &str) -> &str {
    sender.split('/').next().unwrap_or(sender)
}

struct Taken<'a> {
    value: f64,
    u: f64,
    typed: &'a str,
}

impl<'a> Taken<'a> {
    fn of(entry: &'a Entry) -> Option<Self> {
        match &entry.event {
            Event::Read { value, u, typed, .. } => Some(Self { value: *value, u: *u, typed }),
            _ => None,
        }
    }
}

/// The reading just recorded and the one of the same thing before it; none where work lies between that
/// may have moved a wheel.
fn two_readings(answer: &Answer) -> Option<(&Entry, &Entry)> {
    let id = answer.entries.first()?;
    let counting: Vec<&Entry> = answer.job.state.counting_entries().collect();
    let at = counting.iter().position(|entry| entry.id == *id)?;
    let now = *counting.get(at)?;
    let Event::Read { reading, again, .. } = &now.event else { return None };
    for entry in counting.get(..at)?.iter().rev() {
        match &entry.event {
            Event::Read { reading: read, again: then, .. } if read == reading && then == again => {
                return Some((now, entry));
            }
            Event::Done { .. } | Event::Turned { .. } if *again => return None,
            _ => {}
        }
    }
    None
}
