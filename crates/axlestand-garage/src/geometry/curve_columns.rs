//! What the columns of the curves are, for each way the wheels may go.

use super::both_sides::Together;
use super::curves::ColumnView;
use super::side_view::SideView;
use axlestand_geometry::kinematics::{Outputs, WholeAxleOutputs};

/// A column with the way to its value.
pub(super) struct Column<P> {
    pub(super) view: ColumnView,
    with: With,
    pub(super) of: fn(&P) -> Option<f64>,
}

/// In which tables a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum With {
    /// In all.
    All,
    /// Straight ahead only: what both wheels do together, and toe, mean nothing on a steered one.
    Travel,
    /// Only where the rack varies.
    Rack,
}

impl<P> Column<P> {
    /// Whether it stands in tables where the rack varies, or where it does not. Braking and driving
    /// are looked at straight ahead.
    pub(super) fn belongs(&self, racks_vary: bool) -> bool {
        match self.with {
            With::All => !(racks_vary && self.view.group == VIEWS),
            With::Travel => !racks_vary,
            With::Rack => racks_vary,
        }
    }
}

/// One place of a wheel that is hung by itself.
pub(super) struct WheelPlace {
    pub(super) out: Outputs,
    pub(super) together: Together,
    pub(super) tyre_gap: Option<f64>,
    pub(super) side: SideView,
}

/// One place of an axle that carries both wheels.
pub(super) struct AxlePlace {
    pub(super) out: WholeAxleOutputs,
    pub(super) side: SideView,
}

/// One place of an axle's wheels as the body rolls.
pub(super) struct RollPlace {
    /// Roll of the line through the wheel centres relative to the body, degrees, left up positive.
    pub(super) roll: f64,
    /// Camber relative to the body, left and right, degrees.
    pub(super) camber: [f64; 2],
    /// Toe of each wheel, degrees.
    pub(super) toe: [f64; 2],
    /// Motion of an axle's middle to the left, mm.
    pub(super) sideways: Option<f64>,
}

impl RollPlace {
    /// Camber to the road: what the body's lean adds at the left it takes at the right.
    fn to_road(&self, wheel: usize) -> f64 {
        if wheel == 0 { self.camber[0] + self.roll } else { self.camber[1] - self.roll }
    }

    fn steer(&self) -> f64 {
        (self.toe[1] - self.toe[0]) / 2.0
    }
}

const fn column<P>(
    group: &'static str,
    key: &'static str,
    name: &'static str,
    unit: &'static str,
    places: usize,
    sign: &'static str,
    of: fn(&P) -> Option<f64>,
) -> Column<P> {
    Column { view: ColumnView { key, group, name, unit, places, sign }, with: With::All, of }
}

/// A column that stands only in some tables.
const fn only<P>(with: With, mut column: Column<P>) -> Column<P> {
    column.with = with;
    column
}

/// Angles and places of the wheels.
const WHEELS: &str = "wheels";
/// Springs, dampers, bar and shafts.
const PARTS: &str = "parts";
/// Instant centres, braking and driving.
const VIEWS: &str = "side-and-front-view";

const SIDE_ARM: &str = "from the wheel to the side-view instant centre, + ahead of the wheel";
const SIDE_HEIGHT: &str = "height of the side-view instant centre above the ground";

/// Of a wheel that is hung by itself, against its travel and the rack.
pub(super) const WHEEL: &[Column<WheelPlace>] = &[
    only(
        With::Rack,
        column(WHEELS, "heading", "heading", "°", 2, "of this wheel, + to the left", |p| {
            Some(p.out.heading)
        }),
    ),
    column(WHEELS, "camber", "camber", "°", 2, "+ top outward", |p| Some(p.out.camber)),
    only(With::Travel, column(WHEELS, "toe", "toe", "°", 3, "+ toe-in, of one wheel", |p| Some(p.out.toe))),
    column(WHEELS, "caster", "caster", "°", 2, "+ top rearward", |p| p.out.caster),
    column(WHEELS, "inclination", "SAI", "°", 2, "steering-axis inclination, + top inward", |p| {
        p.out.inclination
    }),
    column(WHEELS, "scrub", "scrub", "mm", 1, "+ axis meets the ground inside the contact point", |p| {
        p.out.scrub_radius
    }),
    column(WHEELS, "trail", "trail", "mm", 1, "+ axis meets the ground ahead of the contact point", |p| {
        p.out.trail
    }),
    only(
        With::Travel,
        column(WHEELS, "track-change", "track", "mm", 1, "change, both wheels together", |p| {
            p.together.track_change
        }),
    ),
    column(WHEELS, "wheelbase-change", "wheelb.", "mm", 1, "change, + wheel forward", |p| {
        Some(p.out.wheelbase)
    }),
    only(
        With::Travel,
        column(
            WHEELS,
            "roll-centre",
            "roll c.",
            "mm",
            0,
            "height of the roll centre above the ground",
            |p| p.together.roll_centre,
        ),
    ),
    column(PARTS, "spring-ratio", "spring", "", 3, "motion ratio: spring travel over wheel travel", |p| {
        p.out.spring_ratio
    }),
    column(PARTS, "damper-ratio", "damper", "", 3, "motion ratio of the damper", |p| p.out.damper_ratio),
    column(PARTS, "bar-ratio", "bar", "", 3, "bar arm's end over wheel travel", |p| p.out.bar_ratio),
    column(PARTS, "bar-link-tilt", "link", "°", 1, "bar link from square to the bar's arm", |p| {
        p.out.bar_link_tilt
    }),
    column(PARTS, "axle-outer", "shaft", "°", 1, "angle of the drive axle's outer joint", |p| {
        p.out.axle_outer
    }),
    column(PARTS, "axle-inner", "inner j.", "°", 1, "angle of the drive axle's inner joint", |p| {
        p.out.axle_inner
    }),
    column(PARTS, "plunge", "plunge", "mm", 1, "drive axle, + pulled out", |p| p.out.axle_plunge),
    column(
        PARTS,
        "tyre-gap",
        "tyre gap",
        "mm",
        0,
        "least room between tyre and spring, both as cylinders",
        |p| p.tyre_gap,
    ),
    column(VIEWS, "side-arm", "side arm", "mm", 0, SIDE_ARM, |p| p.side.side_arm),
    column(VIEWS, "side-centre", "side centre", "mm", 0, SIDE_HEIGHT, |p| p.side.side_height),
    column(
        VIEWS,
        "front-arm",
        "front arm",
        "mm",
        0,
        "from the wheel to the front-view instant centre, + inward",
        |p| p.side.front_arm,
    ),
    column(
        VIEWS,
        "front-centre",
        "front centre",
        "mm",
        0,
        "height of the front-view instant centre above the ground",
        |p| p.side.front_height,
    ),
    column(VIEWS, "anti-dive", "anti-dive", "%", 0, "braking: the front is held up, − pulled down", |p| {
        p.side.anti_dive
    }),
    column(VIEWS, "anti-lift-driving", "anti-lift", "%", 0, "driving: the front is held down", |p| {
        p.side.anti_lift_driving
    }),
    column(VIEWS, "anti-lift-braking", "anti-lift", "%", 0, "braking: the rear is held down", |p| {
        p.side.anti_lift_braking
    }),
    column(VIEWS, "anti-squat", "anti-squat", "%", 0, "driving: the rear is held up", |p| p.side.anti_squat),
];

/// Of an axle that carries both wheels, against the travel of both together.
pub(super) const BOTH: &[Column<AxlePlace>] = &[
    column(WHEELS, "camber", "camber", "°", 2, "+ top outward", |p| Some(p.out.camber[0])),
    column(WHEELS, "toe", "toe", "°", 3, "+ toe-in, of one wheel", |p| Some(p.out.toe[0])),
    column(WHEELS, "camber-right", "camber r", "°", 2, "of the right wheel, + top outward", |p| {
        Some(p.out.camber[1])
    }),
    column(WHEELS, "toe-right", "toe r", "°", 3, "+ toe-in, of the right wheel", |p| Some(p.out.toe[1])),
    column(WHEELS, "steer", "steer", "°", 3, "heading of both wheels together, + to the left", |p| {
        Some(p.out.steer)
    }),
    column(WHEELS, "sideways", "sideways", "mm", 1, "of the axle's middle, + to the left", |p| {
        Some(p.out.sideways)
    }),
    column(WHEELS, "track-change", "track", "mm", 1, "change, both wheels together", |p| Some(p.out.track)),
    column(WHEELS, "wheelbase-change", "wheelb.", "mm", 1, "change, + wheels forward", |p| {
        Some(p.out.wheelbase)
    }),
    column(WHEELS, "roll-centre", "roll c.", "mm", 0, "height of the roll centre above the ground", |p| {
        p.out.roll_centre
    }),
    column(
        WHEELS,
        "roll-steer",
        "roll st.",
        "°/°",
        3,
        "steer per degree of roll, + towards the wheel that goes up: the outside of the bend",
        |p| p.out.roll_steer,
    ),
    column(PARTS, "spring-ratio", "spring", "", 3, "motion ratio: spring travel over wheel travel", |p| {
        p.out.spring_ratio
    }),
    column(PARTS, "damper-ratio", "damper", "", 3, "motion ratio of the damper", |p| p.out.damper_ratio),
    column(PARTS, "pivot-turn", "pivots", "°", 1, "turn of the beam in its bushings, + wheels up", |p| {
        p.out.pivot_turn
    }),
    column(VIEWS, "side-arm", "side arm", "mm", 0, SIDE_ARM, |p| p.side.side_arm),
    column(VIEWS, "side-centre", "side centre", "mm", 0, SIDE_HEIGHT, |p| p.side.side_height),
    column(VIEWS, "anti-dive", "anti-dive", "%", 0, "braking: the front is held up, − pulled down", |p| {
        p.side.anti_dive
    }),
    column(VIEWS, "anti-lift-driving", "anti-lift", "%", 0, "driving: the front is held down", |p| {
        p.side.anti_lift_driving
    }),
    column(VIEWS, "anti-lift-braking", "anti-lift", "%", 0, "braking: the rear is held down", |p| {
        p.side.anti_lift_braking
    }),
    column(VIEWS, "anti-squat", "anti-squat", "%", 0, "driving: the rear is held up", |p| p.side.anti_squat),
];

/// Of both wheels of an axle against roll: the left one up, the right one down as far.
pub(super) const ROLL: &[Column<RollPlace>] = &[
    column(
        WHEELS,
        "roll",
        "roll",
        "°",
        2,
        "of the axle to the body, + left wheel up: the body leans left",
        |p| Some(p.roll),
    ),
    column(WHEELS, "camber-left", "camber l", "°", 2, "relative to the body, + top outward", |p| {
        Some(p.camber[0])
    }),
    column(WHEELS, "camber-right", "camber r", "°", 2, "relative to the body", |p| Some(p.camber[1])),
    column(
        WHEELS,
        "road-camber-left",
        "road l",
        "°",
        2,
        "camber to the road: relative to the body, and its lean",
        |p| Some(p.to_road(0)),
    ),
    column(WHEELS, "road-camber-right", "road r", "°", 2, "camber to the road", |p| Some(p.to_road(1))),
    column(WHEELS, "toe-left", "toe l", "°", 3, "+ toe-in", |p| Some(p.toe[0])),
    column(WHEELS, "toe-right", "toe r", "°", 3, "+ toe-in", |p| Some(p.toe[1])),
    column(WHEELS, "steer", "steer", "°", 3, "heading of both wheels together, + to the left", |p| {
        Some(p.steer())
    }),
    column(WHEELS, "sideways", "sideways", "mm", 1, "of the axle's middle, + to the left", |p| p.sideways),
];
