//! What a device's queue delivers: many entries at once, each answered for itself.

use crate::access::Device;
use crate::app::Shared;
use crate::pages::plain::on_page;
use crate::problem::Problem;
use axlestand_garage::GarageError;
use axlestand_garage::delivery::{Queue, QueueAnswer};
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::{Extension, Json};
use serde::{Deserialize, Serialize};

/// Entries that are taken at once.
const MOST: usize = 50;

/// What became of a batch.
#[derive(Debug, Serialize)]
pub(crate) struct Answers {
    /// One for each entry, in their order, as far as they were taken.
    answers: Vec<QueueAnswer>,
    /// Why the rest was not taken now; sending it again later may succeed.
    later: Option<String>,
}

/// Takes a batch. Each answer is durable when it is sent.
pub(crate) async fn deliver(
    State(app): State<Shared>,
    Extension(device): Extension<Device>,
    headers: HeaderMap,
    text: String,
) -> Result<Json<Answers>, Problem> {
    // A foreign page may send text without being asked whether it may, but no JSON.
    let kind = headers.get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default();
    if !kind.starts_with("application/json") {
        let text = "A queue is sent as JSON.";
        return Err(Problem::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "Not JSON",
            text,
            "Load the page again.",
        ));
    }
    let queue = Queue::read(&text).map_err(|why| Problem { status: unread(&text), ..Problem::from(why) })?;
    let name = queue.sender(device.name());
    let mut answers = Answers { answers: Vec::new(), later: None };
    for entry in queue.entries.into_iter().take(MOST) {
        let (name, sent) = (name.clone(), queue.sent);
        match app.record(None, move |garage| garage.deliver_queued(&entry, &name, sent)).await {
            Ok(answer) => answers.answers.push(said_on_page(answer)),
            Err(problem) => {
                answers.later = Some(problem.text());
                break;
            }
        }
    }
    Ok(Json(answers))
}

/// The answer as the page shows it to the person who made the entry.
fn said_on_page(answer: QueueAnswer) -> QueueAnswer {
    let QueueAnswer::Taken(mut delivered) = answer else { return answer };
    if let Some(refusal) = &mut delivered.refusal {
        for reason in &mut refusal.reasons {
            reason.text = on_page(&reason.text);
        }
        refusal.hint = refusal.hint.as_deref().map(on_page);
    }
    for question in &mut delivered.questions {
        question.text = on_page(&question.text);
    }
    QueueAnswer::Taken(delivered)
}

/// What a queue that is not read is answered with: what is no JSON will never be read, so that the device
/// sends its entries one by one; another version may be read by a newer build, so that it waits.
fn unread(text: &str) -> StatusCode {
    let is_json = serde_json::from_str::<serde::de::IgnoredAny>(text).is_ok();
    if is_json { StatusCode::CONFLICT } else { StatusCode::BAD_REQUEST }
}

/// What the page that showed a refusal says.
#[derive(Debug, Deserialize)]
pub(crate) struct Seen {
    job: String,
    id: String,
}

/// The device showed a refusal at once to the person who made the entry.
pub(crate) async fn seen(State(app): State<Shared>, Json(seen): Json<Seen>) -> Result<(), Problem> {
    let Seen { job, id } = seen;
    app.record(Some(job), move |garage| match garage.looked_at(&id) {
        // Put aside on another device meanwhile.
        Err(GarageError::Selection(_)) => Ok(()),
        result => result,
    })
    .await
}
