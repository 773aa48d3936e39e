//! What height does to camber and toe, from tape and gauge: the tape survey of a strut corner, and the
//! bump sweep that needs no geometry.
//!
//! The survey's unknowns are the hardpoints, static camber and toe, how far each thing one can touch
//! lies off the joint's true centre, the floor's tilt, the gauges' zeros and the true ride height.
//! Coordinates are seldom found; what they do ([`SurveyAnswer`]) often is. Tapes alone do not tell bump
//! steer: a sweep does.

mod answers;
mod bump_sweep;
mod geometry;
mod reading;
mod strut;
mod unknowns;

pub use answers::SurveyAnswer;
pub use bump_sweep::{BumpSweep, SweepPoint};
pub use reading::{SurveyKind, Tilt};
pub use strut::StrutSurvey;
