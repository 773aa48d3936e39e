//! Expected minutes as they are shown.

/// Minutes to a tenth; a sum of nothing is nought without a sign.
pub(crate) fn shown(minutes: f64) -> f64 {
    (minutes * 10.0).round() / 10.0 + 0.0
}

/// Minutes as hours and minutes: `7 h 40`, `25 min`.
#[must_use]
pub fn hours(minutes: f64) -> String {
    let whole = minutes.round().max(0.0) as u64;
    match (whole / 60, whole % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest:02}"),
    }
}

/// Minutes rounded to what a forecast is worth: half hours from three hours on, else ten minutes.
#[must_use]
pub fn about(minutes: f64) -> String {
    let step = if minutes >= 180.0 { 30.0 } else { 10.0 };
    hours(((minutes / step).round() * step).max(step))
}

#[cfg(test)]
mod tests {
    use super::{about, hours};

    #[test]
    fn they_are_said_plainly() {
        assert_eq!(
            [hours(25.4), hours(60.0), hours(460.0), hours(f64::NAN)],
            ["25 min", "1 h", "7 h 40", "0 min"]
        );
        assert_eq!([about(4.0), about(172.0), about(200.0)], ["10 min", "2 h 50", "3 h 30"]);
    }
}
