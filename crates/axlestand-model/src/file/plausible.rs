//! Quantities that no car has: a slip of the unit or of a finger.

use super::record::{Record, Sink};
use axlestand_quantity::{Dimension, Parsed};
use std::ops::{Range, RangeInclusive};

/// What a quantity may be, in the project's own unit.
pub(super) const WHEELBASE: RangeInclusive<f64> = 1000.0..=6000.0;
pub(super) const TRACK: RangeInclusive<f64> = 700.0..=2600.0;
pub(super) const CG_HEIGHT: RangeInclusive<f64> = 250.0..=1200.0;
pub(super) const BOLT: RangeInclusive<f64> = 2.0..=600.0;
pub(super) const SPRING: RangeInclusive<f64> = 50.0..=1000.0;
pub(super) const TYRE_RADIUS: RangeInclusive<f64> = 150.0..=600.0;
pub(super) const HUB_TO_ARCH: RangeInclusive<f64> = 100.0..=900.0;
pub(super) const RACK: RangeInclusive<f64> = 10.0..=200.0;
pub(super) const UNSPRUNG: RangeInclusive<f64> = 5.0..=300.0;
pub(super) const WIRE: RangeInclusive<f64> = 3.0..=40.0;
pub(super) const COIL: RangeInclusive<f64> = 30.0..=300.0;
pub(super) const PITCH: RangeInclusive<f64> = 0.5..=6.0;
pub(super) const DAMPER: RangeInclusive<f64> = 100.0..=1200.0;
pub(super) const TRAVEL: RangeInclusive<f64> = 5.0..=400.0;
pub(super) const PLUNGE: RangeInclusive<f64> = 1.0..=100.0;
pub(super) const ECCENTRIC: RangeInclusive<f64> = 0.5..=15.0;
pub(super) const APART: RangeInclusive<f64> = 15.0..=250.0;
pub(super) const PART_MASS: RangeInclusive<f64> = 0.001..=1000.0;
pub(super) const WHEEL_MASS: RangeInclusive<f64> = 20.0..=5000.0;
pub(super) const AMOUNT: RangeInclusive<f64> = 0.001..=100.0;

/// Reports a quantity outside `range`.
pub(super) fn field(record: &Record, key: &str, range: &RangeInclusive<f64>, sink: &mut Sink<'_>) {
    if let Some(parsed) = record.quantity(key) {
        value(parsed, key, &record.span_of(key), range, sink);
    }
}

/// Reports a value outside `range`, with the unit that was meant where another one fits.
pub(super) fn value(
    parsed: &Parsed,
    name: &str,
    span: &Range<usize>,
    range: &RangeInclusive<f64>,
    sink: &mut Sink<'_>,
) {
    if range.contains(&parsed.value) {
        return;
    }
    if parsed.value <= 0.0 {
        let hint = "measure it again, or leave the line out until it is known".to_owned();
        sink.error("bad-quantity", span, format!("'{name}' must be more than nought"), hint);
        return;
    }
    let unit = parsed.unit.dimension.own_unit();
    let message = format!("'{name}' cannot be {} {unit}", short(parsed.value));
    let wanted = format!("{} to {} {unit}", short(*range.start()), short(*range.end()));
    let hint = match other_unit(parsed, range) {
        Some(other) => format!("is it {other}? Between {wanted} is possible; write the unit that was read"),
        None => format!("write a value from {wanted}, with the unit that was read"),
    };
    sink.error("bad-quantity", span, message, hint);
}

/// The same number in another unit that makes sense: inches for millimetres, grams for kilograms.
fn other_unit(parsed: &Parsed, range: &RangeInclusive<f64>) -> Option<&'static str> {
    let symbols: &[&'static str] = match parsed.unit.dimension {
        Dimension::Length => &["mm", "in", "cm"],
        Dimension::Mass => &["g", "kg"],
        Dimension::Volume => &["ml", "l"],
        _ => &[],
    };
    let number = parsed.value / parsed.unit.factor;
    let units = symbols.iter().filter_map(|symbol| axlestand_quantity::Unit::find(symbol));
    units
        .into_iter()
        .find(|unit| *unit != parsed.unit && range.contains(&(number * unit.factor)))
        .map(|unit| unit.symbol)
}

/// A number as short as it can be said.
fn short(value: f64) -> String {
    if value >= 1e7 {
        format!("{value:.0e}")
    } else {
        let text = format!("{value:.3}");
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    }
}
