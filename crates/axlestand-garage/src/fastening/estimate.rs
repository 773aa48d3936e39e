//! The clamp load that a recorded torque stands for: an estimate for the report.

use super::figures::clamp;
use super::limits::{expected, spread_causes};
use super::subject::Subject;
use super::surface::Surface;
use super::tools::Judged;
use crate::job::Job;
use crate::toolbox::read_tightening_tools;
use crate::units::Units;
use axlestand_fastener::PropertyClass;
use axlestand_ledger::TorqueRecord;
use axlestand_model::car::{Fastener, TorqueStep, parse_steps};
use serde::Serialize;

/// The estimated clamp load of a fastener at its recorded torque.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ClampView {
    /// Least to be expected, kN.
    pub low_kn: f64,
    /// The middle, kN.
    pub middle_kn: f64,
    /// Greatest to be expected, kN.
    pub high_kn: f64,
    /// In words, with its causes.
    pub text: String,
}

/// Estimates the clamp load of a fastener from the record of its final torque; `None` where thread
/// or torque are not known, where the angle makes it, or where it only seals.
pub(crate) fn clamp_estimate(
    job: &Job,
    fastener: &Fastener,
    record: &TorqueRecord,
    units: Units,
) -> Option<ClampView> {
    let subject = Subject::of(&job.car, fastener);
    let steps = parse_steps(record.value.as_deref()?).ok()?;
    let [TorqueStep::To(torque)] = steps.as_slice() else { return None };
    if subject.hydraulic {
        return None;
    }
    let stated = fastener.torque.as_ref().and_then(|spec| spec.condition);
    let recorded = record.condition.as_deref().and_then(|text| Surface::typed(text, fastener.lock).ok());
    let surface = recorded.or_else(|| stated.map(|condition| Surface::stated(condition, fastener.lock)));
    let said = surface.map_or_else(|| "taken as dry, since nothing was recorded".to_owned(), Surface::phrase);
    let surface = surface.unwrap_or(Surface::Known(axlestand_fastener::Condition::AsSupplied));
    let range = surface.friction().ok()?;
    let tools = job.state.toolbox.as_deref().and_then(|text| read_tightening_tools(text).ok());
    let wrench = record.wrench.as_ref().and_then(|name| {
        tools.as_ref()?.0.iter().find(|wrench| wrench.name == *name || wrench.name.contains(name.as_str()))
    });
    let judged: Option<Judged<'_>> = wrench.and_then(|wrench| wrench.judge(*torque, None).ok());
    let load = expected(&subject, *torque, &range, judged.as_ref())?;
    let strongest = subject.class.unwrap_or(strongest_class(&subject));
    let bears =
        subject.thread.and_then(|thread| Some(strongest.strength(thread).ok()?.least_tensile_load(thread)));
    let doubtful = bears.is_some_and(|bears| load.point() > bears);
    let kilo = |newtons: f64| (newtons / 100.0).round() / 10.0;
    Some(ClampView {
        low_kn: kilo(load.low().n()),
        middle_kn: kilo(load.point().n()),
        high_kn: kilo(load.high().n()),
        text: if doubtful {
            "clamp load: more than this thread bears, so the recorded torque or thread must be wrong"
                .to_owned()
        } else {
            format!(
                "clamp load {}, an estimate: thread {said}, {}",
                clamp(load),
                spread_causes(&subject, &range, judged.as_ref(), units)
            )
        },
    })
}

/// The strongest class there is, where the bolt's own is not known.
fn strongest_class(subject: &Subject<'_>) -> PropertyClass {
    if subject.thread.is_some_and(axlestand_fastener::Thread::is_metric) {
        PropertyClass::Iso12_9
    } else {
        PropertyClass::Sae8
    }
}
