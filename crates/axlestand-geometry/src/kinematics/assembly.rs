//! From points and adjusters to equations and measured parts.

use super::adjuster::Adjusted;
use super::bar::Bar;
use super::carried::{Arm, ArmPoints, Carried, Span};
use super::layout::Layout;
use super::mechanism::{DriveAxle, Holding, Joint, Mechanism, SteeringAxis};
use super::point::Point;
use super::row::Row;
use super::spec::{Carrier, CornerSpec, MOST_JOINTS};
use super::values::Values;
use crate::conventions::spin_axis;
use crate::mathematics::{Scalar, Vec3};

/// Points as designed and as adjusted, while a mechanism is put together.
struct Assembly<'a, S> {
    spec: &'a CornerSpec,
    values: &'a Values<S>,
    adjusted: Adjusted<S>,
}

impl<S: Scalar> Assembly<'_, S> {
    fn design(&self, p: Point) -> Vec3<S> {
        self.values.design[p]
    }

    fn now(&self, p: Point) -> Vec3<S> {
        self.values.design[p] + self.adjusted.shift[p]
    }

    /// A point fixed to the knuckle, from the wheel centre.
    fn body(&self, p: Point) -> Vec3<S> {
        let place = self.now(p);
        let place = match (&self.adjusted.strut, p) {
            (Some((turn, bolt)), Point::StrutSeat) => *bolt + turn.times(place - *bolt),
            _ => place,
        };
        place - self.design(Point::WheelCentre)
    }

    fn rod(&self, place: usize, (inner, outer): (Point, Point)) -> Row<S> {
        let length = (self.design(outer) - self.design(inner)).norm() + self.adjusted.longer[place];
        Row::Rod { q: self.now(inner), b: self.body(outer), length }
    }

    /// Two directions square to a line.
    fn across(line: Vec3<S>) -> [Vec3<S>; 2] {
        let v = line.values();
        let (x, y, z) = (v.x.abs(), v.y.abs(), v.z.abs());
        let least = if x <= y && x <= z {
            Vec3::new(1.0, 0.0, 0.0)
        } else if y <= z {
            Vec3::new(0.0, 1.0, 0.0)
        } else {
            Vec3::new(0.0, 0.0, 1.0)
        };
        let first = line.cross(Vec3::constant(least)).unit();
        [first, line.cross(first)]
    }

    fn rows(&self) -> [Row<S>; 6] {
        let up = Vec3::constant(Vec3::new(0.0, 0.0, 1.0));
        let origin = Vec3::constant(Vec3::default());
        let height = self.design(Point::WheelCentre).z;
        let mut rows = [Row::Plane { b: origin, n: up, at: height }; 6];
        for (i, (slot, rod)) in rows.iter_mut().zip(self.spec.layout.rods()).enumerate() {
            *slot = self.rod(i, *rod);
        }
        match self.spec.layout {
            Layout::Strut => {
                let design = (self.design(Point::StrutTop) - self.design(Point::StrutSeat)).unit();
                let line = self.adjusted.strut.as_ref().map_or(design, |(turn, _)| turn.times(design));
                let (t, seat) = (self.now(Point::StrutTop), self.body(Point::StrutSeat));
                for (slot, e) in rows[3..5].iter_mut().zip(Self::across(line)) {
                    *slot = Row::Slide { t, e, at: e.dot(seat) };
                }
            }
            Layout::SemiTrailing => {
                let (inner, outer) = (Point::ArmInnerPivot, Point::ArmOuterPivot);
                let line = (self.design(inner) - self.design(outer)).unit();
                let [first, second] = Self::across(line);
                let plane = |p: Point, n: Vec3<S>| {
                    let b = self.design(p) - self.design(Point::WheelCentre);
                    Row::Plane { b, n, at: n.dot(self.now(p)) }
                };
                rows[..3].copy_from_slice(&[first, second, line].map(|n| plane(inner, n)));
                rows[3..5].copy_from_slice(&[first, second].map(|n| plane(outer, n)));
            }
            Layout::DoubleWishbone | Layout::FiveLink => {}
        }
        rows
    }

    fn arm(&self, front: Point, rear: Point, outer: Point) -> Arm<S> {
        Arm::new(&ArmPoints {
            front: self.design(front),
            rear: self.design(rear),
            outer: self.design(outer),
            front_now: self.now(front),
            rear_now: self.now(rear),
            outer_body: self.body(outer),
        })
    }

    fn arms(&self) -> (Option<Arm<S>>, Option<Arm<S>>) {
        use Point as P;
        let lower = || self.arm(P::LowerFront, P::LowerRear, P::LowerBall);
        match self.spec.layout {
            Layout::Strut => (Some(lower()), None),
            Layout::DoubleWishbone => {
                (Some(lower()), Some(self.arm(P::UpperFront, P::UpperRear, P::UpperBall)))
            }
            Layout::SemiTrailing => {
                (Some(self.arm(P::ArmInnerPivot, P::ArmOuterPivot, P::WheelCentre)), None)
            }
            Layout::FiveLink => (None, None),
        }
    }

    fn carried(&self, on: Carrier, p: Point, arms: (Option<Arm<S>>, Option<Arm<S>>)) -> Option<Carried<S>> {
        match on {
            Carrier::Knuckle => Some(Carried::Knuckle(self.body(p))),
            Carrier::LowerArm => Some(Carried::on_arm(arms.0?, self.now(p))),
            Carrier::UpperArm => Some(Carried::on_arm(arms.1?, self.now(p))),
            Carrier::Rod(i) => {
                let (inner, outer) = *self.spec.layout.rods().get(i)?;
                let (q, b) = (self.now(inner), self.body(outer));
                Some(Carried::on_rod(q, self.now(outer), b, self.now(p)))
            }
        }
    }

    /// A spring or damper; on a strut without own seats, the strut itself.
    fn span(
        &self,
        top: Point,
        seat: Point,
        on: Carrier,
        arms: (Option<Arm<S>>, Option<Arm<S>>),
    ) -> Option<Span<S>> {
        let has = |p: Point| self.spec.point(p).is_some();
        if has(top) && has(seat) {
            return Some(Span { top: self.now(top), seat: self.carried(on, seat, arms)? });
        }
        self.strut()
    }

    fn strut(&self) -> Option<Span<S>> {
        (self.spec.layout == Layout::Strut).then(|| Span {
            top: self.now(Point::StrutTop),
            seat: Carried::Knuckle(self.body(Point::StrutSeat)),
        })
    }

    fn bar(&self, arms: (Option<Arm<S>>, Option<Arm<S>>)) -> Option<Bar<S>> {
        let points = [Point::BarPivot, Point::BarArmEnd, Point::BarLinkEnd];
        if points.iter().any(|p| self.spec.point(*p).is_none()) {
            return None;
        }
        let [pivot, end, link] = points.map(|p| self.now(p));
        let joint = self.carried(self.spec.bar_link_on, Point::BarLinkEnd, arms)?;
        Bar::new(pivot, Vec3::constant(self.spec.bar_axis), end, link, joint)
    }

    fn shaft(&self) -> Option<DriveAxle<S>> {
        let (inner, outer) = (Point::AxleInner, Point::AxleOuter);
        self.spec.point(inner)?;
        self.spec.point(outer)?;
        Some(DriveAxle {
            inner: self.now(inner),
            outer: self.body(outer),
            axis: Vec3::constant(self.spec.axle_axis.unit()),
            design_length: (self.design(outer) - self.design(inner)).norm(),
        })
    }

    fn joints(&self, arms: (Option<Arm<S>>, Option<Arm<S>>)) -> [Option<Joint<S>>; MOST_JOINTS] {
        let mut out = [None; MOST_JOINTS];
        for (slot, joint) in out.iter_mut().zip(&self.spec.joints) {
            let on = |(inner, outer): &(Point, Point)| *inner == joint.point || *outer == joint.point;
            let rod = self.spec.layout.rods().iter().position(on);
            let arm = if joint.point == Point::UpperBall { arms.1 } else { arms.0 };
            let axis = Vec3::constant(joint.axis.unit());
            *slot = Some(Joint { rod, arm, swing: joint.swing, axis });
        }
        out
    }

    fn steering_axis(&self) -> SteeringAxis<S> {
        match self.spec.layout {
            Layout::Strut => SteeringAxis::ToMount(self.body(Point::LowerBall), self.now(Point::StrutTop)),
            Layout::DoubleWishbone => {
                SteeringAxis::Balls(self.body(Point::LowerBall), self.body(Point::UpperBall))
            }
            Layout::FiveLink => SteeringAxis::Virtual,
            Layout::SemiTrailing => SteeringAxis::None,
        }
    }
}

impl<S: Scalar> Mechanism<S> {
    /// Puts a checked description together with the given numbers, at their travel and rack.
    pub(crate) fn assemble(spec: &CornerSpec, values: &Values<S>) -> Self {
        let mut adjusted = Adjusted::new(values.shift);
        let tie = spec.layout.tie_rod();
        for ((adjuster, _), setting) in spec.adjusters.iter().zip(values.setting) {
            adjusted.apply(adjuster, setting, tie, spec.side);
        }
        let a = Assembly { spec, values, adjusted };
        let arms = a.arms();
        let rows = a.rows();
        let tie_inner = match tie.map(|i| rows[i]) {
            Some(Row::Rod { q, .. }) => q,
            _ => Vec3::constant(Vec3::default()),
        };
        let mut holding = Holding {
            rows,
            tie,
            rack: Vec3::constant(spec.rack.unit()),
            tie_inner,
            height: a.design(Point::WheelCentre).z,
        };
        holding.drive(values.travel, values.rack);
        Self {
            side: spec.side,
            holding,
            centre: a.design(Point::WheelCentre),
            spin: spin_axis(values.camber_deg.in_radians(), values.toe_deg.in_radians(), spec.side),
            radius: values.radius,
            axis: a.steering_axis(),
            lower: arms.0,
            upper: arms.1,
            strut: a.strut(),
            spring: a.span(Point::SpringTop, Point::SpringSeat, spec.spring_on, arms),
            damper: a.span(Point::DamperTop, Point::DamperSeat, spec.damper_on, arms),
            bar: a.bar(arms),
            shaft: a.shaft(),
            joints: a.joints(arms),
        }
    }
}
