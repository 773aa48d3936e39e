//! How an amount of turning is said at the car.

use super::adjustable::Adjustable;
use crate::geometry::adjusters::{amount, way};
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::Layout;

/// Turns as turns and flats, to half a flat: `1 turn 2 1/2 flats`.
pub(crate) fn turns_text(turns: f64) -> String {
    let halves = (turns.abs() * 12.0).round() as u64;
    let (whole, halves) = (halves / 12, halves % 12);
    let turn = match whole {
        0 => None,
        1 => Some("1 turn".to_owned()),
        n => Some(format!("{n} turns")),
    };
    let flat = match (halves / 2, halves % 2) {
        (0, 0) => None,
        (0, _) => Some("1/2 flat".to_owned()),
        (1, 0) => Some("1 flat".to_owned()),
        (n, 0) => Some(format!("{n} flats")),
        (n, _) => Some(format!("{n} 1/2 flats")),
    };
    let all: Vec<String> = [turn, flat].into_iter().flatten().collect();
    if all.is_empty() { "nothing".to_owned() } else { all.join(" ") }
}

/// An amount as it is typed into `turned` and shown: `1 turn 2 flats longer`, `+0.40°`.
pub(crate) fn amount_text(one: &Adjustable, by: f64, units: Units) -> String {
    match &one.of_file {
        None => format!("{} {}", turns_text(by), if by >= 0.0 { "longer" } else { "shorter" }),
        Some(adjuster) => {
            format!("{}{}", if by >= 0.0 { "+" } else { "-" }, amount(adjuster, by.abs(), units))
        }
    }
}

/// What to do at the car: which way, seen from where.
pub(crate) fn how(one: &Adjustable, layout: Option<Layout>, by: f64, camber: f64, units: Units) -> String {
    match &one.of_file {
        None => {
            let other = if by >= 0.0 { "more thread shows" } else { "less thread shows" };
            let hand = if one.left_hand { "left" } else { "right" };
            let sense = if (by >= 0.0) == one.left_hand { "counter-clockwise" } else { "clockwise" };
            format!(
                "{}: with a {hand}-hand thread turn the rod {sense} as seen from the wheel; {other}, {} {}",
                amount_text(one, by, units),
                units.length(by.abs() * one.pitch, 1),
                if by >= 0.0 { "more" } else { "less" }
            )
        }
        Some(adjuster) => {
            let side = one.side.unwrap_or(Side::Left);
            let layout = layout.unwrap_or(Layout::Strut);
            way(adjuster, (layout, side), by, camber, units)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::turns_text;

    #[test]
    fn turns_are_said_in_turns_and_flats() {
        for (turns, text) in [
            (1.0, "1 turn"),
            (-1.25, "1 turn 1 1/2 flats"),
            (0.5, "3 flats"),
            (1.0 / 12.0, "1/2 flat"),
            (2.0 + 1.0 / 6.0, "2 turns 1 flat"),
            (0.01, "nothing"),
        ] {
            assert_eq!(turns_text(turns), text, "{turns}");
        }
    }
}
