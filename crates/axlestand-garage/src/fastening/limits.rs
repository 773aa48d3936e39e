//! Clamp load and strength limits as reasons and in the report: estimates and limits, never values
//! to use.

use super::figures::{Reason, clamp, friction, friction_sources, percent, torque_range};
use super::finish::{drag, drag_in};
use super::subject::Subject;
use super::surface::Surface;
use super::tools::Judged;
use crate::units::Units;
use axlestand_fastener::wrench::{Contribution, clamp_spread};
use axlestand_fastener::{Friction, FrictionRange, Interval, Locking, Torsion, formula};
use axlestand_model::car::{TorqueSpec, TorqueStep};
use axlestand_quantity::{Force, Torque};

/// The friction to reckon with: of the thread as it is; dry where nothing is said.
fn friction_range(surface: Option<Surface>) -> Option<FrictionRange> {
    surface.unwrap_or(Surface::Known(axlestand_fastener::Condition::AsSupplied)).friction().ok()
}

/// What clamp load to expect and why it spreads.
pub(super) fn clamp_reasons(
    subject: &Subject<'_>,
    torque: Torque,
    surface: Option<Surface>,
    wrench: Option<&Judged<'_>>,
    spec: &TorqueSpec,
    units: Units,
) -> Vec<Reason> {
    let (Some(joint), Some(range)) = (subject.joint(), friction_range(surface)) else { return Vec::new() };
    if subject.hydraulic {
        return Vec::new();
    }
    let thread = joint.thread();
    let area = if thread.is_metric() { formula::STRESS_AREA_METRIC } else { formula::STRESS_AREA_INCH };
    let condition = surface.and_then(Surface::known);
    let mut reasons = vec![
        Reason::new("thread", format!("{thread}, pitch {}", thread.pitch()), thread.source()),
        Reason::formula(area, &format!("{:.0} mm²", thread.stress_area_mm2())),
        Reason::new("friction", friction(&range), condition.map(friction_sources).unwrap_or_default()),
    ];
    if spec.steps.iter().any(|step| matches!(step, TorqueStep::On(_))) {
        reasons.push(Reason::new(
            "clamp load",
            "comes from the angle, not from the torque: not estimated",
            "",
        ));
        return reasons;
    }
    if let Some(load) = expected(subject, torque, &range, wrench) {
        reasons.push(Reason::formula(formula::TORQUE, &format!("clamp load {}", clamp(load))));
        let causes = spread_causes(subject, &range, wrench, units);
        reasons.push(Reason::new(
            formula::SPREAD.gives,
            format!(
                "both ends of the published friction, widened by the rest as a root sum of squares: {causes}"
            ),
            formula::SPREAD.source,
        ));
    }
    reasons
}

/// The clamp load at a torque: from end to end of the published friction, widened by the wrench, its
/// scale and the drag of a lock nut (root sum of squares). Settling comes on top.
pub(super) fn expected(
    subject: &Subject<'_>,
    torque: Torque,
    range: &FrictionRange,
    wrench: Option<&Judged<'_>>,
) -> Option<Interval<Force>> {
    let joint = subject.joint()?;
    let (drag_low, drag_high) = lock_drag(subject);
    // The drag of a lock nut turns the nut and stretches nothing.
    let used = torque.nm() - f64::midpoint(drag_low, drag_high);
    let effective = Torque::from_nm(used).ok().filter(|torque| torque.nm() > 0.0)?;
    let spread = match wrench {
        Some(judged) => clamp_spread(joint, effective, range, &judged.choice).ok()?,
        None => clamp_spread(joint, effective, range, &unknown_wrench()?).ok()?,
    };
    let others = spread.parts.iter().filter(|part| part.contribution != Contribution::Friction);
    let squares: f64 = others.map(|part| part.standard * part.standard).sum();
    let drag = 0.5 * (drag_high - drag_low) / effective.nm() / 3f64.sqrt();
    let by_friction = joint.preload_range(effective, range).ok()?;
    let middle = by_friction.point().n();
    let widened = 2.0 * squares.sqrt().hypot(drag) * middle;
    let low = middle - (middle - by_friction.low().n()).hypot(widened);
    let high = middle + (by_friction.high().n() - middle).hypot(widened);
    Interval::new(Force::from_n(low.max(0.0)).ok()?, by_friction.point(), Force::from_n(high).ok()?)
}

/// A torque wrench as ISO 6789 asks, for a record that names none.
fn unknown_wrench() -> Option<axlestand_fastener::wrench::WrenchChoice> {
    use axlestand_fastener::wrench::{Accuracy, TorqueWrench, WrenchKind};
    let torque = |nm: f64| Torque::from_nm(nm).ok();
    let unit = axlestand_quantity::Unit::find("N·m")?;
    let range = (torque(20.0)?, torque(200.0)?);
    let wrench = TorqueWrench::new(WrenchKind::Click, range, torque(1.0)?, unit, Accuracy::Iso6789).ok()?;
    wrench.judge(torque(100.0)?, None).ok()
}

fn lock_drag(subject: &Subject<'_>) -> (f64, f64) {
    match subject.locking() {
        Some(Locking::NylonInsert | Locking::DistortedThread) => drag(subject).unwrap_or((0.0, 0.0)),
        _ => (0.0, 0.0),
    }
}

/// Why the clamp load spreads, in words.
pub(super) fn spread_causes(
    subject: &Subject<'_>,
    range: &FrictionRange,
    wrench: Option<&Judged<'_>>,
    units: Units,
) -> String {
    let mu = range.coefficient;
    let mut causes = vec![format!("friction {} to {}", mu.low(), mu.high())];
    causes.push(match wrench {
        Some(judged) => format!("wrench ±{}", percent(judged.choice.limit)),
        None => "wrench not named, taken as ±4 %".to_owned(),
    });
    let drag = Some(lock_drag(subject)).filter(|(_, high)| *high > 0.0);
    if let Some((low, high, unit)) = drag.and_then(|drag| drag_in(drag, units)) {
        causes.push(format!("drag of the lock nut {low} to {high} {unit}"));
    }
    causes.join(", ")
}

/// The strength limit of the bolt, said as a limit.
pub(super) fn limit_reasons(subject: &Subject<'_>, surface: Option<Surface>, units: Units) -> Vec<Reason> {
    let (Some(joint), Some(class), Some(range)) = (subject.joint(), subject.class, friction_range(surface))
    else {
        return Vec::new();
    };
    let Ok(strength) = class.strength(joint.thread()) else { return Vec::new() };
    let at = |mu: f64| {
        Friction::same(mu)
            .ok()
            .and_then(|mu| joint.torque_at(0.9, mu, strength.yield_mpa, Torsion::Plastic).ok())
    };
    let mu = range.coefficient;
    let (Some(low), Some(high)) = (at(mu.low()), at(mu.high())) else { return Vec::new() };
    let text = format!(
        "LIMIT, never the value to use: class {class} reaches 90 % of its yield strength at {} (slippery to dry end)",
        torque_range(low, high, units)
    );
    vec![Reason::new(
        "strength limit of the bolt",
        text,
        format!("{}; {}", strength.source, formula::UTILISATION.source),
    )]
}
