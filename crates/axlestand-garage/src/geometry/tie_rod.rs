//! A tie-rod end replaced: the exposed thread that gives the old length.

use super::corner::{corner, known_corner, side_of};
use super::corner_figures::CornerFigures;
use super::figures::{Figure, InputView, Source};
use super::now::{latest, reading};
use super::typed;
use crate::error::GarageError;
use crate::job::Job;
use crate::units::Units;
use axlestand_fastener::{Hand as ThreadHand, Thread};
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{Adjuster, Corner, Effect};
use axlestand_geometry::springs::{EndReplaced, NewEnd, TieRodEnd};
use axlestand_ledger::{Action, Verb};
use axlestand_model::car::{Car, Fastener};
use axlestand_model::{AxleEnd, Hand, ItemId, ReadingKind};
use axlestand_quantity::Uncertain;
use serde::Serialize;

/// Standard uncertainty of a length taken with a vernier caliper to a ball's centre, mm: a judgement (AX-71).
pub(crate) const BY_CALIPER: f64 = 0.5;
/// Toe per mm of tie rod where the hardpoints do not tell it, degrees: steering arms of 115 to
/// 160 mm, from memory (AX-71).
pub(crate) const TYPICAL_TOE_PER_MM: (f64, f64, f64) = (0.41, 0.36, 0.5);

/// How to screw on the new end.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct TieRodView {
    /// The side.
    pub side: &'static str,
    /// Exposed thread that gives the old length, mm.
    pub exposed: f64,
    /// Its standard uncertainty, mm.
    pub exposed_u: f64,
    /// The same in turns of the new end's thread, where its pitch is known.
    pub turns: Option<f64>,
    /// Standard uncertainty of this wheel's toe from the lengths alone, degrees.
    pub toe_u: f64,
    /// Toe of this wheel per turn of the end, degrees.
    pub toe_per_turn: Option<f64>,
    /// The answer in a line.
    pub line: String,
    /// Further lines.
    pub lines: Vec<String>,
    /// Every input with its origin.
    pub inputs: Vec<InputView>,
}

/// Change of toe (degrees) per mm of tie rod, with its sign, at a wheel travel.
pub(crate) fn toe_per_mm(figures: &CornerFigures, side: Side, travel: f64) -> Option<f64> {
    let mut spec = corner(figures, side)?.spec().clone();
    spec.adjusters.push((Adjuster::TieRod, 0.0));
    let corner = Corner::new(spec).ok()?;
    let at = corner.solve(travel, 0.0).ok()?;
    let mut effects = [Effect { camber: 0.0, toe: 0.0 }; 1];
    corner.adjuster_effects(&at, &mut effects).ok()?;
    Some(effects[0].toe).filter(|toe| toe.abs() > 1e-3)
}

/// The size of toe per mm of tie rod as a figure.
fn toe_rate(car: &Car, end: AxleEnd, side: Side) -> Figure {
    let axle = car.axles.iter().find(|axle| axle.name == end.word());
    let known = axle.and_then(|axle| Some((axle, toe_per_mm(&known_corner(car, axle, side)?.0, side, 0.0)?)));
    match known {
        Some((axle, rate)) => Figure::known(
            "toe per mm of tie rod",
            "°",
            rate.abs(),
            format!("hardpoints, {}", axle.provenance),
        ),
        None => {
            let (usual, low, high) = TYPICAL_TOE_PER_MM;
            let from = Source::Arms;
            Figure { from, ..Figure::typical("toe per mm of tie rod", "°", usual, (low, high), "") }
        }
    }
}

/// Pitch of the tie rod's thread in mm and where it stands: of the fastener that the exposed thread
/// has to be read before.
pub(crate) fn thread_pitch(car: &Car, axle: AxleEnd) -> Option<(f64, String)> {
    let read = [Some(Hand::Left), Some(Hand::Right), None]
        .into_iter()
        .find_map(|side| reading(car, ReadingKind::ExposedThread, axle, side))?;
    let fastener = read.before.iter().find_map(|id| car.fastener(id))?;
    let thread = Thread::parse(fastener.thread.as_deref()?).ok()?;
    Some((thread.pitch().mm(), format!("{}: {}", fastener.name, fastener.provenance)))
}

/// Whether the thread of one side's tie rod is left-hand, as the file designates that side's fastener;
/// `None` where it does not.
pub(crate) fn is_left_hand(car: &Car, axle: AxleEnd, side: Hand) -> Option<bool> {
    let read = reading(car, ReadingKind::ExposedThread, axle, Some(side))?;
    let fastener = read.before.iter().find_map(|id| car.fastener(id))?;
    let thread = Thread::parse(fastener.thread.as_deref()?).ok()?;
    Some(thread.hand() == ThreadHand::Left)
}

/// Turns as flats of a hexagon: `1.5 flats`.
pub(crate) fn flats(turns: f64) -> String {
    format!("{:.1} flats", turns * 6.0)
}

/// The witness readings of one side: exposed thread and ball centre.
fn witness(job: &Job, axle: AxleEnd, side: Hand) -> Option<(Uncertain, Uncertain)> {
    let taken = |kind| {
        let latest = latest(job, kind, axle, Some(side))?;
        Uncertain::new(latest.value, latest.u).ok()
    };
    Some((taken(ReadingKind::ExposedThread)?, taken(ReadingKind::BallCentre)?))
}

/// The exposed thread for a new end whose length from counting face to ball centre was measured.
///
/// # Errors
/// [`GarageError::Input`] where a witness reading is missing or the length is not understood.
pub fn tie_rod_end(job: &Job, side: Hand, new_length: &str, units: Units) -> Result<TieRodView, GarageError> {
    let axle = AxleEnd::Front;
    let new = typed::uncertain_mm("the new end's length", new_length, 20.0..=400.0, BY_CALIPER)?;
    let (exposed, body) = witness(job, axle, side).ok_or_else(|| missing(&job.car, axle, side))?;
    let rate = toe_rate(&job.car, axle, side_of(side));
    let pitch = thread_pitch(&job.car, axle);
    let found = replaced(exposed, body, new, pitch.as_ref().map_or(1.0, |(p, _)| *p), rate.value, units)?;
    let (value, u) = (found.exposed.value(), found.exposed.u());
    let length = |what: &str, length: Uncertain, how: &str| {
        Figure::known(what, "mm", length.value(), format!("{how}, ± {}", of_length(length.u(), units)))
            .view(units)
    };
    let mut inputs = vec![
        length("exposed thread, old end", exposed, "read"),
        length("counting face to ball centre, old end", body, "read"),
        length("counting face to ball centre, new end", new, "typed"),
        rate_view(&rate, units),
    ];
    if let Some((pitch, from)) = &pitch {
        let known = Figure::known("thread pitch", "mm", *pitch, from.clone()).view(units);
        inputs.push(InputView { value: units.pitch(*pitch), ..known });
    }
    Ok(TieRodView {
        side: side.word(),
        exposed: value,
        exposed_u: u,
        turns: pitch.as_ref().map(|_| found.exposed_turns),
        toe_u: found.toe_u,
        toe_per_turn: pitch.as_ref().map(|_| found.toe_per_turn),
        line: line(&found, units),
        lines: lines(&found, pitch.is_some(), &rate),
        inputs,
    })
}

/// The old length with a new end.
///
/// # Errors
/// [`GarageError::Input`] where no thread would show.
pub(crate) fn replaced(
    exposed: Uncertain,
    body: Uncertain,
    new: Uncertain,
    pitch: f64,
    toe_per_mm: f64,
    units: Units,
) -> Result<EndReplaced, GarageError> {
    let found = TieRodEnd { body, exposed }
        .replaced_by(&NewEnd { body: new, pitch, toe_per_mm })
        .map_err(|why| GarageError::Input(why.to_string()))?;
    if found.exposed.value() < 0.0 {
        return Err(GarageError::Input(format!(
            "the new end is {} too long for the thread that is left: it does not fit, or a length was measured from another face",
            units.length(-found.exposed.value(), 1)
        )));
    }
    Ok(found)
}

pub(crate) fn line(found: &EndReplaced, units: Units) -> String {
    let (value, places, _) = units.figure_in(found.exposed.value(), 1, "mm");
    format!(
        "Screw the new end on until {value:.places$} ± {} of thread shows.",
        units.length(found.exposed.u(), 1)
    )
}

/// A standard uncertainty behind a length whose unit stands there: millimetres without theirs.
fn of_length(u: f64, units: Units) -> String {
    if units == Units::Metric { u.to_string() } else { units.uncertainty(u) }
}

/// Toe per mm of tie rod as an input, per inch where lengths are told in inches.
pub(crate) fn rate_view(rate: &Figure, units: Units) -> InputView {
    if units == Units::Metric {
        return rate.view(units);
    }
    let per_inch = |rate: f64| 25.4 * rate;
    let told = Figure {
        what: "toe per inch of tie rod".to_owned(),
        value: per_inch(rate.value),
        range: rate.range.map(|(low, high)| (per_inch(low), per_inch(high))),
        ..rate.clone()
    };
    told.view(units)
}

pub(crate) fn lines(found: &EndReplaced, pitch_known: bool, rate: &Figure) -> Vec<String> {
    let mut all = Vec::new();
    let typical = rate.range.map_or_else(String::new, |(low, high)| {
        let k = found.exposed.u();
        format!(
            " (from {:.2}° to {:.2}°: the steering arm's length is typical, not this car's)",
            k * low,
            k * high
        )
    });
    all.push(format!(
        "The lengths alone leave this wheel's toe uncertain by ± {:.2}°{typical}: an alignment is still due.",
        found.toe_u
    ));
    if pitch_known {
        all.push(format!(
            "That is {:.1} turns from where no thread shows; one turn of the end is {:.2}° of toe, one flat {:.2}°.",
            found.exposed_turns,
            found.toe_per_turn.abs(),
            found.toe_per_turn.abs() / 6.0
        ));
    }
    all
}

fn missing(car: &Car, axle: AxleEnd, side: Hand) -> GarageError {
    let name = |kind| {
        reading(car, kind, axle, Some(side)).map(|reading| reading.id.to_string()).unwrap_or_else(|| {
            format!("a reading with kind = \"{}\" (the vehicle file has none)", ReadingKind::word(kind))
        })
    };
    GarageError::Input(format!(
        "the old length was not read on the {}: it needs {} and {}, read before the old end came off; without them screw the end on by the turns counted off, and have the toe set",
        side.phrase(),
        name(ReadingKind::ExposedThread),
        name(ReadingKind::BallCentre)
    ))
}

/// What to say beside the rows that put the end back: the length to keep.
pub(crate) fn tie_rod_remark(job: &Job, action: &Action, units: Units) -> Option<String> {
    let side = action.item.side()?;
    if !concerns(&job.car, &action.item, action.verb, side) {
        return None;
    }
    let (exposed, body) = witness(job, AxleEnd::Front, side)?;
    let together = exposed.value() + body.value();
    let (sum, places, unit) = units.figure_in(together, 1, "mm");
    Some(format!(
        "the old end: {} of thread showed, {} from counting face to ball centre, together {sum:.places$} ± {}. Measure the new end from the same face; thread to leave showing: {} less that: axlestand set tie-rod {} \"… {unit}\". An alignment is still due.",
        units.length(exposed.value(), 1),
        units.length(body.value(), 1),
        units.length(exposed.u().hypot(body.u()), 1),
        units.length(together, 1),
        side.word()
    ))
}

/// The nut that holds a front tie rod in its end: the one before which its thread is read.
pub(crate) fn jam_nut(car: &Car, side: Hand) -> Option<&Fastener> {
    let thread = reading(car, ReadingKind::ExposedThread, AxleEnd::Front, Some(side))?;
    thread.before.iter().find_map(|id| car.fastener(id))
}

/// Whether the row puts back the part whose length the witness readings keep, or the nut that holds
/// it there.
fn concerns(car: &Car, item: &ItemId, verb: Verb, side: Hand) -> bool {
    let of = |kind| reading(car, kind, AxleEnd::Front, Some(side));
    let nut = jam_nut(car, side);
    match verb {
        Verb::Fit | Verb::Final => nut.is_some_and(|nut| nut.id == *item),
        Verb::On => {
            let Some(length) = of(ReadingKind::BallCentre) else { return false };
            let mut holds = length.before.iter().filter_map(|id| car.hold(id)).peekable();
            holds.peek().is_some() && holds.all(|hold| hold.joins().contains(item))
        }
        _ => false,
    }
}
