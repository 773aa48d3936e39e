//! What was reckoned from the readings, kept as the job's own readings and told in checks and reports.

use super::aims::Aim;
use super::view::{AlignmentWanted, Standing, alignment, standing};
use crate::chance::in_100;
use crate::count::count;
use crate::error::GarageError;
use crate::geometry::jam_nut;
use crate::geometry::now::reading;
use crate::job::{Garage, Job, Recorded};
use crate::lead::{Lead, LedText};
use crate::record::is_at_the_end;
use crate::units::Units;
use crate::views::ReasonView;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{Axle, Finding, Quantity};
use axlestand_geometry::estimation::conformity::Zone;
use axlestand_ledger::{Action, Event, FastenerStage, RowStatus, Verb, row_status};
use axlestand_model::car::Reading;
use axlestand_model::{AxleEnd, Hand, ReadingKind, Stage};
use axlestand_quantity::Uncertain;
use serde::Serialize;

/// One reading of the job that was filled in.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct KeptView {
    /// The reading of the vehicle file.
    pub reading: String,
    /// Its name.
    pub name: String,
    /// Whether it is the reading at the end.
    pub again: bool,
    /// Value, degrees.
    pub value: f64,
    /// Its standard uncertainty, degrees.
    pub u: f64,
    /// Both as text.
    pub text: String,
}

/// The reading of the file that a quantity fills in.
fn reading_of(job: &Job, quantity: Quantity) -> Option<&Reading> {
    let end = |axle: Axle| if axle == Axle::Front { AxleEnd::Front } else { AxleEnd::Rear };
    let hand = |side: Side| if side == Side::Left { Hand::Left } else { Hand::Right };
    match quantity {
        Quantity::TotalToe(axle) => reading(&job.car, ReadingKind::Toe, end(axle), None),
        Quantity::Camber(wheel) => {
            reading(&job.car, ReadingKind::Camber, end(wheel.axle), Some(hand(wheel.side)))
        }
        Quantity::Caster(side) => reading(&job.car, ReadingKind::Caster, AxleEnd::Front, Some(hand(side))),
        _ => None,
    }
}

/// What can be filled in.
fn quantities() -> Vec<Quantity> {
    let axles = [Axle::Front, Axle::Rear];
    let mut all: Vec<Quantity> = axles.map(Quantity::TotalToe).to_vec();
    all.extend(axlestand_geometry::estimation::alignment::Wheel::ALL.map(Quantity::Camber));
    all.extend([Side::Left, Side::Right].map(Quantity::Caster));
    all
}

impl Garage {
    /// Records what the wheels were reckoned to be as the job's readings of total toe, camber and caster:
    /// the rows that ask for them are done with it, and the road check judges them.
    ///
    /// # Errors
    /// [`GarageError`] where nothing was read, the readings contradict each other, or something was
    /// turned since.
    pub fn keep_alignment(
        &mut self,
        wanted: &AlignmentWanted,
    ) -> Result<Recorded<Vec<KeptView>>, GarageError> {
        self.record(|job| {
            let found = standing(job, wanted)?;
            let chain = &found.chain;
            let why = if chain.read == 0 {
                Some("nothing that tells how the wheels stand was read yet")
            } else if chain.findings.iter().any(Finding::blocks) {
                Some("the readings contradict each other ('axlestand set alignment' says which)")
            } else if chain.foretold {
                Some("something was turned since the last reading: read again first")
            } else {
                None
            };
            if let Some(why) = why {
                return Err(GarageError::Kept(format!("{why}; nothing was recorded")));
            }
            let (mut events, mut kept) = (Vec::new(), Vec::new());
            for quantity in quantities() {
                let (Some((value, u)), Some(reading)) = (chain.known(quantity), reading_of(job, quantity))
                else {
                    continue;
                };
                let again = is_at_the_end(job, reading)?;
                let text = Uncertain::new(value, u).map_or_else(|_| format!("{value}"), |x| x.to_string());
                let typed = format!("{text} ° (reckoned from {} readings)", found.rounds.now().readings.len());
                let id = reading.id.clone();
                events.push(Event::Read { reading: id, again, value, u, typed, instrument: None });
                let (name, text) = (reading.name.clone(), format!("{text}°"));
                kept.push(KeptView { reading: reading.id.to_string(), name, again, value, u, text });
            }
            if kept.is_empty() {
                return Err(GarageError::Kept(
                    "the vehicle file has no reading of total toe, camber or caster that this would fill in; nothing was recorded"
                        .to_owned(),
                ));
            }
            Ok((events, kept))
        })
    }
}

/// Rows still to do that set something: once they are done, what was kept counts no more.
#[must_use]
pub fn voided_by_rows(job: &Job, kept: &[KeptView]) -> Option<String> {
    if !kept.iter().any(|one| one.again) {
        return None;
    }
    let due = |id| {
        let action = Action::new(Verb::Do, id);
        let number = job.state.number_of(&action).filter(|_| job.state.is_planned(&action))?;
        (row_status(&job.car, &job.state, &action) == RowStatus::Pending).then_some(number)
    };
    let sets = job.car.operations.iter().filter(|operation| operation.stage == Stage::Set);
    let rows: Vec<String> = sets
        .filter_map(|operation| Some(format!("{} (row {})", operation.name, due(&operation.id)?)))
        .collect();
    (!rows.is_empty()).then(|| {
        format!(
            "still to do: {}. Once that is done, what is kept now no longer counts: do it first, then read again and keep again",
            rows.join(", ")
        )
    })
}

/// The standing of a job in which wheels were read.
fn read_standing(job: &Job) -> Option<Standing> {
    let gauged = job
        .state
        .counting_entries()
        .any(|entry| matches!(entry.event, Event::Gauged { .. } | Event::Turned { .. }));
    gauged.then(|| standing(job, &AlignmentWanted::default()).ok()).flatten()
}

/// Whether the job has a reading at the end for it, which the road check judges; not where wheels were
/// gauged after it.
fn is_kept(job: &Job, aim: &Aim) -> bool {
    let Some(reading) = reading_of(job, aim.quantity) else { return false };
    let mut newest = false;
    for entry in job.state.counting_entries() {
        match &entry.event {
            Event::Read { reading: read, again: true, .. } if *read == reading.id => newest = true,
            Event::Gauged { .. } => newest = false,
            _ => {}
        }
    }
    let again = Action::new(Verb::Again, &reading.id);
    newest && row_status(&job.car, &job.state, &again) == RowStatus::Done
}

/// Jam nuts that count as tight although their rod was turned since: it cannot turn in a tight nut.
fn jam_nut_reason(job: &Job, hand: Hand) -> Option<ReasonView> {
    let nut = jam_nut(&job.car, hand)?;
    let rod = format!("tie-rod.{}", hand.word());
    let mut turned = false;
    for entry in job.state.counting_entries() {
        match &entry.event {
            Event::Turned { adjuster, .. } if *adjuster == rod => turned = true,
            Event::Done { action, .. } if action.item == nut.id => turned = false,
            _ => {}
        }
    }
    let loose = FastenerStage::BrokenLoose..=FastenerStage::Seated;
    (turned && !loose.contains(&job.state.hold(&nut.id).stage)).then(|| ReasonView {
        item: Some(nut.id.to_string()),
        text: format!(
            "{rod} was turned, but nothing says that its {} was loosened and tightened since: record the loosening, then its torque",
            nut.name
        ),
        number: None,
        first: None,
        lead: Some(Lead::Row { action: Action::new(Verb::Loosen, &nut.id).to_string() }),
    })
}

/// What the wheels have to say at the road check: outside a target, or turned and not read since.
pub(crate) fn alignment_reasons(job: &Job) -> Vec<ReasonView> {
    let nuts = [Hand::Left, Hand::Right].into_iter().filter_map(|hand| jam_nut_reason(job, hand));
    nuts.chain(angle_reasons(job)).collect()
}

fn angle_reasons(job: &Job) -> Vec<ReasonView> {
    let Some(found) = read_standing(job) else { return Vec::new() };
    let chain = &found.chain;
    let open: Vec<&Aim> = found.aims.iter().filter(|aim| aim.sound && !is_kept(job, aim)).collect();
    let mut texts = Vec::new();
    if chain.foretold && open.iter().any(|aim| aim.quantity == Quantity::TotalToe(Axle::Front)) {
        texts.push("an adjuster was turned and the wheels were not read since".to_owned());
    } else if !open.is_empty() && chain.findings.iter().any(Finding::blocks) {
        texts.push("what was read of the wheels contradicts itself".to_owned());
    } else {
        for aim in open {
            let told = chain.known(aim.quantity);
            if let (Some((_, Zone::Out)), Some((value, u))) = (aim.judged(told), told) {
                texts.push(format!("{} is {value:.2} ± {u:.2}°, outside {}", aim.quantity, aim.text));
            }
        }
    }
    texts.into_iter().map(|text| ReasonView::of(LedText::new(text, Lead::Alignment))).collect()
}

/// The wheels in the report.
pub(crate) fn report_lines(job: &Job, units: Units) -> Vec<String> {
    if read_standing(job).is_none() {
        return Vec::new();
    }
    let Ok(view) = alignment(job, &AlignmentWanted { units, ..AlignmentWanted::default() }) else {
        return Vec::new();
    };
    let mut lines =
        vec![format!("{} ({}, round {})", view.verdict.text, count(view.readings, "reading"), view.round)];
    for one in &view.told {
        let aim = one.aim.as_ref().map(|aim| {
            let chance =
                aim.probability.map_or_else(String::new, |p| format!(", {} within limits", in_100(p)));
            format!("; target {}: {}{chance}", aim.target, aim.zone.word())
        });
        lines.push(format!("{}: {:.2} ± {:.2}°{}", one.what, one.value, one.u, aim.unwrap_or_default()));
    }
    lines
}
