//! A vehicle file that changes while the job goes on: what may be taken over, and what it asks less.

use crate::job::Job;
use crate::vehicle::{kept_car, read_car};
use axlestand_ledger::{Action, Effects, Event, HoldState, JobState, PartState, Verb};
use axlestand_model::ItemId;
use axlestand_model::car::{Car, Hold, Item};

/// The new text of a vehicle file that was changed since it was taken over, or why it cannot be
/// used; nothing where it is unchanged.
pub(crate) fn changed_file(job: &Job) -> Option<Result<String, String>> {
    let path = &job.state.car_path;
    let text = match std::fs::read_to_string(path) {
        Ok(text) => text,
        Err(why) => return Some(Err(unread(path, &why))),
    };
    if text == job.state.car_text {
        return None;
    }
    Some(usable(&text, job).map(|()| text))
}

/// Why a vehicle file cannot be read, and what the job does then.
fn unread(path: &str, why: &std::io::Error) -> String {
    use std::io::ErrorKind;
    let so = "the job goes on with the last good one";
    match why.kind() {
        ErrorKind::NotFound => {
            format!(
                "the vehicle file {path} is not there any more: {so} ('axlestand job car FILE' says where it is)"
            )
        }
        ErrorKind::InvalidData => format!(
            "the vehicle file {path} was changed and is no UTF-8 text: {so}. Save it as UTF-8, which every editor can"
        ),
        _ => format!("the vehicle file {path} cannot be read ({why}): {so}"),
    }
}

/// Whether this text may stand for the job's vehicle file, found at another place.
pub(crate) fn may_stand_for(text: &str, job: &Job) -> Result<(), String> {
    if text == job.state.car_text { Ok(()) } else { usable(text, job) }
}

/// Whether a changed vehicle file may be taken over; else what to tell the owner.
fn usable(text: &str, job: &Job) -> Result<(), String> {
    let reading = read_car(text);
    let Some(car) = reading.car else {
        let faults = reading.errors();
        return Err(format!(
            "the vehicle file {} was changed and has {faults} fault{}: the job goes on with the last good one ('axlestand car check' shows them)",
            job.state.car_path,
            if faults == 1 { "" } else { "s" },
        ));
    };
    let changed = of_another_kind(&job.car, &car, &job.state);
    if !changed.is_empty() {
        return Err(format!(
            "the vehicle file was changed, and {} {} gone from it or another kind of thing now: the job goes on with the last good one",
            changed.join(", "),
            if changed.len() == 1 { "is" } else { "are" },
        ));
    }
    Ok(())
}

/// What the job touched that a changed file no longer describes, or describes as something else.
fn of_another_kind(old: &Car, new: &Car, state: &JobState) -> Vec<String> {
    let holds = state.holds.iter().filter(|(_, hold)| **hold != HoldState::default()).map(|(id, _)| id);
    let parts = state.parts.iter().filter(|(_, part)| **part != PartState::default()).map(|(id, _)| id);
    let fluids = state.done.keys().filter(|id| old.operation(id).is_some_and(|o| o.fluid.is_some()));
    let kind = |car: &Car, id: &ItemId| car.item(id).map(Item::kind);
    let mut gone: Vec<String> = holds
        .chain(parts)
        .chain(fluids)
        .chain(&state.goals)
        .filter(|id| kind(old, id).is_some() && kind(old, id) != kind(new, id))
        .map(ToString::to_string)
        .collect();
    gone.sort();
    gone.dedup();
    gone
}

/// Holds that a changed file adds to parts that were off in this job. They came off with the part,
/// whoever wrote them down late, so they are out until they are fitted.
pub(crate) fn came_off_unseen(old: &Car, new: &Car, state: &JobState) -> Vec<Event> {
    new.holds()
        .filter(|hold| old.hold(hold.id()).is_none() && !state.holds.contains_key(hold.id()))
        .filter(|hold| hold.joins().iter().any(|part| state.part(part).was_off))
        .map(|hold| Event::Done {
            action: Action::new(Verb::Undo, hold.id()),
            effects: Effects::default(),
            torque: None,
            note: Some("written into the vehicle file after its part was off".to_owned()),
        })
        .collect()
}

/// What the vehicle file asked of things touched in this job and asks no more: a torque, a lock, a new
/// one each time, that a life hangs on it, or work that was planned. It may have been wrong in the
/// file; it may also be a slip in an editor. So it is said wherever the job is judged.
pub(crate) fn asks_less(job: &Job) -> Vec<String> {
    let texts = job.state.entries.iter().filter_map(|entry| match &entry.event {
        Event::JobStarted { car_text, .. } | Event::CarUpdated { car_text } => Some(car_text),
        _ => None,
    });
    let mut lines: Vec<String> = Vec::new();
    for then in texts.filter(|text| **text != job.state.car_text).filter_map(|text| kept_car(text)) {
        let touched = then.holds().filter(|hold| job.state.holds.contains_key(hold.id()));
        lines.extend(touched.filter_map(|hold| Some(less(hold, job.car.hold(hold.id())?)).flatten()));
        let gone = then.operations.iter().filter(|operation| {
            let row = Action::new(Verb::Do, &operation.id);
            let planned = job.state.number_of(&row).is_some() && !job.state.done.contains_key(&operation.id);
            planned && job.car.operation(&operation.id).is_none()
        });
        lines.extend(gone.map(|operation| {
            format!("{} was planned, and the vehicle file no longer has it", operation.name)
        }));
        let readings = then.readings.iter().filter(|reading| reading.again.is_some());
        let readings = readings.filter(|reading| {
            let taken = job.state.readings.get(&reading.id).is_some_and(|list| list.iter().any(|r| r.again));
            let asked = job.car.reading(&reading.id).is_some_and(|now| now.again.is_some());
            let last = Action::new(Verb::Again, &reading.id);
            !taken && !asked && job.state.number_of(&last).is_some()
        });
        lines.extend(readings.map(|reading| {
            format!("{} was to be read at the end, and the vehicle file no longer asks it", reading.name)
        }));
    }
    lines.sort();
    lines.dedup();
    lines
}

/// What a hold lost from one vehicle file to the next.
fn less(then: Hold<'_>, now: Hold<'_>) -> Option<String> {
    let mut lost: Vec<String> = Vec::new();
    if let (Hold::Fastener(then), Hold::Fastener(now)) = (then, now) {
        if let (Some(spec), None) = (&then.torque, &now.torque) {
            lost.push(if spec.steps.is_empty() { "its torque".to_owned() } else { spec.steps_text() });
        }
        if then.lock.is_own_act() && now.lock != then.lock {
            lost.push(format!("its lock ({})", then.lock.phrase()));
        }
    }
    if then.is_one_use() && !now.is_one_use() {
        lost.push("that it is used once".to_owned());
    }
    if then.is_critical() && !now.is_critical() {
        lost.push("that it is safety-critical".to_owned());
    }
    (!lost.is_empty())
        .then(|| format!("{}: the vehicle file said {} and no longer does", then.name(), lost.join(", ")))
}
