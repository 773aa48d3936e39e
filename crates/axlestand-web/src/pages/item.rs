//! One part, fastener or anything else of the car: what is known, how it stands, what can go wrong.

use super::form::{entry, hidden, line};
use super::plain::on_page;
use super::shell::{Frame, page};
use super::work::row_link;
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::views::{HeadView, ItemStandsView, item_stands};
use axum::extract::{Path, State};
use maud::{Markup, html};

pub(crate) async fn item(
    State(app): State<Shared>,
    Path((job, item)): Path<(String, String)>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let units = choices.units(&app);
    let (head, view) =
        app.job(job, move |garage, job| Ok((garage.head(job)?, item_stands(job, &item, units)?))).await?;
    Ok(item_page(&head, &view, choices))
}

pub(crate) fn item_page(head: &HeadView, view: &ItemStandsView, choices: Choices) -> Markup {
    let job = head.job.as_str();
    let item = &view.item.item;
    let body = html! {
        h1 { (view.item.name) }
        p.quiet { (view.item.kind) " " code { (item) } }
        @if let Some(stands) = &view.stands { p.state { "Now: " strong { (stands) } } }
        @if !view.rows.is_empty() {
            h2 { "Rows" }
            ul { @for row in &view.rows { li { (row_link(job, row)) span.state { @match row.status { "done" => "✓ done", "skipped" => "– left out", _ => "to do" } } } } }
        }
        h2 { "What is known" }
        dl { @for (label, value) in &view.item.facts { dt { (label) } dd { (on_page(value)) } } }
        @if matches!(view.item.kind, "fastener" | "fluid" | "target") {
            p { a.button href=(super::car::fill_in_address(job, item)) { "Write value and source" } }
        }
        @if !view.ways.is_empty() {
            h2 { "Other ways to free it" }
            @for way in &view.ways {
                (entry(job, "choose", &html! { (hidden("item", item)) (hidden("way", &way.0)) button type="submit" { (way.1) } }))
            }
            (entry(job, "choose", &html! { (hidden("item", item)) (hidden("way", "usual")) button type="submit" { "In the usual manner" } }))
        }
        @if view.item.kind == "part" { p { a.button href=(super::routes::routes_address(job, item)) { "Repair or replace: compare the routes" } } }
        @if view.may_break {
            h2 { "Broke, or a new one lies ready" }
            (entry(job, "broken", &html! { (hidden("item", item)) (line("What happened", "note", "head rounded", false)) button type="submit" { "It broke" } }))
            (entry(job, "replaced", &html! { (hidden("item", item)) (line("Which one", "note", "part number", false)) button type="submit" { "A new one lies ready" } }))
        }
        h2 { "Note" }
        (entry(job, "note", &html! { (hidden("item", item)) (line("Note", "text", "what you saw", true)) button type="submit" { "Keep the note" } }))
        @if !view.notes.is_empty() { ul { @for note in &view.notes { li { (note) } } } }
    };
    page(&Frame { title: &view.item.name, head: Some(head), here: "", choices }, &body)
}
