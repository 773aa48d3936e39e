//! The normal and the χ² distribution, both ways.

use crate::wheel_angles::normal;

/// The normal quantile: below which value a share `p` of a standard normal distribution lies. ±∞ at
/// the ends and beyond, NaN for NaN.
///
/// Newton's method with Halley's term on Φ(z) = p, from the first term of the tail's expansion; good to
/// rounding.
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    if p.is_nan() {
        return f64::NAN;
    }
    if p <= 0.0 || p >= 1.0 {
        return if p <= 0.0 { f64::NEG_INFINITY } else { f64::INFINITY };
    }
    if p > 0.5 {
        return -normal_quantile(1.0 - p);
    }
    // Hastings' start (`a-s-1964`, 26.2.22), good to 0.003.
    let t = (-2.0 * p.ln()).sqrt();
    let mut z = (2.30753 + 0.27061 * t) / (1.0 + t * (0.99229 + t * 0.04481)) - t;
    for _ in 0..4 {
        let density = (-z * z / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt();
        let newton = (normal(z) - p) / density;
        z -= newton / (1.0 + newton * z / 2.0);
    }
    z
}

/// The χ² distribution function with `freedom` degrees of freedom, not necessarily a whole number:
/// the share below `x`. Nought below nought; one for no freedom.
///
/// The regularised incomplete gamma function P(ν/2, x/2), by its series below ν/2 + 1 and its
/// continued fraction above (`a-s-1964`, 6.5.29 and 6.5.31).
#[must_use]
pub fn chi_squared(x: f64, freedom: f64) -> f64 {
    let (a, x) = (freedom / 2.0, x / 2.0);
    if x <= 0.0 || x.is_nan() || a.is_nan() {
        return 0.0;
    }
    if a <= 0.0 {
        return 1.0;
    }
    let front = (a * x.ln() - x - ln_gamma(a)).exp();
    if x < a + 1.0 {
        let (mut term, mut sum, mut n) = (1.0 / a, 1.0 / a, a);
        while term > 1e-17 * sum {
            n += 1.0;
            term *= x / n;
            sum += term;
        }
        return (front * sum).min(1.0);
    }
    // Lentz's evaluation of the continued fraction.
    let mut b = x + 1.0 - a;
    let (mut c, mut d) = (1e300, 1.0 / b);
    let mut fraction = d;
    for n in 1..10_000 {
        let n = f64::from(n);
        let numerator = n * (a - n);
        b += 2.0;
        d = 1.0 / (numerator * d + b);
        c = b + numerator / c;
        fraction *= c * d;
        if (c * d - 1.0).abs() < 1e-16 {
            break;
        }
    }
    1.0 - front * fraction
}

/// The value below which a share `p` of a χ² distribution lies, by halving; ∞ for p of one and more.
#[must_use]
pub fn chi_squared_quantile(p: f64, freedom: f64) -> f64 {
    if p.is_nan() || p <= 0.0 || freedom <= 0.0 || freedom.is_nan() {
        return 0.0;
    }
    if p >= 1.0 || freedom.is_infinite() {
        return f64::INFINITY;
    }
    let (mut low, mut high) = (0.0, freedom.max(1.0));
    while chi_squared(high, freedom) < p && high < 1e12 {
        high *= 2.0;
    }
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if chi_squared(middle, freedom) < p { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}

/// ln Γ by Stirling's series (`a-s-1964`, 6.1.41) after raising the argument above 25.
fn ln_gamma(mut a: f64) -> f64 {
    let mut shift = 0.0;
    while a < 25.0 {
        shift += a.ln();
        a += 1.0;
    }
    let s = 1.0 / (a * a);
    let series = (1.0 / 12.0 - s * (1.0 / 360.0 - s * (1.0 / 1260.0 - s / 1680.0))) / a;
    (a - 0.5) * a.ln() - a + 0.5 * (2.0 * std::f64::consts::PI).ln() + series - shift
}

#[cfg(test)]
mod tests {
    use super::{chi_squared, chi_squared_quantile, ln_gamma, normal, normal_quantile};

    #[test]
    fn quantiles_of_the_tables() {
        // Normal quantiles: any table, from memory.
        for (p, z) in [(0.975, 1.959_963_985), (0.8, 0.841_621_234), (0.9995, 3.290_526_731), (0.5, 0.0)] {
            assert!((normal_quantile(p) - z).abs() < 1e-8, "{p}: {}", normal_quantile(p));
            assert!((normal_quantile(1.0 - p) + z).abs() < 1e-8);
        }
        // χ² quantiles: any table, from memory.
        for (p, n, x) in [(0.95, 1.0, 3.841), (0.95, 10.0, 18.307), (0.05, 10.0, 3.940), (0.999, 4.0, 18.467)]
        {
            assert!((chi_squared_quantile(p, n) - x).abs() < 6e-4, "{p} {n}");
        }
        assert!((chi_squared(3.0, 2.0) - (1.0 - (-1.5f64).exp())).abs() < 1e-13, "two are an exponential");
        assert!((ln_gamma(0.5) - std::f64::consts::PI.sqrt().ln()).abs() < 1e-13);
    }

    /// For an even number of degrees of freedom the share above x is that of a Poisson count below
    /// ν/2 at mean x/2; for an odd one each two more take x^(ν/2) e^(−x/2) / (2^(ν/2) Γ(ν/2 + 1)) away
    /// from erf √(x/2) (`a-s-1964`, 26.4.4 and 26.4.8).
    #[test]
    fn chi_squared_is_the_sum_of_its_closed_form() {
        for x in [0.01, 0.4, 1.5, 3.0, 5.0, 9.0, 20.0, 33.0, 80.0] {
            let half: f64 = x / 2.0;
            let (mut even, mut term) = (1.0, (-half).exp());
            let mut odd = 2.0 * normal(x.sqrt()) - 1.0;
            let mut next = (-half).exp() * half.sqrt() * 2.0 / std::f64::consts::PI.sqrt();
            assert!((chi_squared(x, 1.0) - odd).abs() < 1e-13, "{x}");
            for k in 1..40 {
                let k = f64::from(k);
                even -= term;
                term *= half / k;
                odd -= next;
                next *= half / (k + 0.5);
                assert!((chi_squared(x, 2.0 * k) - even).abs() < 1e-13, "{x} {k}");
                assert!((chi_squared(x, 2.0 * k + 1.0) - odd).abs() < 1e-13, "{x} {k}");
            }
        }
    }

    #[test]
    fn the_gamma_function_is_the_factorial() {
        let mut sum = 0.0;
        for n in 1..60 {
            assert!((ln_gamma(f64::from(n)) - sum).abs() < 1e-13 * (1.0 + sum), "{n}");
            sum += f64::from(n).ln();
        }
    }

    #[test]
    fn quantiles_are_the_way_back() {
        for p in [1e-12, 1e-6, 1e-3, 0.02, 0.2, 0.4999] {
            let z = normal_quantile(p);
            assert!((normal(z) / p - 1.0).abs() < 1e-9 && (normal_quantile(1.0 - p) + z).abs() < 1e-4, "{p}");
            for freedom in [0.5, 1.0, 7.0, 40.0] {
                for p in [p, 1.0 - p] {
                    let x = chi_squared_quantile(p, freedom);
                    assert!((chi_squared(x, freedom) - p).abs() < 1e-12, "{p} {freedom}");
                }
            }
        }
        assert!(
            chi_squared_quantile(1.0, 3.0).is_infinite()
                && chi_squared_quantile(0.5, f64::INFINITY).is_infinite()
        );
        for none in [chi_squared_quantile(0.0, 3.0), chi_squared_quantile(0.5, 0.0), chi_squared(0.0, 3.0)] {
            assert!(none.abs() < 1e-300, "{none}");
        }
        assert!((chi_squared(1.0, 0.0) - 1.0).abs() < 1e-300);
    }

    /// The normal distribution function against the integral of its density by Simpson's rule, and its
    /// two series where they meet.
    #[test]
    fn the_normal_distribution_is_the_integral_of_its_density() {
        let density = |z: f64| (-z * z / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt();
        for z in [0.3, 1.0, 2.5, 4.2, 4.3, 6.0] {
            let (steps, mut sum) = (2000, 0.0);
            let h = z / f64::from(steps);
            for i in 0..steps {
                let a = f64::from(i) * h;
                sum += h / 6.0 * (density(a) + 4.0 * density(a + h / 2.0) + density(a + h));
            }
            assert!((normal(z) - 0.5 - sum).abs() < 1e-13, "{z}");
            assert!((normal(-z) + normal(z) - 1.0).abs() < 1e-15, "{z}");
        }
        assert!((normal(0.0) - 0.5).abs() < 1e-16);
    }

    #[test]
    fn nothing_breaks_at_the_edges() {
        assert!(normal_quantile(f64::NAN).is_nan());
        assert!(normal_quantile(0.0).is_infinite() && normal_quantile(1e-300).is_finite());
        for x in [f64::NAN, -1.0, 0.0, 1e-300, 1e6, f64::INFINITY] {
            for n in [f64::NAN, -1.0, 0.0, 1e-3, 1.0, 1e4] {
                let p = chi_squared(x, n);
                assert!((0.0..=1.0).contains(&p) || p.is_nan(), "{x} {n}: {p}");
            }
        }
        assert!(chi_squared_quantile(0.5, 1e-3) >= 0.0);
    }
}
