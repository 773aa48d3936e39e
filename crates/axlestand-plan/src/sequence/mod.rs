//! The shortest order of operations for one pair of hands.
//!
//! Operations take time, come one before the other, and ask for a situation: how the car stands, where
//! the hands are, which tool they hold. Changing the situation takes time too, depending on both
//! (sequence-dependent set-ups), and some operations wait for a while after another has ended (a soak),
//! during which other work may go on. The whole time from start to end is to become small: work,
//! set-ups and idle time. Without waits this is the sequential ordering problem.
//!
//! * An order: the operation that can start soonest, then simulated annealing over exchanges of
//!   adjacent blocks, for plain tables local search with kicks as well ([`solve`]).
//! * A bound: a beam search that keeps account of what it drops; shares of the cost for groups of tools
//!   (both exact for jobs of one side of a car) and for the corners of a car; the assignment problem for plain
//!   tables; for waits what has to come before and after them.
//!
//! No clock and no chance: effort is counted and the seed is fixed, so the same problem has the same
//! answer everywhere. All times are whole numbers of one unit.

mod assignment;
mod beam;
mod bits;
mod bundle;
mod chance;
mod clusters;
mod greedy;
mod idle;
mod kicks;
mod partition;
mod piece;
mod precedence;
mod problem;
mod shares;
mod solve;
mod spread;
mod walk;

pub use problem::{Attribute, Flaw, Lag, Problem, Setups};
pub use solve::{Effort, Solution, solve};
pub use walk::Liking;
