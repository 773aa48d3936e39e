//! What keeps the car from being rolled where it stands on its wheels: one rule for the warning, for settling it
//! and for the first metres under its own power.

use crate::action::{Action, Verb};
use crate::event::FastenerStage;
use crate::gates::Blocker;
use crate::phrase::phrase;
use crate::state::JobState;
use crate::status::{RowStatus, is_back, is_final_due, row_status, stage_of};
use axlestand_model::car::{Car, Fastener, Hold, Operation};
use axlestand_model::{CarState, ItemId, Stage};

/// Whether nothing may roll while this fastener is not final: a life hangs on it and it is finished with
/// the car on its wheels (wheel, axle; source id AX-4).
#[must_use]
pub fn keeps_from_rolling(fastener: &Fastener) -> bool {
    fastener.critical && fastener.torque.as_ref().and_then(|torque| torque.state) == Some(CarState::OnWheels)
}

/// Whether such a fastener was disturbed and is not final yet: a bearing that its axle does not clamp must
/// not carry a rolling car (common practice, no source).
#[must_use]
pub fn forbids_rolling(fastener: &Fastener, state: &JobState) -> bool {
    let stage = state.hold(&fastener.id).stage;
    keeps_from_rolling(fastener) && stage != FastenerStage::InPlace && stage < FastenerStage::AtFinal
}

/// Whether an operation proves the car on its wheels, as a yard test does. A recheck after some way is for later.
#[must_use]
pub fn is_proof_on_wheels(operation: &Operation) -> bool {
    operation.stage == Stage::Prove
        && operation.recheck.is_none()
        && operation.work.state != Some(CarState::OnStands)
}

/// Why the car must not be rolled; empty: the ledger knows nothing against it.
///
/// What a life hangs on is neither out, off nor loose, nor broken and still in; a fastener that is finished on the
/// wheels is at its final torque; and work that was due before the car came down, such as pumping the brake pedal,
/// is done, whether it waits or was left out. A jam nut that is loose to set the wheels is rolled with.
#[must_use]
pub fn rolling_check(car: &Car, state: &JobState) -> Vec<Blocker> {
    let mut blockers: Vec<Blocker> = car.holds().filter_map(|hold| hold_keeps(car, state, hold)).collect();
    for part in car.parts.iter().filter(|part| part.critical) {
        let now = state.part(&part.id);
        if now.off {
            let on = Action::new(Verb::On, &part.id);
            blockers.push(Blocker::new(&part.id, format!("{} is off", part.name), Some(on)));
        } else if now.broken {
            blockers.push(Blocker::new(&part.id, format!("{} is broken and still in", part.name), None));
        }
    }
    for due in car.operations.iter().filter(|due| is_due_before_lowering(car, state, due)) {
        let action = Action::new(Verb::Do, &due.id);
        let text = match row_status(car, state, &action) {
            RowStatus::Done => continue,
            RowStatus::Skipped => {
                let reason = state.skipped.get(&action).map_or("", String::as_str);
                format!("left out: {} ({reason})", due.name)
            }
            RowStatus::Pending => format!("not done: {}", due.name),
        };
        blockers.push(Blocker::new(&due.id, text, Some(action)));
    }
    blockers
}

fn hold_keeps(car: &Car, state: &JobState, hold: Hold<'_>) -> Option<Blocker> {
    if !hold.is_critical() {
        return None;
    }
    let stage = stage_of(state, hold);
    let told = |how: &str, first| Some(Blocker::new(hold.id(), phrase(hold, how), first));
    if stage != FastenerStage::Out && state.hold(hold.id()).broken {
        return told("broken and still in", None);
    }
    let is_set = |o: &Operation| o.stage == Stage::Set && o.before.contains(hold.id());
    let loose_to_set = stage == FastenerStage::BrokenLoose && car.operations.iter().any(is_set);
    let unclamped = matches!(hold, Hold::Fastener(fastener) if forbids_rolling(fastener, state));
    if !unclamped && (loose_to_set || is_back(state, hold)) {
        return None;
    }
    let gets_final = stage == FastenerStage::BrokenLoose
        && matches!(hold, Hold::Fastener(fastener) if fastener.is_deferred())
        && is_final_due(state, hold);
    let verb = if stage < FastenerStage::Seated && !gets_final { Verb::Fit } else { Verb::Final };
    told(stage.phrase(), Some(Action::new(verb, hold.id())))
}

/// Whether work of refitting was due on stands before the car came down, for something that was opened: what lowering
/// waits for, and what that follows, as pumping the pedal follows bleeding.
fn is_due_before_lowering(car: &Car, state: &JobState, due: &Operation) -> bool {
    let opened = |id: &ItemId| state.hold(id).disturbed > 0 || state.part(id).was_off;
    let is_refitting = |o: &Operation| {
        o.stage == Stage::Refit && o.brings.is_none() && o.work.state == Some(CarState::OnStands)
    };
    let lowers = |id: &ItemId| car.operation(id).is_some_and(|o| o.brings == Some(CarState::OnWheels));
    let comes_before = |o: &&Operation| is_refitting(o) && (o.id == due.id || o.work.after.contains(&due.id));
    is_refitting(due)
        && due.because.iter().any(opened)
        && state.is_planned(&Action::new(Verb::Do, &due.id))
        && car.operations.iter().filter(comes_before).any(|o| o.before.iter().any(lowers))
}
