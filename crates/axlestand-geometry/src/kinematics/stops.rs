//! Where the damper's ends put the wheel.

use super::corner::{Corner, Solved};
use super::trouble::Trouble;

/// The wheel's travel between full droop and the bump stop, mm from the design position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TravelEnds {
    /// Travel at which the damper is fully extended (negative as a rule), if its length is known.
    pub droop: Option<f64>,
    /// Travel at which the bump stop is just touched, if that length is known.
    pub bump: Option<f64>,
}

/// Farthest travel looked at, mm.
const FARTHEST_MM: f64 = 400.0;

impl Corner {
    /// Where the damper's ends put the wheel, at rack straight.
    ///
    /// # Errors
    /// [`Trouble::Unreachable`] where the links end before the damper does, with the members that
    /// stop the wheel, [`Trouble::NeverThatLong`] where they do not and the damper still never is.
    pub fn travel_ends(&self) -> Result<TravelEnds, Trouble> {
        let limits = self.spec().limits;
        let end = |length: Option<f64>| length.map(|l| self.travel_at_damper(l)).transpose();
        Ok(TravelEnds { droop: end(limits.damper_open)?, bump: end(limits.damper_closed)? })
    }

    /// The wheel travel at which the damper's mounts are `length` apart, mm, by Newton's method on
    /// the travel with the motion ratio as its slope.
    ///
    /// # Errors
    /// [`Trouble::Unreachable`] where the wheel does not get there, [`Trouble::NeverThatLong`] where the
    /// mounts are never that far apart, [`Trouble::NotANumber`] for a corner without damper.
    pub fn travel_at_damper(&self, length: f64) -> Result<f64, Trouble> {
        if !length.is_finite() {
            return Err(Trouble::NotANumber { what: "the damper's length" });
        }
        let mut tracker = self.tracker();
        let mut at: Solved = *tracker.position();
        for _ in 0..60 {
            let out = self.outputs(&at)?;
            let missing = Trouble::NotANumber { what: "the damper's length: its mounts are not given, it" };
            let (Some(now), Some(ratio)) = (out.damper_length, out.damper_ratio) else {
                return Err(missing);
            };
            let off = now - length;
            if off.abs() < 1e-9 {
                return Ok(at.input.travel);
            }
            let step = if ratio.abs() > 0.05 { off / ratio } else { off.signum() * 20.0 };
            let travel = (at.input.travel + step.clamp(-40.0, 40.0)).clamp(-FARTHEST_MM, FARTHEST_MM);
            at = tracker.advance(travel, 0.0)?;
        }
        let nearest = self.outputs(&at)?.damper_length.unwrap_or(f64::NAN);
        Err(Trouble::NeverThatLong { length, nearest, travel: at.input.travel })
    }
}
