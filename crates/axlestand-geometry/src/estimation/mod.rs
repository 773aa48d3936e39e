//! From readings to answers with their uncertainty: how the wheels stand, how sure that is, what to
//! read next, what to turn.
//!
//! One engine does it all: nonlinear weighted least squares over *unknowns* with Gaussian priors.
//! A [`Reading`] is a name, a value, a standard uncertainty and a [`Model`] (what the reading would
//! be, with its derivatives); an answer is a [`Function`] of the unknowns, with the whole covariance
//! carried through. [`alignment`], [`survey`] and [`adjustment`] are built on it.
//!
//! * [`Problem::solve`]: the estimate, or a typed reason why there is none ([`Trouble`]).
//! * [`Estimate::answers`]: values, covariance, and the share of each variance that comes from
//!   priors instead of readings.
//! * [`Estimate::examine`]: does it fit, which readings are suspects, can the fault be located at all.
//! * [`Estimate::observability`]: what the readings alone cannot tell.
//! * [`Estimate::expect`] and [`repeat_differs`]: checks at the moment of entry.
//! * [`Estimate::rank_next`]: which reading is worth its minutes.
//! * [`conformity`]: within limits or not, as a probability, with guard and three zones.
//!
//! Nothing here rolls dice or runs in threads: the same input gives the same bits; readings in
//! another order agree to 1e-9 of their size.

pub mod adjustment;
pub mod alignment;
mod answers;
pub mod conformity;
mod distribution;
mod entry;
mod estimate;
mod examination;
mod least_squares;
mod linearised;
mod model;
mod next_reading;
mod observability;
mod problem;
mod propagation;
mod robust;
mod solver;
mod starts;
pub mod survey;
mod trouble;

pub use answers::{Answer, Answers, Function};
pub use distribution::{chi_squared, chi_squared_quantile, normal_quantile};
pub use entry::{Expected, Innovation, repeat_differs};
pub use estimate::Estimate;
pub use examination::{Examination, ReadingCheck, Verdict};
pub use model::{Differentiated, Formula, Linear, Model};
pub use next_reading::{Candidate, Planned, Wanted, Worth, in_pairs};
pub use observability::{Direction, Observability};
pub use problem::{Datum, Prior, Problem, Reading, Unknown};
pub use propagation::propagate;
pub use solver::Settings;
pub use trouble::Trouble;
