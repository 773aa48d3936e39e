//! Expected minutes as they are shown.

/// Minutes to a tenth; a sum of nothing is nought without a sign.
pub(crate) fn shown(minutes: f64) -> f64 {
    (minutes * 10.0).round() / 10.0 + 0.0
}
