//! Live updates: pages are told when the garage changed, by whichever process.

use crate::app::Shared;
use crate::problem::Problem;
use crate::serve::MakeClock;
use axlestand_garage::Garage;
use axum::extract::State;
use axum::response::sse::{Event, KeepAlive, Sse};
use std::convert::Infallible;
use std::path::PathBuf;
use std::time::Duration;
use tokio::sync::watch;
use tokio_stream::{Stream, StreamExt as _, wrappers::WatchStream};

/// How often the garage is looked at.
const LOOK: Duration = Duration::from_millis(250);

/// After how many quiet looks the log is carried over into the database file, and after how many more
/// that is tried again.
const QUIET: u32 = 2;
const MUCH_LATER: u32 = 40;

/// How soon a page asks again when the connection is lost.
const AGAIN: Duration = Duration::from_secs(1);

/// The garage's position as it grows.
pub(crate) struct Live {
    position: watch::Receiver<i64>,
}

impl Live {
    /// Looks at the garage on a thread of its own, until nobody listens.
    pub(crate) fn watch(folder: PathBuf, clock: MakeClock) -> Self {
        let (told, position) = watch::channel(0);
        std::thread::spawn(move || {
            let mut garage = None;
            // For how many looks nothing has happened.
            let mut quiet = 0_u32;
            while !told.is_closed() {
                if garage.is_none() {
                    garage = Garage::open(&folder, clock(), None).ok();
                }
                if garage.as_ref().is_some_and(|garage| !garage.is_in_its_place()) {
                    garage = None;
                }
                match garage.as_ref().map(Garage::position) {
                    Some(Ok(now)) => {
                        let changed = told.send_if_modified(|before| std::mem::replace(before, now) != now);
                        quiet = if changed { 0 } else { quiet.saturating_add(1) };
                        if quiet == QUIET || quiet % MUCH_LATER == MUCH_LATER - 1 {
                            // The log would grow as long as the app runs; where it cannot be carried
                            // over now, nothing is lost and it is tried again.
                            let _ = Garage::carry_over(&folder);
                        }
                    }
                    // The database was moved or its disk is gone: opened afresh next time.
                    Some(Err(_)) => garage = None,
                    None => {}
                }
                std::thread::sleep(LOOK);
            }
        });
        Self { position }
    }
}

/// Tells a page which garage answers, then its position, now and whenever it grows.
pub(crate) async fn events(
    State(app): State<Shared>,
) -> Result<Sse<impl Stream<Item = Result<Event, Infallible>> + use<>>, Problem> {
    let identity = app.garage(None, Garage::identity).await?;
    let hello = serde_json::json!({ "garage": identity, "app": app.way.is_some() }).to_string();
    let hello = tokio_stream::once(Ok(Event::default().event("hello").retry(AGAIN).data(hello)));
    let positions = WatchStream::new(app.live.position.clone());
    let events = positions.map(|position| Ok(Event::default().event("position").data(position.to_string())));
    let events = hello.chain(events);
    Ok(Sse::new(events).keep_alive(KeepAlive::new().interval(Duration::from_secs(15))))
}
