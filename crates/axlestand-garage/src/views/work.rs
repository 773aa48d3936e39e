//! One step at a time: what to do, with which tool, to which torque, what to beware of, what follows.

use crate::error::GarageError;
use crate::fastening::AtHand;
use crate::job::Job;
use crate::lead::LedText;
use crate::record::breaks;
use crate::record::may_be_left_out;
use crate::select;
use crate::units::Units;
use crate::views::next::{against, left_out, sensible_rows, untold};
use crate::views::row::{RowView, Tells, row_view, set};
use crate::waits::{WaitView, with_waits};
use axlestand_ledger::{Action, FastenerStage, RowStatus, Verb, obstacles, row_status, stands_as_said};
use axlestand_model::car::{Item, TorqueStep};
use axlestand_model::{CarState, Hand};
use axlestand_quantity::Dimension;
use serde::Serialize;

/// The step in hand.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct WorkView {
    /// The step; absent where nothing is left that can be done now.
    pub step: Option<StepView>,
    /// The steps that make sense after it, at most three.
    pub then: Vec<RowView>,
    /// Why the car has to come down once more in the middle of taking apart.
    pub come_down: Option<String>,
    /// What soaks, dries, cures or drains now and the step does not tell.
    pub goes_on: Vec<WaitView>,
    /// Rows that the owner left out, with the reason, where nothing can be done now.
    pub left_out: Vec<String>,
    /// What the road check still says against it, where no row can be done.
    pub against: Vec<LedText>,
}

/// A step with all that is shown big.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct StepView {
    /// The row.
    pub row: RowView,
    /// The verb: `undo`, `final` …
    pub verb: &'static str,
    /// The item.
    pub item: String,
    /// What people call it.
    pub name: String,
    /// The side.
    pub side: Option<&'static str>,
    /// What is set on the tool, where a torque is due and settled.
    pub figure: Option<FigureView>,
    /// A torque is due that nobody has looked up: where such a value usually stands.
    pub look_up: Option<String>,
    /// The reading that is taken in this step.
    pub reading: Option<String>,
    /// The unit in which it is typed: `mm`, `in` or `°`.
    pub reading_unit: &'static str,
    /// Whether it can get stuck: a fastener or connection that comes out.
    pub may_stick: bool,
    /// Whether it can be left out with a reason: nothing else needs it.
    pub may_be_left_out: bool,
    /// Whether it can break: a part, fastener or connection.
    pub may_break: bool,
    /// Whether a tray place is given to it.
    pub tray: Option<u32>,
    /// Whether what lies there goes back in now; else it is only kept there.
    pub from_tray: bool,
    /// What can be read off it while it is in the hand, where it is a fastener: `thread`, `class`, `drive`,
    /// `length`, each with what the vehicle file says.
    pub read_off: Vec<(&'static str, Option<String>)>,
    /// Whether it was done and can be done once more, as a jam nut is loosened again.
    pub again: bool,
    /// What has to be done first, where it cannot be done now: reason and action.
    pub first: Vec<(String, Option<String>)>,
    /// Why what is done, and stands no longer as it was said, cannot be done once more now, each with what comes first.
    pub once_more: Vec<(String, Option<String>)>,
}

/// A figure that is read from the floor.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct FigureView {
    /// The number: `103`.
    pub number: String,
    /// Its unit: `N·m`.
    pub unit: String,
    /// The same in the other unit: `76 lb·ft`.
    pub second: String,
    /// What is turned on after it: `+ 90°`.
    pub angle: Option<String>,
    /// The thread condition for which it holds.
    pub condition: Option<String>,
    /// How the car has to stand.
    pub car_state: Option<&'static str>,
    /// Where it comes from.
    pub source: String,
    /// What to set on the wrench in hand, where that is another number.
    pub on_wrench: Option<String>,
}

/// The step in hand: the one that is asked for (a row number, an action, an item), else the first
/// that makes sense.
///
/// # Errors
/// [`GarageError::Selection`] for a step there is not; [`GarageError`] where no plan exists.
pub fn work(job: &Job, asked: Option<&str>, at_hand: &AtHand, units: Units) -> Result<WorkView, GarageError> {
    let sensible = sensible_rows(job, 4)?;
    let action = match asked {
        Some(typed) => select::actions(job, typed)?.first().cloned(),
        None => sensible.rows.first().cloned(),
    };
    let step = action.as_ref().map(|action| step(job, action, at_hand, units)).transpose()?;
    let then = sensible.rows.iter().filter(|row| Some(*row) != action.as_ref()).take(3);
    let shown = step.as_ref().map(|step| std::slice::from_ref(&step.row)).unwrap_or_default();
    Ok(WorkView {
        goes_on: untold(sensible.goes_on, shown),
        left_out: if step.is_none() { left_out(job) } else { Vec::new() },
        against: if step.is_none() { against(job, units) } else { Vec::new() },
        step,
        then: then.map(|action| row_view(job, action, units)).collect(),
        come_down: sensible.come_down,
    })
}

/// A step alone, named by its action, without what comes after it: for showing many at once.
///
/// # Errors
/// [`GarageError::Selection`] for a step there is not; [`GarageError`] where no plan exists.
pub fn one_step(job: &Job, asked: &str, units: Units) -> Result<Option<StepView>, GarageError> {
    let actions = select::actions(job, asked)?;
    actions.first().map(|action| step(job, action, &AtHand::default(), units)).transpose()
}

fn step(job: &Job, action: &Action, at_hand: &AtHand, units: Units) -> Result<StepView, GarageError> {
    let mut row = row_view(job, action, units);
    row.set = set(job, action, at_hand, units)?;
    let plan = job.plan()?;
    if let Some(planned) = plan.rows.iter().find(|row| row.action == *action) {
        row = with_waits(job, &plan, planned, row);
    }
    let is_done = row_status(&job.car, &job.state, action) == RowStatus::Done;
    let against: Vec<_> = obstacles(&job.car, &job.state, action)
        .into_iter()
        .map(|why| (why.text, why.first.map(|action| action.to_string())))
        .collect();
    // What is done and was put together, or moved, again since can be done once more.
    let apart = matches!(action.verb, Verb::Loosen | Verb::Undo | Verb::Off | Verb::Do);
    let undone = is_done && apart && !stands_as_said(&job.car, &job.state, action);
    let again = undone && against.is_empty();
    let (first, once_more) = match (is_done, undone) {
        (false, _) => (against, Vec::new()),
        (true, true) => (Vec::new(), against),
        (true, false) => (Vec::new(), Vec::new()),
    };
    let hold = job.state.hold(&action.item);
    let with_remarks = row.remarks.len();
    row.remarks.retain(|remark| remark.tells != Tells::TrayPlace);
    let figure = figure(job, action, &row, units);
    let reads = matches!(action.verb, Verb::Read | Verb::Again);
    Ok(StepView {
        again,
        verb: action.verb.word(),
        item: action.item.to_string(),
        name: job.car.item(&action.item).map_or(action.item.as_str(), Item::name).to_owned(),
        side: action.item.side().map(Hand::phrase),
        look_up: look_up(job, action).filter(|_| figure.is_none()),
        figure,
        reading: reads.then(|| action.item.to_string()),
        reading_unit: match job.car.reading(&action.item).map(|reading| reading.dimension) {
            Some(Dimension::Angle) => "°",
            _ => units.length_unit(),
        },
        may_stick: matches!(action.verb, Verb::Loosen | Verb::Undo | Verb::Off)
            && job.car.hold(&action.item).is_some()
            && hold.stage != FastenerStage::Out,
        may_be_left_out: may_be_left_out(job, action).is_ok(),
        may_break: breaks(&job.car, &action.item),
        tray: hold.tray,
        read_off: read_off(job, action),
        from_tray: row.remarks.len() < with_remarks,
        first,
        once_more,
        row,
    })
}

/// What can be read off a fastener that is loosened, comes out or goes in.
fn read_off(job: &Job, action: &Action) -> Vec<(&'static str, Option<String>)> {
    let in_hand = matches!(action.verb, Verb::Loosen | Verb::Undo | Verb::Fit);
    let Some(fastener) = job.car.fastener(&action.item).filter(|_| in_hand) else { return Vec::new() };
    let drive = ("drive", fastener.drive.as_ref().map(ToString::to_string));
    if action.verb == Verb::Loosen {
        // Of a thread that is in its hole nothing but the head shows.
        return vec![drive, ("class", fastener.class.clone())];
    }
    let mut all = vec![("thread", fastener.thread.clone()), ("class", fastener.class.clone()), drive];
    if action.verb == Verb::Undo {
        // What goes in is measured against what belongs there, by a field of its own.
        all.insert(1, ("length", fastener.length.map(|length| length.to_string())));
    }
    all
}

/// Where a torque usually stands that this step needs and nobody has looked up.
fn look_up(job: &Job, action: &Action) -> Option<String> {
    let fastener = job.car.fastener(&action.item)?;
    let due = action.verb == Verb::Final || (action.verb == Verb::Fit && !fastener.is_deferred());
    let spec = fastener.torque.as_ref().filter(|spec| due && !spec.is_settled())?;
    Some(spec.look_in.clone().unwrap_or_else(|| "the vehicle's service manual".to_owned()))
}

fn figure(job: &Job, action: &Action, row: &RowView, units: Units) -> Option<FigureView> {
    let setting = row.set.as_ref().filter(|set| set.settled)?;
    let spec = job.car.fastener(&action.item)?.torque.as_ref()?;
    let angle = spec.steps.iter().rev().find_map(|step| match step {
        TorqueStep::On(angle) => Some(format!("+ {angle}")),
        TorqueStep::To(_) => None,
    });
    let (big, small) = units.figure(axlestand_quantity::Torque::from_nm(setting.at_fastener_nm?).ok()?);
    let (number, unit) = big.split_once(' ').unwrap_or((&big, ""));
    Some(FigureView {
        number: number.to_owned(),
        unit: unit.to_owned(),
        second: small,
        angle,
        condition: spec.condition.map(|condition| condition.phrase().to_owned()),
        car_state: spec.state.map(CarState::phrase),
        source: spec.provenance.to_string(),
        on_wrench: setting.says_more.then(|| setting.line.clone()),
    })
}
