//! Whether a typed specification fits the thread: a question to the owner, never a correction.

use super::subject::Subject;
use axlestand_fastener::plausibility;
use axlestand_model::ItemId;
use axlestand_model::car::Car;
use axlestand_quantity::{Dimension, Torque, Unit};

/// The question to ask back about a torque typed for a fastener; `None` where it is usual, or where
/// thread or torque are not known.
#[must_use]
pub fn question(car: &Car, item: &ItemId, typed: &str) -> Option<String> {
    let fastener = car.fastener(item)?;
    let subject = Subject::of(car, fastener);
    let (torque, unit) = largest(typed)?;
    let asked = plausibility::question(subject.thread?, subject.class, torque, unit).ok()??;
    Some(asked.to_string())
}

/// The largest torque among typed steps, with the unit it was typed in.
fn largest(typed: &str) -> Option<(Torque, &'static Unit)> {
    typed
        .split('+')
        .filter_map(|piece| Dimension::Torque.parse(piece.trim()).ok())
        .filter_map(|parsed| Some((Torque::from_nm(parsed.value).ok()?, parsed.unit)))
        .reduce(|a, b| if b.0 > a.0 { b } else { a })
}
