//! What would bring the end nearest.

use super::assume::Assumptions;
use super::job::{Chance, RiskJob, kinds};
use super::sample::{Runs, Setting, simulate};
use axlestand_model::ItemId;

/// Something that the owner can do about the end.
#[derive(Debug, Clone, PartialEq)]
pub enum LeverKind {
    /// Soak the threads before.
    Soak,
    /// Have this at hand: base name of the item.
    Have(String),
    /// A helper for the rows that need two people: their items.
    Helper(Vec<ItemId>),
    /// Go a way at once instead of trying first: item, way.
    Way(ItemId, ItemId),
}

/// A lever with what it brings.
#[derive(Debug, Clone, PartialEq)]
pub struct Lever {
    /// What.
    pub kind: LeverKind,
    /// By how much the chance to be done in time rises, 0 to 1; absent without a date.
    pub chance: Option<f64>,
    /// Minutes of work saved on average.
    pub minutes: f64,
    /// Minutes, waiting included, by which the end comes sooner on average.
    pub sooner: f64,
}

/// Levers that bring something, the best first. Each is judged on the same samples as the job as it is, so
/// that the difference is its own and not that of chance.
#[must_use]
pub fn levers(
    job: &RiskJob,
    assumptions: &Assumptions,
    setting: &Setting<'_>,
    soakable: bool,
    by: Option<f64>,
) -> Vec<Lever> {
    let usual = simulate(job, setting);
    let mut list = Vec::new();
    let mut judge = |kind: LeverKind, job: &RiskJob, have: u64| {
        let runs = simulate(job, &Setting { have: setting.have | have, ..*setting });
        list.push(judged(kind, &usual, &runs, by));
    };
    if soakable {
        judge(LeverKind::Soak, &soaked(job, assumptions.of("soak")), 0);
    }
    for (kind, things) in kinds(&job.things) {
        let mask = things.iter().fold(0, |mask, at| mask | 1 << at);
        if setting.have & mask != mask && usual.samples.iter().any(|sample| sample.needs & mask != 0) {
            judge(LeverKind::Have(kind), job, mask);
        }
    }
    let alone: Vec<ItemId> =
        job.steps.iter().filter(|step| step.alone).map(|step| step.action.item.clone()).collect();
    if !alone.is_empty() {
        judge(LeverKind::Helper(alone), &helped(job, assumptions.of("alone")), 0);
    }
    for at in 0..job.steps.len() {
        if let Some((kind, other)) = at_once(job, at) {
            judge(kind, &other, 0);
        }
    }
    list.retain(|lever| {
        lever.minutes > 0.5 || lever.sooner > 0.5 || lever.chance.is_some_and(|c| c > 0.0005)
    });
    list.sort_by(|a, b| {
        let chance = |lever: &Lever| lever.chance.unwrap_or(0.0);
        chance(b)
            .total_cmp(&chance(a))
            .then(b.sooner.total_cmp(&a.sooner))
            .then(b.minutes.total_cmp(&a.minutes))
    });
    list
}

fn judged(kind: LeverKind, usual: &Runs, runs: &Runs, by: Option<f64>) -> Lever {
    let both =
        usual.samples.iter().zip(&runs.samples).filter(|(a, b)| a.end.is_finite() && b.end.is_finite());
    let (sum, count) = both.fold((0.0, 0.0), |(sum, count), (a, b)| (sum + a.end - b.end, count + 1.0));
    Lever {
        kind,
        chance: by.map(|by| runs.chance_by(by) - usual.chance_by(by)),
        minutes: usual.moments().0 - runs.moments().0,
        sooner: if count > 0.0 { sum / count } else { 0.0 },
    }
}

fn soaked(job: &RiskJob, factor: f64) -> RiskJob {
    let mut job = job.clone();
    for danger in job.steps.iter_mut().filter_map(|step| step.danger.as_mut()) {
        if matches!(danger.chance, Chance::Class(_)) {
            danger.factor *= factor;
        }
    }
    job
}

fn helped(job: &RiskJob, factor: f64) -> RiskJob {
    let mut job = job.clone();
    for step in job.steps.iter_mut().filter(|step| step.alone) {
        step.time = step.time.times(1.0 / factor.max(1.0));
    }
    job
}

/// The job with the detour of a step gone at once.
fn at_once(job: &RiskJob, at: usize) -> Option<(LeverKind, RiskJob)> {
    let step = &job.steps[at];
    let danger = step.danger.as_ref()?;
    let detour = danger.detour.as_ref()?;
    let chance = job.chance(danger);
    // It pays where trying and turning costs more on average than the way itself.
    if chance * (danger.tried + detour.time.mean()) <= detour.time.mean() {
        return None;
    }
    let kind = LeverKind::Way(danger.item.clone(), detour.way.clone());
    let time = detour.time.with_mean(step.time.mean() + detour.time.mean());
    let mut other = job.clone();
    (other.steps[at].time, other.steps[at].danger) = (time, None);
    Some((kind, other))
}
