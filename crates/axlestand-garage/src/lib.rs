//! The façade of the house: commands in, plain views out.
//!
//! A [`Garage`] is a folder with its ledger; [`Job`] is one overhaul as it stands. Recording goes
//! through [`Garage::done`], [`Garage::read`] and their siblings; [`views`] turns a job into what a
//! command or a page shows. This is the one place where the subjects meet, and the only crate that
//! knows the database and the clock.
//!
//! Where to begin: [`Garage::job`] reads a job, [`Garage::record`] is the one way to add to its ledger, and
//! both stand in `job.rs`.
//!
//! * [`views`]: a job as it is shown: prepare, next, open, the gates, the report, the ledger.
//! * [`fastening`]: what to set on a wrench, what a stuck fastener bears, the calculators for threads.
//! * [`geometry`]: curves, heights, another height foretold, tie-rod ends.
//! * [`alignment`]: reading the wheels, what they tell, what to turn.
//! * [`forecast`]: when it will be done, what to buy ahead, which route.
//! * [`sheets`]: paper, pictures, calendar and table files.
//! * [`vehicle`]: vehicle files made, read, written into.
//! * [`delivery`], [`devices`], [`photos`], [`served`]: what the garage app needs besides.
//!
//! # What this crate does not do
//! It prints nothing, parses no command line and serves no page; it holds no rule of the work
//! (those are the ledger's) and no order (the plan's).

pub mod alignment;
mod backup;
mod chance;
mod changes;
mod clock;
mod content_sum;
mod count;
mod database_file;
pub mod delivery;
pub mod devices;
mod error;
pub mod fastening;
pub mod forecast;
pub mod geometry;
mod held_file;
mod icon;
mod job;
mod lead;
mod neighbours;
mod own_files;
pub mod photos;
mod picture;
mod plausible;
mod record;
mod select;
mod sentence;
pub mod served;
pub mod sheets;
mod soundness;
mod store;
mod toolbox;
mod typed;
mod units;
pub mod vehicle;
pub mod views;
mod waits;

pub use axlestand_draw::corner::{Room, View};
pub use axlestand_draw::look::Theme;
pub use axlestand_draw::paper::Paper;
pub use axlestand_draw::{comma_separated, qr_svg, qr_text};
pub use axlestand_ledger::{Action, Details, Event, FastenerStage, HoldState, PlannedRow, Refusal, Verb};
pub use axlestand_model::car::{Car, Way};
pub use axlestand_model::file::{CarReading, reference, render, schema};
pub use axlestand_model::template::{Answers, Kind as QuestionKind, Question, STRUT_QUESTIONS, questions};
pub use axlestand_model::{AxleEnd, Hand, ItemId, Stage};
pub use backup::{BackupView, RestoredView, restore};
pub use chance::in_100;
pub use clock::{Clock, CountingClock, SystemClock, new_id};
pub use count::count;
pub use error::GarageError;
pub use getrandom::Error as NoRandom;
pub use icon::app_icon;
pub use job::{Garage, Job, Recorded, StartJob};
pub use lead::{Lead, LedText};
pub use neighbours::Neighbour;
pub use own_files::OwnCarView;
pub use picture::{corner_ends, corner_picture, for_page, plan_picture, tones};
pub use plausible::target_question;
pub use record::{DoneAnswer, ReadAnswer, ReadWith, SeenAt};
pub use sentence::capital;
pub use soundness::{Finding, SoundnessView, check};
pub use store::{DeviceView, Store};
pub use typed::with_unit;
pub use units::Units;
pub use waits::WaitView;
