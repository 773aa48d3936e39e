//! The ways to read the wheels at home: what each tells, what it takes, in which order it goes.

use super::place::{AXLES, EDGES, Load, Place, SIDES};
use super::survey::Spot;
use crate::units::Units;
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

/// Every method, the usual first; those that go wheel by wheel for this one.
pub(crate) fn methods(wheel: Wheel, units: Units) -> Vec<Method> {
    vec![
        strings(),
        plates(),
        camber(),
        floor(units),
        caster(),
        trammel(),
        straight_edge(),
        lengths(),
        conditions(),
        bump(wheel, units),
        survey(wheel, units),
        full_survey(wheel, units),
    ]
}

fn rims(half_turn: bool) -> Vec<Place> {
    Wheel::ALL.iter().flat_map(|w| EDGES.map(|edge| Place::Rim { wheel: *w, edge, half_turn })).collect()
}

fn strings() -> Method {
    Method {
        word: "strings",
        name: "string box",
        tells: "toe of each wheel, total toe, thrust, where the steering wheel will stand; to some 0.08° with half a turn",
        takes: "two strings on two bars of equal length, at hub height along the car; steel rule, tape",
        steps: vec![
            step(STANDING, vec![Place::Steering]),
            step(
                "Hang both strings from a bar ahead of the car and one behind it. Read where the bars are (from the hubs) and how long they are between the strings, each twice: nothing else checks them.",
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
        tells: "total toe of an axle, to 0.18°, with half a turn to 0.10°; not the single wheels, not the thrust",
        takes: "two straight plates against the tyres' sidewalls, two tapes hooked across in front and behind",
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

fn floor(units: Units) -> Method {
    let slope = AXLES.iter().flat_map(|a| [false, true].map(|reversed| Place::Slope { axle: *a, reversed }));
    Method {
        word: "floor",
        name: "floor by water level",
        tells: match units {
            Units::Metric => {
                "how the floor slopes under the wheels: 4 mm over the track are 0.15° of camber on each wheel"
            }
            Units::Inch => {
                "how the floor slopes under the wheels: 5/32 in over the track are 0.15° of camber on each wheel"
            }
        },
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
        tells: "total toe of an axle, without run-out, to 0.13° over a tyre's length",
        takes: "a bar with two points; lines scribed on the turning tyres",
        steps: vec![step(
            "Raise the wheels, the car on stands; turn each wheel by hand and scribe a line round its tyre; let down, settle. Read between the lines behind, then in front, at hub height (and how far apart these two places are).",
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
                "Hold the bar against both edges of the rear rim, reaching to the front one. Read the gaps at both edges of the front rim (and how far apart they are).",
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
                "After a short drive at walking pace on a level yard: tells the steering wheel without strings.",
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

/// How the hub is swept.
fn swept(units: Units) -> &'static str {
    match units {
        Units::Metric => {
            "Steering straight and locked. Raise the hub to -60, -30, 0, +30, +60 mm from where it stands at ride height, short of every stop, hose and shaft limit; read camber and toe each time."
        }
        Units::Inch => {
            "Steering straight and locked. Raise the hub to -2 1/2, -1 1/4, 0, +1 1/4, +2 1/2 in from where it stands at ride height, short of every stop, hose and shaft limit; read camber and toe each time."
        }
    }
}

fn sweep(wheel: Wheel, units: Units) -> Step {
    step(swept(units), vec![Place::BumpCamber(wheel), Place::BumpToe(wheel)]).times(5)
}

fn bump(wheel: Wheel, units: Units) -> Method {
    Method {
        word: "bump",
        name: "bump sweep, wheel by wheel",
        tells: match units {
            Units::Metric => {
                "what height does to camber and toe of this wheel: 0.04° and 0.03° for 30 mm, without any geometry"
            }
            Units::Inch => {
                "what height does to camber and toe of this wheel: 0.04° and 0.03° for 1 1/4 in, without any geometry"
            }
        },
        takes: "car on stands, spring out by a proper compressor, wheel off, a jack under the hub; gauge on the hub face, bar and string for toe",
        steps: vec![sweep(wheel, units)],
    }
}

/// Before any point is read.
const CORNER: &str = "Before lifting: hub to arch with the car settled, that is ride height. Then four stands on firm ground, the car rocked by hand before anybody goes under it; wheel off, spring out by a proper compressor, strut fitted without it; steering straight and locked. Jack the hub until hub to arch is the ride height again and leave it there. Aim at joint centres: tape to both sides of a ball's housing or tube and halve, bolts by their heads; slide the rack's bellows back. Read the whole list, then once more from its end without looking at the first numbers. Tie-rod side first.";

fn spots(wheel: Wheel, wanted: impl Fn(usize, Spot) -> bool) -> Vec<Place> {
    let all = Spot::all().enumerate().filter(|(at, spot)| wanted(*at, *spot));
    all.map(|(_, spot)| Place::Survey { wheel, spot }).collect()
}

/// The thirteen: tie-rod side, arm and strut, heights, angles.
fn thirteen(wheel: Wheel) -> Vec<Step> {
    vec![
        step(CORNER, spots(wheel, |at, _| at < 4)).times(2),
        step("Arm and strut.", spots(wheel, |at, _| (4..7).contains(&at))).times(2),
        step(
            "Heights, rule on the floor and a level straight-edge at the point; all from one spot of floor where it is uneven. How high the stands are does not matter.",
            spots(wheel, |at, _| (7..11).contains(&at)),
        )
        .times(2),
        step(
            "Angles: zero the gauge on the floor, read, turn it end for end, read again, take the mean.",
            spots(wheel, |at, spot| at >= 11 && spot.is_short()),
        )
        .times(2),
    ]
}

fn survey(wheel: Wheel, units: Units) -> Method {
    let mut steps = thirteen(wheel);
    steps.push(sweep(wheel, units));
    Method {
        word: "survey",
        name: "thirteen readings and the sweep, a strut corner",
        tells: "camber and toe change with height, toe for a turn of the tie rod, what a shim does: of this car, to 0.05°, 0.03° and 3 in 100 (some 45 minutes)",
        takes: match units {
            Units::Metric => {
                "car on stands, spring out, wheel off, a jack under the hub; steel tape (start at 100 mm, not at the hook), rule, straight-edge, angle gauge, bar and string"
            }
            Units::Inch => {
                "car on stands, spring out, wheel off, a jack under the hub; steel tape (start at 1 in, not at the hook), rule, straight-edge, angle gauge, bar and string"
            }
        },
        steps,
    }
}

fn full_survey(wheel: Wheel, units: Units) -> Method {
    let mut steps = thirteen(wheel);
    steps.push(step(
        "Everything else that can be taped, also across to the other side; height of the top mount by its lean where it cannot be reached.",
        spots(wheel, |_, spot| !spot.is_short()),
    ));
    steps.push(sweep(wheel, units));
    Method {
        word: "full-survey",
        name: "everything that can be taped, and the sweep, a strut corner",
        tells: "the same for those with patience, who want slips found: toe for a turn to 2 in 100, toe change 0.02°; still no coordinates",
        takes: "what the survey takes, and somebody at the tape's other end",
        steps,
    }
}

impl Step {
    fn times(self, times: usize) -> Self {
        Self { times, ..self }
    }
}
