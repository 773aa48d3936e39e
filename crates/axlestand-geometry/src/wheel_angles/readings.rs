//! Run-out, floor and the decision whether a reading is within tolerance.

use axlestand_quantity::{Angle, Length, NotFinite};

/// The angle free of the rim's run-out: the mean of two readings half a turn of the wheel apart.
///
/// # Errors
/// [`NotFinite`] never, for ordinary readings.
pub fn without_run_out(first: Angle, half_turn_later: Angle) -> Result<Angle, NotFinite> {
    Angle::from_deg((first.deg() + half_turn_later.deg()) / 2.0)
}

/// Cambers of left and right wheel, read against gravity on a floor where the left contact point
/// is higher by `left_higher` over `track`: γ_L = r_L + β, γ_R = r_R − β, β = atan(h/t).
///
/// # Errors
/// [`NotFinite`] for a track of nought.
pub fn on_sloped_floor(
    left: Angle,
    right: Angle,
    left_higher: Length,
    track: Length,
) -> Result<[Angle; 2], NotFinite> {
    let slope = Angle::from_rad((left_higher.mm() / track.mm()).atan())?;
    Ok([left + slope, right - slope])
}

/// Probability that the true value is within `lower` to `upper` given the estimate `y` with
/// standard uncertainty `u`, normally distributed: Φ((upper − y)/u) − Φ((lower − y)/u) (JCGM
/// 106:2012, 7.2). With u = 0 it is 0 or 1.
#[must_use]
pub fn conformance_probability(y: f64, u: f64, lower: f64, upper: f64) -> f64 {
    if u <= 0.0 {
        return if (lower..=upper).contains(&y) { 1.0 } else { 0.0 };
    }
    normal((upper - y) / u) - normal((lower - y) / u)
}

/// The band in which an estimate is accepted with the guard `factor`·u inside the tolerance (JCGM
/// 106:2012, 8.3.2; factor 2: guard = expanded uncertainty). `None` where nothing is left: it
/// cannot be proven with this method.
#[must_use]
pub fn guarded_band(lower: f64, upper: f64, u: f64, factor: f64) -> Option<(f64, f64)> {
    let (from, to) = (lower + factor * u, upper - factor * u);
    (from <= to).then_some((from, to))
}

/// The standard normal distribution function, by the series of erf below 3 and the continued
/// fraction of erfc above (Abramowitz and Stegun, 7.1.5 and 7.1.14).
pub(crate) fn normal(z: f64) -> f64 {
    let x = z.abs() / std::f64::consts::SQRT_2;
    let upper = if x < 3.0 {
        let (mut term, mut sum, mut n) = (x, x, 0.0);
        while term.abs() > 1e-17 * sum.abs() && n < 200.0 {
            n += 1.0;
            term *= -x * x / n;
            sum += term / (2.0 * n + 1.0);
        }
        (1.0 - 2.0 / std::f64::consts::PI.sqrt() * sum) / 2.0
    } else {
        let mut fraction = x;
        let mut n = 60.0;
        while n > 0.0 {
            fraction = x + n / 2.0 / fraction;
            n -= 1.0;
        }
        (-x * x).exp() / std::f64::consts::PI.sqrt() / fraction / 2.0
    };
    if z > 0.0 { 1.0 - upper } else { upper }
}
