//! The ledger, entry by entry, the newest first.

use super::form::{entry, hidden};
use super::shell::{Frame, page};
use super::words::count;
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::views::{HeadView, LogLine, log};
use axum::extract::{Path, State};
use maud::{Markup, html};

pub(crate) async fn ledger(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let (head, lines) = app.job(job, |garage, job| Ok((garage.head(job)?, log(job)))).await?;
    Ok(ledger_page(&head, &lines, choices))
}

pub(crate) fn ledger_page(head: &HeadView, lines: &[LogLine], choices: Choices) -> Markup {
    let body = html! {
        h1 { "Ledger: " (count(lines.len(), "entry")) }
        p.quiet { "Nothing is erased: what was a mistake is taken back by a further entry." }
        p { a.button href=(super::address(&head.job, "changes")) { "What changed in the plan, and why" } }
        ol.ledger {
            @for line in lines.iter().rev() {
                li {
                    p { span.quiet { (line.at.get(..16).unwrap_or(&line.at).replace('T', " ")) } " " @if line.withdrawn { s { (line.words) } " (taken back)" } @else { (line.words) } }
                    @if line.may_be_taken_back {
                        (entry(&head.job, "take-back", &html! { (hidden("entry", &line.id)) button.small type="submit" { "Take back" } }))
                    }
                }
            }
        }
    };
    page(&Frame { title: "Ledger", head: Some(head), here: "ledger", choices }, &body)
}
