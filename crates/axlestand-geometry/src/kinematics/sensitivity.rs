//! Sensitivities by implicit differentiation.
//!
//! The pose solves F(pose, θ) = 0, so a parameter θ moves it by ξ = −J⁻¹ ∂F/∂θ. Every output then
//! follows by the chain rule through the same formulas, with dual numbers; rates (bump steer,
//! motion ratios, roll centre) through the derivative of J⁻¹ as well. Nothing is differenced.

use super::corner::{Corner, Solved};
use super::mechanism::Mechanism;
use super::outputs::{Outputs, outputs};
use super::point::Point;
use super::row::{HEIGHT, Row, matrix, residuals, unknowns};
use super::trouble::Trouble;
use super::values::Values;
use crate::conventions::{camber, toe};
use crate::mathematics::{Dual, Lu, Pose, Scalar, Twist, Vec3};

/// A coordinate axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Axis {
    /// Forward.
    X,
    /// To the left.
    Y,
    /// Upward.
    Z,
}

impl Axis {
    /// All three.
    pub const ALL: [Self; 3] = [Self::X, Self::Y, Self::Z];
}

/// What a sensitivity is taken by; outputs change per mm or per degree of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Parameter {
    /// The point was surveyed elsewhere: the car is built so that it fits there, link lengths
    /// included.
    Surveyed(Point, Axis),
    /// The point is moved on the built car; every link keeps its length.
    Moved(Point, Axis),
    /// The setting of an adjuster, by its place in the description, per mm or degree.
    Adjuster(usize),
    /// Wheel travel.
    Travel,
    /// Rack travel.
    Rack,
    /// The camber at the design position, per degree.
    DesignCamber,
    /// The toe at the design position, per degree.
    DesignToe,
    /// The loaded radius of the tyre.
    LoadedRadius,
}

/// How one adjuster turns the wheel, per mm or degree of its setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// Camber, degrees.
    pub camber: f64,
    /// Toe, degrees.
    pub toe: f64,
}

fn bump(v: &mut Vec3<Dual<f64>>, axis: Axis) {
    match axis {
        Axis::X => v.x.rate += 1.0,
        Axis::Y => v.y.rate += 1.0,
        Axis::Z => v.z.rate += 1.0,
    }
}

/// Marks the parameter that everything is to be differentiated by.
pub(crate) fn marked(values: &Values<f64>, by: Parameter) -> Values<Dual<f64>> {
    let mut v = values.lifted();
    match by {
        Parameter::Surveyed(point, axis) => bump(&mut v.design[point], axis),
        Parameter::Moved(point, axis) => bump(&mut v.shift[point], axis),
        Parameter::Adjuster(i) => {
            if let Some(setting) = v.setting.get_mut(i) {
                setting.rate = 1.0;
            }
        }
        Parameter::Travel => v.travel.rate = 1.0,
        Parameter::Rack => v.rack.rate = 1.0,
        Parameter::DesignCamber => v.camber_deg.rate = 1.0,
        Parameter::DesignToe => v.toe_deg.rate = 1.0,
        Parameter::LoadedRadius => v.radius.rate = 1.0,
    }
    v
}

impl Corner {
    /// The derivatives of every output by one parameter at a solved position.
    ///
    /// # Errors
    /// [`Trouble::Singular`] at a toggle, [`Trouble::NotANumber`] should a derivative not exist.
    pub fn sensitivity(&self, at: &Solved, by: Parameter) -> Result<Outputs, Trouble> {
        let (_, lu) = self.linear_at(at)?;
        self.sensitivity_with(at, &lu, by)
    }

    /// The derivatives by several parameters, one set of outputs each, in their order.
    ///
    /// # Errors
    /// As [`sensitivity`](Self::sensitivity).
    pub fn sensitivities(&self, at: &Solved, by: &[Parameter]) -> Result<Vec<Outputs>, Trouble> {
        let (_, lu) = self.linear_at(at)?;
        by.iter().map(|p| self.sensitivity_with(at, &lu, *p)).collect()
    }

    /// Camber and toe at a solved position, and their derivatives by several parameters, one for each
    /// in their order: the same figures as in [`sensitivities`](Self::sensitivities) without all the
    /// others, which costs a fraction of it.
    ///
    /// # Errors
    /// [`Trouble::Singular`] at a toggle.
    pub fn wheel_effects(&self, at: &Solved, by: &[Parameter]) -> Result<(Effect, Vec<Effect>), Trouble> {
        let (_, lu) = self.linear_at(at)?;
        let n = at.pose.turn.times(self.mechanism.spin);
        let here = Effect { camber: camber(n).in_degrees(), toe: toe(n, self.mechanism.side).in_degrees() };
        let values = Values { travel: at.input.travel, rack: at.input.rack, ..self.values };
        let still: Pose<Dual<f64>> = at.pose.map(Dual::fixed);
        let effect = |by: &Parameter| {
            let m = Mechanism::assemble(&self.spec, &marked(&values, *by));
            let left = residuals(&m.holding.rows, &still).map(|f| -f.rate);
            let pose = at.pose.along(&Twist::from_array(lu.solve(left)));
            let n = pose.turn.times(m.spin);
            Effect { camber: camber(n).in_degrees().rate, toe: toe(n, m.side).in_degrees().rate }
        };
        Ok((here, by.iter().map(effect).collect()))
    }

    /// Every parameter a corner has: each given point by each axis as surveyed and as moved,
    /// adjusters, inputs and design figures.
    #[must_use]
    pub fn parameters(&self) -> Vec<Parameter> {
        let mut out = Vec::new();
        for (point, _) in self.spec.points() {
            for axis in Axis::ALL {
                out.extend([Parameter::Surveyed(point, axis), Parameter::Moved(point, axis)]);
            }
        }
        out.extend((0..self.spec.adjusters.len()).map(Parameter::Adjuster));
        out.extend([Parameter::Travel, Parameter::Rack, Parameter::DesignCamber, Parameter::DesignToe]);
        out.push(Parameter::LoadedRadius);
        out
    }

    fn sensitivity_with(&self, at: &Solved, lu: &Lu<6>, by: Parameter) -> Result<Outputs, Trouble> {
        let here = Values { travel: at.input.travel, rack: at.input.rack, ..self.values };
        let m = Mechanism::assemble(&self.spec, &marked(&here, by));
        let still: Pose<Dual<f64>> = at.pose.map(Dual::fixed);
        let left = residuals(&m.holding.rows, &still).map(|f| -f.rate);
        let motion = Twist::from_array(lu.solve(left));
        let pose = at.pose.along(&motion);
        let out = outputs(&m, &m.holding, &m.map(Dual::fixed), &pose, lu).map(|o: Dual<f64>| o.rate);
        if out.is_finite() { Ok(out) } else { Err(Trouble::NotANumber { what: "a sensitivity" }) }
    }

    /// The rates of the equations each adjuster enters, rack and travel last.
    pub(crate) fn adjuster_rows(&self) -> Vec<Vec<(usize, Row)>> {
        let adjusters = (0..self.spec.adjusters.len()).map(Parameter::Adjuster);
        let all = adjusters.chain([Parameter::Rack, Parameter::Travel]);
        all.map(|by| {
            let m = Mechanism::assemble(&self.spec, &marked(&self.values, by));
            let rates = m.holding.rows.map(|row| row.map(|x: Dual<f64>| x.rate));
            rates.into_iter().enumerate().filter(|(_, row)| !row.is_still()).collect()
        })
        .collect()
    }

    /// What every adjuster does to camber and toe at a solved position: one entry for each
    /// adjuster of the description, then rack travel, then wheel travel. Writes as many as fit
    /// into `out` and says how many. Allocates nothing; this is the fast way for a solver that
    /// turns adjusters, [`sensitivity`](Self::sensitivity) the full one.
    ///
    /// Adjoint form: one transposed solution each for camber and toe, then −λ·∂F/∂θ for every
    /// adjuster.
    ///
    /// # Errors
    /// [`Trouble::Singular`] at a toggle.
    pub fn adjuster_effects(&self, at: &Solved, out: &mut [Effect]) -> Result<usize, Trouble> {
        let m = &self.mechanism;
        let held = m.holding.driven(at.input.travel, at.input.rack);
        let slopes = matrix(&held.rows, &at.pose);
        // The last equation is the height of the origin alone: five are left to be solved.
        let mut lu = Lu::<5>::blank();
        self.factorise(at, &held, std::array::from_fn(|i| unknowns(&slopes[i])), &mut lu)?;
        let n = at.pose.turn.times(m.spin);
        let level = n.x * n.x + n.y * n.y;
        // The spin axis turns by ω×n; camber and toe follow as ω·g with these directions g.
        let k = -1.0_f64.in_degrees() / level.sqrt();
        let camber = [0.0, 0.0, 0.0, n.y * k, -n.x * k, 0.0];
        let k = m.side.sign().in_degrees() / level;
        let toe = [0.0, 0.0, 0.0, n.x * n.z * k, n.y * n.z * k, -level * k];
        let adjoint = |direction: &[f64; 6]| {
            let five = lu.solve_transposed(unknowns(direction));
            let last = -five.iter().zip(&slopes).map(|(x, slope)| x * slope[HEIGHT]).sum::<f64>();
            [five[0], five[1], five[2], five[3], five[4], last]
        };
        let (camber, toe) = (adjoint(&camber), adjoint(&toe));
        let mut levers = [[Vec3::new(0.0, 0.0, 0.0); 2]; 6];
        for ((lever, row), slope) in levers.iter_mut().zip(&held.rows).zip(&slopes) {
            *lever = row.levers(slope, &at.pose);
        }
        let mut written = 0;
        for (slot, touched) in out.iter_mut().zip(&self.turned) {
            let mut effect = Effect { camber: 0.0, toe: 0.0 };
            for (i, rates) in touched {
                let drift = rates.drift(&levers[*i]);
                effect.camber -= camber[*i] * drift;
                effect.toe -= toe[*i] * drift;
            }
            *slot = effect;
            written += 1;
        }
        Ok(written)
    }
}
