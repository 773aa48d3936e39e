//! Open items and the two gates, ready to be shown.

use crate::changes::asks_less;
use crate::job::Job;
use crate::lead::{Lead, LedText};
use crate::neighbours::{Neighbour, waiting_text};
use crate::units::Units;
use crate::views::row::row_view;
use axlestand_ledger::{
    Action, Blocker, RowStatus, Standing, Verb, broken_in_place, lowering_check, obstacles, open_items,
    road_check, row_status,
};
use axlestand_model::car::Operation;
use axlestand_model::{CarState, ReadingKind};
use serde::Serialize;

/// One open item.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct OpenView {
    /// The row that would close it, where it is planned.
    pub number: Option<u32>,
    /// The item.
    pub item: String,
    /// What people call it.
    pub name: String,
    /// `critical`, `usual` or `cover`.
    pub danger: &'static str,
    /// How it stands.
    pub stands: String,
    /// Whether it is tightened and open only since no value with a source is recorded.
    pub lacks_value: bool,
    /// The action that would close it.
    pub closes: Option<String>,
    /// What that waits for.
    pub waits: Vec<String>,
    /// What to set on the wrench, where tightening would close it.
    pub set: Option<String>,
}

/// A gate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct CheckView {
    /// `lowering` or `road`.
    pub gate: &'static str,
    /// Whether nothing stands against it.
    pub clear: bool,
    /// Every reason why not.
    pub reasons: Vec<ReasonView>,
    /// What the answer does not rest on but the owner should know: what was left out and stays as it
    /// was, what the vehicle file asks no more.
    pub remarks: Vec<String>,
    /// Something to tell the owner.
    pub notice: Option<String>,
}

/// One reason why a gate is closed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ReasonView {
    /// The item it speaks of.
    pub item: Option<String>,
    /// The reason.
    pub text: String,
    /// The row that would help, where it is planned.
    pub number: Option<u32>,
    /// The action that would help.
    pub first: Option<String>,
    /// Where else it leads.
    pub lead: Option<Lead>,
}

impl ReasonView {
    /// One that speaks of no item and is helped by no row.
    pub(crate) fn of(told: LedText) -> Self {
        Self { item: None, text: told.text, number: None, first: None, lead: told.lead }
    }
}

/// Every open item, the most dangerous first.
#[must_use]
pub fn open_view(job: &Job) -> Vec<OpenView> {
    open_with(job, |_| None)
}

/// Every open item, the most dangerous first, with what to set on the wrench where tightening
/// would close it.
#[must_use]
pub fn open_to_work_from(job: &Job, units: Units) -> Vec<OpenView> {
    open_with(job, |action| row_view(job, action, units).set.map(|set| set.line))
}

fn open_with(job: &Job, set: impl Fn(&Action) -> Option<String>) -> Vec<OpenView> {
    open_items(&job.car, &job.state)
        .into_iter()
        .map(|open| OpenView {
            number: open.closes.as_ref().and_then(|action| job.state.number_of(action)),
            item: open.item.to_string(),
            name: open.name,
            danger: open.danger.word(),
            lacks_value: open.stands == Standing::NoValue,
            stands: open.stands.to_string(),
            set: open.closes.as_ref().and_then(&set),
            closes: open.closes.map(|action| action.to_string()),
            waits: open.waits,
        })
        .collect()
}

impl CheckView {
    /// The same answer with what other jobs on the car have open.
    #[must_use]
    pub fn beside(mut self, neighbours: &[Neighbour]) -> Self {
        let reason = if self.gate == "road" { Neighbour::road_reason } else { Neighbour::lowering_reason };
        self.reasons.extend(neighbours.iter().filter_map(reason));
        if self.gate == "lowering" {
            self.remarks.extend(neighbours.iter().flat_map(|one| one.remarks.iter().cloned()));
        }
        self.clear = self.reasons.is_empty();
        self
    }
}

impl CheckView {
    /// The same, closed while so many deliveries of phones wait to be looked at: the car may stand otherwise than the
    /// ledger says.
    #[must_use]
    pub fn with_waiting(mut self, waiting: usize) -> Self {
        let Some(what) = waiting_text(waiting) else { return self };
        self.reasons.push(ReasonView::of(LedText::new(what, Lead::Look)));
        self.clear = false;
        self
    }
}

/// May the car be lowered onto its wheels?
#[must_use]
pub fn check_lowering(job: &Job) -> CheckView {
    let mut check = view(job, "lowering", lowering_check(&job.car, &job.state));
    check.reasons.extend(lowering_waits(job, &check.reasons));
    check.clear = check.reasons.is_empty();
    let broken = broken_in_place(&job.car, &job.state).into_iter();
    check.remarks = broken
        .map(|name| {
            format!("{name} is broken and still in: let the car down only where it holds as before or is freed there, and do not roll it")
        })
        .collect();
    check
}

/// What else the lowering waits for, such as pumping the brake pedal.
fn lowering_waits(job: &Job, told: &[ReasonView]) -> Vec<ReasonView> {
    let lowers = |o: &&Operation| o.brings == Some(CarState::OnWheels) && o.recheck.is_none();
    let up = job.state.stands() == CarState::OnStands;
    let Some(lower) = job.car.operations.iter().filter(|_| up).find(lowers) else { return Vec::new() };
    let obstacles = obstacles(&job.car, &job.state, &Action::new(Verb::Do, &lower.id)).into_iter();
    let blockers =
        obstacles.filter(|one| told.iter().all(|reason| reason.text != one.text)).map(|one| Blocker {
            item: one.first.as_ref().map(|action| action.item.clone()),
            text: one.text,
            first: one.first,
            unset: None,
        });
    view(job, "lowering", blockers.collect()).reasons
}

/// May the car go on the road?
#[must_use]
pub fn check_road(job: &Job, units: Units) -> CheckView {
    let mut check = view(job, "road", road_check(&job.car, &job.state));
    check.reasons.extend(crate::geometry::geometry_reasons(job, units));
    check.reasons.extend(crate::alignment::alignment_reasons(job));
    check.reasons.extend(crate::waits::road_reasons(job).into_iter().map(|(item, text)| ReasonView {
        item: Some(item.to_string()),
        text,
        number: None,
        first: None,
        lead: None,
    }));
    // Without a plan nobody can tell which work is due.
    if let Err(why) = job.plan() {
        let text = format!("no plan can be made, so it is not known what is due: {why}");
        check.reasons.push(ReasonView::of(text.into()));
    }
    check.clear = check.reasons.is_empty();
    check.remarks = still_old(job).chain(unread(job)).chain(asks_less(job)).collect();
    check
}

/// Readings at the end that were left out and close nothing.
fn unread(job: &Job) -> impl Iterator<Item = String> {
    job.state.skipped.iter().filter_map(|(action, reason)| {
        let reading = job.car.reading(&action.item).filter(|_| action.verb == Verb::Again)?;
        let left_out = row_status(&job.car, &job.state, action) == RowStatus::Skipped;
        (left_out && reading.kind != Some(ReadingKind::Toe))
            .then(|| format!("{} was not read at the end, so nobody knows it: {reason}", reading.name))
    })
}

/// Parts that were to be replaced and were left as they are.
fn still_old(job: &Job) -> impl Iterator<Item = String> {
    job.state.goals.iter().filter_map(|goal| {
        let reason = job.state.skipped.get(&Action::new(Verb::Off, goal))?;
        let name = job.car.part(goal).map_or(goal.as_str(), |part| part.name.as_str());
        Some(format!("{name} is still the old one: {reason}"))
    })
}

fn view(job: &Job, gate: &'static str, blockers: Vec<Blocker>) -> CheckView {
    let reasons: Vec<ReasonView> = blockers
        .into_iter()
        .map(|blocker| ReasonView {
            lead: lead(job, &blocker),
            item: blocker.item.map(|item| item.to_string()),
            text: blocker.text,
            number: blocker.first.as_ref().and_then(|action| job.state.number_of(action)),
            first: blocker.first.map(|action| action.to_string()),
        })
        .collect();
    CheckView { gate, clear: reasons.is_empty(), reasons, remarks: Vec::new(), notice: job.notice.clone() }
}

/// Where a reason leads besides a row: to a value that nobody has given, to what is to be turned where a wheel was read
/// and does not stand as it should.
fn lead(job: &Job, blocker: &Blocker) -> Option<Lead> {
    if let Some(unset) = &blocker.unset {
        return Some(Lead::Value { item: unset.item.clone(), field: unset.field.map(str::to_owned) });
    }
    let again = blocker.first.as_ref().filter(|action| action.verb == Verb::Again)?;
    let kind = job.car.reading(&again.item)?.kind?;
    let is_read = row_status(&job.car, &job.state, again) == RowStatus::Done;
    (is_read && kind != ReadingKind::Height).then_some(Lead::Alignment)
}
