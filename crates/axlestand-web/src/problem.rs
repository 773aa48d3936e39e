//! What goes wrong, as a page: what, why, what to do.

use crate::choices::Choices;
use crate::pages::plain::on_page;
use crate::pages::shell::{Frame, page};
use axlestand_garage::GarageError;
use axlestand_garage::delivery::{RefusalView, refusal_of};
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use maud::{Markup, html};
use std::path::Path;

/// A request that cannot be answered as asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Problem {
    pub(crate) status: StatusCode,
    pub(crate) title: &'static str,
    pub(crate) refusal: RefusalView,
}

impl Problem {
    /// A problem in one sentence, with what to do.
    pub(crate) fn new(status: StatusCode, title: &'static str, text: impl Into<String>, hint: &str) -> Self {
        let because = axlestand_garage::delivery::RefusedBecause::new(text);
        let hint = (!hint.is_empty()).then(|| hint.to_owned());
        Self { status, title, refusal: RefusalView { reasons: vec![because], hint } }
    }

    pub(crate) fn not_here(what: &str) -> Self {
        let text = format!("There is nothing at this address: {what}.");
        Self::new(StatusCode::NOT_FOUND, "Not here", text, "Go to the start and choose from there.")
    }

    pub(crate) fn of_the_program() -> Self {
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "The program failed",
            "Something in Axlestand broke while it answered; what was recorded before is safe.",
            "Load the page again. If it fails again, use the command line and keep the garage's folder as it is.",
        )
    }

    /// The database was there when serving began and is not now: a device keeps what it has and asks again.
    fn garage_away(folder: &Path) -> Self {
        let text = format!("The garage's database is not in its folder any more ({}).", folder.display());
        Self::new(
            StatusCode::SERVICE_UNAVAILABLE,
            "The garage is away",
            text,
            "Look whether its disk is there and whether somebody moved it, put it back, and do it again.",
        )
    }

    /// The reasons as text.
    pub(crate) fn text(&self) -> String {
        self.refusal.reasons.iter().map(|reason| reason.text.as_str()).collect::<Vec<_>>().join("; ")
    }
}

impl From<GarageError> for Problem {
    fn from(error: GarageError) -> Self {
        if let GarageError::NoGarage(folder) = &error {
            return Self::garage_away(folder);
        }
        let (status, title) = match &error {
            GarageError::Refused(_)
            | GarageError::Stays(_)
            | GarageError::Kept(_)
            | GarageError::ReadSince(_) => (StatusCode::CONFLICT, "Not now"),
            GarageError::NoJob(_) => (StatusCode::NOT_FOUND, "No such job"),
            GarageError::Selection(_) | GarageError::Name(_) => (StatusCode::NOT_FOUND, "Not in this job"),
            GarageError::Busy => (StatusCode::SERVICE_UNAVAILABLE, "The garage is busy"),
            GarageError::DiskFull => (StatusCode::INSUFFICIENT_STORAGE, "The disk is full"),
            why if why.is_of_the_machine() => {
                (StatusCode::INTERNAL_SERVER_ERROR, "The garage cannot be used")
            }
            _ => (StatusCode::UNPROCESSABLE_ENTITY, "Not understood"),
        };
        Self { status, title, refusal: refusal_of(&error) }
    }
}

/// The reasons, each with what has to be done first.
pub(crate) fn reasons(refusal: &RefusalView, job: Option<&str>) -> Markup {
    html! {
        ul.reasons {
            @for reason in &refusal.reasons {
                li {
                    (on_page(&reason.text))
                    @if let (Some(first), Some(job)) = (&reason.first, job) {
                        " " a.do-first href=(crate::pages::step_address(job, first)) { "Do this first" }
                    }
                }
            }
        }
        @if let Some(hint) = &refusal.hint { p { (on_page(hint)) } }
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let body = html! {
            h1 { (self.title) }
            (reasons(&self.refusal, None))
            p { a.button href="/" { "To the start" } }
        };
        let frame = Frame { title: self.title, head: None, here: "", choices: Choices::default() };
        (self.status, Html(page(&frame, &body).into_string())).into_response()
    }
}

/// The page for what is larger than the server takes, in place of the bare words of the library.
pub(crate) async fn too_large(response: Response) -> Response {
    let kind = response.headers().get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok());
    let is_page = kind.is_some_and(|kind| kind.starts_with("text/html"));
    if is_page || response.status() != StatusCode::PAYLOAD_TOO_LARGE {
        return response;
    }
    Problem::new(
        StatusCode::PAYLOAD_TOO_LARGE,
        "Too large",
        "What was sent is larger than is taken at once. Nothing of it was recorded.",
        "Go back and send less: a shorter text, a smaller picture or file.",
    )
    .into_response()
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};
    use axum::http::StatusCode;

    #[test]
    fn a_garage_that_is_moved_away_is_told_so_and_is_back_with_its_database() {
        let bench = Workbench::with_job();
        let page = format!("/job/{JOB}/now");
        let entry = format!("/job/{JOB}/entry");
        let (there, away) = (bench.path(), bench.path().with_extension("away"));
        assert_eq!(bench.get(&page).status, StatusCode::OK);
        std::fs::rename(&there, &away).unwrap();
        for answer in
            [bench.get(&page), bench.post(&entry, &[("do", "state"), ("rods", "ahead"), ("back", &page)])]
        {
            // 503: a device goes on with what it keeps, and sends again later.
            assert_eq!(answer.status, StatusCode::SERVICE_UNAVAILABLE);
            let text = answer.page();
            assert!(text.contains("is not in its folder any more"), "{text}");
            assert!(text.contains("put it back, and do it again"), "{text}");
            assert!(!text.contains("start a job"), "{text}");
        }
        std::fs::rename(&away, &there).unwrap();
        assert_eq!(bench.get(&page).status, StatusCode::OK);
    }
}
