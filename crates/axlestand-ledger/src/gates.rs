//! The two gates: may the car be lowered onto its wheels, may it go on the road.

use crate::action::{Action, Verb};
use crate::event::FastenerStage;
use crate::open::{Danger, danger_of_hold, open_items};
use crate::phrase::phrase;
use crate::state::JobState;
use crate::status::{RowStatus, is_back, is_finished, reading_at_the_end, row_status, stage_of};
use axlestand_model::car::{Car, Hold, Part, Target};
use axlestand_model::{CarState, ItemId, ReadingKind, Stage};
use axlestand_quantity::{Dimension, Side};

/// One reason why a gate is closed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blocker {
    /// The item it speaks of.
    pub item: Option<ItemId>,
    /// The reason, as a sentence.
    pub text: String,
    /// What would have to be done.
    pub first: Option<Action>,
    /// What the vehicle file does not say yet.
    pub unset: Option<Unset>,
}

/// A value that the vehicle file lacks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unset {
    /// What it belongs to, without its side: `camber`.
    pub item: String,
    /// The field; `None`: any of its fields that is a placeholder.
    pub field: Option<&'static str>,
}

impl Blocker {
    pub(crate) fn new(item: &ItemId, text: String, first: Option<Action>) -> Self {
        Self { item: Some(item.clone()), text, first, unset: None }
    }

    fn lacking(target: &Target, text: String, field: Option<&'static str>) -> Self {
        let unset = Unset { item: target.id.base().to_owned(), field };
        Self { item: Some(target.id.clone()), text, first: None, unset: Some(unset) }
    }
}

/// Why the car may not be lowered onto its wheels; empty: it may.
///
/// Every part that is no cover has to be on. Every hold that is no cover's has to be finished, and
/// locked where it has a lock; only where its final torque is due on wheels or at ride height is
/// seated enough. A critical hold or part that is broken has to be out first, unless it still holds
/// as it did when the car came up: an axle nut is broken loose on the wheels.
#[must_use]
pub fn lowering_check(car: &Car, state: &JobState) -> Vec<Blocker> {
    let mut blockers = Vec::new();
    for hold in car.holds() {
        let stage = stage_of(state, hold);
        if danger_of_hold(car, hold) == Danger::Cover {
            continue;
        }
        if stage == FastenerStage::InPlace {
            continue;
        }
        if hold_keeps_up(car, state, hold) {
            let text = phrase(hold, "broken and still in");
            blockers.push(Blocker::new(hold.id(), text, None));
            continue;
        }
        let deferred = matches!(hold, Hold::Fastener(f) if f.is_deferred());
        if (deferred && is_back(state, hold)) || is_finished(state, hold) {
            continue;
        }
        let verb = match stage {
            FastenerStage::AtFinal => Verb::Lock,
            FastenerStage::Seated => Verb::Final,
            _ => Verb::Fit,
        };
        let how =
            if stage == FastenerStage::AtFinal { "at final torque, but not locked" } else { stage.phrase() };
        let lock = match hold {
            Hold::Fastener(f) if stage == FastenerStage::AtFinal => format!(" ({} missing)", f.lock.phrase()),
            _ => String::new(),
        };
        let first = Action::new(verb, hold.id());
        blockers.push(Blocker::new(hold.id(), phrase(hold, &format!("{how}{lock}")), Some(first)));
    }
    for part in car.parts.iter().filter(|part| !part.cover && state.part(&part.id).off) {
        // A part that lies in another one that blocks is told by that one.
        let blocks = |host: &ItemId| state.part(host).off && car.part(host).is_some_and(|host| !host.cover);
        let host_off = part.part_of.as_ref().is_some_and(blocks);
        if !host_off {
            let first = Action::new(Verb::On, &part.id);
            blockers.push(Blocker::new(&part.id, format!("{} is off", part.name), Some(first)));
        }
    }
    for part in car.parts.iter().filter(|part| part_keeps_up(car, state, part)) {
        blockers.push(Blocker::new(&part.id, format!("{} is broken and still in", part.name), None));
    }
    blockers
}

/// Whether something that a life hangs on is broken and in, and was moved since the car came up: the car does not come
/// down with it.
#[must_use]
pub fn broken_keeps_up(car: &Car, state: &JobState, id: &ItemId) -> bool {
    state.stands() == CarState::OnStands
        && (car.hold(id).is_some_and(|hold| hold_keeps_up(car, state, hold))
            || car.part(id).is_some_and(|part| part_keeps_up(car, state, part)))
}

fn hold_keeps_up(car: &Car, state: &JobState, hold: Hold<'_>) -> bool {
    let Some(now) = state.holds.get(hold.id()).filter(|now| now.broken && hold.is_critical()) else {
        return false;
    };
    !matches!(now.stage, FastenerStage::Out | FastenerStage::InPlace) && !came_up(car, state, now.disturbed)
}

fn part_keeps_up(car: &Car, state: &JobState, part: &Part) -> bool {
    let broken = state.parts.get(&part.id).is_some_and(|now| now.broken && !now.off);
    part.critical && broken && !stands_as_found(car, state, part)
}

/// Whether the car came up with something as it is now: it was last disturbed before that.
fn came_up(car: &Car, state: &JobState, disturbed: usize) -> bool {
    let raises = car.operations.iter().filter(|operation| operation.brings == Some(CarState::OnStands));
    let raised = raises.filter_map(|operation| state.done.get(&operation.id)).max();
    raised.is_some_and(|&raised| disturbed < raised)
}

/// Whether a part is on as it was when the car came up, for the first time or the last.
fn stands_as_found(car: &Car, state: &JobState, part: &Part) -> bool {
    let now = state.part(&part.id);
    !now.was_off || came_up(car, state, now.disturbed)
}

/// What broke and still holds as it did when the car came up: let down only to free it, and not
/// rolled.
#[must_use]
pub fn broken_in_place(car: &Car, state: &JobState) -> Vec<String> {
    let holds = car.holds().filter(|hold| {
        let now = state.hold(hold.id());
        let as_found = now.stage == FastenerStage::InPlace
            || (now.stage > FastenerStage::Out && came_up(car, state, now.disturbed));
        hold.is_critical() && now.broken && as_found
    });
    let parts = car.parts.iter().filter(|part| {
        let now = state.part(&part.id);
        part.critical && now.broken && !now.off && stands_as_found(car, state, part)
    });
    holds.map(|hold| hold.name().to_owned()).chain(parts.map(|part| part.name.clone())).collect()
}

/// Why the car may not go on the road; empty: the ledger knows nothing against it. That is no
/// inspection certificate: it speaks only of what this job touched.
#[must_use]
pub fn road_check(car: &Car, state: &JobState) -> Vec<Blocker> {
    let mut blockers: Vec<Blocker> = open_items(car, state)
        .into_iter()
        .map(|open| Blocker::new(&open.item, format!("{}: {}", open.name, open.stands), open.closes))
        .collect();
    if state.stands() == CarState::OnStands {
        blockers.push(Blocker {
            item: None,
            text: "the car is on stands".to_owned(),
            first: None,
            unset: None,
        });
    }
    goals_replaced(car, state, &mut blockers);
    work_done(car, state, &mut blockers);
    for target in &car.targets {
        blockers.extend(target_met(car, state, target));
    }
    blockers
}

fn goals_replaced(car: &Car, state: &JobState, blockers: &mut Vec<Blocker>) {
    for goal in &state.goals {
        let part = state.part(goal);
        let off = Action::new(Verb::Off, goal);
        if !part.fresh && !part.off && row_status(car, state, &off) != RowStatus::Skipped {
            let name = car.part(goal).map_or(goal.as_str(), |part| part.name.as_str());
            blockers.push(Blocker::new(
                goal,
                format!("{name} is to be replaced and is still the old one"),
                Some(off),
            ));
        }
    }
}

/// Operations that are neither optional nor done, from refitting on; readings at the end that are
/// neither taken nor left out with a reason, and toe that was left out.
fn work_done(car: &Car, state: &JobState, blockers: &mut Vec<Blocker>) {
    // A job given up before anything was touched leaves the car as it was.
    let untouched = state.disturbed == 0 && state.car_state.is_none();
    for action in state.order.iter().filter_map(|number| state.rows.get(number)) {
        let status = row_status(car, state, action);
        if let (Verb::Do, Some(operation)) = (action.verb, car.operation(&action.item)) {
            if operation.stage <= Stage::Strip || operation.optional || status == RowStatus::Done {
                continue;
            }
            if untouched && status == RowStatus::Skipped {
                continue;
            }
            let text = match state.skipped.get(action) {
                Some(reason) => format!("left out: {} ({reason})", operation.name),
                None => format!("not done: {}", operation.name),
            };
            blockers.push(Blocker::new(&action.item, text, Some(action.clone())));
        } else if let (Verb::Again, Some(reading)) = (action.verb, car.reading(&action.item)) {
            let text = match (status, state.skipped.get(action)) {
                (RowStatus::Pending, _) => format!("not read again: {}", reading.name),
                // A car whose toe nobody knows after work on it may pull to any side.
                (RowStatus::Skipped, Some(reason))
                    if reading.kind == Some(ReadingKind::Toe) && !untouched =>
                {
                    format!("left out: read again {} ({reason})", reading.name)
                }
                _ => continue,
            };
            blockers.push(Blocker::new(&action.item, text, Some(action.clone())));
        }
    }
}

/// Whether the last reading at the end lies within its target. Where the reading was left out with
/// a reason, or is no part of this job, the target says nothing.
fn target_met(car: &Car, state: &JobState, target: &Target) -> Option<Blocker> {
    let action = Action::new(Verb::Again, &target.reading);
    let reading = car.reading(&target.reading);
    let last = match reading.and_then(|reading| reading.again) {
        Some(_) => reading_at_the_end(car, state, &target.reading),
        // One that is never read again is judged as it was read.
        None => state.readings.get(&target.reading)?.last(),
    }?;
    let name = reading.map_or(target.name.as_str(), |reading| reading.name.as_str());
    let Some(band) = target.band else {
        let text = format!(
            "{name}: its target is not known; look it up{} and write it in, first its tolerance, then its value",
            target.look_in.as_ref().map(|l| format!(" ({l})")).unwrap_or_default(),
        );
        return Some(Blocker::lacking(target, text, Some("tolerance")));
    };
    if !target.provenance.may_be_worked_to() {
        let text = format!("{name}: its target is a placeholder; look it up and write it in");
        return Some(Blocker::lacking(target, text, None));
    }
    match band.side(last.value) {
        Side::Within if last.u > (band.upper() - band.lower()) / 2.0 => {
            let text = format!(
                "{name}: read as {}, which is too uncertain for its tolerance: read it again in a more exact way",
                last.typed
            );
            Some(Blocker::new(&target.id, text, Some(action)))
        }
        Side::Within => None,
        side => {
            let word = if side == Side::Below { "below" } else { "above" };
            let limit = if side == Side::Below { band.lower() } else { band.upper() };
            let unit = if reading.is_some_and(|r| r.dimension == Dimension::Angle) { "°" } else { " mm" };
            // Rounded to a thousandth, without the noughts behind.
            let limit = (limit * 1000.0).round() / 1000.0;
            let text = format!("{name}: read as {}, which is {word} the limit of {limit}{unit}", last.typed);
            Some(Blocker::new(&target.id, text, Some(action)))
        }
    }
}
