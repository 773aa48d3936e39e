//! The start: the jobs of this garage.

use super::address;
use super::shell::{Frame, page};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};

pub(crate) async fn home(State(app): State<Shared>, choices: Choices) -> Result<Response, Problem> {
    let (jobs, current) = app.garage(None, |garage| Ok((garage.jobs()?, garage.current_job().ok()))).await?;
    if let ([only], Some(_)) = (jobs.as_slice(), &current) {
        return Ok(Redirect::to(&address(only, "now")).into_response());
    }
    Ok(home_page(&jobs, current.as_deref(), choices).into_response())
}

pub(crate) fn home_page(jobs: &[String], current: Option<&str>, choices: Choices) -> Markup {
    let body = html! {
        h1 { "Axlestand" }
        p { "Prepare, Strip, Refit, Set, Prove: a suspension overhaul at home, from the first look to the road." }
        @if jobs.is_empty() { p { "There is no job in this garage yet." } }
        ul.jobs {
            @for job in jobs {
                li { a.button href=(address(job, "now")) { (job) @if Some(job.as_str()) == current { " (current)" } } }
            }
        }
        p.choose {
            a.button href="/start" { "Start a job" }
            a.button href="/cars" { "Cars" }
            a.button href="/calc" { "Calculators" }
            a.button href="/let-in" { "Let a device in" }
            a.button href="/settings" { "More" }
        }
    };
    page(&Frame { title: "Start", head: None, here: "", choices }, &body)
}
