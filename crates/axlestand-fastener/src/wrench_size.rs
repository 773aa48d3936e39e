//! Sizes of open-end, ring and socket wrenches, and where one stands in for another.
//!
//! Sizes are nominal widths across flats. A tool's own opening stands over its nominal size (0.06
//! to 0.22 mm at 7/16 in, 0.18 to 0.43 mm at 1 1/4 in, after the openings printed in ASME
//! B18.2.2), so a stand-in that is nominally equal still has play.
//!
//! No published rule says which near sizes may be swapped. The limits here are this project's own,
//! on nominal sizes, and 19 mm for 3/4 in and 8 mm for 5/16 in, which the trade swaps, pass them.

use std::fmt;
use std::sync::LazyLock;

use axlestand_quantity::Length;

use crate::saturate;
use crate::table::{Row, Table};
use crate::thread::INCH_MM;

/// The table as text.
pub(crate) const TEXT: &str = include_str!("../../../data/wrench_sizes.csv");

static SIZES: LazyLock<Vec<Published>> = LazyLock::new(|| Table::read(TEXT, read));

/// Sizes nearer than this are one size.
const SAME_MM: f64 = 0.005;
/// A tool may be this much smaller by name; try it before trusting it.
const TIGHTEST_MM: f64 = -0.06;
/// Up to this much over, tool and head are swapped freely.
const FITS_MM: f64 = 0.10;
/// Up to this much over, a six-point socket holds on sound corners of a head under 19 mm.
const LOOSE_SMALL_MM: f64 = 0.20;
/// The same from 19 mm on.
const LOOSE_LARGE_MM: f64 = 0.25;
/// Where the large limit begins.
const LARGE_HEAD_MM: f64 = 19.0;
/// Room for the arithmetic on fractions of an inch.
const ROUNDING_MM: f64 = 1e-6;

/// Why a wrench size was refused. Every message says what to type.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WrenchSizeError {
    /// Nothing was typed.
    #[error("no wrench size was given; write it like 21 mm, hex 21 or 13/16 in")]
    Empty,
    /// Not the form of a size.
    #[error("'{text}' is not a wrench size; write it like 21 mm, hex 21 or 13/16 in")]
    NotUnderstood {
        /// What was typed.
        text: String,
    },
    /// A small whole number that could be inches or millimetres.
    #[error("'{text}' could be millimetres or inches; add mm or in")]
    WhichUnit {
        /// What was typed.
        text: String,
    },
    /// No tool of this size is on sale.
    #[error("no wrench is made in {text}; the nearest are {nearest}")]
    NotMade {
        /// What was typed.
        text: String,
        /// The nearest sizes that are made.
        nearest: String,
    },
}

/// A nominal size of wrench or socket that is on sale, metric or inch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct WrenchSize {
    /// Thousandths of a millimetre or hundred-thousandths of an inch.
    size: Nominal,
    written: &'static str,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Nominal {
    Metric(u32),
    Inch(u32),
}

pub(crate) struct Published {
    size: WrenchSize,
    opening_mm: Option<(f64, f64)>,
    source: &'static str,
}

/// How a tool of one nominal width sits on a head of another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Fit {
    /// The same size.
    Exact,
    /// Swapped freely; a tool that is nominally smaller (down to 0.06 mm) may not go on, so try it.
    Fits,
    /// Only with a six-point socket on sound corners; may round the head.
    Loose,
    /// Does not go on, or turns on the head.
    No,
}

/// A size that can stand in for another one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandIn {
    /// The tool.
    pub size: WrenchSize,
    /// How it sits: [`Fit::Fits`] or [`Fit::Loose`].
    pub fit: Fit,
    /// Tool less head; negative where the tool is the smaller one by name and needs a try-fit.
    pub excess: Length,
    /// Whether the tool's row is remembered instead of read.
    pub from_memory: bool,
}

impl WrenchSize {
    /// Reads `21 mm`, `hex 21`, `AF 21`, `21`, `13/16 in`, `13/16`, `13/16"`, `1 1/8 in`,
    /// `1-1/8 in`. Without a unit a fraction is in inches and a whole number from 5 on in
    /// millimetres.
    ///
    /// # Errors
    /// [`WrenchSizeError`], which says what to type.
    pub fn parse(text: &str) -> Result<Self, WrenchSizeError> {
        let trimmed = text.trim();
        if trimmed.is_empty() {
            return Err(WrenchSizeError::Empty);
        }
        let shown: String = trimmed.chars().take(40).collect();
        let (number, inch) =
            written_size(trimmed).ok_or_else(|| WrenchSizeError::NotUnderstood { text: shown.clone() })?;
        let inch = match inch {
            Some(inch) => inch,
            None if number < 5.0 => return Err(WrenchSizeError::WhichUnit { text: shown }),
            None => false,
        };
        let mm = if inch { number * INCH_MM } else { number };
        let made = SIZES.iter().find(|row| row.size.is_inch() == inch && (row.size.mm() - mm).abs() < 1e-4);
        made.map(|row| row.size)
            .ok_or_else(|| WrenchSizeError::NotMade { text: shown, nearest: nearest(mm, inch) })
    }

    /// Every size in the table.
    pub fn all() -> impl Iterator<Item = Self> {
        SIZES.iter().map(|row| row.size)
    }

    /// Nominal width across flats.
    #[must_use]
    pub fn across_flats(self) -> Length {
        saturate::length(self.mm())
    }

    /// Whether it is an inch size.
    #[must_use]
    pub fn is_inch(self) -> bool {
        matches!(self.size, Nominal::Inch(_))
    }

    /// Least and greatest width of the opening after ASME B18.2.2, where it was read.
    #[must_use]
    pub fn opening(self) -> Option<(Length, Length)> {
        let row = SIZES.iter().find(|row| row.size == self)?;
        row.opening_mm.map(|(least, greatest)| (saturate::length(least), saturate::length(greatest)))
    }

    fn mm(self) -> f64 {
        match self.size {
            Nominal::Metric(thousandths) => f64::from(thousandths) / 1000.0,
            Nominal::Inch(parts) => f64::from(parts) / 100_000.0 * INCH_MM,
        }
    }
}

/// How a tool with nominal width `wrench` sits on a head with nominal width `nut`.
/// Widths of nought or less fit nothing.
#[must_use]
pub fn fits(wrench: Length, nut: Length) -> Fit {
    if wrench.mm() <= 0.0 || nut.mm() <= 0.0 {
        return Fit::No;
    }
    let excess = wrench.mm() - nut.mm();
    let loosest = if nut.mm() < LARGE_HEAD_MM { LOOSE_SMALL_MM } else { LOOSE_LARGE_MM };
    if excess.abs() < SAME_MM {
        Fit::Exact
    } else if excess < TIGHTEST_MM - ROUNDING_MM || excess > loosest + ROUNDING_MM {
        Fit::No
    } else if excess <= FITS_MM + ROUNDING_MM {
        Fit::Fits
    } else {
        Fit::Loose
    }
}

/// The sizes on sale that stand in for a head of nominal width `nut`, best first: inch sizes for a
/// metric head, metric sizes for an inch head. Empty where none may be used.
#[must_use]
pub fn stand_ins(nut: Length) -> Vec<StandIn> {
    let mut found: Vec<StandIn> = SIZES
        .iter()
        .map(|row| StandIn {
            size: row.size,
            fit: fits(row.size.across_flats(), nut),
            excess: row.size.across_flats() - nut,
            from_memory: row.source == "memory",
        })
        .filter(|stand_in| matches!(stand_in.fit, Fit::Fits | Fit::Loose))
        .collect();
    found.sort_by(|a, b| a.fit.cmp(&b.fit).then(a.excess.abs().mm().total_cmp(&b.excess.abs().mm())));
    found
}

/// How far a wrench turns on a head before its corners bear, in degrees:
/// 30° − acos(√3·s/(2·W)) with the opening s and the head's real width W, from the geometry of two
/// hexagons. `None` where the wrench does not go on, or slips round.
#[must_use]
pub fn free_play(opening: Length, head: Length) -> Option<axlestand_quantity::Angle> {
    let (s, w) = (opening.mm(), head.mm());
    let ratio = 3.0_f64.sqrt() * s / (2.0 * w);
    if w <= 0.0 || s < w || ratio > 1.0 {
        return None;
    }
    Some(saturate::angle((30.0 - ratio.acos().to_degrees()).max(0.0)))
}

/// A fraction, whole or mixed number (`3/4`, `1`, `1-1/8`) as a number.
pub(crate) fn fraction(text: &str) -> Option<f64> {
    let (whole, part) = match text.split_once(['-', ' ']) {
        Some((whole, part)) => (whole.trim().parse::<u32>().ok()?, part.trim()),
        None => (0, text),
    };
    let part = match part.split_once('/') {
        Some((top, bottom)) => {
            let (top, bottom): (u32, u32) = (top.trim().parse().ok()?, bottom.trim().parse().ok()?);
            if bottom == 0 {
                return None;
            }
            f64::from(top) / f64::from(bottom)
        }
        None => part.parse::<f64>().ok().filter(|x| x.is_finite())?,
    };
    Some(f64::from(whole) + part)
}

/// Number and unit as typed: inch, millimetre or not said.
fn written_size(text: &str) -> Option<(f64, Option<bool>)> {
    let lower = text.to_lowercase();
    let mut rest = lower.as_str();
    for word in ["hexagon", "hex", "af", "sw", "size", "wrench", "socket"] {
        rest = rest.strip_prefix(word).unwrap_or(rest).trim_start();
    }
    for word in ["af", "a/f", "hex"] {
        rest = rest.strip_suffix(word).unwrap_or(rest).trim_end();
    }
    let units = [
        ("mm", false),
        ("inches", true),
        ("inch", true),
        ("in", true),
        ("\"", true),
        ("″", true),
        ("”", true),
    ];
    let (number, unit) = units
        .iter()
        .find_map(|(unit, inch)| rest.strip_suffix(unit).map(|number| (number.trim_end(), Some(*inch))))
        .unwrap_or((rest, None));
    let number = number.replace(',', ".");
    let unsigned = number.starts_with(|c: char| c.is_ascii_digit() || c == '.');
    let plain = number.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | '/' | ' ' | '-'));
    if !(unsigned && plain) {
        return None;
    }
    let unit = unit.or(number.contains('/').then_some(true));
    fraction(&number).filter(|value| *value > 0.0).map(|value| (value, unit))
}

fn nearest(mm: f64, inch: bool) -> String {
    let mut sizes: Vec<WrenchSize> = WrenchSize::all().filter(|size| size.is_inch() == inch).collect();
    sizes.sort_by(|a, b| (a.mm() - mm).abs().total_cmp(&(b.mm() - mm).abs()));
    sizes.truncate(2);
    sizes.iter().map(ToString::to_string).collect::<Vec<_>>().join(" and ")
}

pub(crate) fn read(row: Row<'_>) -> Option<Published> {
    let af = row.number("af").filter(|af| *af > 0.0 && *af < 100.0)?;
    let size = match row.text("system")? {
        "metric" => Nominal::Metric((af * 1000.0).round() as u32),
        "inch" => Nominal::Inch((af * 100_000.0).round() as u32),
        _ => return None,
    };
    let opening = row.number("opening_min").zip(row.number("opening_max"));
    Some(Published {
        size: WrenchSize { size, written: row.text("size")? },
        opening_mm: opening.map(|(least, greatest)| (least * INCH_MM, greatest * INCH_MM)),
        source: row.text("source")?,
    })
}

impl fmt::Display for WrenchSize {
    /// `21 mm`, `13/16 in`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = if self.is_inch() { "in" } else { "mm" };
        f.pad(&format!("{} {unit}", self.written))
    }
}

impl std::str::FromStr for WrenchSize {
    type Err = WrenchSizeError;

    /// The same as [`WrenchSize::parse`].
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

impl fmt::Display for Fit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Exact => "the right size",
            Self::Fits => "fits; try it on first",
            Self::Loose => "loose: six-point socket on sound corners only, it may round the head",
            Self::No => "does not fit",
        })
    }
}
