//! Open items: what the ledger says is not yet in its final state.

use super::plain::on_page;
use super::shell::{Frame, page};
use super::{item_address, step_address};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::views::{HeadView, OpenView, open_to_work_from};
use axum::extract::{Path, State};
use maud::{Markup, html};

pub(crate) async fn open(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let units = choices.units(&app);
    let (head, items) =
        app.job(job, move |garage, job| Ok((garage.head(job)?, open_to_work_from(job, units)))).await?;
    Ok(open_page(&head, &items, choices))
}

pub(crate) fn open_page(head: &HeadView, items: &[OpenView], choices: Choices) -> Markup {
    let body = html! {
        h1 { "Open items: " (items.len()) }
        @if items.is_empty() { p { "Nothing is open: what was loosened is back in its final state. Whether the car may go on the road, Prove says." } }
        ul.open {
            @for item in items { li.danger[item.danger == "critical"] { (line(&head.job, item)) } }
        }
    };
    page(&Frame { title: "Open items", head: Some(head), here: "open", choices }, &body)
}

fn line(job: &str, item: &OpenView) -> Markup {
    html! {
        p.name {
            @if let Some(number) = item.number { b.number { (number) } " " }
            a href=(item_address(job, &item.item)) { (item.name) }
        }
        p { (item.stands) @if item.danger == "critical" { ", " strong { "critical" } } }
        @if let Some(set) = &item.set { p { (set) } }
        @for wait in &item.waits { p.quiet { "waits: " (on_page(wait)) } }
        @if let Some(closes) = &item.closes {
            a.button data-action=(closes) href=(step_address(job, closes)) { @if item.waits.is_empty() { "Do it" } @else { "Look at it" } }
        }
    }
}
