//! Newton's method on the pose.

use super::row::{Row, all_six, linear, residuals, whole_det};
use crate::mathematics::{Lu, Pose, Twist};

/// Closure aimed at, mm: every equation is met to this or better.
pub(crate) const CLOSURE_MM: f64 = 1e-10;
/// Newton steps before giving up.
const STEPS: usize = 24;
/// Below this residual (mm) the factors at hand are good enough for the next correction, which
/// saves a factorisation: the correction errs by about residual²/link length.
const NEAR_MM: f64 = 0.02;
/// Corrections taken with one factorisation.
const CHORDS: usize = 3;
/// Longest turn of one step, rad, and longest shift, mm: keeps wild starts from tumbling.
const MOST_TURN: f64 = 0.5;
const MOST_SHIFT: f64 = 400.0;

/// How Newton's method ended.
pub(crate) enum Ended {
    /// Closed: pose, sign carrier (determinant near the solution), steps taken.
    Closed { pose: Pose, det: f64, steps: usize },
    /// The derivative matrix has no inverse at the last pose.
    Singular,
    /// The equations could not be met; the pose with what was left.
    Stuck { rows_left: [f64; 6] },
}

fn worst<const N: usize>(residuals: &[f64; N]) -> f64 {
    residuals.iter().fold(0.0, |m, r| if r.abs() > m || r.is_nan() { r.abs() } else { m })
}

/// One bounded step; `f` are the residuals it is to remove.
#[inline]
fn step<const N: usize>(pose: &Pose, lu: &Lu<N>, f: &[f64; N]) -> Pose {
    let mut twist = Twist::from_array(all_six(&lu.solve(f.map(|r| -r))));
    let (turn, shift) = (twist.turn.dot(twist.turn), twist.shift.dot(twist.shift));
    if turn > MOST_TURN * MOST_TURN || shift > MOST_SHIFT * MOST_SHIFT {
        let k = (MOST_TURN / turn.sqrt()).min(MOST_SHIFT / shift.sqrt());
        twist = twist.times(k);
    }
    pose.moved(&twist)
}

/// Solves the six equations from the start `pose`. No allocation.
#[inline]
pub(crate) fn solve(rows: &[Row; 6], start: &Pose) -> Ended {
    newton::<6>(rows, start)
}

/// The same where the last equation says how high the body's origin stands, and `start` stands there
/// already: five equations and five unknowns are left.
#[inline]
pub(crate) fn solve_at_height(rows: &[Row; 6], start: &Pose) -> Ended {
    newton::<5>(rows, start)
}

/// Solves the first `N` equations, six or five; of five the unknowns are all but the height of the
/// origin.
#[inline(always)]
fn newton<const N: usize>(rows: &[Row; 6], start: &Pose) -> Ended {
    let mut pose = *start;
    let mut left = [f64::INFINITY; N];
    let mut lu = Lu::<N>::blank();
    for steps in 1..=STEPS {
        linear(rows, &pose, &mut left, lu.room());
        let mut size = worst(&left);
        if !size.is_finite() {
            break;
        }
        if !lu.factorise_room() {
            return Ended::Singular;
        }
        for _ in 0..CHORDS {
            if size < CLOSURE_MM {
                return Ended::Closed { pose, det: whole_det(&lu), steps };
            }
            pose = step(&pose, &lu, &left);
            left = residuals(rows, &pose);
            let now = worst(&left);
            let near = now < NEAR_MM && now < 0.1 * size;
            size = now;
            if !near {
                break;
            }
        }
        if size < CLOSURE_MM {
            return Ended::Closed { pose, det: whole_det(&lu), steps };
        }
    }
    let mut rows_left = [0.0; 6];
    rows_left[..N].copy_from_slice(&left);
    Ended::Stuck { rows_left }
}
