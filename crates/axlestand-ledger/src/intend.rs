//! From what a person wants to record to an event, or a refusal with its reasons.

use crate::action::{Action, Verb};
use crate::event::{Effects, Entry, Event, FastenerStage, TorqueRecord};
use crate::rules::{Obstacle, obstacles};
use crate::state::JobState;
use crate::status::stage_at_final;
use crate::status::stage_when_fitted;
use crate::tray::{free_place, lies_in};
use axlestand_model::car::{Car, Fastener, Hold, Item, TorqueSpec, TorqueStep, Way, parse_steps};
use axlestand_quantity::Length;

/// What a person adds to "done".
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Details {
    /// Only seated: the final torque comes later.
    pub only_seated: bool,
    /// The tray place it was laid in, or taken from.
    pub tray: Option<u32>,
    /// The length under the head of what goes in.
    pub length: Option<Length>,
    /// The torque reached, with unit, where it differs from the specification or that is missing.
    pub torque: Option<String>,
    /// Where that value comes from.
    pub source: Option<String>,
    /// The wrench.
    pub wrench: Option<String>,
    /// The adapter.
    pub adapter: Option<String>,
    /// The thread condition.
    pub condition: Option<String>,
    /// The old one went in though a new one is due.
    pub reused: bool,
    /// A new one went in though none was due.
    pub fresh: bool,
    /// A remark.
    pub note: Option<String>,
}

/// An action that cannot be recorded, with every reason.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("'{action}' was not recorded: {}", reasons.iter().map(|r| r.text.as_str()).collect::<Vec<_>>().join("; "))]
pub struct Refusal {
    /// The action.
    pub action: Action,
    /// Why.
    pub reasons: Vec<Obstacle>,
}

/// The event that records `action` as done now.
///
/// # Errors
/// A [`Refusal`] with every reason why it cannot be done now, or why what was added to it cannot
/// be right (a bolt from another hole, a torque that is no torque).
pub fn intend(car: &Car, state: &JobState, action: &Action, details: &Details) -> Result<Event, Refusal> {
    let mut reasons = obstacles(car, state, action);
    let mut effects = Effects::default();
    let mut torque = None;
    match (action.verb, car.item(&action.item)) {
        (Verb::Read | Verb::Again, _) => {
            reasons.push(Obstacle::new("a reading is recorded with its value: use 'read'".to_owned()));
        }
        (Verb::Do, Some(Item::Operation(operation))) => effects.brings = operation.brings,
        (Verb::Undo, Some(Item::Fastener(fastener))) => {
            effects.tray = Some(details.tray.unwrap_or_else(|| free_place(car, state, fastener)));
            reasons.extend(occupied(car, state, fastener, details.tray));
        }
        (Verb::Off | Verb::Loosen, _) => {}
        (Verb::Way, Some(Item::Way(way))) => gone_by(car, state, way, &mut effects),
        (Verb::On, Some(Item::Part(part))) => {
            let now = state.part(&part.id);
            let due = state.goals.contains(&part.id) || now.broken;
            effects.fresh = (due || details.fresh || now.ready) && !details.reused;
            effects.reused = due && details.reused;
            if now.broken && details.reused {
                reasons.push(Obstacle::new(format!("{} is broken: it cannot go back on", part.name)));
            }
        }
        (Verb::Fit | Verb::Final | Verb::Lock, Some(Item::Fastener(fastener))) => {
            fastening(car, state, action.verb, fastener, details, &mut effects, &mut reasons);
            if effects.reaches >= Some(FastenerStage::AtFinal)
                && action.verb != Verb::Lock
                && fastener.torque.is_some()
            {
                torque = Some(torque_record(state, fastener, details, &mut reasons));
            }
        }
        (Verb::Fit, Some(Item::Connection(connection))) => {
            effects.reaches = Some(FastenerStage::Seated);
            renewal(state, Hold::Connection(connection), details, &mut effects, &mut reasons);
        }
        _ => {}
    }
    if details.only_seated && matches!(action.verb, Verb::Final | Verb::Lock) {
        reasons.push(Obstacle::new(format!(
            "'{action}' is recorded only when it is finished: leave --seated out, or leave the row open"
        )));
    }
    if details.torque.is_some() && torque.is_none() {
        reasons.push(Obstacle::new(format!(
            "no torque is reached by '{action}', so none is recorded: leave it out, or name the row that tightens"
        )));
    }
    if reasons.is_empty() {
        Ok(Event::Done { action: action.clone(), effects, torque, note: details.note.clone() })
    } else {
        Err(Refusal { action: action.clone(), reasons })
    }
}

/// What a way brings about: what it names, and whatever else held the part that it frees.
fn gone_by(car: &Car, state: &JobState, way: &Way, effects: &mut Effects) {
    effects.undone.clone_from(&way.undoes);
    effects.scrapped.clone_from(&way.scraps);
    if car.part(&way.frees).is_none() {
        effects.undone.push(way.frees.clone());
        return;
    }
    effects.off.push(way.frees.clone());
    let besides = car.undone_by(way).into_iter().filter(|id| !way.undoes.contains(id));
    effects.undone.extend(besides.filter(|id| state.hold(id).stage != FastenerStage::Out));
}

fn occupied(car: &Car, state: &JobState, fastener: &Fastener, tray: Option<u32>) -> Option<Obstacle> {
    let place = tray?;
    let other = lies_in(state, place).filter(|id| *id != fastener.id)?;
    let name = car.item(&other).map_or(other.as_str(), Item::name);
    Some(Obstacle::new(format!(
        "place {place} is taken by {name}: choose another place, or leave the choice out"
    )))
}

fn fastening(
    car: &Car,
    state: &JobState,
    verb: Verb,
    fastener: &Fastener,
    details: &Details,
    effects: &mut Effects,
    reasons: &mut Vec<Obstacle>,
) {
    // Run up so that the car may come down; one whose torque is due at once gets it at once.
    let snug_again = state.hold(&fastener.id).stage == FastenerStage::BrokenLoose && fastener.is_deferred();
    effects.reaches = Some(match verb {
        Verb::Fit if details.only_seated || snug_again => FastenerStage::Seated,
        Verb::Fit => stage_when_fitted(Some(Hold::Fastener(fastener))),
        Verb::Lock => FastenerStage::Locked,
        _ => stage_at_final(fastener),
    });
    if verb == Verb::Fit {
        renewal(state, Hold::Fastener(fastener), details, effects, reasons);
        reasons.extend(mixed_up(car, state, fastener, details));
    } else {
        reasons.extend(too_late_for_new(Hold::Fastener(fastener), details));
    }
}

/// Whether a new one goes in.
fn renewal(
    state: &JobState,
    hold: Hold<'_>,
    details: &Details,
    effects: &mut Effects,
    reasons: &mut Vec<Obstacle>,
) {
    let now = state.hold(hold.id());
    if now.stage != FastenerStage::Out {
        reasons.extend(too_late_for_new(hold, details));
        return;
    }
    let due = hold.is_one_use() || now.broken;
    effects.fresh = (due || details.fresh || now.ready) && !details.reused;
    effects.reused = due && details.reused;
    if now.broken && details.reused {
        reasons.push(Obstacle::new(format!("{} is broken: it cannot go back in", hold.name())));
    }
}

/// New or old is decided when it goes in, not when it is tightened.
fn too_late_for_new(hold: Hold<'_>, details: &Details) -> Option<Obstacle> {
    (details.reused || details.fresh).then(|| {
        Obstacle::new(format!("{} is in already: new or old is recorded when it goes in", hold.name()))
    })
}

/// How far a length under the head may be misread with a rule, in mm: common practice, no source (AX-70).
const MISREAD: f64 = 2.0;

/// A fastener from another hole: told by the tray place it was taken from, or by its length.
fn mixed_up(car: &Car, state: &JobState, fastener: &Fastener, details: &Details) -> Option<Obstacle> {
    let own = state.hold(&fastener.id).tray;
    if let (Some(from), Some(own)) = (details.tray, own)
        && from != own
    {
        let what = lies_in(state, from)
            .and_then(|id| car.fastener(&id).map(|f| format!("{} ({})", f.name, f.size_text())));
        return Some(Obstacle::new(format!(
            "place {from} holds {}; {} ({}) lies in place {own}",
            what.unwrap_or_else(|| "nothing".to_owned()),
            fastener.name,
            fastener.size_text(),
        )));
    }
    let (Some(is), Some(wanted)) = (details.length, fastener.length) else { return None };
    let off = |one: &Fastener| one.length.map_or(f64::INFINITY, |length| (length.mm() - is.mm()).abs());
    // One that looks alike, is out too and fits better is the one in hand.
    let fits_better = |other: &&Fastener| {
        fastener.looks_like(other)
            && state.hold(&other.id).stage == FastenerStage::Out
            && off(other) < off(fastener)
    };
    if off(fastener) <= MISREAD && !car.fasteners.iter().any(|other| fits_better(&other)) {
        return None;
    }
    let other = car.fasteners.iter().find(|other| fastener.looks_like(other) && off(other) <= MISREAD);
    let belongs =
        other.map(|other| format!("; one of that length belongs to {}", other.name)).unwrap_or_default();
    Some(Obstacle::new(format!("it is {is} long, but {} is {wanted} long{belongs}", fastener.name)))
}

fn torque_record(
    state: &JobState,
    fastener: &Fastener,
    details: &Details,
    reasons: &mut Vec<Obstacle>,
) -> TorqueRecord {
    let spec = fastener.torque.as_ref();
    let mut record = TorqueRecord {
        wrench: details.wrench.clone(),
        adapter: details.adapter.clone(),
        condition: details.condition.clone(),
        car_state: Some(state.stands()),
        specified: spec.and_then(|spec| spec.condition),
        ..TorqueRecord::default()
    };
    if let Some(typed) = &details.torque {
        match parse_steps(typed) {
            Ok(steps) => {
                record.value = Some(typed.trim().to_owned());
                reasons.extend(off_the_specification(fastener, &steps, details));
            }
            Err(why) => reasons.push(Obstacle::new(format!("the torque is not understood: {why}"))),
        }
        let known = spec.filter(|spec| spec.is_settled()).map(|spec| spec.provenance.to_string());
        record.provenance = known;
    } else if let Some(spec) =
        spec.filter(|spec| spec.is_settled() || (!fastener.critical && !spec.steps.is_empty()))
    {
        record.value = Some(spec.steps_text());
        record.provenance = Some(spec.provenance.to_string());
        record.condition = record.condition.or_else(|| spec.condition.map(|c| c.word().to_owned()));
    }
    if let (Some(source), true) = (&details.source, record.value.is_some()) {
        let reached = record.value.as_deref().and_then(|value| parse_steps(value).ok()).unwrap_or_default();
        let beside = spec.filter(|spec| spec.is_settled() && !agrees(&reached, &spec.steps));
        let says = beside.map(|spec| format!("; the vehicle file says {}", spec.steps_text()));
        record.provenance = Some(format!("manual: {source}{}", says.unwrap_or_default()));
        record.own_source = true;
    }
    record
}

/// How far a torque may lie from its specification and still count as it: a hand torque wrench is
/// good for 4 % (ISO 6789, class A, above 10 N·m), and one reads a scale (AX-70).
const TORQUE_AGREES: f64 = 0.05;
/// The same for a tightening angle, in degrees: common practice, no source (AX-70).
const ANGLE_AGREES: f64 = 10.0;

/// Whether steps count as those of a specification.
pub(crate) fn agrees(steps: &[TorqueStep], wanted: &[TorqueStep]) -> bool {
    let one = |is: &TorqueStep, wanted: &TorqueStep| match (is, wanted) {
        (TorqueStep::To(is), TorqueStep::To(wanted)) => {
            (is.nm() - wanted.nm()).abs() <= TORQUE_AGREES * wanted.nm()
        }
        (TorqueStep::On(is), TorqueStep::On(wanted)) => (is.deg() - wanted.deg()).abs() <= ANGLE_AGREES,
        _ => false,
    };
    steps.len() == wanted.len() && steps.iter().zip(wanted).all(|(is, wanted)| one(is, wanted))
}

/// A torque that is not the specified one needs a source of its own.
fn off_the_specification(fastener: &Fastener, steps: &[TorqueStep], details: &Details) -> Option<Obstacle> {
    let spec = fastener.torque.as_ref().filter(|spec| spec.is_settled())?;
    if agrees(steps, &spec.steps) {
        return None;
    }
    if details.source.is_some() {
        return out_of_all_reason(fastener, spec, steps);
    }
    Some(Obstacle::new(format!(
        "its specification is {} [{}]: tighten it to that, or give the --source of the other value",
        spec.steps_text(),
        spec.provenance
    )))
}

/// Which part or multiple of the specified torque another source may give for a thread in another
/// condition: a judgement (source id AX-6). The usual nut factors, oiled 0.15 to dry 0.2, differ by
/// less; a slip of the unit or the finger lies outside.
const OTHER_SOURCE: std::ops::RangeInclusive<f64> = 0.5..=1.5;

/// A value so far from the specification is a slip, or the vehicle file is wrong.
fn out_of_all_reason(fastener: &Fastener, spec: &TorqueSpec, steps: &[TorqueStep]) -> Option<Obstacle> {
    let largest = |steps: &[TorqueStep]| {
        let torques = steps.iter().filter_map(|step| match step {
            TorqueStep::To(torque) => Some(torque.nm()),
            TorqueStep::On(_) => None,
        });
        torques.fold(0.0, f64::max)
    };
    let ratio = largest(steps) / largest(&spec.steps);
    if OTHER_SOURCE.contains(&ratio) {
        return None;
    }
    Some(Obstacle::new(format!(
        "that is too far from its specification {} [{}] to be right: check number and unit; where the vehicle file is wrong, correct it first: car set {} torque \"… N·m\" --source \"…\"",
        spec.steps_text(),
        spec.provenance,
        fastener.id.base(),
    )))
}

/// The event that takes back an earlier entry.
///
/// # Errors
/// A sentence that says why it cannot be taken back: no such entry, an entry that sets up the job,
/// or a later entry that could not have been made without it.
pub fn withdraw(car: &Car, entries: &[Entry], id: &str, reason: Option<String>) -> Result<Event, String> {
    let state = JobState::of(entries);
    let entry = state
        .counting_entries()
        .find(|entry| entry.id == id)
        .ok_or_else(|| format!("there is no entry '{id}' left to take back"))?;
    if entry.event.sets_up() {
        return Err("this entry sets up the job and cannot be taken back".to_owned());
    }
    let withdrawn = state.withdrawn();
    // The job as it would have gone without the entry, beside the job as it went.
    let (mut without, mut went) = (JobState::default(), JobState::default());
    for other in entries {
        let counts = other.id != id
            && !withdrawn.contains(other.id.as_str())
            && !matches!(other.event, Event::Withdrawn { .. });
        if counts {
            if let Event::Done { action, .. } = &other.event {
                still_possible(car, &without, &went, action)?;
            }
            without.apply(other);
        }
        went.apply(other);
    }
    Ok(Event::Withdrawn { entry: id.to_owned(), reason })
}

/// Whether an action that was done has no obstacle that it did not have when it was done.
fn still_possible(car: &Car, without: &JobState, went: &JobState, action: &Action) -> Result<(), String> {
    let was_blocked = obstacles(car, went, action);
    match obstacles(car, without, action).iter().find(|obstacle| !was_blocked.contains(obstacle)) {
        None => Ok(()),
        Some(first) => {
            let number = went.number_of(action).map(|n| format!(" (row {n})")).unwrap_or_default();
            Err(format!(
                "'{action}'{number} was done after it and needs it ({}): take that back first",
                first.text
            ))
        }
    }
}
