//! The report: what was replaced, final states, readings, what was left out, what to recheck.

use crate::error::GarageError;
use crate::fastening::{ClampView, clamp_estimate};
use crate::job::Job;
use crate::units::Units;
use crate::views::open::{CheckView, OpenView, check_road, open_view};
use axlestand_ledger::{FastenerStage, RowStatus, row_status};
use axlestand_model::ItemId;
use axlestand_model::car::{Hold, Item, Reading};
use axlestand_plan::rechecks;
use axlestand_quantity::Uncertain;
use serde::Serialize;

/// The final state of one fastener or connection that was disturbed.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct StateLine {
    /// The item.
    pub item: String,
    /// What people call it.
    pub name: String,
    /// Whether a life hangs on it.
    pub critical: bool,
    /// How it stands.
    pub stands: String,
    /// The torque reached.
    pub torque: Option<String>,
    /// Where its value came from.
    pub provenance: Option<String>,
    /// The wrench and adapter.
    pub wrench: Option<String>,
    /// How the car stood at the final torque.
    pub car_state: Option<&'static str>,
    /// The lock.
    pub lock: Option<&'static str>,
    /// Whether a new one went in.
    pub new: bool,
    /// The clamp load that the torque stands for: an estimate, for what lives hang on.
    pub clamp: Option<ClampView>,
}

/// A reading before and after.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ReadingView {
    /// The item.
    pub item: String,
    /// What was read.
    pub name: String,
    /// The first reading.
    pub before: Option<String>,
    /// The reading at the end.
    pub after: Option<String>,
    /// The change with its uncertainty.
    pub change: Option<String>,
    /// The target with its source.
    pub target: Option<String>,
}

/// Something that was left out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LeftOut {
    /// What.
    pub what: String,
    /// Why.
    pub reason: String,
}

/// Something to do later on the road.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct RecheckView {
    /// What.
    pub what: String,
    /// When.
    pub when: String,
}

/// The report of a job.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ReportView {
    /// The job.
    pub job: String,
    /// The car.
    pub car: String,
    /// When it was started.
    pub started: Option<String>,
    /// When the last entry was made.
    pub last_entry: Option<String>,
    /// What was replaced.
    pub replaced: Vec<String>,
    /// Final states.
    pub states: Vec<StateLine>,
    /// Readings.
    pub readings: Vec<ReadingView>,
    /// How the wheels stand, where they were read for it.
    pub alignment: Vec<String>,
    /// What was left out.
    pub left_out: Vec<LeftOut>,
    /// Remarks.
    pub notes: Vec<String>,
    /// What to recheck and when.
    pub rechecks: Vec<RecheckView>,
    /// Still open.
    pub open: Vec<OpenView>,
    /// The road check.
    pub road: CheckView,
    /// What this paper is not.
    pub disclaimer: &'static str,
}

/// What every report says of itself.
const DISCLAIMER: &str = "This report states what the ledger of this job knows. It is no inspection certificate; \
     the vehicle maker's procedure and local law decide.";

/// The report of a job as it stands.
///
/// # Errors
/// [`GarageError`] where no plan exists.
pub fn report(job: &Job, units: Units) -> Result<ReportView, GarageError> {
    let plan = job.plan()?;
    Ok(ReportView {
        job: job.name.clone(),
        car: job.car.name.clone(),
        started: job.state.started.clone(),
        last_entry: job.state.entries.last().map(|entry| entry.at.clone()),
        replaced: replaced(job),
        states: job.car.holds().filter_map(|hold| state_line(job, hold, units)).collect(),
        readings: job.car.readings.iter().filter_map(|reading| reading_view(job, reading, units)).collect(),
        alignment: crate::alignment::report_lines(job, units),
        left_out: job
            .state
            .skipped
            .iter()
            .filter(|(action, _)| row_status(&job.car, &job.state, action) == RowStatus::Skipped)
            .chain(&job.state.served)
            .map(|(action, reason)| LeftOut {
                what: crate::views::row::text(job, action),
                reason: reason.clone(),
            })
            .collect(),
        notes: job.state.notes.iter().map(|note| note_text(job, note)).collect(),
        rechecks: rechecks(&job.car, &plan.scope)
            .into_iter()
            .map(|o| RecheckView { what: o.name.clone(), when: o.recheck.clone().unwrap_or_default() })
            .collect(),
        open: open_view(job),
        road: check_road(job, units),
        disclaimer: DISCLAIMER,
    })
}

fn replaced(job: &Job) -> Vec<String> {
    let parts =
        job.car.parts.iter().filter(|part| job.state.part(&part.id).fresh).map(|part| part.name.clone());
    let holds =
        job.car.holds().filter(|hold| job.state.hold(hold.id()).fresh).map(|hold| hold.name().to_owned());
    parts.chain(holds).collect()
}

fn state_line(job: &Job, hold: Hold<'_>, units: Units) -> Option<StateLine> {
    let now = job.state.hold(hold.id());
    if !now.was_out && now.stage == FastenerStage::InPlace {
        return None;
    }
    // What broke since is as final as it is tight: not at all.
    let is_broken = now.broken && now.stage != FastenerStage::Out;
    let record = now.torque.clone().filter(|_| !is_broken).unwrap_or_default();
    let clamp = match hold {
        Hold::Fastener(f) if !is_broken && f.critical && now.stage >= FastenerStage::AtFinal => {
            clamp_estimate(job, f, &record, units)
        }
        _ => None,
    };
    let lock = match hold {
        Hold::Fastener(f) if !is_broken && job.state.stage_of(f) == FastenerStage::Locked => {
            Some(f.lock.phrase())
        }
        _ => None,
    };
    let tools = [record.wrench, record.adapter.map(|a| format!("adapter {a}"))];
    let wrench: Vec<String> = tools.into_iter().flatten().collect();
    Some(StateLine {
        item: hold.id().to_string(),
        name: hold.name().to_owned(),
        critical: hold.is_critical(),
        stands: if is_broken { "broken and still in" } else { stands(job, hold) }.to_owned(),
        torque: record.value.map(|typed| units.recorded(&typed)),
        provenance: record.provenance,
        wrench: (!wrench.is_empty()).then(|| wrench.join(", ")),
        car_state: record.car_state.map(axlestand_model::CarState::phrase),
        lock,
        new: now.fresh,
        clamp,
    })
}

fn stands(job: &Job, hold: Hold<'_>) -> &'static str {
    let now = job.state.hold(hold.id());
    let stage = match hold {
        Hold::Fastener(fastener) => job.state.stage_of(fastener),
        Hold::Connection(_) => now.stage,
    };
    match (hold, stage) {
        (Hold::Fastener(f), FastenerStage::AtFinal | FastenerStage::Locked)
            if f.critical
                && f.torque.is_some()
                && now.torque.as_ref().is_none_or(|record| record.value.is_none()) =>
        {
            "tightened, value not known"
        }
        (Hold::Connection(_), FastenerStage::Seated) => "made",
        (Hold::Connection(_), FastenerStage::Out) => "undone",
        (Hold::Fastener(f), FastenerStage::Seated) if f.torque.is_none() => "hand-tight (final)",
        (_, stage) => stage.phrase(),
    }
}

fn reading_view(job: &Job, reading: &Reading, units: Units) -> Option<ReadingView> {
    let records = job.state.readings.get(&reading.id)?;
    let last = |again: bool| records.iter().rev().find(|record| record.again == again);
    let shown = |value: f64, u: f64| units.reading(reading.dimension, value, u);
    let change = match (last(false), last(true)) {
        (Some(first), Some(after)) => {
            let difference =
                Uncertain::new(after.value, after.u).ok()?.minus(Uncertain::new(first.value, first.u).ok()?);
            Some(shown(difference.value(), difference.u()))
        }
        _ => None,
    };
    let target = job.car.targets.iter().find(|target| target.reading == reading.id).map(|target| {
        target.band.map_or_else(
            || "to be looked up".to_owned(),
            |band| {
                let half = band.upper() - band.nominal();
                format!("{} (tolerance) [{}]", shown(band.nominal(), half), target.provenance)
            },
        )
    });
    Some(ReadingView {
        item: reading.id.to_string(),
        name: reading.name.clone(),
        before: last(false).map(|record| shown(record.value, record.u)),
        after: last(true).map(|record| shown(record.value, record.u)),
        change,
        target,
    })
}

fn note_text(job: &Job, (at, item, text): &(String, Option<ItemId>, String)) -> String {
    let day = at.get(..16).unwrap_or(at);
    match item {
        Some(item) => format!("{day} {}: {text}", job.car.item(item).map_or(item.as_str(), Item::name)),
        None => format!("{day} {text}"),
    }
}
