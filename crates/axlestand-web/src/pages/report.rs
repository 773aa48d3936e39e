//! The report as a page that stands alone: no script, no other file, made to be printed.

use super::plain::on_page;
use super::words::count;
use axlestand_garage::sheets::REPORT_PAGE;
use axlestand_garage::views::{ReportView, StateLine};
use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = "
:root { color-scheme: light dark; }
body { font: 16px/1.45 'DejaVu Sans', Verdana, sans-serif; margin: 0 auto; padding: 1rem; max-width: 60rem; font-variant-numeric: tabular-nums; }
h1 { font-size: 1.4rem; } h2 { font-size: 1.1rem; border-bottom: 2px solid; padding-bottom: .15rem; margin-top: 1.8rem; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; } caption { text-align: left; padding: .3rem 0; }
th, td { text-align: left; vertical-align: top; padding: .3rem .6rem .3rem 0; border-bottom: 1px solid #888; overflow-wrap: anywhere; }
.no { border: 3px solid; padding: .6rem; font-weight: bold; }
@media (max-width: 40rem) { thead { position: absolute; left: -100vw; } tr, td, th { display: block; border: 0; padding: .1rem 0; } tr { border-bottom: 1px solid #888; padding: .5rem 0; } td:empty { display: none; } td[data-label]::before { content: attr(data-label) ': '; font-weight: bold; } }
@media print { body { font-size: 10pt; max-width: none; } h2 { break-after: avoid; } tr { break-inside: avoid; } }
";

/// The report of a job as one HTML document.
#[must_use]
pub fn report_page(report: &ReportView) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content=(REPORT_PAGE);
                title { "Report: " (report.job) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                main {
                    (report_body(report))
                }
            }
        }
    };
    page.into_string()
}

/// What the report says, without the page around it.
pub(crate) fn report_body(report: &ReportView) -> Markup {
    html! {
        h1 { "Report: " (report.car) }
        p { "Job " (report.job) ", from " (day(report.started.as_deref())) " to " (day(report.last_entry.as_deref())) "." }
        (road(report))
        (list("Replaced", &report.replaced))
        (states(&report.states))
        (readings(report))
        (list("Wheel alignment (± standard uncertainty)", &report.alignment))
        (list("Left out, and why", &report.left_out.iter().map(|l| format!("{}: {}", l.what, l.reason)).collect::<Vec<_>>()))
        (list("Notes", &report.notes))
        (list("Recheck", &report.rechecks.iter().map(|r| format!("{}: {}", r.when, r.what)).collect::<Vec<_>>()))
        p { (report.disclaimer) }
    }
}

fn day(at: Option<&str>) -> String {
    at.map_or_else(String::new, |at| at.get(..16).unwrap_or(at).replace('T', " "))
}

fn road(report: &ReportView) -> Markup {
    html! {
        h2 { "Road check" }
        @if report.road.clear {
            p { "The ledger knows nothing against it." }
        } @else {
            p.no { "NO: " (count(report.road.reasons.len(), "reason")) " why not" }
            ul { @for reason in &report.road.reasons { li { (on_page(&reason.text)) } } }
        }
        @for remark in &report.road.remarks { p { (on_page(remark)) } }
    }
}

fn list(title: &str, lines: &[String]) -> Markup {
    html! {
        @if !lines.is_empty() {
            h2 { (title) }
            ul { @for line in lines { li { (line) } } }
        }
    }
}

fn states(states: &[StateLine]) -> Markup {
    html! {
        @if !states.is_empty() {
            h2 { "Final states of everything that was loosened" }
            div.scroll { table {
                thead { tr { th scope="col" { "What" } th scope="col" { "State" } th scope="col" { "Torque" } th scope="col" { "With the car" } th scope="col" { "Source" } } }
                tbody {
                    @for state in states {
                        tr {
                            th scope="row" { (state.name) @if state.critical { " (critical)" } }
                            td data-label="State" { (state.stands) @if let Some(lock) = state.lock { ", " (lock) } @if state.new { ", new" } }
                            td data-label="Torque" { (state.torque.as_deref().unwrap_or_default()) @if let Some(wrench) = &state.wrench { " (" (wrench) ")" } }
                            td data-label="With the car" { (state.car_state.unwrap_or_default()) }
                            td data-label="Source" { (state.provenance.as_deref().unwrap_or_default()) }
                        }
                    }
                }
            } }
        }
    }
}

fn readings(report: &ReportView) -> Markup {
    html! {
        @if !report.readings.is_empty() {
            h2 { "Readings (± standard uncertainty)" }
            div.scroll { table {
                thead { tr { th scope="col" { "What" } th scope="col" { "Before" } th scope="col" { "After" } th scope="col" { "Change" } th scope="col" { "Target" } } }
                tbody {
                    @for reading in &report.readings {
                        tr {
                            th scope="row" { (reading.name) }
                            td data-label="Before" { (reading.before.as_deref().unwrap_or("not taken")) }
                            td data-label="After" { (reading.after.as_deref().unwrap_or("not taken")) }
                            td data-label="Change" { (reading.change.as_deref().unwrap_or_default()) }
                            td data-label="Target" { (reading.target.as_deref().unwrap_or_default()) }
                        }
                    }
                }
            } }
        }
    }
}
