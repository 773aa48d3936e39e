//! Left and right wheel steered by one rack.

use super::corner::{Corner, Solved};
use super::trouble::Trouble;
use crate::conventions::to_contact;

/// Both wheels of a steered axle at one rack position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steered {
    /// Heading of the left wheel, degrees, to the left positive.
    pub left: f64,
    /// Heading of the right wheel, degrees, to the left positive.
    pub right: f64,
    /// Ackermann share, percent: 100 where both wheels roll about one point on the line of the rear
    /// axle, 0 where they are parallel, negative where the outer one turns more. `None` near
    /// straight ahead, where the share is undetermined.
    pub ackermann_percent: Option<f64>,
}

/// Below this mean heading (degrees) an Ackermann share says nothing.
const STRAIGHT_DEG: f64 = 1.0;

/// The Ackermann share in percent of two headings (degrees, to the left positive), toe included,
/// with `track` between the steering axes at the ground and `wheelbase`, mm.
///
/// Ideal is cot δ_outer − cot δ_inner = track / wheelbase (ISO 8855:2011, Ackermann geometry; any
/// vehicle-dynamics text); the share is the left-hand side over the right.
#[must_use]
pub fn ackermann_percent(left_deg: f64, right_deg: f64, track: f64, wheelbase: f64) -> Option<f64> {
    let mean = (left_deg + right_deg) / 2.0;
    let usable = mean.abs() > STRAIGHT_DEG && track > 0.0 && wheelbase > 0.0 && left_deg * right_deg > 0.0;
    if !usable {
        return None;
    }
    let (inner, outer) = if mean > 0.0 { (left_deg, right_deg) } else { (-right_deg, -left_deg) };
    let cot = |deg: f64| 1.0 / deg.to_radians().tan();
    let share = 100.0 * (cot(outer) - cot(inner)) * wheelbase / track;
    share.is_finite().then_some(share)
}

/// Both wheels at wheel travel `travel` and rack travel `rack`, mm, with the distance `wheelbase`
/// between the axles, mm.
///
/// # Errors
/// [`Trouble`] of either corner.
pub fn steered(
    left: &Corner,
    right: &Corner,
    travel: f64,
    rack: f64,
    wheelbase: f64,
) -> Result<Steered, Trouble> {
    let (at_left, l) = left.at(travel, rack)?;
    let (at_right, r) = right.at(travel, rack)?;
    // Distance between the points where the steering axes meet the ground.
    let pivot = |corner: &Corner, at: &Solved, scrub: Option<f64>| {
        let n = at.pose.turn.times(corner.mechanism.spin);
        let contact = at.pose.origin + to_contact(n, corner.mechanism.radius);
        contact.y.abs() - scrub.unwrap_or(0.0)
    };
    let track = pivot(left, &at_left, l.scrub_radius) + pivot(right, &at_right, r.scrub_radius);
    Ok(Steered {
        left: l.heading,
        right: r.heading,
        ackermann_percent: ackermann_percent(l.heading, r.heading, track, wheelbase),
    })
}
