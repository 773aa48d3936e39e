//! Where, on which side and with which tool each row is done, and what changing over takes.
//!
//! How the car stands is no set-up here: raising, lowering and settling are rows of their own with
//! their own minutes, and sections fix their order.

use crate::order::{Plan, PlanRow, Spot};
use crate::rows::{Row, Rows, Section};
use crate::sequence::{Attribute, Effort, Liking, Problem, Setups, solve};
use axlestand_ledger::{Action, JobState, Verb};
use axlestand_model::car::{Car, Item};
use axlestand_model::{Hand, Place};
use std::collections::BTreeMap;

/// The table, source id AX-9: judgement, no measurement behind it.
const TABLE: &str = include_str!("../../../data/setup_minutes.csv");

/// Seconds that one pair of rows the other way round counts, against the order in which parts are
/// freed one after the other, left like right: a judgement (source id AX-8). A tool taken up once less
/// is worth some rows ahead of their turn, not a part left half free.
const PAIR: f64 = 3.0;

/// What the bound of one section may cost: some thousandths of a second.
const EFFORT: Effort = Effort { rounds: 1, moves: 2_000, width: 256, states: 0, steps: 0 };

/// What is known of the time of a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rating {
    /// Minutes of changing place, side and tool between the rows.
    pub setups: f64,
    /// Minutes of all rows and changes.
    pub total: f64,
    /// No order of the same rows with the same times takes fewer minutes than this.
    pub bound: f64,
}

impl Rating {
    /// By what fraction of the bound the order is at most longer than the best one, 0 or more.
    #[must_use]
    pub fn gap(&self) -> f64 {
        if self.bound > 0.0 { (self.total / self.bound - 1.0).max(0.0) } else { 0.0 }
    }
}

/// Minutes of a line of the table.
fn minutes(what: &str) -> f64 {
    TABLE
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split(',').collect::<Vec<_>>())
        .find(|cells| cells.first() == Some(&what))
        .and_then(|cells| cells.get(1)?.parse().ok())
        .unwrap_or(0.0)
}

fn seconds(minutes: f64) -> i64 {
    (minutes.clamp(0.0, 1e6) * 60.0).round() as i64
}

/// What the hands hold for a row; nothing where bare hands do.
fn tool(car: &Car, action: &Action) -> String {
    let named = |tools: &[String]| tools.first().cloned().unwrap_or_default();
    let back = !action.verb.takes_apart();
    match car.item(&action.item) {
        Some(Item::Fastener(_)) if action.verb == Verb::Lock => "lock".to_owned(),
        Some(Item::Fastener(f)) => {
            let tightens = action.verb == Verb::Final || (action.verb == Verb::Fit && !f.is_deferred());
            let wrench = if tightens && f.torque.is_some() { "torque wrench " } else { "" };
            let tools = f.work.tools_for(back);
            f.drive.as_ref().map_or_else(|| named(tools), |drive| format!("{wrench}{drive}"))
        }
        Some(Item::Connection(c)) => named(c.work.tools_for(back)),
        Some(Item::Part(p)) => named(p.work.tools_for(back)),
        Some(Item::Operation(o)) => named(&o.work.tools),
        Some(Item::Way(w)) => named(&w.work.tools),
        Some(Item::Reading(r)) => r.instrument.clone().unwrap_or_else(|| named(&r.work.tools)),
        _ => String::new(),
    }
}

/// Place, side and tool of each row, with the times of changing them in seconds.
fn attributes<'a>(
    car: &Car,
    actions: impl IntoIterator<Item = &'a Action>,
    spots: &[Spot],
) -> Vec<Attribute> {
    let reach: Vec<f64> = Place::ALL.iter().map(|place| minutes(place.word())).collect();
    let index = |place: Place| Place::ALL.iter().position(|p| *p == place).unwrap_or(0);
    let between = |a: usize, b: usize| if a == b { 0 } else { seconds(reach[a] + reach[b]) };
    let places = Attribute {
        times: (0..reach.len()).map(|a| (0..reach.len()).map(|b| between(a, b)).collect()).collect(),
        start: index(Place::Around),
        values: spots.iter().map(|spot| index(spot.0)).collect(),
    };
    let side = minutes("side");
    let (half, whole) = (seconds(side / 2.0), 2 * seconds(side / 2.0));
    let sides = Attribute {
        times: vec![vec![0, half, half], vec![half, 0, whole], vec![half, whole, 0]],
        start: 0,
        values: spots
            .iter()
            .map(|spot| match spot.1 {
                None => 0,
                Some(Hand::Left) => 1,
                Some(Hand::Right) => 2,
            })
            .collect(),
    };
    let mut known: BTreeMap<String, usize> = BTreeMap::from([(String::new(), 0)]);
    let mut values = Vec::new();
    for action in actions {
        let next = known.len();
        values.push(*known.entry(tool(car, action)).or_insert(next));
    }
    let take = seconds(minutes("tool"));
    let change = |from: usize, to: usize| if from == to || to == 0 { 0 } else { take };
    let count = known.len();
    let times = (0..count).map(|a| (0..count).map(|b| change(a, b)).collect()).collect();
    vec![places, sides, Attribute { times, start: 0, values }]
}

fn actions(rows: &[Row]) -> impl Iterator<Item = &Action> {
    rows.iter().map(|row| &row.action)
}

/// Minutes of changing place, side and tool before each of these rows, done one after the other.
pub(crate) fn changes(car: &Car, rows: &[&PlanRow]) -> Vec<f64> {
    let spots: Vec<Spot> = rows.iter().map(|row| crate::order::spot(car, &row.action)).collect();
    let attributes = attributes(car, rows.iter().map(|row| &row.action), &spots);
    let change = |at: usize| -> i64 {
        let from = |a: &Attribute| if at == 0 { a.start } else { a.values[at - 1] };
        attributes.iter().map(|a| a.times[from(a)][a.values[at]]).sum()
    };
    (0..rows.len()).map(|at| change(at) as f64 / 60.0).collect()
}

/// The rows as a problem; sections one after the other. Rows of sections that are `fixed` keep the
/// order given.
fn problem(
    car: &Car,
    rows: &[Row],
    spots: &[Spot],
    order: &[usize],
    fixed: impl Fn(Section) -> bool,
) -> Option<Problem> {
    let mut before: Vec<(usize, usize)> = Vec::new();
    for (then, row) in rows.iter().enumerate() {
        before.extend(row.before.iter().map(|&first| (first, then)));
    }
    let blocks: Vec<&[usize]> = order.chunk_by(|&a, &b| rows[a].section == rows[b].section).collect();
    for pair in blocks.windows(2) {
        before.extend(pair[0].iter().flat_map(|&first| pair[1].iter().map(move |&then| (first, then))));
    }
    for block in blocks.iter().filter(|block| block.first().is_some_and(|&row| fixed(rows[row].section))) {
        before.extend(block.windows(2).map(|pair| (pair[0], pair[1])));
    }
    let durations = rows.iter().map(|row| seconds(row.minutes)).collect();
    Problem::new(durations, &before, Setups::Attributes(attributes(car, actions(rows), spots)), Vec::new())
        .ok()
}

/// A better order of the rows: less running to and fro and fewer tools taken up, where that tears
/// nothing apart. The given order is the one that is liked; only taking apart and putting together on
/// stands is changed, since elsewhere pairs go left before right.
pub(crate) fn improve(car: &Car, rows: &[Row], spots: &[Spot], order: Vec<usize>) -> Vec<usize> {
    let fixed = |section| !matches!(section, Section::Strip | Section::Refit);
    let Some(problem) = problem(car, rows, spots, &order, fixed) else { return order };
    let mut place = vec![0; rows.len()];
    for (at, &row) in order.iter().enumerate() {
        place[row] = at;
    }
    let effort = Effort { rounds: 2, moves: 150 * rows.len() as u64, width: 0, states: 0, steps: 0 };
    solve(&problem, Some(&order), &Liking { place, pair: PAIR }, &effort, &mut || true).order
}

/// How good the order of a plan is: its time with all changes, and a bound for the same rows and times.
///
/// Sections follow each other, so each is bounded by itself, begun from whichever row may be the last
/// of the section before it.
#[must_use]
pub fn rate(car: &Car, state: &JobState, plan: &Plan) -> Rating {
    let rows = Rows::of(car, state, &plan.scope).rows;
    let index: BTreeMap<&Action, usize> =
        rows.iter().enumerate().map(|(at, row)| (&row.action, at)).collect();
    let order: Vec<usize> = plan.rows.iter().filter_map(|row| index.get(&row.action).copied()).collect();
    let spots: Vec<Spot> = rows.iter().map(|row| crate::order::spot(car, &row.action)).collect();
    let work = plan.minutes();
    let attributes = attributes(car, actions(&rows), &spots);
    let change = |from: usize, to: usize| -> i64 {
        attributes.iter().map(|a| a.times[a.values[from]][a.values[to]]).sum()
    };
    let start: i64 =
        order.first().map_or(0, |&row| attributes.iter().map(|a| a.times[a.start][a.values[row]]).sum());
    let setups = start + order.windows(2).map(|pair| change(pair[0], pair[1])).sum::<i64>();
    let sections: Vec<&[usize]> = order.chunk_by(|&a, &b| rows[a].section == rows[b].section).collect();
    let mut least = 0;
    let mut from: Vec<Vec<usize>> = attributes.iter().map(|a| vec![a.start]).collect();
    for section in sections {
        least += least_within(&rows, &attributes, section, &from);
        // A row with others of its section behind it is not the last one.
        let last = |row: usize| !section.iter().any(|&other| rows[other].before.contains(&row));
        let last: Vec<usize> = section.iter().copied().filter(|&row| last(row)).collect();
        from = attributes.iter().map(|a| last.iter().map(|&row| a.values[row]).collect()).collect();
    }
    let setups = setups as f64 / 60.0;
    Rating { setups, total: work + setups, bound: work + least as f64 / 60.0 }
}

/// A bound in seconds on the changes into and within one section; of each attribute `from` holds the
/// values it may begin from.
fn least_within(rows: &[Row], attributes: &[Attribute], section: &[usize], from: &[Vec<usize>]) -> i64 {
    let place: BTreeMap<usize, usize> = section.iter().enumerate().map(|(at, &row)| (row, at)).collect();
    let before: Vec<(usize, usize)> = section
        .iter()
        .flat_map(|row| rows[*row].before.iter().map(move |first| (first, row)))
        .filter_map(|(first, then)| Some((*place.get(first)?, *place.get(then)?)))
        .collect();
    // The start is a value of its own: as near to each as the nearest that it may begin from.
    let from_there = attributes.iter().zip(from).map(|(attribute, from)| {
        let size = attribute.times.len();
        let far = attribute.times.iter().flatten().copied().max().unwrap_or(0);
        let nearest = |to: usize| from.iter().map(|&from| attribute.times[from][to]).min().unwrap_or(0);
        let mut times: Vec<Vec<i64>> =
            attribute.times.iter().map(|row| row.iter().copied().chain([far]).collect()).collect();
        times.push((0..size).map(nearest).chain([0]).collect());
        Attribute { times, start: size, values: section.iter().map(|&row| attribute.values[row]).collect() }
    });
    let setups = Setups::Attributes(from_there.collect());
    let Ok(problem) = Problem::new(vec![0; section.len()], &before, setups, Vec::new()) else { return 0 };
    let in_order: Vec<usize> = (0..section.len()).collect();
    solve(&problem, Some(&in_order), &Liking::default(), &EFFORT, &mut || true).bound
}
