//! What a fastener bears before it twists off.

use super::{CalcView, read_class, read_length, read_thread, refused};
use crate::error::GarageError;
use crate::fastening::figures::rough_torque;
use crate::fastening::stuck::{break_reasons, limit_of, pull_line};
use crate::units::Units;
use axlestand_fastener::seized::{
    Limit, LimitKind, RootState, Trust, breaking_torque, remaining_tensile_load, safe_loosening_torque,
    weakest,
};
use axlestand_model::car::Drive;

/// What is typed.
#[derive(Debug, Clone, Default)]
pub struct BreakInput {
    /// The thread.
    pub thread: String,
    /// The class on the head.
    pub class: String,
    /// The diameter that the rust has left.
    pub left: Option<String>,
    /// The drive.
    pub drive: Option<String>,
    /// The length of the bar.
    pub bar: Option<String>,
}

/// Least breaking torque, where to stop, and the pull on the bar.
///
/// # Errors
/// [`GarageError::Input`] for what is no thread, class, diameter or drive.
pub fn breaking(input: &BreakInput, units: Units) -> Result<CalcView, GarageError> {
    let (thread, class) = (read_thread(&input.thread)?, read_class(&input.class)?);
    let left = input.left.as_deref().map(read_length).transpose()?;
    let root = left.map_or(RootState::Sound, RootState::Corroded);
    let breaks = breaking_torque(thread, class, root).map_err(refused)?;
    let stop = safe_loosening_torque(&breaks);
    let mut view = CalcView::new(format!(
        "{thread}, class {class}, twists off from about {} on.",
        rough_torque(breaks.least, units)
    ));
    let mut limits = vec![Limit { kind: LimitKind::Shank, torque: stop, trust: Trust::Fair }];
    if let Some(text) = &input.drive {
        let drive = Drive::parse(text).map_err(GarageError::Input)?;
        match limit_of(&drive) {
            Some((limit, what)) => {
                view.figure("drive-limit", limit.torque.nm(), "N·m");
                if limit.torque < stop {
                    view.lines.push(format!("{what}, at about {}.", rough_torque(limit.torque, units)));
                }
                limits.push(limit);
            }
            None => view.lines.push(format!("No limit for {drive} is in the tables.")),
        }
    }
    let governs = weakest(&limits).map_or(stop, |limit| limit.torque);
    let bar = input.bar.as_deref().map(read_length).transpose()?;
    view.lines.push(pull_line(governs, bar, units)?);
    view.figure("least-breaking-torque", breaks.least.nm(), "N·m");
    view.figure("stop-at", governs.nm(), "N·m");
    let tension = remaining_tensile_load(thread, class, root).map_err(refused)?;
    view.figure("least-tearing-load", tension.n(), "N");
    view.warnings.push("A limit of the sound metal, not a torque to reach for; rounded heads and rusted shanks give earlier.".to_owned());
    view.reasons.extend(break_reasons(&breaks));
    Ok(view)
}
