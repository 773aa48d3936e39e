//! A corner put together: its equations and everything that is measured on it.

use super::bar::Bar;
use super::carried::{Arm, Span};
use super::row::Row;
use super::spec::{MOST_JOINTS, Swing};
use crate::conventions::Side;
use crate::mathematics::{Scalar, Vec3};

/// What the steering axis runs through.
#[derive(Debug, Clone, Copy)]
pub(crate) enum SteeringAxis<S> {
    /// From the lower ball joint (knuckle) to the strut's top mount (body).
    ToMount(Vec3<S>, Vec3<S>),
    /// Through both ball joints (knuckle), lower first.
    Balls(Vec3<S>, Vec3<S>),
    /// The axis of the motion that only the toe link's length allows.
    Virtual,
    /// No steering axis.
    None,
}

/// The drive axle on one side.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DriveAxle<S> {
    pub(crate) inner: Vec3<S>,
    pub(crate) outer: Vec3<S>,
    pub(crate) axis: Vec3<S>,
    pub(crate) design_length: S,
}

/// A ball joint: which rod it is on (if one), how it is counted, its axis.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Joint<S> {
    pub(crate) rod: Option<usize>,
    pub(crate) arm: Option<Arm<S>>,
    pub(crate) swing: Swing,
    pub(crate) axis: Vec3<S>,
}

/// The six equations and how the inputs enter them: all that a solution needs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Holding<S> {
    pub(crate) rows: [Row<S>; 6],
    pub(crate) tie: Option<usize>,
    /// Unit direction of the rack.
    pub(crate) rack: Vec3<S>,
    /// The inner tie-rod joint at rack travel nought.
    pub(crate) tie_inner: Vec3<S>,
    /// Height of the wheel centre at travel nought.
    pub(crate) height: S,
}

impl<S: Scalar> Holding<S> {
    /// Sets the inputs: wheel travel and rack travel, mm.
    #[inline]
    pub(crate) fn drive(&mut self, travel: S, rack: S) {
        if let Row::Plane { at, .. } = &mut self.rows[5] {
            *at = self.height + travel;
        }
        if let Some(Row::Rod { q, .. }) = self.tie.map(|i| &mut self.rows[i]) {
            *q = self.tie_inner + self.rack.times(rack);
        }
    }

    /// The same at other inputs.
    pub(crate) fn driven(&self, travel: S, rack: S) -> Self {
        let mut out = *self;
        out.drive(travel, rack);
        out
    }

    fn map<T: Scalar>(&self, f: impl Fn(S) -> T + Copy) -> Holding<T> {
        Holding {
            rows: self.rows.map(|row| row.map(f)),
            tie: self.tie,
            rack: self.rack.map(f),
            tie_inner: self.tie_inner.map(f),
            height: f(self.height),
        }
    }
}

/// Equations and measured parts of one corner.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Mechanism<S> {
    pub(crate) side: Side,
    pub(crate) holding: Holding<S>,
    pub(crate) centre: Vec3<S>,
    pub(crate) spin: Vec3<S>,
    pub(crate) radius: S,
    pub(crate) axis: SteeringAxis<S>,
    pub(crate) lower: Option<Arm<S>>,
    pub(crate) upper: Option<Arm<S>>,
    pub(crate) strut: Option<Span<S>>,
    pub(crate) spring: Option<Span<S>>,
    pub(crate) damper: Option<Span<S>>,
    pub(crate) bar: Option<Bar<S>>,
    pub(crate) shaft: Option<DriveAxle<S>>,
    pub(crate) joints: [Option<Joint<S>>; MOST_JOINTS],
}

impl<S: Scalar> Mechanism<S> {
    /// The same mechanism in another scalar.
    pub(crate) fn map<T: Scalar>(&self, f: impl Fn(S) -> T + Copy) -> Mechanism<T> {
        let arm = |a: Option<Arm<S>>| a.map(|a| a.map(f));
        let span = |s: Option<Span<S>>| s.map(|s| s.map(f));
        Mechanism {
            side: self.side,
            holding: self.holding.map(f),
            centre: self.centre.map(f),
            spin: self.spin.map(f),
            radius: f(self.radius),
            axis: match self.axis {
                SteeringAxis::ToMount(a, b) => SteeringAxis::ToMount(a.map(f), b.map(f)),
                SteeringAxis::Balls(a, b) => SteeringAxis::Balls(a.map(f), b.map(f)),
                SteeringAxis::Virtual => SteeringAxis::Virtual,
                SteeringAxis::None => SteeringAxis::None,
            },
            lower: arm(self.lower),
            upper: arm(self.upper),
            strut: span(self.strut),
            spring: span(self.spring),
            damper: span(self.damper),
            bar: self.bar.map(|b| b.map(f)),
            shaft: self.shaft.map(|s| DriveAxle {
                inner: s.inner.map(f),
                outer: s.outer.map(f),
                axis: s.axis.map(f),
                design_length: f(s.design_length),
            }),
            joints: self.joints.map(|j| {
                j.map(|j| Joint { rod: j.rod, arm: arm(j.arm), swing: j.swing, axis: j.axis.map(f) })
            }),
        }
    }
}
