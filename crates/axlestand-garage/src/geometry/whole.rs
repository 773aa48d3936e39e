//! An axle that carries both wheels (a twist beam, a live axle), or what is missing for it.

use super::corner::lacking;
use super::corner_figures::CornerFigures;
use super::points::whole_layout;
use crate::error::GarageError;
use axlestand_geometry::kinematics::{WholeAxle, WholeAxleOutputs, WholeLayout};
use axlestand_geometry::springs::{Linkage, LinkagePoint};
use axlestand_model::car::{Axle, Car};
use axlestand_quantity::Length;

/// The axle with its figures.
pub(crate) fn whole(figures: &CornerFigures) -> Option<WholeAxle> {
    WholeAxle::new(figures.whole_spec()?).ok()
}

/// An axle that carries both wheels with its figures; `None` where its wheels are hung one by one.
///
/// # Errors
/// [`GarageError::Input`] that names what is missing or cannot be right.
pub(crate) fn whole_axle(car: &Car, axle: &Axle) -> Result<Option<(CornerFigures, WholeAxle)>, GarageError> {
    if whole_layout(axle).is_none() {
        return Ok(None);
    }
    if let Some(why) = lacking(axle) {
        return Err(GarageError::Input(why));
    }
    let figures = CornerFigures::of(car, axle);
    let Some(spec) = figures.whole_spec() else { return Ok(None) };
    let whole = WholeAxle::new(spec).map_err(|bad| GarageError::Input(bad.to_string()))?;
    Ok(Some((figures, whole)))
}

/// Where the wheels' travel ends, full droop and bump stop, mm: where the damper's lengths meet its
/// mounts, else as it was measured.
pub(crate) fn ends(axle: &Axle, whole: &WholeAxle) -> [Option<f64>; 2] {
    let Some(damper) = &axle.damper else { return [None, None] };
    let by_length = |length: Option<Length>, way: f64| where_the_damper_is(whole, length?.mm(), way);
    let measured = |travel: Option<Length>, way: f64| travel.map(|travel| way * travel.mm());
    [
        by_length(damper.open, -1.0).or_else(|| measured(damper.droop_travel, -1.0)),
        by_length(damper.closed, 1.0).or_else(|| measured(damper.bump_travel, 1.0)),
    ]
}

/// Travel at which the damper has a length, going down (−1) or up (+1) from where the points were
/// taken in steps of 5 mm, then halving; `None` without mounts or beyond 300 mm.
fn where_the_damper_is(whole: &WholeAxle, length: f64, way: f64) -> Option<f64> {
    let length_at = |travel: f64| -> Option<f64> {
        whole.at(travel, travel).ok().and_then(|out: WholeAxleOutputs| out.damper_length)
    };
    // Positive where the damper allows the place: the open one is longer, the closed one shorter.
    let room = |travel: f64| Some((length_at(travel)? - length) * way);
    (room(0.0)? > 0.0).then_some(())?;
    let (mut near, mut far) = (0.0, way * 5.0);
    while room(far)? > 0.0 {
        (near, far) = (far, far + way * 5.0);
        if far.abs() > 300.0 {
            return None;
        }
    }
    for _ in 0..40 {
        let middle = f64::midpoint(near, far);
        if room(middle)? > 0.0 { near = middle } else { far = middle }
    }
    Some(near)
}

/// How good the kinematics of such an axle are, in a sentence.
pub(crate) fn approximation(axle: &Axle) -> Option<String> {
    let name = &axle.name;
    Some(match whole_layout(axle)? {
        WholeLayout::TwistBeam => format!(
            "The {name} twist beam is a textbook approximation: rigid arms turn about the lines from their pivots to the cross member's shear centre. Rates are good to 10 or 20 %; the give of the bushings, which steers the beam under side force, is not in it."
        ),
        WholeLayout::Leaves => format!(
            "The {name} live axle on leaf springs is an approximation: each spring as a rod of three quarters of its front half, held sideways. The give of springs, shackles and bushings is not in it."
        ),
        WholeLayout::Links => format!(
            "The {name} live axle is rigid on four rigid rods: what bushings add under load is not in it."
        ),
    })
}

/// What to know of the curves of such an axle.
pub(crate) fn notes(axle: &Axle, whole: &WholeAxle) -> Vec<String> {
    let mut notes: Vec<String> =
        whole.doubts().iter().map(|doubt| format!("look at this in the file: {doubt}")).collect();
    notes.extend(approximation(axle));
    notes
}

/// The spring's seats of such an axle over both wheels' travel from `from` to `to`, mm, every 5 mm;
/// `None` without seats or where the axle does not get there.
pub(crate) fn linkage(whole: &WholeAxle, from: f64, to: f64) -> Option<Linkage> {
    let count = ((to - from) / 5.0).ceil().max(1.0);
    let mut points = Vec::new();
    let mut i = 0.0;
    while i <= count {
        let travel = from + (to - from) * i / count;
        let out = whole.at(travel, travel).ok()?;
        points.push(LinkagePoint { travel, length: out.spring_length?, ratio: out.spring_ratio? });
        i += 1.0;
    }
    Linkage::new(points).ok()
}
