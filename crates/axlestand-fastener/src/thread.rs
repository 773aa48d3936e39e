//! Threads: which exist, how they are written, and their geometry.
//!
//! A [`Thread`] is a pair of diameter and pitch that a standard lists, with its hand: metric after
//! ISO 261 (the shorter ISO 262 is part of it), inch after the Unified series of ASME B1.1. A pair
//! that no standard lists is refused with the ones that exist.
//!
//! Formulas: ISO 68-1 basic profile (60°, H = √3/2·P); stress area after ISO 898-1 for metric and
//! after the inch form printed in NASA NSTS 08307 Rev. A, appendix A, for Unified threads. The two
//! stress areas average the pitch diameter with *different* root diameters, so their constants
//! (0.938 194 and 0.9743) stay apart.

pub(crate) mod list;
mod parse;

use std::fmt;

use axlestand_quantity::{Angle, Length};

use crate::saturate;

pub use parse::ThreadError;

/// Pitch diameter under the nominal one, in pitches (ISO 68-1: 2·3/8·H).
const PITCH_DIAMETER: f64 = 0.649_519;
/// Basic minor diameter under the nominal one, in pitches (ISO 68-1: 2·5/8·H).
const MINOR_DIAMETER: f64 = 1.082_532;
/// Rounded root of a metric bolt under the nominal diameter, in pitches (d1 − H/6).
const METRIC_ROOT: f64 = 1.226_869;
/// Sharp root of an inch bolt under the nominal diameter, in pitches (Shigley, 9th edition, p. 413).
const INCH_ROOT: f64 = 1.299_038;
/// Metric stress diameter under the nominal one, in pitches (ISO 898-1).
const METRIC_STRESS: f64 = 0.938_194;
/// Inch stress diameter under the nominal one, in pitches (NASA NSTS 08307, appendix A).
const INCH_STRESS: f64 = 0.9743;
/// Millimetres in an inch, exactly.
pub(crate) const INCH_MM: f64 = 25.4;

/// The series a thread belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Series {
    /// ISO metric, the coarse pitch of its diameter.
    MetricCoarse,
    /// ISO metric, a finer pitch than the coarse one (or a diameter without a coarse pitch).
    MetricFine,
    /// Unified coarse.
    Unc,
    /// Unified fine.
    Unf,
    /// Unified extra fine.
    Unef,
    /// Unified special.
    Uns,
}

/// Which way a thread turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub enum Hand {
    /// Clockwise tightens.
    #[default]
    Right,
    /// Anticlockwise tightens; written with `LH`.
    Left,
}

/// Diameter and pitch in whole numbers, so that threads compare and hash exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
enum Size {
    /// Hundredths of a millimetre.
    Metric { diameter: u32, pitch: u32 },
    /// Ten-thousandths of an inch, threads per inch, and the size as it is written.
    Inch { diameter: u32, per_inch: u32, written: &'static str },
}

/// A standard thread: diameter, pitch and hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Thread {
    size: Size,
    series: Series,
    hand: Hand,
}

impl Thread {
    /// Reads a standard designation: `M14x1.5`, `M14×1.5`, `m 14 x 1,5`, `M12` (coarse pitch),
    /// `1/2-20`, `1/2-20 UNF`, `7/16-14 UNC`, `1/2 UNF`, `#10-32`. A tolerance class (`-6g`,
    /// `-2A`) may follow and is not kept; `LH` makes the thread left-hand.
    ///
    /// # Errors
    /// [`ThreadError`], which says what to write and which sizes and pitches exist.
    pub fn parse(text: &str) -> Result<Self, ThreadError> {
        parse::thread(text)
    }

    /// Every thread in the tables, right-hand, by system and size.
    pub fn all() -> impl Iterator<Item = Self> {
        list::rows().iter().map(|row| row.thread)
    }

    /// Nominal (outer) diameter d.
    #[must_use]
    pub fn diameter(self) -> Length {
        saturate::length(self.diameter_mm())
    }

    /// Pitch P: the way from one thread to the next. Every thread here has a single start, so one
    /// turn moves a nut by P.
    #[must_use]
    pub fn pitch(self) -> Length {
        saturate::length(self.pitch_mm())
    }

    /// Threads per inch; `None` for metric threads.
    #[must_use]
    pub fn threads_per_inch(self) -> Option<u32> {
        match self.size {
            Size::Metric { .. } => None,
            Size::Inch { per_inch, .. } => Some(per_inch),
        }
    }

    /// Pitch diameter d2 = d − 0.649 519 P (ISO 68-1, ISO 724).
    #[must_use]
    pub fn pitch_diameter(self) -> Length {
        saturate::length(self.less_pitches(PITCH_DIAMETER))
    }

    /// Basic minor diameter d1 = d − 1.082 532 P (ISO 68-1, ISO 724): the bore of the nut, not the
    /// root of the bolt.
    #[must_use]
    pub fn minor_diameter(self) -> Length {
        saturate::length(self.less_pitches(MINOR_DIAMETER))
    }

    /// Root diameter of the bolt: d3 = d − 1.226 869 P with its rounded root for metric threads,
    /// dr = d − 1.299 038 P for inch threads (Shigley, 9th edition, p. 413).
    #[must_use]
    pub fn root_diameter(self) -> Length {
        saturate::length(self.less_pitches(if self.is_metric() { METRIC_ROOT } else { INCH_ROOT }))
    }

    /// Diameter d0 of a plain bar with the thread's stress area.
    #[must_use]
    pub fn stress_diameter(self) -> Length {
        saturate::length(self.less_pitches(if self.is_metric() { METRIC_STRESS } else { INCH_STRESS }))
    }

    /// Stress area in mm²: π/4·(d − 0.938 194 P)² for metric (ISO 898-1), π/4·(D − 0.9743/n)² for
    /// inch threads (NASA NSTS 08307 Rev. A, appendix A).
    #[must_use]
    pub fn stress_area_mm2(self) -> f64 {
        let d0 = self.stress_diameter().mm();
        std::f64::consts::FRAC_PI_4 * d0 * d0
    }

    /// The stress area as printed in a standard or its reprint, in mm², where one was read.
    /// `None` means that [`Thread::stress_area_mm2`] is computed and nothing more.
    #[must_use]
    pub fn published_stress_area_mm2(self) -> Option<f64> {
        let area = list::find(self)?.published_area?;
        Some(if self.is_metric() { area } else { area * INCH_MM * INCH_MM })
    }

    /// Lead angle λ at the pitch diameter: tan λ = P/(π·d2), single start (Shigley, chapter 8).
    #[must_use]
    pub fn lead_angle(self) -> Angle {
        let slope = self.pitch_mm() / (std::f64::consts::PI * self.pitch_diameter().mm());
        saturate::angle(slope.atan().to_degrees())
    }

    /// The series.
    #[must_use]
    pub fn series(self) -> Series {
        self.series
    }

    /// Right-hand or left-hand.
    #[must_use]
    pub fn hand(self) -> Hand {
        self.hand
    }

    /// The same thread with another hand.
    #[must_use]
    pub fn with_hand(self, hand: Hand) -> Self {
        Self { hand, ..self }
    }

    /// Whether the thread is metric; otherwise it is an inch thread.
    #[must_use]
    pub fn is_metric(self) -> bool {
        matches!(self.size, Size::Metric { .. })
    }

    /// Source id of the table row, as in SOURCES.md; `memory` where the pair was not read anywhere.
    #[must_use]
    pub fn source(self) -> &'static str {
        list::find(self).map_or("memory", |row| row.source)
    }

    /// The pitches that the diameter comes with, coarse first.
    pub fn pitches_of_same_diameter(self) -> impl Iterator<Item = Self> {
        Self::all()
            .filter(move |other| {
                other.is_metric() == self.is_metric()
                    && (other.diameter_mm() - self.diameter_mm()).abs() < 1e-6
            })
            .map(move |other| other.with_hand(self.hand))
    }

    fn less_pitches(self, pitches: f64) -> f64 {
        self.diameter_mm() - pitches * self.pitch_mm()
    }

    pub(crate) fn diameter_mm(self) -> f64 {
        match self.size {
            Size::Metric { diameter, .. } => f64::from(diameter) / 100.0,
            Size::Inch { diameter, .. } => f64::from(diameter) / 10_000.0 * INCH_MM,
        }
    }

    pub(crate) fn pitch_mm(self) -> f64 {
        match self.size {
            Size::Metric { pitch, .. } => f64::from(pitch) / 100.0,
            Size::Inch { per_inch, .. } => INCH_MM / f64::from(per_inch.max(1)),
        }
    }
}

impl fmt::Display for Series {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::MetricCoarse => "metric coarse",
            Self::MetricFine => "metric fine",
            Self::Unc => "UNC",
            Self::Unf => "UNF",
            Self::Unef => "UNEF",
            Self::Uns => "UNS",
        })
    }
}

impl fmt::Display for Thread {
    /// `M14×1.5`, `1/2-20 UNF`, with `-LH` behind left-hand threads. The pitch is always printed,
    /// so that nobody has to know the coarse ones by heart.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hand = if self.hand == Hand::Left { "-LH" } else { "" };
        let text = match self.size {
            Size::Metric { .. } => format!("M{}×{}{hand}", self.diameter_mm(), self.pitch_mm()),
            Size::Inch { per_inch, written, .. } => {
                let sign = if written.contains('/') || written == "1" { "" } else { "#" };
                format!("{sign}{written}-{per_inch} {}{hand}", self.series)
            }
        };
        f.pad(&text)
    }
}

impl std::str::FromStr for Thread {
    type Err = ThreadError;

    /// The same as [`Thread::parse`].
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}
