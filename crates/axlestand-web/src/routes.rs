//! Which address is answered by what.

use crate::access::{self, guard};
use crate::app::Shared;
use crate::pages::{corner, devices, handover, home, item, ledger, look, open, settings, stage, work};
use crate::problem::Problem;
use crate::{assets, deliver, entry, kept, live, phone};
use axum::Router;
use axum::extract::{DefaultBodyLimit, Path};
use axum::http::{StatusCode, Uri};
use axum::middleware::from_fn_with_state;
use axum::response::Redirect;
use axum::routing::{get, post};

/// The most that a form or a queue may send, bytes.
const MOST: usize = 512 * 1024;

pub(crate) fn routes(app: Shared) -> Router {
    let job = Router::new()
        .route("/", get(to_now))
        .route("/now", get(work::now))
        .route("/open", get(open::open))
        .route("/corner", get(corner::corner))
        .route("/item/{item}", get(item::item))
        .route("/ledger", get(ledger::ledger))
        .route("/look", get(look::look))
        .route("/look/{id}", post(look::looked))
        .route("/entry", post(entry::entry))
        .route("/kept", post(kept::kept))
        .route("/{stage}", get(stage::stage));
    Router::new()
        .route("/", get(home::home))
        .route("/a/{version}/{name}", get(assets::file))
        .route("/pair", get(access::pair_page).post(access::pair))
        .route("/phone", get(phone::guide))
        .route("/phone/axlestand-ca.crt", get(phone::authority_file))
        .route("/settings", get(settings::settings).post(settings::keep))
        .route("/devices", get(devices::devices))
        .route("/devices/{id}", post(devices::shut))
        .route("/deliver", post(deliver::deliver))
        .route("/seen", post(deliver::seen))
        .route("/handover", get(handover::handover).post(handover::take))
        .route("/live", get(live::events))
        .nest("/job/{job}", job)
        .fallback(nothing_here)
        .method_not_allowed_fallback(wrong_method)
        .layer(DefaultBodyLimit::max(MOST))
        .layer(from_fn_with_state(app.clone(), guard))
        .with_state(app)
}

async fn to_now(Path(job): Path<String>) -> Redirect {
    Redirect::to(&crate::pages::address(&job, "now"))
}

async fn nothing_here(uri: Uri) -> Problem {
    Problem::not_here(uri.path())
}

async fn wrong_method() -> Problem {
    let text = "This address does not do that.";
    Problem::new(
        StatusCode::METHOD_NOT_ALLOWED,
        "Not like this",
        text,
        "Go to the start and choose from there.",
    )
}
