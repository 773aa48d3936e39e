//! Contradictions in a car whose references are all right.

mod access;
mod circles;
mod states;

use crate::car::{Car, Fastener, Hold, Part};
use crate::file::record_places::{Places, Sink};
use crate::words::{Form, Lock};
use circles::{Needs, circles, shown};

/// Adds every contradiction to the findings.
pub(crate) fn check(car: &Car, places: &Places, sink: &mut Sink<'_>) {
    part_of_loops(car, places, sink);
    access::check(car, places, sink);
    states::check(car, places, sink);
    for fastener in &car.fasteners {
        doubtful_fastener(fastener, places, sink);
    }
    for part in &car.parts {
        held_by_nothing(car, part, places, sink);
    }
    for hold in car.holds() {
        joins_itself(hold, places, sink);
    }
}

fn doubtful_fastener(fastener: &Fastener, places: &Places, sink: &mut Sink<'_>) {
    let (id, name) = (&fastener.id, fastener.id.base());
    if fastener.critical && !places.has(id, "torque") {
        sink.warn(
            "no-torque-entry",
            &places.of(id, "critical"),
            format!("'{name}' is critical but has no torque entry"),
            "add torque = {} so that its value is asked for".to_owned(),
        );
    }
    if fastener.lock == Lock::Stake && !fastener.one_use && !places.has(id, "one_use") {
        sink.warn(
            "staked-nut-reused",
            &places.of(id, "lock"),
            format!("'{name}' is staked but not marked as one-use"),
            "a staked nut is not used again: add one_use = true".to_owned(),
        );
    }
    // Absent, the form may be a bolt's.
    let turned_itself = fastener.form.filter(|form| !matches!(form, Form::Bolt | Form::Screw));
    if let (true, Some(form)) = (fastener.captive, turned_itself) {
        sink.warn(
            "captive-nut-in-reach",
            &places.of(id, "captive"),
            format!(
                "'{name}' is a {} and has a captive nut, which only a bolt or screw goes into",
                form.phrase()
            ),
            "take captive away, or write form = \"bolt\"".to_owned(),
        );
    }
}

/// A part that lives hang on, and that no fastener, connection or other part holds: its work would ask for
/// no torque.
fn held_by_nothing(car: &Car, part: &Part, places: &Places, sink: &mut Sink<'_>) {
    if part.critical && part.part_of.is_none() && car.outer_holds(&part.id).is_empty() {
        sink.warn(
            "held-by-nothing",
            &places.of(&part.id, "critical"),
            format!("'{}' is critical, but nothing holds it to the car", part.id.base()),
            "write the fasteners or connections that hold it, with joins; or part_of, where it comes off with another part"
                .to_owned(),
        );
    }
}

fn joins_itself(hold: Hold<'_>, places: &Places, sink: &mut Sink<'_>) {
    let joins = hold.joins();
    let twice = joins.iter().enumerate().find(|(at, part)| joins[..*at].contains(part));
    if let Some((_, part)) = twice {
        sink.error(
            "joins-itself",
            &places.of(hold.id(), "joins"),
            format!("'{}' joins '{}' to itself", hold.id().base(), part.base()),
            "name two different parts, or one that it holds to the body".to_owned(),
        );
    }
}

fn part_of_loops(car: &Car, places: &Places, sink: &mut Sink<'_>) {
    let hosts: Needs =
        car.parts.iter().map(|part| (part.id.clone(), part.part_of.iter().cloned().collect())).collect();
    for circle in circles(&hosts) {
        let Some(first) = circle.first() else { continue };
        sink.error(
            "part-of-itself",
            &places.of(first, "part_of"),
            format!("'{first}' comes off with itself: {}", shown(&circle)),
            "break the circle: one of them must be held to the car".to_owned(),
        );
    }
}
