//! A corner's survey as text.

use super::figures::signed;
use crate::output::{Failure, Output};
use axlestand_garage::Units;
use axlestand_garage::alignment::{SurveyAnswerView, SurveyView};

/// What a surveyed corner does.
pub(crate) fn survey(views: &[SurveyView], units: Units, output: &mut Output<'_>) -> Result<(), Failure> {
    for view in views {
        let [points, swept] = view.readings;
        output.heading(&format!(
            "{} corner, {} and {} of the sweep",
            view.wheel.replace('-', " "),
            super::count(points, "reading"),
            swept
        ))?;
        for finding in &view.findings {
            output.line(format!("{} {finding}.", if view.sound { "  -" } else { "STOP" }))?;
        }
        if !view.again.is_empty() {
            output.line(format!("  → read again: {}", view.again.join(", ")))?;
        }
        if !view.sound {
            output.line(
                "  Nothing is left out by itself. What follows is not to be used until the readings fit:",
            )?;
        }
        for one in &view.answers {
            output.line(line(one))?;
        }
        // Several heights have the same reason.
        let mut refused: Vec<&String> = view
            .answers
            .iter()
            .filter(|one| one.value.is_none())
            .filter_map(|one| one.note.as_ref())
            .collect();
        refused.dedup();
        for why in refused {
            output.line(format!("  ! {why}."))?;
        }
        if !view.next.is_empty() {
            output.heading("To read next, what tells most for its minutes first")?;
        }
        for next in &view.next {
            output.line(format!("  {}", next.line))?;
        }
        output.line(format!(
            "Assumed: {}, each point known to some {}. The share is of an answer's uncertainty.",
            view.start,
            if units == Units::Inch { "2 in" } else { "50 mm" }
        ))?;
        for note in &view.notes {
            output.line(format!("Note: {note}."))?;
        }
    }
    output.line("± is one standard uncertainty, never shown better than 0.05° of camber and 0.03° of toe for a change of height: bushings, mounts and a tyre on the floor are not in it. The places of the points are not given: what they do to the wheel is often known better than where they are. Signs: toe + in, camber + top out.")
}

fn line(one: &SurveyAnswerView) -> String {
    let places = if one.answer == "shim" { 4 } else { 3 };
    match (one.value, one.u, one.assumed_share) {
        (Some(value), Some(u), Some(share)) => format!(
            "  {:56}{:>8}° ± {u:.places$}°   {:.0} % assumed{}",
            one.what,
            signed(value, places),
            100.0 * share,
            if one.note.is_some() { ": more than half is not this car, read more" } else { "" }
        ),
        _ => format!("  {:56}refused", one.what),
    }
}
