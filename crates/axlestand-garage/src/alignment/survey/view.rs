//! The answers of a survey as a view.

use super::asked::{SurveyAnswerView, answers, asked};
use super::corner::start;
use super::doubts::doubts;
use super::fit::Surveyed;
use super::next::next;
use crate::alignment::adjustable::{USUAL_PITCH, usual_pitch};
use crate::alignment::entry::gauges;
use crate::alignment::place::{Place, wheel_word};
use crate::alignment::rounds::Rounds;
use crate::alignment::stated;
use crate::alignment::worth::NextReading;
use crate::error::GarageError;
use crate::geometry::tie_rod::thread_pitch;
use crate::geometry::typed::length;
use crate::job::Job;
use crate::units::Units;
use axlestand_geometry::estimation::Trouble;
use axlestand_geometry::estimation::alignment::{Axle, Wheel};
use axlestand_model::AxleEnd;
use serde::Serialize;

/// What is asked of a survey.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SurveyWanted {
    /// How much lower, as typed; a minus raises. Absent: a few heights.
    pub lower: Option<String>,
    /// The user's units, for what is said in words.
    pub units: Units,
}

/// What a surveyed corner does.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SurveyView {
    /// The wheel: `front-left`.
    pub wheel: String,
    /// How many readings there are: of points, and of the sweep.
    pub readings: [usize; 2],
    /// Where it starts from.
    pub start: String,
    /// Whether the readings fit each other; the answers may not be used else.
    pub sound: bool,
    /// What was found about the readings.
    pub findings: Vec<String>,
    /// What to read again, at most three.
    pub again: Vec<String>,
    /// The answers.
    pub answers: Vec<SurveyAnswerView>,
    /// What to read next, the best first.
    pub next: Vec<NextReading>,
    /// What is assumed, and other things to know.
    pub notes: Vec<String>,
}

/// Heights that are told, mm lower: 30 mm or an inch, and as much higher.
fn told(units: Units) -> [f64; 2] {
    if units == Units::Inch { [25.4, -25.4] } else { [30.0, -30.0] }
}
/// Most that is asked, mm.
const MOST_LOWER: f64 = 100.0;

/// Every corner of which points were read.
///
/// # Errors
/// [`GarageError::Input`] where none was, for a height that is not understood, and where no corner fits.
pub fn survey(job: &Job, wanted: &SurveyWanted) -> Result<Vec<SurveyView>, GarageError> {
    let limits = -MOST_LOWER..=MOST_LOWER;
    let lower =
        wanted.lower.as_deref().map(|text| length("--lower", text, wanted.units, limits)).transpose()?;
    let heights = lower.map_or_else(|| told(wanted.units).to_vec(), |by| vec![by]);
    let rounds = Rounds::of(&job.state, &gauges(&job.state));
    let mut views = Vec::new();
    for wheel in Wheel::ALL {
        let of_survey = |place: Place| matches!(place, Place::Survey { wheel: of, .. } if of == wheel);
        if rounds.now().readings.iter().any(|one| of_survey(one.place)) {
            views.push(view(job, &rounds, wheel, &heights, wanted.units)?);
        }
    }
    if views.is_empty() {
        return Err(GarageError::Input(
            "no point of a corner was read yet: it takes thirteen tapes, heights and angles and the bump sweep, some 45 minutes a corner ('axlestand read --guide survey' leads through them); for camber and toe over height alone the sweep is enough ('axlestand set bump')"
                .to_owned(),
        ));
    }
    Ok(views)
}

fn view(
    job: &Job,
    rounds: &Rounds,
    wheel: Wheel,
    heights: &[f64],
    units: Units,
) -> Result<SurveyView, GarageError> {
    let start = start(&job.car, wheel, stated::rods(&job.state))?;
    let surveyed = Surveyed::of(rounds.now(), wheel, &start.corner);
    let name = wheel_word(wheel);
    let failed = |why: Trouble| {
        GarageError::Input(format!(
            "the readings of the {} corner fit no strut corner ({why}): read again what is most in doubt ('axlestand log' shows all)",
            name.replace('-', " ")
        ))
    };
    let fit = surveyed.survey().and_then(|survey| Ok((surveyed.fit(&survey)?, survey)));
    let (estimate, survey) = fit.map_err(failed)?;
    let front = wheel.axle == Axle::Front;
    let pitch = thread_pitch(&job.car, AxleEnd::Front);
    let thread = match (front, &pitch) {
        (true, Some((pitch, _))) => *pitch,
        (true, None) => USUAL_PITCH,
        (false, _) => 1.0,
    };
    let asked = asked(heights, thread, front);
    let doubts = doubts(&surveyed, &estimate.examine(), units);
    let told = answers(&survey, &estimate, &surveyed, &asked, units).map_err(failed)?;
    let next = if doubts.sound {
        next(&survey, &estimate, &surveyed, wheel, &asked, (&gauges(&job.state), units)).map_err(failed)?
    } else {
        Vec::new()
    };
    let swept = surveyed
        .numbers
        .iter()
        .filter(|one| matches!(one.place, Place::BumpCamber(_) | Place::BumpToe(_)))
        .count();
    let mut notes = Vec::new();
    if front && pitch.is_none() {
        notes.push(usual_pitch(units));
    }
    if doubts.sound && next.is_empty() {
        notes.push(
            "nothing more is worth its minutes: no reading would lower an uncertainty by a tenth".to_owned(),
        );
    }
    Ok(SurveyView {
        wheel: name,
        readings: [surveyed.numbers.len() - swept, swept],
        start: start.from,
        sound: doubts.sound,
        findings: doubts.findings,
        again: doubts.again,
        answers: told,
        next,
        notes,
    })
}
