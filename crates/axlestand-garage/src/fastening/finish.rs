//! What makes a fastener final once it is at torque: slots and pins, collars, tabs, lock nuts.

use super::figures::plain;
use super::subject::Subject;
use crate::units::Units;
use axlestand_fastener::castle::{self, CastleNut, HoleSeen, PinHoles};
use axlestand_fastener::locking::{self, Reuse};
use axlestand_fastener::{Locking, wheel};
use axlestand_quantity::Torque;

/// What follows the torque, a line each: the slot, the lock, the order round a wheel.
pub(super) fn after_torque(subject: &Subject<'_>, units: Units) -> Vec<String> {
    let mut lines = Vec::new();
    if subject.is_castle() {
        lines.extend(slot_line(subject));
        lines.push(hole_line(subject));
    }
    if let Some(line) = drag_line(subject, units) {
        lines.push(line);
    }
    if subject.place == axlestand_fastener::Place::WheelFastener {
        lines.extend(wheel_line(subject.fastener.count));
    }
    lines
}

/// On to the next slot, never back.
fn slot_line(subject: &Subject<'_>) -> Option<String> {
    let step = CastleNut::of(subject.thread?, PinHoles::One).step();
    Some(format!("That is the least: then on to the next slot, at most {step:.0}, never back."))
}

/// The finding that the hole stands above the slots.
fn hole_line(subject: &Subject<'_>) -> String {
    let verdict = castle::judge_hole(HoleSeen::AboveSlots, subject.on_taper());
    format!("If {verdict}.")
}

/// How hard a lock nut drags before it seats.
fn drag_line(subject: &Subject<'_>, units: Units) -> Option<String> {
    let kind = subject.locking()?;
    if !matches!(kind, Locking::NylonInsert | Locking::DistortedThread) {
        return None;
    }
    let (low, high, unit) = drag_in(drag(subject)?, units)?;
    Some(format!(
        "It must drag before it seats: a new one between {low} and {high} {unit}. One that turns by finger is scrap."
    ))
}

/// Least and greatest drag of a new lock nut, N·m: first off and first on of ISO 2320.
pub(super) fn drag(subject: &Subject<'_>) -> Option<(f64, f64)> {
    let limits = locking::prevailing(subject.thread?)?;
    Some((limits.first_off_min.nm(), limits.first_on_max.nm()))
}

/// Drag in N·m as it is said in the user's unit: least, greatest, unit.
pub(super) fn drag_in((low, high): (f64, f64), units: Units) -> Option<(String, String, &'static str)> {
    let (factor, unit) = match units {
        Units::Metric => (1.0, "N·m"),
        Units::Inch => (Torque::from_nm(1.0).ok()?.lb_ft(), "lb·ft"),
    };
    Some((plain(low * factor, 1), plain(high * factor, 1), unit))
}

fn wheel_line(count: u32) -> Option<String> {
    let order = wheel::pattern(usize::try_from(count).ok()?).ok()?;
    let order: Vec<_> = order.iter().map(ToString::to_string).collect();
    let [_, _, (from, to)] = wheel::default_rechecks();
    Some(format!(
        "Crosswise ({}, counted clockwise): snug by hand, half the torque, then all of it. Check again after {from:.0} to {to:.0} km; the maker's own distance comes first.",
        order.join("-")
    ))
}

/// What makes the lock of a fastener final, and whether it goes back on: for the row that locks it.
pub(crate) fn lock_lines(subject: &Subject<'_>) -> Vec<String> {
    let Some(known) = subject.locking().and_then(Locking::known) else { return Vec::new() };
    let mut lines = vec![format!("final {}", known.final_when)];
    if known.kind == Locking::SplitPin
        && let Some((diameter, length)) = subject.thread.and_then(castle::size_of).and_then(|size| size.pin)
    {
        lines.push(format!(
            "split pin {} × {} mm for this thread",
            plain(diameter.mm(), 1),
            plain(length.mm(), 0)
        ));
    }
    lines.push(format!("look: {}", known.check));
    if known.reuse != Reuse::Yes {
        lines.push(known.reuse.to_string());
    }
    lines
}
