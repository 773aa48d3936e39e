//! What to beware of and to know beside heights and springs.

use super::height::CornerHeight;
use super::springs::SpringFigures;
use super::targets::RULE;
use super::wishes::Heights4;
use crate::units::Units;
use axlestand_model::car::Car;
use serde::Serialize;

/// Something to beware of at a corner; its words begin with DANGER where it is grave.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct DangerView {
    /// Whether the car must not go on the road like this.
    pub grave: bool,
    /// What it is.
    pub text: String,
}

impl std::fmt::Display for DangerView {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}{}", if self.grave { "DANGER: " } else { "" }, self.text)
    }
}

/// What to beware of at the corners, the worst first.
pub(super) fn dangers(corners: &[CornerHeight], units: Units) -> Vec<DangerView> {
    let mut all = Vec::new();
    let mut beware = |grave: bool, text: String| all.push(DangerView { grave, text });
    let words = |wheel: &str| wheel.replace('-', " ");
    for c in corners {
        let (hold, spread) = (c.hold_at_droop.value, c.hold_at_droop.spread.unwrap_or(0.0));
        match hold {
            Some(hold) if hold <= 0.0 => beware(
                true,
                format!(
                    "the {} spring is loose by {} at full droop: it can jump out of its seat when the wheel drops into a hole. Not on the road like this.",
                    words(c.wheel),
                    units.length(-hold, 0)
                ),
            ),
            Some(hold) if hold - spread < 5.0 => beware(
                false,
                format!(
                    "the {} spring is held by only {} at full droop{}: it has to stay held under every condition",
                    words(c.wheel),
                    units.length(hold, 0),
                    if spread > 0.0 { format!(" (± {})", units.length(spread, 0)) } else { String::new() }
                ),
            ),
            _ => {}
        }
        if c.to_bind.value.is_some_and(|left| left <= 0.0) {
            beware(
                false,
                format!("the coils of the {} spring touch before the bump stop is reached", words(c.wheel)),
            );
        }
        match c.bump_left.value {
            Some(left) if left <= 0.0 => {
                beware(false, format!("the {} corner stands on its bump stop", words(c.wheel)));
            }
            Some(left) if left < 25.0 => {
                beware(
                    false,
                    format!(
                        "only {} of travel are left to the bump stop at the {}",
                        units.length(left, 0),
                        words(c.wheel)
                    ),
                );
            }
            _ => {}
        }
    }
    all.sort_by_key(|danger| !danger.grave);
    all
}

/// What is missing, assumed or to be known beside the figures.
pub(super) fn notes(
    car: &Car,
    figures: &SpringFigures,
    now: &Heights4,
    corners: &[CornerHeight],
    units: Units,
) -> Vec<String> {
    let mut notes = Vec::new();
    for (i, name) in ["front", "rear"].into_iter().enumerate() {
        if !figures.axles[i].ends_are_known() {
            notes.push(format!(
                "{name}: where the wheel's travel ends is not known, so nothing is said of travel left or of a loose spring there: write the damper's lengths, or droop_travel and bump_travel, under [axle.{name}.damper]"
            ));
        }
        let read = now[2 * i].is_some() && now[2 * i + 1].is_some();
        if !read && figures.axles[i].foretells() {
            let few = if units == Units::Inch {
                "an eighth of an inch in either moves"
            } else {
                "a few millimetres in either move"
            };
            notes.push(format!(
                "{name}: the height is predicted from the spring's free length and its seats; {few} it by as much. Read it when the car stands."
            ));
        } else if !read {
            notes.push(format!(
                "{name}: no height was read, so the car is taken to stand as the points were taken"
            ));
        }
        let collar = car.axles.iter().find(|a| a.name == name).and_then(|a| a.spring.as_ref());
        let adjustable = collar.is_some_and(|s| s.collar_pitch.is_some() || s.collar.is_some());
        let turns = corners.get(2 * i..2 * i + 2).is_some_and(|c| {
            c.iter().any(|c| c.collar_change.value.is_some_and(|change| change.abs() > 0.05))
        });
        if turns && !adjustable {
            notes.push(format!(
                "{name}: the file describes no collar there: the change is what another spring, pad or seat would have to give"
            ));
        }
    }
    if corners.iter().any(|c| c.energy.value.is_some_and(|e| e > 100.0)) {
        notes.push(
            "A compressed spring holds this energy in the compressor too: never release it by undoing the top nut."
                .to_owned(),
        );
    }
    if corners.iter().any(|corner| corner.target.is_some()) {
        notes.push(RULE.to_owned());
    }
    notes.push(
        "Equal threads are not equal heights: set by height on level ground, roll the car, and read again."
            .to_owned(),
    );
    notes
}
