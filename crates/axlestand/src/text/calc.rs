//! The answer of a calculation as text.

use super::rows::reasons;
use crate::output::{Failure, Output};
use axlestand_garage::fastening::calc::CalcView;

/// The answer, what to beware of, and the reasons where they are wanted.
pub(crate) fn calc(view: &CalcView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    output.heading(&view.line)?;
    for line in &view.lines {
        output.line(line)?;
    }
    for warning in &view.warnings {
        output.line(format!("! {warning}"))?;
    }
    if explain { reasons(&view.reasons, "  ", output) } else { Ok(()) }
}
