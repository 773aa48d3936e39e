//! The report as plain text.

use super::lead::led;
use crate::output::{Failure, Output};
use axlestand_garage::views::{ReportView, StateLine};

/// The report.
pub(crate) fn report(view: &ReportView, output: &mut Output<'_>) -> Result<(), Failure> {
    output.heading(&format!("Report: {} · {}", view.job, view.car))?;
    let day = |at: &Option<String>| {
        at.as_ref().map_or_else(String::new, |at| at.get(..16).unwrap_or(at).replace('T', " "))
    };
    output.line(format!("from {} to {}", day(&view.started), day(&view.last_entry)))?;
    list("Replaced", &view.replaced, output)?;
    states(view, output)?;
    if !view.readings.is_empty() {
        output.line("")?;
        output.heading("Readings: before, after, change (± standard uncertainty)")?;
    }
    for reading in &view.readings {
        let or = |text: &Option<String>| text.clone().unwrap_or_else(|| "not taken".to_owned());
        let change = reading.change.as_ref().map(|c| format!(", change {c}")).unwrap_or_default();
        let target = reading.target.as_ref().map(|t| format!(", target {t}")).unwrap_or_default();
        output.line(format!(
            "  {}: {}, {}{change}{target}",
            reading.name,
            or(&reading.before),
            or(&reading.after)
        ))?;
    }
    list("Wheel alignment (± standard uncertainty)", &view.alignment, output)?;
    let left_out: Vec<_> = view.left_out.iter().map(|l| format!("{}: {}", l.what, l.reason)).collect();
    list("Left out, and why", &left_out, output)?;
    list("Notes", &view.notes, output)?;
    let rechecks: Vec<_> = view.rechecks.iter().map(|r| format!("{}: {}", r.when, r.what)).collect();
    list("Recheck", &rechecks, output)?;
    output.line("")?;
    if view.road.clear {
        output.heading("Road check: the ledger knows nothing against it.")?;
    } else {
        let n = view.road.reasons.len();
        output.heading(&format!("Road check: NO, {n} reason{}", if n == 1 { "" } else { "s" }))?;
        for reason in &view.road.reasons {
            output.line(format!("  {}", led(&reason.text, reason.lead.as_ref())))?;
        }
    }
    super::gates::remarks(&view.road, output)?;
    output.line("")?;
    output.line(view.disclaimer)
}

fn list(title: &str, lines: &[String], output: &mut Output<'_>) -> Result<(), Failure> {
    if lines.is_empty() {
        return Ok(());
    }
    output.line("")?;
    output.heading(title)?;
    for line in lines {
        output.line(format!("  {line}"))?;
    }
    Ok(())
}

fn states(view: &ReportView, output: &mut Output<'_>) -> Result<(), Failure> {
    if view.states.is_empty() {
        return Ok(());
    }
    output.line("")?;
    output.heading("Final states of everything that was loosened")?;
    for state in &view.states {
        output.line(format!("  {}", state_text(state)))?;
        if let Some(clamp) = &state.clamp {
            output.line(format!("      {}", clamp.text))?;
        }
    }
    if view.states.iter().any(|state| state.clamp.is_some()) {
        output.line(
            "  Clamp loads are estimates over the published friction; that makes most of the spread, and",
        )?;
        output.line(
            "  settling takes another 2 to 10 % (NASA NSTS 08307). No torque wrench shows a clamp load.",
        )?;
    }
    Ok(())
}

fn state_text(state: &StateLine) -> String {
    let mut pieces = vec![state.stands.clone()];
    pieces.extend(state.torque.clone());
    pieces.extend(state.car_state.map(|s| format!("the car {s}")));
    pieces.extend(state.lock.map(str::to_owned));
    pieces.extend(state.wrench.clone());
    pieces.extend(state.new.then(|| "new".to_owned()));
    let source = state.provenance.as_ref().map(|p| format!(" [{p}]")).unwrap_or_default();
    let critical = if state.critical { "* " } else { "  " };
    format!("{critical}{}: {}{source}", state.name, pieces.join(", "))
}
