//! What stands over every page: which job, how the car stands, what is open.

use crate::error::GarageError;
use crate::job::{Garage, Job};
use axlestand_ledger::{RowStatus, open_items, row_status};
use axlestand_model::{CarState, Stage};
use serde::Serialize;

/// The head of a page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct HeadView {
    /// The name of the job.
    pub job: String,
    /// The name of the car.
    pub car: String,
    /// The stage of the next row: `prepare`, `strip`, `refit`, `set`, `prove`.
    pub stage: &'static str,
    /// How the car stands, in words.
    pub car_state: &'static str,
    /// Whether it stands on stands.
    pub on_stands: bool,
    /// Why the car must not be rolled.
    pub do_not_roll: Option<String>,
    /// Where another open job has the car standing otherwise.
    pub elsewhere: Option<String>,
    /// How many items are open.
    pub open: usize,
    /// How many deliveries wait to be looked at.
    pub waiting: usize,
    /// Rows done or left out.
    pub finished: usize,
    /// All rows.
    pub total: usize,
    /// The garage's position ([`Garage::position`]) that the page shows.
    pub position: i64,
    /// Something to tell the owner.
    pub notice: Option<String>,
}

impl Garage {
    /// A number that grows with everything that is recorded, by whichever process.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub fn position(&self) -> Result<i64, GarageError> {
        self.store.position()
    }

    /// Whether the garage's database is still the file that was opened; another one may have been put
    /// in its place.
    #[must_use]
    pub fn is_in_its_place(&self) -> bool {
        self.store.is_in_its_place()
    }

    /// The head of a job's pages.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub fn head(&self, job: &Job) -> Result<HeadView, GarageError> {
        let pending: Vec<_> = job
            .rows()
            .filter(|(_, action)| row_status(&job.car, &job.state, action) == RowStatus::Pending)
            .collect();
        let total = job.rows().count();
        // Without a plan the other parts of the head still hold.
        let stage = job.plan().map_or(Stage::Prepare, |plan| job.stage(&plan));
        Ok(HeadView {
            job: job.name.clone(),
            car: job.car.name.clone(),
            stage: stage.word(),
            car_state: job.state.stands().phrase(),
            on_stands: job.state.stands() == CarState::OnStands,
            do_not_roll: super::next::do_not_roll(job, &self.against_rolling(job)?),
            elsewhere: self.stands_elsewhere(job)?,
            open: open_items(&job.car, &job.state).len(),
            waiting: self.waiting()?.len(),
            finished: total - pending.len(),
            total,
            position: self.position()?,
            notice: job.notice.clone(),
        })
    }
}
