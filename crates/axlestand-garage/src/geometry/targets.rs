//! The car's own targets, and whether a value is within them: one rule wherever a value meets a target.

use super::now::reading;
use crate::chance::within;
use axlestand_geometry::estimation::conformity::{Decision, Limits, Rule};
use axlestand_model::car::{Car, Target};
use axlestand_model::{AxleEnd, Hand, ReadingKind};
use axlestand_quantity::Band;

/// The rule in words.
pub(crate) const RULE: &str = "Within limits from 95 chances in 100 that the true value is within, outside up to 5, between them it cannot be told (JCGM 106, 7.2; the 95 are a judgement). ± is one standard uncertainty.";

/// The uncertainty of what has none.
const EXACT: f64 = 1e-9;

/// The target for a kind of reading at an axle and side.
pub(crate) fn target(car: &Car, kind: ReadingKind, axle: AxleEnd, side: Option<Hand>) -> Option<&Target> {
    let reading = reading(car, kind, axle, side)?;
    car.targets.iter().find(|target| target.reading == reading.id)
}

/// A band as it is said: `0.10° ± 0.15°`.
pub(crate) fn band_text(band: Band, unit: &str) -> String {
    format!("{:.2}{unit} ± {:.2}{unit}", band.nominal(), band.upper() - band.nominal())
}

/// The limits of a band; `None` where it has no width.
pub(crate) fn limits(band: Band) -> Option<Limits> {
    Limits::new(band.lower(), band.upper()).ok()
}

/// A value with its standard uncertainty held against limits, by the rule of [`RULE`].
pub(crate) fn judged(limits: Limits, value: f64, u: f64) -> Option<Decision> {
    limits.judge(value, u.max(EXACT), Rule::default()).ok()
}

/// A decision as it is said: `cannot be told (within: 47 in 100)`.
pub(crate) fn verdict(decision: Decision) -> String {
    format!("{} ({})", decision.zone, within(decision.zone, decision.probability))
}

/// Whether a value is to be set: it is more likely outside than within.
pub(crate) fn is_to_be_set(decision: Decision) -> bool {
    decision.probability < 0.5
}

#[cfg(test)]
mod tests {
    use super::{judged, limits, verdict};
    use axlestand_quantity::Band;

    /// JCGM 106:2012, 7.2: p = Φ((T_U − y)/u) − Φ((T_L − y)/u); Φ from a table of the standard normal
    /// distribution: Φ(1) = 0.8413, Φ(2) = 0.9772, Φ(3) = 0.9987.
    #[test]
    fn a_value_is_judged_with_its_noise() {
        let limits = limits(Band::new(0.10, 0.15, 0.15).unwrap()).unwrap();
        for (value, u, said) in [
            (0.10, 0.05, "within limits (more than 99 in 100)"),
            (0.15, 0.05, "within limits (98 in 100)"),
            (0.20, 0.05, "cannot be told (within: 84 in 100)"),
            (0.25, 0.05, "cannot be told (within: 50 in 100)"),
            (0.30, 0.05, "cannot be told (within: 16 in 100)"),
            (0.35, 0.05, "outside the limits (within: 2 in 100)"),
            (0.10, 0.15, "cannot be told (within: 68 in 100)"),
            (0.24, 0.0, "within limits (more than 99 in 100)"),
            (0.26, 0.0, "outside the limits (within: less than 1 in 100)"),
        ] {
            assert_eq!(verdict(judged(limits, value, u).unwrap()), said, "{value} ± {u}");
        }
    }
}
