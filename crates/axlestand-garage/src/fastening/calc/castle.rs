//! Castle nuts: the angle to the next slot and what it costs.

use super::{CalcView, read_friction, read_length, read_thread, read_torque, refused};
use crate::error::GarageError;
use crate::fastening::figures::{Reason, kilonewtons, plain, rough_torque};
use crate::fastening::setting::parse_angle;
use crate::sentence::sentence;
use crate::units::Units;
use axlestand_fastener::castle::{CastleNut, HoleSeen, PinHoles, judge_hole, size_of};
use axlestand_fastener::stiffness::{STEEL_MPA, preload_per_degree, solid_steel};
use axlestand_fastener::{Friction, Joint, Thread, formula};
use axlestand_quantity::Torque;

/// What is typed.
#[derive(Debug, Clone, Default)]
pub struct CastleInput {
    /// The thread.
    pub thread: String,
    /// The number of slots; by the thread if absent.
    pub slots: Option<u32>,
    /// Two crossing holes instead of one.
    pub crossed: bool,
    /// The least torque.
    pub from: Option<String>,
    /// The greatest torque.
    pub to: Option<String>,
    /// The clamped length, for the upper bound of a solid joint.
    pub grip: Option<String>,
    /// How far the nearest slot has gone past the hole.
    pub past: Option<String>,
    /// Where the hole is seen: in, above, below.
    pub hole: Option<String>,
    /// It sits on a flat face, not on a taper.
    pub flat: bool,
}

/// The angle to go on, what it may cost, and what the place of the hole says.
///
/// # Errors
/// [`GarageError::Input`] for what is no thread, torque or angle.
pub fn castle(input: &CastleInput, units: Units) -> Result<CalcView, GarageError> {
    let thread = read_thread(&input.thread)?;
    let holes = if input.crossed { PinHoles::Crossed } else { PinHoles::One };
    let nut = match input.slots {
        Some(slots) => CastleNut::new(slots, holes).map_err(refused)?,
        None => CastleNut::of(thread, holes),
    };
    let step = nut.step();
    let mut view = CalcView::new(format!(
        "Tighten to the least torque, then on to the next slot, at most {step:.0}, never back."
    ));
    view.figure("step", step.deg(), "°");
    view.reasons.push(Reason::formula(formula::CASTLE_STEP, ""));
    view.reasons.push(Reason::new(
        "the rule",
        "on to the next slot, not past the high side, new pin",
        "MS33540J; FAA AC 43.13-1B, 7-40",
    ));
    if let Some(text) = &input.past {
        let forward = nut.forward(parse_angle(text)?).map_err(refused)?;
        view.line = format!("Turn on by {forward} to the next slot, never back.");
        view.figure("turn-on", forward.deg(), "°");
    }
    if let Some((diameter, length)) = size_of(thread).and_then(|size| size.pin) {
        view.lines.push(format!(
            "Split pin {} × {} mm, a new one, both legs bent.",
            plain(diameter.mm(), 1),
            plain(length.mm(), 0)
        ));
    }
    if let Some(text) = &input.hole {
        let seen = match text.trim() {
            "in" => HoleSeen::InSlots,
            "above" => HoleSeen::AboveSlots,
            "below" => HoleSeen::BelowSlots,
            other => {
                return Err(GarageError::Input(format!(
                    "'{other}' is no place of the hole; there are in, above and below"
                )));
            }
        };
        view.lines.push(sentence(&judge_hole(seen, !input.flat).to_string()));
    }
    if let Some(from) = &input.from {
        cost(&mut view, nut, thread, from, input, units)?;
    }
    Ok(view)
}

/// What going on may cost between the least and the greatest torque.
fn cost(
    view: &mut CalcView,
    nut: CastleNut,
    thread: Thread,
    from: &str,
    input: &CastleInput,
    units: Units,
) -> Result<(), GarageError> {
    let least = read_torque(from)?.0;
    let greatest: Option<Torque> =
        input.to.as_deref().map(|text| read_torque(text).map(|t| t.0)).transpose()?;
    let per_degree = match &input.grip {
        Some(text) => {
            let stiffness = solid_steel(thread, read_length(text)?, STEEL_MPA).map_err(refused)?;
            Some(preload_per_degree(thread, stiffness))
        }
        None => None,
    };
    let mu = Friction::same(read_friction(None, None)?.0.coefficient.point()).map_err(refused)?;
    let plan = nut.plan(Joint::hex(thread), mu, (least, greatest), per_degree).map_err(refused)?;
    view.figure("start", plan.start.nm(), "N·m");
    view.lines.push(format!("From {}: {}.", units.short_torque(plan.start), plan.outlook));
    if let (Some(added), Some(after)) = (plan.added_clamp, plan.torque_after) {
        view.figure("added-clamp-upper-bound", added.n(), "N");
        view.reasons.push(Reason::formula(
            formula::PER_DEGREE,
            &format!(
                "a whole step adds at most {} and ends at most at {}, in a solid steel joint; tapers and bushings are far softer",
                kilonewtons(added),
                rough_torque(after, units)
            ),
        ));
    }
    Ok(())
}
