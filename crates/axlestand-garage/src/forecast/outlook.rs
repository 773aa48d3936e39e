//! The forecast in one breath: for Prepare and for what is stuck or broke.

use super::ask::threads;
use super::file::Stated;
use super::pace::stretches;
use super::view::{LearntView, learnt};
use crate::job::Job;
use crate::views::minutes;
use axlestand_ledger::{RowStatus, row_status};
use axlestand_model::ItemId;
use axlestand_plan::Plan;
use axlestand_plan::risk::{Pace, RiskJob, Setting, Stretch, against_pressing_on, seen, simulate};
use serde::Serialize;

/// How long what is left takes, as far as is known.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct OutlookView {
    /// Minutes of work that half of such jobs stay below, changes of place and tool included.
    pub half: f64,
    /// Minutes that four of five stay below.
    pub four_of_five: f64,
    /// What this car taught so far; empty: all is assumed.
    pub learnt: Vec<LearntView>,
    /// Whether the pace was learnt from the times of the ledger.
    pub pace_learnt: bool,
    /// Whether the owner stated assumptions of their own.
    pub stated: bool,
    /// Why what the owner stated is not in it.
    pub note: Option<String>,
}

/// Runs behind an outlook.
const SAMPLES: usize = 2_000;

/// Runs behind the one that goes along with every `next`: its quantiles are good to some 3 % of runs.
const FEW: usize = 300;

/// How long what is left of a plan takes, by what the owner stated, typical assumptions for the rest, and what
/// this car taught.
#[must_use]
pub fn outlook(job: &Job, plan: &Plan) -> OutlookView {
    outlook_by(job, plan, &stretches(job), SAMPLES)
}

/// The same in few runs, where this car or its ledger taught anything and something is left to do.
#[must_use]
pub fn retold(job: &Job, plan: &Plan) -> Option<OutlookView> {
    let left =
        plan.rows.iter().any(|row| row_status(&job.car, &job.state, &row.action) == RowStatus::Pending);
    let stretches = stretches(job);
    let taught = !stretches.is_empty() || seen(&job.car, &job.state).iter().any(|s| s.stuck + s.free > 0);
    let view = (left && taught).then(|| outlook_by(job, plan, &stretches, FEW))?;
    // A stretch too short to tell the pace teaches nothing.
    (view.pace_learnt || !view.learnt.is_empty()).then_some(view)
}

fn outlook_by(job: &Job, plan: &Plan, stretches: &[Stretch], samples: usize) -> OutlookView {
    let (stated, note) = Stated::of_job(job);
    let assumptions = &stated.assumptions;
    let pace = Pace::assumed(assumptions).after(stretches, assumptions);
    let mut risk = RiskJob::of(&job.car, &job.state, plan, assumptions, pace);
    let have = stated.apply(job, &mut risk);
    let setting = Setting { have, sessions: None, shops: None, seed: 0, samples, threads: threads() };
    let runs = simulate(&risk, &setting);
    OutlookView {
        half: minutes::shown(runs.minutes(0.5)),
        four_of_five: minutes::shown(runs.minutes(0.8)),
        learnt: learnt(job, &risk, assumptions),
        pace_learnt: pace.rows > 0,
        stated: assumptions.any_stated(),
        note,
    }
}

/// By how many minutes on average the rest of the job is longer (below 0: shorter) by each other way to free
/// an item than by pressing on: way, minutes.
#[must_use]
pub fn detours(job: &Job, item: &ItemId) -> Vec<(ItemId, f64)> {
    let costs = against_pressing_on(&job.car, &job.state, item);
    costs.into_iter().map(|(way, more)| (way, minutes::shown(more))).collect()
}
