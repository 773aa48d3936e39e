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
//! * [`conversion`], [`adapter`], [`wrench`], [`scatter`]: what to set, and how far the clamp load spreads.
//! * [`castle`], [`locking`], [`wheel`]: when a fastener is final.
//! * [`seized`], [`plausibility`]: when it will not turn, and when a figure looks wrong.
//! * [`formula`]: the formulas in words; [`tables`]: the embedded tables, with their sources.

pub mod across_flats;
pub mod adapter;
pub mod bearing;
pub mod castle;
pub mod class;
pub mod conversion;
pub mod formula;
pub mod friction;
pub mod interval;
pub mod locking;
pub mod plausibility;
mod saturate;
pub mod scatter;
pub mod seized;
pub mod stiffness;
mod table;
pub mod tables;
pub mod thread;
pub mod tightening;
pub mod torx;
pub mod wheel;
pub mod wrench;
pub mod wrench_size;

pub use adapter::Adapter;
pub use bearing::Bearing;
pub use class::{ClassError, PropertyClass, Strength};
pub use conversion::{Conversion, ConversionRequest, Place, convert};
pub use friction::{Condition, Friction, FrictionRange};
pub use interval::Interval;
pub use locking::Locking;
pub use thread::{Hand, Thread, ThreadError};
pub use tightening::{Joint, TighteningError, Torsion};
pub use wrench_size::{Fit, StandIn, WrenchSize, WrenchSizeError};
