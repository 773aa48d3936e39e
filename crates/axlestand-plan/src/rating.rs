//! How near the order of a plan comes to the best one.

use crate::order::{Plan, Spot};
use crate::rows::{Row, Rows};
use crate::sequence::{Attribute, Effort, Liking, Problem, Setups, solve};
use crate::setups::{actions, attributes, lags, seconds};
use axlestand_ledger::{Action, JobState};
use axlestand_model::car::Car;
use std::collections::{BTreeMap, BTreeSet};

/// What the bound of one section may cost: some thousandths of a second.
const EFFORT: Effort = Effort { rounds: 1, moves: 2_000, width: 256, states: 0, steps: 0 };

/// What is known of the time of a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rating {
    /// Minutes of changing place, side and tool between the rows.
    pub setups: f64,
    /// Minutes in which the hands have nothing to do since something soaks, dries, cures or drains, the work
    /// done in one go.
    pub idle: f64,
    /// Minutes of all rows and changes, and idle ones.
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
    let mut ends: Vec<i64> = Vec::new();
    let mut from: Vec<Vec<usize>> = attributes.iter().map(|a| vec![a.start]).collect();
    for section in &sections {
        let least = least_within(&rows, &attributes, section, &from);
        ends.push(end_of(&rows, &sections, &ends, least));
        // A row with others of its section behind it is not the last one.
        let last = |row: usize| !section.iter().any(|&other| rows[other].before.contains(&row));
        let last: Vec<usize> = section.iter().copied().filter(|&row| last(row)).collect();
        from = attributes.iter().map(|a| last.iter().map(|&row| a.values[row]).collect()).collect();
    }
    let durations = rows.iter().map(|row| seconds(row.minutes)).collect();
    let waited = Problem::new(durations, &[], Setups::Attributes(attributes), lags(&rows));
    let idle = waited.map_or(0, |timed| timed.total(&order) - timed.setups(&order) - timed.work());
    let (setups, idle) = (setups as f64 / 60.0, idle as f64 / 60.0);
    Rating {
        setups,
        idle,
        total: work + setups + idle,
        bound: ends.last().copied().unwrap_or(0) as f64 / 60.0,
    }
}

/// A bound in seconds on the end of one section: whichever is later of all its work and changes after the
/// section before it, and the end of what waits. What waits starts no sooner than the work before it and the
/// wait have passed; of all that starts that late, and what follows it, nothing is done by then. `ends` holds
/// the bounds on the ends of the sections before this one.
fn end_of(rows: &[Row], sections: &[&[usize]], ends: &[i64], least: i64) -> i64 {
    let at = ends.len();
    let Some(section) = sections.get(at) else { return 0 };
    let work = |of: &BTreeSet<usize>| of.iter().map(|&row| seconds(rows[row].minutes)).sum::<i64>();
    let begin = ends.last().copied().unwrap_or(0);
    let mut starts: Vec<(i64, usize)> = Vec::new();
    for &then in *section {
        for &(first, minutes) in &rows[then].waits {
            let Some(of) = sections.iter().position(|section| section.contains(&first)) else { continue };
            let before = of.checked_sub(1).and_then(|of| ends.get(of)).copied().unwrap_or(0);
            let ahead = reached(first, |row| {
                rows[row].before.iter().copied().filter(|row| sections[of].contains(row)).collect()
            });
            starts.push((before + work(&ahead) + seconds(minutes), then));
        }
    }
    starts.sort_unstable_by(|a, b| b.cmp(a));
    let mut late = BTreeSet::new();
    let mut end = begin + work(&section.iter().copied().collect()) + least;
    for (start, then) in starts {
        late.extend(reached(then, |row| {
            section.iter().copied().filter(|&other| rows[other].before.contains(&row)).collect()
        }));
        end = end.max(start + work(&late));
    }
    end
}

/// A row and all that is reached from it by these steps.
fn reached(from: usize, next: impl Fn(usize) -> Vec<usize>) -> BTreeSet<usize> {
    let mut seen = BTreeSet::from([from]);
    let mut open = vec![from];
    while let Some(row) = open.pop() {
        open.extend(next(row).into_iter().filter(|&row| seen.insert(row)));
    }
    seen
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
