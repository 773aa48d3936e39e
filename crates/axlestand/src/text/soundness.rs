//! Whether a garage is sound, as text.

use super::count;
use crate::output::{Failure, Output};
use axlestand_garage::{Finding, SoundnessView};

/// What was checked, what is wrong with it, and what to do.
pub(crate) fn soundness(view: &SoundnessView, output: &mut Output<'_>) -> Result<(), Failure> {
    if view.good {
        let entries = count(view.entries, "entry");
        let deliveries = match view.deliveries {
            1 => "1 delivery".to_owned(),
            more => format!("{more} deliveries"),
        };
        output.line(format!(
            "{} is sound: {}, {entries}, {deliveries}, {}.",
            view.place,
            count(view.jobs, "job"),
            count(view.photos, "photo")
        ))?;
    } else {
        output.heading(&format!("{} has {}:", view.place, count(view.findings.len(), "fault")))?;
        list(&view.findings, "-", output)?;
    }
    list(&view.remarks, "~", output)
}

/// Findings; what to do once below all those that ask for the same.
fn list(findings: &[Finding], mark: &str, output: &mut Output<'_>) -> Result<(), Failure> {
    for (at, finding) in findings.iter().enumerate() {
        output.line(format!("  {mark} {}: {}", finding.place, finding.text))?;
        if findings.get(at + 1).is_none_or(|next| next.hint != finding.hint) {
            output.line(format!("    do: {}", finding.hint))?;
        }
    }
    Ok(())
}
