//! Rows of the plan as text.

use super::lead::led;
use crate::output::{Failure, Output};
use crate::text::hours;
use axlestand_garage::fastening::{Reason, SettingView};
use axlestand_garage::views::{NextView, OpenView, RowView, Tells};
use axlestand_garage::{Action, FastenerStage, HoldState, LedText, Units, Verb};

/// What comes next.
pub(crate) fn next(view: &NextView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    if let Some(notice) = &view.notice {
        output.line(format!("! {notice}"))?;
    }
    output.heading(&format!(
        "{} · {} · the car is {} · {} of {} rows · about {} left",
        view.job,
        view.stage,
        view.car_state,
        view.finished,
        view.total,
        hours(view.minutes_left)
    ))?;
    if let Some(taught) = &view.outlook {
        let taught = output.quiet(&super::forecast::retold(taught));
        output.line(taught)?;
    }
    if let Some(note) = view.outlook.as_ref().and_then(|outlook| outlook.note.as_ref()) {
        output.line(format!("! {note}"))?;
    }
    if let Some(warning) = &view.do_not_roll {
        let warning = output.strong(warning);
        output.line(warning)?;
    }
    if let Some(elsewhere) = &view.elsewhere {
        output.line(format!("! {elsewhere}"))?;
    }
    if let Some(why) = &view.come_down {
        output.line(format!("! {why}"))?;
    }
    for wait in &view.goes_on {
        output.line(&wait.text)?;
    }
    if view.rows.is_empty() {
        let text = match (view.finished == view.total, view.left_out.is_empty()) {
            (true, _) if view.total == 0 => "No row is planned. Next: axlestand check road",
            (true, true) => "Every row is done. Next: axlestand check road",
            (true, false) => "Every other row is done. Next: axlestand check road",
            (false, _) => "No row can be done now. 'axlestand open' shows what waits for what.",
        };
        for row in &view.left_out {
            output.line(format!("     left out: {row}"))?;
        }
        output.line(text)?;
        return against(&view.against, output);
    }
    for row in &view.rows {
        row_lines(row, explain, output)?;
    }
    Ok(())
}

/// The first of what the road check still says against it.
fn against(reasons: &[LedText], output: &mut Output<'_>) -> Result<(), Failure> {
    if reasons.is_empty() {
        return Ok(());
    }
    output.line(format!("The road check says NO, {}:", super::count(reasons.len(), "reason")))?;
    for reason in reasons.iter().take(3) {
        output.line(format!("     {}", led(&reason.text, reason.lead.as_ref())))?;
    }
    let more = reasons.len().saturating_sub(3);
    if more > 0 { output.line(format!("     and {more} more")) } else { Ok(()) }
}

/// One row with all that is needed to do it, the caution first.
pub(super) fn row_lines(row: &RowView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    let number = row.number.map_or_else(|| "   ".to_owned(), |n| format!("{n:>3}"));
    let text = output.strong(&row.text);
    let minutes = row.minutes.map(|m| format!(", {}", hours(m))).unwrap_or_default();
    let place = output.quiet(&format!("[{}{minutes}]", row.place));
    output.line(format!("{number}  {text}  {place}"))?;
    for wait in &row.not_before {
        output.line(format!("     ! {}", wait.text))?;
    }
    if let Some(caution) = &row.caution {
        output.line(format!("     ! {caution}"))?;
    }
    let torque = row.torque.as_ref().map(|torque| led(torque, row.torque_lead.as_ref()));
    for detail in row.tool.iter().chain(&torque) {
        output.line(format!("     {detail}"))?;
    }
    if let Some(set) = &row.set {
        setting(set, explain, output)?;
    }
    let starts = row.starts.as_ref().map(|starts| &starts.text);
    for remark in row.remarks.iter().map(|remark| &remark.text).chain(starts) {
        output.line(format!("     {remark}"))?;
    }
    for more in &row.leads {
        output.line(format!("     {}", led(&more.text, more.lead.as_ref())))?;
    }
    Ok(())
}

/// What to set, with what to beware of and what follows; the reasons where they are wanted.
fn setting(set: &SettingView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    if set.says_more {
        let line = output.strong(&set.line);
        output.line(format!("     {line}"))?;
    }
    for warning in &set.warnings {
        output.line(format!("     ! {warning}"))?;
    }
    for then in &set.then {
        output.line(format!("     {then}"))?;
    }
    if explain { reasons(&set.reasons, "       ", output) } else { Ok(()) }
}

/// Every input, formula, source and limit, a line each.
pub(crate) fn reasons(reasons: &[Reason], indent: &str, output: &mut Output<'_>) -> Result<(), Failure> {
    for reason in reasons {
        let source = reason.source.as_ref().map(|source| format!(" [{source}]")).unwrap_or_default();
        let line = output.quiet(&format!("{}: {}{source}", reason.what, reason.text));
        output.line(format!("{indent}{line}"))?;
    }
    Ok(())
}

/// What was just recorded, with how it stands now where nothing recorded with it moved it further.
pub(crate) fn done(
    row: &RowView,
    hold: Option<&HoldState>,
    action: &Action,
    open: Option<&OpenView>,
    units: Units,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    let number = row.number.map(|n| format!("{n} ")).unwrap_or_default();
    output.line(format!("Done {number}{}", row.text))?;
    let Some(hold) = hold else { return Ok(()) };
    match action.verb {
        Verb::Undo => {
            if let Some(place) = hold.tray {
                output.line(format!("  tray place {place}"))?;
            }
            for remark in row.remarks.iter().filter(|remark| remark.tells == Tells::LookAlike) {
                output.line(format!("  {}", remark.text))?;
            }
        }
        Verb::Fit | Verb::Final | Verb::Lock => {
            let value = hold.torque.as_ref().and_then(|torque| torque.value.clone());
            let value = value.map(|value| format!(", {}", units.recorded(&value))).unwrap_or_default();
            let stands = open.map_or_else(|| finished(hold.stage), |open| open.stands.as_str());
            output.line(format!("  {stands}{value}"))?;
            if let Some(warning) = open.and_then(|open| stays_open(open, hold)) {
                output.line(format!("  ! {warning}"))?;
            }
        }
        _ => {}
    }
    Ok(())
}

/// How a hold that is no open item stands.
fn finished(stage: FastenerStage) -> &'static str {
    match stage {
        FastenerStage::Seated => "done",
        stage => stage.phrase(),
    }
}

/// What to say at once of something that stays open though it looks finished.
fn stays_open(open: &OpenView, hold: &HoldState) -> Option<&'static str> {
    if open.lacks_value {
        Some(
            "No value with a source is known, so this stays open: look it up now, before something hides it ('car set … torque', then 'done final:…').",
        )
    } else if hold.reused && open.danger == "critical" {
        Some("A new one is due here, so this stays open until a new one is in.")
    } else {
        None
    }
}
