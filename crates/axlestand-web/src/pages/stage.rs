//! A stage: its rows in their order, to tick one or several.

use super::form::entry;
use super::shell::{Frame, page, stages};
use super::step_address;
use super::words::count;
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::views::{BlockView, HeadView, RowView, blocks};
use axum::extract::{Path, State};
use maud::{Markup, html};

pub(crate) async fn stage(
    State(app): State<Shared>,
    Path((job, stage)): Path<(String, String)>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let Some((word, title)) = stages().find(|(word, _)| *word == stage) else {
        return Err(Problem::not_here(&format!("{stage} is no page of a job")));
    };
    let units = choices.units(&app);
    let (head, all) = app.job(job, move |garage, job| Ok((garage.head(job)?, blocks(job, units)?))).await?;
    let own: Vec<BlockView> =
        all.into_iter().filter(|block| block.stage.eq_ignore_ascii_case(title)).collect();
    Ok(stage_page(&head, word, title, &own, choices))
}

pub(crate) fn stage_page(
    head: &HeadView,
    word: &str,
    title: &str,
    blocks: &[BlockView],
    choices: Choices,
) -> Markup {
    let rows: usize = blocks.iter().map(|block| block.rows.len()).sum();
    let body = html! {
        h1 { (title) }
        p.quiet { (count(rows, "row")) ". Tick what is done; several ticked at once are recorded together or not at all." }
        @if rows > 0 { (entry(&head.job, "done", &ticks(&head.job, blocks))) }
    };
    page(&Frame { title, head: Some(head), here: word, choices }, &body)
}

/// Rows to tick, with the button that records them.
pub(crate) fn ticks(job: &str, blocks: &[BlockView]) -> Markup {
    let is_pending = |block: &&BlockView| block.rows.iter().any(|row| row.status == "pending");
    let (ahead, behind): (Vec<&BlockView>, Vec<&BlockView>) = blocks.iter().partition(is_pending);
    let rows: usize = behind.iter().map(|block| block.rows.len()).sum();
    html! {
        @for block in &ahead { (block_rows(job, block)) }
        @if !ahead.is_empty() { div.at-hand { button.big.done type="submit" { "Record what is ticked" } } }
        @if rows > 0 {
            details open[ahead.is_empty()] {
                summary { "Behind you: " (count(rows, "row")) }
                @for block in &behind { (block_rows(job, block)) }
            }
        }
    }
}

/// The rows of one place.
fn block_rows(job: &str, block: &BlockView) -> Markup {
    html! {
        section.block {
            h2 {
                (block.place)
                span.quiet { " · car " (block.car_state) @if block.minutes > 0.0 { " · " (format!("{:.0}", block.minutes)) " min left" } }
            }
            ul.rows { @for row in &block.rows { li { (tick(job, row)) } } }
        }
    }
}

fn tick(job: &str, row: &RowView) -> Markup {
    let pending = row.status == "pending";
    let reads = row.action.starts_with("read:") || row.action.starts_with("again:");
    html! {
        @if pending && !reads {
            label.tick { input type="checkbox" name="rows" value=(row.action) aria-label=(format!("done: {}", row.text)); }
        } @else {
            span.tick { @match row.status { "done" => "✓", "skipped" => "–", _ => "…" } }
        }
        a.row href=(step_address(job, &row.action)) data-action=(row.action) {
            @if let Some(number) = row.number { b.number { (number) } " " }
            (row.text)
            @if row.status == "done" { span.state { "done" } }
            @if row.status == "skipped" { span.state { "left out" } }
            @if pending && !row.waits.is_empty() { span.state { "not yet" } }
        }
    }
}
