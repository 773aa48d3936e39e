//! How far a row of the plan is, told from the state, not from what was ticked.

use crate::action::{Action, Verb};
use crate::event::{Event, FastenerStage};
use crate::gates::broken_keeps_up;
use crate::open::is_outdated;
use crate::rules::is_due_on_stands;
use crate::state::{JobState, ReadingRecord};
use crate::wanted::{comes_out, is_due_out, is_wanted_away};
use axlestand_model::car::{Car, Fastener, Hold, Item, Operation};
use axlestand_model::{CarState, ItemId, Lock, ReadingKind, Stage};

/// How far a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowStatus {
    /// Still to do.
    Pending,
    /// Done.
    Done,
    /// Left out, with a reason.
    Skipped,
}

/// How far the row of this action is.
#[must_use]
pub fn row_status(car: &Car, state: &JobState, action: &Action) -> RowStatus {
    if is_done(car, state, action) {
        RowStatus::Done
    } else if is_left_out(car, state, action) || falls_away(car, state, action) {
        RowStatus::Skipped
    } else {
        RowStatus::Pending
    }
}

/// Whether the owner left an action out. What comes before raising, such as chocks, is left out for one time: once the
/// car was up and was rolled since, it is asked for again.
fn is_left_out(car: &Car, state: &JobState, action: &Action) -> bool {
    if !state.skipped.contains_key(action) {
        return false;
    }
    // What was left in comes out all the same where other work came up since that needs it away, or the car cannot come
    // down with it.
    let comes_out = |id: &ItemId| is_wanted_away(car, state, id) || broken_keeps_up(car, state, id);
    if matches!(action.verb, Verb::Undo | Verb::Off) && comes_out(&action.item) {
        return false;
    }
    let raises = |o: &Operation| o.brings == Some(CarState::OnStands);
    if !car.operations.iter().any(|o| raises(o) && o.work.after.contains(&action.item)) {
        return true;
    }
    let (mut was_up, mut serves) = (false, true);
    for entry in state.counting_entries() {
        match &entry.event {
            Event::Skipped { action: skipped, .. } if skipped == action => (was_up, serves) = (false, true),
            Event::Done { action: done, .. } => {
                let operation = car.operation(&done.item).filter(|_| done.verb == Verb::Do);
                was_up |= operation.is_some_and(raises);
                serves &= !(was_up && operation.is_some_and(|operation| rolls(car, operation)));
            }
            _ => {}
        }
    }
    serves
}

/// Whether an action has nothing to do: the one that it reverses was left out, or what a witness reading bears
/// witness of was disturbed before it was taken.
fn falls_away(car: &Car, state: &JobState, action: &Action) -> bool {
    let never = |verb: Verb| state.skipped.contains_key(&Action::new(verb, &action.item));
    match action.verb {
        Verb::On => never(Verb::Off) && !state.part(&action.item).off,
        Verb::Fit | Verb::Final | Verb::Lock => {
            let is_only_loosened = !state.is_planned(&Action::new(Verb::Undo, &action.item));
            let stage = state.hold(&action.item).stage;
            // What broke and is in stays in where taking it out was left out.
            let stays = action.verb == Verb::Fit && stage >= stage_when_fitted(car.hold(&action.item));
            (never(Verb::Undo) && (stays || stage == FastenerStage::InPlace))
                || (never(Verb::Loosen) && is_only_loosened && stage == FastenerStage::InPlace)
        }
        Verb::Read => car
            .reading(&action.item)
            .is_some_and(|reading| reading.before.iter().any(|id| was_disturbed(car, state, id))),
        _ => false,
    }
}

/// Whether what a witness reading bears witness of is no more as it was found.
pub(crate) fn was_disturbed(car: &Car, state: &JobState, id: &ItemId) -> bool {
    match car.item(id) {
        Some(Item::Part(_)) => state.part(id).was_off,
        Some(Item::Operation(_)) => state.done.contains_key(id),
        _ => state.hold(id).stage != FastenerStage::InPlace || state.hold(id).was_out,
    }
}

fn is_done(car: &Car, state: &JobState, action: &Action) -> bool {
    let item = &action.item;
    match action.verb {
        Verb::Way => state.done.contains_key(item),
        Verb::Do => state.done.get(item).is_some_and(|&turn| still_holds(car, state, item, turn)),
        Verb::Read => state.readings.get(item).is_some_and(|list| list.iter().any(|record| !record.again)),
        Verb::Again => reading_at_the_end(car, state, item).is_some(),
        Verb::Loosen => {
            let stage = state.hold(item).stage;
            stage != FastenerStage::InPlace
                && (stage < FastenerStage::AtFinal
                    || !(comes_out(car, state, item) || waits_to_be_set(car, state, item)))
        }
        Verb::Undo => state.hold(item).was_out && !is_due_out(car, state, item),
        Verb::Off => state.part(item).was_off && !is_due_out(car, state, item),
        // What is back for a while only, comes back once more.
        Verb::On => state.part(item).was_off && !state.part(item).off && !is_due_out(car, state, item),
        Verb::Fit => {
            let hold = state.hold(item);
            let is_in =
                (hold.was_out || hold.disturbed > 0) && hold.stage >= stage_when_fitted(car.hold(item));
            // What is only broken loose where its final torque is due gets that at once: a jam nut, to set toe.
            let gets_it_here = hold.stage == FastenerStage::BrokenLoose
                && car
                    .fastener(item)
                    .is_some_and(|f| f.is_deferred() && is_final_due(state, Hold::Fastener(f)));
            (is_in || gets_it_here) && !is_due_out(car, state, item)
        }
        Verb::Final => {
            let afresh = car.fastener(item).is_some_and(|fastener| is_outdated(state, fastener));
            state.hold(item).stage >= FastenerStage::AtFinal && !afresh
        }
        Verb::Lock => {
            let stage = car.fastener(item).map(|fastener| state.stage_of(fastener));
            stage.is_some_and(|stage| stage >= FastenerStage::Locked)
        }
    }
}

/// Whether something is still to be set that turns on this fastener, such as toe on its jam nut: tight from before, it is
/// loosened once more, unless another one is loose on which the same turns: the other wheel's.
fn waits_to_be_set(car: &Car, state: &JobState, id: &ItemId) -> bool {
    let turns_on = |o: &&Operation| o.stage == Stage::Set && o.before.contains(id);
    car.fastener(id).is_some_and(Fastener::is_deferred)
        && car.operations.iter().filter(turns_on).any(|o| {
            let set = Action::new(Verb::Do, &o.id);
            let loose = |id: &ItemId| {
                let stage = state.holds.get(id).map_or(FastenerStage::InPlace, |hold| hold.stage);
                stage != FastenerStage::InPlace && stage < FastenerStage::AtFinal
            };
            state.is_planned(&set)
                && row_status(car, state, &set) == RowStatus::Pending
                && !o.before.iter().any(loose)
        })
}

/// The last reading at the end that still counts: the car was not raised since, and where it is toe,
/// nothing that is loosened to set it was loosened since; nor was an adjuster turned, which heights do not
/// mind.
pub(crate) fn reading_at_the_end<'a>(
    car: &Car,
    state: &'a JobState,
    reading: &ItemId,
) -> Option<&'a ReadingRecord> {
    let last = state.readings.get(reading)?.iter().rev().find(|record| record.again && !record.stale)?;
    // What is set afterwards has to be read afresh; toe and camber move no height.
    let is_height = car.reading(reading).is_some_and(|reading| reading.kind == Some(ReadingKind::Height));
    let set = |id: &ItemId| car.operation(id).is_some_and(|operation| operation.stage == Stage::Set);
    if !is_height && state.done.iter().any(|(id, &turn)| turn > last.turn && set(id)) {
        return None;
    }
    let is_toe = car.reading(reading).is_some_and(|reading| reading.kind == Some(ReadingKind::Toe));
    if is_toe && is_moved_since(car, state, reading) {
        return None;
    }
    (is_height || !is_turned_since(state, reading)).then_some(last)
}

/// Whether an adjuster was turned after the last entry of this reading.
fn is_turned_since(state: &JobState, reading: &ItemId) -> bool {
    let mut since = false;
    for entry in state.counting_entries() {
        match &entry.event {
            Event::Read { reading: read, again: true, .. } if read == reading => since = false,
            Event::Turned { .. } => since = true,
            _ => {}
        }
    }
    since
}

/// Whether something that waits for an operation of Set (a jam nut for toe) was loosened or tightened after the
/// last entry of this reading: a rod may turn with its nut.
fn is_moved_since(car: &Car, state: &JobState, reading: &ItemId) -> bool {
    let sets = |id: &ItemId| car.operations.iter().any(|o| o.stage == Stage::Set && o.before.contains(id));
    let moves = |verb: Verb| matches!(verb, Verb::Loosen | Verb::Final);
    let mut since = false;
    for entry in state.counting_entries() {
        match &entry.event {
            Event::Read { reading: read, again: true, .. } if read == reading => since = false,
            Event::Done { action, .. } if moves(action.verb) && sets(&action.item) => since = true,
            _ => {}
        }
    }
    since
}

/// Whether an operation that was done at `turn` still counts. A car that was raised again has to be
/// lowered and settled again, one that was lowered too soon raised again; work after refitting is
/// due anew when what it is for, or follows, was disturbed since.
fn still_holds(car: &Car, state: &JobState, id: &ItemId, turn: usize) -> bool {
    let Some(operation) = car.operation(id) else { return true };
    match operation.brings {
        Some(CarState::OnWheels) => return state.stands() != CarState::OnStands,
        Some(CarState::RideHeight) => return state.stands() == CarState::RideHeight,
        Some(CarState::OnStands) => return state.stands() == CarState::OnStands || !needs_stands(car, state),
        // A check of the car on its stands is made anew when it was raised again.
        None if operation.stage <= Stage::Strip => {
            if operation.fluid.is_some() {
                return true;
            }
            if is_due_before_raising(car, state, operation, turn) {
                return state.stands() == CarState::OnStands || !needs_stands(car, state);
            }
            let follows =
                operation.work.after.iter().filter(|id| brings(car, id) == Some(CarState::OnStands));
            let is_down = state.stands() != CarState::OnStands && !needs_stands(car, state);
            return is_down || follows.filter_map(|id| state.done.get(id)).all(|&raised| raised < turn);
        }
        None if operation.stage == Stage::Prove => return state.disturbed < turn,
        None => {}
    }
    let untouched = |id: &ItemId| state.hold(id).disturbed < turn && state.part(id).disturbed < turn;
    // What was only loosened, such as a jam nut for toe, lay open to nothing.
    let in_place = |id: &ItemId| state.hold(id).undone < turn && state.part(id).disturbed < turn;
    let sets = operation.stage == Stage::Set;
    // Chocks that came out after lowering were put there again before the next raising.
    let lowered_again = operation.stage == Stage::Refit
        && operation.work.after.iter().any(|id| {
            brings(car, id) == Some(CarState::OnWheels) && state.done.get(id).is_some_and(|&down| down > turn)
        });
    if lowered_again || (frees(car, operation) && was_secured_since(car, state, turn)) {
        return false;
    }
    // The pedal is pumped after bleeding: what it follows was done, or done again, since.
    let followed_again = |id: &ItemId| {
        let followed = car.operation(id).is_some_and(|o| o.brings.is_none() && o.stage > Stage::Strip);
        followed && state.done.get(id).is_some_and(|&done| done > turn)
    };
    if operation.work.after.iter().any(followed_again) {
        return false;
    }
    operation.because.iter().all(untouched)
        && operation.work.after.iter().all(|id| if sets { untouched(id) } else { in_place(id) })
        && (!sets || operation.before.iter().all(untouched))
}

/// Whether things stand now as somebody says who says that an action is done: what came out is out, what was loosened
/// is loose. A row may count as done though its item was put together again since.
#[must_use]
pub fn stands_as_said(car: &Car, state: &JobState, action: &Action) -> bool {
    let stage = state.hold(&action.item).stage;
    match action.verb {
        Verb::Loosen => matches!(stage, FastenerStage::BrokenLoose | FastenerStage::Out),
        Verb::Undo => stage == FastenerStage::Out,
        Verb::Off => state.part(&action.item).off,
        Verb::Do => {
            let turn = state.done.get(&action.item);
            let undone = car.operation(&action.item).zip(turn).is_some_and(|(operation, &turn)| {
                is_due_before_raising(car, state, operation, turn)
                    || operation.brings.is_some_and(|brings| !state.stands().counts_as(brings))
            });
            !undone && row_status(car, state, action) == RowStatus::Done
        }
        _ => row_status(car, state, action) == RowStatus::Done,
    }
}

/// Whether what comes before raising, such as chocks, and was done at `turn` was undone since: the car
/// was settled, so it was rolled, or made ready for that.
pub(crate) fn is_due_before_raising(car: &Car, state: &JobState, operation: &Operation, turn: usize) -> bool {
    let raises =
        |o: &&Operation| o.brings == Some(CarState::OnStands) && o.work.after.contains(&operation.id);
    let settled = car.operations.iter().filter(|o| rolls(car, o));
    car.operations.iter().any(|o| raises(&o))
        && settled.filter_map(|o| state.done.get(&o.id)).any(|&rolled| rolled > turn)
}

/// Whether an operation rolls the car, or makes it ready for that.
fn rolls(car: &Car, operation: &Operation) -> bool {
    operation.brings == Some(CarState::RideHeight) || frees(car, operation)
}

/// Whether an operation makes the car ready to be rolled: chocks are taken away.
fn frees(car: &Car, operation: &Operation) -> bool {
    operation.stage > Stage::Strip
        && operation.before.iter().any(|id| brings(car, id) == Some(CarState::RideHeight))
}

/// Whether what comes before raising, such as chocks, was done after `turn`.
fn was_secured_since(car: &Car, state: &JobState, turn: usize) -> bool {
    let raises = car.operations.iter().filter(|o| o.brings == Some(CarState::OnStands));
    let before = raises.flat_map(|o| &o.work.after).filter(|id| brings(car, id).is_none());
    before.filter_map(|id| state.done.get(id)).any(|&done| done > turn)
}

fn brings(car: &Car, id: &ItemId) -> Option<CarState> {
    car.operation(id).and_then(|operation| operation.brings)
}

/// Whether planned work is left that is done with the car on stands.
fn needs_stands(car: &Car, state: &JobState) -> bool {
    state.order.iter().filter_map(|number| state.rows.get(number)).any(|action| {
        let work = match action.verb {
            Verb::Undo | Verb::Fit => car.hold(&action.item).map(Hold::work),
            Verb::Off | Verb::On => car.part(&action.item).map(|part| &part.work),
            Verb::Way => car.way(&action.item).map(|way| &way.work),
            Verb::Do => {
                let operation = car.operation(&action.item);
                return operation.is_some_and(|operation| is_due_on_stands(car, state, operation));
            }
            _ => None,
        };
        work.is_some_and(|work| work.state == Some(CarState::OnStands))
            && row_status(car, state, action) == RowStatus::Pending
    })
}

/// The stage that fitting alone has to reach.
#[must_use]
pub(crate) fn stage_when_fitted(hold: Option<Hold<'_>>) -> FastenerStage {
    match hold {
        Some(Hold::Fastener(fastener)) if fastener.torque.is_some() && !fastener.is_deferred() => {
            stage_at_final(fastener)
        }
        _ => FastenerStage::Seated,
    }
}

/// The stage that the final torque reaches: with a lock that is an act of its own it still waits
/// for that.
#[must_use]
pub(crate) fn stage_at_final(fastener: &Fastener) -> FastenerStage {
    if fastener.lock != Lock::None && !fastener.lock.is_own_act() {
        FastenerStage::Locked
    } else {
        FastenerStage::AtFinal
    }
}

/// The stage in which a hold is finished.
#[must_use]
pub(crate) fn final_stage(hold: Hold<'_>) -> FastenerStage {
    match hold {
        Hold::Connection(_) => FastenerStage::Seated,
        Hold::Fastener(fastener) if fastener.lock.is_own_act() => FastenerStage::Locked,
        Hold::Fastener(fastener) if fastener.torque.is_some() => FastenerStage::AtFinal,
        Hold::Fastener(_) => FastenerStage::Seated,
    }
}

/// How far a hold is by the car's file as it is now.
pub(crate) fn stage_of(state: &JobState, hold: Hold<'_>) -> FastenerStage {
    match hold {
        Hold::Fastener(fastener) => state.stage_of(fastener),
        Hold::Connection(connection) => state.hold(&connection.id).stage,
    }
}

/// Whether the car stands as the final torque asks for.
pub(crate) fn is_final_due(state: &JobState, hold: Hold<'_>) -> bool {
    let Hold::Fastener(fastener) = hold else { return true };
    fastener.torque.as_ref().and_then(|torque| torque.state).is_none_or(|due| state.stands().counts_as(due))
}

/// Whether a hold is finished or was never touched. A missing torque value is another question.
#[must_use]
pub(crate) fn is_finished(state: &JobState, hold: Hold<'_>) -> bool {
    let stage = stage_of(state, hold);
    stage == FastenerStage::InPlace || stage >= final_stage(hold)
}

/// Whether a hold was never touched or is as far as it can be while its final torque is not due.
#[must_use]
pub(crate) fn is_back(state: &JobState, hold: Hold<'_>) -> bool {
    let stage = stage_of(state, hold);
    stage == FastenerStage::InPlace || stage >= stage_when_fitted(Some(hold))
}
