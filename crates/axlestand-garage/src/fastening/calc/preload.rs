//! The clamp load of a torque, and how far it loads the bolt.

use super::{CalcView, read_class, read_friction, read_number, read_thread, read_torque, refused};
use crate::error::GarageError;
use crate::fastening::figures::{Reason, clamp, kilonewtons, percent};
use axlestand_fastener::tightening::preload_by_nut_factor;
use axlestand_fastener::{Interval, Joint, Torsion, formula};

/// What is typed.
#[derive(Debug, Clone, Default)]
pub struct PreloadInput {
    /// The thread.
    pub thread: String,
    /// The torque.
    pub torque: String,
    /// The class on the head, for the share of its strength.
    pub class: Option<String>,
    /// The condition; dry if absent.
    pub condition: Option<String>,
    /// The coefficient of friction instead.
    pub friction: Option<String>,
    /// The nut factor K instead.
    pub nut_factor: Option<String>,
}

/// The clamp load of a torque over the range of friction.
///
/// # Errors
/// [`GarageError::Input`] for what is no thread, torque, class or friction.
pub fn preload(input: &PreloadInput) -> Result<CalcView, GarageError> {
    let (thread, (torque, _)) = (read_thread(&input.thread)?, read_torque(&input.torque)?);
    if let Some(text) = &input.nut_factor {
        let k = read_number(text, "nut factor")?;
        let load = preload_by_nut_factor(k, thread.diameter(), torque).map_err(refused)?;
        let mut view = CalcView::new(format!("Clamp load {} at nut factor {k}.", kilonewtons(load)));
        view.figure("clamp-load", load.n(), "N");
        view.reasons
            .push(Reason::formula(formula::NUT_FACTOR, &format!("K = {k}, d = {}", thread.diameter())));
        view.warnings.push(
            "A nut factor hides the friction it was measured with: it may be 30 % off on another bolt."
                .to_owned(),
        );
        return Ok(view);
    }
    let (range, said) = read_friction(input.friction.as_deref(), input.condition.as_deref())?;
    let joint = Joint::hex(thread);
    let load = joint.preload_range(torque, &range).map_err(refused)?;
    let single = range.coefficient.low() >= range.coefficient.high();
    let text = if single { kilonewtons(load.point()) } else { clamp(load) };
    let mut view = CalcView::new(format!("Clamp load {text}."));
    let newtons = Interval::new(load.low().n(), load.point().n(), load.high().n());
    if let Some(newtons) = newtons {
        view.interval("clamp-load", newtons, "N");
    }
    view.reasons.push(Reason::new("friction", said, ""));
    view.reasons.push(Reason::formula(formula::TORQUE, ""));
    view.reasons.push(Reason::formula(
        formula::BEARING,
        &format!("{:.1} for a plain hexagon", joint.bearing().mean_diameter()),
    ));
    if let Some(class) = &input.class {
        let strength = read_class(class)?.strength(thread).map_err(refused)?;
        let used = joint.load_of(torque, &range, strength.yield_mpa, Torsion::Plastic).map_err(refused)?;
        view.interval("share-of-yield", used.share, "");
        let share = if single {
            percent(used.share.point())
        } else {
            format!("{} to {}", percent(used.share.low()), percent(used.share.high()))
        };
        view.lines.push(format!("That loads the bolt to {share} of its yield strength."));
        if used.share.high() > 1.0 {
            view.warnings.push("At the slippery end of the friction the bolt yields.".to_owned());
        }
        view.reasons.push(Reason::formula(formula::UTILISATION, "k = 3/2 here"));
    }
    view.reasons.push(Reason::new("settling", "takes 2 to 10 % afterwards", "NASA NSTS 08307"));
    Ok(view)
}
