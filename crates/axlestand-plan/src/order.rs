//! From rows with precedence to an order: section by section, and inside one the work stays where
//! it is as long as it can.

use crate::rows::{Row, Rows, Section};
use crate::scope::Scope;
use axlestand_ledger::{Action, JobState};
use axlestand_model::car::{Car, Item, Work};
use axlestand_model::{Hand, Place};
use std::collections::BTreeSet;

/// A row of a plan in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanRow {
    /// The action.
    pub action: Action,
    /// The section it stands in.
    pub section: Section,
    /// Where the hands are.
    pub place: Place,
    /// On which side of the car.
    pub side: Option<Hand>,
    /// Expected minutes.
    pub minutes: f64,
    /// Whether two people are needed.
    pub two_people: bool,
}

/// An order of work.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The rows in their order.
    pub rows: Vec<PlanRow>,
    /// What the rows disturb, and why.
    pub scope: Scope,
}

/// Why no order exists.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("no order is possible: these wait for each other: {}", actions.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "))]
pub struct NoOrder {
    /// Actions that wait for each other.
    pub actions: Vec<Action>,
}

impl Plan {
    /// Expected minutes of all rows.
    #[must_use]
    pub fn minutes(&self) -> f64 {
        self.rows.iter().map(|row| row.minutes).sum()
    }

    /// Runs of rows in one section, place and side.
    #[must_use]
    pub fn blocks(&self) -> Vec<&[PlanRow]> {
        self.rows.chunk_by(|a, b| (a.section, a.place, a.side) == (b.section, b.place, b.side)).collect()
    }
}

/// Where, on which side and with which tool an action is done.
fn spot(car: &Car, action: &Action) -> (Place, Option<Hand>, String, u32) {
    let side = action.item.side();
    let of = |work: &Work, tool: String| (work.place, side, tool, work.people);
    match car.item(&action.item) {
        Some(Item::Fastener(f)) => of(&f.work, f.drive.as_ref().map(ToString::to_string).unwrap_or_default()),
        Some(Item::Connection(c)) => of(&c.work, String::new()),
        Some(Item::Part(p)) => of(&p.work, String::new()),
        Some(Item::Operation(o)) => of(&o.work, String::new()),
        Some(Item::Way(w)) => of(&w.work, String::new()),
        Some(Item::Reading(r)) => of(&r.work, String::new()),
        _ => (Place::Around, side, String::new(), 1),
    }
}

/// The order of all rows of a scope: correct, deterministic and sensible, not proven shortest.
///
/// Section by section; inside a section the next row is one at the same place and side, with the
/// same tool if there is one, in the order of the vehicle file; when nothing is left there, the
/// work moves on to the place that comes first in the file's order, left before right.
///
/// # Errors
/// [`NoOrder`] where rows wait for each other.
pub fn order(car: &Car, state: &JobState, scope: Scope) -> Result<Plan, NoOrder> {
    let rows = Rows::of(car, state, &scope).rows;
    let spots: Vec<_> = rows.iter().map(|row| spot(car, &row.action)).collect();
    let mut done = vec![false; rows.len()];
    let mut order: Vec<usize> = Vec::with_capacity(rows.len());
    let mut here: Option<usize> = None;
    while order.len() < rows.len() {
        let ready = ready(&rows, &done);
        let Some(next) = ready.iter().copied().min_by_key(|&i| rank(&rows, &spots, here, i)) else {
            return Err(NoOrder { actions: waiting_for_each_other(&rows, &done) });
        };
        done[next] = true;
        order.push(next);
        here = Some(next);
    }
    let rows = order
        .into_iter()
        .map(|i| PlanRow {
            action: rows[i].action.clone(),
            section: rows[i].section,
            place: spots[i].0,
            side: spots[i].1,
            minutes: rows[i].minutes,
            two_people: spots[i].3 > 1,
        })
        .collect();
    Ok(Plan { rows, scope })
}

/// Rows of the lowest open section whose precedence is met.
fn ready(rows: &[Row], done: &[bool]) -> Vec<usize> {
    let open = || (0..rows.len()).filter(|&i| !done[i]);
    let Some(section) = open().map(|i| rows[i].section).min() else { return Vec::new() };
    open().filter(|&i| rows[i].section == section && rows[i].before.iter().all(|&b| done[b])).collect()
}

type Rank = (bool, bool, bool, u8, usize);

/// Lower is sooner: stay at the place and side, keep the tool, then left before right, then the
/// order of the rows.
fn rank(rows: &[Row], spots: &[(Place, Option<Hand>, String, u32)], here: Option<usize>, i: usize) -> Rank {
    let (place, side, tool, _) = &spots[i];
    let side_rank = match side {
        None => 0,
        Some(Hand::Left) => 1,
        Some(Hand::Right) => 2,
    };
    match here.map(|h| &spots[h]) {
        Some((at, at_side, at_tool, _)) => {
            let moves_side = side != at_side && rows[i].section != Section::Prepare;
            (moves_side, place != at, tool != at_tool || tool.is_empty(), side_rank, i)
        }
        None => (false, false, false, side_rank, i),
    }
}

/// Rows that are left and wait for each other, found by following what they wait for.
fn waiting_for_each_other(rows: &[Row], done: &[bool]) -> Vec<Action> {
    let Some(start) = (0..rows.len()).find(|&i| !done[i]) else { return Vec::new() };
    let mut seen: BTreeSet<usize> = BTreeSet::new();
    let mut path = Vec::new();
    let mut at = start;
    while seen.insert(at) {
        path.push(at);
        let Some(&next) = rows[at].before.iter().find(|&&b| !done[b]) else { break };
        at = next;
    }
    let from = path.iter().position(|&i| i == at).unwrap_or(0);
    path[from..].iter().map(|&i| rows[i].action.clone()).collect()
}
