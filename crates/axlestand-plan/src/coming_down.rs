//! A car on stands that has to come down once more before the rest can be done: what for, and what that takes.

use crate::checker::replay;
use crate::order::{Plan, PlanRow};
use crate::rows::{Rows, Section};
use crate::scope::scope;
use axlestand_ledger::{Action, Entry, Event, JobState, PlannedRow, RowStatus, Verb, obstacles, row_status};
use axlestand_model::car::Car;
use axlestand_model::{CarState, ItemId, Stage};

/// Why and how a car on stands comes down in the middle of taking apart.
#[derive(Debug, Clone, PartialEq)]
pub struct ComingDown {
    /// What is to be broken loose, taken out or taken off with the car on its wheels.
    pub items: Vec<ItemId>,
    /// What goes back for it, in order; the last one lowers the car. Empty where that cannot be done as things stand.
    pub rows: Vec<Action>,
    /// Minutes besides the rows of the plan: what goes back for it comes off again, and the car goes up again.
    pub minutes: f64,
}

impl Plan {
    /// Minutes that what is left takes besides the rows still to do: coming down once more and going up again; of a
    /// car that is down for a while, the second lowering, whose row counts as done.
    #[must_use]
    pub fn minutes_besides(&self, car: &Car, state: &JobState) -> f64 {
        if let Some(down) = &self.coming_down {
            return down.minutes;
        }
        let brings = |row: &PlanRow| match row.action.verb {
            Verb::Do => car.operation(&row.action.item).and_then(|operation| operation.brings),
            _ => None,
        };
        let of = |brought: CarState, wanted: RowStatus| {
            let rows = self.rows.iter().filter(move |row| brings(row) == Some(brought));
            rows.filter(move |row| row_status(car, state, &row.action) == wanted)
        };
        if of(CarState::OnStands, RowStatus::Pending).next().is_none() {
            return 0.0;
        }
        of(CarState::OnWheels, RowStatus::Done).map(|row| row.minutes).sum()
    }
}

/// A row: what is done, in which section, in how many minutes.
pub(crate) type Listed<'a> = (&'a Action, Section, f64);

/// Whether this car has to come down before it can go on with these rows, all of a plan by these ways.
pub(crate) fn coming_down(
    car: &Car,
    state: &JobState,
    ways: Vec<ItemId>,
    rows: &[Listed<'_>],
) -> Option<ComingDown> {
    let on_wheels = |(action, section, _): &&Listed<'_>| {
        matches!(action.verb, Verb::Loosen | Verb::Undo | Verb::Off | Verb::Way)
            && section.stage() == Stage::Strip
            && section.car_state() == CarState::OnWheels
    };
    if state.stands() != CarState::OnStands || !rows.iter().any(|row| on_wheels(&row)) {
        return None;
    }
    // What comes off again is known from what is planned.
    let mut planned = state.clone();
    let numbered = rows.iter().zip(1..);
    let numbered = numbered.map(|((action, ..), number)| PlannedRow { number, action: (*action).clone() });
    planned.apply(&entry("planned".to_owned(), Event::Planned { rows: numbered.collect(), ways }));
    let of = |wanted: RowStatus| -> Vec<Listed<'_>> {
        rows.iter().filter(|(action, ..)| row_status(car, &planned, action) == wanted).copied().collect()
    };
    let pending = of(RowStatus::Pending);
    let items: Vec<ItemId> =
        pending.iter().filter(on_wheels).map(|(action, ..)| action.item.clone()).collect();
    if items.is_empty() {
        return None;
    }
    let left: f64 = pending.iter().map(|(_, _, minutes)| minutes).sum();
    // Where the owner left out a row of the way down, it has to be done all the same; where something is back that
    // is in front of what has to go back first, it comes out before.
    let all = [pending.clone(), of(RowStatus::Skipped)].concat();
    let (rows, minutes) = go_down(car, &planned, &pending, false)
        .or_else(|| go_down(car, &planned, &all, false))
        .or_else(|| go_down(car, &planned, &all, true))
        .and_then(|(done, down)| {
            let again = done.iter().filter(|(action, ..)| comes_again(car, &down, action));
            let minutes = done.iter().chain(again).map(|(_, _, minutes)| minutes).sum::<f64>();
            let rows: Vec<Action> = done.iter().map(|(action, ..)| (*action).clone()).collect();
            Some((rows, minutes + minutes_left(car, &down)? - left))
        })
        .unwrap_or_default();
    Some(ComingDown { items, rows, minutes: minutes.max(0.0) })
}

/// Whether what was done is undone again by planned work and then done once more, though its row does not say so yet.
fn comes_again(car: &Car, down: &JobState, action: &Action) -> bool {
    let is_due = |row: &Action| down.is_planned(row) && row_status(car, down, row) == RowStatus::Pending;
    match action.verb {
        Verb::Final | Verb::Lock => is_due(&Action::new(Verb::Undo, &action.item)),
        // What raises the car is due again.
        Verb::Do => car.operations.iter().any(|operation| {
            operation.brings == Some(CarState::OnStands) && is_due(&Action::new(Verb::Do, &operation.id))
        }),
        _ => false,
    }
}

/// Puts back what can go back until the car can be lowered, and lowers it: the rows, and how things stand then. Where
/// nothing can, what is to come `apart` does so first.
fn go_down<'a>(
    car: &Car,
    state: &JobState,
    open: &[Listed<'a>],
    apart: bool,
) -> Option<(Vec<Listed<'a>>, JobState)> {
    let (mut now, mut rows): (JobState, Vec<Listed<'a>>) = (state.clone(), Vec::new());
    while now.stands() == CarState::OnStands {
        let due = |action: &Action| {
            rows.iter().all(|(done, ..)| *done != action)
                && row_status(car, &now, action) != RowStatus::Done
                && obstacles(car, &now, action).is_empty()
        };
        let first = |leads: bool| {
            let can = open.iter().filter(|(action, ..)| leads_down(car, action) == leads && due(action));
            can.filter_map(|row| Some((*row, replay(car, &now, row.0).ok()?))).next()
        };
        let (row, event) = first(true).or_else(|| if apart { first(false) } else { None })?;
        now.apply(&entry(format!("down-{}", rows.len()), event));
        rows.push(row);
    }
    Some((rows, now))
}

/// Whether an action brings a car nearer to coming down once more: nothing further comes apart before.
#[must_use]
pub fn leads_down(car: &Car, action: &Action) -> bool {
    match action.verb {
        Verb::On | Verb::Fit | Verb::Final | Verb::Lock => true,
        Verb::Do => car.operation(&action.item).is_some_and(|operation| operation.stage > Stage::Strip),
        Verb::Loosen | Verb::Undo | Verb::Off | Verb::Way | Verb::Read | Verb::Again => false,
    }
}

/// Mean minutes of the pending rows of what the state asks for, in no order, with what a car takes that has to come
/// down once more; nothing where no way leads there.
pub(crate) fn minutes_left(car: &Car, state: &JobState) -> Option<f64> {
    let found = scope(car, state).ok()?;
    let rows = Rows::of(car, state, &found).rows;
    let pending = rows.iter().filter(|row| row_status(car, state, &row.action) == RowStatus::Pending);
    let minutes: f64 = pending.map(|row| row.minutes).sum();
    let listed: Vec<Listed<'_>> = rows.iter().map(|row| (&row.action, row.section, row.minutes)).collect();
    let ways = found.ways.values().cloned().collect();
    Some(minutes + coming_down(car, state, ways, &listed).map_or(0.0, |down| down.minutes))
}

fn entry(id: String, event: Event) -> Entry {
    Entry { id, at: String::new(), event }
}
