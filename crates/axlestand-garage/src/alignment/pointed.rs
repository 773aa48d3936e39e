//! Where the rows of a plan point to the reading and setting of wheels.

use crate::geometry::jam_nut;
use crate::job::Job;
use crate::lead::{Lead, LedText};
use axlestand_model::car::{Operation, Reading};
use axlestand_model::{Hand, ReadingKind, Stage};

/// Of a row that reads an angle of the wheels: how numbers off gauges become one.
pub(crate) fn reading_leads(reading: &Reading) -> Vec<LedText> {
    let method = match reading.kind {
        Some(ReadingKind::Toe) => "plates",
        Some(ReadingKind::Camber) => "camber",
        Some(ReadingKind::Caster) => "caster",
        _ => return Vec::new(),
    };
    vec![
        LedText::new("or off gauges", Lead::Guide { method: method.to_owned() }),
        LedText::new("what comes out of them is kept as this reading", Lead::Keep),
    ]
}

/// Of the row that sets toe (jam nuts wait for it): what says how much to turn.
pub(crate) fn setting_leads(job: &Job, operation: &Operation) -> Vec<LedText> {
    let waits = |hand| jam_nut(&job.car, hand).is_some_and(|nut| operation.before.contains(&nut.id));
    if operation.stage != Stage::Set || ![Hand::Left, Hand::Right].into_iter().any(waits) {
        return Vec::new();
    }
    vec![
        LedText::new("how much to turn follows from what the wheels read", Lead::Guides),
        LedText::new("this row is done first, what comes out is kept afterwards", Lead::Keep),
    ]
}
