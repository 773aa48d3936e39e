//! Fasteners by the numbers: which threads exist, which wrench goes on, what to set, when it is
//! locked, and when it breaks.
//!
//! Numbers in, numbers out: this crate knows no car and holds no maker's specification. Limits that
//! it computes from thread and property class are limits, never values to use.
//!
//! Tables stand in the project's `data` folder, one source id per row; the ids are resolved in
//! SOURCES.md. Rows whose id is `memory` were recalled and not read anywhere.
//!
//! * [`thread`]: standard threads and their geometry.
//! * [`wrench_size`], [`across_flats`], [`torx`]: what goes on the head.
//! * [`tables`]: the embedded tables, with their sources.

pub mod across_flats;
mod saturate;
mod table;
pub mod tables;
pub mod thread;
pub mod torx;
pub mod wrench_size;

pub use thread::{Hand, Thread, ThreadError};
pub use wrench_size::{Fit, StandIn, WrenchSize, WrenchSizeError};
