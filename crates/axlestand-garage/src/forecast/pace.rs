//! What the times of the ledger say of the pace.

use super::week::{local, minutes_between};
use crate::job::Job;
use axlestand_ledger::{Action, Event, Verb};
use axlestand_model::car::{Car, Hold, Item};
use axlestand_plan::risk::Stretch;
use jiff::civil::DateTime;

/// A longer gap between two entries is a break, not work (source id AX-31).
const BREAK: f64 = 120.0;

/// Work recorded at one moment, since the entry before, where that is no longer than [`BREAK`] ago. Rows of
/// what was stuck are left out with their time: they are judged by themselves.
pub(super) fn stretches(job: &Job) -> Vec<Stretch> {
    let mut list: Vec<Stretch> = Vec::new();
    let mut last: Option<DateTime> = None;
    // Whether the entry before, at the same moment, opened a stretch.
    let mut open = false;
    for entry in job.state.counting_entries() {
        // A plan is written by itself together with what caused it.
        let Some(now) = local(&entry.at).filter(|_| !matches!(entry.event, Event::Planned { .. })) else {
            continue;
        };
        let gap = last.map_or(f64::INFINITY, |last| minutes_between(last, now));
        last = Some(now);
        let Event::Done { action, .. } = &entry.event else {
            open = false;
            continue;
        };
        let expected = usual_minutes(&job.car, action).filter(|_| !job.state.hold(&action.item).stuck);
        match (expected, list.last_mut()) {
            (Some(expected), Some(stretch)) if open && gap < SAME => {
                stretch.expected += expected;
                stretch.rows += 1;
            }
            (Some(expected), _) if (SAME..=BREAK).contains(&gap) => {
                list.push(Stretch { took: gap, expected, rows: 1 });
                open = true;
            }
            _ => open &= gap < SAME,
        }
    }
    list
}

/// Entries nearer than this, in minutes, were made at one moment.
const SAME: f64 = 0.2;

/// Minutes of an action with nothing stuck.
fn usual_minutes(car: &Car, action: &Action) -> Option<f64> {
    let work = match car.item(&action.item)? {
        Item::Fastener(f) => Hold::Fastener(f).work(),
        Item::Connection(c) => &c.work,
        Item::Part(p) => &p.work,
        Item::Operation(o) => &o.work,
        Item::Way(w) => &w.work,
        Item::Reading(r) => &r.work,
        _ => return None,
    };
    let back = matches!(action.verb, Verb::On | Verb::Fit | Verb::Final | Verb::Lock);
    Some(if back { work.minutes.back } else { work.minutes.clean })
}
