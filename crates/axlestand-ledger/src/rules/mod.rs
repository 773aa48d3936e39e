//! Why an action cannot be done now.
//!
//! These are the rules of the work itself; the planner orders by them, the ledger refuses by them,
//! and the checker of plans replays a plan against them.

mod apart;
mod together;

pub use apart::comes_out_tight;

use crate::action::{Action, Verb};
use crate::event::FastenerStage;
use crate::gates::lowering_check;
use crate::open::{Danger, danger_of_hold};
use crate::phrase::phrase;
use crate::rolling::{is_proof_on_wheels, rolling_check};
use crate::state::JobState;
use crate::status::{RowStatus, is_back, is_due_before_raising, is_finished, row_status, was_disturbed};
use crate::wanted::is_wanted_away;
use axlestand_model::car::{Car, Fastener, Hold, Item, Operation};
use axlestand_model::{CarState, ItemId, Stage};

/// One reason why an action cannot be done now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Obstacle {
    /// The reason, as a sentence.
    pub text: String,
    /// What would have to be done first, where one action would do.
    pub first: Option<Action>,
}

impl Obstacle {
    pub(crate) fn new(text: String) -> Self {
        Self { text, first: None }
    }

    pub(crate) fn until(text: String, verb: Verb, item: &ItemId) -> Self {
        Self { text, first: Some(Action::new(verb, item)) }
    }
}

/// Every reason why `action` cannot be done now; none: it can.
#[must_use]
pub fn obstacles(car: &Car, state: &JobState, action: &Action) -> Vec<Obstacle> {
    let mut found = Vec::new();
    let Some(item) = car.item(&action.item) else {
        return vec![Obstacle::new(format!("the car has nothing called '{}'", action.item))];
    };
    match (action.verb, item) {
        (Verb::Loosen, Item::Fastener(fastener)) => apart::loosen(car, state, fastener, &mut found),
        (Verb::Undo, Item::Fastener(fastener)) => apart::undo_fastener(car, state, fastener, &mut found),
        (Verb::Undo, Item::Connection(connection)) => {
            apart::undo_connection(car, state, connection, &mut found);
        }
        (Verb::Off, Item::Part(part)) => apart::off(car, state, part, &mut found),
        (Verb::Way, Item::Way(way)) => apart::go_way(car, state, way, &mut found),
        (Verb::On, Item::Part(part)) => together::on(car, state, part, &mut found),
        (Verb::Fit, Item::Fastener(_) | Item::Connection(_)) => {
            if let Some(hold) = car.hold(&action.item) {
                together::fit(car, state, hold, &mut found);
            }
        }
        (Verb::Final, Item::Fastener(fastener)) => together::finish(car, state, fastener, &mut found),
        (Verb::Lock, Item::Fastener(fastener)) => together::lock(state, fastener, &mut found),
        (Verb::Do, Item::Operation(operation)) => operate(car, state, operation, &mut found),
        (Verb::Read, Item::Reading(reading)) => {
            needs_state(car, state, reading.work.state, &mut found);
            reach(car, state, &reading.work.after, &mut found);
            waits_for(car, state, &reading.id, true, &mut found);
            too_late(car, state, &reading.before, &mut found);
        }
        (Verb::Again, Item::Reading(reading)) => {
            needs_state(car, state, reading.again.or(reading.work.state), &mut found);
        }
        (verb, item) => found.push(Obstacle::new(format!(
            "'{}' is {}, which cannot be done with '{}'",
            action.item,
            item.a_kind(),
            verb.word()
        ))),
    }
    // Two rules may ask for the same.
    found.dedup();
    found
}

/// The car has to stand in this state.
fn needs_state(car: &Car, state: &JobState, need: Option<CarState>, found: &mut Vec<Obstacle>) {
    if let Some(need) = need
        && !state.stands().counts_as(need)
    {
        let text = format!(
            "the car is {}, and this is done with the car {}",
            state.stands().phrase(),
            need.phrase()
        );
        found.push(Obstacle { text, first: towards(car, state, need) });
    }
}

/// What brings the car into a state, or nearer to it: from stands the way to ride height leads over its wheels. A planned
/// row that is still to do comes first; where there is none, as in a job that is done, it is done once more.
fn towards(car: &Car, state: &JobState, need: CarState) -> Option<Action> {
    let over_wheels = need == CarState::RideHeight && state.stands() == CarState::OnStands;
    let aim = if over_wheels { CarState::OnWheels } else { need };
    let leads_there = |o: &Operation| o.brings == Some(aim) && o.recheck.is_none();
    let planned = state.order.iter().filter_map(|number| state.rows.get(number));
    let mut planned = planned.filter(|action| action.verb == Verb::Do).cloned();
    let waits = planned.find(|action| {
        car.operation(&action.item).is_some_and(leads_there)
            && row_status(car, state, action) == RowStatus::Pending
    });
    let any = || car.operations.iter().find(|o| leads_there(o)).map(|o| Action::new(Verb::Do, &o.id));
    waits.or_else(any)
}

/// What stands in the way has to be undone, off or done.
fn reach(car: &Car, state: &JobState, after: &[ItemId], found: &mut Vec<Obstacle>) {
    for id in after {
        match car.item(id) {
            Some(Item::Part(part)) if !is_away(car, state, id) => {
                found.push(Obstacle::until(format!("{} is in the way", part.name), Verb::Off, id));
            }
            Some(Item::Fastener(_) | Item::Connection(_)) if state.hold(id).stage != FastenerStage::Out => {
                let name = car.item(id).map_or("", Item::name);
                found.push(Obstacle::until(format!("{name} is not undone yet"), Verb::Undo, id));
            }
            Some(Item::Operation(operation)) if is_waiting(car, state, operation) => {
                found.push(Obstacle::until(format!("not done yet: {}", operation.name), Verb::Do, id));
            }
            _ => {}
        }
    }
}

/// Whether a part is off, or off together with the part it belongs to.
fn is_away(car: &Car, state: &JobState, id: &ItemId) -> bool {
    let mut at = Some(id);
    for _ in 0..=car.parts.len() {
        let Some(part) = at else { return false };
        if state.part(part).off {
            return true;
        }
        at = car.part(part).and_then(|p| p.part_of.as_ref());
    }
    false
}

/// Whether an operation is planned and neither done nor skipped.
fn is_waiting(car: &Car, state: &JobState, operation: &Operation) -> bool {
    let action = Action::new(Verb::Do, &operation.id);
    state.is_planned(&action) && row_status(car, state, &action) == RowStatus::Pending
}

/// Whether work of refitting waits that is done with the car on stands, such as bleeding the brakes: what was
/// opened once more on the wheels brings it up there.
pub(crate) fn is_due_on_stands(car: &Car, state: &JobState, operation: &Operation) -> bool {
    operation.stage == Stage::Refit
        && operation.brings.is_none()
        && operation.work.state == Some(CarState::OnStands)
        && is_waiting(car, state, operation)
}

/// Operations and witness readings that have to come before `item` is disturbed (`apart`) or put
/// back.
fn waits_for(car: &Car, state: &JobState, item: &ItemId, apart: bool, found: &mut Vec<Obstacle>) {
    for operation in car.operations.iter().filter(|o| o.before.contains(item)) {
        let due = apart || (!goes_back_for_a_while(car, state, item) && is_due(car, state, operation));
        if (operation.stage <= Stage::Strip) == apart && due && is_waiting(car, state, operation) {
            found.push(Obstacle::until(format!("not done yet: {}", operation.name), Verb::Do, &operation.id));
        }
    }
    if !apart {
        return;
    }
    for reading in car.readings.iter().filter(|r| r.before.contains(item)) {
        let action = Action::new(Verb::Read, &reading.id);
        if state.is_planned(&action) && row_status(car, state, &action) == RowStatus::Pending {
            found.push(Obstacle {
                text: format!("read this first, it is lost afterwards: {}", reading.name),
                first: Some(action),
            });
        }
    }
}

/// Whether what goes back now comes off again: planned work still needs it away, or the car stands on stands and
/// has to come down once more. Nothing is looked over then that stays to be worked on.
fn goes_back_for_a_while(car: &Car, state: &JobState, item: &ItemId) -> bool {
    let on_wheels = |fastener: &&Fastener| {
        let loosen = Action::new(Verb::Loosen, &fastener.id);
        state.is_planned(&loosen) && row_status(car, state, &loosen) == RowStatus::Pending
    };
    let loosened = || car.fasteners.iter().filter(|f| f.loosen_state == Some(CarState::OnWheels));
    is_wanted_away(car, state, item)
        || (state.stands() == CarState::OnStands && loosened().any(|fastener| on_wheels(&fastener)))
}

/// A witness reading is lost once what it bears witness of was disturbed.
fn too_late(car: &Car, state: &JobState, before: &[ItemId], found: &mut Vec<Obstacle>) {
    for id in before.iter().filter(|id| was_disturbed(car, state, id)) {
        let name = car.item(id).map_or(id.as_str(), Item::name);
        let what = if car.operation(id).is_some() { "done" } else { "disturbed" };
        found.push(Obstacle::new(format!("it is too late for this reading: {name} was {what} already")));
    }
}

fn operate(car: &Car, state: &JobState, operation: &Operation, found: &mut Vec<Obstacle>) {
    if operation.brings.is_none() || operation.brings == Some(CarState::RideHeight) {
        needs_state(car, state, operation.work.state, found);
    }
    if let Some(brings) = operation.brings {
        change_state(car, state, operation, brings, found);
    }
    if is_proof_on_wheels(operation) {
        if operation.work.state.is_none() {
            needs_state(car, state, Some(CarState::OnWheels), found);
        }
        // What is open is told by its first reason; what keeps the car from being rolled besides, in full.
        match proves_too_soon(car, state) {
            Some(first) => found.push(first),
            None => not_rolled(car, state, found),
        }
    }
    if operation.stage <= Stage::Strip {
        reach(car, state, &operation.work.after, found);
        waits_for(car, state, &operation.id, true, found);
    } else {
        for id in follows(car, state, operation) {
            is_back_for(car, state, id, operation, found);
        }
        for fastener in operation.before.iter().filter_map(|id| car.fastener(id)) {
            let loosen = Action::new(Verb::Loosen, &fastener.id);
            // What is set turns on it, planned or not.
            let due = operation.stage == Stage::Set && fastener.is_deferred();
            if (due || state.is_planned(&loosen)) && row_status(car, state, &loosen) == RowStatus::Pending {
                found.push(Obstacle {
                    text: format!("loosen it first: {}", fastener.name),
                    first: Some(loosen),
                });
            }
        }
        waits_for(car, state, &operation.id, false, found);
    }
    if operation.brings == Some(CarState::RideHeight) && state.stands() != CarState::OnStands {
        not_rolled(car, state, found);
    }
}

/// What an operation comes after; where one of that was left out, what that one comes after in its place: the pedal is
/// pumped with the line closed, bled or not.
fn follows<'a>(car: &'a Car, state: &JobState, operation: &'a Operation) -> Vec<&'a ItemId> {
    let mut all: Vec<&ItemId> = operation.work.after.iter().collect();
    let mut at = 0;
    while let Some(id) = all.get(at).copied() {
        let left_out = |other: &&Operation| {
            other.stage > Stage::Strip && state.skipped.contains_key(&Action::new(Verb::Do, &other.id))
        };
        if let Some(other) = car.operation(id).filter(left_out) {
            let more: Vec<&ItemId> = other.work.after.iter().filter(|id| !all.contains(id)).collect();
            all.extend(more);
        }
        at += 1;
    }
    all
}

/// What is proven on its wheels is whole: nothing of the plan is still to come apart, nothing that holds is open.
fn proves_too_soon(car: &Car, state: &JobState) -> Option<Obstacle> {
    let mut planned = state.order.iter().filter_map(|number| state.rows.get(number));
    let ahead = planned.find(|action| {
        matches!(action.verb, Verb::Undo | Verb::Off | Verb::Way)
            && state.is_planned(action)
            && row_status(car, state, action) == RowStatus::Pending
    });
    if let Some(action) = ahead {
        let name = car.item(&action.item).map_or(action.item.as_str(), Item::name);
        let text = format!("the car is still to be taken apart: {name}");
        return Some(Obstacle { text, first: Some(action.clone()) });
    }
    if let Some(due) = car.operations.iter().find(|due| is_due_on_stands(car, state, due)) {
        return Some(Obstacle::until(format!("not done yet: {}", due.name), Verb::Do, &due.id));
    }
    let is_open = |hold: &Hold<'_>| {
        let now = state.hold(hold.id());
        let is_in = now.stage == FastenerStage::InPlace && !now.broken;
        !is_in && danger_of_hold(car, *hold) != Danger::Cover && !is_finished(state, *hold)
    };
    let off = car.parts.iter().find(|part| state.part(&part.id).off && !part.cover);
    if let Some(part) = off {
        return Some(Obstacle::until(format!("{} is still off", part.name), Verb::On, &part.id));
    }
    let hold = car.holds().find(is_open)?;
    Some(Obstacle::new(phrase(hold, state.hold(hold.id()).stage.phrase())))
}

/// What keeps the car from being rolled keeps it from being settled and driven; what is told already is not told again.
fn not_rolled(car: &Car, state: &JobState, found: &mut Vec<Obstacle>) {
    for blocker in rolling_check(car, state) {
        let is_it = |o: &Obstacle| o.text == blocker.text || (o.first.is_some() && o.first == blocker.first);
        if !found.iter().any(is_it) {
            let text = format!("the car must not be rolled: {}", blocker.text);
            found.push(Obstacle { text, first: blocker.first });
        }
    }
}

fn change_state(
    car: &Car,
    state: &JobState,
    operation: &Operation,
    brings: CarState,
    found: &mut Vec<Obstacle>,
) {
    let already = |found: &mut Vec<Obstacle>| {
        // Another operation may bring the same: the other end of the car needs nothing more.
        if state.done.contains_key(&operation.id) {
            found.push(Obstacle::new(format!("the car is {} already", state.stands().phrase())));
        }
    };
    match brings {
        CarState::OnStands => {
            if state.stands() == CarState::OnStands {
                return already(found);
            }
            found.extend(before_every_raise(car, state, operation));
            for fastener in car.fasteners.iter().filter(|f| f.loosen_state.is_some()) {
                let action = Action::new(Verb::Loosen, &fastener.id);
                if state.is_planned(&action) && row_status(car, state, &action) == RowStatus::Pending {
                    let text =
                        format!("break it loose while the car stands on its wheels: {}", fastener.name);
                    found.push(Obstacle { text, first: Some(action) });
                }
            }
        }
        CarState::OnWheels => {
            if state.stands() != CarState::OnStands {
                return already(found);
            }
            found.extend(
                lowering_check(car, state).into_iter().map(|b| Obstacle { text: b.text, first: b.first }),
            );
        }
        CarState::RideHeight => {
            needs_state(car, state, Some(CarState::OnWheels), found);
        }
    }
}

/// What comes before raising, such as chocks, and was undone since: the car was rolled to settle it.
fn before_every_raise(car: &Car, state: &JobState, raise: &Operation) -> Vec<Obstacle> {
    let ready = raise.work.after.iter().filter_map(|id| car.operation(id)).filter(|o| o.brings.is_none());
    ready
        .filter(|o| state.done.get(&o.id).is_some_and(|&turn| is_due_before_raising(car, state, o, turn)))
        .filter(|o| !state.skipped.contains_key(&Action::new(Verb::Do, &o.id)))
        .map(|o| {
            Obstacle::until(
                format!("the car was rolled or made ready for it since then, so do it once more: {}", o.name),
                Verb::Do,
                &o.id,
            )
        })
        .collect()
}

/// For work after refitting: everything it names has to be back, and finished where its final
/// torque could be reached by then.
fn is_back_for(car: &Car, state: &JobState, id: &ItemId, operation: &Operation, found: &mut Vec<Obstacle>) {
    // The car may come down before its work is done, for the night.
    let comes_down = operation.brings == Some(CarState::OnWheels);
    if let Some(pending) = still_to_disturb(car, state, id).filter(|_| !comes_down) {
        let name = car.item(id).map_or(id.as_str(), Item::name);
        let is = if car.hold(id).is_some_and(|hold| hold.count() > 1) { "are" } else { "is" };
        found.push(Obstacle {
            text: format!("{name} {is} still to be undone or taken off"),
            first: Some(pending),
        });
        return;
    }
    match car.item(id) {
        Some(Item::Part(part)) if is_away(car, state, id) => {
            found.push(Obstacle::until(format!("{} is still off", part.name), Verb::On, id));
        }
        Some(Item::Operation(other)) if is_waiting(car, state, other) && is_due(car, state, other) => {
            found.push(Obstacle::until(format!("not done yet: {}", other.name), Verb::Do, id));
        }
        Some(Item::Fastener(_) | Item::Connection(_)) => {
            let Some(hold) = car.hold(id) else { return };
            let due = match hold {
                axlestand_model::car::Hold::Fastener(f) => f.torque.as_ref().and_then(|t| t.state),
                axlestand_model::car::Hold::Connection(_) => None,
            };
            let at = operation.work.state.unwrap_or(CarState::RideHeight);
            let reachable = due.is_none_or(|due| at.counts_as(due));
            let there = if reachable { is_finished(state, hold) } else { is_back(state, hold) };
            if !there {
                found.push(Obstacle::new(phrase(hold, state.hold(id).stage.phrase())));
            }
        }
        _ => {}
    }
}

/// Whether work after refitting has a reason by now: something it is for was disturbed, or its fluid
/// drained. The car may come down before that for another reason.
fn is_due(car: &Car, state: &JobState, operation: &Operation) -> bool {
    let touched = |id: &ItemId| state.hold(id).disturbed > 0 || state.part(id).was_off;
    let drained = |fluid: &ItemId| {
        let drains = |o: &&Operation| o.stage <= Stage::Strip && o.fluid.as_ref() == Some(fluid);
        car.operations.iter().filter(drains).any(|o| state.done.contains_key(&o.id))
    };
    operation.because.is_empty()
        || operation.because.iter().any(touched)
        || operation.fluid.as_ref().is_some_and(drained)
}

/// The planned action that has still to disturb an item, where there is one.
fn still_to_disturb(car: &Car, state: &JobState, id: &ItemId) -> Option<Action> {
    [Verb::Undo, Verb::Off].into_iter().map(|verb| Action::new(verb, id)).find(|action| {
        state.order.iter().any(|number| state.rows.get(number) == Some(action))
            && row_status(car, state, action) == RowStatus::Pending
    })
}
