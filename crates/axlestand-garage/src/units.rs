//! The user's units at the edge. Stored values stay in mm, °, N·m.

use axlestand_model::car::{TorqueSpec, TorqueStep};
use axlestand_quantity::{Dimension, Torque};

/// Which units are shown first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Millimetres and newton metres, with lb·ft behind.
    #[default]
    Metric,
    /// Inches and pound-feet, with N·m behind.
    Inch,
}

impl Units {
    /// A torque in the user's unit, the other one in brackets.
    #[must_use]
    pub fn torque(self, torque: Torque) -> String {
        let (nm, lb_ft) = (torque.nm(), torque.lb_ft());
        match self {
            Self::Metric => format!("{torque} ({})", whole(lb_ft, "lb·ft")),
            Self::Inch => format!("{} ({})", whole(lb_ft, "lb·ft"), whole(nm, "N·m")),
        }
    }

    /// A torque in the user's unit alone.
    #[must_use]
    pub fn short_torque(self, torque: Torque) -> String {
        match self {
            Self::Metric => torque.to_string(),
            Self::Inch => whole(torque.lb_ft(), "lb·ft"),
        }
    }

    /// A torque in the user's unit and in the other one.
    #[must_use]
    pub fn figure(self, torque: Torque) -> (String, String) {
        let (nm, lb_ft) = (torque.to_string(), whole(torque.lb_ft(), "lb·ft"));
        match self {
            Self::Metric => (nm, lb_ft),
            Self::Inch => (lb_ft, nm),
        }
    }

    /// The steps of a specification in the user's unit.
    #[must_use]
    pub fn steps(self, spec: &TorqueSpec) -> String {
        let step = |step: &TorqueStep| match step {
            TorqueStep::To(torque) => self.torque(*torque),
            TorqueStep::On(angle) => format!("then {angle}"),
        };
        spec.steps.iter().map(step).collect::<Vec<_>>().join(", ")
    }

    /// A reading: value and standard uncertainty in the project's own unit.
    #[must_use]
    pub fn reading(self, dimension: Dimension, value: f64, u: f64) -> String {
        let (factor, unit) = match (self, dimension) {
            (Self::Inch, Dimension::Length) => (1.0 / 25.4, " in"),
            (_, Dimension::Angle) => (1.0, "°"),
            _ => (1.0, " mm"),
        };
        axlestand_quantity::Uncertain::new(value * factor, u * factor)
            .map_or_else(|_| format!("{value}{unit}"), |uncertain| format!("{uncertain}{unit}"))
    }

    /// The unit of a length that is typed.
    #[must_use]
    pub fn length_unit(self) -> &'static str {
        if self == Self::Inch { "in" } else { "mm" }
    }

    /// A length in mm as a tape shows it: whole millimetres, or inches to the nearest sixteenth (`14 1/4 in`).
    #[must_use]
    pub fn on_tape(self, mm: f64) -> String {
        // Nought has no sign, whatever was rounded to it.
        let sixteenths = (mm / 25.4 * 16.0).round() + 0.0;
        if self == Self::Metric || !sixteenths.is_finite() || sixteenths.abs() > 1e6 {
            return format!("{:.0} mm", mm.round_ties_even() + 0.0);
        }
        let (whole, mut part, mut of) = ((sixteenths / 16.0).trunc() + 0.0, (sixteenths % 16.0).abs(), 16.0);
        while part > 0.0 && part % 2.0 == 0.0 {
            (part, of) = (part / 2.0, of / 2.0);
        }
        let sign = if sixteenths < 0.0 && whole == 0.0 { "-" } else { "" };
        match (whole == 0.0, part == 0.0) {
            (_, true) => format!("{whole:.0} in"),
            (true, false) => format!("{sign}{part:.0}/{of:.0} in"),
            (false, false) => format!("{whole:.0} {part:.0}/{of:.0} in"),
        }
    }

    /// A length in mm with so many places, in the user's unit: `23 mm`, `0.91 in`.
    #[must_use]
    pub fn length(self, mm: f64, places: usize) -> String {
        let (value, places, unit) = self.figure_in(mm, places, "mm");
        // Nought has no sign, whatever is rounded to it.
        let rounded = format!("{value:.places$}");
        let is_nought = rounded.chars().all(|c| matches!(c, '-' | '0' | '.'));
        format!("{} {unit}", if is_nought { rounded.trim_start_matches('-') } else { &rounded })
    }

    /// A figure with its unit and places: lengths in mm become inches with two places more where those are
    /// wanted, all else stays.
    #[must_use]
    pub fn figure_in(self, value: f64, places: usize, unit: &'static str) -> (f64, usize, &'static str) {
        match (self, unit) {
            (Self::Inch, "mm") => (value / 25.4, places + 2, "in"),
            _ => (value, places, unit),
        }
    }
}

/// A number with no more places than a wrench can be set to: one below ten, none above.
fn whole(value: f64, unit: &str) -> String {
    if value.abs() < 10.0 { format!("{value:.1} {unit}") } else { format!("{value:.0} {unit}") }
}

#[cfg(test)]
mod tests {
    use super::Units;

    /// By hand: 14 1/4 in is 361.95 mm; a sixteenth is 1.5875 mm.
    #[test]
    fn inches_are_shown_as_a_tape_has_them() {
        for (mm, shown) in [
            (361.95, "14 1/4 in"),
            (612.0, "24 1/8 in"),
            (25.4, "1 in"),
            (0.0, "0 in"),
            (1.5875, "1/16 in"),
            (-6.35, "-1/4 in"),
            (-31.75, "-1 1/4 in"),
            (25.3, "1 in"),
            (-0.3, "0 in"),
            (f64::INFINITY, "inf mm"),
        ] {
            assert_eq!(Units::Inch.on_tape(mm), shown, "{mm}");
        }
        assert_eq!(Units::Inch.length(-23.114, 0), "-0.91 in");
        assert_eq!(Units::Inch.length(-0.1, 0), "0.00 in");
        assert_eq!(Units::Metric.length(23.114, 1), "23.1 mm");
        assert_eq!(Units::Metric.on_tape(361.95), "362 mm");
        assert_eq!(Units::Metric.on_tape(-0.3), "0 mm");
        assert_eq!(Units::Metric.on_tape(-3.0), "-3 mm");
        // Read as it is shown, it is the same to half a sixteenth.
        for tenths in 1000..9000_i32 {
            let mm = f64::from(tenths) / 10.0;
            let read = axlestand_quantity::Dimension::Length.parse(&Units::Inch.on_tape(mm)).unwrap().value;
            assert!((read - mm).abs() <= 25.4 / 32.0 + 1e-9, "{mm}: {read}");
        }
    }
}
