//! Do the readings of a survey agree, and what of them to read again.

use super::fit::Surveyed;
use crate::alignment::rounds::Gauged;
use crate::units::Units;
use axlestand_geometry::estimation::{Examination, Verdict};

/// Whether the readings fit each other, and what to do where they do not.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Doubts {
    /// Whether the answers may be used.
    pub(super) sound: bool,
    /// What was found.
    pub(super) findings: Vec<String>,
    /// What to read again, at most three.
    pub(super) again: Vec<String>,
}

/// Most readings that are asked for again.
const MOST: usize = 3;
/// A slip of this size, mm or degrees, should be seen (AX-53).
const SLIP: [f64; 2] = [10.0, 1.0];

/// Judges a fit.
pub(super) fn doubts(surveyed: &Surveyed, examined: &Examination, units: Units) -> Doubts {
    let names = |places: &[usize]| {
        let mut all: Vec<String> = Vec::new();
        for name in places.iter().map(|at| surveyed.name(*at, units)) {
            if !all.contains(&name) && all.len() < MOST {
                all.push(name);
            }
        }
        all
    };
    let wrong = |finding: String, places: &[usize]| Doubts {
        sound: false,
        findings: vec![finding],
        again: names(places),
    };
    match &examined.verdict {
        Verdict::Suspect { reading, also } => wrong(
            format!("{} does not fit the others", surveyed.name(*reading, units)),
            &[&[*reading], also.as_slice()].concat(),
        ),
        Verdict::CannotLocate { among } => {
            wrong("something is wrong, and it cannot be told which reading".to_owned(), among)
        }
        Verdict::TooWide => wrong(
            "together the readings fit worse than their uncertainties allow: gauges are worse than said, the hub was not at its height, or something is bent".to_owned(),
            &examined.by_size(),
        ),
        Verdict::Unchecked => Doubts {
            sound: true,
            findings: vec!["nothing checks these readings: a slip would stay unseen".to_owned()],
            again: Vec::new(),
        },
        Verdict::Fits => Doubts { sound: true, findings: unseen(surveyed, examined, units), again: Vec::new() },
    }
}

/// Readings at which a slip would stay unseen, of those that were read once.
fn unseen(surveyed: &Surveyed, examined: &Examination, units: Units) -> Vec<String> {
    let hidden = |at: &usize| {
        let Some(one) = surveyed.numbers.get(*at) else { return false };
        let alike = |other: &&Gauged| other.place == one.place && other.at == one.at;
        let once = surveyed.numbers.iter().filter(alike).count() < 2;
        once && examined.readings[*at].detectable > SLIP[usize::from(one.place.unit() == "°")]
    };
    let mut names: Vec<String> = Vec::new();
    for name in (0..examined.readings.len()).filter(hidden).map(|at| surveyed.name(at, units)) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let Some(first) = names.first() else { return Vec::new() };
    let what = if names.len() == 1 { format!("at {first}") } else { format!("at {} places", names.len()) };
    vec![format!(
        "a slip of {} or 1° {what} would hardly be seen: read a second time, from the list's end",
        units.length(SLIP[0], 0)
    )]
}
