//! Height comes before camber and toe: whether it is where it belongs.

use super::entry::text;
use super::place::Place;
use super::rounds::Rounds;
use super::taken::wheel_name;
use super::work::StepView;
use crate::geometry::now::reading;
use crate::geometry::targets::{is_to_be_set, judged, limits, target, verdict};
use crate::job::Job;
use crate::lead::Lead;
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{Axle, Wheel};
use axlestand_model::{AxleEnd, Hand, ReadingKind};

/// The step that brings the height to its target, where one is off.
pub(crate) fn height_step(job: &Job, rounds: &Rounds, units: Units) -> Option<StepView> {
    let off: Vec<String> = Wheel::ALL.iter().filter_map(|wheel| off(job, rounds, *wheel, units)).collect();
    if off.is_empty() {
        return None;
    }
    Some(StepView {
        stage: "height",
        adjuster: None,
        amount: None,
        text: format!(
            "height first: {}; settle the car, look at the springs and put the collars right",
            off.join(", ")
        ),
        turn: None,
        command: None,
        lead: Some(Lead::Height),
    })
}

fn off(job: &Job, rounds: &Rounds, wheel: Wheel, units: Units) -> Option<String> {
    let end = if wheel.axle == Axle::Front { AxleEnd::Front } else { AxleEnd::Rear };
    let hand = if wheel.side == Side::Left { Hand::Left } else { Hand::Right };
    let target = target(&job.car, ReadingKind::Height, end, Some(hand))?;
    let band = target.band.filter(|_| target.provenance.may_be_worked_to())?;
    let gauged = rounds.now().readings.iter().rev().find(|one| one.place == Place::Height(wheel));
    let at_the_end = || {
        let id = &reading(&job.car, ReadingKind::Height, end, Some(hand))?.id;
        let record = job.state.readings.get(id)?.last()?;
        (record.again && !record.stale).then_some((record.value, record.u))
    };
    let (value, u) = gauged.map(|one| (one.value, one.u)).or_else(at_the_end)?;
    let limits = limits(band)?;
    let decision = judged(limits, value, u).filter(|decision| is_to_be_set(*decision))?;
    let (low, places, _) = units.figure_in(limits.lower(), 0, "mm");
    let high = units.length(limits.upper(), 0);
    let (read, said) = (text(Place::Height(wheel), value, u, units), verdict(decision));
    Some(format!("{} is {read}, {said}; target {low:.places$} to {high}", wheel_name(wheel)))
}
