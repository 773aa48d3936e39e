//! Photos: taking one at a step, seeing those of the same thing where it goes back.

use super::form::{hidden, line};
use super::{address, step_address};
use crate::access::Device;
use crate::app::Shared;
use crate::problem::Problem;
use axlestand_garage::delivery::{Command, Delivery};
use axlestand_garage::photos::{MOST_BYTES, PhotoView};
use axlestand_garage::{GarageError, new_id};
use axum::Extension;
use axum::body::Bytes;
use axum::extract::multipart::MultipartRejection;
use axum::extract::{Multipart, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};

/// A form that sends a photo of a step. The script sends it through its queue.
pub(crate) fn photo_form(job: &str, step: &str) -> Markup {
    // Without chance there is no id: the server then makes one, and sending twice is not noticed.
    let id = new_id().unwrap_or_default();
    html! {
        form.entry method="post" enctype="multipart/form-data" action=(address(job, "photo")) data-photo {
            (hidden("id", &id))
            (hidden("step", step))
            label { span { "Photo, taken now or chosen" } input type="file" name="file" accept="image/jpeg,image/png,image/webp" required; }
            (line("What it shows", "note", "cable behind the strut", false))
            button type="submit" { "Keep the photo" }
        }
    }
}

/// Photos as they stand at a step.
pub(crate) fn photo_strip(photos: &[PhotoView]) -> Markup {
    html! {
        @if !photos.is_empty() {
            ul.photos {
                @for photo in photos {
                    li {
                        a href=(photo_address(&photo.file)) { img src=(photo_address(&photo.file)) alt=(shown(photo)) loading="lazy"; }
                        p.quiet { (shown(photo)) }
                    }
                }
            }
        }
    }
}

fn photo_address(file: &str) -> String {
    format!("/photo/{file}")
}

/// What a photo shows, in words.
fn shown(photo: &PhotoView) -> String {
    let at = photo.at.get(..16).unwrap_or(&photo.at).replace('T', " ");
    let what = photo.note.as_deref().or(photo.action.as_deref()).unwrap_or("photo");
    format!("{what}, {at}")
}

/// A photo's bytes.
pub(crate) async fn photo(State(app): State<Shared>, Path(file): Path<String>) -> Result<Response, Problem> {
    let bytes = app.garage(None, move |garage| garage.photo(&file)).await?;
    // A photo's name is never used for another one.
    let headers = [
        (header::CONTENT_TYPE, "image/jpeg"),
        (header::CACHE_CONTROL, "private, max-age=31536000, immutable"),
    ];
    Ok((headers, bytes).into_response())
}

/// Keeps the bytes of a photo under the id in the address; the entry that names it comes by the queue.
pub(crate) async fn keep(
    State(app): State<Shared>,
    Path(id): Path<String>,
    bytes: Bytes,
) -> Result<String, Problem> {
    app.garage(None, move |garage| garage.keep_photo(&id, &bytes)).await
}

/// A photo from a form without script.
pub(crate) async fn form(
    State(app): State<Shared>,
    Extension(device): Extension<Device>,
    Path(job): Path<String>,
    sent: Result<Multipart, MultipartRejection>,
) -> Result<Redirect, Problem> {
    let sent = read(sent.map_err(|why| not_read(&why.body_text()))?).await?;
    let back = match &sent.step {
        Some(step) => step_address(&job, step),
        None => address(&job, "now"),
    };
    let device = device.name().to_owned();
    let to_look_at = address(&job, "look");
    let sent = app.garage(Some(job), move |garage| {
        let mut id = if sent.id.is_empty() { garage.new_entry_id()? } else { sent.id };
        let file = match garage.keep_photo(&id, &sent.bytes) {
            // The page was gone back to and another picture chosen: that is another photo.
            Err(GarageError::Input(_)) => {
                id = garage.new_entry_id()?;
                garage.keep_photo(&id, &sent.bytes)?
            }
            kept => kept?,
        };
        let command = Command::Photo { step: sent.step, file, note: sent.note };
        let mut delivery = Delivery { id, device, number: 0, age_ms: 0, command };
        match garage.deliver(&delivery) {
            // Or another note or step: that is another entry about the same picture.
            Err(GarageError::Input(_)) => {
                delivery.id = garage.new_entry_id()?;
                garage.deliver(&delivery)
            }
            result => result,
        }
    });
    // One whose step is not there any more is kept for a person to look at.
    let is_kept_apart = sent.await?.refusal.is_some();
    Ok(Redirect::to(if is_kept_apart { &to_look_at } else { &back }))
}

/// What the form brought.
#[derive(Default)]
struct Sent {
    id: String,
    step: Option<String>,
    note: Option<String>,
    bytes: Vec<u8>,
}

async fn read(mut parts: Multipart) -> Result<Sent, Problem> {
    let mut sent = Sent::default();
    while let Some(part) = parts.next_field().await.map_err(|why| not_read(&why.body_text()))? {
        let name = part.name().unwrap_or_default().to_owned();
        let bytes = part.bytes().await.map_err(|why| not_read(&why.body_text()))?;
        let text = || Some(String::from_utf8_lossy(&bytes).trim().to_owned()).filter(|text| !text.is_empty());
        match name.as_str() {
            "id" => sent.id = text().unwrap_or_default(),
            "step" => sent.step = text(),
            "note" => sent.note = text(),
            "file" => sent.bytes = bytes.to_vec(),
            _ => {}
        }
    }
    Ok(sent)
}

fn not_read(why: &str) -> Problem {
    let most = MOST_BYTES / 1024 / 1024;
    let text = format!("The photo did not arrive: {why}.");
    let hint = format!("Choose a picture of at most {most} MB and send it again.");
    Problem::new(StatusCode::BAD_REQUEST, "No photo", text, &hint)
}
