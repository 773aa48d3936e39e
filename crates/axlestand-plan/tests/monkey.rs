//! A user who does whatever comes to mind, as far as it is not refused, on random cars: the plan stays one
//! that the checker accepts, and what the gates say is held against a book of its own, kept from the
//! events and the vehicle file by the plain words of a mechanic, without the ledger's state.
//!
//! `cargo test --release -p axlestand-plan --test monkey -- --ignored --nocapture` takes 10,000 steps and
//! tells how the memory grew.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test fails loudly"
)]

mod random_car;

use axlestand_ledger::{
    Action, Details, Entry, Event, JobState, PlannedRow, RowStatus, Verb, intend, lowering_check, obstacles,
    road_check, row_status, withdraw,
};
use axlestand_model::car::{Car, Fastener, Item};
use axlestand_model::{CarState, ItemId};
use axlestand_plan::{check_plan, order, scope};
use proptest::prelude::*;
use proptest::strategy::ValueTree as _;
use proptest::test_runner::TestRunner;
use random_car::dice::Dice;
use random_car::{Recipe, read, recipe, started, write};
use std::collections::{BTreeMap, BTreeSet};

/// How a fastener stands, by the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stand {
    Loose,
    Out,
    Seated,
    Tight,
    Locked,
}

/// What happened, kept as a mechanic would with paper and pencil.
#[derive(Debug, Default)]
struct Book {
    stands: Option<CarState>,
    fasteners: BTreeMap<ItemId, Stand>,
    off: BTreeSet<ItemId>,
    broken: BTreeSet<ItemId>,
    ready: BTreeSet<ItemId>,
    /// Used again although a new one was due.
    reused: BTreeSet<ItemId>,
}

impl Book {
    fn of(car: &Car, entries: &[Entry]) -> Self {
        let withdrawn: BTreeSet<&String> = entries
            .iter()
            .filter_map(|entry| match &entry.event {
                Event::Withdrawn { entry, .. } => Some(entry),
                _ => None,
            })
            .collect();
        let mut book = Self::default();
        for entry in entries.iter().filter(|entry| !withdrawn.contains(&entry.id)) {
            book.write(car, &entry.event);
        }
        book
    }

    fn write(&mut self, car: &Car, event: &Event) {
        match event {
            Event::Broken { item, .. } => {
                self.broken.insert(item.clone());
            }
            Event::Replaced { item, .. } => {
                self.ready.insert(item.clone());
            }
            Event::Done { action, effects, torque, .. } => {
                self.done(car, action, torque.is_some(), (effects.fresh, effects.reused));
            }
            _ => {}
        }
    }

    /// `clicked`: a torque was reached; `piece`: a new one, an old one against the rule.
    fn done(&mut self, car: &Car, action: &Action, clicked: bool, (fresh, reused): (bool, bool)) {
        let item = action.item.clone();
        match (action.verb, car.item(&item)) {
            (Verb::Do, Some(Item::Operation(operation))) => self.stands = operation.brings.or(self.stands),
            (Verb::Loosen, _) => self.goes(item, Stand::Loose),
            (Verb::Undo, _) => self.goes(item, Stand::Out),
            (Verb::Off, _) => {
                self.off.insert(item);
            }
            (Verb::On, _) => {
                self.off.remove(&item);
                if fresh {
                    self.broken.remove(&item);
                }
            }
            (Verb::Fit, Some(Item::Fastener(fastener))) => {
                if fresh {
                    self.broken.remove(&item);
                    self.reused.remove(&item);
                }
                if reused {
                    self.reused.insert(item.clone());
                }
                if clicked {
                    self.is_in_the_right_state(fastener, action);
                }
                // Without a torque there is nothing more to it than seating it well.
                let tight = clicked || fastener.torque.is_none();
                self.goes(item, if tight { Stand::Tight } else { Stand::Seated });
            }
            (Verb::Final, Some(Item::Fastener(fastener))) => {
                self.is_in_the_right_state(fastener, action);
                self.goes(item, Stand::Tight);
            }
            (Verb::Lock, _) => self.goes(item, Stand::Locked),
            (Verb::Way, Some(Item::Way(way))) => {
                for gone in way.undoes.iter().chain([&way.frees]) {
                    if car.part(gone).is_some() {
                        self.off.insert(gone.clone());
                    } else {
                        self.goes(gone.clone(), Stand::Out);
                    }
                }
                self.broken.extend(way.scraps.iter().cloned());
            }
            _ => {}
        }
    }

    fn goes(&mut self, item: ItemId, stand: Stand) {
        self.fasteners.insert(item, stand);
    }

    fn is_in_the_right_state(&self, fastener: &Fastener, action: &Action) {
        let due = fastener.torque.as_ref().and_then(|torque| torque.state);
        let right = match due {
            None => true,
            Some(CarState::OnWheels) => {
                matches!(self.stands, None | Some(CarState::OnWheels | CarState::RideHeight))
            }
            // A car whose state nobody touched stands on its wheels, not settled.
            Some(state) => self.stands == Some(state),
        };
        assert!(right, "{action} was let pass, due {due:?}, and the car is {:?}", self.stands);
    }

    /// Why no mechanic would drive this car.
    fn against_the_road(&self, car: &Car) -> Vec<String> {
        let mut reasons: Vec<String> = self.off.iter().map(|part| format!("{part} is off")).collect();
        if self.stands == Some(CarState::OnStands) {
            reasons.push("it stands on stands".to_owned());
        }
        for (item, stand) in &self.fasteners {
            let fastener = car.fasteners.iter().find(|one| one.id == *item).expect("a fastener");
            let wanted = if fastener.lock.is_own_act() { Stand::Locked } else { Stand::Tight };
            if *stand != wanted {
                reasons.push(format!("{item} is {stand:?}, not {wanted:?}"));
            }
            if self.broken.contains(item) {
                reasons.push(format!("{item} is broken"));
            }
            if fastener.critical && self.reused.contains(item) {
                reasons.push(format!("{item} was used again"));
            }
        }
        reasons
    }
}

/// What came of a walk.
#[derive(Debug, Default)]
struct Told {
    steps: usize,
    refused: usize,
    plans: usize,
    /// Plans for which the car, on stands already, has to come down once more: no row says so, `next` does.
    downs: usize,
    clear: usize,
    jobs: usize,
    finished: usize,
}

/// One job on one car, until its road check is clear or the steps are used up.
fn walk(recipe: &Recipe, dice: &mut Dice, most: usize, told: &mut Told) {
    let text = write(recipe);
    let car = read(&text);
    let mut state = started(&car, recipe);
    let mut entries = state.entries.clone();
    let mut record = |state: &mut JobState, event| {
        let entry = Entry { id: state.entries.len().to_string(), at: String::new(), event };
        state.apply(&entry);
        entries.push(entry);
        entries.clone()
    };
    told.jobs += 1;
    for _ in 0..most {
        told.steps += 1;
        let Ok(found) = scope(&car, &state) else {
            // The owner chose ways that wait for each other: they take the last choice back.
            let last =
                state.counting_entries().filter(|entry| matches!(entry.event, Event::Chosen { .. })).last();
            let last = last.expect("only a choice leaves no way").id.clone();
            let event =
                withdraw(&car, &state.entries.clone(), &last, None).expect("a choice can be taken back");
            record(&mut state, event);
            continue;
        };
        let plan = order(&car, &state, found).unwrap_or_else(|why| panic!("{why:?}"));
        let rows: Vec<Action> = plan.rows.iter().map(|row| row.action.clone()).collect();
        let ways: Vec<ItemId> = plan.scope.ways.values().cloned().collect();
        match &plan.coming_down {
            None => {
                assert_eq!(check_plan(&car, &state, &ways, &rows), Vec::new(), "{}", story(&text, &state));
            }
            Some(down) => {
                told.downs += 1;
                let down = brought_down(&car, &state, &down.rows);
                let plan = order(&car, &down, scope(&car, &down).expect("ways")).expect("an order");
                let rows: Vec<Action> = plan.rows.iter().map(|row| row.action.clone()).collect();
                let ways: Vec<ItemId> = plan.scope.ways.values().cloned().collect();
                assert_eq!(check_plan(&car, &down, &ways, &rows), Vec::new(), "{}", story(&text, &down));
            }
        }
        if state.planned != rows.iter().cloned().collect() {
            told.plans += 1;
            let known = state.numbers.len() as u32;
            let fresh = rows.iter().filter(|row| state.number_of(row).is_none()).count() as u32;
            let mut next = known + 1..=known + fresh;
            let number = |action: &Action| {
                let number = state.number_of(action).or_else(|| next.next()).expect("a number");
                PlannedRow { number, action: action.clone() }
            };
            let planned = rows.iter().map(number).collect();
            record(&mut state, Event::Planned { rows: planned, ways });
        }
        let Some(event) = whim(&car, &state, &rows, dice) else {
            told.refused += 1;
            continue;
        };
        let all = record(&mut state, event);
        let book = Book::of(&car, &all);
        if road_check(&car, &state).is_empty() {
            told.clear += 1;
            assert_eq!(book.against_the_road(&car), Vec::<String>::new(), "{}", story(&text, &state));
        }
        if lowering_check(&car, &state).is_empty() {
            assert!(book.off.is_empty(), "down with {:?} off", book.off);
        }
        let open = |row: &Action| row_status(&car, &state, row) == RowStatus::Pending;
        if !rows.iter().any(open) {
            told.finished += 1;
            return;
        }
    }
}

/// The state once these rows are done, of which the last lowers the car.
fn brought_down(car: &Car, state: &JobState, rows: &[Action]) -> JobState {
    let mut down = state.clone();
    for row in rows {
        let event =
            intend(car, &down, row, &Details::default()).unwrap_or_else(|why| panic!("{row}: {why:?}"));
        down.apply(&Entry { id: down.entries.len().to_string(), at: String::new(), event });
    }
    assert_eq!(down.stands(), CarState::OnWheels, "after {rows:?}");
    down
}

/// What happened, a line each, with the vehicle file: to see how a walk came to its fault.
fn story(car_text: &str, state: &JobState) -> String {
    let line = |entry: &Entry| match &entry.event {
        Event::Done { action, effects, torque, .. } => {
            let clicked = if torque.is_some() { ", clicked" } else { "" };
            format!("{}: {action} {:?}{clicked}", entry.id, effects.reaches)
        }
        Event::Planned { ways, .. } => format!("{}: planned by {ways:?}", entry.id),
        other => format!("{}: {other:?}", entry.id),
    };
    format!("{car_text}\n{}", state.entries.iter().map(line).collect::<Vec<_>>().join("\n"))
}

/// What the user does next; `None` where it was refused.
fn whim(car: &Car, state: &JobState, rows: &[Action], dice: &mut Dice) -> Option<Event> {
    let pending: Vec<&Action> =
        rows.iter().filter(|row| row_status(car, state, row) == RowStatus::Pending).collect();
    let holds: Vec<ItemId> = car.fasteners.iter().map(|fastener| fastener.id.clone()).collect();
    match dice.throw(100) {
        // The next row, as a sober person does.
        0..70 => {
            let row = pending.iter().find(|row| obstacles(car, state, row).is_empty())?;
            done(car, state, row, dice)
        }
        // Any row, whether or not its turn has come.
        70..84 => done(car, state, dice.one_of(&pending)?, dice),
        84..86 => {
            let operations: Vec<&ItemId> = car.operations.iter().map(|operation| &operation.id).collect();
            done(car, state, &Action::new(Verb::Do, dice.one_of(&operations)?), dice)
        }
        86..88 => {
            let verbs = [Verb::Loosen, Verb::Undo, Verb::Fit, Verb::Final, Verb::Lock];
            done(car, state, &Action::new(*dice.one_of(&verbs)?, dice.one_of(&holds)?), dice)
        }
        88..90 => Some(Event::Stuck { item: dice.one_of(&holds)?.clone(), note: None }),
        90..92 => Some(Event::Broken { item: dice.one_of(&holds)?.clone(), note: None }),
        92..94 => Some(Event::Replaced { item: dice.one_of(&holds)?.clone(), note: None }),
        94..96 => {
            let way = dice.one_of(&car.ways)?;
            let usual = dice.throw(2) == 0;
            Some(Event::Chosen { item: way.frees.clone(), way: (!usual).then(|| way.id.clone()) })
        }
        96..97 => {
            let action = (*dice.one_of(&pending)?).clone();
            Some(Event::Skipped { action, reason: "no time".to_owned() })
        }
        _ => {
            let id = dice.one_of(&state.entries)?.id.clone();
            withdraw(car, &state.entries, &id, None).ok()
        }
    }
}

fn done(car: &Car, state: &JobState, action: &Action, dice: &mut Dice) -> Option<Event> {
    let details = Details {
        fresh: dice.throw(8) == 0,
        reused: dice.throw(12) == 0,
        only_seated: dice.throw(20) == 0,
        ..Details::default()
    };
    intend(car, state, action, &details).or_else(|_| intend(car, state, action, &Details::default())).ok()
}

/// Walks on random cars until so many steps are taken.
fn walks(steps: usize, seed: u64, mut look: impl FnMut(usize)) -> Told {
    let mut runner = TestRunner::deterministic();
    let (cars, mut dice, mut told) = (recipe(), Dice(seed), Told::default());
    while told.steps < steps {
        let recipe = cars.new_tree(&mut runner).unwrap().current();
        walk(&recipe, &mut dice, 150, &mut told);
        look(told.steps);
    }
    told
}

/// Resident memory of this process, kB, where the system tells it.
fn memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    status.lines().find_map(|line| line.strip_prefix("VmRSS:")?.split_whitespace().next()?.parse().ok())
}

#[test]
fn whatever_comes_to_mind_never_opens_a_gate_wrongly() {
    let told = walks(1_500, 7, |_| ());
    println!("{told:?}");
    // The walk is worth something: jobs end, gates open, things are refused, plans change.
    assert!(told.finished > 5 && told.clear > 5 && told.refused > 50 && told.plans > 50, "{told:?}");
}

#[test]
#[ignore = "minutes; run by the command at the head of this file"]
fn ten_thousand_steps() {
    let mut seen = Vec::new();
    let told = walks(10_000, 2026, |steps| seen.extend(memory().map(|kb| (steps, kb))));
    let early = seen.iter().find(|(steps, _)| *steps >= 1_000).map(|(_, kb)| *kb);
    let late = seen.last().map(|(_, kb)| *kb);
    println!("{told:?}\nmemory after 1,000 steps {early:?} kB, at the end {late:?} kB");
    if let (Some(early), Some(late)) = (early, late) {
        assert!(late < early + early / 2, "memory grows: {early} kB, then {late} kB");
    }
}
