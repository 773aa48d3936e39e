//! Pictures of a job: from the plan to the plain inputs of the drawings.

use crate::error::GarageError;
use crate::job::Job;
use crate::select;
use crate::sheets::{Wanted, corner_of, end_of};
use crate::units::Units;
use crate::views::row_text;
use crate::waits::phrase;
use axlestand_draw::corner::{Room, View};
use axlestand_draw::look::{Theme, Tone};
use axlestand_draw::{Drawing, Strip, StripBand, StripBlock, StripStop, plan_strip};
use axlestand_ledger::{RowStatus, Verb, row_status};
use axlestand_model::{AxleEnd, Hand};
use axlestand_plan::{Plan, PlanRow, marks};

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
        let label = format!(
            "{}, {}: {} row{}, {minutes:.0} min",
            first.section.stage().phrase(),
            lane,
            rows.len(),
            if rows.len() == 1 { "" } else { "s" }
        );
        strip.blocks.push(StripBlock { lane, label, start: now, minutes, done });
        let state = first.section.car_state().phrase();
        match strip.bands.last_mut() {
            Some(band) if band.label == state => band.minutes += minutes,
            _ => strip.bands.push(StripBand { label: state.to_owned(), start: now, minutes }),
        }
        now += minutes;
    }
    strip.waits = waits(job, &plan);
    // Rows stand in the order of the blocks: the time of a row is the sum of those before it.
    let until = |end: usize| plan.rows[..end].iter().map(|row| row.minutes).sum::<f64>();
    let words = |at: usize| row_text(job, &plan.rows[at].action);
    let marks = marks(&job.car, &job.state, &plan);
    let stop = |at: &usize| StripStop { label: format!("after: {}", words(*at)), at: until(at + 1) };
    strip.stops = marks.stops.iter().map(stop).collect();
    strip.no_return = marks.no_return.map(|at| StripStop { label: words(at), at: until(at) });
    let open =
        |row: &axlestand_plan::PlanRow| row_status(&job.car, &job.state, &row.action) == RowStatus::Pending;
    let first = plan.rows.iter().position(open).filter(|at| *at > 0);
    strip.now = first.map(|at| StripStop { label: words(at), at: until(at) });
    Ok(plan_strip(&strip))
}

/// What goes on by itself, from the row that sets it going to the first one that waits for it. Working time
/// has no nights in it, so a wait may be longer than its bar: its name says how long.
fn waits(job: &Job, plan: &Plan) -> Vec<StripBand> {
    let starts: Vec<f64> = plan
        .rows
        .iter()
        .scan(0.0, |at, row| {
            let start = *at;
            *at += row.minutes;
            Some(start)
        })
        .collect();
    let mut bands: Vec<StripBand> = Vec::new();
    for (at, row) in plan.rows.iter().enumerate() {
        let Some(phrase) = phrase(job, &row.action.item).filter(|_| row.action.verb == Verb::Do) else {
            continue;
        };
        let waiting = |later: &PlanRow| later.waits.iter().any(|(on, _)| *on == row.action.item);
        let Some(until) = plan.rows.iter().position(waiting).filter(|until| *until > at) else { continue };
        let start = starts[at] + row.minutes;
        bands.push(StripBand { label: phrase, start, minutes: starts[until] - start });
    }
    bands
}

/// The ends of the car that the job's rows touch, the front always.
#[must_use]
pub fn corner_ends(job: &Job) -> Vec<AxleEnd> {
    let rear = job.rows().any(|(_, action)| end_of(job, &action.item) == AxleEnd::Rear);
    if rear { vec![AxleEnd::Front, AxleEnd::Rear] } else { vec![AxleEnd::Front] }
}

/// A corner of the car as it stands now, for a page: what `step` (a row, an action, an item) touches
/// stands out, and says which end is meant; else that is `end`. Its tones are the page's own, by the names
/// of [`tones`].
///
/// # Errors
/// [`GarageError`] where no plan exists, or for a step there is not.
pub fn corner_picture(
    job: &Job,
    end: AxleEnd,
    side: Hand,
    view: View,
    room: Room,
    step: Option<&str>,
    units: Units,
) -> Result<String, GarageError> {
    let plan = job.plan()?;
    let step = step.map(|typed| select::actions(job, typed)).transpose()?;
    let now = step.as_ref().and_then(|actions| actions.first());
    let end = now.map_or(end, |action| end_of(job, &action.item));
    Ok(for_page(&corner_of(job, &plan, Wanted { end, side, view, room, units }, now)))
}

/// A drawing whose tones are the page's own: `var(--ink)` and its like.
#[must_use]
pub fn for_page(drawing: &Drawing) -> String {
    let mut svg = drawing.svg(Theme::Paper);
    for (name, paper, _) in tones() {
        svg = svg.replace(&format!("\"{paper}\""), &format!("\"var(--{name})\""));
    }
    svg
}

/// The tones of the look for a page's style: name, on paper, on slate, as `#rrggbb`.
#[must_use]
pub fn tones() -> Vec<(&'static str, String, String)> {
    let hex = |tone: Tone, theme: Theme| {
        let [r, g, b] = tone.rgb(theme);
        format!("#{r:02x}{g:02x}{b:02x}")
    };
    let name = |tone: Tone| match tone {
        Tone::Ground => "ground",
        Tone::Ink => "ink",
        Tone::Quiet => "quiet",
        Tone::Faint => "faint",
        Tone::Now => "now",
    };
    Tone::ALL.into_iter().map(|tone| (name(tone), hex(tone, Theme::Paper), hex(tone, Theme::Slate))).collect()
}
