//! What can be read in a garage, with the usual uncertainty and the model of each.

use super::car::{Axle, CarSize, Edge, Wheel};
use super::steered::{CamberChange, INCLINATION, INCLINATION_U};
use super::unknowns::{self, CASTER_MEAN};
use crate::conventions::Side;
use crate::estimation::{Differentiated, Formula, Linear, Model};
use crate::mathematics::Scalar;

const RAD: f64 = std::f64::consts::PI / 180.0;

/// Usual standard uncertainties (`judgement`, the gauges of a garage).
mod usual {
    /// String to rim, steel rule, mm.
    pub(super) const RIM_GAP: f64 = 0.5;
    /// String to hub centre, mm.
    pub(super) const HUB_GAP: f64 = 0.7;
    /// Between the strings, mm.
    pub(super) const SPACING: f64 = 1.0;
    /// A tape between two plates, a trammel's point, mm.
    pub(super) const TAPE: f64 = 1.0;
    /// A gap at a straight-edge, mm.
    pub(super) const EDGE_GAP: f64 = 0.5;
    /// A dial gauge, half the difference of two edges, mm.
    pub(super) const DIAL: f64 = 0.05;
    /// A digital gauge, degrees.
    pub(super) const CAMBER: f64 = 0.1;
    /// A water level, mm.
    pub(super) const FLOOR: f64 = 1.0;
    /// A heading read off a turntable or a drawn line, degrees.
    pub(super) const HEADING: f64 = 1.0;
    /// A long tape between hubs, mm.
    pub(super) const LONG_TAPE: f64 = 1.5;
}

/// A steered wheel as it was held and read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// Heading from straight ahead, degrees, to the left positive.
    pub heading: f64,
    /// Camber as the gauge shows it, degrees.
    pub camber: f64,
}

/// What was read. `half_turn`: after the wheel was rolled on half a turn, so that its run-out counts
/// the other way round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// From the string to an edge of the rim at hub height, mm.
    RimGap {
        /// The wheel.
        wheel: Wheel,
        /// The edge of its rim.
        edge: Edge,
        /// After half a turn.
        half_turn: bool,
        /// The gap.
        gap: f64,
    },
    /// From the string to the hub's centre, mm.
    HubGap {
        /// The wheel.
        wheel: Wheel,
        /// The gap.
        gap: f64,
    },
    /// Between the two strings, mm: the length of the bar they hang on.
    StringSpacing {
        /// How far ahead of the front axle, mm; behind it negative.
        ahead: f64,
        /// The spacing.
        spacing: f64,
    },
    /// Two plates against the wheels of an axle, a tape across in front and one behind, mm.
    ToePlates {
        /// The axle.
        axle: Axle,
        /// Between the two tapes along a plate.
        base: f64,
        /// The tape in front.
        front: f64,
        /// The tape behind.
        rear: f64,
        /// After half a turn.
        half_turn: bool,
    },
    /// A trammel between lines scribed on the turning tyres (so without run-out), mm.
    Trammel {
        /// The axle.
        axle: Axle,
        /// Between front and rear place, along the tyre.
        base: f64,
        /// Between the lines in front.
        front: f64,
        /// Between them behind.
        rear: f64,
    },
    /// A straight-edge held against the rear rim and reaching to the front one, mm.
    StraightEdge {
        /// The side.
        side: Side,
        /// Between the two gaps, along the front rim.
        base: f64,
        /// Gap at the front edge of the front rim.
        front: f64,
        /// Gap at its rear edge.
        rear: f64,
        /// After half a turn of both wheels.
        half_turn: bool,
    },
    /// Run-out of a rim by dial gauge: how far its front edge (or its top) stands out of its mean plane as
    /// the wheel stands in the first position, mm; half the difference of the two edges.
    RunOut {
        /// The wheel.
        wheel: Wheel,
        /// The top instead of the front edge.
        top: bool,
        /// How far it stands out.
        out: f64,
    },
    /// A gauge on the rim, degrees, against gravity.
    Camber {
        /// The wheel.
        wheel: Wheel,
        /// What the gauge shows.
        degrees: f64,
        /// After half a turn.
        half_turn: bool,
    },
    /// How much higher the floor is under one wheel than under another, mm.
    FloorStep {
        /// The wheel it is counted from.
        from: Wheel,
        /// The wheel whose floor is higher by the rise.
        to: Wheel,
        /// The rise.
        rise: f64,
    },
    /// The camber of a front wheel steered to the left and to the right.
    CasterSweep {
        /// The side of the wheel.
        side: Side,
        /// Steered to the left.
        left: Held,
        /// Steered to the right.
        right: Held,
    },
    /// Between front and rear hub of a side, mm.
    Wheelbase {
        /// The side.
        side: Side,
        /// The distance.
        distance: f64,
    },
    /// Between a front hub and the rear hub of the other side, mm.
    Diagonal {
        /// The side of the front hub.
        front: Side,
        /// The distance.
        distance: f64,
    },
}

/// A reading with its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taken {
    /// What was read.
    pub kind: Kind,
    /// Standard uncertainty of the value the estimate uses: the difference where two are read.
    pub sigma: f64,
}

impl Taken {
    /// With the usual uncertainty.
    #[must_use]
    pub fn usual(kind: Kind) -> Self {
        Self { kind, sigma: kind.usual_sigma() }
    }

    /// With a standard uncertainty of one's own for each single value that was read, mm or degrees.
    #[must_use]
    pub fn with_sigma(kind: Kind, single: f64) -> Self {
        let two = std::f64::consts::SQRT_2;
        let sigma = match kind {
            Kind::ToePlates { .. } | Kind::Trammel { .. } | Kind::StraightEdge { .. } => two * single,
            Kind::CasterSweep { left, right, .. } => sweep_sigma(left.heading, right.heading, single),
            _ => single,
        };
        Self { kind, sigma }
    }
}

/// Standard uncertainty of the camber difference of a sweep: of both cambers, both headings
/// (`judgement`: 1°, at the assumed caster) and the assumed inclination.
fn sweep_sigma(left: f64, right: f64, camber: f64) -> f64 {
    let heading = |h: f64| CASTER_MEAN * (h * RAD).cos() * usual::HEADING * RAD;
    let lean = INCLINATION_U * ((left * RAD).cos() - (right * RAD).cos());
    [camber, camber, heading(left), heading(right), lean].iter().map(|x| x * x).sum::<f64>().sqrt()
}

/// Distance of two hubs: half the signed skews, hub places across, wheelbase.
#[derive(Debug, Clone, Copy)]
struct HubToHub {
    /// Half the left-ahead of the front axle counts with this sign, likewise behind.
    signs: [f64; 2],
}

impl Formula for HubToHub {
    fn at<S: Scalar>(&self, p: &[S]) -> S {
        let along = p[0] + p[1].scaled(self.signs[0] / 2.0) + p[2].scaled(self.signs[1] / 2.0);
        (along.squared() + (p[3] - p[4]).squared()).sqrt()
    }
}

impl Kind {
    /// The usual standard uncertainty of the value the estimate uses.
    #[must_use]
    pub fn usual_sigma(self) -> f64 {
        let two = std::f64::consts::SQRT_2;
        match self {
            Self::RimGap { .. } => usual::RIM_GAP,
            Self::HubGap { .. } => usual::HUB_GAP,
            Self::StringSpacing { .. } => usual::SPACING,
            Self::ToePlates { .. } | Self::Trammel { .. } => two * usual::TAPE,
            Self::StraightEdge { .. } => two * usual::EDGE_GAP,
            Self::RunOut { .. } => usual::DIAL,
            Self::Camber { .. } => usual::CAMBER,
            Self::FloorStep { .. } => usual::FLOOR,
            Self::CasterSweep { left, right, .. } => sweep_sigma(left.heading, right.heading, usual::CAMBER),
            Self::Wheelbase { .. } | Self::Diagonal { .. } => usual::LONG_TAPE,
        }
    }

    /// Whether it is read in mm; else in degrees.
    #[must_use]
    pub fn is_length(self) -> bool {
        !matches!(self, Self::Camber { .. } | Self::CasterSweep { .. })
    }

    /// The value the estimate uses: what was read, or the difference of the two that were read.
    #[must_use]
    pub fn value(self) -> f64 {
        match self {
            Self::RimGap { gap, .. } | Self::HubGap { gap, .. } => gap,
            Self::StringSpacing { spacing, .. } => spacing,
            Self::ToePlates { front, rear, .. } | Self::Trammel { front, rear, .. } => rear - front,
            Self::StraightEdge { front, rear, .. } => front - rear,
            Self::RunOut { out, .. } => out,
            Self::Camber { degrees, .. } => degrees,
            Self::FloorStep { rise, .. } => rise,
            Self::CasterSweep { left, right, .. } => left.camber - right.camber,
            Self::Wheelbase { distance, .. } | Self::Diagonal { distance, .. } => distance,
        }
    }

    /// Whether it needs the unknowns along the car.
    pub(crate) fn is_lengthwise(self) -> bool {
        matches!(self, Self::Wheelbase { .. } | Self::Diagonal { .. })
    }

    /// What the value would be, given the unknowns.
    pub(crate) fn model(self, size: &CarSize) -> Box<dyn Model> {
        match self {
            Self::RimGap { .. } | Self::HubGap { .. } | Self::StringSpacing { .. } => {
                Box::new(self.string_model(size))
            }
            Self::ToePlates { .. } | Self::Trammel { .. } | Self::StraightEdge { .. } => {
                Box::new(self.toe_model(size))
            }
            Self::RunOut { wheel, top, .. } => {
                let unknown = if top { unknowns::run_out_up(wheel) } else { unknowns::run_out(wheel) };
                Box::new(Linear::of(&[(unknown, 1.0)]))
            }
            Self::Camber { wheel, half_turn, .. } => Box::new(camber_model(size, wheel, half_turn)),
            Self::FloorStep { from, to, .. } => {
                Box::new(Linear::of(&[(unknowns::floor(to), 1.0), (unknowns::floor(from), -1.0)]))
            }
            Self::CasterSweep { side, left, right } => Box::new(sweep_model(side, left, right)),
            Self::Wheelbase { side, .. } => Box::new(hub_to_hub(side, side)),
            Self::Diagonal { front, .. } => Box::new(hub_to_hub(front, front.other())),
        }
    }

    /// Gap g·(string + x·direction − hub) + e·(half the rim)·toe ± run-out, and the strings' spacing.
    fn string_model(self, size: &CarSize) -> Linear {
        match self {
            Self::RimGap { wheel, edge, half_turn, .. } => {
                let e = edge.sign();
                let mut model = gap_at(wheel, size.x(wheel.axle) + e * size.rim / 2.0);
                model.terms.push((unknowns::toe(wheel), e * size.rim / 2.0 * RAD));
                model.terms.push((unknowns::run_out(wheel), e * flipped(half_turn)));
                model
            }
            Self::HubGap { wheel, .. } => gap_at(wheel, size.x(wheel.axle)),
            Self::StringSpacing { ahead, .. } => Linear::of(&[
                (unknowns::string(Side::Left), 1.0),
                (unknowns::yaw(Side::Left), ahead * RAD),
                (unknowns::string(Side::Right), -1.0),
                (unknowns::yaw(Side::Right), -ahead * RAD),
            ]),
            _ => Linear::default(),
        }
    }

    /// base·(sum or difference of toes) ± run-out over the base.
    fn toe_model(self, size: &CarSize) -> Linear {
        let mut model = Linear::default();
        let mut add = |wheel: Wheel, base: f64, sign: f64, run_out: f64| {
            model.terms.push((unknowns::toe(wheel), sign * base * RAD));
            model.terms.push((unknowns::run_out(wheel), sign * run_out * 2.0 * base / size.rim));
        };
        match self {
            Self::ToePlates { axle, base, half_turn, .. } => {
                for side in [Side::Left, Side::Right] {
                    add(Wheel::of(axle, side), base, 1.0, flipped(half_turn));
                }
            }
            Self::Trammel { axle, base, .. } => {
                for side in [Side::Left, Side::Right] {
                    add(Wheel::of(axle, side), base, 1.0, 0.0);
                }
            }
            Self::StraightEdge { side, base, half_turn, .. } => {
                add(Wheel::of(Axle::Front, side), base, 1.0, flipped(half_turn));
                add(Wheel::of(Axle::Rear, side), base, -1.0, flipped(half_turn));
            }
            _ => {}
        }
        model
    }
}

fn flipped(half_turn: bool) -> f64 {
    if half_turn { -1.0 } else { 1.0 }
}

/// Outward gap from the hub's plane to the string at the place `x` along the car.
fn gap_at(wheel: Wheel, x: f64) -> Linear {
    let g = wheel.side.sign();
    Linear::of(&[
        (unknowns::string(wheel.side), g),
        (unknowns::yaw(wheel.side), g * x * RAD),
        (unknowns::hub(wheel), -g),
    ])
}

/// Camber + gauge zero ± run-out over the rim − slope of the floor under the axle.
fn camber_model(size: &CarSize, wheel: Wheel, half_turn: bool) -> Linear {
    let slope = 1.0 / size.track(wheel.axle) / RAD;
    Linear::of(&[
        (unknowns::camber(wheel), 1.0),
        (unknowns::GAUGE_ZERO, 1.0),
        (unknowns::run_out_up(wheel), flipped(half_turn) * 2.0 / size.rim / RAD),
        (unknowns::floor(wheel), -slope),
        (unknowns::floor(wheel.opposite()), slope),
    ])
}

/// The change of camber with caster. Camber straight ahead follows from the two that were read, less
/// what the inclination adds to both.
fn sweep_model(side: Side, left: Held, right: Held) -> Differentiated<CamberChange> {
    let added = INCLINATION * (1.0 - (0.5 * (left.heading - right.heading) * RAD).cos());
    let straight = f64::midpoint(left.camber, right.camber) - added;
    let formula = CamberChange { side, first: left.heading, second: right.heading, straight };
    Differentiated { formula, inputs: vec![unknowns::caster(side)] }
}

fn hub_to_hub(front: Side, rear: Side) -> Differentiated<HubToHub> {
    Differentiated {
        formula: HubToHub { signs: [front.sign(), -rear.sign()] },
        inputs: vec![
            unknowns::WHEELBASE,
            unknowns::skew(Axle::Front),
            unknowns::skew(Axle::Rear),
            unknowns::hub(Wheel::of(Axle::Front, front)),
            unknowns::hub(Wheel::of(Axle::Rear, rear)),
        ],
    }
}

impl std::fmt::Display for Kind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let turned = |half_turn: &bool| if *half_turn { ", half a turn on" } else { "" };
        match self {
            Self::RimGap { wheel, edge, half_turn, .. } => {
                write!(f, "string to rim, {wheel}, {edge}{}", turned(half_turn))
            }
            Self::HubGap { wheel, .. } => write!(f, "string to hub, {wheel}"),
            Self::StringSpacing { ahead, .. } if *ahead >= 0.0 => {
                f.write_str("spacing of the strings in front")
            }
            Self::StringSpacing { .. } => f.write_str("spacing of the strings behind"),
            Self::ToePlates { axle, half_turn, .. } => write!(f, "toe plates, {axle}{}", turned(half_turn)),
            Self::Trammel { axle, .. } => write!(f, "trammel, {axle}"),
            Self::StraightEdge { side, half_turn, .. } => {
                write!(f, "straight-edge, {side}{}", turned(half_turn))
            }
            Self::RunOut { wheel, top: false, .. } => write!(f, "run-out of the rim, {wheel}, front"),
            Self::RunOut { wheel, .. } => write!(f, "run-out of the rim, {wheel}, top"),
            Self::Camber { wheel, half_turn, .. } => write!(f, "camber gauge, {wheel}{}", turned(half_turn)),
            Self::FloorStep { from, to, .. } => write!(f, "floor, {from} to {to}"),
            Self::CasterSweep { side, .. } => write!(f, "caster sweep, {side}"),
            Self::Wheelbase { side, .. } => write!(f, "wheelbase, {side}"),
            Self::Diagonal { front, .. } => write!(f, "diagonal from front {front}"),
        }
    }
}

impl Kind {
    /// Whether it is another reading of the same thing.
    #[must_use]
    pub fn same_place(self, other: Self) -> bool {
        self.without_values() == other.without_values()
    }

    /// The same reading with noughts for what was read (headings of a sweep kept to 3°).
    fn without_values(mut self) -> Self {
        match &mut self {
            Self::RimGap { gap, .. } | Self::HubGap { gap, .. } => *gap = 0.0,
            Self::StringSpacing { spacing, .. } => *spacing = 0.0,
            Self::ToePlates { front, rear, .. }
            | Self::Trammel { front, rear, .. }
            | Self::StraightEdge { front, rear, .. } => (*front, *rear) = (0.0, 0.0),
            Self::RunOut { out, .. } => *out = 0.0,
            Self::Camber { degrees, .. } => *degrees = 0.0,
            Self::FloorStep { rise, .. } => *rise = 0.0,
            Self::CasterSweep { left, right, .. } => {
                for held in [left, right] {
                    *held = Held { heading: (held.heading / 3.0).round(), camber: 0.0 };
                }
            }
            Self::Wheelbase { distance, .. } | Self::Diagonal { distance, .. } => *distance = 0.0,
        }
        self
    }

    /// Every number in it, to be looked at before it is used.
    pub(crate) fn numbers(self) -> Vec<f64> {
        match self {
            Self::StringSpacing { ahead, spacing } => vec![ahead, spacing],
            Self::ToePlates { base, front, rear, .. }
            | Self::Trammel { base, front, rear, .. }
            | Self::StraightEdge { base, front, rear, .. } => vec![base, front, rear],
            Self::CasterSweep { left, right, .. } => {
                vec![left.heading, left.camber, right.heading, right.camber]
            }
            _ => vec![self.value()],
        }
    }
}
