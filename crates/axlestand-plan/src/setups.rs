//! Where, on which side and with which tool each row is done, and what changing over takes.
//!
//! How the car stands is no set-up here: raising, lowering and settling are rows of their own with
//! their own minutes, and sections fix their order.

use crate::alike::{alike, twins};
use crate::order::{PlanRow, Spot};
use crate::rows::{Row, Section};
use crate::sequence::{Attribute, Effort, Lag, Liking, Problem, Setups, solve};
use axlestand_ledger::{Action, Verb};
use axlestand_model::car::{Car, Item};
use axlestand_model::{Hand, Place};
use std::collections::BTreeMap;

/// The table, source id AX-9: judgement, no measurement behind it.
const TABLE: &str = include_str!("../../../data/setup_minutes.csv");

/// Seconds that one pair of rows the other way round counts, against the order in which parts are
/// freed one after the other, left like right: a judgement (source id AX-8). A tool taken up once less
/// is worth some rows ahead of their turn, not a part left half free.
const PAIR: f64 = 3.0;

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

pub(crate) fn seconds(minutes: f64) -> i64 {
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
pub(crate) fn attributes<'a>(
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

pub(crate) fn actions(rows: &[Row]) -> impl Iterator<Item = &Action> {
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
    let setups = Setups::Attributes(attributes(car, actions(rows), spots));
    Problem::new(durations, &before, setups, lags(rows)).ok()
}

/// The waits of the rows, in seconds.
pub(crate) fn lags(rows: &[Row]) -> Vec<Lag> {
    let waits =
        rows.iter().enumerate().flat_map(|(then, row)| row.waits.iter().map(move |wait| (then, wait)));
    waits.map(|(then, &(first, minutes))| Lag { first, then, time: seconds(minutes) }).collect()
}

/// A better order of the rows: less running to and fro and fewer tools taken up, where that tears
/// nothing apart, and the two sides done alike. The given order is the one that is liked; only taking apart and putting together on
/// stands is changed, since elsewhere pairs go left before right and only a wait is a reason to change that.
pub(crate) fn improve(car: &Car, rows: &[Row], spots: &[Spot], order: Vec<usize>) -> Vec<usize> {
    // Where something soaks or dries, getting ready is put in order too: other work fills the wait.
    let waits = |section| rows.iter().any(|row| row.waits.iter().any(|&(on, _)| rows[on].section == section));
    let fixed = |section| !(matches!(section, Section::Strip | Section::Refit) || waits(section));
    let Some(problem) = problem(car, rows, spots, &order, fixed) else { return order };
    let mut place = vec![0; rows.len()];
    for (at, &row) in order.iter().enumerate() {
        place[row] = at;
    }
    let effort = Effort { rounds: 2, moves: 150 * rows.len() as u64, width: 0, states: 0, steps: 0 };
    let liking = Liking { place, pair: PAIR };
    let found = solve(&problem, Some(&order), &liking, &effort, &mut || true).order;
    alike(&problem, &twins(actions(rows)), &liking, found)
}
