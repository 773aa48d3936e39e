//! What the owner said once about the car, for reckoning with its wheels.

use super::adjustable::Rods;
use super::view::AlignmentWanted;
use crate::error::GarageError;
use crate::geometry::typed::number;
use crate::job::{Garage, Job, Recorded};
use axlestand_ledger::{Event, JobState};

const RODS: &str = "tie-rods";
const RATIO: &str = "steering-ratio";

/// The last word on something.
fn last<'a>(state: &'a JobState, wanted: &str) -> Option<&'a str> {
    let said = state.counting_entries().filter_map(|entry| match &entry.event {
        Event::Stated { what, value } if what == wanted => Some(value.as_str()),
        _ => None,
    });
    said.last()
}

/// Where the tie rods are, as the owner said.
pub(crate) fn rods(state: &JobState) -> Option<Rods> {
    Rods::parse(last(state, RODS)?).ok()
}

/// The steering ratio as typed; else as the owner said before.
///
/// # Errors
/// [`GarageError::Input`] for what is no ratio.
pub(crate) fn ratio(state: &JobState, typed: Option<&str>) -> Result<Option<f64>, GarageError> {
    let typed = typed.map(|text| number("--ratio", text)).transpose()?;
    if let Some(ratio) = typed.filter(|ratio| !(5.0..=40.0).contains(ratio)) {
        return Err(GarageError::Input(format!(
            "--ratio: {ratio} is no steering ratio; turns of the steering wheel for one of the road wheels, 12 to 20 on most cars"
        )));
    }
    Ok(typed.or_else(|| last(state, RATIO)?.parse().ok()))
}

/// What the owner said of tie rods and steering ratio in this job.
#[must_use]
pub fn said(job: &Job) -> AlignmentWanted {
    AlignmentWanted {
        rods: rods(&job.state),
        ratio: last(&job.state, RATIO).map(str::to_owned),
        ..AlignmentWanted::default()
    }
}

impl Garage {
    /// Records what the owner says of tie rods and steering ratio, where it is new: it need not be said
    /// again in this job. Gives what was recorded, in words.
    ///
    /// # Errors
    /// [`GarageError::Input`] for what is no ratio; [`GarageError`] where it cannot be recorded.
    pub fn state_alignment(
        &mut self,
        wanted: &AlignmentWanted,
    ) -> Result<Recorded<Vec<String>>, GarageError> {
        self.record(|job| {
            let mut said = Vec::new();
            if let Some(told) = wanted.rods.filter(|told| rods(&job.state) != Some(*told)) {
                said.push((RODS, told.word().to_owned()));
            }
            if let Some(told) = wanted.ratio.as_deref() {
                let (told, before) = (ratio(&job.state, Some(told))?, ratio(&job.state, None)?);
                if told != before {
                    said.extend(told.map(|told| (RATIO, told.to_string())));
                }
            }
            let words =
                said.iter().map(|(what, value)| format!("{}: {value}", what.replace('-', " "))).collect();
            let event = |(what, value): (&str, String)| Event::Stated { what: what.to_owned(), value };
            Ok((said.into_iter().map(event).collect(), words))
        })
    }
}
