//! What still has to come out or off, also a second time.

use crate::action::{Action, Verb};
use crate::event::FastenerStage;
use crate::open::lacks_new;
use crate::state::JobState;
use axlestand_model::car::{Car, Hold, Item};
use axlestand_model::{ItemId, Stage};
use std::collections::BTreeSet;

/// Whether planned work that is not done yet needs this part, fastener or connection away: then it
/// does not go back before, and comes out again where it did (a wheel put back for the night).
#[must_use]
pub fn is_wanted_away(car: &Car, state: &JobState, id: &ItemId) -> bool {
    let mut wanted: BTreeSet<&ItemId> = BTreeSet::new();
    let first = state.planned.iter().filter(|action| is_ahead(car, state, action));
    let mut open: Vec<&ItemId> = first.flat_map(|action| needs_away(car, &action.item)).collect();
    while let Some(need) = open.pop() {
        if need == id {
            return true;
        }
        if wanted.insert(need) && !is_gone(state, need) {
            open.extend(needs_away(car, need));
        }
    }
    false
}

/// Whether something that is in or on has to come out: for its own sake, or for work ahead.
pub(crate) fn is_due_out(car: &Car, state: &JobState, id: &ItemId) -> bool {
    !is_gone(state, id) && (is_spent(car, state, id) || is_wanted_away(car, state, id))
}

/// Whether a planned action of taking apart is still ahead. One that is left out is not.
fn is_ahead(car: &Car, state: &JobState, action: &Action) -> bool {
    let id = &action.item;
    if state.skipped.contains_key(action) {
        return false;
    }
    match action.verb {
        Verb::Undo => {
            !state.holds.get(id).is_some_and(|hold| hold.was_out)
                || (!is_gone(state, id) && is_spent(car, state, id))
        }
        Verb::Off => {
            !state.parts.get(id).is_some_and(|part| part.was_off)
                || (!is_gone(state, id) && is_spent(car, state, id))
        }
        Verb::Way => !state.done.contains_key(id),
        Verb::Do => {
            let strips = car.operation(id).is_some_and(|operation| operation.stage <= Stage::Strip);
            strips && !state.done.contains_key(id)
        }
        _ => false,
    }
}

/// Whether a part or hold was disturbed and must not stay as it is: it broke, or the old one is in
/// where a new one is due.
fn is_spent(car: &Car, state: &JobState, id: &ItemId) -> bool {
    match car.hold(id) {
        Some(hold) => state.holds.get(id).is_some_and(|now| now.broken || lacks_new(hold, now)),
        None => state
            .parts
            .get(id)
            .is_some_and(|part| part.broken || (part.was_off && !part.fresh && state.goals.contains(id))),
    }
}

fn is_gone(state: &JobState, id: &ItemId) -> bool {
    state.parts.get(id).is_some_and(|part| part.off)
        || state.holds.get(id).is_some_and(|hold| hold.stage == FastenerStage::Out)
}

/// What has to be away before an item is taken apart.
fn needs_away<'a>(car: &'a Car, id: &ItemId) -> Vec<&'a ItemId> {
    match car.item(id) {
        Some(Item::Part(part)) => {
            let holds = car.outer_holds(&part.id).into_iter().map(Hold::id);
            holds.chain(&part.work.after).collect()
        }
        Some(Item::Fastener(fastener)) => fastener.work.after.iter().collect(),
        Some(Item::Connection(connection)) => connection.work.after.iter().collect(),
        Some(Item::Operation(operation)) => operation.work.after.iter().collect(),
        Some(Item::Way(way)) => way.needs.iter().collect(),
        _ => Vec::new(),
    }
}
