//! Open items and gates as text.

use super::lead::led;
use crate::output::{Failure, Output};
use axlestand_garage::views::{CheckView, OpenView};

/// Every open item.
pub(crate) fn open(items: &[OpenView], output: &mut Output<'_>) -> Result<(), Failure> {
    if items.is_empty() {
        return output.line("Nothing is open.");
    }
    output.heading(&format!("{} open, the most dangerous first", items.len()))?;
    for item in items {
        let number = item.number.map_or_else(|| "   ".to_owned(), |n| format!("{n:>3}"));
        let danger = if item.danger == "critical" { "CRITICAL " } else { "" };
        output.line(format!("{number}  {danger}{} ({}): {}", item.name, item.item, item.stands))?;
        if let (Some(set), true) = (&item.set, item.waits.is_empty()) {
            output.line(format!("       {set}"))?;
        }
        if let Some(waits) = item.waits.first() {
            let rest: String = item.waits.iter().skip(1).take(2).map(|w| format!("; {w}")).collect();
            let more = item.waits.len().saturating_sub(3);
            let and = if more > 0 { format!("; and {more} more") } else { String::new() };
            let line = output.quiet(&format!("       waits: {waits}{rest}{and}"));
            output.line(line)?;
        }
    }
    Ok(())
}

/// A gate.
pub(crate) fn check(check: &CheckView, output: &mut Output<'_>) -> Result<(), Failure> {
    let question = if check.gate == "lowering" { "Lower the car" } else { "Road" };
    if check.clear {
        let answer = if check.gate == "lowering" {
            "yes. Look once more: nothing and nobody under the car."
        } else {
            "the ledger knows nothing against it. It speaks only of what this job touched."
        };
        output.line(format!("{question}: {answer}"))?;
        return remarks(check, output);
    }
    let n = check.reasons.len();
    output.heading(&format!("{question}: NO, {n} reason{}", if n == 1 { "" } else { "s" }))?;
    for reason in &check.reasons {
        let number = reason.number.map_or_else(|| "   ".to_owned(), |n| format!("{n:>3}"));
        output.line(format!("{number}  {}", led(&reason.text, reason.lead.as_ref())))?;
    }
    remarks(check, output)
}

/// What to know besides the answer.
pub(crate) fn remarks(check: &CheckView, output: &mut Output<'_>) -> Result<(), Failure> {
    for remark in &check.remarks {
        output.line(format!("  ! {remark}"))?;
    }
    Ok(())
}
