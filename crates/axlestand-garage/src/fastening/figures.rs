//! Numbers as they are said to people: computed ones to two digits, since friction allows no more.

use crate::units::Units;
use axlestand_fastener::{FrictionRange, Interval};
use axlestand_quantity::{Force, Torque, Unit};
use serde::Serialize;

/// One step of an explanation: an input, a formula with its figures, a source, a limit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Reason {
    /// What it is about.
    pub what: String,
    /// What is said.
    pub text: String,
    /// Where it stands: a standard, a book, ids of SOURCES.md, the owner's reference.
    pub source: Option<String>,
}

impl Reason {
    /// A reason with its source; an empty source is none.
    pub(crate) fn new(what: &str, text: impl Into<String>, source: impl Into<String>) -> Self {
        let source = source.into();
        Self { what: what.to_owned(), text: text.into(), source: (!source.is_empty()).then_some(source) }
    }

    /// A formula with the figures put in.
    pub(crate) fn formula(formula: axlestand_fastener::formula::Formula, figures: &str) -> Self {
        let text =
            if figures.is_empty() { formula.text.to_owned() } else { format!("{}; {figures}", formula.text) };
        Self::new(formula.gives, text, formula.source)
    }
}

/// A number rounded to two digits, without an exponent and without needless noughts.
pub(crate) fn rough(value: f64) -> String {
    digits(value, 2)
}

/// A number rounded to so many digits.
pub(crate) fn digits(value: f64, count: i32) -> String {
    if !value.is_finite() || value == 0.0 {
        return "0".to_owned();
    }
    let places = count - 1 - value.abs().log10().floor() as i32;
    let scale = 10f64.powi(places);
    let rounded = if scale.is_finite() && scale > 0.0 { (value * scale).round() / scale } else { value };
    plain(rounded, places.max(0) as usize)
}

/// A number with at most so many places, trailing noughts dropped.
pub(crate) fn plain(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A computed torque, to two digits, in the user's unit.
pub(crate) fn rough_torque(torque: Torque, units: Units) -> String {
    match units {
        Units::Metric => format!("{} N·m", rough(torque.nm())),
        Units::Inch => format!("{} lb·ft", rough(torque.lb_ft())),
    }
}

/// Two computed torques: `150 to 240 N·m`.
pub(crate) fn torque_range(low: Torque, high: Torque, units: Units) -> String {
    match units {
        Units::Metric => format!("{} to {} N·m", rough(low.nm()), rough(high.nm())),
        Units::Inch => format!("{} to {} lb·ft", rough(low.lb_ft()), rough(high.lb_ft())),
    }
}

/// A computed force in kilonewtons.
pub(crate) fn kilonewtons(force: Force) -> String {
    format!("{} kN", rough(force.n() / 1000.0))
}

/// `45 kN (30 to 60)`.
pub(crate) fn clamp(range: Interval<Force>) -> String {
    let kn = |force: Force| rough(force.n() / 1000.0);
    format!("about {} kN ({} to {})", kn(range.point()), kn(range.low()), kn(range.high()))
}

/// A share in whole per cent.
pub(crate) fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

/// A torque as a number on a scale with steps of `step_nm`.
pub(crate) fn on_scale(value: f64, unit: &Unit) -> String {
    format!("{} {}", plain(value, 2), unit.symbol)
}

/// A friction range with how well it is founded.
pub(crate) fn friction(range: &FrictionRange) -> String {
    use axlestand_fastener::friction::Evidence;
    let mu = range.coefficient;
    let evidence = match range.evidence {
        Evidence::Good => "several sources agree",
        Evidence::Fair => "published, fair evidence",
        Evidence::Weak => "weak evidence",
    };
    format!(
        "{} to {}, reckoned with {} ({evidence})",
        plain(mu.low(), 3),
        plain(mu.high(), 3),
        plain(mu.point(), 3)
    )
}

/// The ids of the sources behind a condition's friction.
pub(crate) fn friction_sources(condition: axlestand_fastener::Condition) -> String {
    let mut ids: Vec<&str> = condition.friction_rows().map(|row| row.source).collect();
    ids.sort_unstable();
    ids.dedup();
    ids.join(", ")
}
