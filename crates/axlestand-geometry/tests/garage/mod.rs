//! A garage of plain geometry: a true car on a true floor between true strings, and what would be read
//! there. It shares no formula with the estimator's models.
#![allow(dead_code, reason = "not every test file uses all of it")]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use crate::dice::Dice;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{Axle, CarSize, Edge, Held, Kind, Quantity, Taken, Wheel};

pub(crate) const FL: Wheel = Wheel::ALL[0];
pub(crate) const RL: Wheel = Wheel::ALL[2];
pub(crate) const SIZE: CarSize =
    CarSize { wheelbase: 2550.0, front_track: 1480.0, rear_track: 1465.0, rim: 400.0 };
pub(crate) const AXLES: [Axle; 2] = [Axle::Front, Axle::Rear];
pub(crate) const SIDES: [Side; 2] = [Side::Left, Side::Right];

/// A true car on a true floor between true strings.
#[derive(Clone)]
pub(crate) struct Garage {
    pub(crate) toe: [f64; 4],
    pub(crate) camber: [f64; 4],
    pub(crate) caster: [f64; 2],
    /// Hub places across, positive to the left.
    pub(crate) hub: [f64; 4],
    /// Rim stands out in front and on top by these.
    pub(crate) run_out: [[f64; 2]; 4],
    /// String at the front axle, and its direction.
    pub(crate) string: [(f64, f64); 2],
    pub(crate) floor: [f64; 4],
    pub(crate) gauge: f64,
    /// Wheelbase, and how far the left wheel is ahead, front and rear.
    pub(crate) along: [f64; 3],
}

pub(crate) fn place(wheel: Wheel) -> usize {
    Wheel::ALL.iter().position(|w| *w == wheel).unwrap()
}

pub(crate) fn side(s: Side) -> usize {
    usize::from(s == Side::Right)
}

impl Garage {
    pub(crate) fn plain() -> Self {
        let hub = Wheel::ALL.map(|w| w.side.sign() * if w.axle == Axle::Front { 740.0 } else { 732.5 });
        Self {
            toe: [0.12, 0.05, 0.10, 0.16],
            camber: [-0.7, -0.4, -1.1, -1.3],
            caster: [3.6, 4.1],
            hub,
            run_out: [[0.0; 2]; 4],
            string: [(860.0, 0.0), (-860.0, 0.0)],
            floor: [0.0; 4],
            gauge: 0.0,
            along: [2550.0, 0.0, 0.0],
        }
    }

    /// Drawn as the estimator believes cars and garages to be, the car's own angles more narrowly.
    pub(crate) fn drawn(dice: &mut Dice) -> Self {
        let mut g = Self::plain();
        for (i, wheel) in Wheel::ALL.iter().enumerate() {
            g.toe[i] = dice.normal(0.08, 0.10);
            g.camber[i] = dice.normal(-0.6, 0.4);
            g.run_out[i] = [dice.normal(0.0, 0.3), dice.normal(0.0, 0.3)];
            g.floor[i] = dice.normal(0.0, 4.0);
            if wheel.side == Side::Left {
                let middle = dice.normal(0.0, if wheel.axle == Axle::Front { 1.0 } else { 2.0 });
                let wider = dice.normal(0.0, 14.0);
                g.hub[i] += middle + wider;
                g.hub[i + 1] += middle - wider;
            }
        }
        g.caster = [dice.normal(4.0, 1.0), dice.normal(4.0, 1.0)];
        for (s, sign) in [1.0, -1.0].into_iter().enumerate() {
            g.string[s] = (sign * 890.0 + dice.normal(0.0, 30.0), dice.normal(0.0, 0.7));
        }
        g.gauge = dice.normal(0.0, 0.1);
        g
    }

    /// What a quantity of the estimate really is.
    pub(crate) fn truth(&self, quantity: Quantity) -> f64 {
        let of = |values: &[f64; 4], axle, side| values[place(Wheel::of(axle, side))];
        let (l, r) = (Side::Left, Side::Right);
        match quantity {
            Quantity::Toe(wheel) => self.toe[place(wheel)],
            Quantity::TotalToe(axle) => of(&self.toe, axle, l) + of(&self.toe, axle, r),
            Quantity::ToeSplit(axle) => (of(&self.toe, axle, l) - of(&self.toe, axle, r)) / 2.0,
            Quantity::Thrust => (self.toe[3] - self.toe[2]) / 2.0,
            Quantity::Camber(wheel) => self.camber[place(wheel)],
            Quantity::CamberDifference(axle) => of(&self.camber, axle, l) - of(&self.camber, axle, r),
            Quantity::Caster(s) => self.caster[side(s)],
            Quantity::CasterDifference => self.caster[0] - self.caster[1],
            Quantity::SetBack(_) | Quantity::SteeringWheel => f64::NAN,
        }
    }

    pub(crate) fn gap(&self, wheel: Wheel, ahead: f64, y: f64) -> f64 {
        let x = ahead + if wheel.axle == Axle::Front { 0.0 } else { -2550.0 };
        let (offset, yaw) = self.string[side(wheel.side)];
        wheel.side.sign() * (offset + x * yaw.to_radians().tan() - y)
    }

    pub(crate) fn rim_gap(&self, wheel: Wheel, edge: Edge, half_turn: bool) -> Kind {
        let i = place(wheel);
        let e: f64 = if edge == Edge::Front { 200.0 } else { -200.0 };
        let out = self.run_out[i][0] * e.signum() * if half_turn { -1.0 } else { 1.0 };
        let (sin, cos) = self.toe[i].to_radians().sin_cos();
        // The front edge of a wheel with toe-in is inboard; run-out as the estimator counts it,
        // inboard in front.
        let y = self.hub[i] - wheel.side.sign() * (e * sin + out);
        Kind::RimGap { wheel, edge, half_turn, gap: self.gap(wheel, e * cos, y) }
    }

    pub(crate) fn rims(&self, half_turn: bool) -> Vec<Kind> {
        let of = |w: &Wheel| [Edge::Front, Edge::Rear].map(|e| self.rim_gap(*w, e, half_turn));
        Wheel::ALL.iter().flat_map(of).collect()
    }

    pub(crate) fn hubs(&self) -> Vec<Kind> {
        Wheel::ALL
            .iter()
            .map(|w| Kind::HubGap { wheel: *w, gap: self.gap(*w, 0.0, self.hub[place(*w)]) })
            .collect()
    }

    pub(crate) fn spacings(&self) -> Vec<Kind> {
        let at = |ahead: f64| {
            let y = |s: usize| self.string[s].0 + ahead * self.string[s].1.to_radians().tan();
            Kind::StringSpacing { ahead, spacing: y(0) - y(1) }
        };
        vec![at(700.0), at(-2550.0 - 700.0)]
    }

    pub(crate) fn plates(&self, axle: Axle, half_turn: bool) -> Kind {
        let (l, r) = (place(Wheel::of(axle, Side::Left)), place(Wheel::of(axle, Side::Right)));
        let sign = if half_turn { -1.0 } else { 1.0 };
        let angle = |i: usize| self.toe[i].to_radians() + sign * 2.0 * self.run_out[i][0] / 400.0;
        let half = 300.0 * (angle(l).sin() + angle(r).sin());
        Kind::ToePlates { axle, base: 600.0, front: 1600.0 - half, rear: 1600.0 + half, half_turn }
    }

    pub(crate) fn camber(&self, wheel: Wheel, half_turn: bool) -> Kind {
        let i = place(wheel);
        let other = place(wheel.opposite());
        let track = if wheel.axle == Axle::Front { 1480.0 } else { 1465.0 };
        let slope = ((self.floor[i] - self.floor[other]) / track).atan().to_degrees();
        let out = (2.0 * self.run_out[i][1] / 400.0).to_degrees() * if half_turn { -1.0 } else { 1.0 };
        Kind::Camber { wheel, degrees: self.camber[i] + self.gauge + out - slope, half_turn }
    }

    pub(crate) fn cambers(&self, half_turn: bool) -> Vec<Kind> {
        Wheel::ALL.iter().map(|w| self.camber(*w, half_turn)).collect()
    }

    pub(crate) fn levels(&self) -> Vec<Kind> {
        let [fl, fr, rl, rr] = Wheel::ALL;
        let step = |(from, to): (Wheel, Wheel)| Kind::FloorStep {
            from,
            to,
            rise: self.floor[place(to)] - self.floor[place(from)],
        };
        [(fr, fl), (rr, rl), (rl, fl), (rr, fr)].map(step).to_vec()
    }

    /// Small-angle camber of a steered wheel; the inclination falls out of equal headings.
    pub(crate) fn sweep(&self, s: Side, heading: f64) -> Kind {
        let change = self.caster[side(s)] * heading.to_radians().sin();
        let straight = self.camber[place(Wheel::of(Axle::Front, s))];
        let held = |h: f64| Held { heading: h, camber: straight + s.sign() * change * h.signum() };
        Kind::CasterSweep { side: s, left: held(heading), right: held(-heading) }
    }

    pub(crate) fn sweeps(&self, times: usize) -> Vec<Kind> {
        (0..times).flat_map(|_| SIDES.map(|s| self.sweep(s, 20.0))).collect()
    }

    /// Everything, as a patient mechanic would read it.
    pub(crate) fn everything(&self) -> Vec<Taken> {
        let mut kinds = [self.rims(false), self.rims(true), self.hubs(), self.spacings()].concat();
        kinds.extend([self.cambers(false), self.cambers(true), self.levels(), self.sweeps(2)].concat());
        kinds.extend([false, true].map(|h| self.plates(Axle::Front, h)));
        taken(kinds)
    }
}

pub(crate) fn taken(kinds: Vec<Kind>) -> Vec<Taken> {
    kinds.into_iter().map(Taken::usual).collect()
}

/// Reads with errors drawn at the usual size.
pub(crate) fn noisy(readings: &[Taken], dice: &mut Dice) -> Vec<Taken> {
    let mut out = readings.to_vec();
    for taken in &mut out {
        let error = dice.normal(0.0, taken.sigma);
        match &mut taken.kind {
            Kind::RimGap { gap, .. } | Kind::HubGap { gap, .. } => *gap += error,
            Kind::StringSpacing { spacing, .. } => *spacing += error,
            Kind::ToePlates { rear, .. } | Kind::Trammel { rear, .. } => *rear += error,
            Kind::StraightEdge { front, .. } => *front += error,
            Kind::Camber { degrees, .. } => *degrees += error,
            Kind::FloorStep { rise, .. } => *rise += error,
            Kind::CasterSweep { left, .. } => left.camber += error,
            Kind::Wheelbase { distance, .. } | Kind::Diagonal { distance, .. } => *distance += error,
        }
    }
    out
}
