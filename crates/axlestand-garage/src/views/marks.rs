//! Marks of the plan as they are shown.

use crate::job::Job;
use crate::views::minutes;
use crate::views::row::row_view;
use axlestand_ledger::{RowStatus, row_status};
use axlestand_plan::{Plan, marks};
use serde::Serialize;

/// A row that is a mark.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct MarkView {
    /// Its number.
    pub row: u32,
    /// What is done.
    pub text: String,
    /// Expected minutes of the rows still to do up to it: before it where it is the point of no return, its
    /// own among them where it is a stop.
    pub minutes: f64,
    /// How the car stands.
    pub car_state: &'static str,
    /// Whether taking apart has begun by then.
    pub started: bool,
}

/// The marks of a plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct MarksView {
    /// The first row still to do that spends something which cannot go back as it was.
    pub no_return: Option<MarkView>,
    /// Whether something was spent already.
    pub past_return: bool,
    /// From which row on, and until which row is done, the car must not be rolled.
    pub no_roll: Option<(u32, u32)>,
    /// Rows after which the work may stop for the night.
    pub stops: Vec<MarkView>,
    /// How many parts are to be replaced and still to go on.
    pub parts: usize,
    /// How many of them are recorded as lying ready.
    pub parts_ready: usize,
}

pub(super) fn marks_view(job: &Job, plan: &Plan) -> MarksView {
    let marks = marks(&job.car, &job.state, plan);
    let pending = |at: usize| row_status(&job.car, &job.state, &plan.rows[at].action) == RowStatus::Pending;
    let until = |end: usize| (0..end).filter(|at| pending(*at)).map(|at| plan.rows[at].minutes).sum::<f64>();
    let number = |at: usize| job.state.number_of(&plan.rows[at].action).unwrap_or(0);
    let begun = plan
        .rows
        .iter()
        .position(|row| row.action.verb.takes_apart() && row.action.verb != axlestand_ledger::Verb::Read);
    let mark = |at: usize, end: usize| MarkView {
        row: number(at),
        text: row_view(job, &plan.rows[at].action, crate::Units::Metric).text,
        minutes: minutes::shown(until(end)),
        car_state: plan.rows[at].section.car_state().phrase(),
        started: begun.is_some_and(|begun| begun <= at),
    };
    let due: Vec<_> = job.state.goals.iter().filter(|id| !job.state.part(id).fresh).collect();
    MarksView {
        no_return: marks.no_return.map(|at| mark(at, at)),
        past_return: marks.past_return,
        no_roll: marks.no_roll.filter(|(_, to)| pending(*to)).map(|(from, to)| (number(from), number(to))),
        stops: marks.stops.iter().map(|at| mark(*at, at + 1)).collect(),
        parts: due.len(),
        parts_ready: due.iter().filter(|id| job.state.part(id).ready).count(),
    }
}
