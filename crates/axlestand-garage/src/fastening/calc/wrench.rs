//! Which torque wrench, and what to set on it.

use super::{CalcView, read_torque};
use crate::error::GarageError;
use crate::fastening::figures::{Reason, on_scale, percent};
use crate::fastening::tools::{WrenchInHand, judge_all};
use crate::sentence::sentence;
use crate::toolbox::{WrenchEntry, read_tightening_tools};
use axlestand_fastener::wrench::WrenchKind;

/// What is typed: a wrench by its range, or a toolbox file's text.
#[derive(Debug, Clone, Default)]
pub struct WrenchInput {
    /// The torque at the fastener.
    pub torque: String,
    /// Lowest mark.
    pub from: Option<String>,
    /// Highest mark.
    pub to: Option<String>,
    /// click, beam, dial, electronic.
    pub kind: Option<String>,
    /// Step of the scale.
    pub step: Option<String>,
    /// Accuracy, like "4 %".
    pub accuracy: Option<String>,
    /// The text of a toolbox file.
    pub toolbox: Option<String>,
}

/// The wrenches judged for a torque, the best first.
///
/// # Errors
/// [`GarageError`] for what is no torque or range, and a toolbox that is not understood.
pub fn wrench(input: &WrenchInput) -> Result<CalcView, GarageError> {
    let target = read_torque(&input.torque)?.0;
    let wrenches = wrenches(input)?;
    let (judged, _) = judge_all(&wrenches, target, None);
    let Some(best) = judged.first() else {
        return Err(GarageError::Input("the toolbox holds no torque wrench".to_owned()));
    };
    let line = if best.choice.usable() {
        let verb =
            if matches!(best.wrench.kind, WrenchKind::Beam | WrenchKind::Dial) { "Pull to" } else { "Set" };
        format!("{verb} {} on '{}'.", on_scale(best.choice.in_own_unit, best.choice.unit), best.wrench.name)
    } else {
        "None of these shows that torque.".to_owned()
    };
    let mut view = CalcView::new(line);
    if best.choice.usable() {
        view.figure("setting", best.choice.setting.nm(), "N·m");
        view.figure("limit-of-deviation", best.choice.limit, "");
    }
    for one in &judged {
        let said: Vec<String> = one.choice.findings.iter().map(ToString::to_string).collect();
        let text = if said.is_empty() {
            format!("'{}': ±{}.", one.wrench.name, percent(one.choice.limit))
        } else {
            format!("'{}': {}", one.wrench.name, sentence(&said.join("; ")))
        };
        view.lines.push(text);
    }
    view.reasons.push(Reason::new(
        "a fifth of the range",
        "click wrenches are tested from 20 % of their range on",
        "ISO 6789",
    ));
    view.reasons.push(Reason::new(
        "accuracy",
        "±4 % above 10 N·m, ±6 % up to it, where the maker states none",
        "ISO 6789",
    ));
    Ok(view)
}

fn wrenches(input: &WrenchInput) -> Result<Vec<WrenchInHand>, GarageError> {
    if let Some(text) = &input.toolbox {
        return Ok(read_tightening_tools(text)?.0);
    }
    let (Some(from), Some(to)) = (&input.from, &input.to) else {
        return Err(GarageError::Input(
            "say the range of the wrench (--from, --to) or give a --toolbox file".to_owned(),
        ));
    };
    let entry = WrenchEntry {
        name: "this wrench".to_owned(),
        from: from.clone(),
        to: to.clone(),
        kind: input.kind.clone(),
        step: input.step.clone(),
        accuracy: input.accuracy.clone(),
        ..WrenchEntry::default()
    };
    Ok(vec![WrenchInHand::read(&entry).map_err(GarageError::Input)?])
}
