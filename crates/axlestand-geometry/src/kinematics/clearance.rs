//! Room between the tyre and the strut.

use super::corner::{Corner, Solved};
use super::point::Point;
use crate::mathematics::Vec3;

/// The tyre as a cylinder about the wheel's axis, inflated and loaded sizes, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tyre {
    /// Overall radius, unloaded: it clears nothing less at the top.
    pub radius: f64,
    /// Section width.
    pub width: f64,
    /// Middle plane of the tyre from the wheel centre, outboard positive (spacer, other offset).
    pub outboard: f64,
}

/// A round part on a strut: its tube, spring or spring seat, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoundPart {
    /// Radius about the strut's axis.
    pub radius: f64,
    /// Where it begins, from the strut's lower point towards the top mount; negative below it.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
}

impl Corner {
    /// The least gap between tyre and a round part of the strut at a solved position, mm, negative
    /// where they would overlap; `None` for a corner without strut.
    ///
    /// The tyre is a cylinder with square shoulders, so the gap errs small at its rounded
    /// shoulder. The strut's axis is followed at 81 places and refined around the nearest.
    #[must_use]
    pub fn tyre_gap(&self, at: &Solved, tyre: &Tyre, part: &RoundPart) -> Option<f64> {
        let [low, top] = self.strut_line(at)?;
        let n = at.pose.turn.times(self.mechanism.spin);
        let middle = at.pose.origin + n.times(tyre.outboard);
        let gap = |s: f64| {
            let d = low + top.times(s) - middle;
            let inboard = -d.dot(n) - tyre.width / 2.0;
            let outward = d.across(n).norm() - tyre.radius;
            let apart =
                if inboard > 0.0 && outward > 0.0 { inboard.hypot(outward) } else { inboard.max(outward) };
            apart - part.radius
        };
        let (mut from, mut to) = (part.from.min(part.to), part.from.max(part.to));
        let mut least = f64::INFINITY;
        for _ in 0..4 {
            let step = (to - from) / 80.0;
            let mut best = from;
            for i in 0..=80_u32 {
                let s = from + f64::from(i) * step;
                let here = gap(s);
                if here < least {
                    (least, best) = (here, s);
                }
            }
            (from, to) =
                ((best - step).max(part.from.min(part.to)), (best + step).min(part.from.max(part.to)));
        }
        least.is_finite().then_some(least)
    }

    /// The strut's lower point and unit direction upward, in the car's axes.
    fn strut_line(&self, at: &Solved) -> Option<[Vec3; 2]> {
        self.spec().point(Point::StrutTop)?;
        self.spec().point(Point::StrutSeat)?;
        let strut = self.mechanism.strut?;
        let (low, top) = (strut.seat.place(&at.pose), strut.top);
        Some([low, (top - low).unit()])
    }
}
