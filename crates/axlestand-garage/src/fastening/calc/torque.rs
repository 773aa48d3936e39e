//! A torque: for a clamp load, at a share of the strength, or converted to another condition.

use super::{
    CalcView, read_class, read_force, read_friction, read_number, read_thread, read_torque, refused,
};
use crate::error::GarageError;
use crate::fastening::conversion::practice;
use crate::fastening::figures::{Reason, digits, percent, rough_torque, torque_range};
use crate::fastening::surface::Surface;
use crate::units::Units;
use axlestand_fastener::{
    Condition, ConversionRequest, Friction, FrictionRange, Joint, Place, Thread, Torsion, convert, formula,
};
use axlestand_quantity::Torque;

/// What is typed. One of `torque` (to convert), `clamp` (to reach) and `class` (the limit) counts.
#[derive(Debug, Clone, Default)]
pub struct TorqueInput {
    /// The thread.
    pub thread: String,
    /// The torque to convert.
    pub torque: Option<String>,
    /// The condition it is specified for; dry if absent.
    pub from: Option<String>,
    /// The condition of the thread; dry if absent.
    pub to: Option<String>,
    /// What kind of place it is: thread, wheel-fastener, taper …
    pub place: Option<String>,
    /// The clamp load to reach.
    pub clamp: Option<String>,
    /// The class, for the torque at a share of its yield strength: a limit.
    pub class: Option<String>,
    /// That share; 0.9 if absent.
    pub share: Option<String>,
    /// The coefficient of friction instead of a condition.
    pub friction: Option<String>,
    /// Reckon torsion elastically, as tables before 2001.
    pub elastic: bool,
}

/// The torque that is asked for.
///
/// # Errors
/// [`GarageError::Input`] for what is not understood or where nothing is asked.
pub fn torque(input: &TorqueInput, units: Units) -> Result<CalcView, GarageError> {
    let thread = read_thread(&input.thread)?;
    match (&input.torque, &input.clamp, &input.class) {
        (Some(torque), None, _) => conversion(thread, torque, input, units),
        (None, Some(clamp), _) => for_clamp(thread, clamp, input, units),
        (None, None, Some(class)) => limit(thread, class, input, units),
        (Some(_), Some(_), _) => Err(GarageError::Input("give a torque to convert or a clamp load to reach, not both".to_owned())),
        (None, None, None) => Err(GarageError::Input(
            "say what is wanted: a torque to convert (--from, --to), a clamp load to reach (--clamp), or a class for its limit (--class)".to_owned(),
        )),
    }
}

fn friction_of(input: &TorqueInput) -> Result<(FrictionRange, String), GarageError> {
    read_friction(input.friction.as_deref(), input.to.as_deref())
}

/// A specified torque on a thread in another condition.
fn conversion(
    thread: Thread,
    torque: &str,
    input: &TorqueInput,
    units: Units,
) -> Result<CalcView, GarageError> {
    let condition =
        |text: &Option<String>| Condition::parse(text.as_deref().unwrap_or("dry")).map_err(refused);
    let (from, to) = (condition(&input.from)?, condition(&input.to)?);
    let place = match &input.place {
        Some(text) => Place::from_slug(text.trim()).ok_or_else(|| {
            let known = Place::ALL.map(Place::slug).join(", ");
            GarageError::Input(format!("'{text}' is no place known here; there are {known}"))
        })?,
        None => Place::Thread,
    };
    let specified = read_torque(torque)?.0;
    let request = ConversionRequest { joint: Joint::hex(thread), specified, from, to, place };
    let conversion = convert(&request).map_err(refused)?;
    let range = torque_range(conversion.torque.low(), conversion.torque.high(), units);
    let mut view = match conversion.setting {
        Some(_) if from == to => CalcView::new(format!("As specified: {}.", units.short_torque(specified))),
        Some(setting) => CalcView::new(format!(
            "Set {}: thread {} ({} is for {}). The published friction gives {range}.",
            units.short_torque(setting),
            Surface::Known(to).phrase(),
            units.short_torque(specified),
            Surface::Known(from).phrase()
        )),
        None => CalcView::new(format!(
            "Not to be converted: thread {}, and set {}.",
            Surface::Known(from).phrase(),
            units.short_torque(specified)
        )),
    };
    if let Some(setting) = conversion.setting {
        view.figure("setting", setting.nm(), "N·m");
    }
    view.interval("ratio", conversion.ratio, "");
    view.interval("clamp-load-if-unchanged", conversion.clamp_if_unchanged, "of what is meant");
    if from != to {
        view.warnings.push(conversion.advice.to_string());
        view.reasons.push(Reason::formula(
            formula::CONVERSION,
            &format!(
                "{} ({} to {})",
                percent(conversion.ratio.point()),
                percent(conversion.ratio.low()),
                percent(conversion.ratio.high())
            ),
        ));
        for condition in [from, to] {
            let said = read_friction(None, Some(condition.slug()))?.1;
            view.reasons.push(Reason::new("friction", said, ""));
        }
        view.reasons.push(practice());
    }
    Ok(view)
}

/// The torque for a clamp load.
fn for_clamp(
    thread: Thread,
    clamp: &str,
    input: &TorqueInput,
    units: Units,
) -> Result<CalcView, GarageError> {
    let force = read_force(clamp)?;
    let (range, said) = friction_of(input)?;
    let joint = Joint::hex(thread);
    let at = |mu: f64| -> Result<Torque, GarageError> {
        joint.torque(force, Friction::same(mu).map_err(refused)?).map_err(refused)
    };
    let mu = range.coefficient;
    let (low, point, high) = (at(mu.low())?, at(mu.point())?, at(mu.high())?);
    let mut view = CalcView::new(format!(
        "About {} for that clamp load{}.",
        rough_torque(point, units),
        spread(low, high, units)
    ));
    push_interval(&mut view, "torque", (low, point, high));
    view.figure("nut-factor", joint.nut_factor(Friction::same(mu.point()).map_err(refused)?), "");
    view.warnings.push("Computed from a clamp load that you gave: no maker's specification.".to_owned());
    view.reasons.push(Reason::new("friction", said, ""));
    view.reasons.push(Reason::formula(formula::TORQUE, ""));
    view.reasons.push(Reason::formula(formula::BEARING, &format!("{:.1}", joint.bearing().mean_diameter())));
    Ok(view)
}

/// The torque at a share of the yield strength, said as a limit.
fn limit(thread: Thread, class: &str, input: &TorqueInput, units: Units) -> Result<CalcView, GarageError> {
    let class = read_class(class)?;
    let strength = class.strength(thread).map_err(refused)?;
    let share = input.share.as_deref().map_or(Ok(0.9), |text| read_number(text, "share"))?;
    let (range, said) = friction_of(input)?;
    let torsion = if input.elastic { Torsion::Elastic } else { Torsion::Plastic };
    let joint = Joint::hex(thread);
    let at = |mu: f64| -> Result<Torque, GarageError> {
        joint
            .torque_at(share, Friction::same(mu).map_err(refused)?, strength.yield_mpa, torsion)
            .map_err(refused)
    };
    let mu = range.coefficient;
    let (low, point, high) = (at(mu.low())?, at(mu.point())?, at(mu.high())?);
    let mut view = CalcView::new(format!(
        "LIMIT of {thread}, class {class}: {} of yield at about {} N·m{}.",
        percent(share),
        digits(point.nm(), 3),
        spread(low, high, units)
    ));
    push_interval(&mut view, "torque-limit", (low, point, high));
    let load = joint
        .preload_at(share, Friction::same(mu.point()).map_err(refused)?, strength.yield_mpa, torsion)
        .map_err(refused)?;
    view.figure("clamp-load", load.n(), "N");
    view.warnings
        .push("A limit of the bolt, never the value to use: that is the maker's, for the joint.".to_owned());
    view.reasons.push(Reason::new("friction", said, ""));
    view.reasons.push(Reason::new(
        "strength",
        format!("Rp0.2 {:.0} MPa", strength.yield_mpa),
        strength.source,
    ));
    view.reasons.push(Reason::formula(formula::UTILISATION, if input.elastic { "k = 2" } else { "k = 3/2" }));
    view.reasons.push(Reason::formula(formula::TORQUE, ""));
    Ok(view)
}

fn spread(low: Torque, high: Torque, units: Units) -> String {
    if low < high { format!(" ({})", torque_range(low, high, units)) } else { String::new() }
}

fn push_interval(view: &mut CalcView, name: &'static str, (low, point, high): (Torque, Torque, Torque)) {
    if let Some(range) = axlestand_fastener::Interval::new(low.nm(), point.nm(), high.nm()) {
        view.interval(name, range, "N·m");
    }
}
