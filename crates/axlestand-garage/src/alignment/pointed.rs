//! Where the rows of a plan point to the reading and setting of wheels.

use crate::geometry::jam_nut;
use crate::job::Job;
use axlestand_model::car::{Operation, Reading};
use axlestand_model::{Hand, ReadingKind, Stage};

/// Of a row that reads an angle of the wheels: how numbers off gauges become one.
pub(crate) fn reading_remark(reading: &Reading) -> Option<String> {
    let method = match reading.kind? {
        ReadingKind::Toe => "plates",
        ReadingKind::Camber => "camber",
        ReadingKind::Caster => "caster",
        _ => return None,
    };
    Some(format!(
        "or off gauges: 'axlestand read --guide {method}', then 'axlestand set alignment --keep' records it"
    ))
}

/// Of the row that sets toe (jam nuts wait for it): what says how much to turn.
pub(crate) fn setting_remark(job: &Job, operation: &Operation) -> Option<String> {
    let waits = |hand| jam_nut(&job.car, hand).is_some_and(|nut| operation.before.contains(&nut.id));
    (operation.stage == Stage::Set && [Hand::Left, Hand::Right].into_iter().any(waits)).then(|| {
        "'axlestand read --guide' leads through the reading, 'axlestand set alignment' says what to turn; this row first, '--keep' afterwards"
            .to_owned()
    })
}
