//! Wheel fasteners: order, stages, when to check again.

use super::{CalcView, read_torque, refused};
use crate::error::GarageError;
use crate::fastening::figures::{Reason, plain};
use crate::sentence::capital;
use crate::units::Units;
use axlestand_fastener::wheel::{pattern, rechecks, stages};

/// Order and stages for so many wheel fasteners, and when to check again.
///
/// # Errors
/// [`GarageError::Input`] for a number without a pattern, or what is no torque.
pub fn wheel(count: usize, torque: Option<&str>, units: Units) -> Result<CalcView, GarageError> {
    let order: Vec<String> = pattern(count).map_err(refused)?.iter().map(ToString::to_string).collect();
    let mut view = CalcView::new(format!("Order, counted clockwise from the top: {}.", order.join(" – ")));
    if let Some(text) = torque {
        for (at, stage) in stages(read_torque(text)?.0).map_err(refused)?.iter().enumerate() {
            let torque =
                stage.torque.map(|torque| format!(" ({})", units.short_torque(torque))).unwrap_or_default();
            view.lines.push(format!(
                "{}. {}{torque}",
                at + 1,
                capital(stage.instruction).trim_end_matches('.')
            ));
        }
    }
    view.lines.push("Check again after a few metres, after 10 to 30 km, and after 50 to 100 km; the maker's own distance comes first.".to_owned());
    view.warnings.push("Threads and seats clean and dry, no grease; no impact wrench for the last stage; nuts or bolts whose seat (cone, ball or flat) matches the wheel.".to_owned());
    for row in rechecks() {
        let text = format!("{} to {} km: {}", plain(row.km_low, 0), plain(row.km_high, 0), row.instruction);
        view.reasons.push(Reason::new("printed recheck", text, row.source));
    }
    view.reasons.push(Reason::new("order", "opposite pairs, then at a right angle", "MIL-HDBK-60, 5.7"));
    Ok(view)
}
