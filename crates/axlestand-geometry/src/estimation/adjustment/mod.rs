//! What to turn, how far, what it will bring, and what the car's answer teaches.
//!
//! A [`Task`] holds angles as they were estimated, adjusters with their response (how much each angle
//! changes for a turn; from the kinematics or from typical figures) and [`Demand`]s: combinations of
//! angles with a target and a tolerance. [`Task::solve`] finds whole hand steps of all adjusters
//! together; [`Task::learned`] corrects response and angles from the readings afterwards, so that the
//! second round is the last.

mod demand;
mod lattice;
mod learning;
mod solution;
mod task;

pub use demand::{Demand, SteeredAngles};
pub use learning::Learned;
pub use solution::{Foretold, Solution};
pub use task::{Adjuster, Task};
