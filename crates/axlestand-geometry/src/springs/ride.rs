//! Rates at the wheel, ride frequency and damping.

/// Wheel rate, N/mm: k_w = k·MR² + F_s·dMR/dz, from the spring's rate (N/mm), its motion ratio, its
/// force (N) and the gradient of the motion ratio with travel (1/mm). The second term is the change
/// of leverage under the standing force; leaving it out misjudges a strut by a tenth.
#[must_use]
pub fn wheel_rate(rate: f64, motion_ratio: f64, spring_force: f64, ratio_gradient: f64) -> f64 {
    rate * motion_ratio * motion_ratio + spring_force * ratio_gradient
}

/// Ride rate of wheel and tyre in series, N/mm; the wheel rate itself without a tyre rate. `None`
/// where a rate is not positive.
#[must_use]
pub fn ride_rate(wheel_rate: f64, tyre_rate: Option<f64>) -> Option<f64> {
    let rate = tyre_rate.map_or(wheel_rate, |tyre| wheel_rate * tyre / (wheel_rate + tyre));
    (wheel_rate > 0.0 && tyre_rate.is_none_or(|t| t > 0.0) && rate.is_finite()).then_some(rate)
}

/// Natural frequency in Hz of a sprung mass (kg) on a rate (N/mm): f = √(k/m) / 2π. `None` where
/// either is not positive.
#[must_use]
pub fn frequency_hz(rate: f64, sprung_mass: f64) -> Option<f64> {
    let f = (rate * 1000.0 / sprung_mass).sqrt() / std::f64::consts::TAU;
    (rate > 0.0 && sprung_mass > 0.0 && f.is_finite()).then_some(f)
}

/// Damping ratio: ζ = c·MR² / (2 √(k_w m)), from the damper's rate (N·s/m) and motion ratio, the
/// wheel rate (N/mm) and the sprung mass (kg). `None` where rate or mass is not positive.
#[must_use]
pub fn damping_ratio(damper_rate: f64, motion_ratio: f64, wheel_rate: f64, sprung_mass: f64) -> Option<f64> {
    let critical = 2.0 * (wheel_rate * 1000.0 * sprung_mass).sqrt();
    let ratio = damper_rate * motion_ratio * motion_ratio / critical;
    (wheel_rate > 0.0 && sprung_mass > 0.0 && ratio.is_finite()).then_some(ratio)
}
