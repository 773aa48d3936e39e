//! Numbers and inputs of geometry as text.

use crate::output::{Failure, Output};
use axlestand_garage::geometry::InputView;

/// A number with its places; no minus before nought.
pub(super) fn number(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    if text.trim_start_matches('-').chars().all(|c| matches!(c, '0' | '.')) {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

pub(super) fn maybe(value: Option<f64>, places: usize) -> String {
    value.map_or_else(|| "–".to_owned(), |value| number(value, places))
}

/// A number with its sign.
pub(super) fn signed(value: f64, places: usize) -> String {
    let text = number(value, places);
    if text.starts_with('-') || text.chars().all(|c| matches!(c, '0' | '.')) {
        text
    } else {
        format!("+{text}")
    }
}

/// The inputs: the typical ones always, all on request.
pub(super) fn inputs(inputs: &[InputView], explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    let typical: Vec<&InputView> = inputs.iter().filter(|input| input.typical).collect();
    if !typical.is_empty() {
        output.line("Typical, NOT from this car (measure these to narrow the answer):")?;
        for input in typical {
            let range = input.range.as_ref().map(|r| format!(", varied {r}")).unwrap_or_default();
            output.line(format!("  {} {}{range} [{}]", input.what, input.value, input.from))?;
        }
    }
    if explain {
        output.line("Inputs:")?;
        for input in inputs.iter().filter(|input| !input.typical) {
            let line = output.quiet(&format!("  {} {} [{}]", input.what, input.value, input.from));
            output.line(line)?;
        }
    }
    Ok(())
}
