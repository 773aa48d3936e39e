//! What the lists that are read on stands tell so far, in lines.

use super::bump::bump;
use super::place::wheel_word;
use super::survey::{SurveyAnswerView, SurveyWanted, survey};
use crate::job::Job;
use crate::units::Units;
use axlestand_geometry::estimation::alignment::Wheel;

/// Lines of a wheel's sweep.
pub(super) fn swept(job: &Job, wheel: Wheel, units: Units) -> Vec<String> {
    let name = wheel_word(wheel);
    let views = bump(job, units).unwrap_or_default();
    let mut lines = Vec::new();
    for view in views.into_iter().filter(|view| view.wheel == name) {
        lines.extend(view.answers.iter().map(|one| {
            let lower = units.short_length(one.lowered);
            format!("{}, {lower} lower: {:+.2}° ± {:.2}°", view.angle, one.change, one.u)
        }));
        lines.extend(view.notes);
    }
    lines
}

/// Lines of a wheel's survey.
pub(super) fn surveyed(job: &Job, wheel: Wheel, units: Units) -> Vec<String> {
    let name = wheel_word(wheel);
    let views = match survey(job, &SurveyWanted { units, ..SurveyWanted::default() }) {
        Ok(views) => views,
        // Before any point was read there is nothing to say.
        Err(_) => return Vec::new(),
    };
    let mut lines = Vec::new();
    for view in views.into_iter().filter(|view| view.wheel == name) {
        lines.extend(view.findings);
        if !view.again.is_empty() {
            lines.push(format!(
                "read again: {}; until the readings fit, no result is given",
                view.again.join(", ")
            ));
        }
        if view.sound {
            lines.extend(view.answers.iter().map(line));
            lines.extend(view.next.first().map(|next| format!("read next: {}", next.line)));
        }
        lines.extend(view.notes);
    }
    lines
}

fn line(one: &SurveyAnswerView) -> String {
    let note = one.note.as_ref().map_or_else(String::new, |note| format!("; {note}"));
    match (one.value, one.u) {
        (Some(value), Some(u)) if one.answer == "shim" => {
            format!("{}: {value:+.4}° ± {u:.4}°{note}", one.what)
        }
        (Some(value), Some(u)) => format!("{}: {value:+.3}° ± {u:.3}°{note}", one.what),
        _ => format!("{}: refused{note}", one.what),
    }
}
