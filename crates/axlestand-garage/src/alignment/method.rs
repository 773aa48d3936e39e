//! The ways to read the wheels at home: what each tells, what it takes, in which order it goes.

use super::place::{AXLES, EDGES, Load, Place, SIDES};
use axlestand_geometry::estimation::alignment::{Axle, Wheel};

/// A way to read.
#[derive(Debug, Clone)]
pub(crate) struct Method {
    /// Its word: `strings`.
    pub(crate) word: &'static str,
    /// What people call it.
    pub(crate) name: &'static str,
    /// What it tells, and how well.
    pub(crate) tells: &'static str,
    /// What it takes.
    pub(crate) takes: &'static str,
    /// Its steps, in their order.
    pub(crate) steps: Vec<Step>,
}

/// One step.
#[derive(Debug, Clone)]
pub(crate) struct Step {
    /// What to do.
    pub(crate) how: &'static str,
    /// What to read then.
    pub(crate) places: Vec<Place>,
    /// How many times each.
    pub(crate) times: usize,
    /// Whether it may be left out.
    pub(crate) optional: bool,
}

fn step(how: &'static str, places: Vec<Place>) -> Step {
    Step { how, places, times: 1, optional: false }
}

fn optional(how: &'static str, places: Vec<Place>) -> Step {
    Step { optional: true, ..step(how, places) }
}

/// Before any reading.
const STANDING: &str = "Car on its wheels on firm, even ground, tyres at pressure, nobody in it; jounced and rolled a length forward and back so that the tyres stand free. Steering wheel straight and held (a belt round it and the seat). Never under the car without stands.";

/// Every method, the usual first.
pub(crate) fn methods() -> Vec<Method> {
    vec![
        strings(),
        plates(),
        camber(),
        floor(),
        caster(),
        trammel(),
        straight_edge(),
        lengths(),
        conditions(),
        bump(),
    ]
}

fn rims(half_turn: bool) -> Vec<Place> {
    Wheel::ALL.iter().flat_map(|w| EDGES.map(|edge| Place::Rim { wheel: *w, edge, half_turn })).collect()
}

fn strings() -> Method {
    Method {
        word: "strings",
        name: "string box",
        tells: "toe of each wheel, total toe, thrust, where the steering wheel will stand; to some 5' with half a turn",
        takes: "two strings on two bars of equal length, at hub height along the car; steel rule, tape",
        steps: vec![
            step(STANDING, vec![Place::Steering]),
            step(
                "Hang both strings from a bar ahead of the car and one behind it. Read where the bars are (--at, from the hubs) and how long they are between the strings, each twice: nothing else checks them.",
                AXLES.map(Place::Spacing).to_vec(),
            )
            .times(2),
            optional("Read the rim once, edge to edge.", vec![Place::RimSize]),
            step(
                "Bring the strings to equal gaps at both hubs of an axle, then read all four.",
                Wheel::ALL.map(Place::Hub).to_vec(),
            ),
            step("Read each rim at both edges, at hub height, without touching the string.", rims(false)),
            optional(
                "Instead of half a turn: the run-out of each rim by dial, wheel raised, then let down as it stood.",
                Wheel::ALL.map(|wheel| Place::RunOut { wheel, top: false }).to_vec(),
            ),
            step(
                "Roll the car on by half a turn of the wheels, strings as they were, and read again: that takes the rims' run-out away.",
                rims(true),
            ),
        ],
    }
}

fn plates() -> Method {
    let of = |axle, half_turn| EDGES.map(|tape| Place::Plates { axle, tape, half_turn }).to_vec();
    Method {
        word: "plates",
        name: "toe plates and two tapes",
        tells: "total toe of an axle, to 11', with half a turn to 6'; not the single wheels, not the thrust",
        takes: "two straight plates against the tyres' walls, two tapes hooked across in front and behind",
        steps: vec![
            step(STANDING, of(Axle::Front, false)),
            step("Roll on by half a turn of the wheels and read again.", of(Axle::Front, true)),
            optional(
                "The rear axle, where it can be set.",
                [of(Axle::Rear, false), of(Axle::Rear, true)].concat(),
            ),
        ],
    }
}

fn camber() -> Method {
    let of = |half_turn| Wheel::ALL.map(|wheel| Place::Camber { wheel, half_turn }).to_vec();
    Method {
        word: "camber",
        name: "camber gauge on the rims",
        tells: "camber of each wheel, to 0.13° with a floor that was read and half a turn; to 0.25° without",
        takes: "digital angle gauge on a straight piece that spans the rim top to bottom",
        steps: vec![
            step(
                "Wheels straight. Zero the gauge as its maker says, read each wheel; top outward is positive.",
                of(false),
            ),
            step("Roll on by half a turn and read again: that takes the rims' run-out away.", of(true)),
            optional(
                "Instead of half a turn: the run-out of each rim by dial.",
                Wheel::ALL.map(|wheel| Place::RunOut { wheel, top: true }).to_vec(),
            ),
        ],
    }
}

fn floor() -> Method {
    let slope = AXLES.iter().flat_map(|a| [false, true].map(|reversed| Place::Slope { axle: *a, reversed }));
    Method {
        word: "floor",
        name: "floor by water level",
        tells: "how the floor slopes under the wheels: 4 mm over the track are 0.15° of camber on each wheel",
        takes: "a clear hose filled with water, without bubbles, a rule; marks where the tyres stand",
        steps: vec![
            step(
                "Mark where the tyres stand; the floor counts for the whole job as long as the car comes back there. Read the water's height above the floor beside each tyre.",
                Wheel::ALL.map(Place::Floor).to_vec(),
            ),
            optional(
                "Instead: a straight board across both places of an axle, gauge on it, read, turn the gauge end for end, read again.",
                slope.collect(),
            ),
        ],
    }
}

fn caster() -> Method {
    let of = |wheel, to| vec![Place::SweepTurn { wheel, to }, Place::SweepCamber { wheel, to }];
    let places = SIDES.iter().flat_map(|wheel| SIDES.iter().flat_map(move |to| of(*wheel, *to)));
    Method {
        word: "caster",
        name: "caster sweep",
        tells: "caster of each front wheel, to 0.25° at 20° to either side",
        takes: "something that lets the tyres turn freely (two greased sheets), marks for the angle, the gauge, somebody on the brake",
        steps: vec![step(
            "Brake held. Turn this wheel by some 20° to the left, read how far it is turned and its camber; then as far to the right.",
            places.collect(),
        )],
    }
}

fn trammel() -> Method {
    Method {
        word: "trammel",
        name: "trammel on scribed lines",
        tells: "total toe of an axle, without run-out, to 8' over a tyre's length",
        takes: "a bar with two points; lines scribed on the turning tyres",
        steps: vec![step(
            "Raise the wheels, scribe a line round each tyre while it turns, let down, settle. Read between the lines behind, then in front, at hub height (--at: how far apart these two places are).",
            AXLES.iter().take(1).flat_map(|a| EDGES.map(|line| Place::Trammel { axle: *a, line })).collect(),
        )],
    }
}

fn straight_edge() -> Method {
    let of = |half_turn| {
        SIDES.iter().flat_map(|s| EDGES.map(|gap| Place::Straight { side: *s, gap, half_turn })).collect()
    };
    Method {
        word: "edge",
        name: "straight-edge along the rear wheel",
        tells: "toe of a front wheel against the rear one of its side; with plates and equal tracks the thrust",
        takes: "a straight bar longer than the wheelbase, a rule",
        steps: vec![
            step(
                "Hold the bar against both edges of the rear rim, reaching to the front one. Read the gaps at both edges of the front rim (--at: how far apart they are).",
                of(false),
            ),
            optional("Roll on by half a turn and read again.", of(true)),
        ],
    }
}

fn lengths() -> Method {
    Method {
        word: "lengths",
        name: "wheelbases and diagonals",
        tells: "set-back: whether an axle is askew",
        takes: "a long tape, somebody at its other end",
        steps: vec![step(
            "Hub to hub, steering straight, both sides, then crosswise.",
            [SIDES.map(Place::Wheelbase), SIDES.map(Place::Diagonal)].concat(),
        )],
    }
}

fn conditions() -> Method {
    Method {
        word: "conditions",
        name: "how the car stands",
        tells: "whether it is worth reading wheels yet: height comes first, it moves camber and toe",
        takes: "tape, tyre gauge, caliper",
        steps: vec![
            step("Tyres cold.", Wheel::ALL.map(Place::Pressure).to_vec()),
            step("Settled, nobody in it.", Wheel::ALL.map(Place::Height).to_vec()),
            optional(
                "After a try at walking pace on a level yard: tells the steering wheel without strings.",
                vec![Place::SteeringRoad],
            ),
            optional("Before anything is turned.", SIDES.map(Place::Thread).to_vec()),
            optional(
                "What cannot be taken out of the car.",
                [Load::FrontSeats, Load::RearSeats, Load::Boot].map(Place::Load).to_vec(),
            ),
        ],
    }
}

fn bump() -> Method {
    let wheel = Wheel::ALL[0];
    Method {
        word: "bump",
        name: "bump sweep, wheel by wheel",
        tells: "what height does to camber and toe of this wheel: 0.04° and 0.03° for 30 mm, without any geometry",
        takes: "car on stands, spring out, wheel off, a jack under the hub; gauge on the hub face, bar and string for toe",
        steps: vec![step(
            "Steering straight and locked. Raise the hub to -60, -30, 0, +30, +60 mm from where it stands at ride height (--at), short of every stop, hose and shaft limit; read camber and toe each time. For another wheel put its name.",
            vec![Place::BumpCamber(wheel), Place::BumpToe(wheel)],
        )
        .times(5)],
    }
}

impl Step {
    fn times(self, times: usize) -> Self {
        Self { times, ..self }
    }
}
