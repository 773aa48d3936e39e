//! An axle that carries both wheels: what a twist beam and a live axle show alike.

use super::axle::LiveAxle;
use super::axle_findings::check_axle;
use super::axle_spec::{AxleHold, BadAxle};
use super::findings::{BadCorner, Finding};
use super::layout::Member;
use super::point::Point;
use super::trouble::Trouble;
use super::twist_beam::{TwistBeamOutputs, TwistBeamSpec};
use super::whole_axle_spec::{WholeAxleSpec, WholeLayout};
use crate::conventions::{Side, camber, spin_axis, to_contact, toe};
use crate::mathematics::{Dual, Mat3, Scalar, Vec3};

/// What an axle that carries both wheels shows with its wheels at two travels. Lists are left, right;
/// signs as in [`conventions`](crate::conventions).
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct WholeAxleOutputs {
    /// Camber relative to the body, degrees.
    pub camber: [f64; 2],
    /// Toe of each wheel, degrees, toe-in positive.
    pub toe: [f64; 2],
    /// Heading of both wheels together, degrees, to the left positive.
    pub steer: f64,
    /// Roll of the line through the wheel centres relative to the body, degrees, left wheel up
    /// positive.
    pub roll: f64,
    /// Change of the distance between the contact points from the design position, mm.
    pub track: f64,
    /// Forward motion of the point between the wheel centres from the design position, mm.
    pub wheelbase: f64,
    /// Motion of that point to the left, mm.
    pub sideways: f64,
    /// Change of each wheel's toe as both wheels rise, degrees per mm.
    pub toe_rate: [f64; 2],
    /// Height of the roll centre above the ground, mm: h = y_C (dy_C/dz_C) for the contact points
    /// carried by the axle, the wheels going opposite ways; the mean of left and right.
    pub roll_centre: Option<f64>,
    /// Heading of both wheels per degree of roll, degrees: positive is to the left as the left wheel
    /// goes up.
    pub roll_steer: Option<f64>,
    /// Forward motion of the left contact point per mm of rise of both wheels, wheel locked to the
    /// axle.
    pub contact_slope: Option<f64>,
    /// Forward motion of the left wheel centre per mm of rise of both wheels.
    pub centre_slope: f64,
    /// Side-view instant centre (x, z) of the left wheel, both rising, mm; `None` where it shifts
    /// without turning.
    pub side_centre: Option<[f64; 2]>,
    /// Height of the left contact point in the car's axes, mm.
    pub ground: f64,
    /// Distance between the spring's seats, left, mm.
    pub spring_length: Option<f64>,
    /// Motion ratio of the spring, −d(length)/d(travel), both wheels rising.
    pub spring_ratio: Option<f64>,
    /// Distance between the damper's mounts, left, mm.
    pub damper_length: Option<f64>,
    /// Motion ratio of the damper.
    pub damper_ratio: Option<f64>,
    /// Turn of a twist beam in its bushings from the design position, degrees, wheels up positive.
    pub pivot_turn: Option<f64>,
}

/// An axle that carries both wheels, checked and put together.
#[derive(Debug, Clone)]
pub struct WholeAxle {
    spec: WholeAxleSpec,
    held: Held,
    wheel: [Vec3; 2],
    doubts: Vec<Finding>,
}

#[derive(Debug, Clone)]
enum Held {
    Beam(Box<TwistBeamSpec>),
    Live(Box<LiveAxle>),
}

/// One wheel with the part that carries it, and how both move.
struct Carried {
    wheel: Vec3<Dual<f64>>,
    turn: Mat3<Dual<f64>>,
}

impl WholeAxle {
    /// Checks a description and puts it together.
    ///
    /// # Errors
    /// [`BadCorner`] with every finding, where something is missing, impossible or looks like a wrong
    /// unit, side or order, or where the rods do not hold the axle.
    pub fn new(spec: WholeAxleSpec) -> Result<Self, BadCorner> {
        let doubts = check_axle(&spec);
        let missing = spec.layout.points().iter().find(|point| spec.point(**point).is_none());
        let refuse = |finding| {
            let mut findings = doubts.clone();
            findings.push(finding);
            BadCorner { findings }
        };
        if let Some(point) = missing {
            return Err(refuse(Finding::MissingOfAxle { point: *point }));
        }
        if doubts.iter().any(Finding::stops) {
            return Err(BadCorner { findings: doubts });
        }
        let held = Self::held(&spec).map_err(refuse)?;
        let left = spec.point(Point::WheelCentre).unwrap_or_default();
        Ok(Self { wheel: [left, left.mirrored()], held, doubts, spec })
    }

    fn held(spec: &WholeAxleSpec) -> Result<Held, Finding> {
        let none = Finding::AxleNotHeld { members: Vec::new() };
        if spec.layout == WholeLayout::TwistBeam {
            let beam = spec.beam().ok_or(none)?;
            return beam
                .check()
                .map(|()| Held::Beam(Box::new(beam)))
                .map_err(|why| Finding::BadAxle { why: why.to_string() });
        }
        let live = spec.live().ok_or(none)?;
        let mut members = [Member::WheelHeight; 6];
        for (i, hold) in live.holds.iter().enumerate() {
            let (inner, outer) = match spec.layout {
                WholeLayout::Leaves => (Point::LeafFrontEye, Point::WheelCentre),
                _ => Point::LINKS[i],
            };
            members[i] = match hold {
                AxleHold::Rod { .. } => Member::Rod(inner, outer),
                AxleHold::Guide { .. } => Member::Guide,
            };
        }
        LiveAxle::with_members(live, members).map(|axle| Held::Live(Box::new(axle))).map_err(
            |bad| match bad {
                BadAxle::NotHeld(members) => Finding::AxleNotHeld { members },
                other => Finding::BadAxle { why: other.to_string() },
            },
        )
    }

    /// What is doubtful about the description, though it can be computed.
    #[must_use]
    pub fn doubts(&self) -> &[Finding] {
        &self.doubts
    }

    /// The description it was made from.
    #[must_use]
    pub fn spec(&self) -> &WholeAxleSpec {
        &self.spec
    }

    /// Everything measured with the wheels at these travels, mm, left and right.
    ///
    /// # Errors
    /// [`Trouble`] where the axle does not get there.
    pub fn at(&self, left: f64, right: f64) -> Result<WholeAxleOutputs, Trouble> {
        let (both, turn) = self.carried([left, right], [1.0, 1.0])?;
        let (opposite, _) = self.carried([left, right], [1.0, -1.0])?;
        let out = self.shown(&both, &opposite, turn);
        let shown =
            [out.camber[0], out.camber[1], out.toe[0], out.toe[1], out.track, out.wheelbase, out.roll];
        if shown.iter().all(|value| value.is_finite()) {
            Ok(out)
        } else {
            Err(Trouble::NotANumber { what: "a wheel angle or rate" })
        }
    }

    /// Both wheels with their motion as they rise at `rates`, and the turn of a twist beam in its
    /// bushings.
    fn carried(&self, travel: [f64; 2], rates: [f64; 2]) -> Result<([Carried; 2], Option<f64>), Trouble> {
        match &self.held {
            Held::Beam(beam) => {
                let plain = beam.at(travel[0], travel[1])?;
                let input = [0, 1].map(|i| Dual { value: travel[i], rate: rates[i] });
                let out: TwistBeamOutputs<Dual<f64>> =
                    lifted(beam).placed(input).ok_or(Trouble::NotANumber { what: "the beam's motion" })?;
                let of = |i: usize| Carried { wheel: out.wheel[i], turn: out.turn[i] };
                Ok(([of(0), of(1)], Some(plain.bounce)))
            }
            Held::Live(axle) => {
                let at = axle.solve(travel[0], travel[1])?;
                let pose = axle.moving(&at, rates)?;
                let of = |i: usize| {
                    let wheel = pose.place(Vec3::constant(self.wheel[i] - axle.middle()));
                    Carried { wheel, turn: pose.turn }
                };
                Ok(([of(0), of(1)], None))
            }
        }
    }

    fn shown(&self, both: &[Carried; 2], opposite: &[Carried; 2], turn: Option<f64>) -> WholeAxleOutputs {
        let angles = [0, 1].map(|i| self.angles(&both[i], i));
        let contacts = [0, 1].map(|i| self.contact(&both[i], i));
        let rest = [0, 1].map(|i| self.wheel[i] + to_contact(self.spin(i), self.spec.loaded_radius));
        let middle = (both[0].wheel + both[1].wheel).times(Dual::constant(0.5)).values();
        let design = (self.wheel[0] + self.wheel[1]).times(0.5);
        let rolling = self.rolling(opposite);
        let length = |low, high| self.length(&both[0], low, high);
        let spring = length(Point::SpringSeat, Point::SpringTop);
        let damper = length(Point::DamperSeat, Point::DamperTop);
        WholeAxleOutputs {
            camber: angles.map(|[camber, _]| camber.value),
            toe: angles.map(|[_, toe]| toe.value),
            steer: (angles[1][1].value - angles[0][1].value) / 2.0,
            roll: roll(both).value,
            track: (contacts[0].0 - contacts[1].0).y - (rest[0] - rest[1]).y,
            wheelbase: middle.x - design.x,
            sideways: middle.y - design.y,
            toe_rate: angles.map(|[_, toe]| toe.rate),
            roll_centre: self.roll_centre(opposite),
            roll_steer: over(rolling.0, rolling.1),
            contact_slope: over(contacts[0].1.x, contacts[0].1.z),
            centre_slope: both[0].wheel.x.rate,
            side_centre: side_centre(&both[0]),
            ground: contacts[0].0.z,
            spring_length: spring.map(|s| s.value),
            spring_ratio: spring.map(|s| -s.rate),
            damper_length: damper.map(|s| s.value),
            damper_ratio: damper.map(|s| -s.rate),
            pivot_turn: turn,
        }
    }

    fn spin(&self, wheel: usize) -> Vec3 {
        let side = if wheel == 0 { Side::Left } else { Side::Right };
        let (camber, toe) = (self.spec.camber_deg[wheel], self.spec.toe_deg[wheel]);
        spin_axis(camber.to_radians(), toe.to_radians(), side)
    }

    /// Camber and toe of a wheel, degrees, with their rates.
    fn angles(&self, at: &Carried, wheel: usize) -> [Dual<f64>; 2] {
        let n = at.turn.times(Vec3::constant(self.spin(wheel)));
        let side = if wheel == 0 { Side::Left } else { Side::Right };
        [camber(n).in_degrees(), toe(n, side).in_degrees()]
    }

    /// The contact point and its velocity as a point of what carries the wheel.
    fn contact(&self, at: &Carried, wheel: usize) -> (Vec3, Vec3) {
        let n = at.turn.times(Vec3::constant(self.spin(wheel))).values();
        let down = to_contact(n, self.spec.loaded_radius);
        let own = at.turn.map(|x| x.value).back(down);
        let moving = at.wheel + at.turn.times(Vec3::constant(own));
        (moving.values(), moving.map(|x| x.rate))
    }

    fn roll_centre(&self, opposite: &[Carried; 2]) -> Option<f64> {
        let [left, right] = [0, 1].map(|i| {
            let (place, velocity) = self.contact(&opposite[i], i);
            Some(place.y * over(velocity.y, velocity.z)?)
        });
        Some((left? + right?) / 2.0)
    }

    /// Rate of the heading and of the roll.
    fn rolling(&self, opposite: &[Carried; 2]) -> (f64, f64) {
        let [left, right] = [0, 1].map(|i| self.angles(&opposite[i], i)[1].rate);
        ((right - left) / 2.0, roll(opposite).rate)
    }

    /// Distance between a point of the left side that goes along with the wheel and one of the body.
    fn length(&self, at: &Carried, low: Point, high: Point) -> Option<Dual<f64>> {
        let (low, high) = (self.spec.point(low)?, self.spec.point(high)?);
        let place = at.wheel + at.turn.times(Vec3::constant(low - self.wheel[0]));
        Some((Vec3::constant(high) - place).norm())
    }
}

fn lifted(beam: &TwistBeamSpec) -> TwistBeamSpec<Dual<f64>> {
    let points = |pair: [Vec3; 2]| pair.map(Vec3::constant);
    TwistBeamSpec {
        bushing: points(beam.bushing),
        wheel: points(beam.wheel),
        shear_centre: Vec3::constant(beam.shear_centre),
        camber_deg: Dual::constant(beam.camber_deg),
        toe_deg: Dual::constant(beam.toe_deg),
    }
}

/// Roll of the line through the wheel centres, degrees, left up positive.
fn roll(wheels: &[Carried; 2]) -> Dual<f64> {
    let line = wheels[0].wheel - wheels[1].wheel;
    line.z.atan2(line.y).in_degrees()
}

/// Where in side view a point of the wheel's carrier would stand still: from the motion of the
/// wheel centre and the turn about the axis across the car.
fn side_centre(at: &Carried) -> Option<[f64; 2]> {
    let below = at.turn.map(|x| x.value).back(Vec3::new(0.0, 0.0, -1.0));
    let turn_across = -at.turn.times(Vec3::constant(below)).x.rate;
    let (place, velocity) = (at.wheel.values(), at.wheel.map(|x| x.rate));
    let (ahead, up) = (over(velocity.z, -turn_across)?, over(velocity.x, -turn_across)?);
    Some([place.x - ahead, place.z + up])
}

fn over(a: f64, b: f64) -> Option<f64> {
    (b.abs() > 1e-9).then(|| a / b)
}
