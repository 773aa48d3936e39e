//! The lists that lead through a method: what is read, from where to where, in which order, how many
//! times, and what is still missing.

use super::entry::{gauges, text};
use super::instruments::instrument;
use super::method::{Method, methods};
use super::on_stands;
use super::place::{Place, wheel_word};
use super::place_words::from_where;
use super::rounds::Rounds;
use super::survey::start;
use crate::error::GarageError;
use crate::job::Job;
use crate::units::Units;
use axlestand_geometry::estimation::alignment::Wheel;
use axlestand_model::car::Car;
use serde::Serialize;

/// A method in a line.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct MethodView {
    /// Its word; of a wheel other than the front left one with the wheel: `survey.front-right`.
    pub method: String,
    /// Its name.
    pub name: &'static str,
    /// What it tells.
    pub tells: &'static str,
    /// Numbers read in the present round.
    pub read: usize,
    /// Numbers it takes.
    pub of: usize,
    /// The same for the other wheels, where it goes wheel by wheel: the method's word and the wheel.
    pub others: Vec<(String, String)>,
}

/// The list of one method.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct GuideView {
    /// The method.
    #[serde(flatten)]
    pub method: MethodView,
    /// What it takes.
    pub takes: &'static str,
    /// Whether it is read with the car on stands; else with it on its wheels.
    pub on_stands: bool,
    /// Its steps.
    pub steps: Vec<GuideStep>,
    /// The place to read next.
    pub next: Option<String>,
    /// The command for it.
    pub command: Option<String>,
    /// The command that answers.
    pub answer: &'static str,
    /// What a list that is read on stands tells so far, in lines; empty for the others, which
    /// [`alignment`](super::alignment()) answers.
    pub told: Vec<String>,
}

/// One step of a list.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct GuideStep {
    /// What to do.
    pub how: &'static str,
    /// Whether it may be left out.
    pub optional: bool,
    /// What to read.
    pub places: Vec<GuidePlace>,
}

/// One place of a list.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct GuidePlace {
    /// Its name.
    pub place: String,
    /// From where to where.
    pub what: String,
    /// With what.
    pub instrument: String,
    /// Standard uncertainty of one reading, as text.
    pub u: String,
    /// The unit it is read in.
    pub unit: &'static str,
    /// What `--at` is, where it is needed.
    pub at: Option<&'static str>,
    /// How many times it is read.
    pub times: usize,
    /// What was read, in its order.
    pub read: Vec<String>,
}

/// The wheel that is meant where none is named.
const USUAL: Wheel = Wheel::ALL[0];

fn view(method: &Method, wheel: Wheel, rounds: &Rounds) -> MethodView {
    let at_hand = rounds.at_hand();
    let count = |place: &Place| at_hand.readings.iter().filter(|one| one.place == *place).count();
    let needed = method.steps.iter().filter(|step| !step.optional);
    let (mut read, mut of) = (0, 0);
    for step in needed {
        for place in &step.places {
            read += count(place).min(step.times);
            of += step.times;
        }
    }
    let of_wheel = if wheel == USUAL { String::new() } else { format!(".{}", wheel_word(wheel)) };
    let word = format!("{}{of_wheel}", method.word);
    MethodView { method: word, name: method.name, tells: method.tells, read, of, others: Vec::new() }
}

/// Whether a method surveys a corner.
fn is_survey(method: &Method) -> bool {
    matches!(method.word, "survey" | "full-survey")
}

/// Whether a method goes wheel by wheel.
fn is_by_wheel(method: &Method) -> bool {
    is_survey(method) || method.word == "bump"
}

/// Every method in a line. Those that go wheel by wheel stand for the front left one; the survey where the
/// car has strut corners in front.
#[must_use]
pub fn guides(job: &Job, units: Units) -> Vec<MethodView> {
    let rounds = Rounds::of(&job.state, &gauges(&job.state));
    let known = start(&job.car, USUAL, None).is_ok();
    let all = methods(USUAL, units).into_iter().filter(|method| known || !is_survey(method));
    let of_wheel = |method: &Method, wheel: &Wheel| {
        let there = !is_survey(method) || start(&job.car, *wheel, None).is_ok();
        let word = wheel_word(*wheel);
        there.then(|| (format!("{}.{word}", method.word), word.replace('-', " ")))
    };
    let others = |method: &Method| -> Vec<(String, String)> {
        let wheels = Wheel::ALL.iter().filter(|wheel| **wheel != USUAL && is_by_wheel(method));
        wheels.filter_map(|wheel| of_wheel(method, wheel)).collect()
    };
    all.map(|method| MethodView { others: others(&method), ..view(&method, USUAL, &rounds) }).collect()
}

/// The method that was typed, and the wheel: `survey`, `bump.rl`.
fn typed_method(car: &Car, typed: &str, units: Units) -> Result<(Method, Wheel), GarageError> {
    let typed = typed.trim();
    let (word, of) = typed.split_once('.').map_or((typed, None), |(word, of)| (word, Some(of)));
    let wheel = match of {
        None => USUAL,
        Some(of) => Place::wheel(of).ok_or_else(|| {
            GarageError::Selection(format!(
                "'{typed}': '{of}' is no wheel; write it like {word}.fr or {word}.front-right"
            ))
        })?,
    };
    let all = methods(wheel, units);
    let exact: Vec<&Method> = all.iter().filter(|method| method.word == word).collect();
    let begun: Vec<&Method> =
        all.iter().filter(|method| !word.is_empty() && method.word.starts_with(word)).collect();
    let fits = if exact.is_empty() { begun } else { exact };
    let [method] = fits.as_slice() else {
        let words: Vec<&str> = all.iter().map(|method| method.word).collect();
        return Err(GarageError::Selection(format!(
            "'{typed}' is no method; there are {}",
            words.join(", ")
        )));
    };
    if of.is_some() && !is_by_wheel(method) {
        return Err(GarageError::Selection(format!(
            "'{typed}': '{}' is for the whole car, leave the wheel out",
            method.word
        )));
    }
    if is_survey(method) {
        start(car, wheel, None)?;
    }
    Ok(((*method).clone(), wheel))
}

/// The list of one method.
///
/// # Errors
/// [`GarageError::Selection`] with the methods there are; [`GarageError::Input`] for the survey of a corner
/// that it does not know.
pub fn guide(job: &Job, typed: &str, units: Units) -> Result<GuideView, GarageError> {
    let gauges = gauges(&job.state);
    let rounds = Rounds::of(&job.state, &gauges);
    let (method, wheel) = typed_method(&job.car, typed, units)?;
    let at_hand = rounds.at_hand();
    let place_view = |place: &Place, times: usize| {
        let with = instrument(*place, &gauges);
        let here = at_hand.readings.iter().filter(|one| one.place == *place);
        let u = rounds.repeated.get(place.kind()).map_or(with.u, |known| known.with_usual(with.u));
        GuidePlace {
            place: place.name(),
            what: from_where(*place),
            instrument: with.name,
            u: place.uncertainty(u, units),
            unit: place.dimension().own_unit(),
            at: place.at_means(),
            times,
            read: here.map(|one| text(one.place, one.value, one.u, units)).collect(),
        }
    };
    let steps: Vec<GuideStep> = method
        .steps
        .iter()
        .map(|step| GuideStep {
            how: step.how,
            optional: step.optional,
            places: step.places.iter().map(|place| place_view(place, step.times)).collect(),
        })
        .collect();
    let missing = steps.iter().filter(|step| !step.optional).flat_map(|step| &step.places);
    let next = missing.into_iter().find(|place| place.read.len() < place.times);
    // Where bars and tapes are is remembered; each height of a sweep is another one.
    let needs_at =
        next.is_some_and(|place| place.at.is_some() && (place.read.is_empty() || is_by_wheel(&method)));
    let unit = next.and_then(|place| Place::named(&place.place)).map(|place| place.unit_in(units));
    let command = next.map(|place| {
        let at = if needs_at { format!(" --at \"… {}\"", units.length_unit()) } else { String::new() };
        format!("axlestand read {} \"…{}\"{at}", place.place, unit.unwrap_or_default())
    });
    let next = next.map(|place| place.place.clone());
    Ok(GuideView {
        method: view(&method, wheel, &rounds),
        takes: method.takes,
        on_stands: is_by_wheel(&method),
        steps,
        next,
        command,
        answer: match method.word {
            "bump" => "axlestand set bump",
            _ if is_survey(&method) => "axlestand set survey",
            _ => "axlestand set alignment",
        },
        told: match method.word {
            "bump" => on_stands::swept(job, wheel, units),
            _ if is_survey(&method) => on_stands::surveyed(job, wheel, units),
            _ => Vec::new(),
        },
    })
}
