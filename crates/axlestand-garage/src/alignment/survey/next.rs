//! What to read next of a survey: single readings, or two of a sweep, by what they bring for their minutes.

use super::asked::{Asked, no_bump_steer};
use super::fit::Surveyed;
use super::spots::Spot;
use crate::alignment::instruments::instrument;
use crate::alignment::place::Place;
use crate::alignment::worth::NextReading;
use crate::toolbox::GaugeEntry;
use crate::units::Units;
use axlestand_geometry::estimation::alignment::Wheel;
use axlestand_geometry::estimation::survey::{StrutSurvey, SurveyAnswer, SurveyKind};
use axlestand_geometry::estimation::{Candidate, Estimate, Model, Planned, Trouble, Wanted, Worth};

/// Heights of a sweep, mm.
const HEIGHTS: [f64; 5] = [-60.0, -30.0, 0.0, 30.0, 60.0];
/// Those that are read in inches: 2 1/2 and 1 1/4 down and up.
const HEIGHTS_IN_INCHES: [f64; 5] = [-63.5, -31.75, 0.0, 31.75, 63.5];
/// Heights nearer than this are the same one, mm.
const SAME_HEIGHT: f64 = 5.0;
/// Minutes to get a sweep ready (AX-51).
const SET_UP: f64 = 5.0;
/// How certain camber and toe are wanted, degrees, and toe of the tie rod as a share of itself (AX-53).
const WANTED: [f64; 3] = [0.10, 0.05, 0.05];
/// An uncertainty that is wanted of what is not asked, degrees.
const NEVER_MIND: f64 = 1e6;
/// A reading has to lower the uncertainty of an answer to this share to be worth naming (AX-53).
const WORTH: f64 = 0.9;
/// How many times a spot is read.
const PASSES: usize = 2;

/// A reading that could be taken.
struct Possible {
    name: String,
    minutes: f64,
    sigma: f64,
    model: Box<dyn Model>,
}

/// Readings that could be taken in one go.
struct Block {
    method: &'static str,
    set_up: f64,
    members: Vec<Possible>,
}

/// The best to read next, at most three.
pub(super) fn next(
    survey: &StrutSurvey,
    estimate: &Estimate,
    surveyed: &Surveyed,
    wheel: Wheel,
    asked: &[Asked],
    (gauges, units): (&[GaugeEntry], Units),
) -> Result<Vec<NextReading>, Trouble> {
    // Other heights go with the first one.
    let is_first = |at: usize| !asked[..at].iter().any(|one| one.word == asked[at].word);
    let asked: Vec<&Asked> = (0..asked.len())
        .filter(|at| is_first(*at) && asked[*at].word != "shim")
        .map(|at| &asked[at])
        .collect();
    let kinds: Vec<SurveyAnswer> = asked.iter().map(|one| one.answer).collect();
    let answers = estimate.answers(&survey.functions(&kinds))?;
    let wanted = |swept: bool| -> Vec<Wanted> {
        kinds
            .iter()
            .zip(answers.list())
            .map(|(kind, told)| match kind {
                SurveyAnswer::CamberChange(_) => Wanted(WANTED[0]),
                // Tapes alone do not tell it, however many.
                SurveyAnswer::ToeChange(_) if !swept => Wanted(NEVER_MIND),
                SurveyAnswer::ToeChange(_) => Wanted(WANTED[1]),
                _ => Wanted((WANTED[2] * told.value.abs()).max(0.01)),
            })
            .collect()
    };
    let is_told = no_bump_steer(surveyed, units).is_none();
    let mut blocks = spots(survey, surveyed, wheel, gauges)?;
    let tapes = blocks.len();
    for make in [SurveyKind::SweepCamber, SurveyKind::SweepToe] {
        blocks.extend(sweep(survey, surveyed, wheel, (gauges, units), make)?);
    }
    let candidates: Vec<Candidate<'_>> = blocks.iter().map(Block::candidate).collect();
    let mut ranked = estimate.rank_next(&answers, &wanted(is_told), &candidates[..tapes])?;
    let shift = |worth: Worth| Worth { candidate: worth.candidate + tapes, ..worth };
    let swept = estimate.rank_next(&answers, &wanted(true), &candidates[tapes..])?;
    ranked.extend(swept.into_iter().map(shift));
    ranked.sort_by(|a, b| b.score.total_cmp(&a.score).then(a.candidate.cmp(&b.candidate)));
    let view = |worth: &Worth| {
        let counts = |i: &usize| {
            is_told || worth.candidate >= tapes || !matches!(kinds[*i], SurveyAnswer::ToeChange(_))
        };
        // No better than is shown.
        let shown = |i: usize, u: f64| u.max(asked[i].floor());
        let better =
            |i: &usize| counts(i) && shown(*i, worth.u[*i]) < WORTH * shown(*i, answers.list()[*i].u);
        let brings: Vec<String> = (0..asked.len())
            .filter(better)
            .map(|i| format!("{} to ± {:.3}°", asked[i].what(units), shown(i, worth.u[i])))
            .collect();
        let minutes = candidates[worth.candidate].minutes;
        let line = format!("{} (some {minutes:.0} min): {}", worth.name, brings.join("; "));
        let method = blocks[worth.candidate].method;
        (!brings.is_empty()).then(|| NextReading { what: worth.name.clone(), method, minutes, brings, line })
    };
    Ok(ranked.iter().filter_map(view).take(3).collect())
}

impl Block {
    fn candidate(&self) -> Candidate<'_> {
        let names: Vec<&str> = self.members.iter().map(|one| one.name.as_str()).collect();
        Candidate {
            name: names.join(" with "),
            minutes: self.set_up + self.members.iter().map(|one| one.minutes).sum::<f64>(),
            readings: self
                .members
                .iter()
                .map(|one| Planned { model: &*one.model, sigma: one.sigma })
                .collect(),
        }
    }
}

/// A reading as it could be taken.
fn possible(
    survey: &StrutSurvey,
    place: Place,
    kind: SurveyKind,
    name: String,
    gauges: &[GaugeEntry],
) -> Result<Possible, Trouble> {
    let with = instrument(place, gauges);
    Ok(Possible { name, minutes: with.minutes, sigma: with.u, model: survey.model(kind)? })
}

/// Every spot that was not read twice yet, one by one.
fn spots(
    survey: &StrutSurvey,
    surveyed: &Surveyed,
    wheel: Wheel,
    gauges: &[GaugeEntry],
) -> Result<Vec<Block>, Trouble> {
    let mut all = Vec::new();
    for spot in Spot::all() {
        let place = Place::Survey { wheel, spot };
        let read = surveyed.numbers.iter().filter(|one| one.place == place).count();
        // Before the car was raised is over.
        let past = matches!(spot.kind(), SurveyKind::Camber | SurveyKind::Toe);
        if read >= PASSES || past {
            continue;
        }
        let again = if read > 0 { " once more" } else { "" };
        let name = format!("{}{again}", place.name());
        let method = if spot.is_short() { "survey" } else { "full-survey" };
        let members = vec![possible(survey, place, spot.kind(), name, gauges)?];
        all.push(Block { method, set_up: 0.0, members });
    }
    Ok(all)
}

/// The heights of a sweep that are left: the first reading of an angle only fixes its gauge's zero, so two
/// are offered in one go until there is one.
fn sweep(
    survey: &StrutSurvey,
    surveyed: &Surveyed,
    wheel: Wheel,
    (gauges, units): (&[GaugeEntry], Units),
    make: fn(f64) -> SurveyKind,
) -> Result<Vec<Block>, Trouble> {
    let height = |kind: SurveyKind| match kind {
        SurveyKind::SweepCamber(z) | SurveyKind::SweepToe(z) => Some(z),
        _ => None,
    };
    let of_angle = |kind: SurveyKind| std::mem::discriminant(&kind) == std::mem::discriminant(&make(0.0));
    let swept: Vec<f64> =
        surveyed.readings.iter().filter(|(kind, ..)| of_angle(*kind)).filter_map(|r| height(r.0)).collect();
    let begun = surveyed.readings.iter().any(|(kind, ..)| height(*kind).is_some());
    let set_up = if begun { 0.0 } else { SET_UP };
    let place = match make(0.0) {
        SurveyKind::SweepCamber(_) => Place::BumpCamber(wheel),
        _ => Place::BumpToe(wheel),
    };
    let heights = if units == Units::Inch { HEIGHTS_IN_INCHES } else { HEIGHTS };
    let left: Vec<f64> =
        heights.into_iter().filter(|z| swept.iter().all(|s| (s - z).abs() > SAME_HEIGHT)).collect();
    let name = |z: f64| format!("{} at {}", place.name(), units.signed_length(z, 0));
    let one = |z: f64| possible(survey, place, make(z), name(z), gauges);
    let mut all = Vec::new();
    for (i, first) in left.iter().enumerate() {
        if !swept.is_empty() {
            all.push(Block { method: "bump", set_up, members: vec![one(*first)?] });
        }
        for second in &left[i + 1..] {
            all.push(Block { method: "bump", set_up, members: vec![one(*first)?, one(*second)?] });
        }
    }
    Ok(all)
}
