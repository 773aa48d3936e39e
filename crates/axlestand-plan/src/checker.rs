//! The independent checker of plans: it shares no code with the planner's precedence, but replays
//! the rows one by one against the rules of the ledger, which refuse what cannot be done.

use axlestand_ledger::{
    Action, Details, Entry, Event, JobState, PlannedRow, RowStatus, Standing, Verb, intend, open_items,
    row_status,
};
use axlestand_model::ItemId;
use axlestand_model::car::Car;

/// Something that is wrong with a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Violation {
    /// An action cannot be done in its place.
    TooSoon {
        /// The action.
        action: Action,
        /// Every reason.
        reasons: Vec<String>,
    },
    /// An action stands twice.
    Twice(Action),
    /// A goal is neither taken off and put on nor left out with a reason.
    GoalNotReplaced(ItemId),
    /// After all rows something is still open.
    LeftOpen {
        /// The item.
        item: ItemId,
        /// How it stands.
        stands: Standing,
    },
}

/// Replays `rows` from `state` on; gives everything that is wrong, in the order of the rows. An
/// empty answer means: every row can be done in its place, each goal is replaced, and nothing that
/// was opened stays open.
///
/// Torque values that the owner has still to look up are no fault of a plan.
#[must_use]
pub fn check_plan(car: &Car, state: &JobState, ways: &[ItemId], rows: &[Action]) -> Vec<Violation> {
    let mut now = state.clone();
    let mut violations = Vec::new();
    let planned =
        rows.iter().zip(1..).map(|(action, number)| PlannedRow { number, action: action.clone() }).collect();
    now.apply(&entry(usize::MAX, Event::Planned { rows: planned, ways: ways.to_vec() }));
    for (index, action) in rows.iter().enumerate() {
        if rows[..index].contains(action) {
            violations.push(Violation::Twice(action.clone()));
            continue;
        }
        if row_status(car, &now, action) == RowStatus::Done {
            continue;
        }
        match replay(car, &now, action) {
            Ok(event) => now.apply(&entry(index, event)),
            Err(reasons) => violations.push(Violation::TooSoon { action: action.clone(), reasons }),
        }
    }
    for goal in &state.goals {
        let part = now.part(goal);
        let left_out = state.skipped.contains_key(&Action::new(Verb::Off, goal)) && !part.off;
        if !left_out && (!part.was_off || part.off) {
            violations.push(Violation::GoalNotReplaced(goal.clone()));
        }
    }
    for open in open_items(car, &now) {
        if open.stands != Standing::NoValue {
            violations.push(Violation::LeftOpen { item: open.item, stands: open.stands });
        }
    }
    violations
}

pub(crate) fn replay(car: &Car, now: &JobState, action: &Action) -> Result<Event, Vec<String>> {
    if matches!(action.verb, Verb::Read | Verb::Again) {
        let obstacles = axlestand_ledger::obstacles(car, now, action);
        return if obstacles.is_empty() {
            Ok(Event::Read {
                reading: action.item.clone(),
                again: action.verb == Verb::Again,
                value: 0.0,
                u: 1.0,
                typed: "replayed".to_owned(),
                instrument: None,
            })
        } else {
            Err(obstacles.into_iter().map(|o| o.text).collect())
        };
    }
    intend(car, now, action, &Details::default())
        .map_err(|refusal| refusal.reasons.into_iter().map(|o| o.text).collect())
}

fn entry(index: usize, event: Event) -> Entry {
    Entry { id: format!("replay-{index}"), at: String::new(), event }
}
