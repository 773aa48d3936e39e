//! What to buy ahead: chance of being needed against what it costs to have it and not to have it.

use super::job::{RiskJob, Thing, kinds};
use super::sample::{Runs, Setting, simulate};
use std::collections::BTreeMap;

/// What the owner says of buying one kind of thing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Terms {
    /// Price of a piece.
    pub price: Option<f64>,
    /// The part of the price that is lost when a piece is taken back, 0 to 1; `None`: it is not taken back,
    /// so that a piece left over is lost.
    pub restocking: Option<f64>,
}

impl Terms {
    /// What a piece left over costs.
    #[must_use]
    pub fn loss(&self) -> Option<f64> {
        Some(self.price? * self.restocking.unwrap_or(1.0))
    }
}

/// What the owner says of shopping.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Market {
    /// What a day costs on which the car stands and waits.
    pub stranded_day: Option<f64>,
    /// What a trip to the shop or a delivery costs.
    pub trip: Option<f64>,
    /// Terms by base name of the item.
    pub terms: BTreeMap<String, Terms>,
}

/// What to do about a kind of thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// Buy so many; they are not taken back.
    Buy,
    /// Order so many, and return what is left over.
    OrderReturnable,
    /// Buy none.
    Leave,
    /// Its price is not given.
    NoPrice,
    /// What a stranded day costs is not given.
    NoDay,
}

/// A kind of thing that may be needed, with the arithmetic.
#[derive(Debug, Clone, PartialEq)]
pub struct Buy {
    /// Base name of the item.
    pub kind: String,
    /// What people call it.
    pub name: String,
    /// The chances that 0, 1, … are needed.
    pub counts: Vec<f64>,
    /// Days that the end moves when one is needed and none is there, on average.
    pub days: f64,
    /// What the owner says.
    pub terms: Terms,
    /// What a stop for it alone costs: trip and days; where given.
    pub stop: Option<f64>,
    /// What to do, decided together with the others.
    pub choice: Choice,
    /// How many to have.
    pub quantity: usize,
    /// The critical ratio of one piece: stop/(stop + loss).
    pub critical: Option<f64>,
    /// The cost on average of having none, and of having the quantity (or one, where none is chosen), with a
    /// stop counted for it alone.
    pub costs: Option<(f64, f64)>,
    /// The highest loss of a piece left over at which one pays: chance/(1 − chance)·stop.
    pub worth_up_to: Option<f64>,
    /// The least cost of a stop at which one piece pays: loss·(1 − chance)/chance.
    pub pays_from: Option<f64>,
}

impl Buy {
    /// The chance that at least one is needed.
    #[must_use]
    pub fn chance(&self) -> f64 {
        self.counts.iter().skip(1).sum()
    }
}

/// How many to have: the least number whose chance of sufficing reaches the critical ratio
/// under/(under + over) (the newsvendor rule: any text on inventories), and that ratio. `counts[k]` is the
/// chance that k are needed, `under` the cost of each piece short, `over` of each left over; both above 0.
#[must_use]
pub fn newsvendor(counts: &[f64], under: f64, over: f64) -> (usize, f64) {
    let critical = under / (under + over);
    let mut sum = 0.0;
    for (quantity, chance) in counts.iter().enumerate() {
        sum += chance;
        if sum >= critical - 1e-12 {
            return (quantity, critical);
        }
    }
    (counts.len().saturating_sub(1), critical)
}

/// How many sets of quantities are tried one by one; more are sought by bettering one after the other.
const SETS: usize = 50_000;

/// What may be needed, kind by kind, the likeliest first, and whether the quantities are the best together
/// for certain. Left and right of one item count as one kind.
///
/// The chances come from the samples; where one trip serves all that is missing, the decision is one: the
/// set with the least cost on average of pieces left over, trips and stranded days is sought.
#[must_use]
pub fn buy_ahead(job: &RiskJob, setting: &Setting<'_>, market: &Market) -> (Vec<Buy>, bool) {
    let kinds = kinds(&job.things);
    let runs = simulate(job, &Setting { have: 0, ..*setting });
    let mut patterns: BTreeMap<Vec<usize>, f64> = BTreeMap::new();
    let share = 1.0 / runs.samples.len().max(1) as f64;
    for sample in &runs.samples {
        let needed =
            |(_, list): &(String, Vec<usize>)| list.iter().filter(|at| sample.needs >> **at & 1 == 1).count();
        *patterns.entry(kinds.iter().map(needed).collect()).or_default() += share;
    }
    let all_there = simulate(job, &Setting { have: u64::MAX, ..*setting });
    let mut list: Vec<Buy> = Vec::new();
    for (at, (kind, things)) in kinds.iter().enumerate() {
        let mut counts = vec![0.0; things.len() + 1];
        for (pattern, share) in &patterns {
            counts[pattern[at]] += share;
        }
        let days = if counts[0] < 1.0 { lost_days(job, setting, things, &all_there) } else { 0.0 };
        list.push(one_kind(kind, plain(&job.things, things), counts, days, market));
    }
    let proven = together(&mut list, &patterns, market);
    list.retain(|buy| buy.chance() > 0.0);
    list.sort_by(|a, b| b.chance().total_cmp(&a.chance()).then_with(|| a.kind.cmp(&b.kind)));
    (list, proven)
}

fn plain(things: &[Thing], kind: &[usize]) -> String {
    kind.first().map_or("", |at| axlestand_model::without_side(&things[*at].name)).to_owned()
}

/// By how many days the end moves when one of these is needed and missing while all else is there.
fn lost_days(job: &RiskJob, setting: &Setting<'_>, things: &[usize], with: &Runs) -> f64 {
    let lead = things.iter().map(|at| job.things[*at].lead_days).fold(0.0, f64::max);
    if setting.sessions.is_none() {
        return lead;
    }
    let mask = things.iter().fold(0, |mask, at| mask | 1 << at);
    let without = simulate(job, &Setting { have: !mask, ..*setting });
    let needed = with
        .samples
        .iter()
        .zip(&without.samples)
        .filter(|(a, b)| a.needs & mask != 0 && a.end.is_finite() && b.end.is_finite());
    let (mut sum, mut count) = (0.0, 0.0);
    for (with, without) in needed {
        (sum, count) = (sum + (without.end - with.end).max(0.0), count + 1.0);
    }
    if count > 0.0 { sum / count / 1440.0 } else { lead }
}

fn one_kind(kind: &str, name: String, counts: Vec<f64>, days: f64, market: &Market) -> Buy {
    let terms = market.terms.get(kind).copied().unwrap_or_default();
    let stop = match (market.stranded_day, market.trip) {
        (None, None) => None,
        (day, trip) => Some(day.unwrap_or(0.0) * days + trip.unwrap_or(0.0)),
    };
    let chance: f64 = counts.iter().skip(1).sum();
    let both = stop.zip(terms.loss());
    let choice = match (stop, terms.price) {
        (_, None) => Choice::NoPrice,
        (None, _) => Choice::NoDay,
        _ => Choice::Leave,
    };
    Buy {
        kind: kind.to_owned(),
        name,
        days,
        terms,
        stop,
        choice,
        quantity: 0,
        critical: both.filter(|(stop, loss)| stop + loss > 0.0).map(|(stop, loss)| stop / (stop + loss)),
        costs: None,
        worth_up_to: stop.filter(|_| chance < 1.0).map(|stop| chance / (1.0 - chance) * stop),
        pays_from: terms.loss().filter(|_| chance > 0.0).map(|loss| loss * (1.0 - chance) / chance),
        counts,
    }
}

/// Decides the quantities of all kinds with a price together.
fn together(list: &mut [Buy], patterns: &BTreeMap<Vec<usize>, f64>, market: &Market) -> bool {
    let free: Vec<usize> = (0..list.len()).filter(|at| list[*at].choice == Choice::Leave).collect();
    let cost = |quantities: &[usize]| average_cost(list, &free, quantities, patterns, market);
    let most: Vec<usize> = free.iter().map(|at| list[*at].counts.len() - 1).collect();
    let sets = most.iter().try_fold(1usize, |product, most| product.checked_mul(most + 1));
    let proven = sets.is_some_and(|sets| sets <= SETS);
    let mut best = vec![0; free.len()];
    let mut least = cost(&best);
    if proven {
        let mut at = best.clone();
        while next_set(&mut at, &most) {
            let here = cost(&at);
            if here < least - 1e-9 {
                (least, best) = (here, at.clone());
            }
        }
    } else {
        while let Some((here, better)) = better_neighbour(&best, &most, least, &cost) {
            (least, best) = (here, better);
        }
    }
    for (&at, quantity) in free.iter().zip(best) {
        let buy = &mut list[at];
        buy.quantity = quantity;
        buy.choice = match (quantity, buy.terms.restocking) {
            (0, _) => Choice::Leave,
            (_, None) => Choice::Buy,
            (_, Some(_)) => Choice::OrderReturnable,
        };
        let alone = |quantity| alone_cost(buy, quantity);
        buy.costs = alone(0).zip(alone(quantity.max(1)));
    }
    proven
}

/// The next set of quantities; `false` after the last.
fn next_set(at: &mut [usize], most: &[usize]) -> bool {
    for (quantity, most) in at.iter_mut().zip(most) {
        if *quantity < *most {
            *quantity += 1;
            return true;
        }
        *quantity = 0;
    }
    false
}

fn better_neighbour(
    at: &[usize],
    most: &[usize],
    least: f64,
    cost: &impl Fn(&[usize]) -> f64,
) -> Option<(f64, Vec<usize>)> {
    let mut best: Option<(f64, Vec<usize>)> = None;
    for kind in 0..at.len() {
        for quantity in (0..=most[kind]).filter(|quantity| *quantity != at[kind]) {
            let mut other = at.to_vec();
            other[kind] = quantity;
            let here = cost(&other);
            if here < best.as_ref().map_or(least - 1e-9, |(least, _)| *least) {
                best = Some((here, other));
            }
        }
    }
    best
}

/// Pieces left over, and one stop where anything is short, as long as the longest of what is short.
fn average_cost(
    list: &[Buy],
    free: &[usize],
    quantities: &[usize],
    patterns: &BTreeMap<Vec<usize>, f64>,
    market: &Market,
) -> f64 {
    let mut sum = 0.0;
    for (pattern, share) in patterns {
        let (mut cost, mut days, mut short) = (0.0, 0.0, false);
        for (&at, &have) in free.iter().zip(quantities) {
            let needed = pattern[at];
            cost += list[at].terms.loss().unwrap_or(0.0) * have.saturating_sub(needed) as f64;
            if needed > have {
                (short, days) = (true, list[at].days.max(days));
            }
        }
        if short {
            cost += days * market.stranded_day.unwrap_or(0.0) + market.trip.unwrap_or(0.0);
        }
        sum += share * cost;
    }
    sum
}

/// The cost on average of having so many of one kind, everything else there.
fn alone_cost(buy: &Buy, quantity: usize) -> Option<f64> {
    let (stop, loss) = (buy.stop?, buy.terms.loss()?);
    let cost = |(needed, chance): (usize, &f64)| {
        chance * if needed > quantity { stop } else { loss * (quantity - needed) as f64 }
    };
    Some(buy.counts.iter().enumerate().map(cost).sum())
}
