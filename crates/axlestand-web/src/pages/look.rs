//! What was sent from a device and could not be recorded: it needs a look.

use super::shell::{Frame, page};
use super::{address, piece};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::{Problem, reasons};
use axlestand_garage::delivery::WaitingView;
use axlestand_garage::views::HeadView;
use axum::extract::{Path, State};
use axum::response::Redirect;
use maud::{Markup, html};

pub(crate) async fn look(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let (head, waiting) = app.job(job, |garage, job| Ok((garage.head(job)?, garage.waiting()?))).await?;
    Ok(look_page(&head, &waiting, choices))
}

/// A person has looked at one.
pub(crate) async fn looked(
    State(app): State<Shared>,
    Path((job, id)): Path<(String, String)>,
) -> Result<Redirect, Problem> {
    let back = address(&job, "look");
    app.garage(Some(job), move |garage| garage.looked_at(&id)).await?;
    Ok(Redirect::to(&back))
}

pub(crate) fn look_page(head: &HeadView, waiting: &[WaitingView], choices: Choices) -> Markup {
    let body = html! {
        h1 { "Needs a look: " (waiting.len()) }
        @if waiting.is_empty() { p { "Nothing that devices sent waits for a look." } }
        @else { p { "This was sent from a device and is not in the ledger, or does not agree with it. Look at the car, record what is true, then put it aside." } }
        @for one in waiting {
            section.waiting {
                h2 { (one.what) }
                p.quiet { (one.at.get(..16).unwrap_or(&one.at).replace('T', " ")) ", from " (one.device) }
                (reasons(&one.refusal, Some(&head.job)))
                form method="post" action=(address(&head.job, &format!("look/{}", piece(&one.id)))) {
                    button type="submit" { "I have looked at it: put it aside" }
                }
            }
        }
    };
    page(&Frame { title: "Needs a look", head: Some(head), here: "", choices }, &body)
}
