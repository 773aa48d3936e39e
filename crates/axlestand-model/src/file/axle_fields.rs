//! The fields of an axle: hardpoints, springs, dampers, limits.

use super::adjuster_fields::ADJUSTER;
use super::fields::{Field, Holds, Table, may, must};
use super::fields::{ORIGIN, SOURCE};
use crate::words::{Carrier, Layout};
use axlestand_quantity::Dimension;

const LENGTH: Holds = Holds::Quantity(Dimension::Length);
const ANGLE: Holds = Holds::Quantity(Dimension::Angle);
const ON: Field = may(
    "on",
    Holds::Word(Carrier::WORDS),
    "The part that carries its lower end. Absent: the knuckle, or the strut's tube.",
);

static SPRING: Table = Table {
    what: "one spring: how it sits and what it carries",
    fields: &[
        may(
            "motion_ratio",
            Holds::Number(3.0),
            "Spring travel over wheel travel, where there are no hardpoints.",
        ),
        may("solid_length", LENGTH, "Length with the coils touching."),
        may("wire", LENGTH, "Wire diameter."),
        may("coil_diameter", LENGTH, "Mean diameter of the coil."),
        may("coils", Holds::Number(40.0), "Coils in all; with 'wire' they give the solid length."),
        may("collar_pitch", LENGTH, "Pitch of the collar's thread, where the spring sits on a collar."),
        may("collar", LENGTH, "How far the collar stands above its lowest place."),
        ON,
        ORIGIN,
        SOURCE,
    ],
};

static DAMPER: Table = Table {
    what: "one damper with its bump stop",
    fields: &[
        may("closed", LENGTH, "Distance between its mounts with the bump stop just touched."),
        may("open", LENGTH, "Distance between its mounts fully extended."),
        may(
            "droop_travel",
            LENGTH,
            "Wheel travel from standing height down to full droop, where it was measured.",
        ),
        may(
            "bump_travel",
            LENGTH,
            "Wheel travel from standing height up to the bump stop, where it was measured.",
        ),
        may("bump_rate", Holds::Number(2000.0), "Rate of the bump stop at the wheel in N/mm."),
        may("rate", Holds::Number(100_000.0), "Damper rate in N·s/m."),
        ON,
        ORIGIN,
        SOURCE,
    ],
};

static BAR: Table = Table {
    what: "the anti-roll bar",
    fields: &[
        may(
            "rate",
            Holds::Number(1000.0),
            "Rate at the wheel: N per mm of difference between left and right.",
        ),
        ON,
        ORIGIN,
        SOURCE,
    ],
};

static LIMITS: Table = Table {
    what: "limits: what joints, shafts and bushings allow, as their makers say",
    fields: &[
        may("lower_ball_joint", ANGLE, "Tilt that the lower ball joint allows."),
        may("upper_ball_joint", ANGLE, "Tilt that the upper ball joint allows."),
        may("outer_tie_rod_joint", ANGLE, "Tilt that the outer tie-rod joint allows."),
        may("inner_tie_rod_joint", ANGLE, "Angle that the inner tie-rod joint allows."),
        may("bar_link", ANGLE, "Tilt of the bar link from square to the bar's arm that it allows."),
        may("axle_inner_joint", ANGLE, "Angle that the drive axle's inner joint allows."),
        may("axle_outer_joint", ANGLE, "Angle that the drive axle's outer joint allows."),
        may("plunge_in", LENGTH, "How far the plunging joint goes in from where the points were taken."),
        may("plunge_out", LENGTH, "How far it comes out from there."),
        may("bushing_twist", ANGLE, "Twist from rest that the control arm's bushings withstand for long."),
        may(
            "bushing_stiffness",
            Holds::Number(1000.0),
            "Stiffness of one arm's bushings together, N·m per degree.",
        ),
        ORIGIN,
        SOURCE,
    ],
};

pub(super) static AXLE: Table = Table {
    what: "an axle",
    fields: &[
        must("layout", Holds::Word(Layout::WORDS), "How the wheels are carried."),
        may(
            "points",
            Holds::Points,
            "Hardpoints of the left corner in mm: x forward, y left, z up (ISO 8855), all taken at one height of the car.",
        ),
        may(
            "points_right",
            Holds::Points,
            "Hardpoints of the right corner that are not the mirror image of the left ones, in the same axes: y is negative. Absent ones are mirrored.",
        ),
        may("tyre_radius", LENGTH, "Loaded radius of the tyre: hub centre to the floor."),
        may("camber", ANGLE, "Camber of the left wheel as the points were taken."),
        may("toe", ANGLE, "Toe of one wheel as the points were taken, toe-in positive."),
        may("camber_right", ANGLE, "Camber of the right wheel then. Absent: as the left one's."),
        may("toe_right", ANGLE, "Toe of the right wheel then. Absent: as the left one's."),
        may("hub_to_arch", LENGTH, "Hub centre to arch lip as the points were taken."),
        may("rack_travel", LENGTH, "Rack travel from the middle to either lock."),
        may("unsprung", Holds::Quantity(Dimension::Mass), "One wheel with all that moves along with it."),
        may("tyre_rate", Holds::Number(1000.0), "Rate of one tyre in N/mm."),
        may("spring_rate", Holds::Number(1000.0), "Rate of one spring in N/mm."),
        may("spring_free_length", LENGTH, "Free length of one spring."),
        may("spring", Holds::Table(&SPRING), "Further figures of one spring."),
        may("damper", Holds::Table(&DAMPER), "Damper and bump stop."),
        may("bar", Holds::Table(&BAR), "The anti-roll bar."),
        may("limits", Holds::Table(&LIMITS), "What joints, shafts and bushings allow."),
        may(
            "adjuster",
            Holds::Items(&ADJUSTER),
            "What can be set besides the tie rod, each under a name of its own.",
        ),
        ORIGIN,
        SOURCE,
    ],
};
