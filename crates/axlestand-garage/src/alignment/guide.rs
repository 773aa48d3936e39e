//! The lists that lead through a method: what is read, from where to where, in which order, how many
//! times, and what is still missing.

use super::entry::{gauges, text};
use super::instruments::instrument;
use super::method::{Method, methods};
use super::place::Place;
use super::place_words::from_where;
use super::rounds::Rounds;
use crate::error::GarageError;
use crate::job::Job;
use serde::Serialize;

/// A method in a line.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct MethodView {
    /// Its word.
    pub method: &'static str,
    /// Its name.
    pub name: &'static str,
    /// What it tells.
    pub tells: &'static str,
    /// Numbers read in the present round.
    pub read: usize,
    /// Numbers it takes.
    pub of: usize,
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
    /// Its steps.
    pub steps: Vec<GuideStep>,
    /// The place to read next.
    pub next: Option<String>,
    /// The command for it.
    pub command: Option<String>,
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

fn view(method: &Method, rounds: &Rounds) -> MethodView {
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
    MethodView { method: method.word, name: method.name, tells: method.tells, read, of }
}

/// Every method in a line.
#[must_use]
pub fn guides(job: &Job) -> Vec<MethodView> {
    let rounds = Rounds::of(&job.state, &gauges(&job.state));
    methods().iter().map(|method| view(method, &rounds)).collect()
}

/// The list of one method.
///
/// # Errors
/// [`GarageError::Selection`] with the methods there are.
pub fn guide(job: &Job, typed: &str) -> Result<GuideView, GarageError> {
    let gauges = gauges(&job.state);
    let rounds = Rounds::of(&job.state, &gauges);
    let all = methods();
    let fits: Vec<&Method> = all
        .iter()
        .filter(|method| !typed.trim().is_empty() && method.word.starts_with(typed.trim()))
        .collect();
    let [method] = fits.as_slice() else {
        let words: Vec<&str> = all.iter().map(|method| method.word).collect();
        return Err(GarageError::Selection(format!(
            "'{typed}' is no method; there are {}",
            words.join(", ")
        )));
    };
    let at_hand = rounds.at_hand();
    let place_view = |place: &Place, times: usize| {
        let with = instrument(*place, &gauges);
        let here = at_hand.readings.iter().filter(|one| one.place == *place);
        let unit = place.unit();
        let u = rounds.repeated.get(place.kind()).map_or(with.u, |known| known.with_usual(with.u));
        GuidePlace {
            place: place.name(),
            what: from_where(*place),
            instrument: with.name,
            u: format!("{}{unit}", (u * 100.0).round() / 100.0),
            unit: place.dimension().own_unit(),
            at: place.at_means(),
            times,
            read: here.map(|one| text(one.place, one.value, one.u)).collect(),
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
    let is_sweep = method.word == "bump";
    let needs_at = next.is_some_and(|place| place.at.is_some() && (place.read.is_empty() || is_sweep));
    let unit = next.and_then(|place| Place::named(&place.place)).map(Place::unit);
    let command = next.map(|place| {
        let at = if needs_at { " --at \"… mm\"" } else { "" };
        format!("axlestand read {} \"…{}\"{at}", place.place, unit.unwrap_or_default())
    });
    let next = next.map(|place| place.place.clone());
    Ok(GuideView { method: view(method, &rounds), takes: method.takes, steps, next, command })
}
