//! What a device's queue delivers: many entries at once, each answered for itself.

use crate::access::Device;
use crate::app::Shared;
use crate::problem::Problem;
use axlestand_garage::GarageError;
use axlestand_garage::delivery::{Command, Delivered, Delivery, refusal_of};
use axum::extract::State;
use axum::{Extension, Json};
use serde::{Deserialize, Serialize};

/// Entries that are taken at once.
const MOST: usize = 50;

/// A queue's entries, the oldest first.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Batch {
    /// The queue: made once on the device and kept there.
    queue: String,
    /// When this was sent, by the device's clock, ms.
    sent: f64,
    entries: Vec<Queued>,
}

/// One entry as it stood in the queue.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Queued {
    id: String,
    number: i64,
    job: String,
    /// When it was made, by the device's clock, ms.
    made: f64,
    fields: Vec<(String, String)>,
}

/// What became of each entry; what is not in it stays in the queue.
#[derive(Debug, Serialize)]
pub(crate) struct Answers {
    answers: Vec<Delivered>,
    /// Why the rest was not taken now; sending it again later may succeed.
    later: Option<String>,
}

/// Takes a batch. Each answer is durable when it is sent.
pub(crate) async fn deliver(
    State(app): State<Shared>,
    Extension(device): Extension<Device>,
    Json(batch): Json<Batch>,
) -> Result<Json<Answers>, Problem> {
    let name = format!("{}/{}", device.name(), batch.queue.get(..12).unwrap_or(&batch.queue));
    let mut answers = Answers { answers: Vec::new(), later: None };
    for queued in batch.entries.into_iter().take(MOST) {
        let (id, job) = (queued.id.clone(), queued.job.clone());
        let command = match Command::from_fields(&queued.fields) {
            Ok(command) => command,
            Err(why) => {
                answers.answers.push(Delivered::not_understood(&id, refusal_of(&why)));
                continue;
            }
        };
        let age_ms = age(batch.sent, queued.made);
        let delivery =
            Delivery { id: queued.id, device: name.clone(), number: queued.number, age_ms, command };
        let result = app
            .garage(Some(job), move |garage| match garage.deliver(&delivery) {
                Err(why) if !why.is_of_the_machine() => {
                    Ok(Delivered::not_understood(&delivery.id, refusal_of(&why)))
                }
                result => result,
            })
            .await;
        match result {
            Ok(delivered) => answers.answers.push(delivered),
            Err(problem) if answers.answers.is_empty() && problem.status.is_client_error() => {
                return Err(problem);
            }
            Err(problem) => {
                answers.later = Some(problem.text());
                break;
            }
        }
    }
    Ok(Json(answers))
}

/// How long ago an entry was made when it was sent, ms.
fn age(sent: f64, made: f64) -> u64 {
    let age = sent - made;
    // Saturating: what is no number or negative was made just now.
    if age.is_finite() && age > 0.0 { age as u64 } else { 0 }
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
    app.garage(Some(job), move |garage| match garage.looked_at(&id) {
        // Put aside on another device meanwhile.
        Err(GarageError::Selection(_)) => Ok(()),
        result => result,
    })
    .await
}
