//! How lengths are said: in millimetres or in inches.

use crate::unit::INCH_MM;

/// The unit in which lengths are said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Lengths {
    /// Millimetres.
    #[default]
    Millimetres,
    /// Inches, with two places more than millimetres have.
    Inches,
}

impl Lengths {
    /// A length in mm with so many places, ready to be said: `(23.1, 1, "mm")`, `(0.91, 3, "in")`.
    #[must_use]
    pub fn figure(self, mm: f64, places: usize) -> (f64, usize, &'static str) {
        match self {
            Self::Millimetres => (mm, places, "mm"),
            Self::Inches => (mm / INCH_MM, places + 2, "in"),
        }
    }

    /// A length in mm with so many places of a millimetre: `23 mm`, `0.91 in`. Nought has no sign.
    #[must_use]
    pub fn said(self, mm: f64, places: usize) -> String {
        let (value, places, unit) = self.figure(mm, places);
        // Nought has no sign, whatever is rounded to it.
        let rounded = format!("{value:.places$}");
        let is_nought = rounded.chars().all(|c| matches!(c, '-' | '0' | '.'));
        format!("{} {unit}", if is_nought { rounded.trim_start_matches('-') } else { &rounded })
    }

    /// The same with its sign: `+30 mm`, `-1.18 in`.
    #[must_use]
    pub fn signed(self, mm: f64, places: usize) -> String {
        let (value, places, unit) = self.figure(mm, places);
        format!("{value:+.places$} {unit}")
    }
}

#[cfg(test)]
mod tests {
    use super::Lengths;

    /// 1 in is 25.4 mm exactly (NIST SP 811, B.8).
    #[test]
    fn lengths_are_said_in_either_unit() {
        assert_eq!(Lengths::Millimetres.said(23.114, 1), "23.1 mm");
        assert_eq!(Lengths::Inches.said(-23.114, 0), "-0.91 in");
        assert_eq!(Lengths::Inches.said(-0.1, 0), "0.00 in");
        assert_eq!(Lengths::Inches.said(25.4, 1), "1.000 in");
        assert_eq!(Lengths::Millimetres.signed(30.0, 0), "+30 mm");
        assert_eq!(Lengths::Inches.signed(-63.5, 0), "-2.50 in");
    }
}
