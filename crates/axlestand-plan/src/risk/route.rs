//! Repair or replace: the ways to a goal beside each other.

use super::assume::Assumptions;
use super::job::{RiskJob, going};
use super::learn::Pace;
use super::sample::{Setting, simulate};
use crate::needs::{Need, Toolbox, needs};
use crate::order::order;
use crate::scope::scope;
use axlestand_ledger::JobState;
use axlestand_model::ItemId;
use axlestand_model::car::{Car, Item};

/// One way to the goal, for the whole rest of the job.
#[derive(Debug, Clone, PartialEq)]
pub struct Route {
    /// What is done, in words.
    pub name: String,
    /// Whether it is what the plan does now.
    pub planned: bool,
    /// Why it cannot be gone, where it cannot; then the rest says nothing.
    pub impossible: Option<String>,
    /// Mean minutes of work.
    pub minutes: f64,
    /// Minutes that one of ten, and nine of ten, stay below.
    pub range: (f64, f64),
    /// The chance that work stops for a part.
    pub stop: f64,
    /// Parts, one-use fasteners and connections to buy.
    pub parts: Vec<Need>,
    /// Tools that the toolbox does not have; `None`: no toolbox is known.
    pub tools: Option<Vec<String>>,
}

/// The routes to one part: as planned, every other way to free it and what holds it, and other parts
/// `instead` (the host it lies in, unless others are named).
#[must_use]
pub fn routes(
    car: &Car,
    state: &JobState,
    part: &ItemId,
    instead: &[ItemId],
    (assumptions, pace, toolbox): (&Assumptions, Pace, Option<&Toolbox>),
    setting: &Setting<'_>,
) -> Vec<Route> {
    let with_goal = |goals: Vec<ItemId>| {
        let mut other = state.clone();
        other.goals = goals;
        other
    };
    let mut goals = state.goals.clone();
    if !goals.contains(part) {
        goals.push(part.clone());
    }
    let base = with_goal(goals.clone());
    let name = |id: &ItemId| car.item(id).map_or(id.as_str(), Item::name).to_owned();
    let mut list: Vec<(String, bool, JobState)> =
        vec![(format!("{}: as planned", name(part)), true, base.clone())];
    let holds = car.outer_holds(part).into_iter().map(|hold| hold.id().clone());
    let planned = scope(car, &base).map(|found| found.ways).unwrap_or_default();
    for item in std::iter::once(part.clone()).chain(holds) {
        let now = planned.get(&item);
        let others = car.ways_to_free(&item).filter(|way| Some(&way.id) != now);
        for way in others {
            list.push((format!("{}: {}", name(&item), way.name), false, going(&base, &item, Some(&way.id))));
        }
        if now.is_some() {
            list.push((format!("{}: in the usual manner", name(&item)), false, going(&base, &item, None)));
        }
    }
    let host = car.part(part).and_then(|part| part.part_of.clone());
    let others: Vec<ItemId> = if instead.is_empty() { host.into_iter().collect() } else { instead.to_vec() };
    for other in others {
        let mut goals: Vec<ItemId> = goals.iter().filter(|goal| *goal != part).cloned().collect();
        if !goals.contains(&other) {
            goals.push(other.clone());
        }
        list.push((format!("{} instead", name(&other)), false, with_goal(goals)));
    }
    list.into_iter()
        .map(|(name, planned, state)| {
            judged(car, &state, name, planned, (assumptions, pace, toolbox), setting)
        })
        .collect()
}

fn judged(
    car: &Car,
    state: &JobState,
    name: String,
    planned: bool,
    (assumptions, pace, toolbox): (&Assumptions, Pace, Option<&Toolbox>),
    setting: &Setting<'_>,
) -> Route {
    let found = scope(car, state).map_err(|why| why.to_string());
    let plan = found.and_then(|found| order(car, state, found).map_err(|why| why.to_string()));
    let plan = match plan {
        Ok(plan) => plan,
        Err(why) => {
            let (parts, tools) = (Vec::new(), None);
            return Route {
                name,
                planned,
                impossible: Some(why),
                minutes: 0.0,
                range: (0.0, 0.0),
                stop: 0.0,
                parts,
                tools,
            };
        }
    };
    let runs = simulate(&RiskJob::of(car, state, &plan, assumptions, pace), setting);
    let needs = needs(car, state, &plan, toolbox);
    let missing = |_: &Toolbox| {
        let lacking = needs.tools.iter().filter(|tool| tool.owned == Some(false));
        lacking.map(|tool| tool.tool.clone()).collect()
    };
    Route {
        name,
        planned,
        impossible: None,
        minutes: runs.moments().0,
        range: (runs.minutes(0.1), runs.minutes(0.9)),
        stop: runs.chance_of_stop(),
        tools: toolbox.map(missing),
        parts: needs.parts.into_iter().chain(needs.one_use).collect(),
    }
}
