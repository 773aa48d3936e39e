//! The car's own targets, and whether a value is within them.

use super::now::reading;
use axlestand_geometry::wheel_angles::conformance_probability;
use axlestand_model::car::{Car, Target};
use axlestand_model::{AxleEnd, Hand, ReadingKind};
use axlestand_quantity::Band;

/// The target for a kind of reading at an axle and side.
pub(crate) fn target(car: &Car, kind: ReadingKind, axle: AxleEnd, side: Option<Hand>) -> Option<&Target> {
    let reading = reading(car, kind, axle, side)?;
    car.targets.iter().find(|target| target.reading == reading.id)
}

/// A band as it is said: `0.10° ± 0.15°`.
pub(crate) fn band_text(band: Band, unit: &str) -> String {
    format!("{:.2}{unit} ± {:.2}{unit}", band.nominal(), band.upper() - band.nominal())
}

/// The verdict on a value with its standard uncertainty: the probability that the true value is
/// within the band (JCGM 106:2012, 7.2).
pub(crate) fn verdict(band: Band, value: f64, u: f64) -> (f64, String) {
    let p = conformance_probability(value, u, band.lower(), band.upper());
    let percent = 100.0 * p;
    let text = if percent >= 99.5 {
        "in tolerance".to_owned()
    } else if percent <= 0.5 {
        "OUT of tolerance".to_owned()
    } else if percent >= 50.0 {
        format!("probably in tolerance ({percent:.0} in 100)")
    } else {
        format!("probably OUT of tolerance ({percent:.0} in 100 that it is in)")
    };
    (p, text)
}
