//! What geometry has to say at the road check: joints beyond their limits at ride height, a spring
//! that goes loose. Only figures of this car speak; a typical one never closes a gate.

use super::corner::known_corner;
use super::figures::Figure;
use super::now::{end, latest};
use super::springs::{SpringFigures, WHEELS};
use crate::job::Job;
use crate::views::ReasonView;
use axlestand_geometry::springs::{Place, Seating};
use axlestand_model::car::Axle;
use axlestand_model::{Hand, Origin, ReadingKind};

/// Every reason why not.
pub(crate) fn geometry_reasons(job: &Job) -> Vec<ReasonView> {
    let mut texts = Vec::new();
    for axle in &job.car.axles {
        for hand in [Hand::Left, Hand::Right] {
            texts.extend(joint_reasons(job, axle, hand));
        }
    }
    texts.extend(loose_springs(job));
    texts.into_iter().map(|text| ReasonView { item: None, text, number: None, first: None }).collect()
}

/// Wheel travel from where the points were taken, by the last height that was read.
fn travel(job: &Job, axle: &Axle, hand: Hand) -> Option<f64> {
    let height = latest(job, ReadingKind::Height, end(&axle.name), Some(hand))?;
    Some(axle.hub_to_arch?.mm() - height.value)
}

fn joint_reasons(job: &Job, axle: &Axle, hand: Hand) -> Vec<String> {
    let sound = |p: &axlestand_model::Provenance| p.origin != Origin::Typical;
    let limits = axle.limits.as_ref().filter(|limits| sound(&limits.provenance) && sound(&axle.provenance));
    let (Some(limits), Some((_, corner))) = (limits, known_corner(&job.car, axle)) else { return Vec::new() };
    let at = travel(job, axle, hand).unwrap_or(0.0);
    // Also past the damper's ends: a car that stands on its bump stop has joints all the same.
    let Ok(out) = corner.solve(at, 0.0).and_then(|solved| corner.outputs(&solved)) else { return Vec::new() };
    let beyond = corner.verdicts(&out).into_iter().filter(|v| v.margin().is_some_and(|margin| margin < 0.0));
    beyond
        .map(|v| {
            format!(
                "at ride height the {} on the {} {} is {:.1}, more than the {:.1} allowed [{}]: the car stands too low or too high for this part",
                v.what,
                axle.name,
                hand.phrase(),
                v.value,
                v.limit.unwrap_or_default(),
                limits.provenance
            )
        })
        .collect()
}

fn loose_springs(job: &Job) -> Vec<String> {
    let car = &job.car;
    let masses = WHEELS.map(|wheel| car.masses.get(wheel).map(|m| m.kg()));
    let [Some(a), Some(b), Some(c), Some(d)] = masses else { return Vec::new() };
    let known = [a, b, c, d].map(|kg| Figure::known("mass", "kg", kg, "vehicle file"));
    let travels = [0, 1, 2, 3].map(|i| {
        let name = if i < 2 { "front" } else { "rear" };
        let hand = if i % 2 == 0 { Hand::Left } else { Hand::Right };
        travel(job, car.axles.iter().find(|axle| axle.name == name)?, hand)
    });
    let Ok(figures) = SpringFigures::of(car, known, travels) else { return Vec::new() };
    let Some(standing) = figures.stance().and_then(|s| s.springs.standing(&s.load).ok()) else {
        return Vec::new();
    };
    let mut all = Vec::new();
    for (i, corner) in standing.corners.iter().enumerate() {
        let axle = &figures.axles[i / 2];
        if axle.leverage_is_typical() || axle.rate.range.is_some() {
            continue;
        }
        if let Some(Seating::Loose { gap }) = corner.at_droop {
            all.push(format!(
                "the {} spring is loose by {gap:.0} mm at full droop: it can jump out of its seat ('axlestand set height' shows how)",
                Place::ALL[i]
            ));
        }
    }
    all
}
