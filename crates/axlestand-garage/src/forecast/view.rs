//! The forecast as it is shown.

use super::ask::{Basis, SAMPLES};
use super::buying::{BuyView, buy_views};
use super::week::{minutes_between, shown};
use crate::job::Job;
use crate::views::minutes;
use axlestand_model::car::Item;
use axlestand_model::{Exposure, Hand, ItemId, without_side};
use axlestand_plan::risk::{
    Assumptions, Beliefs, Lever, LeverKind, RiskJob, buy_ahead, levers, seen, simulate, soaks,
};
use serde::Serialize;

/// What this car taught of one class of exposure.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LearntView {
    /// The class.
    pub exposure: &'static str,
    /// How many were stuck.
    pub stuck: usize,
    /// How many of these broke.
    pub broken: usize,
    /// How many came loose.
    pub free: usize,
    /// The chance assumed before, 0 to 1.
    pub assumed: f64,
    /// The chance of the next one now, 0 to 1.
    pub chance: f64,
}

/// What is left on one side.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SideView {
    /// Left or right.
    pub side: &'static str,
    /// Minutes that one of ten stays below.
    pub from: f64,
    /// Minutes that nine of ten stay below.
    pub to: f64,
}

/// An end.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct EndView {
    /// The fraction of runs that end by then, 0 to 1.
    pub fraction: f64,
    /// Minutes of work, trips included, that this fraction stays at or below.
    pub minutes: f64,
    /// When, for people; absent without hours of work, or beyond the calendar.
    pub when: Option<String>,
}

/// One point of the distribution of the end.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct QuantileView {
    /// The fraction of runs that end by then, 0 to 1.
    pub fraction: f64,
    /// Minutes of work, trips included, that this fraction stays at or below.
    pub minutes: f64,
    /// Minutes from the start to the end, nights and waits included; absent without hours of work, or beyond the
    /// calendar.
    pub from_start: Option<f64>,
    /// The same as a date for people, to the minute.
    pub when: Option<String>,
}

/// Something that would bring the end nearer.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LeverView {
    /// What to do.
    pub what: String,
    /// By how much the chance to be done in time rises (of 1: 0.1 is ten in a hundred); absent without a date.
    pub chance: Option<f64>,
    /// Minutes of work saved on average.
    pub minutes: f64,
    /// Minutes, nights and waiting included, by which the end comes sooner on average.
    pub sooner: f64,
    /// These in words.
    pub brings: String,
}

/// An assumption.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct AssumedView {
    /// Its name in the forecast file.
    pub name: &'static str,
    /// Its value, in the unit that `what` says.
    pub value: f64,
    /// What it is.
    pub what: &'static str,
    /// `typical` or `stated`.
    pub provenance: &'static str,
    /// Where a stated one comes from, as the owner says.
    pub from: Option<String>,
}

/// The forecast of a job.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ForecastView {
    /// The job.
    pub job: String,
    /// The car.
    pub car: String,
    /// Rows left.
    pub rows: usize,
    /// Runs behind it.
    pub samples: usize,
    /// Minutes of work or less in half of the runs, if nothing were stuck.
    pub undisturbed: f64,
    /// Ends: half, four of five, nineteen of twenty.
    pub ends: Vec<EndView>,
    /// The whole distribution of the end, for a plot: each from 1 % to 99 %.
    pub finish_quantiles: Vec<QuantileView>,
    /// The chance that work stops for a part that is not there, 0 to 1.
    pub stop: f64,
    /// Hours of work as stated.
    pub sessions: Vec<String>,
    /// When work begins.
    pub start: Option<String>,
    /// The date asked for.
    pub by: Option<String>,
    /// The chance to be done by it, 0 to 1.
    pub chance: Option<f64>,
    /// What this car taught.
    pub learnt: Vec<LearntView>,
    /// Minutes that the work takes over those of the plan: above 1 is slower.
    pub pace: f64,
    /// Rows that the pace was learnt from; 0: it is assumed.
    pub pace_rows: usize,
    /// What is left on each side.
    pub sides: Vec<SideView>,
    /// What would bring the end nearest, at most three.
    pub levers: Vec<LeverView>,
    /// What may be needed, the likeliest first.
    pub buy: Vec<BuyView>,
    /// Whether no other set of quantities costs less by the same numbers.
    pub buy_proven: bool,
    /// The currency stated; empty where none is.
    pub currency: String,
    /// What is assumed.
    pub assumptions: Vec<AssumedView>,
    /// What the forecast leaves out.
    pub notes: Vec<String>,
    /// Something to tell the owner.
    pub notice: Option<String>,
}

pub(super) fn forecast_view(job: &Job, basis: &Basis) -> ForecastView {
    let setting = basis.setting(basis.samples);
    let runs = simulate(&basis.risk, &setting);
    let by = basis.by.map(|by| minutes_between(basis.start, by));
    let end = |fraction: f64| EndView {
        fraction,
        minutes: minutes::shown(runs.minutes(fraction)),
        when: basis.sessions.as_ref().and_then(|_| shown(basis.start, runs.end(fraction), 30)),
    };
    let quantile = |fraction: f64| {
        let from_start = basis.sessions.as_ref().map(|_| runs.end(fraction)).filter(|end| end.is_finite());
        QuantileView {
            fraction,
            minutes: minutes::shown(runs.minutes(fraction)),
            from_start: from_start.map(minutes::shown),
            when: from_start.and_then(|end| shown(basis.start, end, 1)),
        }
    };
    let fewer = basis.setting(SAMPLES.1.min(basis.samples));
    let soakable = soakable(job);
    let list = levers(&basis.risk, &basis.stated.assumptions, &fewer, soakable, by);
    let (buys, proven) = buy_ahead(&basis.risk, &fewer, &basis.stated.market);
    let assumed = basis.stated.assumptions.iter().map(|one| AssumedView {
        name: one.name,
        value: one.value,
        what: one.what,
        provenance: if one.stated { "stated" } else { "typical" },
        from: basis.stated.from.get(one.name).filter(|_| one.stated).cloned(),
    });
    ForecastView {
        job: job.name.clone(),
        car: job.car.name.clone(),
        rows: basis.risk.steps.len(),
        samples: basis.samples,
        undisturbed: undisturbed(basis),
        ends: [0.5, 0.8, 0.95].map(end).to_vec(),
        finish_quantiles: (1..=99).map(|percent| quantile(f64::from(percent) / 100.0)).collect(),
        stop: runs.chance_of_stop(),
        sessions: basis.stated.session_texts.clone(),
        start: basis.sessions.as_ref().and_then(|sessions| shown(basis.start, sessions.next(0.0), 1)),
        by: by.and_then(|by| shown(basis.start, by, 1)),
        chance: by.map(|by| runs.chance_by(by)),
        learnt: learnt(job, &basis.risk, &basis.stated.assumptions),
        pace: basis.risk.pace.factor(),
        pace_rows: basis.risk.pace.rows,
        sides: sides(basis),
        levers: list
            .iter()
            .take(3)
            .map(|lever| lever_view(job, lever, !basis.stated.session_texts.is_empty()))
            .collect(),
        buy: buy_views(buys, basis),
        buy_proven: proven,
        currency: basis.stated.currency.clone(),
        assumptions: assumed.collect(),
        notes: notes(job, basis),
        notice: job.notice.clone(),
    }
}

/// Whether this car has a soak and none of them is done yet.
fn soakable(job: &Job) -> bool {
    let mut soaks = soaks(&job.car).peekable();
    soaks.peek().is_some() && !soaks.any(|soak| job.state.done.contains_key(&soak.id))
}

/// What this car taught, class by class, where anything was seen.
pub(super) fn learnt(job: &Job, risk: &RiskJob, assumptions: &Assumptions) -> Vec<LearntView> {
    let soaked = soaks(&job.car).any(|soak| job.state.done.contains_key(&soak.id));
    let before = Beliefs::of(assumptions, job.state.rust, soaked, &[]);
    let mut list = Vec::new();
    for seen in seen(&job.car, &job.state).into_iter().filter(|seen| seen.stuck + seen.free > 0) {
        let class = Exposure::ALL.iter().position(|e| *e == seen.exposure).unwrap_or(0);
        list.push(LearntView {
            exposure: seen.exposure.phrase(),
            stuck: seen.stuck,
            broken: seen.broken,
            free: seen.free,
            assumed: before.stuck.get(class).map_or(0.0, |belief| belief.mean()),
            chance: risk.beliefs.stuck.get(class).map_or(0.0, |belief| belief.mean()),
        });
    }
    list
}

/// Minutes in half of the runs if nothing were stuck: the same kind of figure as those that it stands beside.
fn undisturbed(basis: &Basis) -> f64 {
    let mut calm = basis.risk.clone();
    for step in &mut calm.steps {
        step.danger = None;
    }
    minutes::shown(simulate(&calm, &basis.setting(SAMPLES.1)).minutes(0.5))
}

/// What is left on each side that has work left.
fn sides(basis: &Basis) -> Vec<SideView> {
    let mut list = Vec::new();
    for side in [Hand::Left, Hand::Right] {
        let mut part = basis.risk.clone();
        part.steps.retain(|step| step.action.item.side() == Some(side));
        if part.steps.is_empty() {
            continue;
        }
        let runs = simulate(&part, &basis.setting(SAMPLES.1));
        let (from, to) = (minutes::shown(runs.minutes(0.1)), minutes::shown(runs.minutes(0.9)));
        list.push(SideView { side: side.phrase(), from, to });
    }
    list
}

fn lever_view(job: &Job, lever: &Lever, by_calendar: bool) -> LeverView {
    let name = |id: &ItemId| job.car.item(id).map_or(id.as_str(), Item::name).to_owned();
    let what = match &lever.kind {
        LeverKind::Soak => {
            let soak = soaks(&job.car).next().map_or("soak the threads", |soak| soak.name.as_str());
            format!("{soak}, and record it")
        }
        LeverKind::Have(base) => {
            let named = job.car.ids().find(|id| id.base() == base);
            format!(
                "have at hand: {}",
                named.map_or_else(|| base.clone(), |id| without_side(&name(id)).to_owned())
            )
        }
        LeverKind::Helper(items) => {
            let names: Vec<String> = items.iter().map(|id| without_side(&name(id)).to_owned()).collect();
            let mut few: Vec<&str> = Vec::new();
            for name in &names {
                if !few.contains(&name.as_str()) {
                    few.push(name);
                }
            }
            let more = few.len().saturating_sub(3);
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            few.truncate(3);
            format!("a helper for: {}{more}", few.join(", "))
        }
        LeverKind::Way(item, way) => format!("{}: at once {}", name(item), name(way)),
    };
    LeverView {
        what,
        chance: lever.chance,
        minutes: minutes::shown(lever.minutes),
        sooner: minutes::shown(lever.sooner),
        brings: brings(lever, by_calendar),
    }
}

/// What a lever brings, in words.
fn brings(lever: &Lever, by_calendar: bool) -> String {
    let mut brings = Vec::new();
    if let Some(chance) = lever.chance.filter(|chance| *chance >= 0.005) {
        brings.push(format!("raises that chance by {:.0} in 100", chance * 100.0));
    }
    if lever.minutes >= 5.0 {
        brings.push(format!("{} less work on average", minutes::about(lever.minutes)));
    }
    if lever.sooner >= 5.0 && by_calendar {
        brings.push(format!("{} sooner by the calendar on average", minutes::about(lever.sooner)));
    }
    if brings.is_empty() { "a little".to_owned() } else { brings.join(", ") }
}

/// What the forecast leaves out, and what of the file it could not use.
fn notes(job: &Job, basis: &Basis) -> Vec<String> {
    let mut notes = Vec::new();
    for item in basis.stated.unknown(job) {
        notes.push(format!("the forecast file names '{item}', which this car does not have"));
    }
    if basis.risk.things.len() >= axlestand_plan::risk::MOST_THINGS {
        notes.push("more than 64 things may break; the rest of them is left out of the forecast".to_owned());
    }
    let ahead = basis.plan.rows.iter().filter_map(|row| job.car.operation(&row.action.item));
    if ahead.filter(|o| !job.state.done.contains_key(&o.id)).any(|o| o.days_before.is_some()) {
        notes.push("steps that start days before count with their minutes, not with their days".to_owned());
    }
    if basis.sessions.is_none() {
        notes.push(
            "without hours of work waiting is not counted, for parts or for what soaks, dries, cures or drains; trips are"
                .to_owned(),
        );
    } else if basis.shops.is_none() {
        notes.push("shops are taken as always open: none stated".to_owned());
    }
    notes
}
