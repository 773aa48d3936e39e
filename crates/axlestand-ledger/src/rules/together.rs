//! Rules of putting together.

use super::{Obstacle, is_away, needs_state, towards, waits_for};
use crate::action::Verb;
use crate::event::FastenerStage;
use crate::open::lacks_value;
use crate::phrase::phrase;
use crate::state::JobState;
use crate::status::{is_back, is_finished};
use axlestand_model::ItemId;
use axlestand_model::car::{Car, Fastener, Hold, Part};

pub(super) fn on(car: &Car, state: &JobState, part: &Part, found: &mut Vec<Obstacle>) {
    if !state.part(&part.id).off {
        found.push(Obstacle::new(format!("{} is on", part.name)));
    }
    needs_state(car, state, part.work.state, found);
    behind_is_back(car, state, &part.id, found);
    for inner in car.parts.iter().filter(|p| p.part_of.as_ref() == Some(&part.id)) {
        if state.part(&inner.id).off {
            found.push(Obstacle::until(
                format!("{} belongs in it and is still off", inner.name),
                Verb::On,
                &inner.id,
            ));
        }
    }
    waits_for(car, state, &part.id, false, found);
}

pub(super) fn fit(car: &Car, state: &JobState, hold: Hold<'_>, found: &mut Vec<Obstacle>) {
    let now = state.hold(hold.id());
    match now.stage {
        FastenerStage::InPlace => {
            found.push(Obstacle::new(phrase(hold, "in place: never undone")));
        }
        stage if is_back(state, hold) => {
            found.push(Obstacle::new(phrase(hold, &format!("{} already", stage.phrase()))));
        }
        _ => {}
    }
    for id in hold.joins().iter().filter(|id| !hosts_another(car, id, hold.joins())) {
        if let Some(off) = off_part(car, state, id, hold.joins()) {
            let name = car.part(off).map_or(off.as_str(), |part| part.name.as_str());
            found.push(Obstacle::until(format!("{name} is still off"), Verb::On, off));
        }
    }
    needs_state(car, state, hold.work().state, found);
    if let Hold::Fastener(fastener) = hold
        && !fastener.is_deferred()
    {
        needs_state(car, state, fastener.torque.as_ref().and_then(|torque| torque.state), found);
    }
    behind_is_back(car, state, hold.id(), found);
    let is_deferred = matches!(hold, Hold::Fastener(fastener) if fastener.is_deferred());
    // What was only broken loose, as for toe, is run up snug from where it was loosened.
    if !(is_deferred && now.stage == FastenerStage::BrokenLoose) {
        in_front_is_off(car, state, hold, true, found);
    }
    if !is_deferred {
        waits_for(car, state, hold.id(), false, found);
    }
}

/// The part that is off and keeps a hold on `part` from being fitted: the part itself, or the host
/// it lies in, unless everything the hold joins lies in that host.
fn off_part<'a>(car: &'a Car, state: &JobState, part: &'a ItemId, joins: &[ItemId]) -> Option<&'a ItemId> {
    let mut at = part;
    for _ in 0..=car.parts.len() {
        let inside = car.assembly(at);
        if state.part(at).off && (at == part || !joins.iter().all(|join| inside.contains(join))) {
            return Some(at);
        }
        at = car.part(at).and_then(|p| p.part_of.as_ref())?;
    }
    None
}

/// Whether `part` is the host of another part in the list: then the other is fitted into it, and
/// the host may lie on the bench.
fn hosts_another(car: &Car, part: &ItemId, joins: &[ItemId]) -> bool {
    joins.iter().filter(|other| *other != part).any(|other| car.assembly(part).contains(other))
}

/// Everything that is reached only past `item` has to be back before `item` closes the way to it.
fn behind_is_back(car: &Car, state: &JobState, item: &ItemId, found: &mut Vec<Obstacle>) {
    for hold in car.holds() {
        let waits_final =
            matches!(hold, Hold::Fastener(f) if f.final_after.contains(item)) && !is_finished(state, hold);
        let behind = hold.work().after.contains(item) || was_reached_past(car, state, hold, item);
        let waits = behind && !is_back(state, hold);
        if (waits || waits_final) && state.hold(hold.id()).stage != FastenerStage::InPlace {
            let text =
                phrase(hold, &format!("reached only past it: {}", state.hold(hold.id()).stage.phrase()));
            let verb = if waits { Verb::Fit } else { Verb::Final };
            found.push(Obstacle::until(text, verb, hold.id()));
        }
    }
    for part in car.parts.iter().filter(|part| part.work.after.contains(item)) {
        if state.part(&part.id).off {
            let text = format!("{} goes on past it and is still off", part.name);
            found.push(Obstacle::until(text, Verb::On, &part.id));
        }
    }
}

/// Whether a hold was freed by a way that needed `item` undone or off: it goes back the same way.
fn was_reached_past(car: &Car, state: &JobState, hold: Hold<'_>, item: &ItemId) -> bool {
    !hold.joins().contains(item)
        && car.ways_to_free(hold.id()).any(|way| state.done.contains_key(&way.id) && way.needs.contains(item))
}

/// What stood in the way when it was undone must not be back yet; clips and nuts (`holds`) are none to
/// a wrench that only tightens.
fn in_front_is_off(car: &Car, state: &JobState, hold: Hold<'_>, holds: bool, found: &mut Vec<Obstacle>) {
    for id in &hold.work().after {
        if let Some(part) = car.part(id) {
            if state.part(id).was_off && !is_away(car, state, id) {
                found.push(Obstacle::until(format!("{} is in the way again", part.name), Verb::Off, id));
            }
        } else if let Some(front) = car.hold(id).filter(|_| holds)
            && state.hold(id).was_out
            && state.hold(id).stage > FastenerStage::Out
        {
            found.push(Obstacle::until(format!("{} is in the way again", front.name()), Verb::Undo, id));
        }
    }
}

pub(super) fn finish(car: &Car, state: &JobState, fastener: &Fastener, found: &mut Vec<Obstacle>) {
    let (now, hold) = (state.hold(&fastener.id), Hold::Fastener(fastener));
    match state.stage_of(fastener) {
        FastenerStage::InPlace if fastener.torque.is_some() => {
            found.push(Obstacle::new(phrase(hold, "in place: never undone")));
        }
        FastenerStage::Out | FastenerStage::InByHand => found.push(Obstacle::until(
            phrase(hold, &format!("{}: to be seated first", now.stage.phrase())),
            Verb::Fit,
            &fastener.id,
        )),
        FastenerStage::Locked if lacks_value(fastener, &now).is_none() => {
            found.push(Obstacle::new(phrase(hold, "locked already")));
        }
        _ => {}
    }
    if fastener.torque.is_none() {
        found.push(Obstacle::new(format!("{} has no final torque: hand-tight is final", fastener.name)));
    }
    let due = fastener.torque.as_ref().and_then(|torque| torque.state);
    if let Some(due) = due
        && !state.stands().counts_as(due)
    {
        let text = format!(
            "its final torque is due with the car {}, and the car is {}",
            due.phrase(),
            state.stands().phrase()
        );
        found.push(Obstacle { text, first: towards(car, state, due) });
    }
    let tightened = now.stage >= FastenerStage::AtFinal;
    if fastener.is_deferred() {
        waits_for(car, state, &fastener.id, false, found);
    } else {
        in_front_is_off(car, state, hold, !tightened, found);
    }
    for id in &fastener.final_after {
        if let Some(part) = car.part(id)
            && !is_away(car, state, id)
        {
            found.push(Obstacle::until(format!("{} is in the way", part.name), Verb::Off, id));
        }
    }
}

pub(super) fn lock(state: &JobState, fastener: &Fastener, found: &mut Vec<Obstacle>) {
    let (stage, hold) = (state.stage_of(fastener), Hold::Fastener(fastener));
    if !fastener.lock.is_own_act() {
        found.push(Obstacle::new(format!(
            "{} has no lock of its own to set ({})",
            fastener.name,
            fastener.lock.phrase()
        )));
    } else if stage == FastenerStage::Locked {
        found.push(Obstacle::new(phrase(hold, "locked already")));
    } else if stage == FastenerStage::InPlace {
        found.push(Obstacle::new(phrase(hold, "in place: never undone")));
    } else if stage < FastenerStage::Seated || (fastener.torque.is_some() && stage < FastenerStage::AtFinal) {
        found.push(Obstacle::until(
            phrase(hold, &format!("{}: the final torque comes first", stage.phrase())),
            Verb::Final,
            &fastener.id,
        ));
    }
}
