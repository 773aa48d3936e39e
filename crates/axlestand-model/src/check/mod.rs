//! Contradictions in a car whose references are all right.

mod access;
mod states;

use crate::car::{Car, Hold};
use crate::file::record_places::{Places, Sink};
use crate::words::Lock;

/// Adds every contradiction to the findings.
pub(crate) fn check(car: &Car, places: &Places, sink: &mut Sink<'_>) {
    part_of_loops(car, places, sink);
    access::check(car, places, sink);
    states::check(car, places, sink);
    for fastener in &car.fasteners {
        if fastener.critical && fastener.torque.is_none() {
            sink.warn(
                "no-torque-entry",
                &places.of(&fastener.id, "critical"),
                format!("{} is critical but has no torque entry", fastener.name),
                "add torque = {} so that its value is asked for".to_owned(),
            );
        }
        if fastener.lock == Lock::Stake && !fastener.one_use {
            sink.warn(
                "staked-nut-reused",
                &places.of(&fastener.id, "lock"),
                format!("{} is staked but not marked as one-use", fastener.name),
                "a staked nut is not used again: add one_use = true".to_owned(),
            );
        }
    }
    for hold in car.holds() {
        joins_itself(hold, places, sink);
    }
}

fn joins_itself(hold: Hold<'_>, places: &Places, sink: &mut Sink<'_>) {
    let joins = hold.joins();
    let twice = joins.iter().enumerate().find(|(at, part)| joins[..*at].contains(part));
    if let Some((_, part)) = twice {
        sink.error(
            "joins-itself",
            &places.of(hold.id(), "joins"),
            format!("{} joins '{part}' to itself", hold.name()),
            "name two different parts, or one that it holds to the body".to_owned(),
        );
    }
}

fn part_of_loops(car: &Car, places: &Places, sink: &mut Sink<'_>) {
    for part in &car.parts {
        let mut seen = vec![&part.id];
        let mut at = part.part_of.as_ref();
        while let Some(host) = at {
            if *host == part.id {
                sink.error(
                    "part-of-itself",
                    &places.of(&part.id, "part_of"),
                    format!("'{}' comes off with itself: {}", part.id, circle(&seen)),
                    "break the circle: one of them must be held to the car".to_owned(),
                );
                break;
            }
            if seen.contains(&host) {
                break;
            }
            seen.push(host);
            at = car.part(host).and_then(|p| p.part_of.as_ref());
        }
    }
}

/// `a → b → a`.
fn circle(ids: &[&crate::id::ItemId]) -> String {
    let mut names: Vec<_> = ids.iter().map(|id| id.as_str()).collect();
    names.extend(ids.first().map(|id| id.as_str()));
    names.join(" → ")
}
