//! How the wheels stand, from what a garage has: strings, tapes, plates, trammel, straight-edge,
//! a camber gauge, a water level.
//!
//! All readings of a session are one model with 31 unknowns: toe and camber of four wheels, where
//! their hubs stand across the car, the run-out of each rim (two parts), offset and direction of two
//! strings, the floor's height under each wheel, the gauge's zero, caster left and right. Three more
//! (wheelbase, how far each axle is askew) join where wheelbases or diagonals were taped. What is
//! not read is held by wide priors, and what leans on them is said not to be known.
//!
//! Signs are those of [`conventions`](crate::conventions): toe positive front edge inward (toe-in),
//! camber positive top outward, thrust and headings positive to the left. Degrees and millimetres.
//! x is 0 at the front axle and runs forward; y runs to the left, 0 in the middle of the car.

mod answers;
mod assemble;
mod car;
mod findings;
mod hypotheses;
mod plausible;
mod reading;
mod session;
mod steered;
mod unknowns;

pub use answers::{NotKnown, Quantity, SteeringWheel, Told};
pub use car::{Axle, CarSize, Edge, Wheel};
pub use findings::Finding;
pub use hypotheses::Mixup;
pub use reading::{Held, Kind, Taken};
pub use session::{AlignmentEstimate, Outcome, Plan, estimate};
