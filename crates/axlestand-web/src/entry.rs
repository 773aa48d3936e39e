//! A form that records something, sent by a browser without script.

use crate::access::Device;
use crate::app::Shared;
use crate::choices::Choices;
use crate::pages::form::{self, hidden};
use crate::pages::shell::{Frame, page};
use crate::pages::{address, step_address};
use crate::problem::{Problem, reasons};
use axlestand_garage::GarageError;
use axlestand_garage::delivery::{Command, Delivered, Delivery, RefusedBecause};
use axlestand_garage::views::HeadView;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::{Extension, Form};
use maud::{Markup, html};

/// Records what the form says, then shows what comes next, or why not.
pub(crate) async fn entry(
    State(app): State<Shared>,
    Extension(device): Extension<Device>,
    Path(job): Path<String>,
    choices: Choices,
    Form(mut fields): Form<Vec<(String, String)>>,
) -> Result<Response, Problem> {
    let id = taken(&mut fields, "id").filter(|id| !id.is_empty());
    let back = taken(&mut fields, "back").filter(|back| back.starts_with(&address(&job, "")));
    let command = Command::from_fields(&fields)?;
    let what = command.clone();
    let (device, of) = (device.name().to_owned(), job.clone());
    let (delivered, head) = app
        .record(Some(job), move |garage| {
            let id = id.map_or_else(|| garage.new_entry_id(), Ok)?;
            let mut delivery = Delivery { id, device, number: 0, age_ms: 0, command };
            let delivered = match garage.deliver(&delivery) {
                // The page was gone back to and filled in otherwise: that is another entry.
                Err(GarageError::Input(_)) => {
                    delivery.id = garage.new_entry_id()?;
                    garage.deliver(&delivery)
                }
                result => result,
            }?;
            if delivered.refusal.is_some() || !delivered.questions.is_empty() {
                // The person sees the reasons at once: nothing waits to be looked at.
                garage.looked_at(&delivered.id)?;
            }
            let job = garage.job()?;
            Ok((delivered, garage.head(&job)?))
        })
        .await?;
    Ok(answer(&of, &delivered, &what, &head, back, choices))
}

fn answer(
    job: &str,
    delivered: &Delivered,
    command: &Command,
    head: &HeadView,
    back: Option<String>,
    choices: Choices,
) -> Response {
    let asked = match command {
        Command::Done(done) => done.rows.first().cloned(),
        _ => None,
    };
    let trouble = match &delivered.refusal {
        None if delivered.questions.is_empty() => None,
        None => {
            Some(html! { ul.reasons { @for question in &delivered.questions { li { (question.text) } } } })
        }
        Some(refusal) => Some(reasons(refusal, Some(job))),
    };
    let Some(trouble) = trouble else {
        let told = delivered.entries.last().map_or_else(String::new, |id| format!("?told={id}"));
        let next = match command {
            Command::Stuck(remark) | Command::Broken(remark) | Command::Replaced(remark) => {
                crate::pages::item_address(job, &remark.item)
            }
            _ => address(job, &format!("now{told}")),
        };
        return Redirect::to(&back.unwrap_or(next)).into_response();
    };
    let body = html! {
        h1 { "Not recorded" }
        p { (command.text()) }
        (trouble)
        (gauged_again(job, command, &delivered.questions, back.as_deref()))
        p { a.button href=(asked.map_or_else(|| address(job, "now"), |step| step_address(job, &step))) { "Back" } }
    };
    let frame = Frame { title: "Not recorded", head: Some(head), here: "", choices };
    (StatusCode::CONFLICT, page(&frame, &body)).into_response()
}

/// The numbers off gauges that were not recorded, to be mended, or to be kept as they are where they were
/// looked at again.
fn gauged_again(job: &str, command: &Command, questions: &[RefusedBecause], back: Option<&str>) -> Markup {
    let Command::Gauge { readings, at, instrument, .. } = command else { return html! {} };
    let asked = |place: &str| questions.iter().any(|question| question.place.as_deref() == Some(place));
    let left = readings.iter().filter(|(place, _)| questions.is_empty() || asked(place));
    let inner = html! {
        @if readings.len() > questions.len() && !questions.is_empty() { p { "The other numbers are recorded." } }
        @if let Some(back) = back { (hidden("back", back)) }
        @if let Some(instrument) = instrument { (hidden("instrument", instrument)) }
        @for (place, value) in left {
            label.reading { span { (place) } input name=(format!("value.{place}")) value=(value) autocomplete="off"; }
        }
        @if let Some(at) = at { label { span { "Where" } input name="at" value=(at) autocomplete="off"; } }
        button.big type="submit" { "Record what stands here" }
        @if !questions.is_empty() { button.big type="submit" name="sure" value="yes" { "Looked at again and right: record it" } }
    };
    form::entry(job, "gauge", &inner)
}

/// Takes a field that is no part of the command.
fn taken(fields: &mut Vec<(String, String)>, name: &str) -> Option<String> {
    let at = fields.iter().position(|(field, _)| field == name)?;
    Some(fields.remove(at).1)
}
