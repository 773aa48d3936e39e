//! What Prepare shows: what is undone and why, in which order, and what has to be at hand.

use crate::error::GarageError;
use crate::forecast::{OutlookView, outlook};
use crate::job::Job;
use crate::units::Units;
use crate::views::marks::{MarksView, marks_view};
use crate::views::minutes;
use crate::views::next::{come_down, minutes_left, pending};
use crate::views::row::{RowView, row_view};
use crate::waits::with_waits;
use axlestand_ledger::RowStatus;
use axlestand_model::car::Item;
use axlestand_model::{CarState, ItemId};
use axlestand_plan::{Need, Plan, PlanRow, needs, rate};
use serde::Serialize;

/// Something that the job disturbs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct UndoneView {
    /// The item.
    pub item: String,
    /// Its kind.
    pub kind: &'static str,
    /// What people call it.
    pub name: String,
    /// Whether it is a goal of the job.
    pub goal: bool,
    /// What needs it.
    pub because: Vec<String>,
    /// The way chosen instead of the usual manner.
    pub way: Option<String>,
}

/// A run of rows in one place.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct BlockView {
    /// The stage.
    pub stage: &'static str,
    /// How the car stands.
    pub car_state: &'static str,
    /// Where the hands are.
    pub place: String,
    /// Expected minutes of those rows that are still to do.
    pub minutes: f64,
    /// The rows.
    pub rows: Vec<RowView>,
}

/// Something to have at hand.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct NeedView {
    /// What.
    pub what: String,
    /// How much in all.
    pub amount: f64,
    /// How much of it is recorded as lying ready, or is on or in already.
    pub in_hand: f64,
    /// Its unit; empty for pieces.
    pub unit: String,
    /// What it is for.
    pub for_items: Vec<String>,
}

/// A tool to have at hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ToolView {
    /// Which.
    pub tool: String,
    /// What it is for.
    pub for_items: Vec<String>,
    /// Whether the toolbox has it; absent where no toolbox is known.
    pub owned: Option<bool>,
    /// A size of the other system that really fits.
    pub stand_in: Option<String>,
}

/// Something that may be seized.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct RiskView {
    /// The item.
    pub item: String,
    /// What people call it.
    pub name: String,
    /// Chance, 0 to 1: an assumption unless the owner stated it.
    pub chance: f64,
    /// Minutes if it is.
    pub minutes: f64,
    /// Other ways.
    pub ways: Vec<String>,
}

/// A specification to look up.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LookUpView {
    /// The item.
    pub item: String,
    /// What people call it.
    pub name: String,
    /// What is missing.
    pub field: &'static str,
    /// Where in a service manual it usually stands.
    pub look_in: Option<String>,
    /// Whether a life hangs on it.
    pub critical: bool,
}

/// What starts days before.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct AheadView {
    /// What.
    pub name: String,
    /// How many days before.
    pub days: f64,
}

/// Everything that Prepare shows.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PrepareView {
    /// The job.
    pub job: String,
    /// The car.
    pub car: String,
    /// Rust grade.
    pub rust: u8,
    /// What is disturbed, and why.
    pub undone: Vec<UndoneView>,
    /// Whether the choice of ways is proven to be the cheapest.
    pub ways_proven: bool,
    /// The order of work.
    pub blocks: Vec<BlockView>,
    /// All rows.
    pub rows: usize,
    /// Rows done or left out.
    pub finished: usize,
    /// Expected minutes of all rows.
    pub minutes: f64,
    /// Expected minutes of what is left, as in [`NextView`](super::NextView).
    pub minutes_left: f64,
    /// Why the car has to come down once more in the middle of taking apart.
    pub come_down: Option<String>,
    /// Minutes of changing place, side and tool between the rows: typical, not measured.
    pub setup_minutes: f64,
    /// Minutes with nothing to do, the work done in one go, since something soaks, dries, cures or drains; a
    /// night takes most of them.
    pub idle_minutes: f64,
    /// Minutes, changes and idle ones included, that no order of the same rows with the same times goes below.
    pub bound: f64,
    /// By what fraction of the bound the order is at most longer than the best one.
    pub gap: f64,
    /// How long what is left takes, with what may be stuck.
    pub outlook: OutlookView,
    /// From where there is no way back, while nothing rolls, where to stop for the night.
    pub marks: MarksView,
    /// Parts to buy.
    pub parts: Vec<NeedView>,
    /// One-use fasteners to buy.
    pub one_use: Vec<NeedView>,
    /// Consumables.
    pub consumables: Vec<NeedView>,
    /// Tools.
    pub tools: Vec<ToolView>,
    /// What may be seized.
    pub risks: Vec<RiskView>,
    /// What starts days before.
    pub ahead: Vec<AheadView>,
    /// Specifications to look up.
    pub look_up: Vec<LookUpView>,
    /// Something to tell the owner.
    pub notice: Option<String>,
}

/// What has to be ready, and the order of work.
///
/// # Errors
/// [`GarageError`] where no plan exists.
pub fn prepare(job: &Job, units: Units) -> Result<PrepareView, GarageError> {
    let plan = job.plan()?;
    let rating = rate(&job.car, &job.state, &plan);
    let toolbox = job.toolbox();
    let needs = needs(&job.car, &job.state, &plan, toolbox.as_ref());
    let name = |id: &ItemId| job.car.item(id).map_or(id.as_str(), Item::name).to_owned();
    let undone = plan.scope.parts.iter().chain(plan.scope.holds.iter()).map(|id| UndoneView {
        item: id.to_string(),
        kind: job.car.item(id).map_or("", Item::kind),
        name: name(id),
        goal: job.state.goals.contains(id),
        because: plan.scope.because.get(id).into_iter().flatten().map(name).collect(),
        way: plan.scope.way_for(id).map(name),
    });
    Ok(PrepareView {
        job: job.name.clone(),
        car: job.car.name.clone(),
        rust: job.state.rust,
        undone: undone.collect(),
        ways_proven: plan.scope.proven,
        blocks: plan.blocks().into_iter().map(|rows| block(job, &plan, rows, units)).collect(),
        rows: plan.rows.len(),
        finished: plan.rows.len() - pending(job, &plan).len(),
        minutes: minutes::shown(plan.minutes()),
        minutes_left: minutes::shown(minutes_left(job, &plan)),
        come_down: come_down(job, &plan),
        setup_minutes: minutes::shown(rating.setups),
        idle_minutes: minutes::shown(rating.idle),
        bound: minutes::shown(rating.bound),
        gap: (rating.gap() * 1000.0).ceil() / 1000.0,
        outlook: outlook(job, &plan),
        marks: marks_view(job, &plan),
        parts: needs.parts.into_iter().map(need).collect(),
        one_use: needs.one_use.into_iter().map(need).collect(),
        consumables: needs.consumables.into_iter().map(need).collect(),
        tools: needs
            .tools
            .into_iter()
            .map(|t| ToolView { tool: t.tool, for_items: t.for_items, owned: t.owned, stand_in: t.stand_in })
            .collect(),
        risks: needs
            .risks
            .into_iter()
            .map(|r| RiskView {
                item: r.item.to_string(),
                name: r.name,
                chance: r.chance,
                minutes: minutes::shown(r.minutes),
                ways: r.ways,
            })
            .collect(),
        ahead: needs.ahead.into_iter().map(|a| AheadView { name: a.name, days: a.days }).collect(),
        look_up: needs
            .look_up
            .into_iter()
            .map(|l| LookUpView {
                item: l.item,
                name: l.name,
                field: l.field,
                look_in: l.look_in,
                critical: l.critical,
            })
            .collect(),
        notice: job.notice.clone(),
    })
}

/// The order of work alone: every row, in runs of one place.
///
/// # Errors
/// [`GarageError`] where no plan exists.
pub fn blocks(job: &Job, units: Units) -> Result<Vec<BlockView>, GarageError> {
    let plan = job.plan()?;
    Ok(plan.blocks().into_iter().map(|rows| block(job, &plan, rows, units)).collect())
}

fn block(job: &Job, plan: &Plan, rows: &[PlanRow], units: Units) -> BlockView {
    let first = rows.first();
    let place = first.map_or_else(String::new, |row| match row.side {
        Some(side) => format!("{}, {}", row.place.phrase(), side.phrase()),
        None => row.place.phrase().to_owned(),
    });
    BlockView {
        stage: first.map_or("", |row| row.section.stage().phrase()),
        car_state: first.map_or(CarState::OnWheels, |row| row.section.car_state()).phrase(),
        place,
        minutes: minutes::shown(
            rows.iter()
                .filter(|row| {
                    axlestand_ledger::row_status(&job.car, &job.state, &row.action) == RowStatus::Pending
                })
                .map(|row| row.minutes)
                .sum(),
        ),
        rows: rows
            .iter()
            .map(|row| {
                let view = row_view(job, &row.action, units);
                with_waits(job, plan, row, RowView { minutes: Some(minutes::shown(row.minutes)), ..view })
            })
            .collect(),
    }
}

impl NeedView {
    /// How much of it is in hand, in words: `in hand`, `1 in hand`; `None` where none is.
    #[must_use]
    pub fn in_hand(&self) -> Option<String> {
        if self.in_hand <= 0.0 {
            return None;
        }
        Some(if self.in_hand < self.amount {
            format!("{} in hand", self.in_hand)
        } else {
            "in hand".to_owned()
        })
    }
}

fn need(need: Need) -> NeedView {
    NeedView {
        what: need.what,
        amount: need.amount,
        in_hand: need.in_hand,
        unit: need.unit,
        for_items: need.for_items,
    }
}
