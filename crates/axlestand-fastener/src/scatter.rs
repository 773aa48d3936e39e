//! How much preload scatters: by method, in a sample, in a joint of several bolts.

use std::sync::LazyLock;

use axlestand_quantity::{Force, Length, Torque};

use crate::saturate;
use crate::table::{Row, Table};

/// The table as text.
pub(crate) const TEXT: &str = include_str!("../../../data/scatter.csv");

static ROWS: LazyLock<Vec<ScatterRow>> = LazyLock::new(|| Table::read(TEXT, read));

/// How a fastener is tightened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Method {
    /// By feel.
    Feel,
    /// Torque wrench, dry thread.
    TorqueDry,
    /// Torque wrench, lubricated thread.
    TorqueLubricated,
    /// Power driver with controlled torque.
    PrecisionDriver,
    /// Impact wrench.
    Impact,
    /// A turn after snug.
    TurnOfNut,
    /// Angle or yield control.
    YieldOrAngle,
    /// Load-indicating washer.
    LoadWasher,
    /// Measured stretch.
    Elongation,
    /// Ultrasonic stretch.
    Ultrasonic,
    /// Hydraulic tensioner.
    Hydraulic,
}

/// One printed figure: half-width over mean, as a share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScatterRow {
    /// The method.
    pub method: Method,
    /// Lower printed half-width, 0.25 for ±25 %.
    pub low: f64,
    /// Higher printed half-width.
    pub high: f64,
    /// Source id, as in SOURCES.md.
    pub source: &'static str,
}

/// Why a scatter figure was refused.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ScatterError {
    /// A half-width outside 0 to 1.
    #[error("a scatter must lie from 0 up to below 1 of the mean; {0} does not")]
    HalfWidth(f64),
    /// A tightening factor under 1.
    #[error("a tightening factor is the greatest preload over the least, so at least 1; {0} is not")]
    Factor(f64),
    /// Too few or impossible preloads.
    #[error("a sample needs at least two preloads above nought")]
    Sample,
    /// A number of bolts of nought, or a share outside 0 to 1.
    #[error("{0} is out of range here")]
    OutOfRange(f64),
}

impl Method {
    /// The printed figures for this method.
    pub fn rows(self) -> impl Iterator<Item = ScatterRow> {
        ROWS.iter().copied().filter(move |row| row.method == self)
    }

    /// Smallest and largest printed half-width, as shares of the mean.
    #[must_use]
    pub fn half_width(self) -> Option<(f64, f64)> {
        let low = self.rows().map(|row| row.low).reduce(f64::min)?;
        let high = self.rows().map(|row| row.high).reduce(f64::max)?;
        Some((low, high))
    }
}

/// Tightening factor αA = Fmax/Fmin = (1 + s)/(1 − s) for a half-width `s` of the mean (VDI 2230).
///
/// # Errors
/// [`ScatterError::HalfWidth`] for `s` outside 0 to 1.
pub fn tightening_factor(half_width: f64) -> Result<f64, ScatterError> {
    if (0.0..1.0).contains(&half_width) {
        Ok((1.0 + half_width) / (1.0 - half_width))
    } else {
        Err(ScatterError::HalfWidth(half_width))
    }
}

/// Half-width of the mean for a tightening factor: (αA − 1)/(αA + 1).
///
/// # Errors
/// [`ScatterError::Factor`] for a factor under 1.
pub fn half_width_of(factor: f64) -> Result<f64, ScatterError> {
    if factor.is_finite() && factor >= 1.0 {
        Ok((factor - 1.0) / (factor + 1.0))
    } else {
        Err(ScatterError::Factor(factor))
    }
}

/// Least preload where the greatest is `greatest`: Fmin = Fmax/αA.
///
/// # Errors
/// [`ScatterError::Factor`] for a factor under 1.
pub fn least_preload(greatest: Force, factor: f64) -> Result<Force, ScatterError> {
    half_width_of(factor)?;
    Ok(saturate::force(greatest.n() / factor))
}

/// Least and greatest preload around a nominal one: F·(1 − s)·(1 − r) and F·(1 + s), with the
/// scatter `s` and the share `r` lost to settling (NASA NSTS 08307: 2 to 10 %, take 5 %).
///
/// # Errors
/// [`ScatterError`] for shares outside 0 to 1.
pub fn preload_limits(
    nominal: Force,
    half_width: f64,
    relaxation: f64,
) -> Result<(Force, Force), ScatterError> {
    tightening_factor(half_width)?;
    if !(0.0..1.0).contains(&relaxation) {
        return Err(ScatterError::OutOfRange(relaxation));
    }
    let least = nominal.n() * (1.0 - half_width) * (1.0 - relaxation);
    Ok((saturate::force(least), saturate::force(nominal.n() * (1.0 + half_width))))
}

/// Least total preload of `bolts` equal bolts: n·mean·(1 − Γ/√n) (NASA-STD-5020B): single bolts
/// scatter more than their sum.
///
/// # Errors
/// [`ScatterError`] for no bolts or a scatter outside 0 to 1.
pub fn least_total(mean: Force, half_width: f64, bolts: u32) -> Result<Force, ScatterError> {
    tightening_factor(half_width)?;
    if bolts == 0 {
        return Err(ScatterError::OutOfRange(0.0));
    }
    let n = f64::from(bolts);
    Ok(saturate::force(n * mean.n() * (1.0 - half_width / n.sqrt())))
}

/// Preloads measured at one torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PreloadSample {
    mean_n: f64,
    deviation_n: f64,
    least_n: f64,
    greatest_n: f64,
}

impl PreloadSample {
    /// Mean and standard deviation (n − 1) of measured preloads.
    ///
    /// # Errors
    /// [`ScatterError::Sample`] for fewer than two preloads, or one of nought or less.
    pub fn new(preloads: &[Force]) -> Result<Self, ScatterError> {
        let count = preloads.len() as f64;
        if count < 2.0 || preloads.iter().any(|f| f.n() <= 0.0) {
            return Err(ScatterError::Sample);
        }
        let mean_n = preloads.iter().map(|f| f.n() / count).sum::<f64>();
        let squares = preloads.iter().map(|f| ((f.n() - mean_n) / mean_n).powi(2)).sum::<f64>();
        let extreme = |pick: fn(f64, f64) -> f64| preloads.iter().map(|f| f.n()).fold(mean_n, pick);
        Ok(Self {
            mean_n,
            deviation_n: mean_n * (squares / (count - 1.0)).sqrt(),
            least_n: extreme(f64::min),
            greatest_n: extreme(f64::max),
        })
    }

    /// Mean preload.
    #[must_use]
    pub fn mean(self) -> Force {
        saturate::force(self.mean_n)
    }

    /// Standard deviation of one preload.
    #[must_use]
    pub fn deviation(self) -> Force {
        saturate::force(self.deviation_n)
    }

    /// How far the greatest lies over the mean, as a share.
    #[must_use]
    pub fn above(self) -> f64 {
        self.greatest_n / self.mean_n - 1.0
    }

    /// How far the least lies under the mean, as a share.
    #[must_use]
    pub fn below(self) -> f64 {
        1.0 - self.least_n / self.mean_n
    }

    /// Scatter with a tolerance factor, as a share of the mean (2.145 for 90 % at 95 % confidence and
    /// 30 bolts, NASA-STD-5020B, A.2).
    #[must_use]
    pub fn scatter(self, factor: f64) -> f64 {
        factor * self.deviation_n / self.mean_n
    }

    /// Nut factor from the mean preload and the torque that gave it.
    ///
    /// # Errors
    /// As [`crate::tightening::nut_factor_of`].
    pub fn nut_factor(self, torque: Torque, diameter: Length) -> Result<f64, crate::TighteningError> {
        crate::tightening::nut_factor_of(torque, self.mean(), diameter)
    }
}

pub(crate) fn read(row: Row<'_>) -> Option<ScatterRow> {
    let method = match row.text("method")? {
        "feel" => Method::Feel,
        "torque-dry" => Method::TorqueDry,
        "torque-lubricated" => Method::TorqueLubricated,
        "precision-driver" => Method::PrecisionDriver,
        "impact" => Method::Impact,
        "turn-of-nut" => Method::TurnOfNut,
        "yield-or-angle" => Method::YieldOrAngle,
        "load-washer" => Method::LoadWasher,
        "elongation" => Method::Elongation,
        "ultrasonic" => Method::Ultrasonic,
        "hydraulic" => Method::Hydraulic,
        _ => return None,
    };
    let share = |column: &str| row.number(column).map(|percent| percent / 100.0);
    Some(ScatterRow {
        method,
        low: share("half_low")?,
        high: share("half_high")?,
        source: row.text("source")?,
    })
}
