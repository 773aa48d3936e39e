//! What still has to come out or off, also a second time.

use crate::action::{Action, Verb};
use crate::event::FastenerStage;
use crate::gates::broken_keeps_up;
use crate::open::{is_outdated, lacks_new};
use crate::state::JobState;
use axlestand_model::car::{Car, Way};
use axlestand_model::{ItemId, Stage};
use std::collections::BTreeSet;

/// Whether planned work that is not done yet needs this part, fastener or connection away: then it
/// does not go back before, and comes out again where it did (a wheel put back for the night).
#[must_use]
pub fn is_wanted_away(car: &Car, state: &JobState, id: &ItemId) -> bool {
    let mut seen: BTreeSet<&ItemId> = BTreeSet::new();
    let mut open = vec![id];
    while let Some(outer) = open.pop() {
        if stands_before_a_final(car, state, outer) {
            return true;
        }
        for inner in car.behind(outer) {
            if has_ahead(car, state, inner) || goes_back_after_a_way(car, state, inner) {
                return true;
            }
            // What is gone already needs nothing away on behalf of what is behind it.
            if !is_gone(state, inner) && seen.insert(inner) {
                open.push(inner);
            }
        }
    }
    false
}

/// Whether a fastener has to be tightened afresh that cannot be reached with this part in its place.
/// A clip or nut in front of it was in the way of taking it out, not of a wrench.
fn stands_before_a_final(car: &Car, state: &JobState, id: &ItemId) -> bool {
    car.fasteners.iter().any(|fastener| {
        let hides = fastener.final_after.contains(id);
        let is_behind = hides || (!fastener.is_deferred() && fastener.work.after.contains(id));
        is_behind
            && car.part(id).is_some()
            && ((hides && waits_for_its_final(state, &fastener.id)) || is_outdated(state, fastener))
    })
}

/// Whether it is in its thread, not tight, and tightening it was not left out.
fn waits_for_its_final(state: &JobState, id: &ItemId) -> bool {
    let stage = state.holds.get(id).map(|hold| hold.stage);
    let is_loose = matches!(stage, Some(FastenerStage::BrokenLoose | FastenerStage::Seated));
    is_loose && !state.skipped.contains_key(&Action::new(Verb::Final, id))
}

/// Whether something that is in or on has to come out: for its own sake, or for work ahead.
pub(crate) fn is_due_out(car: &Car, state: &JobState, id: &ItemId) -> bool {
    !is_gone(state, id) && (is_spent(car, state, id) || is_wanted_away(car, state, id))
}

/// The same, and taking it out for its own sake was not left out.
pub(crate) fn comes_out(car: &Car, state: &JobState, id: &ItemId) -> bool {
    is_due_out(car, state, id) && (!is_left_in(car, state, id) || is_wanted_away(car, state, id))
}

/// Whether something is in or on, and taking it out by the way in hand was left out. What the car cannot come down with
/// comes out all the same.
#[must_use]
pub fn is_left_in(car: &Car, state: &JobState, id: &ItemId) -> bool {
    let skipped = |verb, id: &ItemId| state.skipped.contains_key(&Action::new(verb, id));
    // Left out it stays so, until the owner chooses another way.
    let chosen = |way: &Way| state.choices.get(id).is_none_or(|choice| choice.as_ref() == Some(&way.id));
    let by_way = || car.ways_to_free(id).any(|way| skipped(Verb::Way, &way.id) && chosen(way));
    !is_gone(state, id)
        && (skipped(Verb::Undo, id) || skipped(Verb::Off, id) || by_way())
        && !broken_keeps_up(car, state, id)
}

/// Whether a planned action that takes this item apart, does it or goes it is still ahead. One that
/// is left out is not.
fn has_ahead(car: &Car, state: &JobState, id: &ItemId) -> bool {
    [Verb::Undo, Verb::Off, Verb::Way, Verb::Do].into_iter().any(|verb| {
        let action = Action::new(verb, id);
        state.planned.contains(&action)
            && !state.skipped.contains_key(&action)
            && is_ahead(car, state, &action)
    })
}

/// Whether a planned way frees this item, or freed it, and it has to go back: a way may get at it past
/// what is in front of it, what goes back in does not.
fn goes_back_after_a_way(car: &Car, state: &JobState, id: &ItemId) -> bool {
    let is_planned = |verb, id: &ItemId| {
        let action = Action::new(verb, id);
        state.planned.contains(&action) && !state.skipped.contains_key(&action)
    };
    let by_a_way = car.ways.iter().any(|way| {
        let ahead = || is_gone(state, id) || is_ahead(car, state, &Action::new(Verb::Way, &way.id));
        way.frees == *id && is_planned(Verb::Way, &way.id) && ahead()
    });
    by_a_way && (is_planned(Verb::Fit, id) || is_planned(Verb::On, id))
}

fn is_ahead(car: &Car, state: &JobState, action: &Action) -> bool {
    let id = &action.item;
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
#[must_use]
pub fn is_spent(car: &Car, state: &JobState, id: &ItemId) -> bool {
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
