//! What can be done next, ready to be shown.

use crate::fastening::AtHand;
use crate::forecast::{OutlookView, retold};
use crate::job::Job;
use crate::lead::LedText;
use crate::units::Units;
use crate::views::minutes;
use crate::views::open::check_road;
use crate::views::row::{RowView, lowers, row_view, set, text};
use crate::waits::{WaitView, going_on, is_early, with_waits};
use axlestand_ledger::{
    Action, RowStatus, Verb, is_wanted_away, lowering_check, obstacles, rolling_check, row_status,
};
use axlestand_model::car::{Item, Operation};
use axlestand_model::{CarState, Stage};
use axlestand_plan::{Plan, PlanRow, leads_down};
use serde::Serialize;

/// What comes next.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct NextView {
    /// The name of the job.
    pub job: String,
    /// The stage.
    pub stage: &'static str,
    /// How the car stands.
    pub car_state: &'static str,
    /// Whether the car must not be rolled, and why.
    pub do_not_roll: Option<String>,
    /// Where another open job has the car standing otherwise.
    pub elsewhere: Option<String>,
    /// Why the car has to come down once more in the middle of taking apart.
    pub come_down: Option<String>,
    /// What soaks, dries, cures or drains now and no row shown tells.
    pub goes_on: Vec<WaitView>,
    /// Rows that can be done now, in the order of the plan.
    pub rows: Vec<RowView>,
    /// Rows that the owner left out, with the reason.
    pub left_out: Vec<String>,
    /// What the road check still says against it, where no row can be done.
    pub against: Vec<LedText>,
    /// Rows done or left out, and all.
    pub finished: usize,
    /// All rows.
    pub total: usize,
    /// Expected minutes of what is left.
    pub minutes_left: f64,
    /// How long what is left takes by what this car taught; absent while it taught nothing.
    pub outlook: Option<OutlookView>,
    /// Something to tell the owner.
    pub notice: Option<String>,
}

/// The numbers and actions (`fit:arm-front-bolt.left`) of all rows still to do, in their order.
#[must_use]
pub fn rows_to_do(job: &Job) -> Vec<(u32, String)> {
    let pending =
        |(_, action): &(u32, &Action)| row_status(&job.car, &job.state, action) == RowStatus::Pending;
    job.rows().filter(pending).map(|(number, action)| (number, action.to_string())).collect()
}

/// The rows that can be done now, at most `count`.
///
/// # Errors
/// [`crate::GarageError`] where no plan exists.
pub fn next(job: &Job, count: usize, units: Units) -> Result<NextView, crate::GarageError> {
    next_with(job, count, &AtHand::default(), units)
}

/// The same for a thread, a wrench and an adapter as the owner says they are.
///
/// # Errors
/// [`crate::GarageError`] where no plan exists, or what is at hand is not understood.
pub fn next_with(
    job: &Job,
    count: usize,
    at_hand: &AtHand,
    units: Units,
) -> Result<NextView, crate::GarageError> {
    let plan = job.plan()?;
    let pending = pending(job, &plan);
    let chosen = chosen(job, &plan, &pending, count);
    let mut rows = Vec::new();
    for row in chosen {
        let set = set(job, &row.action, at_hand, units)?;
        let view = row_view(job, &row.action, units);
        let view = RowView { minutes: Some(minutes::shown(row.minutes)), set, ..view };
        rows.push(with_waits(job, &plan, row, view));
    }
    Ok(NextView {
        job: job.name.clone(),
        stage: job.stage(&plan).phrase(),
        car_state: job.state.stands().phrase(),
        do_not_roll: do_not_roll(job, &[]),
        elsewhere: None,
        come_down: come_down(job, &plan),
        goes_on: untold(going_on(job, &plan), &rows),
        left_out: left_out(job),
        against: if rows.is_empty() { against(job, units) } else { Vec::new() },
        rows,
        finished: plan.rows.len() - pending.len(),
        total: plan.rows.len(),
        minutes_left: minutes::shown(minutes_left(job, &plan)),
        outlook: retold(job, &plan),
        notice: job.notice.clone(),
    })
}

impl NextView {
    /// The same view of a job of this garage, with what speaks against rolling the car besides the job, and where the
    /// car stands by another one.
    ///
    /// # Errors
    /// [`crate::GarageError`] where the garage cannot be read.
    pub fn beside(mut self, garage: &crate::Garage, job: &Job) -> Result<Self, crate::GarageError> {
        self.do_not_roll = do_not_roll(job, &garage.against_rolling(job)?);
        self.elsewhere = garage.stands_elsewhere(job)?;
        Ok(self)
    }
}

/// The actions that can be done now and make sense, in the order of the plan.
pub(super) struct Sensible {
    /// At most as many as were asked for.
    pub(super) rows: Vec<Action>,
    /// Why the car has to come down once more.
    pub(super) come_down: Option<String>,
    /// What goes on now.
    pub(super) goes_on: Vec<WaitView>,
}

/// What goes on and none of the rows tells.
pub(super) fn untold(going: Vec<WaitView>, rows: &[RowView]) -> Vec<WaitView> {
    let told =
        |one: &WaitView| rows.iter().flat_map(|row| &row.not_before).any(|wait| wait.after == one.after);
    going.into_iter().filter(|one| !told(one)).collect()
}

/// What [`next`] shows, without the forecast of what is left.
pub(super) fn sensible_rows(job: &Job, count: usize) -> Result<Sensible, crate::GarageError> {
    let plan = job.plan()?;
    let pending: Vec<&PlanRow> = pending(job, &plan);
    let come_down = come_down(job, &plan);
    let rows = chosen(job, &plan, &pending, count);
    Ok(Sensible {
        rows: rows.into_iter().map(|row| row.action.clone()).collect(),
        come_down,
        goes_on: going_on(job, &plan),
    })
}

/// The rows of a plan that are still to do.
pub(super) fn pending<'a>(job: &Job, plan: &'a Plan) -> Vec<&'a PlanRow> {
    let is_pending = |row: &&PlanRow| row_status(&job.car, &job.state, &row.action) == RowStatus::Pending;
    plan.rows.iter().filter(is_pending).collect()
}

/// The first rows of the plan that make sense and can be done now.
fn chosen<'a>(job: &Job, plan: &'a Plan, pending: &[&'a PlanRow], count: usize) -> Vec<&'a PlanRow> {
    let can = |row: &&PlanRow| obstacles(&job.car, &job.state, &row.action).is_empty();
    let down = plan.coming_down.as_ref();
    let sensible = |row: &&PlanRow| match down {
        Some(_) => leads_down(&job.car, &row.action),
        None => is_sensible(job, row),
    };
    let mut chosen: Vec<&PlanRow> = pending.iter().copied().filter(sensible).filter(can).collect();
    // What was left out and is needed on the way down is offered again where nothing else leads there.
    if let (true, Some(down)) = (chosen.is_empty(), down) {
        let named = plan.rows.iter().filter(|row| down.rows.contains(&row.action));
        chosen.extend(named.filter(can));
    }
    // So is what the car cannot be let down without.
    if chosen.is_empty() && job.state.stands() == CarState::OnStands {
        let firsts: Vec<Action> =
            lowering_check(&job.car, &job.state).into_iter().filter_map(|blocker| blocker.first).collect();
        chosen.extend(plan.rows.iter().filter(|row| firsts.contains(&row.action)).filter(can));
    }
    // What is not over yet comes last: other work fills the wait.
    chosen.sort_by_key(|row| is_early(job, row));
    chosen.truncate(count);
    chosen
}

/// What the road check says against it.
pub(super) fn against(job: &Job, units: Units) -> Vec<LedText> {
    let reasons = check_road(job, units).reasons.into_iter();
    reasons.map(|reason| LedText { text: reason.text, lead: reason.lead }).collect()
}

/// The rows that the owner left out, each with its number and the reason.
pub(super) fn left_out(job: &Job) -> Vec<String> {
    let skipped = job.rows().filter_map(|(number, action)| {
        let reason = job.state.skipped.get(action)?;
        let still = row_status(&job.car, &job.state, action) == RowStatus::Skipped;
        still.then(|| format!("{number} {} ({reason})", text(job, action)))
    });
    skipped.collect()
}

/// Whether a row that could be done now makes sense now: nothing goes back that is still to come
/// out or off, and what is loosened to set the wheels waits for the car to stand.
fn is_sensible(job: &Job, row: &PlanRow) -> bool {
    match row.action.verb {
        Verb::On | Verb::Fit | Verb::Final | Verb::Lock => {
            let undo = Action::new(Verb::Undo, &row.action.item);
            let comes_out =
                job.state.is_planned(&undo) && row_status(&job.car, &job.state, &undo) == RowStatus::Pending;
            !comes_out && !is_wanted_away(&job.car, &job.state, &row.action.item)
        }
        // A car that is still to be raised is not let down.
        Verb::Do => {
            job.state.car_state.is_some()
                || !is_raised(job)
                || !job.car.operation(&row.action.item).is_some_and(lowers)
        }
        Verb::Loosen => {
            row.section.stage() != Stage::Set
                || (job.state.stands().counts_as(row.section.car_state()) && is_set_next(job, &row.action))
        }
        _ => true,
    }
}

/// Whether what this action put back comes out again, since planned work still needs it away.
#[must_use]
pub fn comes_out_again(job: &Job, action: &Action) -> bool {
    matches!(action.verb, Verb::On | Verb::Fit) && is_wanted_away(&job.car, &job.state, &action.item)
}

/// Expected minutes of what is left of a plan, with what coming down once more takes.
pub(super) fn minutes_left(job: &Job, plan: &Plan) -> f64 {
    plan.minutes_besides(&job.car, &job.state) + pending(job, plan).iter().map(|row| row.minutes).sum::<f64>()
}

/// What a car on stands has to come down for once more, and what that takes.
pub(super) fn come_down(job: &Job, plan: &Plan) -> Option<String> {
    let down = plan.coming_down.as_ref()?;
    let name = |item| job.car.item(item).map_or(item.as_str(), Item::name);
    let names: Vec<&str> = down.items.iter().map(name).collect();
    let time = match down.minutes.round() {
        more if more >= 1.0 => format!(" ({} more, with raising it again)", minutes::hours(more)),
        _ => String::new(),
    };
    let names = names.join("; ");
    if down.rows.is_empty() {
        let blockers: Vec<String> =
            lowering_check(&job.car, &job.state).into_iter().map(|b| b.text).collect();
        return Some(format!(
            "To be done on its wheels: {names}; but the car cannot come down as it is ({}). Where something comes loose on stands after all, leave its breaking loose out and say how",
            blockers.join("; ")
        ));
    }
    Some(format!("The car has to come down once more{time}; to be done on its wheels: {names}"))
}

/// The same, found afresh.
///
/// # Errors
/// [`crate::GarageError`] where no plan exists.
pub fn has_to_come_down(job: &Job) -> Result<Option<String>, crate::GarageError> {
    Ok(come_down(job, &job.plan()?))
}

/// What keeps the car from being rolled where it stands on its wheels, with what other jobs on it say.
pub(super) fn do_not_roll(job: &Job, others: &[String]) -> Option<String> {
    if job.state.stands() == CarState::OnStands {
        return None;
    }
    let own = rolling_check(&job.car, &job.state).into_iter().map(|blocker| blocker.text);
    let all: Vec<String> = own.chain(others.iter().cloned()).collect();
    (!all.is_empty()).then(|| format!("DO NOT ROLL THE CAR: {}", all.join("; ")))
}

/// Whether nothing but loosening comes before what is set on this fastener: it is not left loose for what cannot be done.
fn is_set_next(job: &Job, loosen: &Action) -> bool {
    let sets = job.car.operations.iter().filter(|o| o.stage == Stage::Set && o.before.contains(&loosen.item));
    let mut sets =
        sets.map(|o| Action::new(Verb::Do, &o.id)).filter(|set| job.state.is_planned(set)).peekable();
    let loosens = |first: &Option<Action>| first.as_ref().is_some_and(|first| first.verb == Verb::Loosen);
    sets.peek().is_none()
        || sets.any(|set| obstacles(&job.car, &job.state, &set).iter().all(|o| loosens(&o.first)))
}

/// Whether the plan raises the car.
fn is_raised(job: &Job) -> bool {
    let raises = |o: &&Operation| o.brings == Some(CarState::OnStands);
    let mut raising = job.car.operations.iter().filter(raises);
    raising.any(|o| job.state.is_planned(&Action::new(Verb::Do, &o.id)))
}
