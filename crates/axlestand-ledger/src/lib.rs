//! The ledger of a job: what was done and read, and what follows from it.
//!
//! * [`Entry`] and [`Event`]: what happened, append-only; [`wire`] is their stored form.
//! * [`JobState::apply`]: the pure fold from entries to the state of the job.
//! * [`obstacles`]: why an action cannot be done now; [`intend`]: an action as an event, or a
//!   [`Refusal`] with its reasons.
//! * [`open_items`]: what is not yet in its required final state; [`lowering_check`] and
//!   [`road_check`]: the two gates; [`rolling_check`]: what keeps the car from being rolled.
//!
//! # What this crate does not do
//! No database, no clock, no chance: time and ids come with the entries. It orders nothing (that
//! is the plan's work) and computes no torque.

mod action;
mod event;
mod gates;
mod intend;
mod open;
mod phrase;
mod rolling;
mod rules;
mod standing;
mod state;
mod status;
mod tray;
mod wanted;
pub mod wire;

pub use action::{Action, ParseActionError, Verb};
pub use event::{Effects, Entry, Event, FastenerStage, PlannedRow, TorqueRecord};
pub use gates::{Blocker, broken_in_place, broken_keeps_up, lowering_check, road_check};
pub use intend::{Details, Refusal, intend, withdraw};
pub use open::{Danger, OpenItem, is_outdated, open_items};
pub use rolling::{forbids_rolling, is_proof_on_wheels, keeps_from_rolling, rolling_check};
pub use rules::{Obstacle, comes_out_tight, obstacles};
pub use standing::Standing;
pub use state::{HoldState, JobState, PartState, ReadingRecord};
pub use status::{RowStatus, row_status, stands_as_said};
pub use tray::look_alikes;
pub use wanted::{is_left_in, is_spent, is_wanted_away};
