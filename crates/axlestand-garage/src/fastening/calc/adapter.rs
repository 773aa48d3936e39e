//! A torque wrench with an adapter.

use super::{CalcView, read_length, read_torque, refused};
use crate::error::GarageError;
use crate::fastening::figures::{Reason, digits};
use crate::fastening::setting::parse_angle;
use axlestand_fastener::{Adapter, formula};

/// What is typed.
#[derive(Debug, Clone, Default)]
pub struct AdapterInput {
    /// The torque at the fastener.
    pub torque: String,
    /// Middle of the grip to the square.
    pub lever: String,
    /// Middle of the square to the middle of the fastener.
    pub offset: String,
    /// The angle between handle and adapter; straight out if absent.
    pub angle: Option<String>,
}

/// What to set so that the fastener gets the torque.
///
/// # Errors
/// [`GarageError::Input`] for what is no torque, length or angle, and where no lever is left.
pub fn adapter(input: &AdapterInput) -> Result<CalcView, GarageError> {
    let (torque, unit) = read_torque(&input.torque)?;
    let (lever, offset) = (read_length(&input.lever)?, read_length(&input.offset)?);
    let angle = parse_angle(input.angle.as_deref().unwrap_or("0"))?;
    let adapter = Adapter::new(lever, offset, angle).map_err(refused)?;
    let setting = adapter.setting(torque).map_err(refused)?;
    let shown = |nm: f64| format!("{} {}", digits(nm / unit.factor, 4), unit.symbol);
    let mut view =
        CalcView::new(format!("Set {}: the fastener gets {}.", shown(setting.nm()), shown(torque.nm())));
    view.figure("setting", setting.nm(), "N·m");
    view.figure("at-fastener", torque.nm(), "N·m");
    view.figure("factor", adapter.factor(), "");
    let figures = format!("T = {}, L = {lever:.1}, A = {offset:.1}, θ = {angle:.0}", shown(torque.nm()));
    view.reasons.push(Reason::formula(formula::ADAPTER, &figures));
    view.reasons.push(Reason::new(
        "how to hold it",
        "pull at the middle of the grip, at a right angle to the handle",
        "",
    ));
    if (adapter.factor() - 1.0).abs() < 1e-9 {
        view.lines.push("At a right angle the adapter changes nothing.".to_owned());
    }
    Ok(view)
}
