//! The bump sweep: what height does to camber and toe of a wheel, without any geometry.

use super::entry::gauges;
use super::place::{Place, wheel_word};
use super::rounds::{Gauged, Rounds};
use super::taken::wheel_name;
use crate::count::count;
use crate::error::GarageError;
use crate::geometry::corner::known_corner;
use crate::job::Job;
use crate::units::Units;
use axlestand_geometry::estimation::Verdict;
use axlestand_geometry::estimation::alignment::{Axle, Wheel};
use axlestand_geometry::estimation::survey::{BumpSweep, SweepPoint};
use serde::Serialize;

/// What another height does to an angle of a wheel.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct BumpAnswer {
    /// How much lower the car, mm.
    pub lowered: f64,
    /// Change of the angle, degrees: camber top outward positive, toe-in positive.
    pub change: f64,
    /// Its standard uncertainty, degrees.
    pub u: f64,
    /// The same change by the hardpoints of the file, degrees, where it has them.
    pub by_hardpoints: Option<f64>,
}

/// The sweep of one angle of a wheel.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct BumpView {
    /// The wheel.
    pub wheel: String,
    /// `camber` or `toe`.
    pub angle: &'static str,
    /// How many heights were read.
    pub heights: usize,
    /// Why there is no answer, or what to read again.
    pub notes: Vec<String>,
    /// Changes, for heights within the sweep.
    pub answers: Vec<BumpAnswer>,
}

/// Standard uncertainty of a hub height in the sweep, mm, and the least spread that tells a curve (AX-23).
const HEIGHT_U: f64 = 1.0;
const LEAST_SPREAD: f64 = 40.0;
/// What the tool does not show as better than this, degrees: bushes, top mounts, a tyre on the floor
/// (AX-23).
const FLOOR: [f64; 2] = [0.05, 0.03];
/// How much lower is told, mm: whole tens and fives, or quarters and halves of an inch.
fn told(units: Units) -> [f64; 6] {
    match units {
        Units::Metric => [-30.0, -15.0, 10.0, 15.0, 30.0, 60.0],
        Units::Inch => [-1.0, -0.5, 0.25, 0.5, 1.0, 2.0].map(|inches| 25.4 * inches),
    }
}

/// Every sweep that was begun.
///
/// # Errors
/// [`GarageError::Input`] where none was, with why tapes alone do not tell it.
pub fn bump(job: &Job, units: Units) -> Result<Vec<BumpView>, GarageError> {
    let rounds = Rounds::of(&job.state, &gauges(&job.state));
    let mut views = Vec::new();
    for wheel in Wheel::ALL {
        for (angle, place) in [("camber", Place::BumpCamber(wheel)), ("toe", Place::BumpToe(wheel))] {
            let read: Vec<&Gauged> = rounds.now().readings.iter().filter(|one| one.place == place).collect();
            if !read.is_empty() {
                views.push(view(job, (wheel, angle), &read, units)?);
            }
        }
    }
    if views.is_empty() {
        let (travel, slip) = match units {
            Units::Metric => ("30 mm", "a millimetre or two"),
            Units::Inch => ("1 1/4 in", "a sixteenth of an inch"),
        };
        return Err(GarageError::Input(format!(
            "no bump sweep was read, and nothing else tells bump steer: from tapes alone it is uncertain by 0.12° for {travel}, more than most cars have, since the height of a tie-rod ball cannot be taped to better than {slip}; the sweep takes 15 minutes a wheel ('axlestand read --guide bump' leads through it)"
        )));
    }
    Ok(views)
}

fn view(
    job: &Job,
    (wheel, angle): (Wheel, &'static str),
    read: &[&Gauged],
    units: Units,
) -> Result<BumpView, GarageError> {
    let points: Vec<SweepPoint> =
        read.iter().map(|one| SweepPoint { travel: one.at.unwrap_or(0.0), value: one.value }).collect();
    let mut heights: Vec<f64> = points.iter().map(|point| point.travel).collect();
    heights.sort_by(f64::total_cmp);
    heights.dedup_by(|a, b| (*a - *b).abs() < 2.0);
    let name = wheel_word(wheel);
    let mut view = BumpView {
        wheel: name.clone(),
        angle,
        heights: heights.len(),
        notes: Vec::new(),
        answers: Vec::new(),
    };
    let (low, high) = (heights.first().copied().unwrap_or(0.0), heights.last().copied().unwrap_or(0.0));
    if heights.len() < 3 || high - low < LEAST_SPREAD {
        let (least, places, _) = units.figure_in(low, 0, "mm");
        let wide = match units {
            Units::Metric => "-60, 0 and +60 mm",
            Units::Inch => "-2 1/2, 0 and +2 1/2 in",
        };
        view.notes.push(format!(
            "{} of the {}: {} from {least:+.places$} to {} give no curve; three are needed, wide apart: {wide} are nearly as good as five",
            angle,
            wheel_name(wheel),
            count(heights.len(), "height"),
            units.signed_length(high, 0)
        ));
        return Ok(view);
    }
    let sigma = (read.iter().map(|one| one.u * one.u).sum::<f64>() / read.len() as f64).sqrt();
    let input = |why: axlestand_geometry::estimation::Trouble| GarageError::Input(why.to_string());
    let sweep = BumpSweep::fit(&points, sigma, HEIGHT_U).map_err(input)?;
    let examined = sweep.estimate().examine();
    let name_of = |i: usize| match (units, points.get(i)) {
        (Units::Inch, Some(point)) => format!("at {}", units.signed_length(point.travel, 0)),
        _ => examined.readings[i].name.clone(),
    };
    match &examined.verdict {
        Verdict::Suspect { reading, .. } => view
            .notes
            .push(format!("the reading {} does not fit the others: read it again", name_of(*reading))),
        Verdict::CannotLocate { among } => {
            let names: Vec<String> = among.iter().take(3).map(|i| name_of(*i)).collect();
            view.notes.push(format!(
                "something is wrong, and it cannot be told which: read again {}",
                names.join(", ")
            ));
        }
        Verdict::Unchecked => {
            view.notes.push("three heights check nothing: a fourth and fifth show slips".to_owned());
        }
        _ => {}
    }
    let floor = FLOOR[usize::from(angle == "toe")];
    for lowered in told(units).into_iter().filter(|lowered| (low..=high).contains(lowered)) {
        let answer = sweep.change(lowered).map_err(input)?;
        let by_hardpoints = by_hardpoints(job, wheel, angle, lowered);
        view.answers.push(BumpAnswer {
            lowered,
            change: answer.value,
            u: answer.u.max(floor),
            by_hardpoints,
        });
    }
    if let Some(odd) = view
        .answers
        .iter()
        .find(|answer| answer.by_hardpoints.is_some_and(|by| (by - answer.change).abs() > 3.0 * answer.u))
    {
        view.notes.push(format!(
            "the hardpoints of the file make it {:+.2}° at {}: a point is off, or something is bent; the sweep is what this car does",
            odd.by_hardpoints.unwrap_or_default(),
            units.signed_length(odd.lowered, 0)
        ));
    }
    Ok(view)
}

/// Change of an angle by the kinematics of the file's hardpoints.
fn by_hardpoints(job: &Job, wheel: Wheel, angle: &str, lowered: f64) -> Option<f64> {
    let name = if wheel.axle == Axle::Front { "front" } else { "rear" };
    let axle = job.car.axles.iter().find(|axle| axle.name == name)?;
    let (_, corner) = known_corner(&job.car, axle, wheel.side)?;
    let (_, here) = corner.at(0.0, 0.0).ok()?;
    let (_, there) = corner.at(lowered, 0.0).ok()?;
    Some(if angle == "toe" { there.toe - here.toe } else { there.camber - here.camber })
}
