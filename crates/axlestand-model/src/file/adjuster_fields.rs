//! The fields of an adjuster.

use super::fields::{Holds, ORIGIN, SOURCE, Table, may, must};
use crate::words::AdjusterKind;
use axlestand_quantity::Dimension;

const LENGTH: Holds = Holds::Quantity(Dimension::Length);

pub(super) static ADJUSTER: Table = Table {
    what: "an adjuster: what can be set at a wheel besides the tie rod",
    fields: &[
        must("name", Holds::Text, "What people call it."),
        must("kind", Holds::Word(AdjusterKind::WORDS), "What it does."),
        may(
            "moves",
            Holds::Names,
            "The hardpoint or hardpoints that it moves; of a rod the joint at one of its ends.",
        ),
        may(
            "direction",
            Holds::Point,
            "Direction [x, y, z] at the left corner: of the bolts, or which way a mount goes when its setting grows.",
        ),
        may("bolt", Holds::Point, "The bolt [x, y, z] in mm at the left corner about which the strut turns."),
        may("apart", LENGTH, "From that bolt to the one that moves in its slot."),
        may("eccentricity", LENGTH, "Radius of the circle on which the eccentric carries its pivot."),
        may(
            "start",
            Holds::Quantity(Dimension::Angle),
            "Where the cam stood as the points were taken: 0° outboard, 90° up where the bolt's direction is forward. Absent: 0°.",
        ),
        must(
            "from",
            Holds::AnyQuantity,
            "Lower end of its range, from where it stood as the points were taken: an angle, or a length where it is moved along.",
        ),
        must("to", Holds::AnyQuantity, "Upper end of its range."),
        may(
            "both_sides",
            Holds::Flag,
            "Whether both wheels move as one, the same way in the car: a subframe. Absent: no.",
        ),
        ORIGIN,
        SOURCE,
    ],
};
