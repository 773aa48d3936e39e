//! The user's units at the edge. Stored values stay in mm, °, N·m.

use axlestand_model::car::{TorqueSpec, TorqueStep, parse_steps};
use axlestand_quantity::{Dimension, Lengths, Torque, Unit};

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

    /// A torque as it was recorded: as it was typed, or in lb·ft with that behind.
    #[must_use]
    pub fn recorded(self, typed: &str) -> String {
        let steps = parse_steps(typed).unwrap_or_default();
        if self == Self::Metric || steps.is_empty() || typed.contains("lb") {
            return typed.to_owned();
        }
        let step = |step: &TorqueStep| match step {
            TorqueStep::To(torque) => self.short_torque(*torque),
            TorqueStep::On(angle) => angle.to_string(),
        };
        format!("{} ({typed})", steps.iter().map(step).collect::<Vec<_>>().join(" + "))
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

    /// The unit of a spring's rate that is typed.
    #[must_use]
    pub fn rate_unit(self) -> &'static str {
        if self == Self::Inch { "lb/in" } else { "N/mm" }
    }

    /// How lengths are said.
    #[must_use]
    pub fn lengths(self) -> Lengths {
        if self == Self::Inch { Lengths::Inches } else { Lengths::Millimetres }
    }

    /// The units of who typed this one.
    #[must_use]
    pub(crate) fn of(typed: &Unit) -> Self {
        if matches!(typed.symbol, "in" | "ft" | "lb/in") { Self::Inch } else { Self::Metric }
    }

    /// A length in mm with so many places, in the user's unit: `23 mm`, `0.91 in`.
    #[must_use]
    pub fn length(self, mm: f64, places: usize) -> String {
        self.lengths().said(mm, places)
    }

    /// The same with its sign: `+23 mm`, `-0.91 in`.
    #[must_use]
    pub(crate) fn signed_length(self, mm: f64, places: usize) -> String {
        self.lengths().signed(mm, places)
    }

    /// A length in mm without needless noughts: `30 mm`, `1.25 in`, `1.181 in`.
    #[must_use]
    pub(crate) fn short_length(self, mm: f64) -> String {
        let (value, places, unit) = self.lengths().figure(mm, 2);
        let most = if self == Self::Inch { 3 } else { places };
        format!("{} {unit}", trimmed(value, most))
    }

    /// A standard uncertainty in mm as it is said of a gauge: hundredths of a millimetre; inches to two
    /// figures, or one where it begins with 355 or more (`pdg-rounding`).
    #[must_use]
    pub(crate) fn uncertainty(self, mm: f64) -> String {
        if self == Self::Metric {
            return format!("{} mm", (mm * 100.0).round() / 100.0);
        }
        let inches = mm / 25.4;
        let exponent = inches.abs().max(1e-9).log10().floor();
        let leading = inches / 10f64.powf(exponent);
        let places = if leading < 3.55 { 1.0 - exponent } else { -exponent };
        format!("{} in", trimmed(inches, places.clamp(0.0, 9.0) as usize))
    }

    /// The pitch of a metric thread, mm: a thread gauge has it in millimetres, `1.5 mm (0.059 in)`.
    #[must_use]
    pub(crate) fn pitch(self, mm: f64) -> String {
        match self {
            Self::Metric => format!("{mm} mm"),
            Self::Inch => format!("{mm} mm ({:.3} in)", mm / 25.4),
        }
    }

    /// A figure with its unit and places in the user's units: lengths in mm become inches with two places
    /// more, rates of springs lb/in with one place less, forces lbf; all else stays.
    /// 1 lbf is 4.448 221 615 260 5 N (NIST SP 811, B.8).
    #[must_use]
    pub fn figure_in(self, value: f64, places: usize, unit: &'static str) -> (f64, usize, &'static str) {
        match (self, unit) {
            (Self::Inch, "mm") => self.lengths().figure(value, places),
            (Self::Inch, "N/mm") => (value / NEWTONS * 25.4, places.saturating_sub(1), "lb/in"),
            (Self::Inch, "N") => (value / NEWTONS, places, "lbf"),
            _ => (value, places, unit),
        }
    }
}

/// Newtons of a pound-force.
const NEWTONS: f64 = 4.448_221_615_260_5;

/// A number with at most so many places, without noughts at its end; nought has no sign.
pub(crate) fn trimmed(value: f64, most: usize) -> String {
    let text = format!("{value:.most$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
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
        assert_eq!(Units::Metric.short_length(31.75), "31.75 mm");
        assert_eq!(Units::Inch.short_length(31.75), "1.25 in");
        assert_eq!(Units::Inch.short_length(30.0), "1.181 in");
        assert_eq!(Units::Inch.short_length(-0.001), "0 in");
        // Read as it is shown, it is the same to half a sixteenth.
        for tenths in 1000..9000_i32 {
            let mm = f64::from(tenths) / 10.0;
            let read = axlestand_quantity::Dimension::Length.parse(&Units::Inch.on_tape(mm)).unwrap().value;
            assert!((read - mm).abs() <= 25.4 / 32.0 + 1e-9, "{mm}: {read}");
        }
    }
    /// 1 mm is 0.039 370 in, 0.5 mm 0.019 685 in, 0.3 mm 0.011 811 in, 2 mm 0.078 740 in.
    #[test]
    fn an_uncertainty_has_two_figures_at_most() {
        for (mm, metric, inch) in [
            (1.0, "1 mm", "0.04 in"),
            (0.5, "0.5 mm", "0.02 in"),
            (0.3, "0.3 mm", "0.012 in"),
            (2.0, "2 mm", "0.08 in"),
            (0.123, "0.12 mm", "0.005 in"),
            (40.0, "40 mm", "1.6 in"),
            (0.0, "0 mm", "0 in"),
        ] {
            assert_eq!(Units::Metric.uncertainty(mm), metric);
            assert_eq!(Units::Inch.uncertainty(mm), inch);
        }
    }

    /// 1 lb·ft is 1.355 818 N·m (NIST SP 811, B.8): 110 N·m are 81.1, 50 N·m are 36.9, 9 N·m are 6.64.
    #[test]
    fn a_recorded_torque_keeps_what_was_typed() {
        for (typed, inch) in [
            ("110 N·m", "81 lb·ft (110 N·m)"),
            ("50 N·m + 90°", "37 lb·ft + 90° (50 N·m + 90°)"),
            ("9 N·m", "6.6 lb·ft (9 N·m)"),
            ("81 lb·ft", "81 lb·ft"),
            ("soup", "soup"),
        ] {
            assert_eq!(Units::Inch.recorded(typed), inch);
            assert_eq!(Units::Metric.recorded(typed), typed);
        }
    }

    /// By hand: 28 N/mm · 25.4 / 4.448 221 615 260 5 = 159.884 lb/in; 3589 N are 806.8 lbf.
    #[test]
    fn rates_and_forces_go_with_inches() {
        let shown = |(value, places, unit): (f64, usize, &str)| format!("{value:.places$} {unit}");
        assert_eq!(shown(Units::Inch.figure_in(28.0, 1, "N/mm")), "160 lb/in");
        assert_eq!(shown(Units::Inch.figure_in(28.0, 2, "N/mm")), "159.9 lb/in");
        assert_eq!(shown(Units::Inch.figure_in(3589.0, 0, "N")), "807 lbf");
        assert_eq!(shown(Units::Metric.figure_in(28.0, 1, "N/mm")), "28.0 N/mm");
        assert_eq!(Units::Inch.pitch(1.5), "1.5 mm (0.059 in)");
    }
}
