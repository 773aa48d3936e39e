//! When it will be done, what would bring that nearer, what to buy ahead.

use super::address;
use super::shell::{Frame, page};
use super::words::{about, count, percent};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::GarageError;
use axlestand_garage::forecast::{Ask, BuyView, EndView, ForecastView, LearntView};
use axlestand_garage::views::HeadView;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use maud::{Markup, html};

/// How many fields there are for hours of work.
const SESSIONS: usize = 3;

/// The form as it was filled in.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Typed {
    pub(crate) sessions: Vec<String>,
    pub(crate) from: String,
    pub(crate) by: String,
}

impl Typed {
    fn of(fields: Vec<(String, String)>) -> Self {
        let mut typed = Self::default();
        for (name, value) in fields {
            let value = value.trim().to_owned();
            match name.as_str() {
                "session" if !value.is_empty() => typed.sessions.push(value),
                "from" => typed.from = value,
                "by" => typed.by = value,
                _ => {}
            }
        }
        typed
    }

    fn ask(&self) -> Ask {
        let some = |text: &String| Some(text.clone()).filter(|text| !text.is_empty());
        Ask { sessions: self.sessions.clone(), from: some(&self.from), by: some(&self.by), ..Ask::default() }
    }
}

pub(crate) async fn forecast(
    State(app): State<Shared>,
    Path(job): Path<String>,
    Query(fields): Query<Vec<(String, String)>>,
    choices: Choices,
) -> Result<Response, Problem> {
    let typed = Typed::of(fields);
    let ask = typed.ask();
    let (head, view) = app
        .garage(Some(job), move |garage| {
            let view = match garage.forecast(&ask) {
                Err(why) if why.is_of_the_machine() => return Err(why),
                view => view.map_err(|why| said(&why)),
            };
            let job = garage.job()?;
            Ok((garage.head(&job)?, view))
        })
        .await?;
    let status = if view.is_ok() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    Ok((status, forecast_page(&head, &typed, view.as_ref(), choices)).into_response())
}

pub(crate) fn forecast_page(
    head: &HeadView,
    typed: &Typed,
    view: Result<&ForecastView, &String>,
    choices: Choices,
) -> Markup {
    let body = html! {
        h1 { "When it will be done" }
        @if let Err(why) = view { p.not-yet role="alert" { strong { (why) } } }
        @if let Ok(view) = view { (answer(view, typed)) }
        (form(head, typed))
        @if let Ok(view) = view { (rest(view)) }
        p { a.button href=(address(&head.job, "assume")) { "Your hours, prices and assumptions" } }
        p { a.button href=(address(&head.job, "routes")) { "Repair or replace: compare the routes" } }
        p { a.button href=(address(&head.job, "prepare")) { "Prepare" } }
    };
    page(&Frame { title: "Forecast", head: Some(head), here: "prepare", choices }, &body)
}

/// What the garage says, and what to do.
fn said(why: &GarageError) -> String {
    why.hint().map_or_else(|| why.to_string(), |hint| format!("{why}: {hint}"))
}

fn form(head: &HeadView, typed: &Typed) -> Markup {
    let session = |at: usize| typed.sessions.get(at).map_or("", String::as_str);
    html! {
        form.field method="get" action=(address(&head.job, "forecast")) {
            h2 { "When do you work?" }
            @for at in 0..SESSIONS.max(typed.sessions.len() + 1) {
                label { span { "Days and hours" @if at > 0 { ", also" } } input name="session" value=(session(at)) placeholder="Sat 9-18" autocomplete="off"; }
            }
            label { span { "Work begins" } input name="from" value=(typed.from) placeholder="now" autocomplete="off"; }
            label { span { "It has to be done by" } input name="by" value=(typed.by) placeholder="Mon 7:00" autocomplete="off"; }
            button type="submit" { "Reckon" }
        }
    }
}

fn answer(view: &ForecastView, typed: &Typed) -> Markup {
    let taught = !view.learnt.is_empty() || view.pace_rows > 0;
    html! {
        @if view.rows == 0 { p { "Every row is done or left out: there is nothing to forecast." } } @else {
            p.quiet { @if taught { "From typical assumptions, corrected by what this car showed; the garage is less tidy than the arithmetic." } @else { "From typical assumptions alone: nothing is known about this car yet. Take it as a rough guess." } }
            @if let Some(chance) = view.chance { p.big-line { "Done by " (view.by.as_ref().unwrap_or(&typed.by)) ": " strong { (percent(chance)) } } }
            @if view.chance.is_some_and(|chance| chance < 0.8) { p.caution { "Less than four of five: plan where to stop with the car safe on its wheels or on stands." } }
            dl.ends {
                dt { "if nothing were stuck" } dd { (about(view.undisturbed)) " or less, in half of the runs" }
                @for end in &view.ends { (end_line(end, view)) }
            }
            @if let Some(start) = &view.start { p { "Work begins " (start) "." } }
            p { "Chance that work stops for a part that is not there: " strong { (percent(view.stop)) } }
        }
    }
}

fn end_line(end: &EndView, view: &ForecastView) -> Markup {
    let runs = match (end.fraction * 100.0).round() as u32 {
        50 => "in half of the runs".to_owned(),
        80 => "in four of five".to_owned(),
        95 => "in nineteen of twenty".to_owned(),
        other => format!("in {other} % of the runs"),
    };
    html! {
        dt { (runs) }
        dd {
            (about(end.minutes)) " or less"
            @match (&end.when, view.sessions.is_empty()) {
                (Some(when), _) => { ": done by " strong { (when) } },
                (None, false) => ": later than the hours you gave",
                (None, true) => "",
            }
        }
    }
}

fn rest(view: &ForecastView) -> Markup {
    html! {
        @if !view.learnt.is_empty() || view.pace_rows > 0 {
            h2 { "What this car has shown" }
            ul { @for learnt in &view.learnt { li { (learnt_line(learnt)) } } @if view.pace_rows > 0 { li { "By the times in the ledger of " (count(view.pace_rows, "row")) ", work takes " (pace(view.pace)) "." } } }
        }
        @if !view.sides.is_empty() {
            p { @for side in &view.sides { (side.side) ": " (about(side.from)) " to " (about(side.to)) " in eight of ten. " } }
        }
        @if !view.levers.is_empty() {
            h2 { "What would help most" }
            ul { @for lever in &view.levers { li { (lever.what) ": " (lever.brings) } } }
        }
        @if !view.buy.is_empty() {
            h2 { "What may be needed besides the shopping list" }
            p.quiet { @if view.buy_proven { "Decided together, one trip for all that is missing: no other choice costs less on average by these numbers." } @else { "Decided together, one trip for all that is missing: the best choice found, not proven to be the best." } }
            @for thing in &view.buy { (thing_lines(thing)) }
        }
        details {
            summary { "What is assumed (" (view.samples) " runs)" }
            dl { @for one in &view.assumptions { dt { (one.what) } dd { (one.value) " " span.source { "[" (one.provenance) @if let Some(from) = &one.from { ": " (from) } "]" } } } }
            p.quiet { "The chances of being stuck come from exposure and rust grade (typical), or from the vehicle file. Each run takes one chance of being stuck for the whole car: things of one exposure tend to be stuck together." }
        }
        @for note in &view.notes { p.quiet { "Note: " (note) "." } }
    }
}

fn pace(pace: f64) -> String {
    match pace {
        p if p > 1.05 => format!("{:.0} % longer than planned", (p - 1.0) * 100.0),
        p if p < 0.95 => format!("{:.0} % shorter than planned", (1.0 - p) * 100.0),
        _ => "as planned".to_owned(),
    }
}

fn learnt_line(learnt: &LearntView) -> String {
    let broke = if learnt.broken > 0 { format!(", {} broke", learnt.broken) } else { String::new() };
    format!(
        "{}: {} of {} stuck{broke}; the next one with a chance of {} (assumed before: {})",
        learnt.exposure,
        learnt.stuck,
        learnt.stuck + learnt.free,
        percent(learnt.chance),
        percent(learnt.assumed)
    )
}

fn thing_lines(thing: &BuyView) -> Markup {
    html! {
        details {
            summary { b { (percent(thing.chance)) } " " (thing.name) ": " (thing.say) }
            dl { @for line in &thing.arithmetic { dt { (line.what) } dd { (line.how) } } }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};
    use axum::http::StatusCode;

    #[test]
    fn it_tells_ends_levers_and_what_to_buy_with_the_arithmetic() {
        let bench = Workbench::with_job();
        let page = bench
            .get(&format!(
                "/job/{JOB}/forecast?session=Sat+9-18&session=&session=Sun+9-17&by=2099-01-05+7:00"
            ))
            .page();
        for shown in [
            "Done by",
            "in four of five",
            "What would help most",
            "besides the shopping list",
            "chance of needing so many",
            "What is assumed",
            "value=\"Sun 9-17\"",
        ] {
            assert!(page.contains(shown), "{shown}: {page}");
        }
    }

    #[test]
    fn what_is_not_understood_is_said_and_kept() {
        let bench = Workbench::with_job();
        for (query, said) in [
            ("by=2099-01-05+7:00", "say when, as often as needed"),
            ("session=whenever", "whenever"),
            ("session=Sat+9-18&from=soon", "soon"),
        ] {
            let answer = bench.get(&format!("/job/{JOB}/forecast?{query}"));
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
            let page = answer.page();
            assert!(page.contains(said) && page.contains("role=\"alert\""), "{query}");
            assert!(!page.contains("--session"));
        }
    }
}
