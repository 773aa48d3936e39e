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
//! * [`class`], [`friction`], [`bearing`]: what the bolt bears, and how it turns.
//! * [`tightening`], [`stiffness`], [`interval`]: torque, preload, angle.
//! * [`tables`]: the embedded tables, with their sources.

pub mod across_flats;
pub mod bearing;
pub mod class;
pub mod friction;
pub mod interval;
mod saturate;
pub mod stiffness;
mod table;
pub mod tables;
pub mod thread;
pub mod tightening;
pub mod torx;
pub mod wrench_size;

pub use bearing::Bearing;
pub use class::{ClassError, PropertyClass, Strength};
pub use friction::{Condition, Friction, FrictionRange};
pub use interval::Interval;
pub use thread::{Hand, Thread, ThreadError};
pub use tightening::{Joint, TighteningError, Torsion};
pub use wrench_size::{Fit, StandIn, WrenchSize, WrenchSizeError};
