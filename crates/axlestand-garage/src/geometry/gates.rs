//! What geometry has to say at the road check: joints beyond their limits, a spring that goes loose.
//! Only figures of this car speak; a typical one never closes a gate.

use super::corner::{known_corner, side_of};
use super::joints::{JointView, joints, racks};
use super::now::{end, latest};
use super::springs::SpringFigures;
use super::wishes::{axle_of, hand_of, masses, reference};
use crate::job::Job;
use crate::lead::{Lead, LedText};
use crate::units::Units;
use crate::views::ReasonView;
use axlestand_geometry::kinematics::Corner;
use axlestand_geometry::springs::{Place, Seating};
use axlestand_model::car::Axle;
use axlestand_model::{Hand, Origin, Provenance, ReadingKind};

/// Every reason why not.
pub(crate) fn geometry_reasons(job: &Job, units: Units) -> Vec<ReasonView> {
    let mut texts: Vec<LedText> = Vec::new();
    for axle in &job.car.axles {
        for hand in [Hand::Left, Hand::Right] {
            texts.extend(joint_reasons(job, axle, hand, units).into_iter().map(LedText::from));
        }
    }
    texts.extend(loose_springs(job, units));
    texts.into_iter().map(ReasonView::of).collect()
}

/// What keeps a spring from being held with the wheels hanging: to be looked at before the weight
/// comes onto the wheels.
pub(crate) fn loose_spring_remarks(job: &Job, units: Units) -> Vec<String> {
    let see =
        |text: String| format!("{text}; see that it sits in both seats before the weight comes onto it");
    loose(job, units).into_iter().map(see).collect()
}

/// Wheel travel from where the points were taken, by the last height that was read.
fn travel(job: &Job, axle: &Axle, hand: Hand) -> Option<f64> {
    let height = latest(job, ReadingKind::Height, end(&axle.name), Some(hand))?;
    Some(axle.hub_to_arch?.mm() - height.value)
}

fn joint_reasons(job: &Job, axle: &Axle, hand: Hand, units: Units) -> Vec<String> {
    let sound = |from: &Provenance| from.origin != Origin::Typical;
    let known = axle.limits.as_ref().is_some_and(|limits| sound(&limits.provenance));
    let corner = known_corner(&job.car, axle, side_of(hand)).filter(|_| known && sound(&axle.provenance));
    let Some((_, corner)) = corner else { return Vec::new() };
    let at = travel(job, axle, hand).unwrap_or(0.0);
    let beyond = |list: Vec<JointView>| list.into_iter().filter(|joint| joint.within == Some(false));
    let standing: Vec<JointView> = beyond(joints(axle, &corner, &[at], &[0.0])).collect();
    let mut all: Vec<String> = standing
        .iter()
        .map(|joint| {
            let what = "the car stands too low or too high for this part";
            reason(joint, (axle, hand), "at ride height", what, units)
        })
        .collect();
    for joint in beyond(over_travel(axle, &corner, at)) {
        if standing.iter().all(|known| known.what != joint.what) {
            let place = format!(
                "with the wheel {} from where the points were taken and the rack at {}",
                units.signed_length(joint.travel, 0),
                units.signed_length(joint.rack, 0)
            );
            all.push(reason(&joint, (axle, hand), &place, "it binds or comes apart there", units));
        }
    }
    all
}

/// The joints over the travel from full droop to the bump stop, lock to lock, where damper lengths
/// that are this car's say where it ends.
fn over_travel(axle: &Axle, corner: &Corner, at: f64) -> Vec<JointView> {
    let typical = axle.damper.as_ref().is_none_or(|damper| damper.provenance.origin == Origin::Typical);
    match corner.travel_ends() {
        Ok(ends) if !typical => {
            let travels: Vec<f64> = [ends.droop, Some(at), ends.bump].into_iter().flatten().collect();
            joints(axle, corner, &travels, &racks(axle))
        }
        _ => Vec::new(),
    }
}

fn reason(joint: &JointView, (axle, hand): (&Axle, Hand), place: &str, what: &str, units: Units) -> String {
    let said = |value: f64| match joint.unit {
        "mm" => units.length(value, 1),
        unit => format!("{value:.1}{unit}"),
    };
    format!(
        "{place} the {} on the {} {} is {}, more than the {} allowed [{}]: {what}",
        joint.what,
        axle.name,
        hand.phrase(),
        said(joint.value),
        said(joint.limit.unwrap_or_default()),
        joint.from.as_deref().unwrap_or_default()
    )
}

fn loose_springs(job: &Job, units: Units) -> Vec<LedText> {
    let danger = |text| LedText::new(format!("{text}: it can jump out of its seat"), Lead::Height);
    loose(job, units).into_iter().map(danger).collect()
}

/// Springs that are loose at full droop by figures of this car.
fn loose(job: &Job, units: Units) -> Vec<String> {
    let car = &job.car;
    let Ok(masses) = masses(car, &[]) else { return Vec::new() };
    if masses.iter().any(|mass| mass.range.is_some()) {
        return Vec::new();
    }
    let travels = [0, 1, 2, 3].map(|i| {
        let height = latest(job, ReadingKind::Height, end(axle_of(i)), Some(hand_of(i)))?;
        Some(reference(car, i)? - height.value)
    });
    let standing = SpringFigures::of(car, masses, travels).ok().and_then(|figures| {
        let stance = figures.stance()?;
        Some((stance.springs.standing(&stance.load).ok()?, figures))
    });
    let Some((standing, figures)) = standing else { return Vec::new() };
    let mut all = Vec::new();
    for (i, corner) in standing.corners.iter().enumerate() {
        if let Some(Seating::Loose { gap }) = corner.at_droop
            && !figures.axles[i / 2].seating_is_typical()
        {
            let gap = units.length(gap, 0);
            all.push(format!("the {} spring is loose by {gap} at full droop", Place::ALL[i]));
        }
    }
    all
}
