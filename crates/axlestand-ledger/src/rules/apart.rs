//! Rules of taking apart.

use super::{Obstacle, is_away, needs_state, reach, waits_for};
use crate::action::{Action, Verb};
use crate::event::FastenerStage;
use crate::phrase::phrase;
use crate::state::JobState;
use crate::status::{RowStatus, row_status};
use axlestand_model::car::{Car, Connection, Fastener, Hold, Part, Way};

pub(super) fn loosen(car: &Car, state: &JobState, fastener: &Fastener, found: &mut Vec<Obstacle>) {
    let stage = state.hold(&fastener.id).stage;
    if matches!(stage, FastenerStage::BrokenLoose | FastenerStage::Out) {
        found.push(Obstacle::new(phrase(Hold::Fastener(fastener), &format!("{} already", stage.phrase()))));
    }
    // It may also be loosened where its final torque is due: a jam nut, to set toe.
    let due = fastener.torque.as_ref().and_then(|torque| torque.state);
    let is_due_here = due.is_some_and(|due| state.stands().counts_as(due));
    // Of what was tightened and is not to be loosened, the one thing to be said is that it is loose, however the
    // car stands.
    let row = Action::new(Verb::Loosen, &fastener.id);
    let is_asked_for = state.is_planned(&row) && row_status(car, state, &row) == RowStatus::Pending;
    let was_tightened = stage >= FastenerStage::AtFinal;
    if !is_due_here && (is_asked_for || !was_tightened) {
        needs_state(car, state, fastener.loosen_state.or(fastener.work.state), found);
    }
    // What is loosened otherwise than undone is reached otherwise too: an axle nut through the wheel.
    let is_planned = state.is_planned(&row);
    if fastener.loosen_state.is_none() && !is_due_here && !is_planned {
        reach(car, state, &fastener.work.after, found);
    }
    // What hides it from the wrench that tightens it there hides it from the one that loosens it.
    if is_due_here {
        reach(car, state, &fastener.final_after, found);
    }
    waits_for(car, state, &fastener.id, true, found);
}

/// Whether something at this stage is still to be broken loose before it can be turned by hand.
fn is_tight(stage: FastenerStage) -> bool {
    stage == FastenerStage::InPlace || stage >= FastenerStage::AtFinal
}

/// Whether a fastener comes out without having been broken loose in the car state meant for it, since that was
/// left out. That serves once: what was out and was tightened again is broken loose again.
#[must_use]
pub fn comes_out_tight(state: &JobState, fastener: &Fastener) -> bool {
    let first = Action::new(Verb::Loosen, &fastener.id);
    fastener.loosen_state.is_some()
        && is_tight(state.hold(&fastener.id).stage)
        && state.skipped.contains_key(&first)
}

pub(super) fn undo_fastener(car: &Car, state: &JobState, fastener: &Fastener, found: &mut Vec<Obstacle>) {
    let stage = state.hold(&fastener.id).stage;
    if stage == FastenerStage::Out {
        found.push(Obstacle::new(phrase(Hold::Fastener(fastener), "out already")));
    }
    let first = Action::new(Verb::Loosen, &fastener.id);
    if let Some(loosen) = fastener.loosen_state
        && is_tight(stage)
        && fastener.work.state != Some(loosen)
        && !comes_out_tight(state, fastener)
    {
        let elsewhere = state.is_planned(&first) && !state.stands().counts_as(loosen);
        let or = if elsewhere { " (where it came loose otherwise, leave that out and say how)" } else { "" };
        found.push(Obstacle::until(
            format!("{} must first be broken loose with the car {}{or}", fastener.name, loosen.phrase()),
            Verb::Loosen,
            &fastener.id,
        ));
    }
    needs_state(car, state, fastener.work.state, found);
    reach(car, state, &fastener.work.after, found);
    waits_for(car, state, &fastener.id, true, found);
}

pub(super) fn undo_connection(
    car: &Car,
    state: &JobState,
    connection: &Connection,
    found: &mut Vec<Obstacle>,
) {
    if state.hold(&connection.id).stage == FastenerStage::Out {
        found.push(Obstacle::new(phrase(Hold::Connection(connection), "undone already")));
    }
    needs_state(car, state, connection.work.state, found);
    reach(car, state, &connection.work.after, found);
    waits_for(car, state, &connection.id, true, found);
}

pub(super) fn off(car: &Car, state: &JobState, part: &Part, found: &mut Vec<Obstacle>) {
    if state.part(&part.id).off {
        found.push(Obstacle::new(format!("{} is off already", part.name)));
    }
    for hold in car.outer_holds(&part.id) {
        if state.hold(hold.id()).stage != FastenerStage::Out {
            let holds = if hold.count() > 1 { "still hold it" } else { "still holds it" };
            found.push(Obstacle::until(format!("{} {holds}", hold.name()), Verb::Undo, hold.id()));
        }
    }
    needs_state(car, state, part.work.state, found);
    reach(car, state, &part.work.after, found);
    waits_for(car, state, &part.id, true, found);
}

pub(super) fn go_way(car: &Car, state: &JobState, way: &Way, found: &mut Vec<Obstacle>) {
    let freed = car.part(&way.frees).map_or_else(
        || state.hold(&way.frees).stage == FastenerStage::Out,
        |part| is_away(car, state, &part.id),
    );
    if freed {
        found.push(Obstacle::new(format!("'{}' is free already", way.frees)));
    }
    needs_state(car, state, way.work.state, found);
    reach(car, state, &way.needs, found);
    waits_for(car, state, &way.frees, true, found);
}
