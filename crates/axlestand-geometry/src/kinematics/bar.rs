//! The anti-roll bar's arm and link on one side.

use super::carried::Carried;
use crate::mathematics::{Pose, Scalar, Vec3};

/// A bar whose arm turns about a fixed axis and is joined to the suspension by a link of fixed
/// length. Its angle has a closed form: A cos β + B sin β = C.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bar<S> {
    /// Foot of the arm's end on the axis.
    hub: Vec3<S>,
    /// Unit axis.
    axis: Vec3<S>,
    /// From the hub to the arm's end at the design position.
    arm: Vec3<S>,
    /// Length of the link.
    link: S,
    /// The link's joint at the suspension.
    joint: Carried<S>,
    /// Which of the two solutions is the bar's.
    sign: f64,
}

/// Where bar and link stand.
pub(crate) struct BarState<S> {
    /// Turn of the arm from the design position, rad, positive as the arm's end rises.
    pub(crate) turn: S,
    /// Tilt of the link from square to the arm's swing, rad.
    pub(crate) tilt: S,
    /// Effective length of the arm, mm.
    pub(crate) arm: S,
}

impl<S: Scalar> Bar<S> {
    /// From a point of the axis, the axis, the arm's end, the link's joint where it was taken, and
    /// what carries it. `None` where the link is in line with the arm from the start.
    pub(crate) fn new(
        pivot: Vec3<S>,
        axis: Vec3<S>,
        end: Vec3<S>,
        place: Vec3<S>,
        joint: Carried<S>,
    ) -> Option<Self> {
        let axis = axis.unit();
        let out = end - pivot;
        let hub = pivot + axis.times(out.dot(axis));
        let arm = end - hub;
        // The end rises with a positive turn.
        let axis = if axis.cross(arm).z.value() < 0.0 { -axis } else { axis };
        let link = (place - end).norm();
        let b = (hub - place).dot(axis.cross(arm)).value();
        let small = 1e-3 * link.value() * arm.norm().value();
        let usable = link.value() > 1.0 && arm.norm().value() > 1.0 && b.abs() > small;
        usable.then_some(Self { hub, axis, arm, link, joint, sign: b.signum() })
    }

    /// Turn and tilt at a pose; `None` where the link cannot reach (over centre).
    pub(crate) fn state(&self, pose: &Pose<S>) -> Option<BarState<S>> {
        let joint = self.joint.place(pose);
        let w = self.hub - joint;
        let (a, b) = (w.dot(self.arm), w.dot(self.axis.cross(self.arm)));
        let square = self.arm.dot(self.arm);
        let c = (self.link.squared() - w.dot(w) - square).scaled(0.5);
        let reach = (a.squared() + b.squared() - c.squared()).value();
        if reach.is_nan() || reach <= 0.0 {
            return None;
        }
        let spread = (a.squared() + b.squared() - c.squared()).sqrt().atan2(c);
        let turn = b.atan2(a) - spread.scaled(self.sign);
        let (sin, cos) = turn.sin_cos();
        let swing = self.axis.cross(self.arm);
        let end = self.hub + self.arm.times(cos) + swing.times(sin);
        let tangent = (swing.times(cos) - self.arm.times(sin)).unit();
        let link = (joint - end).unit();
        let along = tangent.dot(link);
        let tilt =
            (S::one() - along.squared()).sqrt().atan2(if along.value() < 0.0 { -along } else { along });
        Some(BarState { turn: settled(turn), tilt, arm: square.sqrt() })
    }

    pub(crate) fn map<T>(&self, f: impl Fn(S) -> T + Copy) -> Bar<T> {
        Bar {
            hub: self.hub.map(f),
            axis: self.axis.map(f),
            arm: self.arm.map(f),
            link: f(self.link),
            joint: self.joint.map(f),
            sign: self.sign,
        }
    }
}

/// An angle brought within ±π.
fn settled<S: Scalar>(angle: S) -> S {
    let whole = std::f64::consts::TAU * (angle.value() / std::f64::consts::TAU).round();
    angle - S::constant(whole)
}
