//! Figures of a car as computations take them: each with where it comes from, and with a range
//! where it is only typical.
//!
//! A typical figure is never this car's. It may drive an answer, but the answer then names it and
//! says what its range does to the result: every typical figure is varied by itself to both ends of
//! its range, and the effects are added as a root sum of squares, since the figures do not depend on
//! each other.

use crate::units::{Units, trimmed};
use axlestand_model::car::{Axle, Car};
use axlestand_model::{Origin, Provenance};
use serde::Serialize;

/// One figure with where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Figure {
    /// What it is.
    pub(crate) what: String,
    /// Its unit.
    pub(crate) unit: &'static str,
    /// Its value.
    pub(crate) value: f64,
    /// Between what it lies where it is only typical.
    pub(crate) range: Option<(f64, f64)>,
    /// Where it comes from.
    pub(crate) from: Source,
}

/// Where a figure comes from, in words.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Source {
    /// As it is said in any unit.
    Said(String),
    /// Typical steering arms.
    Arms,
    /// By this unloaded radius, mm, of the tyre's designation.
    Tyre(f64),
}

impl Source {
    /// In words, with lengths in the user's unit.
    pub(crate) fn said(&self, units: Units) -> String {
        match self {
            Self::Said(words) => words.clone(),
            Self::Arms => format!("typical: {}", steering_arms(units)),
            Self::Tyre(radius) => {
                let [low, high] = LOADED;
                let radius = units.length(*radius, 0);
                format!("typical: {low} to {high} of the {radius} that the tyre designation gives")
            }
        }
    }
}

/// One input of an answer, ready to be shown.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct InputView {
    /// What it is.
    pub what: String,
    /// Its value with unit.
    pub value: String,
    /// Where it comes from.
    pub from: String,
    /// Whether it is only typical: not from this car.
    pub typical: bool,
    /// Between what it was varied.
    pub range: Option<String>,
}

impl Figure {
    /// A figure of the file. With the provenance 'typical' it counts as typical within `span` to
    /// both sides.
    pub(crate) fn of_file(
        what: impl Into<String>,
        unit: &'static str,
        value: f64,
        provenance: &Provenance,
        span: f64,
    ) -> Self {
        let typical = provenance.origin == Origin::Typical;
        Self {
            what: what.into(),
            unit,
            value,
            range: typical.then_some((value - span, value + span)),
            from: Source::Said(if typical {
                "vehicle file, typical".to_owned()
            } else {
                provenance.to_string()
            }),
        }
    }

    /// A figure the car's file does not have.
    pub(crate) fn typical(
        what: impl Into<String>,
        unit: &'static str,
        value: f64,
        range: (f64, f64),
        why: &str,
    ) -> Self {
        Self {
            what: what.into(),
            unit,
            value,
            range: Some(range),
            from: Source::Said(format!("typical: {why}")),
        }
    }

    /// A figure that is known, with where it comes from.
    pub(crate) fn known(
        what: impl Into<String>,
        unit: &'static str,
        value: f64,
        from: impl Into<String>,
    ) -> Self {
        Self { what: what.into(), unit, value, range: None, from: Source::Said(from.into()) }
    }

    /// Ready to be shown, in the user's units.
    pub(crate) fn view(&self, units: Units) -> InputView {
        let unit = units.figure_in(0.0, 0, self.unit).2;
        let behind = if unit.is_empty() || unit == "°" { unit.to_owned() } else { format!(" {unit}") };
        let number = |value: f64| {
            let value = units.figure_in(value, 0, self.unit).0;
            trimmed(
                value,
                match unit {
                    "in" => 3,
                    "lb/in" => 1,
                    _ => 2,
                },
            )
        };
        InputView {
            what: self.what.clone(),
            value: format!("{}{behind}", number(self.value)),
            from: self.from.said(units),
            typical: self.range.is_some(),
            range: self.range.map(|(low, high)| format!("{} to {}{behind}", number(low), number(high))),
        }
    }
}

/// A number without needless noughts.
pub(crate) fn short(value: f64) -> String {
    trimmed(value, 2)
}

/// A set of figures that can be varied one by one.
pub(crate) trait Figures: Clone {
    /// All of them.
    fn each(&mut self) -> Vec<&mut Figure>;
}

/// Half the spread of each result from the typical figures; `None` where none is typical. A
/// variation that has no result is left out.
pub(crate) fn spread<F: Figures>(
    figures: &F,
    result: impl Fn(&F) -> Option<Vec<Option<f64>>>,
) -> Option<Vec<Option<f64>>> {
    let nominal = result(figures)?;
    let mut squares = vec![0.0; nominal.len()];
    let mut any = false;
    let count = figures.clone().each().len();
    for i in 0..count {
        let Some((low, high)) = figures.clone().each().get(i).and_then(|figure| figure.range) else {
            continue;
        };
        any = true;
        let at = |value: f64| {
            let mut varied = figures.clone();
            if let Some(figure) = varied.each().into_iter().nth(i) {
                figure.value = value;
            }
            result(&varied)
        };
        for varied in [at(low), at(high)].into_iter().flatten() {
            for ((square, new), old) in squares.iter_mut().zip(&varied).zip(&nominal) {
                if let (Some(new), Some(old)) = (new, old) {
                    // Both ends count, each by half.
                    *square += (new - old).powi(2) / 2.0;
                }
            }
        }
    }
    any.then(|| squares.iter().zip(&nominal).map(|(s, n): (&f64, _)| n.map(|_| s.sqrt())).collect())
}

/// Steering arms as they usually are: 115 to 160 mm, from memory (AX-71).
pub(crate) fn steering_arms(units: Units) -> &'static str {
    match units {
        Units::Metric => "steering arms of 115 to 160 mm",
        Units::Inch => "steering arms of 4.5 to 6.3 in",
    }
}

/// Loaded radius over unloaded radius of a tyre at its pressure: a judgement, 0.95 to 0.98 from
/// memory of tyre makers' tables (AX-71).
const LOADED: [f64; 2] = [0.95, 0.98];

/// The loaded radius: the file's, else from the tyre designation, else typical.
pub(crate) fn tyre_radius(car: &Car, axle: &Axle) -> Figure {
    let what = "loaded tyre radius";
    if let Some(radius) = axle.tyre_radius {
        return Figure::of_file(what, "mm", radius.mm(), &axle.provenance, 10.0);
    }
    match car.tyre.as_deref().and_then(tyre_size) {
        Some((radius, _)) => {
            let [low, high] = LOADED.map(|share| radius * share);
            let from = Source::Tyre(radius);
            Figure { from, ..Figure::typical(what, "mm", (low + high) / 2.0, (low, high), "") }
        }
        None => Figure::typical(what, "mm", 300.0, (270.0, 340.0), "passenger cars"),
    }
}

/// The unloaded radius and the section width in mm that a designation like '195/60 R15' gives.
pub(crate) fn tyre_size(designation: &str) -> Option<(f64, f64)> {
    let (width, rest) = designation.split_once('/')?;
    let width: f64 =
        width.trim().trim_start_matches(|c: char| c.is_ascii_alphabetic()).trim().parse().ok()?;
    let aspect: f64 = digits(rest.trim()).parse().ok()?;
    let radius = rim_inches(designation)? * 25.4 / 2.0 + width * aspect / 100.0;
    ((100.0..400.0).contains(&width) && (10.0..100.0).contains(&aspect)).then_some((radius, width))
}

/// The rim's nominal diameter in a designation like '195/60 R15 88T', inches.
pub(crate) fn rim_inches(designation: &str) -> Option<f64> {
    let (_, rest) = designation.split_once('/')?;
    let rim =
        rest.trim().trim_start_matches(|c: char| c.is_ascii_digit()).trim_start_matches([' ', 'R', 'Z', '-']);
    digits(rim).parse().ok().filter(|rim| (8.0..26.0).contains(rim))
}

fn digits(text: &str) -> String {
    text.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect()
}
