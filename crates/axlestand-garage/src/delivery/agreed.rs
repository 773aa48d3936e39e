//! Deliveries that said what the ledger said already, and were left aside.
//!
//! The ledger says a thing once, whoever says it: two people tick the same row. Where the one takes it back, the
//! other has still done it; so a person is asked then, in the transaction that takes it back.

use super::late::touches;
use super::outcome::refusal_json;
use super::queue::{derived, question_id};
use super::{Command, Delivered, Done, RefusalView, RefusedBecause};
use crate::error::GarageError;
use crate::job::{Garage, Job};
use crate::select;
use crate::store::{Kept, Stamp};
use axlestand_ledger::{Action, Effects, Entry, Event, stands_as_said};

impl Garage {
    /// Whether another device said exactly this before, with torque, tray place and all that was added, and
    /// it still stands: recorded again it would look like done twice. Two readings that agree are no
    /// repetition; both count.
    pub(super) fn was_said(
        &mut self,
        job: &str,
        stamp: &Stamp,
        command: &Command,
    ) -> Result<bool, GarageError> {
        let Command::Done(done) = command else { return Ok(false) };
        let Some(before) = self.store.same_recorded(job, stamp)? else { return Ok(false) };
        let job = self.job()?;
        let withdrawn = job.state.withdrawn();
        if before.answer.split_whitespace().any(|entry| withdrawn.contains(entry)) {
            return Ok(false);
        }
        Ok(done.rows.iter().all(|typed| is_known(&job, typed)))
    }

    /// Keeps a delivery that says what the ledger says by now.
    pub(super) fn left_aside(
        &mut self,
        job: &str,
        stamp: &Stamp,
        command: &Command,
    ) -> Result<Delivered, GarageError> {
        let entries = self.said_by(command)?;
        self.store.keep_agreed(job, stamp, &entries)?;
        Ok(Delivered::agreed(&stamp.id))
    }

    /// The rows of a bare tick of several that the ledger says done by now: it leaves them aside.
    pub(super) fn known_rows(&mut self, command: &Command) -> Result<Vec<String>, GarageError> {
        let Command::Done(done) = command else { return Ok(Vec::new()) };
        let rows = done.rows.clone();
        if rows.len() < 2 || *done != (Done { rows: rows.clone(), ..Done::default() }) {
            return Ok(Vec::new());
        }
        let job = self.job()?;
        Ok(rows.into_iter().filter(|typed| is_known(&job, typed)).collect())
    }

    /// Keeps the rows that a recorded tick left aside, as if each had come by itself.
    pub(super) fn keep_known_rows(
        &mut self,
        job: &str,
        stamp: &Stamp,
        rows: Vec<String>,
    ) -> Result<(), GarageError> {
        if rows.is_empty() {
            return Ok(());
        }
        let command = Command::Done(Done { rows, ..Done::default() });
        let body = serde_json::to_string(&command)
            .map_err(|why| GarageError::Input(format!("the delivery cannot be kept: {why}")))?;
        let stamp = Stamp { id: derived(&format!("{}&", stamp.id)), body, ..stamp.clone() };
        let entries = self.said_by(&command)?;
        self.store.keep_agreed(job, &stamp, &entries)
    }

    /// The last entries that say what a tick says.
    fn said_by(&mut self, command: &Command) -> Result<String, GarageError> {
        let Command::Done(done) = command else { return Ok(String::new()) };
        let job = self.job()?;
        let entries: Vec<&Entry> = job.state.counting_entries().collect();
        let last = |says: &dyn Fn(&Event) -> bool| {
            entries.iter().rev().find(|entry| says(&entry.event)).map(|entry| entry.id.as_str())
        };
        // What came out together with something else was undone by no entry of its own.
        let says = |action: &Action| {
            let itself = |event: &Event| matches!(event, Event::Done { action: done, .. } if done == action);
            last(&itself).or_else(|| last(&|event| touches(event, &action.item)))
        };
        let actions = done.rows.iter().flat_map(|typed| select::actions(&job, typed).unwrap_or_default());
        let ids: Vec<&str> = actions.filter_map(|action| says(&action)).collect();
        Ok(ids.join(" "))
    }
}

/// Whether all stands by now as who ticks this row says.
fn is_known(job: &Job, typed: &str) -> bool {
    let actions = select::actions(job, typed).unwrap_or_default();
    !actions.is_empty() && actions.iter().all(|action| stands_as_said(&job.car, &job.state, action))
}

/// What a delivery that was left aside said was done, where it was a tick.
pub(super) fn ticked(job: &Job, kept: &Kept) -> Vec<Event> {
    let Ok(Command::Done(done)) = serde_json::from_str(&kept.stamp.body) else { return Vec::new() };
    let actions = done.rows.iter().flat_map(|typed| select::actions(job, typed).unwrap_or_default());
    let said = |action: Action| {
        let brings = job.car.operation(&action.item).and_then(|operation| operation.brings);
        Event::Done { action, effects: Effects { brings, ..Effects::default() }, torque: None, note: None }
    };
    actions.map(said).collect()
}

/// What was left aside once what said the same is taken back: a question to a person.
pub(crate) fn left_aside(stamp: &Stamp) -> (Stamp, String) {
    let reason = "it was left aside since the ledger said the same, and that was taken back";
    let refusal = RefusalView {
        reasons: vec![RefusedBecause::new(reason)],
        hint: Some("look at the car, and record by hand what is true of it now".to_owned()),
    };
    (Stamp { id: question_id(&stamp.id), ..stamp.clone() }, refusal_json(&refusal))
}
