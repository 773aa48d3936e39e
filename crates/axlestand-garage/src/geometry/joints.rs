//! Angles of joints and shafts against what their makers allow.

use axlestand_geometry::kinematics::{Corner, Worst};
use axlestand_model::car::Axle;
use serde::Serialize;

/// One joint or shaft at its worst place.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct JointView {
    /// What it is about.
    pub what: String,
    /// The largest value, degrees or mm.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
    /// What its maker allows, in `unit`; without one there is no verdict.
    pub limit: Option<f64>,
    /// Whether it is within; `None` without a limit.
    pub within: Option<bool>,
    /// Wheel travel there, mm.
    pub travel: f64,
    /// Rack travel there, mm.
    pub rack: f64,
    /// Where the limit comes from.
    pub from: Option<String>,
}

/// Straight ahead and both locks, where the rack's travel is known, mm.
pub(crate) fn racks(axle: &Axle) -> Vec<f64> {
    match axle.rack_travel.map(axlestand_quantity::Length::mm) {
        Some(lock) if lock > 0.0 => vec![-lock, 0.0, lock],
        _ => vec![0.0],
    }
}

/// The worst of every joint over the given travels at the given racks (mm), or straight ahead alone
/// where the wheels do not get to the locks. Past the damper's ends too: a car on its bump stop has
/// joints all the same. Empty where the corner does not get to the travels.
pub(crate) fn joints(axle: &Axle, corner: &Corner, travels: &[f64], racks: &[f64]) -> Vec<JointView> {
    let worst = corner.worst_over(travels, racks).or_else(|_| corner.worst_over(travels, &[0.0]));
    worst.unwrap_or_default().iter().map(|worst| view(axle, worst)).collect()
}

fn view(axle: &Axle, worst: &Worst) -> JointView {
    use axlestand_geometry::kinematics::Limited;
    let verdict = worst.verdict;
    let unit = match verdict.what {
        Limited::PlungeIn | Limited::PlungeOut => "mm",
        _ => "°",
    };
    JointView {
        what: verdict.what.to_string(),
        value: verdict.value,
        unit,
        limit: verdict.limit,
        within: verdict.margin().map(|margin| margin >= 0.0),
        travel: worst.travel,
        rack: worst.rack,
        from: verdict.limit.and_then(|_| Some(axle.limits.as_ref()?.provenance.to_string())),
    }
}
