//! Reading quantities as people type them.
//!
//! Accepted: a decimal point or a single decimal comma (`12,5 mm`), fractions and mixed numbers
//! (`1/2 in`, `1 3/8 in`), degrees and minutes (`0°30'`, `-0° 12'`), a standard uncertainty after
//! `±`, `+-` or `+/-` (`612 ± 1 mm`). A unit is required: a bare number is refused with the units
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
            return Ok(parsed);
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
    let digits = plain_decimal(text, digits)?;
    let mut value: f64 = digits.parse().map_err(|_| missing())?;
    if let Some(denominator) = rest.strip_prefix('/') {
        let (bottom, after) = whole(denominator).ok_or_else(missing)?;
        value /= bottom;
        rest = after;
    } else if let Some((top, after)) = whole(rest.trim_start())
        && let Some((bottom, after)) = after.strip_prefix('/').and_then(whole)
    {
        value += top / bottom;
        rest = after;
    }
    if !value.is_finite() {
        return Err(ParseQuantityError::TooLarge { text: text.to_owned() });
    }
    Ok((if negative { -value } else { value }, rest.trim()))
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

/// Reads `± u` at the start of `rest`, where it stands.
fn uncertainty<'a>(
    text: &str,
    rest: &'a str,
    dimension: Dimension,
) -> Result<(Option<f64>, &'a str), ParseQuantityError> {
    let bad = || ParseQuantityError::BadUncertainty { text: text.to_owned() };
    let mark = |s: &'a str| ["±", "+/-", "+-"].iter().find_map(|m| s.strip_prefix(m));
    if let Some(behind) = mark(rest) {
        let (u, rest) = number(behind.trim_start(), dimension.example()).map_err(|_| bad())?;
        return if u >= 0.0 { Ok((Some(u), rest)) } else { Err(bad()) };
    }
    // "612 mm ± 1 mm": the unit is given twice and must be the same one.
    if let Some(at) = ["±", "+/-", "+-"].iter().filter_map(|m| rest.find(m)).min() {
        let (first_unit, marked) = rest.split_at(at);
        let behind = mark(marked).unwrap_or(marked);
        let (u, second_unit) = number(behind.trim_start(), dimension.example()).map_err(|_| bad())?;
        let same = second_unit.is_empty()
            || (Unit::find(second_unit).is_some() && Unit::find(second_unit) == Unit::find(first_unit));
        return if u >= 0.0 && same { Ok((Some(u), first_unit.trim())) } else { Err(bad()) };
    }
    Ok((None, rest))
}

/// `0°30'` and `-1° 12'`: whole degrees, then minutes; the sign in front counts for both.
fn degrees_and_minutes(text: &str) -> Option<Parsed> {
    let (negative, rest) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text),
    };
    let (degrees, minutes) = rest.split_once('°')?;
    let minutes = minutes.trim().strip_suffix(['\'', '′', '’'])?;
    let degrees: u32 = degrees.trim().parse().ok()?;
    let minutes: f64 = minutes.trim().replace(',', ".").parse().ok()?;
    if !(0.0..60.0).contains(&minutes) {
        return None;
    }
    let size = f64::from(degrees) + minutes / 60.0;
    Some(Parsed { value: if negative { -size } else { size }, u: None, unit: Unit::find("°")? })
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
