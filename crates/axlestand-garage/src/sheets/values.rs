//! Parts and fasteners as a table for other programs.

use crate::job::Job;
use axlestand_draw::comma_separated;
use axlestand_model::car::Hold;

pub(super) const HEAD: [&str; 12] = [
    "item",
    "kind",
    "name",
    "count",
    "thread",
    "length_mm",
    "class",
    "drive",
    "torque",
    "torque_from",
    "one_use",
    "state",
];

/// Every part, fastener and connection of the car with its state in the job.
pub(super) fn parts(job: &Job) -> String {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for part in &job.car.parts {
        let state = job.state.part(&part.id);
        let stands = if state.off { "off" } else { "on" };
        let mut row = vec![String::new(); HEAD.len()];
        for (column, text) in
            [(0, part.id.as_str()), (1, "part"), (2, part.name.as_str()), (3, "1"), (11, stands)]
        {
            row[column] = text.to_owned();
        }
        rows.push(row);
    }
    for hold in job.car.holds() {
        rows.push(hold_row(job, hold));
    }
    comma_separated(&HEAD, &rows)
}

fn hold_row(job: &Job, hold: Hold<'_>) -> Vec<String> {
    let state = job.state.hold(hold.id()).stage.phrase().to_owned();
    match hold {
        Hold::Fastener(f) => {
            let spec = f.torque.as_ref();
            // What may not be worked to is not handed on as a number.
            let settled = spec.filter(|spec| !spec.steps.is_empty() && (spec.is_settled() || !f.critical));
            vec![
                f.id.to_string(),
                "fastener".to_owned(),
                f.name.clone(),
                f.count.to_string(),
                f.thread.clone().unwrap_or_default(),
                f.length.map(|length| format!("{}", length.mm())).unwrap_or_default(),
                f.class.clone().unwrap_or_default(),
                f.drive.as_ref().map(ToString::to_string).unwrap_or_default(),
                settled.map(|spec| crate::units::Units::Metric.steps(spec)).unwrap_or_default(),
                spec.map(|spec| spec.provenance.to_string()).unwrap_or_default(),
                f.one_use.to_string(),
                state,
            ]
        }
        Hold::Connection(c) => {
            let mut row =
                vec![c.id.to_string(), "connection".to_owned(), c.name.clone(), c.count.to_string()];
            row.resize(HEAD.len(), String::new());
            row[10] = c.one_use.to_string();
            row[11] = state;
            row
        }
    }
}
