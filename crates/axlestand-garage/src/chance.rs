//! Chances as they are told.

use axlestand_geometry::estimation::conformity::Zone;

/// A chance (0 to 1) in a hundred; none is told as certain.
#[must_use]
pub fn in_100(chance: f64) -> String {
    match (100.0 * chance).round() {
        100.0.. => "more than 99 in 100".to_owned(),
        ..1.0 => "less than 1 in 100".to_owned(),
        percent => format!("{percent:.0} in 100"),
    }
}

/// The chance that a value is within its limits, as it is told behind the zone that it was judged to be in.
pub(crate) fn within(zone: Zone, chance: f64) -> String {
    let said = if zone == Zone::In { "" } else { "within: " };
    format!("{said}{}", in_100(chance))
}
