//! Heights, masses and springs as a person types them, wheel by wheel.

use super::figures::Figure;
use super::now::{Latest, end, latest, reading};
use super::springs::WHEELS;
use super::typed;
use crate::error::GarageError;
use crate::job::Job;
use crate::units::Units;
use axlestand_model::car::Car;
use axlestand_model::{Hand, ReadingKind};
use axlestand_quantity::Dimension;

/// Hub centre to arch lip as the points were taken.
pub(super) fn reference(car: &Car, corner: usize) -> Option<f64> {
    car.axles
        .iter()
        .find(|axle| axle.name == axle_of(corner))?
        .hub_to_arch
        .map(axlestand_quantity::Length::mm)
}

/// The axle of a corner.
pub(super) fn axle_of(corner: usize) -> &'static str {
    if corner < 2 { "front" } else { "rear" }
}

/// The side of a corner.
pub(super) fn hand_of(corner: usize) -> Hand {
    if corner.is_multiple_of(2) { Hand::Left } else { Hand::Right }
}

/// A height of each wheel, mm, with where it comes from, where one is known.
pub(super) type Heights4 = [Option<Latest>; 4];

/// The heights the car stands at: typed, else the last ones read. One typed without its uncertainty has
/// that of the file's reading.
pub(super) fn heights_now(car: &Car, job: Option<&Job>, typed: &[String]) -> Result<Heights4, GarageError> {
    let given = by_wheel("--now", typed, Dimension::Length, 100.0..=900.0)?;
    Ok([0, 1, 2, 3].map(|i| {
        let (kind, axle, side) = (ReadingKind::Height, end(axle_of(i)), Some(hand_of(i)));
        let usual = || reading(car, kind, axle, side).map_or(0.0, |reading| reading.u);
        given[i]
            .map(|(value, u)| Latest {
                value,
                u: u.unwrap_or_else(usual),
                from: "typed".to_owned(),
                fresh: true,
            })
            .or_else(|| latest(job?, kind, axle, side))
    }))
}

/// A value with the uncertainty that was typed with it, if any.
pub(super) type Typed = (f64, Option<f64>);

/// Reads `front-left=364 mm`, `front=364 ± 2 mm` and the like.
pub(super) fn by_wheel(
    what: &str,
    typed: &[String],
    dimension: Dimension,
    limits: std::ops::RangeInclusive<f64>,
) -> Result<[Option<Typed>; 4], GarageError> {
    let mut all = [None; 4];
    for text in typed {
        let (wheel, value) = text.split_once('=').ok_or_else(|| {
            GarageError::Input(format!(
                "{what}: '{text}' names no wheel; write it like front-left=…, or front=… for both"
            ))
        })?;
        let value = typed::within(&format!("{what} {wheel}"), value, dimension, limits.clone())?;
        let wheel = wheel.trim();
        let meant: Vec<usize> = (0..4).filter(|i| WHEELS[*i] == wheel || axle_of(*i) == wheel).collect();
        if meant.is_empty() {
            return Err(GarageError::Input(format!(
                "{what}: '{wheel}' is no wheel; there are {}, front, rear",
                WHEELS.join(", ")
            )));
        }
        for i in meant {
            all[i] = Some(value);
        }
    }
    Ok(all)
}

/// The masses on the wheels: typed, else the file's. An axle's mass, as a weighbridge gives it, is
/// shared by its two wheels.
pub(super) fn masses(car: &Car, typed: &[String]) -> Result<[Figure; 4], GarageError> {
    let (axles, wheels): (Vec<_>, Vec<_>) = typed.iter().cloned().partition(|text| names_axle(text));
    let given = by_wheel("--load", &wheels, Dimension::Mass, 20.0..=3000.0)?;
    let given_axles = by_wheel("--load", &axles, Dimension::Mass, 40.0..=6000.0)?;
    let (mut all, mut missing) = (Vec::new(), Vec::new());
    for (i, wheel) in WHEELS.into_iter().enumerate() {
        let what = format!("mass on {wheel}");
        let half = |axle: f64, from: &str| {
            let half = axle / 2.0;
            let why = format!("half of the axle's mass ({from}), left and right alike");
            Figure::typical(what.clone(), "kg", half, (0.95 * half, 1.05 * half), &why)
        };
        let known = |kg: f64, from: &str| Figure::known(what.clone(), "kg", kg, from);
        let of_file = |key: &str| car.masses.get(key).map(|mass| mass.kg());
        let figure = given[i]
            .map(|(kg, _)| known(kg, "typed"))
            .or_else(|| given_axles[i].map(|(kg, _)| half(kg, "typed")))
            .or_else(|| of_file(wheel).map(|kg| known(kg, "vehicle file")))
            .or_else(|| of_file(axle_of(i)).map(|kg| half(kg, "vehicle file")));
        match figure {
            Some(figure) => all.push(figure),
            None => missing.push(i),
        }
    }
    if let Some(&i) = missing.first() {
        let wheels: Vec<&str> = missing.iter().filter_map(|i| WHEELS.get(*i).copied()).collect();
        return Err(GarageError::Input(format!(
            "the mass on {} is not known, and the springs of all four wheels carry the car together: weigh it (four scales, or axle by axle at a weighbridge) and write it under [car] masses, or give it: --load {}=\"… kg\", or --load {}=\"… kg\" for the axle",
            wheels.join(" and "),
            wheels[0],
            axle_of(i)
        )));
    }
    all.try_into().map_err(|_| GarageError::Input("four wheels are needed".to_owned()))
}

fn names_axle(text: &str) -> bool {
    text.split_once('=').is_some_and(|(wheel, _)| matches!(wheel.trim(), "front" | "rear"))
}

/// Farther from where it stands a height is no setting, mm (judgement).
const MOST_WANTED: f64 = 150.0;

/// The travels that wanted heights stand for; a wheel without a wish keeps its height.
pub(super) fn wanted_travels(
    want: &[Option<f64>; 4],
    reference: &[Option<f64>; 4],
    now: &[f64; 4],
    units: Units,
) -> Result<Option<[f64; 4]>, GarageError> {
    if want.iter().all(Option::is_none) {
        return Ok(None);
    }
    let mut travels = *now;
    for i in 0..4 {
        let Some(want) = want[i] else { continue };
        let Some(reference) = reference[i] else {
            return Err(GarageError::Input(format!(
                "the {} height now is not known: read it ('axlestand read …'), or give it: --now {}=\"… {}\"",
                WHEELS[i],
                WHEELS[i],
                units.length_unit()
            )));
        };
        travels[i] = reference - want;
        if (travels[i] - now[i]).abs() > MOST_WANTED {
            return Err(GarageError::Input(format!(
                "the wanted {} height is {} from where it stands; more than {} is no setting",
                WHEELS[i],
                units.length((travels[i] - now[i]).abs(), 0),
                units.length(MOST_WANTED, 0)
            )));
        }
    }
    Ok(Some(travels))
}

/// A cross-weight as a share.
pub(super) fn share(text: &str) -> Result<f64, GarageError> {
    let percent = typed::number("--cross", text.trim().trim_end_matches('%'))?;
    if (30.0..=70.0).contains(&percent) {
        return Ok(percent / 100.0);
    }
    Err(GarageError::Input(format!(
        "--cross: {percent} % is no cross-weight; write it like \"50 %\", from 30 to 70"
    )))
}

/// Reads `28 N/mm x 350 mm` and `160 lb/in x 14 in`.
pub(super) fn coil(text: Option<&str>, units: Units) -> Result<Option<(f64, f64)>, GarageError> {
    let Some(text) = text else { return Ok(None) };
    let (rate, free) = text.split_once(['x', '×']).ok_or_else(|| {
        let like = if units == Units::Inch { "160 lb/in x 14 in" } else { "28 N/mm x 350 mm" };
        GarageError::Input(format!("'{text}' is no spring; write rate and free length: \"{like}\""))
    })?;
    let rate = typed::spring_rate("the spring's rate", rate, units)?;
    let (free, _) = typed::within("the spring's free length", free, Dimension::Length, 50.0..=1000.0)?;
    Ok(Some((rate, free)))
}
