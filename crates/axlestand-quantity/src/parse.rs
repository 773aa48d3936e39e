//! Reading quantities as people type them.
//!
//! Accepted: a decimal point or a single decimal comma (`12,5 mm`), fractions and mixed numbers
//! (`1/2 in`, `1 3/8 in`, `2-1/16"`, `1½ in`), degrees and minutes (`0°30'`, `-0° 24' ± 6'`), a standard
//! uncertainty after `±`, `+-` or `+/-` (`612 ± 1 mm`). A unit is required: a bare number is refused with the units
//! that would fit. Thousands separators are refused, since `1,200` means two things.

use crate::kinds::{Angle, Force, Length, Mass, Pressure, Torque, Volume};
use crate::unit::{Dimension, Unit};

/// Why a typed quantity was not understood. Every message says what to type instead.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseQuantityError {
    /// Nothing was typed.
    #[error("nothing was given; {wanted} is wanted, in {offered}")]
    Empty {
        /// What is wanted: "a torque".
        wanted: &'static str,
        /// Units to offer.
        offered: &'static str,
    },
    /// No number at the start.
    #[error("'{text}' does not start with a number; write it like '{example}'")]
    NoNumber {
        /// What was typed.
        text: String,
        /// A well-formed example.
        example: &'static str,
    },
    /// A number without a unit.
    #[error("'{text}' has no unit; give {offered}")]
    NoUnit {
        /// What was typed.
        text: String,
        /// Units to offer.
        offered: &'static str,
    },
    /// A unit that is not known.
    #[error("'{unit}' is not a unit known here; give {offered}")]
    UnknownUnit {
        /// The unit as typed.
        unit: String,
        /// Units to offer.
        offered: &'static str,
    },
    /// A unit of another kind.
    #[error("'{unit}' measures {found}, but {wanted} is wanted; give {offered}")]
    WrongDimension {
        /// The unit as typed.
        unit: String,
        /// What that unit measures.
        found: &'static str,
        /// What is wanted.
        wanted: &'static str,
        /// Units to offer.
        offered: &'static str,
    },
    /// A comma that could be a thousands separator.
    #[error("'{text}' can be read in two ways; write the number without thousands separators")]
    AmbiguousComma {
        /// What was typed.
        text: String,
    },
    /// A number too large to hold.
    #[error("'{text}' is too large")]
    TooLarge {
        /// What was typed.
        text: String,
    },
    /// A negative uncertainty or one in another unit than the value.
    #[error("'{text}': the uncertainty after ± must be a number of at least 0 in the unit of the value")]
    BadUncertainty {
        /// What was typed.
        text: String,
    },
    /// Behind degrees and minutes, an uncertainty that is no angle of at least 0 with its own unit.
    #[error(
        "'{text}': the uncertainty after ± must be an angle of at least 0 with its unit, like ± 6' or ± 0.1°"
    )]
    BadAngleUncertainty {
        /// What was typed.
        text: String,
    },
}

/// A number in the project's own unit, with the unit as it was typed and, where given, the
/// standard uncertainty in the project's own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parsed {
    /// The value in the project's own unit of the dimension.
    pub value: f64,
    /// The standard uncertainty in the same unit, if one was typed.
    pub u: Option<f64>,
    /// The unit that was typed.
    pub unit: &'static Unit,
}

impl Dimension {
    fn example(self) -> &'static str {
        match self {
            Self::Length => "12.5 mm",
            Self::Angle => "0.5°",
            Self::Force => "300 N",
            Self::Torque => "140 N·m",
            Self::Mass => "350 kg",
            Self::Volume => "2.2 l",
            Self::Pressure => "230 kPa",
            Self::SpringRate => "28 N/mm",
        }
    }

    /// Reads `text` as a quantity of this dimension.
    ///
    /// # Errors
    /// [`ParseQuantityError`], with what was expected.
    pub fn parse(self, text: &str) -> Result<Parsed, ParseQuantityError> {
        let trimmed = text.trim();
        if trimmed.is_empty() {
            return Err(ParseQuantityError::Empty { wanted: self.name(), offered: self.offered() });
        }
        if self == Self::Angle
            && let Some(parsed) = degrees_and_minutes(trimmed)
        {
            return parsed;
        }
        let (value, rest) = number(trimmed, self.example())?;
        let (u, rest) = uncertainty(trimmed, rest, self)?;
        if rest.is_empty() {
            return Err(ParseQuantityError::NoUnit { text: trimmed.to_owned(), offered: self.offered() });
        }
        let unit = self.unit(rest)?;
        let value = value * unit.factor;
        let u = u.map(|u| u * unit.factor);
        if !value.is_finite() || u.is_some_and(|u| !u.is_finite()) {
            return Err(ParseQuantityError::TooLarge { text: trimmed.to_owned() });
        }
        Ok(Parsed { value, u, unit })
    }

    fn unit(self, written: &str) -> Result<&'static Unit, ParseQuantityError> {
        let unit = Unit::find(written).ok_or_else(|| ParseQuantityError::UnknownUnit {
            unit: written.to_owned(),
            offered: self.offered(),
        })?;
        if unit.dimension == self {
            Ok(unit)
        } else {
            Err(ParseQuantityError::WrongDimension {
                unit: written.to_owned(),
                found: unit.dimension.name(),
                wanted: self.name(),
                offered: self.offered(),
            })
        }
    }
}

/// Reads the number at the start of `text`; gives it with what follows, trimmed.
fn number<'a>(text: &'a str, example: &'static str) -> Result<(f64, &'a str), ParseQuantityError> {
    let missing = || ParseQuantityError::NoNumber { text: text.to_owned(), example };
    let (negative, unsigned) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text).trim_start()),
    };
    let end =
        unsigned.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(unsigned.len());
    let (digits, mut rest) = unsigned.split_at(end);
    if digits.is_empty()
        && let Some((part, after)) = vulgar(rest)
    {
        return Ok((if negative { -part } else { part }, after.trim()));
    }
    let is_whole = !digits.contains(['.', ',']);
    let digits = plain_decimal(text, digits)?;
    let mut value: f64 = digits.parse().map_err(|_| missing())?;
    if let Some(denominator) = rest.strip_prefix('/') {
        let (bottom, after) = whole(denominator).ok_or_else(missing)?;
        value /= bottom;
        rest = after;
    } else if is_whole && let Some((part, after)) = fraction_behind(rest) {
        value += part;
        rest = after;
    }
    if !value.is_finite() {
        return Err(ParseQuantityError::TooLarge { text: text.to_owned() });
    }
    Ok((if negative { -value } else { value }, rest.trim()))
}

/// The fraction of a mixed number, behind its whole number: ` 3/8`, `-1/16`, `½`.
fn fraction_behind(rest: &str) -> Option<(f64, &str)> {
    let rest = rest.strip_prefix('-').unwrap_or_else(|| rest.trim_start());
    if let Some(found) = vulgar(rest) {
        return Some(found);
    }
    let (top, after) = whole(rest)?;
    let (bottom, after) = whole(after.strip_prefix('/')?)?;
    Some((top / bottom, after))
}

/// A fraction written as one character at the start of `text`, with what follows.
fn vulgar(text: &str) -> Option<(f64, &str)> {
    let first = text.chars().next()?;
    Some((vulgar_fraction(first)?, &text[first.len_utf8()..]))
}

/// The value of a fraction written as one character: halves, thirds, quarters, sixths and eighths, as
/// keyboards have them; `None` for another character.
#[must_use]
pub fn vulgar_fraction(character: char) -> Option<f64> {
    let (top, bottom) = match character {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    };
    Some(f64::from(top) / f64::from(bottom))
}

/// A whole number above nought at the start of `text`, with what follows.
fn whole(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    let value: f64 = digits.parse().ok()?;
    (value > 0.0).then_some((value, rest))
}

/// Turns one decimal comma into a point; refuses what could be a thousands separator.
fn plain_decimal(text: &str, digits: &str) -> Result<String, ParseQuantityError> {
    let commas = digits.matches(',').count();
    let points = digits.matches('.').count();
    let three_behind = digits.split_once(',').is_some_and(|(front, back)| back.len() == 3 && front != "0");
    if commas + points > 1 || (commas == 1 && three_behind) {
        return Err(ParseQuantityError::AmbiguousComma { text: text.to_owned() });
    }
    Ok(digits.replace(',', "."))
}

/// What stands before an uncertainty.
const MARKS: [&str; 3] = ["±", "+/-", "+-"];

/// Reads `± u` at the start of `rest`, where it stands.
fn uncertainty<'a>(
    text: &str,
    rest: &'a str,
    dimension: Dimension,
) -> Result<(Option<f64>, &'a str), ParseQuantityError> {
    let bad = || ParseQuantityError::BadUncertainty { text: text.to_owned() };
    let mark = |s: &'a str| MARKS.iter().find_map(|m| s.strip_prefix(m));
    if let Some(behind) = mark(rest) {
        let (u, rest) = number(behind.trim_start(), dimension.example()).map_err(|_| bad())?;
        return if u >= 0.0 { Ok((Some(u), rest)) } else { Err(bad()) };
    }
    // "612 mm ± 1 mm": the unit is given twice and must be the same one.
    if let Some(at) = MARKS.iter().filter_map(|m| rest.find(m)).min() {
        let (first_unit, marked) = rest.split_at(at);
        let behind = mark(marked).unwrap_or(marked);
        let (u, second_unit) = number(behind.trim_start(), dimension.example()).map_err(|_| bad())?;
        let same = second_unit.is_empty()
            || (Unit::find(second_unit).is_some() && Unit::find(second_unit) == Unit::find(first_unit));
        return if u >= 0.0 && same { Ok((Some(u), first_unit.trim())) } else { Err(bad()) };
    }
    Ok((None, rest))
}

/// `0°30'`, `-1° 12'` and `-0° 24' ± 6'`: whole degrees, then minutes, then an uncertainty with its own
/// unit; the sign in front counts for degrees and minutes.
fn degrees_and_minutes(text: &str) -> Option<Result<Parsed, ParseQuantityError>> {
    let (negative, rest) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text).trim_start()),
    };
    let (angle, behind) = match MARKS.iter().filter_map(|m| Some((rest.find(m)?, m.len()))).min() {
        Some((at, length)) => (&rest[..at], Some(&rest[at + length..])),
        None => (rest, None),
    };
    let size = sexagesimal(angle)?;
    let value = if negative { -size } else { size };
    let u = match behind.map(|behind| spread(behind.trim())) {
        Some(None) => return Some(Err(ParseQuantityError::BadAngleUncertainty { text: text.to_owned() })),
        Some(u) => u,
        None => None,
    };
    Some(Ok(Parsed { value, u, unit: Unit::find("°")? }))
}

/// Degrees of `1° 12'`.
fn sexagesimal(text: &str) -> Option<f64> {
    let (degrees, minutes) = text.split_once('°')?;
    let minutes = minutes.trim().strip_suffix(['\'', '′', '’'])?;
    let degrees: u32 = degrees.trim().parse().ok()?;
    let minutes: f64 = minutes.trim().replace(',', ".").parse().ok()?;
    (0.0..60.0).contains(&minutes).then(|| f64::from(degrees) + minutes / 60.0)
}

/// Degrees of the uncertainty of an angle in degrees and minutes: `6'`, `0.1°`, `0° 6'`. Without a unit it
/// could be either, so that is refused.
fn spread(text: &str) -> Option<f64> {
    let size = sexagesimal(text).or_else(|| {
        let (size, unit) = number(text, Dimension::Angle.example()).ok()?;
        let unit = Unit::find(unit).filter(|unit| unit.dimension == Dimension::Angle)?;
        Some(size * unit.factor)
    })?;
    (size.is_finite() && size >= 0.0).then_some(size)
}

macro_rules! typed {
    ($($kind:ident, $from:ident);* $(;)?) => {
        $(impl std::str::FromStr for $kind {
            type Err = ParseQuantityError;
            /// Reads the quantity with its unit; an uncertainty is not allowed here.
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                let parsed = Self::DIMENSION.parse(text)?;
                if parsed.u.is_some() {
                    return Err(ParseQuantityError::BadUncertainty { text: text.trim().to_owned() });
                }
                Self::$from(parsed.value).map_err(|_| ParseQuantityError::TooLarge { text: text.trim().to_owned() })
            }
        })*
    };
}

typed! {
    Length, from_mm; Angle, from_deg; Force, from_n; Torque, from_nm; Mass, from_kg; Volume, from_l; Pressure, from_kpa;
}
