//! A number is entered: understood, held against what is known already, and recorded, or asked about.

use super::instruments::{FINEST_SHARE, instrument};
use super::place::Place;
use super::rounds::{Gauged, Round, Rounds};
use super::sizes::sizes;
use super::stated;
use super::survey;
use super::taken::{Collected, collected};
use crate::error::GarageError;
use crate::geometry::typed::length;
use crate::job::{Garage, Job, Recorded};
use crate::toolbox::{GaugeEntry, read_gauges};
use crate::typed;
use crate::units::Units;
use axlestand_geometry::estimation::alignment::{Finding, Outcome, Taken, estimate};
use axlestand_geometry::estimation::repeat_differs;
use axlestand_ledger::{Entry, Event, JobState};
use axlestand_model::CarState;
use axlestand_model::car::Car;
use axlestand_quantity::{Dimension, Uncertain};
use serde::Serialize;

/// Numbers as they are typed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GaugeAsked {
    /// Place and value, each as typed.
    pub readings: Vec<(String, String)>,
    /// Where along car or plate, or how far the hub is raised.
    pub at: Option<String>,
    /// It was looked at again and stands: recorded without asking, earlier ones there count no more.
    pub sure: bool,
    /// The instrument.
    pub instrument: Option<String>,
    /// The user's units, for what is said in words.
    pub units: Units,
}

/// A number as it was recorded.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct GaugedView {
    /// The place.
    pub place: String,
    /// From where to where.
    pub what: String,
    /// The value in the project's own unit.
    pub value: f64,
    /// Its standard uncertainty in the same unit.
    pub u: f64,
    /// The unit.
    pub unit: &'static str,
    /// Value, uncertainty and unit as text.
    pub text: String,
}

/// A number that was not recorded, with what to ask.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct QuestionView {
    /// The place.
    pub place: String,
    /// The value as it was typed.
    pub typed: String,
    /// What is odd about it.
    pub question: String,
}

/// What came of entering.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GaugeAnswer {
    /// Recorded.
    pub gauged: Vec<GaugedView>,
    /// Not recorded, asked about.
    pub questions: Vec<QuestionView>,
}

/// The owner's gauges of a job.
pub(crate) fn gauges(state: &JobState) -> Vec<GaugeEntry> {
    state.toolbox.as_deref().map(read_gauges).unwrap_or_default()
}

/// Whether a name is that of a place of the wheels rather than of a reading of the vehicle file.
#[must_use]
pub fn is_place(car: &Car, typed: &str) -> bool {
    let own = car.resolve(typed).is_ok_and(|ids| ids.iter().any(|id| car.reading(id).is_some()));
    !own && Place::is_one(typed)
}

impl Garage {
    /// Records numbers read off gauges for the wheels' alignment. One that disagrees with the others is
    /// asked about and not recorded, unless the owner is sure.
    ///
    /// # Errors
    /// [`GarageError`] for a place there is not, a value that is not understood or that no car has;
    /// nothing is recorded then.
    pub fn gauge(&mut self, asked: &GaugeAsked) -> Result<Recorded<GaugeAnswer>, GarageError> {
        let own = typed::optional("the instrument", asked.instrument.clone())?;
        self.record(|job| {
            let gauges = gauges(&job.state);
            let mut state = job.state.clone();
            let (mut events, mut answer) = (Vec::new(), GaugeAnswer::default());
            for (place, text) in &asked.readings {
                let (one, kept) = understood(&job.car, &state, place, text, asked, &gauges)?;
                let event = event(&one, &kept, asked.sure, own.clone());
                let before = Rounds::of(&state, &gauges);
                let mut then = state.clone();
                let id = format!("in-hand-{}", events.len());
                then.apply(&Entry { id, at: String::new(), event: event.clone() });
                let after = Rounds::of(&then, &gauges);
                let question =
                    if asked.sure { None } else { question(job, &before, &after, &one, asked.units)? };
                if let Some(question) = question {
                    answer.questions.push(QuestionView { place: one.place.name(), typed: kept, question });
                    continue;
                }
                answer.gauged.push(view(&one, asked.units));
                events.push(event);
                state = then;
            }
            Ok((events, answer))
        })
    }
}

fn event(one: &Gauged, typed: &str, sure: bool, instrument: Option<String>) -> Event {
    Event::Gauged {
        place: one.place.name(),
        value: one.value,
        u: one.u,
        own_u: one.own_u,
        at: one.at,
        sure,
        typed: typed.to_owned(),
        instrument,
    }
}

/// A number as text: `52.5 ± 0.5 mm`.
pub(crate) fn text(place: Place, value: f64, u: f64, units: Units) -> String {
    let unit = place.unit();
    if place.dimension() == Dimension::Length && units == Units::Inch {
        return units.reading(Dimension::Length, value, u);
    }
    Uncertain::new(value, u).map_or_else(|_| format!("{value}{unit}"), |x| format!("{x}{unit}"))
}

fn view(one: &Gauged, units: Units) -> GaugedView {
    GaugedView {
        place: one.place.name(),
        what: super::place_words::from_where(one.place),
        value: one.value,
        u: one.u,
        unit: one.place.dimension().own_unit(),
        text: text(one.place, one.value, one.u, units),
    }
}

/// What was typed, as it is recorded.
fn understood(
    car: &Car,
    state: &JobState,
    place: &str,
    typed: &str,
    asked: &GaugeAsked,
    gauges: &[GaugeEntry],
) -> Result<(Gauged, String), GarageError> {
    let place = Place::parse(place)?;
    if let Place::Survey { wheel, .. } = place {
        survey::start(car, wheel, None)?;
    }
    let kept = typed::remark("the value", typed)?;
    let name = place.name();
    let wrong = |why: String| GarageError::Input(format!("{name}: {why}"));
    let parsed = place.dimension().parse(&kept).map_err(|why| wrong(why.to_string()))?;
    let (least, most) = possible(place);
    if !(least..=most).contains(&parsed.value) {
        let here = |value: f64| {
            let value = asked.units.figure_in(value, 0, place.dimension().own_unit()).0;
            (value * 100.0).round() / 100.0
        };
        let unit = place.unit_in(asked.units);
        let (value, least, most) = (here(parsed.value), here(least), here(most));
        return Err(wrong(format!(
            "{value}{unit} is not possible here; it is from {least} to {most}{unit}: are unit and place right?"
        )));
    }
    if parsed.u.is_some_and(|u| u <= 0.0) {
        return Err(wrong(
            "no reading is without uncertainty: leave the ± out, or give more than 0".to_owned(),
        ));
    }
    let usual = instrument(place, gauges).u;
    if parsed.u.is_some_and(|u| u < FINEST_SHARE * usual) {
        return Err(wrong(format!(
            "± is finer than anything read in a garage; the usual is {}: leave it out, or say honestly how far off it may be",
            place.uncertainty(usual, asked.units)
        )));
    }
    let on_stands = state.stands() == CarState::OnStands;
    if on_stands && !place.is_on_stands() && !matches!(place, Place::Thread(_) | Place::RimSize) {
        return Err(wrong(
            "the car is on stands: this is read with it on its wheels, lowered and settled (the stands hold the body, not the wheels)"
                .to_owned(),
        ));
    }
    let at = along(&Rounds::of(state, gauges), place, asked.at.as_deref(), asked.units)?;
    let u = parsed.u.unwrap_or(usual);
    Ok((Gauged { place, value: parsed.value, u, own_u: parsed.u.is_some(), at }, kept))
}

/// Between what a number of this kind lies on any car (AX-23).
fn possible(place: Place) -> (f64, f64) {
    match place {
        Place::Rim { .. } | Place::Hub(_) => (1.0, 1000.0),
        Place::Spacing(_) => (1000.0, 4000.0),
        Place::RimSize => (250.0, 700.0),
        Place::Plates { .. } | Place::Trammel { .. } => (600.0, 2600.0),
        Place::Straight { .. } => (-100.0, 300.0),
        Place::Camber { .. } => (-12.0, 12.0),
        Place::Floor(_) => (1.0, 1000.0),
        Place::Slope { .. } => (-5.0, 5.0),
        Place::SweepTurn { .. } => (5.0, 45.0),
        Place::SweepCamber { .. } => (-25.0, 25.0),
        Place::Wheelbase(_) | Place::Diagonal(_) => (1500.0, 5000.0),
        Place::RunOut { .. } => (-10.0, 10.0),
        Place::Steering | Place::SteeringRoad => (-90.0, 90.0),
        Place::Height(_) => (150.0, 900.0),
        Place::Thread(_) => (0.0, 120.0),
        Place::Pressure(_) => (80.0, 600.0),
        Place::Load(_) => (0.0, 800.0),
        Place::BumpCamber(_) => (-15.0, 15.0),
        Place::BumpToe(_) => (-10.0, 10.0),
        Place::Survey { spot, .. } => spot.possible(),
    }
}

/// Where along car or plate: typed, else as the last time there.
fn along(
    rounds: &Rounds,
    place: Place,
    typed: Option<&str>,
    units: Units,
) -> Result<Option<f64>, GarageError> {
    // In a run of several places it is for those that need it.
    let Some(means) = place.at_means() else { return Ok(None) };
    let is_bump = matches!(place, Place::BumpCamber(_) | Place::BumpToe(_));
    let limits = match place {
        Place::Spacing(_) => 0.0..=3000.0,
        _ if is_bump => -150.0..=150.0,
        _ => 150.0..=1500.0,
    };
    if let Some(typed) = typed {
        return length(&format!("--at, {means}"), typed, units, limits).map(Some);
    }
    let alike = |one: &&Gauged| match place {
        Place::Spacing(_) => one.place == place,
        _ => one.place.kind() == place.kind(),
    };
    let last = rounds.list.iter().rev().find_map(|round| round.readings.iter().rev().find(alike)?.at);
    if let (Some(last), false) = (last, is_bump) {
        return Ok(Some(last));
    }
    let unit = units.length_unit();
    Err(GarageError::Input(format!("{}: say {means}: --at \"… {unit}\"", place.name())))
}

/// What is odd about a number, held against everything that was read before it.
fn question(
    job: &Job,
    before: &Rounds,
    after: &Rounds,
    one: &Gauged,
    units: Units,
) -> Result<Option<String>, GarageError> {
    let car = &job.car;
    let earlier = before.at_hand();
    if let Some(question) = repeat(&earlier, after.now(), one, units) {
        return Ok(Some(question));
    }
    if one.place.is_on_stands() {
        return Ok(survey::question(car, stated::rods(&job.state), &earlier, one, units));
    }
    if !is_reckoned(one.place) {
        return Ok(None);
    }
    let size = sizes(car, after.now(), units)?.car;
    let (old, new) = (collected(&size, &earlier), collected(&size, after.now()));
    let Some(at) = new.places.iter().rposition(|place| *place == one.place.reading()) else {
        return Ok(None);
    };
    let fitted = |taken: &[Taken]| estimate(&size, taken, None).ok();
    let (Some(was), Some(is)) = (fitted(&old.taken), fitted(&new.taken)) else { return Ok(None) };
    let mixed = is.findings.iter().find(|finding| matches!(finding, Finding::MixedUp { .. }));
    if let Some(expected) = expected(&was, &new.taken[at], one.place, units) {
        let others = match mixed {
            Some(mixed) => format!("; {mixed}"),
            None => other_suspects(&is, &new, at),
        };
        return Ok(Some(format!("{expected}{others}")));
    }
    let known: Vec<String> = blocking(&was).map(ToString::to_string).collect();
    let fresh = blocking(&is).find(|finding| !known.contains(&finding.to_string()));
    let fresh = fresh.map(|finding| format!("with it, {}", finding.said(units.lengths())));
    Ok(fresh.or_else(|| apart(after.now(), one, units)))
}

/// Strings on bars of equal length that run together or apart by more than this, mm, are asked about
/// (AX-23).
const BARS_ALIKE: f64 = 8.0;

/// A bar much longer or shorter than the other one: front and rear swapped, or a slip.
fn apart(after: &Round, one: &Gauged, units: Units) -> Option<String> {
    let Place::Spacing(axle) = one.place else { return None };
    let other = after.readings.iter().rev().find_map(|other| match other.place {
        Place::Spacing(of) if of != axle => Some(other.value),
        _ => None,
    })?;
    let off = (one.value - other).abs();
    (off > BARS_ALIKE).then(|| {
        format!(
            "the strings would be {} wider at one bar than at the other, and nothing but reading both twice shows a slip there: are front and rear swapped?",
            units.length(off, 1)
        )
    })
}

/// Earlier readings that may be wrong instead, the likeliest first.
fn other_suspects(is: &Outcome, new: &Collected, at: usize) -> String {
    let Some(estimate) = &is.estimate else { return String::new() };
    let examination = &estimate.examination;
    let suspects: Vec<String> = examination
        .by_size()
        .into_iter()
        .filter(|i| *i != at && examination.readings[*i].standardised.abs() > 3.0)
        .filter_map(|i| new.places.get(i).map(|place| place.name()))
        .filter(|name| new.places.get(at).is_none_or(|own| own.name() != *name))
        .take(2)
        .collect();
    if suspects.is_empty() {
        String::new()
    } else {
        format!(" (or {}, if this one stands)", suspects.join(" and "))
    }
}

fn blocking(outcome: &Outcome) -> impl Iterator<Item = &Finding> {
    outcome.findings.iter().filter(|finding| finding.blocks())
}

/// Whether the estimate of the wheels rests on it.
fn is_reckoned(place: Place) -> bool {
    !matches!(
        place,
        Place::Steering
            | Place::SteeringRoad
            | Place::Height(_)
            | Place::Thread(_)
            | Place::Pressure(_)
            | Place::Load(_)
            | Place::RimSize
    )
}

/// Another reading of the same place that differs more than chance allows.
fn repeat(before: &Round, after: &Round, one: &Gauged, units: Units) -> Option<String> {
    let here = |other: &&Gauged| other.place == one.place && other.at == one.at;
    let u = after.readings.iter().rev().find(here).map_or(one.u, |new| new.u.min(one.u));
    let others: Vec<&Gauged> = before.readings.iter().filter(here).collect();
    let differs = |other: &&&Gauged| repeat_differs([other.value, one.value], [other.u, u]) == Ok(true);
    if others.is_empty() || others.iter().filter(differs).count() < others.len() {
        return None;
    }
    let last = others.last()?;
    let said = |value: f64| one.place.said(value, 1, units);
    Some(format!(
        "it differs by {} from the {} read there before: read it a third time",
        said((one.value - last.value).abs()),
        said(last.value)
    ))
}

/// From this uncertainty on the others do not foretell a reading, degrees and mm (AX-23).
const VAGUE: [f64; 2] = [2.0, 15.0];

/// A reading that is off what the others foretell.
fn expected(was: &Outcome, taken: &Taken, place: Place, units: Units) -> Option<String> {
    let expected = was.estimate.as_ref()?.expect(taken).ok()?;
    let found = expected.check(taken.kind.value()).ok()?;
    // Before others bear on it there is nothing to hold it against but what is usual.
    let vague = if place.dimension() == Dimension::Angle { VAGUE[0] } else { VAGUE[1] };
    if !found.questioned || expected.u > vague {
        return None;
    }
    let (low, high) = expected.window();
    let off = taken.kind.value() - expected.value;
    let places = if place.dimension() == Dimension::Angle { 2 } else { 1 };
    let what = match place {
        Place::Plates { .. } | Place::Trammel { .. } | Place::Straight { .. } => "the difference of the two",
        Place::Floor(_) | Place::Slope { .. } => "the step of the floor",
        Place::SweepTurn { .. } | Place::SweepCamber { .. } => "the change of camber",
        _ => "this one",
    };
    Some(format!(
        "{what} disagrees by {} with the others, which make it {} to {}: read it again",
        place.said(off.abs(), places, units),
        place.figure(low, places, units),
        place.said(high, places, units)
    ))
}
