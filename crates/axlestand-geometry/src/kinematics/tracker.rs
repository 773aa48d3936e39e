//! Continuation: from a solved position to the next.

use super::corner::{Corner, Solved};
use super::mechanism::Holding;
use super::newton::{Ended, solve_at_height};
use super::trouble::{Input, Trouble, in_line};
use crate::mathematics::{Pose, Scalar, Twist, Vec3};

/// Shortest step before a position counts as out of reach.
const SHORTEST_MM: f64 = 0.002;
/// Farthest travel or rack travel that is followed.
const FARTHEST_MM: f64 = 5000.0;

/// The last step taken: how far the inputs and the knuckle went.
#[derive(Debug, Clone, Copy)]
struct Step {
    travel: f64,
    rack: f64,
    twist: Twist,
}

/// Follows a corner from position to position: each start is the one before carried on along the
/// last two steps, and each result must be its neighbour. Copy it to branch off.
#[derive(Debug, Clone, Copy)]
pub struct Tracker<'a> {
    corner: &'a Corner,
    driven: Holding<f64>,
    at: Solved,
    last: Option<Step>,
    before: Option<Step>,
}

impl<'a> Tracker<'a> {
    pub(crate) fn new(corner: &'a Corner) -> Self {
        Self { corner, driven: corner.mechanism.holding, at: *corner.design(), last: None, before: None }
    }

    /// Where it is.
    #[must_use]
    pub fn position(&self) -> &Solved {
        &self.at
    }

    /// Forgets the steps taken, as the next one goes another way.
    pub(crate) fn forget(&mut self) {
        (self.last, self.before) = (None, None);
    }

    /// Goes to a wheel travel and rack travel, mm, in one step where that leads to a neighbour, in
    /// smaller ones where not. Allocates nothing unless it fails. On failure it stays at the last
    /// position reached.
    ///
    /// # Errors
    /// [`Trouble::Unreachable`] with the members that stop it, [`Trouble::Singular`] where the
    /// asked position itself is a toggle, [`Trouble::NotANumber`].
    pub fn advance(&mut self, travel: f64, rack: f64) -> Result<Solved, Trouble> {
        let input = Input { travel, rack };
        if self.try_step(input) || self.step_small(input) {
            return Ok(self.at);
        }
        Err(self.stopped(input))
    }

    /// One step: true where it led to a neighbour.
    #[inline]
    fn try_step(&mut self, input: Input) -> bool {
        let (dz, ds) = (input.travel - self.at.input.travel, input.rack - self.at.input.rack);
        if !(dz.is_finite() && ds.is_finite()) {
            return false;
        }
        self.driven.drive(input.travel, input.rack);
        let mut start = self.predicted(dz, ds);
        start.origin.z = self.driven.height + input.travel;
        let Ended::Closed { pose, det, steps } = solve_at_height(&self.driven.rows, &start) else {
            return false;
        };
        let reference = &self.corner.reference;
        if !reference.near(&self.at, input, &pose, det) {
            return false;
        }
        let pose = Pose { turn: pose.turn.tidied(), ..pose };
        self.before = self.last;
        self.last = Some(Step { travel: dz, rack: ds, twist: between(&self.at.pose, &pose) });
        self.at = Solved { pose, input, margin: det / reference.det, steps };
        true
    }

    /// The present pose carried on: along the last step where the new one has its direction,
    /// with its change where the steps are equal.
    #[inline]
    fn predicted(&self, dz: f64, ds: f64) -> Pose {
        let Some(last) = self.last else {
            return self.at.pose;
        };
        let square = last.travel * last.travel + last.rack * last.rack;
        let share = (dz * last.travel + ds * last.rack) / square;
        let (rest_z, rest_s) = (dz - share * last.travel, ds - share * last.rack);
        let along = rest_z * rest_z + rest_s * rest_s < 1e-6 * square;
        if !(along && share.abs() <= 4.0) {
            return self.at.pose;
        }
        let equal = |a: f64, b: f64| (a - b).abs() < 1e-9;
        let twist = match self.before {
            Some(b) if share > 0.0 && equal(b.travel, dz) && equal(b.rack, ds) => Twist {
                shift: last.twist.shift.times(2.0) - b.twist.shift,
                turn: last.twist.turn.times(2.0) - b.twist.turn,
            },
            _ => last.twist.times(share),
        };
        self.at.pose.moved(&twist)
    }

    /// Smaller steps on the straight way to `input`.
    #[cold]
    fn step_small(&mut self, asked: Input) -> bool {
        let from = self.at.input;
        // No corner goes as far as this; what lies beyond is only asked for to see where it ends.
        let near = |x: f64| x.clamp(-FARTHEST_MM, FARTHEST_MM);
        let input = Input { travel: near(asked.travel), rack: near(asked.rack) };
        let (dz, ds) = (input.travel - from.travel, input.rack - from.rack);
        let way = dz.hypot(ds);
        if !(way.is_finite() && way > 0.0) {
            return false;
        }
        let (mut done, mut step) = (0.0_f64, 0.5_f64);
        while done < 1.0 {
            let next = (done + step).min(1.0);
            let target = if next < 1.0 {
                Input { travel: from.travel + next * dz, rack: from.rack + next * ds }
            } else {
                input
            };
            self.last = None;
            if self.try_step(target) {
                done = next;
                step *= 2.0;
            } else {
                step /= 2.0;
                if step * way < SHORTEST_MM {
                    return false;
                }
            }
        }
        input == asked
    }

    /// Names what stops the corner at the position reached.
    #[cold]
    fn stopped(&self, asked: Input) -> Trouble {
        if !(asked.travel.is_finite() && asked.rack.is_finite()) {
            return Trouble::NotANumber { what: "the wanted travel or rack travel" };
        }
        let reached = self.at.input;
        let m = self.corner.mechanism.holding.driven(reached.travel, reached.rack);
        let members = in_line(&m.rows, &self.corner.members, &self.at.pose);
        let left = (asked.travel - reached.travel).hypot(asked.rack - reached.rack);
        if left < 0.05 {
            Trouble::Singular { at: asked, members }
        } else {
            Trouble::Unreachable { asked, reached, members }
        }
    }
}

/// The small motion from one pose to another, to second order in its turn.
fn between(from: &Pose, to: &Pose) -> Twist {
    // R₁R₀ᵀ has the rotation vector in its antisymmetric part; sine for angle is enough here.
    let [a, b, c] = from.turn.rows;
    let [d, e, f] = to.turn.rows;
    let turn = Vec3::new(f.dot(b) - e.dot(c), d.dot(c) - f.dot(a), e.dot(a) - d.dot(b)).times(0.5);
    let sine = turn.dot(turn);
    Twist { shift: to.origin - from.origin, turn: turn.times(f64::one() + sine / 6.0) }
}
