//! Where a wheel is looked at: travels, and positions of the rack.

use super::figures::Figure;
use super::points::layout;
use super::typed;
use crate::error::GarageError;
use crate::units::Units;
use axlestand_model::car::Axle;

/// Most rows of a table.
const MOST_ROWS: f64 = 2000.0;

/// Farthest that a wheel is looked at, mm.
const MOST_TRAVEL: f64 = 400.0;

/// Lowest and highest wheel travel and the step that are taken where none is asked for, as they are typed
/// in the user's unit.
#[must_use]
pub fn usual_travels(units: Units) -> [&'static str; 3] {
    if units == Units::Inch { ["-2.5", "2.5", "0.5"] } else { ["-60", "60", "10"] }
}

/// A travel of the wheel or the rack as it is typed, mm; a number without a unit counts in the user's.
///
/// # Errors
/// [`GarageError::Input`] that names what is wrong with it; `what` is how it is asked for: `--from`.
pub fn travel(what: &str, text: &str, units: Units) -> Result<f64, GarageError> {
    typed::length(what, text, units, -MOST_TRAVEL..=MOST_TRAVEL)
}

/// Which positions of the steering rack are wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Racks {
    /// Straight ahead only.
    Straight,
    /// From lock to lock, every this many mm from the middle, and the locks themselves; absent: the
    /// locks, half-way and the middle.
    LockToLock(Option<f64>),
}

/// The travels of a range, mm.
///
/// # Errors
/// [`GarageError::Input`] for a range that is none or too long.
pub(super) fn travels(from: f64, to: f64, step: f64, units: Units) -> Result<Vec<f64>, GarageError> {
    if !(from.is_finite() && to.is_finite() && step.is_finite() && step > 0.0 && from <= to) {
        let [from, to, step] = usual_travels(units);
        return Err(GarageError::Input(format!(
            "the travel goes from a lower to a higher number in steps above nought, like --from {from} --to {to} --step {step}"
        )));
    }
    if from.abs().max(to.abs()) > MOST_TRAVEL || (to - from) / step > MOST_ROWS {
        return Err(GarageError::Input(format!(
            "travel within ±{} and at most {MOST_ROWS} rows: choose a smaller range or a larger step",
            units.length(MOST_TRAVEL, 0)
        )));
    }
    let mut all = Vec::new();
    let mut i = 0.0;
    while from + i * step <= to + 1e-9 {
        all.push(from + i * step);
        i += 1.0;
    }
    Ok(all)
}

/// Rack travel from the middle to either lock.
pub(super) fn lock(axle: &Axle) -> Figure {
    let what = "rack travel to lock";
    match axle.rack_travel {
        Some(travel) => Figure::known(what, "mm", travel.mm(), axle.provenance.to_string()),
        None => Figure::typical(what, "mm", 70.0, (60.0, 80.0), "passenger cars"),
    }
}

/// The positions of the rack, mm to the left, the right lock first; `rows` is how many travels each is
/// looked at.
///
/// # Errors
/// [`GarageError::Input`] for an axle without a rack and a step that is none.
pub(super) fn racks(axle: &Axle, wanted: Racks, rows: usize, units: Units) -> Result<Vec<f64>, GarageError> {
    let Racks::LockToLock(step) = wanted else { return Ok(vec![0.0]) };
    if layout(axle).is_none_or(|layout| layout.tie_rod().is_none()) {
        return Err(GarageError::Input(format!(
            "the {} axle is a {}: it has no tie rods that a rack would move; leave --grid out",
            axle.name,
            axle.layout.phrase()
        )));
    }
    let lock = lock(axle).value;
    let step = step.unwrap_or(lock / 2.0);
    if !(step.is_finite() && step > 0.0) {
        let (unit, [.., like]) = (units.length_unit(), usual_travels(units));
        return Err(GarageError::Input(format!(
            "--rack-step is a number of {unit} above nought, like --rack-step {like}"
        )));
    }
    let positions = 2.0 * (lock / step).floor() + 3.0;
    if positions * rows as f64 > MOST_ROWS {
        return Err(GarageError::Input(format!(
            "{rows} heights with some {positions:.0} positions of the rack are more than the {MOST_ROWS} rows of a table: choose a larger --rack-step or --step"
        )));
    }
    let mut left = Vec::new();
    let mut i = 1.0;
    while i * step < lock - 1e-6 {
        left.push(i * step);
        i += 1.0;
    }
    left.push(lock);
    Ok(left.iter().rev().map(|rack| -rack).chain([0.0]).chain(left.iter().copied()).collect())
}

#[cfg(test)]
mod tests {
    use super::{Racks, racks};
    use crate::units::Units;
    use axlestand_model::car::Axle;

    fn axle(layout: &str) -> Axle {
        let text = format!(
            "format = 1\n[car]\nname = \"x\"\n[axle.front]\nlayout = \"{layout}\"\nrack_travel = \"70 mm\"\n"
        );
        crate::vehicle::read_car(&text).car.unwrap().axles.remove(0)
    }

    #[test]
    fn racks_go_from_lock_to_lock_through_the_middle() {
        let strut = axle("strut");
        assert_eq!(racks(&strut, Racks::Straight, 9, Units::Metric).unwrap(), [0.0]);
        let half = racks(&strut, Racks::LockToLock(None), 9, Units::Metric).unwrap();
        assert_eq!(half, [-70.0, -35.0, 0.0, 35.0, 70.0]);
        let thirties = racks(&strut, Racks::LockToLock(Some(30.0)), 9, Units::Metric).unwrap();
        assert_eq!(thirties, [-70.0, -60.0, -30.0, 0.0, 30.0, 60.0, 70.0]);
        assert_eq!(
            racks(&strut, Racks::LockToLock(Some(500.0)), 9, Units::Metric).unwrap(),
            [-70.0, 0.0, 70.0]
        );
        for step in [0.0, -1.0, f64::NAN, f64::INFINITY, 0.001] {
            assert!(racks(&strut, Racks::LockToLock(Some(step)), 9, Units::Metric).is_err(), "{step}");
        }
        assert!(racks(&axle("semi-trailing"), Racks::LockToLock(None), 9, Units::Metric).is_err());
        assert!(racks(&axle("twist-beam"), Racks::LockToLock(None), 9, Units::Metric).is_err());
    }
}
