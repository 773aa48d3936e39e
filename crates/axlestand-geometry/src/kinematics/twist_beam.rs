//! A rear twist beam by the textbook approximation.
//!
//! In bounce the whole beam turns about the line through both bushings. In roll each wheel with its
//! trailing arm turns about the line from its own bushing to the shear centre of the cross member,
//! on the centreline. Bushing compliance is left out; the approximation is good to some 10–20 % of
//! the rates, which is to be said wherever its results are shown.

use super::trouble::{Input, Trouble};
use crate::conventions::{Side, camber, spin_axis, toe};
use crate::mathematics::{Mat3, Scalar, Vec3};

/// A twist beam by its points at the design position, car's axes, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwistBeamSpec<S = f64> {
    /// Bushing left and right.
    pub bushing: [Vec3<S>; 2],
    /// Wheel centre left and right.
    pub wheel: [Vec3<S>; 2],
    /// Shear centre of the cross member, on the centreline.
    pub shear_centre: Vec3<S>,
    /// Camber of both wheels at the design position, degrees.
    pub camber_deg: S,
    /// Toe of each wheel at the design position, degrees.
    pub toe_deg: S,
}

/// What a twist beam shows, left and right, signs as in [`conventions`](crate::conventions).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwistBeamOutputs<S = f64> {
    /// Camber relative to the body, degrees.
    pub camber: [S; 2],
    /// Toe, degrees.
    pub toe: [S; 2],
    /// Wheel centres, mm.
    pub wheel: [Vec3<S>; 2],
    /// Turn of each arm with its wheel from the design position.
    pub turn: [Mat3<S>; 2],
    /// Turn of the beam about its bushings in bounce, degrees, wheels up positive: bushing twist.
    pub bounce: S,
    /// Turn of each arm about its roll line, degrees, wheel up positive.
    pub twist: [S; 2],
}

/// Why a twist beam's description cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum BadTwistBeam {
    /// Something is not an ordinary number.
    #[error("a coordinate or angle of the twist beam is not an ordinary number; enter it again")]
    NotANumber,
    /// Left and right are mixed up.
    #[error("the {0}'s points are not on its own side of the car; left has positive y, in millimetres")]
    Sides(&'static str),
    /// The bushing is in the wheel.
    #[error("the bushings are less than 50 mm from the wheel centres in side view; one of them is mistyped")]
    ZeroLength,
    /// Wheel and bushing line leave no lever.
    #[error("the shear centre lies in line with bushing and wheel; check its place")]
    InLine,
}

/// Turn about a line that brings a point to a wanted height: z of the turned point is
/// c₀ + c₁ cos φ + c₂ sin φ. The solution nearest nought; `None` where it does not reach.
fn turn_to_height<S: Scalar>(on: Vec3<S>, axis: Vec3<S>, point: Vec3<S>, z: S) -> Option<S> {
    let d = point - on;
    let along = axis.times(d.dot(axis));
    let (c0, c1, c2) = (on.z + along.z, (d - along).z, axis.cross(d).z);
    height_angle(c1, c2, z - c0)
}

/// The φ nearest nought with c₁ cos φ + c₂ sin φ = c, for c₁ and c₂ the value and slope at nought.
fn height_angle<S: Scalar>(c1: S, c2: S, c: S) -> Option<S> {
    let rest = c1.squared() + c2.squared() - c.squared();
    if rest.value().is_nan() || rest.value() <= 0.0 {
        return None;
    }
    let half = rest.sqrt().atan2(c);
    let middle = c2.atan2(c1);
    Some(if c2.value() > 0.0 { middle - half } else { middle + half })
}

fn turned<S: Scalar>(on: Vec3<S>, turn: &Mat3<S>, point: Vec3<S>) -> Vec3<S> {
    on + turn.times(point - on)
}

impl TwistBeamSpec {
    /// Checks the description.
    ///
    /// # Errors
    /// [`BadTwistBeam`] with what is wrong.
    pub fn check(&self) -> Result<(), BadTwistBeam> {
        let points = [self.bushing, self.wheel];
        let finite = points.iter().flatten().all(|p| p.is_finite()) && self.shear_centre.is_finite();
        if !(finite && self.camber_deg.abs() < 45.0 && self.toe_deg.abs() < 45.0) {
            return Err(BadTwistBeam::NotANumber);
        }
        for [left, right] in points {
            if left.y < 50.0 {
                return Err(BadTwistBeam::Sides("left wheel"));
            }
            if right.y > -50.0 {
                return Err(BadTwistBeam::Sides("right wheel"));
            }
        }
        for (bushing, wheel) in self.bushing.iter().zip(&self.wheel) {
            if (bushing.x - wheel.x).hypot(bushing.z - wheel.z) < 50.0 {
                return Err(BadTwistBeam::ZeroLength);
            }
            let line = self.shear_centre - *bushing;
            if line.norm() < 50.0 || line.cross(*wheel - *bushing).norm() < 20.0 * line.norm() {
                return Err(BadTwistBeam::InLine);
            }
        }
        Ok(())
    }

    /// Where the beam stands with the wheels at these travels, mm.
    ///
    /// # Errors
    /// [`Trouble::ArmTooShort`] where an arm would have to go past upright,
    /// [`Trouble::NotANumber`].
    pub fn at(&self, left: f64, right: f64) -> Result<TwistBeamOutputs, Trouble> {
        if !(left.is_finite() && right.is_finite()) {
            return Err(Trouble::NotANumber { what: "the wanted travel" });
        }
        self.placed([left, right]).ok_or(Trouble::ArmTooShort { asked: Input { travel: left, rack: right } })
    }
}

impl<S: Scalar> TwistBeamSpec<S> {
    /// The same for any scalar, so that derivatives can be had; `None` where it does not reach.
    #[must_use]
    pub fn placed(&self, travel: [S; 2]) -> Option<TwistBeamOutputs<S>> {
        let on = self.bushing[0];
        let axis = (self.bushing[0] - self.bushing[1]).unit();
        // Bounce: the mean height of the wheels.
        let mut c = [S::zero(); 3];
        for (wheel, travel) in self.wheel.iter().zip(travel) {
            let d = *wheel - on;
            let along = axis.times(d.dot(axis));
            c[0] = c[0] + (d - along).z.scaled(0.5);
            c[1] = c[1] + axis.cross(d).z.scaled(0.5);
            c[2] = c[2] + (d.z - along.z + travel).scaled(0.5);
        }
        let bounce = height_angle(c[0], c[1], c[2])?;
        let bounced = Mat3::turned_by(axis.times(bounce));
        let shear = turned(on, &bounced, self.shear_centre);
        let mut wheel = self.wheel;
        let mut spin = [Side::Left, Side::Right]
            .map(|side| spin_axis(self.camber_deg.in_radians(), self.toe_deg.in_radians(), side));
        let mut twist = [S::zero(); 2];
        let mut turn = [bounced; 2];
        for i in 0..2 {
            let bushing = self.bushing[i];
            let target = self.wheel[i].z + travel[i];
            let place = turned(on, &bounced, wheel[i]);
            let line = (shear - bushing).unit();
            let angle = turn_to_height(bushing, line, place, target)?;
            let rolled = Mat3::turned_by(line.times(angle));
            wheel[i] = turned(bushing, &rolled, place);
            turn[i] = rolled.after(&bounced);
            spin[i] = turn[i].times(spin[i]);
            let rise = line.cross(place - bushing).z.value();
            twist[i] = if rise < 0.0 { -angle } else { angle };
        }
        let lift = if c[1].value() < 0.0 { -bounce } else { bounce };
        Some(TwistBeamOutputs {
            camber: spin.map(|n| camber(n).in_degrees()),
            toe: [toe(spin[0], Side::Left).in_degrees(), toe(spin[1], Side::Right).in_degrees()],
            wheel,
            turn,
            bounce: lift.in_degrees(),
            twist: twist.map(Scalar::in_degrees),
        })
    }
}
