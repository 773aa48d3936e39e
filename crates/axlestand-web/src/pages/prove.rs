//! Prove: the two gates with every reason, what waits for its final torque, what to recheck.

use super::form::entry;
use super::lead::led;
use super::plain::on_page;
use super::report::report_body;
use super::shell::{Frame, page};
use super::stage::ticks;
use super::words::count;
use super::work::row_link;
use super::{address, item_address, step_address};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::views::{
    BlockView, CheckView, HeadView, ReasonView, ReportView, RowView, blocks, check_lowering, check_road,
    report,
};
use axum::extract::{Path, State};
use maud::{Markup, html};

/// Everything that the page shows.
pub(crate) struct Prove {
    pub(crate) head: HeadView,
    pub(crate) lowering: CheckView,
    pub(crate) road: CheckView,
    /// Final torques that wait: car state and rows.
    pub(crate) finals: Vec<(&'static str, Vec<RowView>)>,
    pub(crate) report: ReportView,
    pub(crate) rows: Vec<BlockView>,
}

pub(crate) async fn stage(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let units = choices.units(&app);
    let shown = app
        .job(job, move |garage, job| {
            let beside = garage.neighbours(job)?;
            let all = blocks(job, units)?;
            let waiting = garage.waiting()?.len();
            Ok(Prove {
                head: garage.head(job)?,
                lowering: check_lowering(job).beside(&beside).with_waiting(waiting),
                road: check_road(job, units).beside(&beside).with_waiting(waiting),
                finals: finals(&all),
                report: report(job, units)?,
                rows: all.into_iter().filter(|b| b.stage.eq_ignore_ascii_case("prove")).collect(),
            })
        })
        .await?;
    Ok(prove_page(&shown, choices))
}

/// The final torques still to do, by how the car stands for them.
fn finals(all: &[BlockView]) -> Vec<(&'static str, Vec<RowView>)> {
    let mut list: Vec<(&'static str, Vec<RowView>)> = Vec::new();
    for block in all {
        let due = |row: &&RowView| row.status == "pending" && row.action.starts_with("final:");
        for row in block.rows.iter().filter(due) {
            match list.iter_mut().find(|(state, _)| *state == block.car_state) {
                Some((_, rows)) => rows.push(row.clone()),
                None => list.push((block.car_state, vec![row.clone()])),
            }
        }
    }
    list
}

/// The report as a page that prints.
pub(crate) async fn report_of(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let units = choices.units(&app);
    let (head, view) = app
        .job(job, move |garage, job| {
            let mut view = report(job, units)?;
            view.road = view.road.beside(&garage.neighbours(job)?).with_waiting(garage.waiting()?.len());
            Ok((garage.head(job)?, view))
        })
        .await?;
    let body = html! { div.report { (report_body(&view)) } p.choose.screen { a.button href=(address(&head.job, "prove")) { "Prove" } a.button href=(address(&head.job, "sheets")) { "Sheets (PDF)" } } };
    Ok(page(&Frame { title: "Report", head: Some(&head), here: "prove", choices }, &body))
}

pub(crate) fn prove_page(shown: &Prove, choices: Choices) -> Markup {
    let job = shown.head.job.as_str();
    let body = html! {
        h1 { "Prove" }
        (gate(job, "May the car be lowered?", &shown.lowering, "Yes. Look once more: nothing and nobody under the car."))
        (gate(job, "May it go on the road?", &shown.road, "The ledger knows nothing against it. It speaks only of what this job touched; the vehicle maker’s procedure and local law decide."))
        h2 { "Final torques that wait: " (shown.finals.iter().map(|(_, rows)| rows.len()).sum::<usize>()) }
        @if shown.finals.is_empty() { p { "None is due." } } @else { p.quiet { "Seated is not final. These are tightened only with the car as it says." } }
        @for (state, rows) in &shown.finals {
            details open[rows.len() <= 6] { summary { "With the car " (state) ": " (rows.len()) } ul.rows { @for row in rows { li { (row_link(job, row)) } } } }
        }
        h2 { "Recheck on the road" }
        @if shown.report.rechecks.is_empty() { p { "Nothing." } }
        ul.needs { @for one in &shown.report.rechecks { li { b { (one.when) } ": " (one.what) } } }
        p.choose {
            a.button href=(address(job, "report")) { "Report" }
            a.button href=(address(job, "sheet/road.pdf")) download { "Fitness for the road (PDF)" }
            a.button href=(address(job, "sheet/calendar.ics")) download { "Rechecks into the calendar" }
            a.button href=(address(job, "sheets")) { "All sheets" }
        }
        @if shown.rows.iter().flat_map(|block| &block.rows).any(|row| row.status == "pending") {
            h2 { "Rows of this stage" }
            (entry(job, "done", &ticks(job, &shown.rows)))
        }
    };
    page(&Frame { title: "Prove", head: Some(&shown.head), here: "prove", choices }, &body)
}

/// How many reasons are shown at once; the rest is one tap away.
const FIRST: usize = 8;

fn gate(job: &str, question: &str, check: &CheckView, yes: &str) -> Markup {
    html! {
        section.gate.danger[!check.clear] data-gate=(check.gate) {
            h2 { (question) }
            @if check.clear { p.big-line { "✓ " strong { (yes) } } }
            @else {
                p.big-line { strong { "✕ No: " (count(check.reasons.len(), "reason")) } }
                ol.reasons { @for why in check.reasons.iter().take(FIRST) { li { (reason(job, why)) } } }
                @if check.reasons.len() > FIRST {
                    details { summary { "And " (check.reasons.len() - FIRST) " more" }
                        ol.reasons start=(FIRST + 1) { @for why in check.reasons.iter().skip(FIRST) { li { (reason(job, why)) } } }
                    }
                }
            }
            @for remark in &check.remarks { p { strong { "! " } (on_page(remark)) } }
        }
    }
}

/// A reason, and the way to what would help.
fn reason(job: &str, why: &ReasonView) -> Markup {
    html! {
        (led(&why.text, why.lead.as_ref(), job))
        @match (&why.first, &why.item) {
            (Some(first), _) => { " " a.do-first href=(step_address(job, first)) { @if let Some(number) = why.number { "Row " (number) } @else { "Do this" } } },
            (None, Some(item)) if why.lead.is_none() => { " " a.do-first href=(item_address(job, item)) { "Look at it" } },
            (None, _) => "",
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};

    #[test]
    fn every_reason_of_both_gates_leads_somewhere() {
        let bench = Workbench::with_job();
        let page = bench.get(&format!("/job/{JOB}/prove")).page();
        let mut garage = bench.garage();
        let road =
            axlestand_garage::views::check_road(&garage.job().unwrap(), axlestand_garage::Units::Metric);
        assert!(!road.reasons.is_empty());
        assert!(page.contains(&format!("✕ No: {}", super::count(road.reasons.len(), "reason"))), "{page}");
        for reason in road.reasons.iter().filter_map(|reason| reason.first.as_ref()) {
            assert!(page.contains(&super::step_address(JOB, reason)), "{reason}");
        }
        for lead in road.reasons.iter().filter_map(|reason| reason.lead.as_ref()) {
            let axlestand_garage::Lead::Value { item, .. } = lead else { panic!("{lead:?}") };
            assert!(page.contains(&crate::pages::car::fill_in_address(JOB, item)), "{item}");
        }
        assert!(page.contains("Final torques that wait") && page.contains("Recheck on the road"));
        assert!(!page.contains("'axlestand"));
    }

    #[test]
    fn the_report_says_no_and_prints_without_a_style_of_its_own() {
        let bench = Workbench::with_job();
        let page = bench.get(&format!("/job/{JOB}/report")).page();
        assert!(
            page.contains("NO: ") && page.contains("no inspection certificate") && !page.contains("<style")
        );
    }
}
