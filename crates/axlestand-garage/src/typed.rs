//! Free text that a person types: remarks, reasons, sources, names of jobs.
//!
//! It is shown again on terminals, pages and labels, so it has to be one line without the signs
//! that steer a terminal, and of a length that a person reads.

use crate::error::GarageError;

/// The longest remark, in characters.
const LONGEST: usize = 2_000;
/// The longest name of a job, in characters.
const LONGEST_NAME: usize = 80;

/// A remark as it is kept: line breaks and runs of blanks become one blank. `what` names it in the
/// message: "the note".
///
/// # Errors
/// [`GarageError::Input`] where it is empty, too long, or holds a sign that steers how it is shown.
pub(crate) fn remark(what: &str, text: &str) -> Result<String, GarageError> {
    let kept = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if kept.is_empty() {
        return Err(GarageError::Input(format!("{what} is empty")));
    }
    if let Some(sign) = kept.chars().find(|sign| steers(*sign)) {
        return Err(GarageError::Input(format!(
            "{what} holds the control character U+{:04X}, which cannot be shown: leave it out",
            u32::from(sign)
        )));
    }
    no_longer_than(LONGEST, what, kept)
}

/// Whether a sign steers a terminal or turns the direction of writing (Unicode UAX #9).
fn steers(sign: char) -> bool {
    sign.is_control()
        || matches!(sign, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A remark that may be absent.
///
/// # Errors
/// As [`remark`].
pub(crate) fn optional(what: &str, text: Option<String>) -> Result<Option<String>, GarageError> {
    text.map(|text| remark(what, &text)).transpose()
}

/// Where a value comes from, which may be absent: more than signs.
///
/// # Errors
/// [`GarageError::Source`] as [`remark`], and where it has neither letter nor digit.
pub(crate) fn source(text: Option<String>) -> Result<Option<String>, GarageError> {
    let kept = optional("the source", text).map_err(|why| GarageError::Source(why.to_string()))?;
    match &kept {
        Some(source) if !source.contains(char::is_alphanumeric) => Err(GarageError::Source(format!(
            "'{source}' is not a source: say which manual, which page or sheet"
        ))),
        _ => Ok(kept),
    }
}

/// What was typed with the unit that stood beside the field, where it was typed without one: `52.5` and
/// `mm` are `52.5 mm`. What has a unit, or is no number at all, stays as it is.
#[must_use]
pub fn with_unit(text: &str, unit: &str) -> String {
    let text = text.trim();
    let part = |c: char| c.is_ascii_digit() || "½¼¾⅛⅜⅝⅞".contains(c);
    let sign = |c: char| part(c) || c.is_whitespace() || ".,+-−±/".contains(c);
    let bare = text.ends_with(part) && text.chars().all(sign);
    match (bare && !unit.is_empty(), unit) {
        (true, "°") => format!("{text}°"),
        (true, unit) => format!("{text} {unit}"),
        (false, _) => text.to_owned(),
    }
}

/// The name of a job: a remark that can also stand in a file name.
///
/// # Errors
/// [`GarageError::JobName`] as [`remark`], and where it holds a slash or backslash.
pub(crate) fn job_name(text: &str) -> Result<String, GarageError> {
    let wrong = |why: GarageError| GarageError::JobName(why.to_string());
    let name = remark("the job's name", text).map_err(wrong)?;
    if name.contains(['/', '\\']) {
        return Err(GarageError::JobName(format!(
            "'{name}' cannot be a job's name: leave out slashes and backslashes"
        )));
    }
    no_longer_than(LONGEST_NAME, "the job's name", name).map_err(wrong)
}

fn no_longer_than(longest: usize, what: &str, text: String) -> Result<String, GarageError> {
    let length = text.chars().count();
    if length <= longest {
        return Ok(text);
    }
    Err(GarageError::Input(format!("{what} has {length} characters; at most {longest} are kept")))
}

#[cfg(test)]
mod units_beside_fields {
    use super::with_unit;
    use axlestand_quantity::Dimension;

    #[test]
    fn a_bare_number_gets_the_unit_and_nothing_else_does() {
        for (typed, unit, kept) in [
            ("52.5", "mm", "52.5 mm"),
            (" 52,5 ± 0.5 ", "mm", "52,5 ± 0.5 mm"),
            ("52.5 +/- 0.5", "mm", "52.5 +/- 0.5 mm"),
            ("-0.6", "°", "-0.6°"),
            ("2 1/16", "in", "2 1/16 in"),
            ("14¼", "in", "14¼ in"),
            ("52.5 mm", "in", "52.5 mm"),
            ("0°30'", "°", "0°30'"),
            ("2 1/16\"", "mm", "2 1/16\""),
            ("about 5", "mm", "about 5"),
            ("5 ±", "mm", "5 ±"),
            ("", "mm", ""),
            ("140", "", "140"),
        ] {
            assert_eq!(with_unit(typed, unit), kept, "{typed}");
        }
    }

    /// Whatever gets a unit is then understood, and to the same length: an inch is 25.4 mm (ISO 80000-3).
    #[test]
    fn what_gets_a_unit_is_understood() {
        let length = |text: &str, unit: &str| Dimension::Length.parse(&with_unit(text, unit)).unwrap();
        assert_eq!(length("52,5 ± 0.5", "mm").u, Some(0.5));
        assert!((length("2 1/16", "in").value - 2.0625 * 25.4).abs() < 1e-9);
        assert!((Dimension::Angle.parse(&with_unit("-0.6", "°")).unwrap().value + 0.6).abs() < 1e-12);
        assert!((Dimension::Torque.parse(&with_unit("140", "N·m")).unwrap().value - 140.0).abs() < 1e-12);
    }
}
