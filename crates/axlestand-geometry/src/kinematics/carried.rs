//! Control arms as revolute bodies, and points that ride on knuckle, arm or rod.

use crate::mathematics::{Pose, Scalar, Vec3};

/// A control arm that turns about an axis in the body; its outer joint is on the knuckle.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Arm<S> {
    /// A point of the pivot axis.
    pivot: Vec3<S>,
    /// Unit direction of the axis, so that the wheel rising turns the arm in the positive sense.
    axis: Vec3<S>,
    /// Where the arm pointed at the design position: unit, square to the axis.
    outward: Vec3<S>,
    /// The outer joint on the knuckle.
    outer: Vec3<S>,
}

/// The four points of an arm: pivots and outer joint as designed, and the present pivots.
pub(crate) struct ArmPoints<S> {
    pub(crate) front: Vec3<S>,
    pub(crate) rear: Vec3<S>,
    pub(crate) outer: Vec3<S>,
    pub(crate) front_now: Vec3<S>,
    pub(crate) rear_now: Vec3<S>,
    /// The outer joint from the wheel centre, body axes.
    pub(crate) outer_body: Vec3<S>,
}

/// A right-handed frame that turns with an arm.
struct Frame<S> {
    at: Vec3<S>,
    axis: Vec3<S>,
    out: Vec3<S>,
}

impl<S: Scalar> Frame<S> {
    fn local(&self, place: Vec3<S>) -> Vec3<S> {
        let d = place - self.at;
        Vec3::new(self.axis.dot(d), self.out.dot(d), self.axis.cross(self.out).dot(d))
    }

    fn place(&self, local: Vec3<S>) -> Vec3<S> {
        let up = self.axis.cross(self.out);
        self.at + self.axis.times(local.x) + self.out.times(local.y) + up.times(local.z)
    }
}

impl<S: Scalar> Arm<S> {
    pub(crate) fn new(p: &ArmPoints<S>) -> Self {
        let design = (p.front - p.rear).unit();
        let outward = (p.outer - p.front).across(design);
        let sign = if design.cross(outward).z.value() < 0.0 { -1.0 } else { 1.0 };
        let along = (p.front_now - p.rear_now).unit();
        let axis = along.times(S::constant(sign));
        Self { pivot: p.front_now, axis, outward: outward.across(axis).unit(), outer: p.outer_body }
    }

    fn frame(&self, pose: &Pose<S>) -> Frame<S> {
        let out = (pose.place(self.outer) - self.pivot).across(self.axis).unit();
        Frame { at: self.pivot, axis: self.axis, out }
    }

    /// How far the arm has turned from the design position, rad, positive with the wheel up.
    pub(crate) fn angle(&self, pose: &Pose<S>) -> S {
        let now = self.frame(pose).out;
        self.axis.dot(self.outward.cross(now)).atan2(self.outward.dot(now))
    }

    /// A design direction as the arm holds it now.
    pub(crate) fn turned(&self, pose: &Pose<S>, direction: Vec3<S>) -> Vec3<S> {
        let design = Frame { at: Vec3::constant(Vec3::default()), axis: self.axis, out: self.outward };
        let now = Frame { at: design.at, ..self.frame(pose) };
        now.place(design.local(direction))
    }

    /// A design place in the arm's own coordinates.
    fn local(&self, place: Vec3<S>) -> Vec3<S> {
        Frame { at: self.pivot, axis: self.axis, out: self.outward }.local(place)
    }

    pub(crate) fn map<T>(&self, f: impl Fn(S) -> T + Copy) -> Arm<T> {
        Arm {
            pivot: self.pivot.map(f),
            axis: self.axis.map(f),
            outward: self.outward.map(f),
            outer: self.outer.map(f),
        }
    }
}

/// A point that rides on one of the moving parts.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Carried<S> {
    /// On the knuckle, from the wheel centre in body axes.
    Knuckle(Vec3<S>),
    /// On an arm, in the arm's coordinates.
    Arm(Arm<S>, Vec3<S>),
    /// Beside a rod: chassis end, knuckle end (body axes), design direction, and the point as
    /// share of the rod's length with the offset from its line.
    Rod {
        /// Chassis end.
        q: Vec3<S>,
        /// Knuckle end.
        b: Vec3<S>,
        /// Unit direction of the rod at the design position.
        u: Vec3<S>,
        /// Distance along the rod from its chassis end, mm.
        along: S,
        /// The rest, square to the rod.
        offset: Vec3<S>,
    },
}

impl<S: Scalar> Carried<S> {
    pub(crate) fn on_arm(arm: Arm<S>, place: Vec3<S>) -> Self {
        Self::Arm(arm, arm.local(place))
    }

    pub(crate) fn on_rod(q: Vec3<S>, outer: Vec3<S>, b: Vec3<S>, place: Vec3<S>) -> Self {
        let u = (outer - q).unit();
        let d = place - q;
        Self::Rod { q, b, u, along: d.dot(u), offset: d.across(u) }
    }

    /// Where it is now.
    pub(crate) fn place(&self, pose: &Pose<S>) -> Vec3<S> {
        match self {
            Self::Knuckle(b) => pose.place(*b),
            Self::Arm(arm, local) => arm.frame(pose).place(*local),
            Self::Rod { q, b, u, along, offset } => {
                let now = (pose.place(*b) - *q).unit();
                *q + now.times(*along) + swung(*u, now, *offset)
            }
        }
    }

    pub(crate) fn map<T>(&self, f: impl Fn(S) -> T + Copy) -> Carried<T> {
        match self {
            Self::Knuckle(b) => Carried::Knuckle(b.map(f)),
            Self::Arm(arm, local) => Carried::Arm(arm.map(f), local.map(f)),
            Self::Rod { q, b, u, along, offset } => Carried::Rod {
                q: q.map(f),
                b: b.map(f),
                u: u.map(f),
                along: f(*along),
                offset: offset.map(f),
            },
        }
    }
}

/// The vector `v` under the shortest turn that takes the unit vector `from` into `to`.
fn swung<S: Scalar>(from: Vec3<S>, to: Vec3<S>, v: Vec3<S>) -> Vec3<S> {
    let w = from.cross(to);
    let k = S::one() / (S::one() + from.dot(to));
    let first = w.cross(v);
    v + first + w.cross(first).times(k)
}

/// Two points whose distance matters: spring or damper between body and a moving part.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Span<S> {
    /// The end on the body.
    pub(crate) top: Vec3<S>,
    /// The end on the moving part.
    pub(crate) seat: Carried<S>,
}

impl<S: Scalar> Span<S> {
    /// The distance, mm.
    pub(crate) fn length(&self, pose: &Pose<S>) -> S {
        (self.seat.place(pose) - self.top).norm()
    }

    pub(crate) fn map<T>(&self, f: impl Fn(S) -> T + Copy) -> Span<T> {
        Span { top: self.top.map(f), seat: self.seat.map(f) }
    }
}
