//! A live axle: one rigid body with both wheels on four constraints.

use super::axle_spec::{AxleHold, AxleSpec, BadAxle};
use super::corner::Solved;
use super::layout::Member;
use super::newton::{Ended, solve};
use super::point::Point;
use super::row::{Row, matrix, residuals, response};
use super::trouble::{Input, Trouble, in_line};
use crate::conventions::{Side, camber, spin_axis, toe};
use crate::mathematics::{Dual, Lu, Pose, Scalar, Twist, Vec3};

/// What a live axle shows at one position, signs as in [`conventions`](crate::conventions). Derivatives when
/// it comes from a sensitivity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleOutputs<S = f64> {
    /// Camber of left and right wheel relative to the body, degrees.
    pub camber: [S; 2],
    /// Toe of left and right wheel, degrees.
    pub toe: [S; 2],
    /// Steer of the whole axle, degrees, to the left positive.
    pub steer: S,
    /// Roll of the axle relative to the body, degrees, left wheel up positive.
    pub roll: S,
    /// Turn of the axle in side view, degrees, positive where its front side goes down.
    pub pitch: S,
    /// Forward motion of the axle's middle from the design position, mm.
    pub forward: S,
    /// Motion of the axle's middle to the left, mm.
    pub sideways: S,
    /// Height of the roll centre in the axle's transverse plane at the centreline, in the car's
    /// axes, mm.
    pub roll_centre: S,
    /// Steer of the axle per degree of roll.
    pub roll_steer: S,
}

/// What the sensitivity of an axle is taken by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AxleParameter {
    /// The body end of rod (or the point of guide) number n moved along an axis; lengths stay.
    Inner(usize, super::Axis),
    /// The axle end of rod number n moved along an axis; lengths stay.
    Outer(usize, super::Axis),
    /// Rod number n longer.
    Length(usize),
    /// Travel of the left wheel.
    Left,
    /// Travel of the right wheel.
    Right,
}

/// A live axle, checked and put together.
#[derive(Debug, Clone)]
pub struct LiveAxle {
    spec: AxleSpec,
    rows: [Row; 6],
    middle: Vec3,
    det: f64,
    members: [Member; 6],
}

/// What the six equations stand for where no other names are known: rods by their number.
fn numbered(spec: &AxleSpec) -> [Member; 6] {
    let mut members = [Member::WheelHeight; 6];
    for ((member, hold), (inner, outer)) in members.iter_mut().zip(&spec.holds).zip(Point::LINKS) {
        *member = match hold {
            AxleHold::Rod { .. } => Member::Rod(inner, outer),
            AxleHold::Guide { .. } => Member::Guide,
        };
    }
    members
}

impl LiveAxle {
    /// Checks a description and puts it together.
    ///
    /// # Errors
    /// [`BadAxle`] naming what is wrong.
    pub fn new(spec: AxleSpec) -> Result<Self, BadAxle> {
        let members = numbered(&spec);
        Self::with_members(spec, members)
    }

    /// As [`new`](Self::new), with other names for what holds the axle.
    pub(crate) fn with_members(spec: AxleSpec, members: [Member; 6]) -> Result<Self, BadAxle> {
        spec.check()?;
        let middle = (spec.left + spec.right).times(0.5);
        let rows = spec.rows(middle);
        let pose = Pose::at(middle);
        let det = Lu::of(matrix(&rows, &pose)).map_or(0.0, |lu| lu.det());
        // Lengths of the order of a metre: firm axles have determinants of 1e7 mm³ and more.
        if det.abs() < 1e3 {
            return Err(BadAxle::NotHeld(in_line(&rows, &members, &pose)));
        }
        Ok(Self { spec, rows, middle, det, members })
    }

    /// The pose at a solved position with its rate, where the left and right wheel rise at `rates`
    /// (mm per unit).
    ///
    /// # Errors
    /// [`Trouble::Singular`] at a toggle.
    pub(crate) fn moving(&self, at: &Solved, rates: [f64; 2]) -> Result<Pose<Dual<f64>>, Trouble> {
        let (rows, lu) = self.linear_at(at)?;
        let [left, right] = [4, 5].map(|which| response(&rows, &at.pose, &lu, which));
        let (left, right) = (left.times(rates[0]), right.times(rates[1]));
        Ok(at.pose.along(&Twist { turn: left.turn + right.turn, shift: left.shift + right.shift }))
    }

    /// Where the axle's own origin is at the design position: between the wheel centres, mm.
    pub(crate) fn middle(&self) -> Vec3 {
        self.middle
    }

    fn driven(&self, left: f64, right: f64) -> [Row; 6] {
        let mut rows = self.rows;
        for (row, travel) in rows[4..].iter_mut().zip([left, right]) {
            if let Row::Plane { at, .. } = row {
                *at += travel;
            }
        }
        rows
    }

    /// The position at the travels of the left and right wheel, mm, by continuation from the design
    /// position in steps of 20 mm.
    ///
    /// # Errors
    /// [`Trouble`] where the links do not reach or the axle toggles; rods are named link 1 to 4 in
    /// the order of the description, the input's second number is the right wheel's travel.
    pub fn solve(&self, left: f64, right: f64) -> Result<Solved, Trouble> {
        let asked = Input { travel: left, rack: right };
        if !(left.is_finite() && right.is_finite()) {
            return Err(Trouble::NotANumber { what: "the wanted travel" });
        }
        let start = Input { travel: 0.0, rack: 0.0 };
        let mut at = Solved { pose: Pose::at(self.middle), input: start, margin: 1.0, steps: 0 };
        let steps = (left.abs().max(right.abs()) / 20.0).ceil().clamp(1.0, 1000.0);
        let mut done = 0.0;
        while done < steps {
            done += 1.0;
            let share = done / steps;
            at = self.step(&at, Input { travel: left * share, rack: right * share }, asked)?;
        }
        Ok(at)
    }

    fn step(&self, from: &Solved, input: Input, asked: Input) -> Result<Solved, Trouble> {
        let rows = self.driven(input.travel, input.rack);
        let found = match solve(&rows, &from.pose) {
            Ended::Closed { pose, det, steps } => {
                let margin = det / self.det;
                let turned = pose.turned_from_deg(&from.pose);
                let near = margin > 1e-4 && turned < 10.0;
                near.then_some(Solved { pose, input, margin, steps })
            }
            Ended::Singular | Ended::Stuck { .. } => None,
        };
        found.ok_or_else(|| {
            let members = in_line(&rows, &self.members, &from.pose);
            Trouble::Unreachable { asked, reached: from.input, members }
        })
    }

    /// Everything measured at a solved position.
    ///
    /// # Errors
    /// [`Trouble::Singular`] at a toggle.
    pub fn outputs(&self, at: &Solved) -> Result<AxleOutputs, Trouble> {
        let (rows, lu) = self.linear_at(at)?;
        Ok(self.shown(&rows, &at.pose, &lu))
    }

    fn linear_at(&self, at: &Solved) -> Result<([Row; 6], Lu<6>), Trouble> {
        let rows = self.driven(at.input.travel, at.input.rack);
        let lu = Lu::of(matrix(&rows, &at.pose)).filter(|lu| (lu.det() / self.det).abs() > 1e-5);
        let members = || in_line(&rows, &self.members, &at.pose);
        let lu = lu.ok_or_else(|| Trouble::Singular { at: at.input, members: members() })?;
        Ok((rows, lu))
    }

    fn shown<S: Scalar>(&self, rows: &[Row<S>; 6], pose: &Pose<S>, lu: &Lu<6>) -> AxleOutputs<S> {
        let spin = |side: Side| {
            let angle = |x: f64| S::constant(x.to_radians());
            pose.turn.times(spin_axis(angle(self.spec.camber_deg), angle(self.spec.toe_deg), side))
        };
        let (left, right) = (spin(Side::Left), spin(Side::Right));
        let across = pose.turn.times(Vec3::constant((self.spec.left - self.spec.right).unit()));
        let across_at_design = (self.spec.left - self.spec.right).unit();
        let ahead = pose.turn.times(Vec3::constant(Vec3::new(1.0, 0.0, 0.0)));
        let level = (across.x.squared() + across.y.squared()).sqrt();
        let to_middle = pose.origin - Vec3::constant(self.middle);
        // Opposite wheel motion: what is still at the centreline is the roll centre.
        let up_left = response(rows, pose, lu, 4);
        let up_right = response(rows, pose, lu, 5);
        let shift = up_left.shift - up_right.shift;
        let turn = up_left.turn - up_right.turn;
        AxleOutputs {
            camber: [camber(left).in_degrees(), camber(right).in_degrees()],
            toe: [toe(left, Side::Left).in_degrees(), toe(right, Side::Right).in_degrees()],
            steer: (-across.x).atan2(across.y).in_degrees()
                - S::constant((-across_at_design.x).atan2(across_at_design.y).to_degrees()),
            roll: across.z.atan2(level).in_degrees(),
            pitch: (-ahead.z).atan2(ahead.x).in_degrees(),
            forward: to_middle.x,
            sideways: to_middle.y,
            roll_centre: pose.origin.z + shift.y / turn.x,
            roll_steer: turn.z / turn.x,
        }
    }

    /// The derivatives of every output by one parameter at a solved position.
    ///
    /// # Errors
    /// [`Trouble::Singular`] at a toggle.
    pub fn sensitivity(&self, at: &Solved, by: AxleParameter) -> Result<AxleOutputs, Trouble> {
        let (rows, lu) = self.linear_at(at)?;
        let mut dual = rows.map(|row| row.map(Dual::fixed));
        mark(&mut dual, by);
        let still = at.pose.map(Dual::fixed);
        let left = residuals(&dual, &still).map(|f: Dual<f64>| -f.rate);
        let motion = Twist::from_array(lu.solve(left));
        let o = self.shown(&dual, &at.pose.along(&motion), &lu);
        let r = |x: Dual<f64>| x.rate;
        Ok(AxleOutputs {
            camber: o.camber.map(r),
            toe: o.toe.map(r),
            steer: r(o.steer),
            roll: r(o.roll),
            pitch: r(o.pitch),
            forward: r(o.forward),
            sideways: r(o.sideways),
            roll_centre: r(o.roll_centre),
            roll_steer: r(o.roll_steer),
        })
    }

    /// The same axle with one rod's length or end changed: what [`sensitivity`](Self::sensitivity)
    /// is the derivative of. `None` for travels and numbers that do not exist.
    #[must_use]
    pub fn changed(&self, by: AxleParameter, amount: f64) -> Option<Self> {
        let mut dual = self.rows.map(|row| row.map(Dual::fixed));
        mark(&mut dual, by);
        let mut out = self.clone();
        out.rows = dual.map(|row| row.map(|x| x.value + amount * x.rate));
        (!matches!(by, AxleParameter::Left | AxleParameter::Right)).then_some(out)
    }

    /// How far the links are from closing at a solved position, mm.
    #[must_use]
    pub fn closure(&self, at: &Solved) -> f64 {
        let rows = self.driven(at.input.travel, at.input.rack);
        residuals::<f64, 6>(&rows, &at.pose).iter().fold(0.0, |worst, r| f64::max(worst, r.abs()))
    }
}

fn unit(axis: super::Axis) -> Vec3<Dual<f64>> {
    let mut v = Vec3::constant(Vec3::default());
    let one = Dual { value: 0.0, rate: 1.0 };
    match axis {
        super::Axis::X => v.x = one,
        super::Axis::Y => v.y = one,
        super::Axis::Z => v.z = one,
    }
    v
}

fn mark(rows: &mut [Row<Dual<f64>>; 6], by: AxleParameter) {
    let one = Dual { value: 0.0, rate: 1.0 };
    let (place, inner, outer, more) = match by {
        AxleParameter::Inner(i, axis) => (i, Some(unit(axis)), None, None),
        AxleParameter::Outer(i, axis) => (i, None, Some(unit(axis)), None),
        AxleParameter::Length(i) => (i, None, None, Some(one)),
        AxleParameter::Left => (4, None, None, Some(one)),
        AxleParameter::Right => (5, None, None, Some(one)),
    };
    let still = Vec3::constant(Vec3::default());
    match rows.get_mut(place) {
        Some(Row::Rod { q, b, length }) => {
            *q = *q + inner.unwrap_or(still);
            *b = *b + outer.unwrap_or(still);
            *length = *length + more.unwrap_or(Dual::zero());
        }
        Some(Row::Plane { b, n, at }) => {
            *b = *b + outer.unwrap_or(still);
            *at = *at + n.dot(inner.unwrap_or(still)) + more.unwrap_or(Dual::zero());
        }
        _ => {}
    }
}
