//! Which address is answered by what.

use crate::access::{self, guard};
use crate::app::Shared;
use crate::pages::{
    assume, calc, car, cars, changes, corner, curves, devices, forecast, guide, handover, height, home, item,
    learn, ledger, look, open, photo, prepare, prove, routes as parts, set, settings, sheets, stage, start,
    work,
};
use crate::problem::{Problem, too_large};
use crate::{assets, deliver, entry, kept, live, phone};
use axlestand_garage::delivery::MOST_QUEUE;
use axlestand_garage::photos::MOST_BYTES;
use axum::Router;
use axum::extract::{DefaultBodyLimit, Path};
use axum::http::{StatusCode, Uri};
use axum::middleware::{from_fn_with_state, map_response};
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
        .route("/changes", get(changes::changes))
        .route("/look", get(look::look))
        .route("/look/{id}", post(look::looked))
        .route("/entry", post(entry::entry))
        .route("/kept", post(kept::kept))
        .route("/photo", post(photo::form).layer(DefaultBodyLimit::max(MOST_BYTES + MOST)))
        .route("/car", get(car::of_job).post(car::write_of_job))
        .route("/prepare", get(prepare::stage))
        .route("/forecast", get(forecast::forecast))
        .route("/assume", get(assume::shown).post(assume::write))
        .route("/set", get(set::stage))
        .route("/read", get(guide::read))
        .route("/prove", get(prove::stage))
        .route("/report", get(prove::report_of))
        .route("/sheets", get(sheets::sheets))
        .route("/sheet/{file}", get(sheets::make))
        .route("/height", get(height::heights))
        .route("/routes", get(parts::routes))
        .route("/curves", get(curves::curves))
        .route("/learn", get(learn::lessons).post(learn::write))
        .route("/{stage}", get(stage::stage));
    Router::new()
        .route("/", get(home::home))
        .route("/a/{version}/{name}", get(assets::file))
        .route("/pair", get(access::pair_page).post(access::pair))
        .route("/phone", get(phone::guide))
        .route("/phone/axlestand-ca.crt", get(phone::authority_file))
        .route("/settings", get(settings::settings).post(settings::keep))
        .route("/let-in", get(access::let_in).post(access::make_code))
        .route("/devices", get(devices::devices))
        .route("/devices/{id}", post(devices::shut))
        .route("/photo/{file}", get(photo::photo).post(photo::keep).layer(DefaultBodyLimit::max(MOST_BYTES)))
        .route("/deliver", post(deliver::deliver))
        .route("/seen", post(deliver::seen))
        .route(
            "/handover",
            get(handover::handover).post(handover::take).layer(DefaultBodyLimit::max(MOST_QUEUE + MOST)),
        )
        .route("/live", get(live::events))
        .route("/cars", get(cars::cars))
        .route("/cars/new", get(cars::new).post(cars::make))
        .route("/cars/{file}", get(car::own).post(car::write_own))
        .route("/start", get(start::start).post(start::begin))
        .route("/calc", get(calc::subjects))
        .route("/calc/{what}", get(calc::calculate))
        .nest("/job/{job}", job)
        .fallback(nothing_here)
        .method_not_allowed_fallback(wrong_method)
        .layer(DefaultBodyLimit::max(MOST))
        .layer(map_response(too_large))
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
