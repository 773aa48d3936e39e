//! A stuck fastener as text.

use super::rows::reasons;
use crate::output::{Failure, Output};
use axlestand_garage::fastening::StuckView;

/// What it bears, what is near, what to try and when to stop.
pub(crate) fn stuck(view: &StuckView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    let line = output.strong(&view.line);
    output.line(format!("Recorded as stuck. {line}"))?;
    for limit in &view.limits {
        output.line(format!("  {limit}"))?;
    }
    if !view.near.is_empty() {
        output.line(format!("  Near it: {}.", view.near.join(", ")))?;
    }
    for rung in &view.rungs {
        let give = if rung.give.is_empty() { String::new() } else { format!(" ({})", rung.give) };
        let until = if rung.give.is_empty() { "Time for it" } else { "Stop when" };
        output.line(format!("  {:>2}. {}{give}. {until}: {}.", rung.number, rung.instruction, rung.stop))?;
        for caution in &rung.cautions {
            output.line(format!("      ! {caution}"))?;
        }
    }
    for left_out in &view.left_out {
        output.line(format!("  Leave out {left_out}."))?;
    }
    if explain { reasons(&view.reasons, "  ", output) } else { Ok(()) }
}
