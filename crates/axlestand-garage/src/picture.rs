//! Pictures of a job: from the plan to the plain inputs of the drawings.

use crate::error::GarageError;
use crate::job::Job;
use crate::views::row_text;
use axlestand_draw::{Drawing, Strip, StripBand, StripBlock, StripStop, plan_strip};
use axlestand_ledger::{RowStatus, row_status};
use axlestand_plan::marks;

/// The plan along time.
///
/// # Errors
/// [`GarageError`] where no plan exists.
pub fn plan_picture(job: &Job) -> Result<Drawing, GarageError> {
    let plan = job.plan()?;
    let mut strip = Strip { title: format!("{} · {}", job.name, job.car.name), ..Strip::default() };
    let mut now = 0.0;
    for rows in plan.blocks() {
        let Some(first) = rows.first() else { continue };
        let minutes: f64 = rows.iter().map(|row| row.minutes).sum();
        let lane = match first.side {
            Some(side) => format!("{}, {}", first.place.phrase(), side.phrase()),
            None => first.place.phrase().to_owned(),
        };
        let done = rows.iter().all(|row| row_status(&job.car, &job.state, &row.action) != RowStatus::Pending);
        let label =
            format!("{}, {}: {} rows, {minutes:.0} min", first.section.stage().phrase(), lane, rows.len());
        strip.blocks.push(StripBlock { lane, label, start: now, minutes, done });
        let state = first.section.car_state().phrase();
        match strip.bands.last_mut() {
            Some(band) if band.label == state => band.minutes += minutes,
            _ => strip.bands.push(StripBand { label: state.to_owned(), start: now, minutes }),
        }
        now += minutes;
    }
    // Rows stand in the order of the blocks: the time of a row is the sum of those before it.
    let until = |end: usize| plan.rows[..end].iter().map(|row| row.minutes).sum::<f64>();
    let words = |at: usize| row_text(job, &plan.rows[at].action);
    let marks = marks(&job.car, &job.state, &plan);
    let stop = |at: &usize| StripStop { label: format!("after: {}", words(*at)), at: until(at + 1) };
    strip.stops = marks.stops.iter().map(stop).collect();
    strip.no_return = marks.no_return.map(|at| StripStop { label: words(at), at: until(at) });
    Ok(plan_strip(&strip))
}
