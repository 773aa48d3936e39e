//! A changed plan as text.

use super::{count, hours};
use crate::output::{Failure, Output};
use axlestand_garage::views::{ChangedRow, ReasonedRows, ReplanView};

/// How many reasons are told of what came and of what went, and how many names of one reason.
const TOLD: usize = 4;

/// What changed in the plan and why, in a few lines.
pub(crate) fn replan(view: &ReplanView, output: &mut Output<'_>) -> Result<(), Failure> {
    told(view, TOLD, output)
}

/// Every change of the plan, with all rows and what is behind each.
pub(crate) fn replans(views: &[ReplanView], output: &mut Output<'_>) -> Result<(), Failure> {
    if views.is_empty() {
        return output.line("The plan is as it was first made.");
    }
    for view in views {
        output.line(format!("{}  {}", view.at.get(..16).unwrap_or(&view.at), view.since))?;
        told(view, usize::MAX, output)?;
    }
    Ok(())
}

fn told(view: &ReplanView, most: usize, output: &mut Output<'_>) -> Result<(), Failure> {
    let rows = |groups: &[ReasonedRows]| groups.iter().map(|group| group.rows.len()).sum::<usize>();
    let mut line = format!(
        "The plan changed: {} new, {} no longer needed.",
        count(rows(&view.came), "row"),
        count(rows(&view.went), "row")
    );
    if let Some(cost) = cost(view) {
        line.push(' ');
        line.push_str(&cost);
    }
    output.line(line)?;
    for (sign, groups) in [('+', &view.came), ('-', &view.went)] {
        for group in groups.iter().take(most) {
            let what = match group.rows.as_slice() {
                [row] => row.text.clone(),
                _ => listed(&group.names, most),
            };
            output.line(format!("  {sign} {:>3}  {what}: {}", numbers(&group.rows), group.why))?;
            if most == usize::MAX && group.behind.len() > 1 {
                output.line(format!("         ({})", group.behind.join(", ")))?;
            }
        }
        let more = groups.get(most..).map_or(0, rows);
        if more > 0 {
            output.line(format!("  {sign}      and {}: prepare --changes", count(more, "more row")))?;
        }
    }
    for moved in view.moved.iter().take(most) {
        let row = &moved.row;
        output.line(format!(
            "  > {:>3}  {}: {} now, no longer {}",
            row.number, row.text, moved.now, moved.before
        ))?;
    }
    match view.moved.len().saturating_sub(most) {
        0 => Ok(()),
        more => output.line(format!("  >      and {} moved: prepare --changes", count(more, "more row"))),
    }
}

/// What the change costs in minutes of work, where that can be said.
fn cost(view: &ReplanView) -> Option<String> {
    let minutes = view.minutes?;
    let than = if view.against_pressing_on { " than with pressing on" } else { "" };
    match minutes.abs().round() {
        more if more < 1.0 && view.against_pressing_on => {
            Some("What is left takes as long as with pressing on.".to_owned())
        }
        more if more < 1.0 => None,
        more if minutes > 0.0 => Some(format!("What is left takes {} longer{than}.", hours(more))),
        less => Some(format!("What is left takes {} less{than}.", hours(less))),
    }
}

/// Names, at most so many of them.
fn listed(names: &[String], most: usize) -> String {
    match names.get(most..) {
        Some(more) if !more.is_empty() => {
            format!("{} and {} more", names[..most].join("; "), more.len())
        }
        _ => names.join("; "),
    }
}

/// The numbers of rows, runs of them as `5 to 7`.
fn numbers(rows: &[ChangedRow]) -> String {
    let mut sorted: Vec<u32> = rows.iter().map(|row| row.number).collect();
    sorted.sort_unstable();
    let runs = sorted.chunk_by(|a, b| a + 1 == *b).map(|run| match run {
        [first, _, .., last] => format!("{first} to {last}"),
        run => run.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "),
    });
    runs.collect::<Vec<_>>().join(", ")
}
