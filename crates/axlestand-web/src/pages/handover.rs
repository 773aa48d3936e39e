//! A queue that cannot be sent is handed over by hand: as a file or as text, from the phone, and to the
//! garage.

use super::shell::{Frame, page};
use crate::access::Device;
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::{Problem, reasons};
use axlestand_garage::delivery::{HandedOver, MOST_QUEUE, Queue};
use axum::Extension;
use axum::extract::{Multipart, State};
use axum::http::StatusCode;
use maud::{Markup, html};

pub(crate) async fn handover(choices: Choices) -> Markup {
    handover_page(choices)
}

pub(crate) fn handover_page(choices: Choices) -> Markup {
    let body = html! {
        h1 { "Not sent yet" }
        p { "What is recorded without the server waits on this phone, in this browser, and is sent by itself as soon as the server answers. Keep this browser’s data until then." }
        section data-handover { noscript { p { "What waits is shown by script, which is switched off here." } } }
        p { a.button href="/" { "Back to the work" } }
        h2 { "Give the garage what a phone handed over" }
        p.quiet { "Recorded once, however often it is given." }
        form method="post" action="/handover" enctype="multipart/form-data" {
            label { span { "The file" } input type="file" name="file" accept=".json,application/json"; }
            label { span { "or its text" } textarea name="text" rows="4" autocomplete="off" spellcheck="false" {} }
            button.big type="submit" { "Record it" }
        }
    };
    page(&Frame { title: "Not sent yet", head: None, here: "", choices }, &body)
}

/// Takes a queue that is handed over.
pub(crate) async fn take(
    State(app): State<Shared>,
    Extension(device): Extension<Device>,
    choices: Choices,
    mut form: Multipart,
) -> Result<Markup, Problem> {
    let unread = |_| {
        let most = MOST_QUEUE / 1024 / 1024;
        let text = format!("The form did not arrive whole, or it holds more than {most} MB.");
        Problem::new(
            StatusCode::BAD_REQUEST,
            "Not read",
            text,
            "Try again with one file that the phone made.",
        )
    };
    let mut given = String::new();
    while let Some(field) = form.next_field().await.map_err(unread)? {
        let bytes = field.bytes().await.map_err(unread)?;
        if given.trim().is_empty() {
            given = String::from_utf8_lossy(&bytes).into_owned();
        }
    }
    if given.trim().is_empty() {
        let text = "No file was chosen and no text was given.";
        return Err(Problem::new(
            StatusCode::BAD_REQUEST,
            "Nothing there",
            text,
            "Go back and choose the file.",
        ));
    }
    let queue = Queue::read(&given)?;
    let told = app.garage(None, move |garage| garage.hand_over(&queue, device.name())).await?;
    Ok(taken_page(&told, choices))
}

pub(crate) fn taken_page(told: &HandedOver, choices: Choices) -> Markup {
    let body = html! {
        h1 { @if told.is_whole() { "All of it is recorded" } @else { "Not all of it is recorded" } }
        p { (told.recorded) " recorded now, " (told.known) " were there before." }
        @for remark in &told.remarks { p.not-yet { "Recorded, and needs a look: " (remark) } }
        @if told.taken_back > 0 { p { (told.taken_back) " were taken back on the phone: they do not count." } }
        @if told.elsewhere > 0 {
            p.not-yet { (told.elsewhere) " belong to another garage: give the file to that one." }
        }
        @if !told.to_look_at.is_empty() {
            h2 { "Needs a look: " (told.to_look_at.len()) }
            @for one in &told.to_look_at { div.waiting { p { (one.what) } (reasons(&one.refusal, None)) } }
        }
        p { a.button href="/" { "To the work" } }
    };
    page(&Frame { title: "Handed over", head: None, here: "", choices }, &body)
}
