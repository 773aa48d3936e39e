//! Chances of being stuck: assumptions of this project, kept as data.

use axlestand_ledger::JobState;
use axlestand_model::Exposure;
use axlestand_model::car::{Hold, Minutes, Way, Work};
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// The table, source id AX-1: judgement, no measurement behind it.
const TABLE: &str = include_str!("../../../data/rust_odds.csv");

/// The table by exposure, read once: plans ask for it all the time.
static ODDS: LazyLock<BTreeMap<&str, Vec<f64>>> = LazyLock::new(|| {
    let rows = TABLE.lines().filter(|line| !line.starts_with('#'));
    rows.filter_map(|line| {
        let (exposure, odds) = line.split_once(',')?;
        Some((exposure, odds.split(',').filter_map(|cell| cell.parse().ok()).collect()))
    })
    .collect()
});

/// The highest rust grade.
pub const WORST_RUST: u8 = 4;

/// The chance (0 to 1) that a hold of this exposure is seized on a car of this rust grade. Grades
/// above [`WORST_RUST`] count as that.
#[must_use]
pub fn stuck_chance(exposure: Exposure, rust: u8) -> f64 {
    let column = usize::from(rust.min(WORST_RUST));
    ODDS.get(exposure.word()).and_then(|odds| odds.get(column)).copied().unwrap_or(0.0)
}

/// The chance that this hold is stuck, as far as is known now: certain once it was reported, else
/// what the owner states, else from the table.
#[must_use]
pub fn chance_of(hold: Hold<'_>, state: &JobState) -> f64 {
    if state.hold(hold.id()).stuck {
        return 1.0;
    }
    hold.work().stuck_chance.unwrap_or_else(|| stuck_chance(hold.exposure(), state.rust))
}

/// Expected minutes of undoing a hold.
pub(crate) fn undo_minutes(hold: Hold<'_>, state: &JobState) -> f64 {
    hold.work().minutes.expected(chance_of(hold, state))
}

/// Expected minutes of work without an exposure of its own.
pub(crate) fn work_minutes(work: &Work) -> f64 {
    expected(work.minutes, work.stuck_chance)
}

/// Expected minutes of another way.
pub(crate) fn way_minutes(way: &Way) -> f64 {
    work_minutes(&way.work)
}

fn expected(minutes: Minutes, chance: Option<f64>) -> f64 {
    minutes.expected(chance.unwrap_or(0.0))
}
