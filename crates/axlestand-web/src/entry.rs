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
        (read_again(job, command, delivered, back.as_deref()))
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
        @if !questions.is_empty() { (sure()) }
    };
    form::entry(job, "gauge", &inner)
}

/// A reading of the vehicle file likewise; it may also correct the one from before the work.
fn read_again(job: &str, command: &Command, delivered: &Delivered, back: Option<&str>) -> Markup {
    let Command::Read { reading, value, correct, instrument, .. } = command else { return html! {} };
    let asked = !delivered.questions.is_empty();
    let stays = delivered.refusal.iter().flat_map(|refusal| &refusal.reasons).any(|why| why.place.is_some());
    let inner = html! {
        @if let Some(back) = back { (hidden("back", back)) }
        @if let Some(instrument) = instrument { (hidden("instrument", instrument)) }
        (hidden("reading", reading))
        label.reading { span { (reading) } input name="value" value=(value) autocomplete="off"; }
        button.big type="submit" { "Record what stands here" }
        @if asked { @if *correct { (hidden("correct", "yes")) } (sure()) }
        @if stays { button.big type="submit" name="correct" value="yes" { (MISTYPED) } }
    };
    form::entry(job, "read", &inner)
}

/// What the button says that corrects a reading from before the work.
const MISTYPED: &str = "The one before was mistyped: this was read then";

fn sure() -> Markup {
    html! { button.big type="submit" name="sure" value="yes" { "Looked at again and right: record it" } }
}

/// Takes a field that is no part of the command.
fn taken(fields: &mut Vec<(String, String)>, name: &str) -> Option<String> {
    let at = fields.iter().position(|(field, _)| field == name)?;
    Some(fields.remove(at).1)
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};
    use axlestand_garage::views::next;
    use axlestand_garage::{Details, ReadWith, Units};
    use axum::http::StatusCode;

    fn height(bench: &Workbench, value: &str, more: &[(&str, &str)]) -> (StatusCode, String) {
        let read = [("do", "read"), ("reading", "height-front.left"), ("unit.value", "mm"), ("value", value)];
        let answer = bench.post(&format!("/job/{JOB}/entry"), &[read.as_slice(), more].concat());
        (answer.status, answer.text())
    }

    /// Goes on by the plan until the car is on its stands.
    fn raise(bench: &Workbench) {
        let mut garage = bench.garage();
        let sure = ReadWith { sure: true, ..ReadWith::default() };
        while garage.job().unwrap().state.car_state.is_none() {
            let action = next(&garage.job().unwrap(), 1, Units::Metric).unwrap().rows[0].action.clone();
            match action.strip_prefix("read:") {
                Some(reading) if garage.read(reading, "30 mm", &sure).is_ok() => {}
                Some(reading) => drop(garage.read(reading, "0.1 °", &sure).unwrap()),
                None => drop(garage.done(&[action], &Details::default(), &[]).unwrap()),
            }
        }
    }

    #[test]
    fn a_reading_that_no_car_gives_is_asked_about_and_a_mistyped_one_corrected() {
        let bench = Workbench::with_job();
        let (status, page) = height(&bench, "35.7", &[]);
        assert_eq!(status, StatusCode::CONFLICT);
        for shown in ["is the unit right?", "value=\"35.7 mm\"", "name=\"sure\""] {
            assert!(page.contains(shown), "{shown}: {page}");
        }
        assert!(height(&bench, "35.7", &[("sure", "yes")]).0.is_redirection());
        raise(&bench);
        let (status, page) = height(&bench, "357", &[]);
        assert!(status == StatusCode::CONFLICT && page.contains("name=\"correct\""), "{page}");
        assert!(height(&bench, "357", &[("correct", "yes")]).0.is_redirection());
    }
}
