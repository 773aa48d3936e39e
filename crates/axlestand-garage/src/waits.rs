//! What goes on by itself after an operation (it soaks, dries, cures, drains), by the times of the ledger.
//!
//! A wait refuses nothing: the ledger takes what was done. It tells from when on a row is due, and what going on
//! sooner costs. Only what dries or cures keeps the road check closed until it is over (source id AX-59).

use crate::forecast::week::local;
use crate::job::Job;
use crate::sentence::capital;
use crate::views::minutes;
use crate::views::row::{RowView, text};
use axlestand_ledger::{Action, Event, RowStatus, Verb, row_status};
use axlestand_model::car::{Operation, Wait};
use axlestand_model::{ItemId, Origin, WaitKind};
use axlestand_plan::{Plan, PlanRow};
use jiff::ToSpan as _;
use jiff::civil::DateTime;
use serde::Serialize;

/// What a row has to wait for, or sets going.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct WaitView {
    /// The operation after which it goes on.
    pub after: String,
    /// What goes on: `soak`, `dry`, `cure`, `drain`.
    pub kind: &'static str,
    /// For how many minutes.
    pub minutes: f64,
    /// Where the minutes come from: `typical`, `manual`, `measured`.
    pub provenance: &'static str,
    /// Until when, where it goes on; absent before it was set going.
    pub until: Option<String>,
    /// In words: what it means for this row.
    pub text: String,
}

fn wait_of<'a>(job: &'a Job, item: &ItemId) -> Option<(&'a Operation, &'a Wait)> {
    let operation = job.car.operation(item)?;
    Some((operation, operation.wait.as_ref()?))
}

/// When what goes on after an operation is over; `None` where it was not done, or was left out.
fn over(job: &Job, item: &ItemId, wait: &Wait) -> Option<DateTime> {
    let done = Action::new(Verb::Do, item);
    if row_status(&job.car, &job.state, &done) != RowStatus::Done {
        return None;
    }
    let at = job.state.counting_entries().filter_map(|entry| match &entry.event {
        Event::Done { action, .. } if *action == done => local(&entry.at),
        _ => None,
    });
    at.last()?.checked_add((wait.minutes.round() as i64).minutes()).ok()
}

/// The same, where it is still to come by the time at which the job is looked at.
fn goes_on(job: &Job, item: &ItemId, wait: &Wait) -> Option<DateTime> {
    let now = local(&job.now)?;
    over(job, item, wait).filter(|over| *over > now)
}

/// When everything is over that a planned action waits for and that goes on already.
pub(crate) fn over_at(job: &Job, plan: &Plan, action: &Action) -> Option<DateTime> {
    let row = plan.rows.iter().find(|row| row.action == *action)?;
    row.waits.iter().filter_map(|(item, _)| over(job, item, wait_of(job, item)?.1)).max()
}

/// Whether something that a row waits for still goes on.
pub(crate) fn is_early(job: &Job, row: &PlanRow) -> bool {
    row.waits
        .iter()
        .any(|(item, _)| wait_of(job, item).and_then(|(_, wait)| goes_on(job, item, wait)).is_some())
}

/// The row with what it waits for, and with what it sets going itself.
pub(crate) fn with_waits(job: &Job, plan: &Plan, row: &PlanRow, view: RowView) -> RowView {
    if view.status != "pending" {
        return view;
    }
    let on = row.waits.iter().filter_map(|(item, _)| {
        let (operation, wait) = wait_of(job, item)?;
        let over = goes_on(job, item, wait)?;
        let until = moment(over);
        let name = &operation.name;
        let text = format!(
            "{} {until}: {name} — it {} until then. {}",
            if wait.is_firm() { "Not before" } else { "Better not before" },
            wait.kind.phrase(),
            sooner(wait.kind)
        );
        Some(view_of(operation, wait, Some(until), text))
    });
    let not_before = on.collect();
    let starts = (row.action.verb == Verb::Do).then(|| starts(job, plan, &row.action.item)).flatten();
    RowView { not_before, starts, ..view }
}

fn view_of(operation: &Operation, wait: &Wait, until: Option<String>, text: String) -> WaitView {
    WaitView {
        after: operation.id.to_string(),
        kind: wait.kind.word(),
        minutes: minutes::shown(wait.minutes),
        provenance: wait.provenance.origin.word(),
        until,
        text,
    }
}

/// What an operation sets going, shortly: "it soaks for 8 h".
pub(crate) fn phrase(job: &Job, item: &ItemId) -> Option<String> {
    let (_, wait) = wait_of(job, item)?;
    Some(format!("it {} for {}", wait.kind.phrase(), span(wait.minutes)))
}

/// What an operation sets going, where something still to do waits for it.
fn starts(job: &Job, plan: &Plan, item: &ItemId) -> Option<WaitView> {
    let (operation, wait) = wait_of(job, item)?;
    let then = who_waits(job, plan, operation, wait)?;
    let typical = match wait.provenance.origin {
        Origin::Typical => format!(", typical: {}", says_more(wait.kind)),
        _ => wait.provenance.source.as_ref().map_or_else(String::new, |source| format!(", {source}")),
    };
    let long = span(wait.minutes);
    let text = format!("Then it {} for {long}{typical}. {then}.", wait.kind.phrase());
    Some(view_of(operation, wait, None, text))
}

/// Which rows to do wait for what goes on after an operation; `None` where nothing does.
fn who_waits(job: &Job, plan: &Plan, operation: &Operation, wait: &Wait) -> Option<String> {
    let pending = |row: &&PlanRow| row_status(&job.car, &job.state, &row.action) == RowStatus::Pending;
    let waiting =
        plan.rows.iter().filter(pending).filter(|row| row.waits.iter().any(|(on, _)| *on == operation.id));
    let names: Vec<String> = waiting.map(|row| text(job, &row.action)).collect();
    Some(match names.as_slice() {
        [] if wait.is_firm() => "The road check waits for it".to_owned(),
        [] => return None,
        [one] => format!("\"{one}\" waits for it; other work does not"),
        [one, two] => format!("\"{one}\" and \"{two}\" wait for it; other work does not"),
        [one, more @ ..] => {
            format!("\"{one}\" and {} more rows wait for it; other work does not", more.len())
        }
    })
}

/// What goes on now and is still waited for.
pub(crate) fn going_on(job: &Job, plan: &Plan) -> Vec<WaitView> {
    let going = job.car.operations.iter().filter_map(|operation| {
        let wait = operation.wait.as_ref()?;
        let until = moment(goes_on(job, &operation.id, wait)?);
        let then = who_waits(job, plan, operation, wait)?;
        let text = format!("{}: it {} until {until}. {then}.", capital(&operation.name), wait.kind.phrase());
        Some(view_of(operation, wait, Some(until), text))
    });
    going.collect()
}

/// What dries or cures and keeps the car off the road until it is over.
pub(crate) fn road_reasons(job: &Job) -> Vec<(ItemId, String)> {
    let firm = job.car.operations.iter().filter_map(|operation| Some((operation, operation.wait.as_ref()?)));
    let going = firm.filter(|(_, wait)| wait.is_firm()).filter_map(|(operation, wait)| {
        let until = moment(goes_on(job, &operation.id, wait)?);
        Some((operation.id.clone(), format!("{}: it {} until {until}", operation.name, wait.kind.phrase())))
    });
    going.collect()
}

/// What going on sooner costs: common practice, no source.
fn sooner(kind: WaitKind) -> &'static str {
    match kind {
        WaitKind::Soak => "Sooner is up to you: more may be stuck, and more may break.",
        WaitKind::Dry => {
            "Any sooner, it rubs off on what goes on, and rust starts there again; the road check waits all the same."
        }
        WaitKind::Cure => "Any sooner, it does not hold; the road check waits all the same.",
        WaitKind::Drain => "Any sooner, it runs over your hands, and the amount that you note is too small.",
    }
}

fn says_more(kind: WaitKind) -> &'static str {
    match kind {
        WaitKind::Soak => "overnight",
        WaitKind::Dry => "the tin says it exactly; a cold garage makes it longer",
        WaitKind::Cure => "the tube says it exactly; a cold garage makes it longer",
        WaitKind::Drain => "until it only drips",
    }
}

/// A moment for people, such as "Sun 29 Nov 14:05".
fn moment(moment: DateTime) -> String {
    moment.strftime("%a %-d %b %H:%M").to_string()
}

/// A stretch of time for people.
fn span(minutes: f64) -> String {
    let whole = minutes.round().max(0.0) as u64;
    match (whole / 60, whole % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest:02}"),
    }
}
