//! Other jobs in the garage on the same car: what they have open counts for the car as well.

use crate::error::GarageError;
use crate::job::{Garage, Job, load};
use crate::lead::{Lead, LedText};
use crate::units::Units;
use crate::views::{ReasonView, check_lowering, check_road};
use axlestand_ledger::{Entry, Event, FastenerStage, rolling_check};
use axlestand_model::CarState;
use axlestand_model::car::{Hold, Part};

/// Another job on the same car that is not finished.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Neighbour {
    /// Its name.
    pub name: String,
    /// How many reasons keep the car from being lowered: all, where that job has it on stands; else what a life hangs
    /// on that is out or off, for it came up with what is only loose.
    pub lowering: usize,
    /// How many reasons keep the car off the road.
    pub road: usize,
    /// What it says against rolling the car: `in the job 'first': hub nut is out`.
    pub rolling: Option<String>,
    /// What it remarks where the car is let down: something broke and is still in.
    pub remarks: Vec<String>,
}

impl Neighbour {
    fn reason(&self, count: usize, gate: &str) -> Option<ReasonView> {
        let text = format!(
            "another job on this car is open, '{}': {}",
            self.name,
            crate::count::count(count, "reason")
        );
        let lead = Lead::Check { job: self.name.clone(), gate: gate.to_owned() };
        (count > 0).then(|| ReasonView::of(LedText::new(text, lead)))
    }

    /// Why the car may not be lowered, as far as this job goes.
    #[must_use]
    pub fn lowering_reason(&self) -> Option<ReasonView> {
        self.reason(self.lowering, "lowering")
    }

    /// Why the car may not go on the road, as far as this job goes.
    #[must_use]
    pub fn road_reason(&self) -> Option<ReasonView> {
        self.reason(self.road, "road")
    }

    /// Why the car must not be rolled, as far as this job goes.
    pub(crate) fn not_rolled(&self) -> Option<String> {
        self.rolling.as_ref().map(|why| format!("the car must not be rolled: {why}"))
    }
}

impl Garage {
    /// The other jobs on the same vehicle file in which something was done and that are not finished.
    ///
    /// # Errors
    /// [`GarageError`] where a job cannot be read.
    pub fn neighbours(&self, job: &Job) -> Result<Vec<Neighbour>, GarageError> {
        self.neighbours_of(&job.name, &job.state.car_path)
    }

    /// The same of the current job.
    pub(crate) fn neighbours_of_current(&self) -> Result<Vec<Neighbour>, GarageError> {
        if self.jobs()?.len() < 2 {
            return Ok(Vec::new());
        }
        let name = self.current_job()?;
        let job = load(&name, &self.entries_of(&name)?)?;
        self.neighbours_of(&name, &job.state.car_path)
    }

    /// What speaks against rolling the car besides the job: what a phone brought and nobody looked at yet, and what other
    /// jobs on the car say ([`Neighbour::rolling`]).
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub fn against_rolling(&self, job: &Job) -> Result<Vec<String>, GarageError> {
        let waiting = waiting_text(self.store.to_look_at(&job.name)?.len());
        let others = self.others_on(&job.name, &job.state.car_path)?;
        Ok(waiting.into_iter().chain(others.iter().filter_map(against_rolling)).collect())
    }

    /// Where another open job on the car, the last one in which it was moved, has it standing otherwise than this one.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub fn stands_elsewhere(&self, job: &Job) -> Result<Option<String>, GarageError> {
        let others = self.others_on(&job.name, &job.state.car_path)?;
        let is_up = |job: &Job| job.state.stands() == CarState::OnStands;
        let moved = |job: &Job| last_moved(job).map(|entry| entry.at.clone());
        let last = others.iter().filter(|other| moved(other) > moved(job)).max_by_key(|other| moved(other));
        Ok(last.filter(|other| is_up(other) != is_up(job)).map(|other| {
            format!(
                "by the job '{}' the car is {}, by this one {}: record here too how it stands",
                other.name,
                other.state.stands().phrase(),
                job.state.stands().phrase()
            )
        }))
    }

    fn neighbours_of(&self, own: &str, car_path: &str) -> Result<Vec<Neighbour>, GarageError> {
        let mut found = Vec::new();
        for other in self.others_on(own, car_path)? {
            let on_stands = other.state.stands() == CarState::OnStands;
            let check = check_lowering(&other);
            let lowering = if on_stands { check.reasons.len() } else { missing(&other) };
            let road = check_road(&other, Units::default()).reasons.len();
            if lowering + road > 0 {
                let rolling = against_rolling(&other);
                found.push(Neighbour { name: other.name, lowering, road, rolling, remarks: check.remarks });
            }
        }
        Ok(found)
    }

    /// The other jobs on the same vehicle file in which something was done.
    fn others_on(&self, own: &str, car_path: &str) -> Result<Vec<Job>, GarageError> {
        let mut found = Vec::new();
        for name in self.jobs()?.into_iter().filter(|name| name != own) {
            // One that cannot be read says so itself when it is used; it is no reason to stop this one.
            let Ok(other) = self.entries_of(&name).and_then(|entries| load(&name, &entries)) else {
                continue;
            };
            let touched = other.state.disturbed > 0 || other.state.car_state.is_some();
            if other.state.car_path == car_path && touched {
                found.push(other);
            }
        }
        Ok(found)
    }
}

fn against_rolling(job: &Job) -> Option<String> {
    let reasons = rolling_check(&job.car, &job.state).into_iter();
    let reasons: Vec<String> = reasons.map(|blocker| blocker.text).collect();
    (!reasons.is_empty()).then(|| format!("in the job '{}': {}", job.name, reasons.join(", ")))
}

/// How much is out or off that a life hangs on.
fn missing(job: &Job) -> usize {
    let out = |hold: &Hold<'_>| {
        hold.is_critical()
            && job.state.holds.get(hold.id()).is_some_and(|now| now.stage == FastenerStage::Out)
    };
    let off = |part: &&Part| part.critical && job.state.parts.get(&part.id).is_some_and(|now| now.off);
    job.car.holds().filter(out).count() + job.car.parts.iter().filter(off).count()
}

/// The last entry that raised the car, let it down or settled it.
fn last_moved(job: &Job) -> Option<&Entry> {
    let moves =
        |entry: &&Entry| matches!(&entry.event, Event::Done { effects, .. } if effects.brings.is_some());
    job.state.counting_entries().filter(moves).last()
}

/// What is told where deliveries of phones wait to be looked at.
pub(crate) fn waiting_text(waiting: usize) -> Option<String> {
    match waiting {
        0 => None,
        1 => Some("1 entry from a phone needs a look: the car may stand otherwise".to_owned()),
        many => Some(format!("{many} entries from phones need a look: the car may stand otherwise")),
    }
}
