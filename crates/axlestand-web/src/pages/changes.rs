//! What changed in the plan since it was first made, through which entry, and why.

use super::plain::on_page;
use super::shell::{Frame, page};
use super::words::{capital, count};
use super::{address, step_address};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::views::{HeadView, ReasonedRows, ReplanView, hours, replans};
use axum::extract::{Path, State};
use maud::{Markup, html};

pub(crate) async fn changes(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let (head, all) = app.job(job, |garage, job| Ok((garage.head(job)?, replans(job)?))).await?;
    Ok(changes_page(&head, &all, choices))
}

pub(crate) fn changes_page(head: &HeadView, all: &[ReplanView], choices: Choices) -> Markup {
    let job = head.job.as_str();
    let body = html! {
        h1 { "What changed in the plan" }
        @if all.is_empty() { p { "The plan is as it was first made." } }
        @for one in all.iter().rev() {
            section.change {
                h2 { (capital(&one.since)) }
                p.quiet { (one.at.get(..16).unwrap_or(&one.at).replace('T', " ")) }
                (change(job, one))
            }
        }
        p.choose { a.button href=(address(job, "prepare")) { "The plan" } a.button href=(address(job, "ledger")) { "Ledger" } }
    };
    page(&Frame { title: "Changes of the plan", head: Some(head), here: "prepare", choices }, &body)
}

/// One change: what came, what went, what is done elsewhere now, each with its reason.
pub(crate) fn change(job: &str, one: &ReplanView) -> Markup {
    let rows = |groups: &[ReasonedRows]| groups.iter().map(|group| group.rows.len()).sum::<usize>();
    html! {
        p { (count(rows(&one.came), "row")) " new, " (count(rows(&one.went), "row")) " no longer needed."
            @if let Some(cost) = cost(one) { " " (cost) } }
        ul.needs {
            @for group in &one.came { li { b { "New: " } (group_lines(job, group, true)) } }
            @for group in &one.went { li { b { "Gone: " } (group_lines(job, group, false)) } }
            @for moved in &one.moved {
                li { b { "Moved: " } a href=(step_address(job, &moved.row.action)) { (moved.row.text) } ": " (moved.now) " now, no longer " (moved.before) }
            }
        }
    }
}

/// Names shown at once; the rows stand behind them.
const NAMES: usize = 4;

fn group_lines(job: &str, group: &ReasonedRows, there: bool) -> Markup {
    let more = group.names.len().saturating_sub(NAMES);
    let names = group.names.iter().take(NAMES).cloned().collect::<Vec<_>>().join("; ");
    html! {
        (names) @if more > 0 { " and " (more) " more" } ": " (on_page(&group.why)) "."
        details {
            summary { (count(group.rows.len(), "row")) }
            @if group.behind.len() > 1 { p.quiet { "Since: " (group.behind.iter().map(|why| on_page(why)).collect::<Vec<_>>().join(", ")) "." } }
            ul { @for row in &group.rows { li {
                @if there { a href=(step_address(job, &row.action)) { b { (row.number) } " " (row.text) } } @else { (row.text) }
            } } }
        }
    }
}

/// What the change costs in minutes of work, where that can be said.
fn cost(one: &ReplanView) -> Option<String> {
    let minutes = one.minutes.filter(|minutes| minutes.abs() >= 0.5)?;
    let than = if one.against_pressing_on { " than with pressing on" } else { "" };
    let way = if minutes > 0.0 { "longer" } else { "less" };
    Some(format!("What is left takes {} {way}{than}.", hours(minutes.abs())))
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};
    use axlestand_garage::views::replans;

    #[test]
    fn a_changed_plan_says_why_where_it_was_changed_and_afterwards() {
        let bench = Workbench::with_job();
        let at = format!("/job/{JOB}/changes");
        assert!(bench.get(&at).page().contains("as it was first made"));
        let fields =
            [("do", "skip"), ("rows", "off:tie-rod-end.left"), ("reason", "the new one did not come")];
        let sent = bench.post(&format!("/job/{JOB}/entry"), &fields);
        let then = bench.get(sent.location.as_deref().unwrap()).page();
        assert!(then.contains("The plan changed: "), "{then}");
        let known = replans(&bench.garage().job().unwrap()).unwrap();
        assert!(known.iter().any(|one| !one.went.is_empty()), "{known:?}");
        let page = bench.get(&at).page();
        for group in known.iter().flat_map(|one| one.came.iter().chain(&one.went)) {
            assert!(page.contains(group.names[0].as_str()) && page.contains(&group.why), "{group:?}: {page}");
        }
    }
}
