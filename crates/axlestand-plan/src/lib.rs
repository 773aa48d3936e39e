//! The plan of a job: what to undo and why, in what order, and what has to be at hand.
//!
//! * [`scope`](fn@scope): from goals to everything that is disturbed, by the cheapest choice of ways.
//! * [`why`](fn@why): the chain of reasons from an item to what the job is for.
//! * [`order`](fn@order): the rows of the job in a correct, deterministic and sensible order.
//! * [`rate`]: how near the order comes to the shortest.
//! * [`sequence`]: the solver behind it, for any operations with set-ups, precedence and waits.
//! * [`check_plan`]: the independent checker, which replays a plan against the ledger's rules.
//! * [`marks`](fn@marks): from where there is no way back, while nothing rolls, where to stop for the night.
//! * [`risk`]: how long the rest takes, what may go wrong, what to buy ahead.
//! * [`needs`](fn@needs): parts, one-use fasteners, consumables, tools, risks, specifications.
//!
//! # What this crate does not do
//! It records nothing and changes no state: a plan is a value computed from a car and the state of
//! a job. No clock, no chance.

mod alike;
mod checker;
mod coming_down;
mod marks;
mod needs;
mod no_way;
mod odds;
mod order;
mod rating;
pub mod risk;
mod rows;
mod scope;
pub mod sequence;
mod setups;
mod why;

pub use checker::{Violation, check_plan};
pub use coming_down::{ComingDown, leads_down};
pub use marks::{Marks, marks};
pub use needs::{Ahead, LookUp, Need, Needs, Risk, ToolNeed, Toolbox, needs};
pub use no_way::NoWay;
pub use odds::{WORST_RUST, chance_of, stuck_chance};
pub use order::{NoOrder, Plan, PlanRow, check_order, order};
pub use rating::{Rating, rate};
pub use rows::Section;
pub use scope::{Scope, ScopeError, rechecks, scope};
pub use why::{Why, why};
