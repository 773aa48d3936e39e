//! Routes to a part as they are shown.

use super::ask::{Basis, SAMPLES};
use crate::error::GarageError;
use crate::job::Job;
use crate::views::minutes;
use axlestand_model::{ItemId, without_side};
use axlestand_plan::Need;
use axlestand_plan::risk::{Route, routes};
use serde::Serialize;

/// One route.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct RouteView {
    /// What is done.
    pub name: String,
    /// Whether the plan does it so now.
    pub planned: bool,
    /// Why it cannot be gone.
    pub impossible: Option<String>,
    /// Mean minutes of work of the whole rest of the job.
    pub minutes: f64,
    /// Minutes that one of ten stays below.
    pub from: f64,
    /// Minutes that nine of ten stay below.
    pub to: f64,
    /// The chance that work stops for a part, 0 to 1.
    pub stop: f64,
    /// What its parts cost by the prices stated, in the currency stated; those without a price are left out.
    pub money: f64,
    /// What it needs that has no price stated.
    pub unpriced: Vec<String>,
    /// What it needs that the planned route does not.
    pub more_parts: Vec<String>,
    /// Tools that the toolbox lacks; absent where no toolbox is known.
    pub missing_tools: Option<Vec<String>>,
}

/// All routes to a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct RoutesView {
    /// The job.
    pub job: String,
    /// The part.
    pub part: String,
    /// The routes, the planned one first.
    pub routes: Vec<RouteView>,
    /// The currency stated; empty where none is.
    pub currency: String,
}

pub(super) fn routes_view(
    job: &Job,
    basis: &Basis,
    part: &str,
    instead: &[String],
) -> Result<RoutesView, GarageError> {
    let part = one_part(job, part)?;
    let instead: Vec<ItemId> = instead.iter().map(|typed| one_part(job, typed)).collect::<Result<_, _>>()?;
    let toolbox = job.toolbox();
    let more = (&basis.stated.assumptions, basis.risk.pace, toolbox.as_ref());
    let list = routes(&job.car, &job.state, &part, &instead, more, &basis.setting(SAMPLES.1));
    let planned: Vec<Need> = list.first().map(|route| route.parts.clone()).unwrap_or_default();
    Ok(RoutesView {
        job: job.name.clone(),
        part: job.car.item(&part).map_or("", |item| item.name()).to_owned(),
        routes: list.into_iter().map(|route| route_view(job, basis, route, &planned)).collect(),
        currency: basis.stated.currency.clone(),
    })
}

/// One part; a name without a side means the left one.
fn one_part(job: &Job, typed: &str) -> Result<ItemId, GarageError> {
    let ids = job.car.resolve(typed)?;
    let part = ids.into_iter().find(|id| job.car.part(id).is_some());
    part.ok_or_else(|| GarageError::Input(format!("'{typed}' is no part; routes lead to parts")))
}

fn route_view(job: &Job, basis: &Basis, route: Route, planned: &[Need]) -> RouteView {
    let (mut money, mut unpriced) = (0.0, Vec::new());
    for need in &route.parts {
        let base = need.for_items.iter().find_map(|name| base_of(job, &need.what, name));
        let terms = base.and_then(|base| basis.stated.market.terms.get(&base)).and_then(|terms| terms.price);
        match terms {
            Some(price) => money += price * need.amount,
            None => unpriced.push(need.what.clone()),
        }
    }
    let more =
        |need: &&Need| !planned.iter().any(|other| other.what == need.what && other.amount >= need.amount);
    RouteView {
        more_parts: route.parts.iter().filter(more).map(|need| need.what.clone()).collect(),
        name: route.name,
        planned: route.planned,
        impossible: route.impossible,
        minutes: minutes::shown(route.minutes),
        from: minutes::shown(route.range.0),
        to: minutes::shown(route.range.1),
        stop: route.stop,
        money,
        unpriced,
        missing_tools: route.tools,
    }
}

/// The base name of the item that a need is, told by what it is called: a part or hold itself, or nothing
/// where it is bought with another.
fn base_of(job: &Job, what: &str, name: &str) -> Option<String> {
    let id = job.car.ids().find(|id| job.car.item(id).is_some_and(|item| item.name() == name))?;
    what.starts_with(without_side(name)).then(|| id.base().to_owned())
}
