//! How long the rest of a job takes, what may go wrong, and what to buy ahead.
//!
//! * [`Assumptions`]: what is assumed, as data; every value is the owner's to change.
//! * [`seen`], [`Beliefs`]: what this car taught so far about its fasteners, and how that moves the chances.
//! * [`RiskJob::of`]: the pending rows of the real plan as times, dangers and detours.
//! * [`simulate`]: the whole rest of the job many times over, in parallel, the same for any number of
//!   threads; [`Sessions`] turn hours of work into dates.
//! * [`levers`]: what would bring the end nearest.
//! * [`buy_ahead`]: buy, leave, or order returnable, decided together, with the arithmetic.
//! * [`routes`]: the ways to a goal beside each other; [`against_pressing_on`]: what a detour costs.
//!
//! Chances of one exposure class are drawn once for the whole car, not for each fastener: they are stuck
//! together or not at all, and leaving that out makes a promise far too confident.
//!
//! # What this module does not do
//! It knows no clock and no chance of its own (a seed is an argument), makes up no price, and says nothing
//! of what happens where the vehicle file describes no other way.

mod assume;
mod belief;
mod buy;
mod draws;
mod job;
mod learn;
mod lever;
mod route;
mod sample;
mod session;
mod spread;

pub use assume::{Assumption, Assumptions, NoAssumption};
pub use belief::Belief;
pub use buy::{Buy, Choice, Market, Terms, buy_ahead, newsvendor};
pub use draws::Draws;
pub use job::{Chance, Danger, Detour, MOST_THINGS, RiskJob, Step, Thing, against_pressing_on};
pub use learn::{Beliefs, Pace, Seen, Stretch, seen, soaks};
pub use lever::{Lever, LeverKind, levers};
pub use route::{Route, routes};
pub use sample::{Runs, Sample, Setting, simulate};
pub use session::Sessions;
pub use spread::Spread;
