//! What is odd about a number of a survey as it is entered, held against the corner's earlier ones.

use super::corner::start;
use super::fit::{Surveyed, kind, name};
use crate::alignment::adjustable::Rods;
use crate::alignment::place::Place;
use crate::alignment::rounds::{Gauged, Round};
use crate::units::Units;
use axlestand_geometry::estimation::alignment::Wheel;
use axlestand_geometry::estimation::survey::SurveyKind;
use axlestand_model::car::Car;

/// From this uncertainty on the others do not foretell a reading, degrees and mm (AX-23).
const VAGUE: [f64; 2] = [2.0, 15.0];
/// By how much a reading may be off what the file's own hardpoints make it, while nothing else foretells it,
/// degrees and mm (AX-51): a wrong sign, a tape held at its hundred.
const FAR: [f64; 2] = [10.0, 60.0];
/// A residual of another reading that may be wrong instead, in its standard uncertainties.
const SUSPECT: f64 = 3.0;

/// What to ask; `None` where the number is as foretold, or nothing foretells it.
pub(crate) fn question(
    car: &Car,
    rods: Option<Rods>,
    before: &Round,
    one: &Gauged,
    units: Units,
) -> Option<String> {
    let wheel = match one.place {
        Place::Survey { wheel, .. } | Place::BumpCamber(wheel) | Place::BumpToe(wheel) => wheel,
        _ => return None,
    };
    let of_survey = |other: &Gauged| matches!(other.place, Place::Survey { wheel: of, .. } if of == wheel);
    // A sweep without a survey is a matter of its own.
    if !of_survey(one) && !before.readings.iter().any(of_survey) {
        return None;
    }
    let kind = kind(one, wheel)?;
    let start = start(car, wheel, rods).ok()?;
    let surveyed = Surveyed::of(before, wheel, &start.corner);
    let swept = matches!(kind, SurveyKind::SweepCamber(_) | SurveyKind::SweepToe(_));
    if swept && surveyed.zero(kind).is_none() {
        return None;
    }
    let survey = surveyed.survey().ok()?;
    let estimate = surveyed.fit(&survey).ok()?;
    let expected = estimate.expect(&*survey.model(kind).ok()?, one.u).ok()?;
    let angle = one.place.unit() == "°";
    let value = surveyed.value(kind, one.value);
    if expected.u > VAGUE[usize::from(!angle)] {
        let is_lifted = !matches!(kind, SurveyKind::Height(_)) || surveyed.has_height();
        let off = value - expected.value;
        return (start.own && is_lifted && off.abs() > FAR[usize::from(!angle)])
            .then(|| far(one.place, off, units));
    }
    if !expected.check(value).ok()?.questioned {
        return None;
    }
    let (low, high) = expected.window();
    let zero = surveyed.zero(kind).unwrap_or(0.0);
    let places = if angle { 2 } else { 1 };
    let said = |value: f64| one.place.said(value, places, units);
    Some(format!(
        "this one disagrees by {} with the others, which make it {} to {}: read it again{}",
        said((value - expected.value).abs()),
        one.place.figure(low + zero, places, units),
        said(high + zero),
        others(&start.corner, before, wheel, one, units)
    ))
}

fn far(place: Place, off: f64, units: Units) -> String {
    let hint = if place.unit() == "°" { "is its sign right?" } else { "was the tape held at its hook?" };
    format!(
        "it is {} off what the hardpoints of the file make it: {hint} Read it again",
        place.said(off.abs(), 0, units)
    )
}

/// Earlier readings that may be wrong instead, the likeliest first.
fn others(
    corner: &axlestand_geometry::kinematics::CornerSpec,
    before: &Round,
    wheel: Wheel,
    one: &Gauged,
    units: Units,
) -> String {
    let mut round = before.clone();
    round.readings.push(one.clone());
    let surveyed = Surveyed::of(&round, wheel, corner);
    let fit = surveyed.survey().and_then(|survey| surveyed.fit(&survey));
    let Ok(examined) = fit.map(|estimate| estimate.examine()) else { return String::new() };
    let mut names: Vec<String> = Vec::new();
    for at in examined.by_size() {
        let suspect = examined.readings[at].standardised.abs() > SUSPECT;
        let called = surveyed.name(at, units);
        if suspect && called != name(one, units) && !names.contains(&called) && names.len() < 2 {
            names.push(called);
        }
    }
    if names.is_empty() {
        String::new()
    } else {
        format!(" (or {}, if this one stands)", names.join(" and "))
    }
}
