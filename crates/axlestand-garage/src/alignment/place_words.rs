//! From where to where each number is read, in the mechanic's words.

use super::place::{Load, Place, side_word};
use super::taken::wheel_name;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{Axle, Edge};

/// From where to where.
pub(crate) fn from_where(place: Place) -> String {
    match place {
        Place::Rim { wheel, edge, half_turn } => format!(
            "string to the {} of the {} rim, at hub height{}",
            edge_name(edge),
            wheel_name(wheel),
            turned(half_turn)
        ),
        Place::Hub(wheel) => format!("string to the middle of the {} hub", wheel_name(wheel)),
        Place::Spacing(axle) => format!("string to string along the {} bar", bar(axle)),
        Place::RimSize => {
            "from the front edge of a rim to its rear edge, where the string is read".to_owned()
        }
        Place::Plates { axle, tape, half_turn } => format!(
            "plate to plate {} the {axle} wheels{}",
            if tape == Edge::Front { "in front of" } else { "behind" },
            turned(half_turn)
        ),
        Place::Trammel { axle, line } => format!(
            "scribed line to scribed line, {} of the {axle} tyres, at hub height",
            if line == Edge::Front { "front" } else { "rear" }
        ),
        Place::Straight { side, gap, half_turn } => format!(
            "straight-edge along the {} rear tyre: gap at the {} of the front rim{}",
            side_word(side),
            edge_name(gap),
            turned(half_turn)
        ),
        Place::Camber { wheel, half_turn } => {
            format!("gauge on the {} rim, top edge to bottom edge{}", wheel_name(wheel), turned(half_turn))
        }
        Place::Floor(wheel) => format!("floor to the water's surface, beside the {} tyre", wheel_name(wheel)),
        Place::Slope { axle, reversed } => format!(
            "gauge on a board across the places of both {axle} tyres, up to the right positive{}",
            if reversed { ", gauge turned end for end" } else { "" }
        ),
        Place::SweepTurn { wheel, to } => {
            format!("by how much the {} front wheel is turned to the {}", side_word(wheel), side_word(to))
        }
        Place::SweepCamber { wheel, to } => format!(
            "camber of the {} front wheel, turned to the {} by so much",
            side_word(wheel),
            side_word(to)
        ),
        Place::Wheelbase(side) => format!("front hub to rear hub, {}", side_word(side)),
        Place::Diagonal(side) => {
            let other = if side == Side::Left { "right" } else { "left" };
            format!("front {} hub to rear {other} hub", side_word(side))
        }
        Place::Steering => {
            "where the steering wheel is held while the front wheels are read, to the left positive"
                .to_owned()
        }
        Place::SteeringRoad => {
            "where the steering wheel stands while the car runs straight on a level yard, to the left positive"
                .to_owned()
        }
        Place::RunOut { wheel, top } => format!(
            "dial on the {} rim as the wheel is turned by hand: reading where the {} edge is now, less where the {} edge is (outward positive)",
            wheel_name(wheel),
            if top { "top" } else { "front" },
            if top { "bottom" } else { "rear" }
        ),
        Place::Height(wheel) => format!("middle of the {} hub straight up to the arch", wheel_name(wheel)),
        Place::Thread(side) => {
            format!("thread that shows at the {} tie rod, from the jam nut's outer face", side_word(side))
        }
        Place::Pressure(wheel) => format!("pressure of the {} tyre, cold", wheel_name(wheel)),
        Place::Load(load) => format!(
            "weight {}",
            match load {
                Load::FrontSeats => "on the front seats",
                Load::RearSeats => "on the rear seats",
                Load::Boot => "in the boot",
            }
        ),
        Place::BumpCamber(wheel) => {
            format!("camber of the {} hub face, spring out, hub raised by so much", wheel_name(wheel))
        }
        Place::BumpToe(wheel) => {
            format!("toe of the {} hub, spring out, hub raised by so much", wheel_name(wheel))
        }
        Place::Survey { wheel, spot } => format!("{}: {}", wheel_name(wheel), spot.from()),
    }
}

fn turned(half_turn: bool) -> &'static str {
    if half_turn { ", the wheel rolled on by half a turn" } else { "" }
}

fn edge_name(edge: Edge) -> &'static str {
    match edge {
        Edge::Front => "front edge",
        Edge::Rear => "rear edge",
    }
}

fn bar(axle: Axle) -> &'static str {
    match axle {
        Axle::Front => "front",
        Axle::Rear => "rear",
    }
}
