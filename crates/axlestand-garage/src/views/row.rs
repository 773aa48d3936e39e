//! One row of the plan, ready to be shown.

use crate::fastening::{AtHand, SettingView, Subject, lock_lines, setting};
use crate::job::Job;
use crate::lead::{Lead, LedText};
use crate::sentence::capital;
use crate::units::Units;
use crate::waits::WaitView;
use axlestand_ledger::{
    Action, FastenerStage, RowStatus, Verb, comes_out_tight, look_alikes, obstacles, row_status,
};
use axlestand_model::car::{Car, Fastener, Item, Operation, TorqueSpec};
use axlestand_model::{CarState, Lock, Origin, Stage};
use serde::Serialize;

/// One row of the plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct RowView {
    /// Its number, where it is planned.
    pub number: Option<u32>,
    /// The action: `undo:arm-front-bolt.left`.
    pub action: String,
    /// What is to be done, in words.
    pub text: String,
    /// Where the hands are.
    pub place: String,
    /// Expected minutes.
    pub minutes: Option<f64>,
    /// `pending`, `done` or `skipped`.
    pub status: &'static str,
    /// Size and tool: `2 × M14×1.5 × 85 mm, hex 21`.
    pub tool: Option<String>,
    /// Torque with condition and source, or where to look it up.
    pub torque: Option<String>,
    /// Where the torque is written in, where it has to be looked up.
    pub torque_lead: Option<Lead>,
    /// What to set for it on the wrench in hand, with the reasons.
    pub set: Option<SettingView>,
    /// The caution to read before.
    pub caution: Option<String>,
    /// Further things to know: tray place, look-alikes, a new one, a helper.
    pub remarks: Vec<Remark>,
    /// Where it is done otherwise, or what says how.
    pub leads: Vec<LedText>,
    /// Why it cannot be done now.
    pub waits: Vec<String>,
    /// What soaks, dries, cures or drains still: due only then, though nothing refuses it sooner.
    pub not_before: Vec<WaitView>,
    /// What goes on by itself once it is done, where a row waits for that.
    pub starts: Option<WaitView>,
}

/// Something to know beside a row.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(into = "String")]
pub struct Remark {
    /// What it tells.
    pub tells: Tells,
    /// The text.
    pub text: String,
}

/// What a remark tells, where that decides whether it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tells {
    /// Which fastener that comes out as well looks like this one.
    LookAlike,
    /// In which tray place it lies.
    TrayPlace,
    /// Anything else.
    Other,
}

impl From<String> for Remark {
    fn from(text: String) -> Self {
        Self { tells: Tells::Other, text }
    }
}

impl From<&str> for Remark {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

impl From<Remark> for String {
    fn from(remark: Remark) -> Self {
        remark.text
    }
}

/// One action, ready to be shown.
#[must_use]
pub fn row_view(job: &Job, action: &Action, units: Units) -> RowView {
    let status = row_status(&job.car, &job.state, action);
    let waits = if status == RowStatus::Pending {
        obstacles(&job.car, &job.state, action).into_iter().map(|o| o.text).collect()
    } else {
        Vec::new()
    };
    RowView {
        number: job.state.number_of(action),
        action: action.to_string(),
        text: text(job, action),
        place: place(&job.car, action),
        minutes: None,
        status: match status {
            RowStatus::Pending => "pending",
            RowStatus::Done => "done",
            RowStatus::Skipped => "skipped",
        },
        tool: tool(&job.car, action),
        torque: torque(job, action, units),
        torque_lead: torque_lead(job, action),
        set: set(job, action, &AtHand::default(), units).ok().flatten(),
        caution: tight(job, action).or_else(|| caution(&job.car, action)),
        remarks: remarks(job, action, units),
        leads: leads(job, action),
        waits,
        not_before: Vec::new(),
        starts: None,
    }
}

/// What is to be done, in words.
pub(crate) fn text(job: &Job, action: &Action) -> String {
    let name = job.car.item(&action.item).map_or(action.item.as_str(), Item::name);
    match action.verb {
        Verb::Do | Verb::Way => capital(name),
        Verb::Read => format!("Read: {name}"),
        Verb::Again => format!("Read again: {name}"),
        Verb::Loosen => format!("Break loose: {name}"),
        Verb::Undo if job.car.fastener(&action.item).is_some() => format!("Take out: {name}"),
        Verb::Undo => format!("Undo: {name}"),
        Verb::Off => format!("Take off: {name}"),
        Verb::On if job.state.goals.contains(&action.item) => format!("Put on the new: {name}"),
        Verb::On => format!("Put on: {name}"),
        Verb::Fit => format!("Fit: {name}"),
        Verb::Final => format!("Final torque: {name}"),
        Verb::Lock => format!("Lock: {name}"),
    }
}

/// Where the hands are: `wheel well, left`.
pub(crate) fn place(car: &Car, action: &Action) -> String {
    let work = match car.item(&action.item) {
        Some(Item::Part(i)) => &i.work,
        Some(Item::Fastener(i)) => &i.work,
        Some(Item::Connection(i)) => &i.work,
        Some(Item::Operation(i)) => &i.work,
        Some(Item::Way(i)) => &i.work,
        Some(Item::Reading(i)) => &i.work,
        _ => return String::new(),
    };
    match action.item.side() {
        Some(side) => format!("{}, {}", work.place.phrase(), side.phrase()),
        None => work.place.phrase().to_owned(),
    }
}

/// Where the hands are for an action of a job.
pub(crate) fn row_place(job: &Job, action: &Action) -> String {
    place(&job.car, action)
}

fn tool(car: &Car, action: &Action) -> Option<String> {
    let list = |tools: &[String]| (!tools.is_empty()).then(|| tools.join(", "));
    let back = !action.verb.takes_apart();
    match car.item(&action.item)? {
        Item::Fastener(fastener) => {
            let mut pieces = Vec::new();
            let size = fastener.size_text();
            if fastener.count > 1 || !size.is_empty() {
                pieces.push(if fastener.count > 1 { format!("{} × {size}", fastener.count) } else { size });
            }
            pieces.extend(fastener.drive.as_ref().map(ToString::to_string));
            pieces.extend(fastener.hold.as_ref().map(|hold| format!("hold with {hold}")));
            if !pieces.is_empty() && is_typical(fastener) {
                pieces.push("typical: check it at the car".to_owned());
            }
            let deferred = fastener.is_deferred() && action.verb == Verb::Fit;
            if action.verb != Verb::Lock && !deferred {
                pieces.extend(fastener.work.tools_for(back).iter().cloned());
            }
            (!pieces.is_empty()).then(|| pieces.join(", "))
        }
        Item::Connection(connection) => list(connection.work.tools_for(back)),
        Item::Part(part) => list(part.work.tools_for(back)),
        Item::Operation(operation) => list(&operation.work.tools),
        Item::Way(way) => list(&way.work.tools),
        Item::Reading(reading) => reading.instrument.clone().or_else(|| list(&reading.work.tools)),
        _ => None,
    }
}

/// Whether thread and heads are only what such a layout usually has.
fn is_typical(fastener: &Fastener) -> bool {
    fastener.provenance.origin == Origin::Typical
        && [("thread", fastener.thread.is_some()), ("drive", fastener.drive.is_some())]
            .iter()
            .any(|(field, known)| *known && !fastener.measured.contains(*field))
}

/// The torque of a row that tightens, with condition and source; never a number that the owner may
/// not work to.
fn torque(job: &Job, action: &Action, units: Units) -> Option<String> {
    let fastener = job.car.fastener(&action.item)?;
    if !matches!(action.verb, Verb::Fit | Verb::Final) {
        return None;
    }
    let Some(spec) = &fastener.torque else { return Some("hand-tight".to_owned()) };
    if action.verb == Verb::Fit && fastener.is_deferred() {
        let due = spec.state.map_or("", CarState::phrase);
        return Some(format!("seat only: the final torque comes with the car {due}"));
    }
    Some(torque_text(fastener, spec, units))
}

/// What to set for a row that brings a fastener to its final torque.
pub(super) fn set(
    job: &Job,
    action: &Action,
    at_hand: &AtHand,
    units: Units,
) -> Result<Option<SettingView>, crate::GarageError> {
    let Some(fastener) = job.car.fastener(&action.item) else { return Ok(None) };
    let tightens = match action.verb {
        Verb::Fit => !fastener.is_deferred(),
        verb => verb == Verb::Final,
    };
    if !tightens {
        return Ok(None);
    }
    setting(&job.car, fastener, job.state.toolbox.as_deref(), at_hand, units)
}

/// Whether the owner has to look a torque up before it may be worked to.
fn is_looked_up(fastener: &Fastener, spec: &TorqueSpec) -> bool {
    spec.steps.is_empty() || (fastener.critical && !spec.is_settled())
}

fn torque_lead(job: &Job, action: &Action) -> Option<Lead> {
    let fastener = job.car.fastener(&action.item)?;
    let due = action.verb == Verb::Final || (action.verb == Verb::Fit && !fastener.is_deferred());
    let missing = fastener.torque.as_ref().is_some_and(|spec| is_looked_up(fastener, spec));
    let field = Some("torque".to_owned());
    (due && missing).then(|| Lead::Value { item: fastener.id.base().to_owned(), field })
}

fn leads(job: &Job, action: &Action) -> Vec<LedText> {
    match job.car.item(&action.item) {
        Some(Item::Reading(reading)) => crate::alignment::reading_leads(reading),
        Some(Item::Operation(operation)) => crate::alignment::setting_leads(job, operation),
        _ => Vec::new(),
    }
}

/// A specification as it may be shown: with its source, or as something to look up.
pub(crate) fn torque_text(fastener: &Fastener, spec: &TorqueSpec, units: Units) -> String {
    let look_in = spec.look_in.as_ref().map(|place| format!(" ({place})")).unwrap_or_default();
    if is_looked_up(fastener, spec) {
        return format!("look it up{look_in} and write it in with its source");
    }
    let condition = spec.condition.map(|c| format!(", {}", c.phrase())).unwrap_or_default();
    format!("{}{condition} [{}]", units.steps(spec), spec.provenance)
}

/// What comes out on stands without having been broken loose on the wheels: common practice, no source.
fn tight(job: &Job, action: &Action) -> Option<String> {
    let fastener = job.car.fastener(&action.item).filter(|_| action.verb == Verb::Undo)?;
    let is_pulled_at = fastener.loosen_state == Some(CarState::OnWheels)
        && job.state.stands() == CarState::OnStands
        && comes_out_tight(&job.state, fastener);
    is_pulled_at.then(|| {
        "It was not broken loose with the car on its wheels. Where it is still tight, do not pull hard at it on stands, which can bring the car down: lower the car for that.".to_owned()
    })
}

fn caution(car: &Car, action: &Action) -> Option<String> {
    let (work, two_ways) = match car.item(&action.item)? {
        Item::Part(i) => (&i.work, true),
        Item::Fastener(i) => (&i.work, true),
        Item::Connection(i) => (&i.work, true),
        Item::Operation(i) => (&i.work, false),
        Item::Way(i) => (&i.work, false),
        Item::Reading(i) => (&i.work, false),
        _ => return None,
    };
    let fastener = car.fastener(&action.item);
    let back = two_ways && !action.verb.takes_apart();
    // A caution belongs to the telling act: breaking loose where that is one, the final torque
    // where that is deferred.
    let elsewhere = match action.verb {
        Verb::Undo => fastener.is_some_and(|f| f.loosen_state.is_some() && f.loosen_state != f.work.state),
        Verb::Fit | Verb::Lock => fastener.is_some_and(Fastener::is_deferred),
        _ => false,
    };
    let caution = work.caution_back.clone().filter(|_| back).or_else(|| work.caution.clone());
    caution.filter(|_| !elsewhere)
}

fn remarks(job: &Job, action: &Action, units: Units) -> Vec<Remark> {
    let mut remarks = Vec::new();
    match job.car.item(&action.item) {
        Some(Item::Fastener(fastener)) => fastener_remarks(job, action, fastener, &mut remarks),
        Some(Item::Connection(connection))
            if action.verb == Verb::Fit && (connection.one_use || job.state.hold(&connection.id).broken) =>
        {
            remarks.push("with a new one".into());
        }
        Some(Item::Reading(reading)) => {
            remarks.extend(reading.how.clone().map(Remark::from));
        }
        Some(Item::Operation(operation)) => operation_remarks(job, operation, units, &mut remarks),
        Some(Item::Way(way)) if !way.scraps.is_empty() => {
            let names: Vec<_> =
                way.scraps.iter().map(|id| job.car.item(id).map_or(id.as_str(), Item::name)).collect();
            remarks.push(format!("scrap afterwards: {}", names.join("; ")).into());
        }
        _ => {}
    }
    remarks.extend(crate::geometry::tie_rod_remark(job, action, units).map(Remark::from));
    if people(job, action) > 1 {
        remarks.push(if job.state.helper { "with your helper" } else { "takes two people" }.into());
    }
    remarks
}

/// Whether an operation lets the car down, or settles it.
pub(super) fn lowers(operation: &Operation) -> bool {
    matches!(operation.brings, Some(CarState::OnWheels | CarState::RideHeight))
        && operation.stage > Stage::Strip
}

fn operation_remarks(job: &Job, operation: &Operation, units: Units, remarks: &mut Vec<Remark>) {
    if operation.optional {
        remarks.push("may be left out".into());
    }
    if lowers(operation) {
        remarks.extend(crate::geometry::loose_spring_remarks(job, units).into_iter().map(Remark::from));
    }
    let Some(fluid) = operation.fluid.as_ref().and_then(|id| job.car.fluid(id)) else { return };
    if operation.stage <= Stage::Strip {
        return;
    }
    let grade = fluid.grade.as_ref().map(|grade| format!(" {grade}")).unwrap_or_default();
    let text = match fluid.amount {
        Some(amount) if fluid.provenance.may_be_worked_to() => {
            format!("{}{grade}: {amount}, {} [{}]", fluid.name, fluid.fill.phrase(), fluid.provenance)
        }
        _ => format!("{}{grade}: look up the amount; fill {}", fluid.name, fluid.fill.phrase()),
    };
    remarks.push(text.into());
}

fn people(job: &Job, action: &Action) -> u32 {
    match job.car.item(&action.item) {
        Some(Item::Part(i)) => i.work.people,
        Some(Item::Fastener(i)) => i.work.people,
        Some(Item::Connection(i)) => i.work.people,
        Some(Item::Operation(i)) => i.work.people,
        Some(Item::Way(i)) => i.work.people,
        Some(Item::Reading(i)) => i.work.people,
        _ => 1,
    }
}

fn fastener_remarks(job: &Job, action: &Action, fastener: &Fastener, remarks: &mut Vec<Remark>) {
    let now = job.state.hold(&fastener.id);
    let alike: Vec<&Fastener> = look_alikes(&job.car, fastener);
    match action.verb {
        Verb::Undo => {
            // Only what comes out in this job can be mixed up.
            let here = |other: &&&Fastener| job.state.is_planned(&Action::new(Verb::Undo, &other.id));
            if let Some(other) = alike.iter().find(here) {
                let text = format!("looks like {} ({}): keep them apart", other.name, other.size_text());
                remarks.push(Remark { tells: Tells::LookAlike, text });
            }
            if fastener.one_use {
                remarks.push("keep it only to compare: a new one goes in".into());
            }
        }
        Verb::Final
            if fastener.lock.is_own_act() && job.state.stage_of(fastener) == FastenerStage::Locked =>
        {
            remarks.push(format!("it is locked: undo its lock first ({})", fastener.lock.phrase()).into());
        }
        Verb::Fit => {
            // Where taking it out was left out, what is in stays in.
            let undo = Action::new(Verb::Undo, &fastener.id);
            let stays = now.stage != FastenerStage::Out && job.state.skipped.contains_key(&undo);
            if (fastener.one_use || now.broken) && !stays {
                remarks.push("with a new one".into());
            } else if let Some(place) = now.tray {
                remarks.push(Remark { tells: Tells::TrayPlace, text: format!("from tray place {place}") });
            }
            let out = alike
                .iter()
                .find(|other| job.state.hold(&other.id).stage == axlestand_ledger::FastenerStage::Out);
            if let Some(other) = out {
                let place =
                    job.state.hold(&other.id).tray.map(|n| format!(" in place {n}")).unwrap_or_default();
                let size = other.size_text();
                let text = format!("not to be taken for {} ({size}){place}: measure it", other.name);
                remarks.push(text.into());
            }
        }
        Verb::Lock => {
            remarks.push(fastener.lock.phrase().into());
            remarks.extend(lock_lines(&Subject::of(&job.car, fastener)).into_iter().map(Remark::from));
        }
        _ => {}
    }
    if action.verb == Verb::Fit && !fastener.is_deferred() && fastener.lock.is_own_act() {
        remarks.push(format!("then its lock ({}), as a row of its own", fastener.lock.phrase()).into());
    }
    if fastener.lock == Lock::ThreadLocker && action.verb == Verb::Fit {
        remarks.push("thread locker".into());
    }
}
