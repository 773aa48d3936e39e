//! From readings to the estimator's problem.

use super::car::{Axle, CarSize, Wheel};
use super::plausible::mean_gap;
use super::reading::Taken;
use super::unknowns;
use crate::conventions::Side;
use crate::estimation::{Linear, Problem, Reading, Trouble};

/// How far the middle of the front axle may stand off the middle of the car, mm (`judgement`).
const FRONT_CENTRING: f64 = 1.0;

/// The same behind.
const REAR_CENTRING: f64 = 2.0;

/// The problem with the readings in their order, then two that are assumed: each axle in the middle
/// of the car.
pub(crate) fn problem(size: &CarSize, readings: &[Taken]) -> Result<Problem<'static>, Trouble> {
    size.check()?;
    let lengthwise = readings.iter().any(|t| t.kind.is_lengthwise());
    let stand_off = [Side::Left, Side::Right].map(|side| stand_off(readings, side));
    let unknowns = unknowns::list(size, stand_off, lengthwise);
    let mut list: Vec<Reading<'static>> = readings.iter().map(|taken| reading(size, taken)).collect();
    for (axle, sigma) in [(Axle::Front, FRONT_CENTRING), (Axle::Rear, REAR_CENTRING)] {
        let hub = |side| (unknowns::hub(Wheel::of(axle, side)), 0.5);
        let model = Linear::of(&[hub(Side::Left), hub(Side::Right)]);
        list.push(Reading::new(format!("{axle} axle in the middle (assumed)"), 0.0, sigma, model));
    }
    Problem::new(unknowns, list)
}

fn reading(size: &CarSize, taken: &Taken) -> Reading<'static> {
    let kind = taken.kind;
    Reading { name: kind.to_string(), value: kind.value(), sigma: taken.sigma, model: kind.model(size) }
}

/// About how far the string stands outside the front hub; the wide prior of the string lies about it.
fn stand_off(readings: &[Taken], side: Side) -> f64 {
    let gap = |axle| mean_gap(readings, Wheel::of(axle, side));
    gap(Axle::Front).or_else(|| gap(Axle::Rear)).unwrap_or(100.0)
}
