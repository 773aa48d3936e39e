//! How long the fold of a long ledger takes, from memory and from its stored text, beside plain reading of
//! the same text as JSON by serde_json: the least that any ledger of this form costs.
//!
//! `cargo bench -p axlestand-ledger --bench fold [-- EVENTS…]`. The ledger is made of many events of the
//! invented demo car: fasteners undone and fitted, readings, notes, each tenth event withdrawn. Medians of
//! interleaved runs, by the clock.
#![allow(clippy::print_stdout, reason = "a bench prints what it measures")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a bench fails loudly")]
#![allow(clippy::disallowed_methods, reason = "a bench measures time")]

use axlestand_ledger::{Action, Effects, Entry, Event, FastenerStage, JobState, PlannedRow, Verb, wire};
use axlestand_model::car::Car;
use std::time::Instant;

fn car() -> Car {
    let text = include_str!("../../../cars/wagtail.toml");
    let reading = axlestand_model::file::read(text, |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}", reading.findings))
}

/// The event at a place of the ledger.
fn event(car: &Car, at: usize) -> Event {
    let fasteners: Vec<_> = car.fasteners.iter().map(|it| &it.id).collect();
    let item = fasteners[at / 4 % fasteners.len()];
    let done = |verb, stage| Event::Done {
        action: Action::new(verb, item),
        effects: Effects { reaches: Some(stage), ..Effects::default() },
        torque: None,
        note: None,
    };
    match at % 10 {
        9 => Event::Withdrawn { entry: format!("{:032x}", at - 5), reason: None },
        0 | 4 => done(Verb::Undo, FastenerStage::Out),
        1 | 5 => done(Verb::Fit, FastenerStage::Seated),
        2 | 6 => Event::Note { item: Some(item.clone()), text: format!("the {at}th word on it") },
        _ => Event::Gauged {
            place: format!("string.front-left.{}", at % 7),
            value: 52.5,
            u: 0.5,
            own_u: false,
            at: None,
            sure: false,
            typed: "52.5 mm".to_owned(),
            instrument: None,
        },
    }
}

fn ledger(car: &Car, count: usize) -> Vec<Entry> {
    let goals = car.resolve("control-arm").unwrap();
    let rows = car.fasteners.iter().map(|it| &it.id).enumerate();
    let rows =
        rows.map(|(at, item)| PlannedRow { number: at as u32 + 1, action: Action::new(Verb::Undo, item) });
    let start = Event::JobStarted {
        name: "long".to_owned(),
        car_text: String::new(),
        car_path: String::new(),
        goals,
        rust: 3,
        helper: false,
        toolbox: None,
    };
    let first = [start, Event::Planned { rows: rows.collect(), ways: Vec::new() }];
    let events = first.into_iter().chain((0..count.saturating_sub(2)).map(|at| event(car, at)));
    let entry = |(at, event)| Entry {
        id: format!("{:032x}", at as i64 - 2),
        at: "2026-01-01T08:00:00Z".to_owned(),
        event,
    };
    events.enumerate().map(entry).collect()
}

/// Seconds that a piece of work takes.
fn timed<T>(work: impl FnOnce() -> T) -> f64 {
    let clock = Instant::now();
    std::hint::black_box(work());
    clock.elapsed().as_secs_f64()
}

fn median(mut seconds: Vec<f64>) -> f64 {
    seconds.sort_by(f64::total_cmp);
    seconds[seconds.len() / 2]
}

fn main() {
    let named: Vec<usize> = std::env::args().skip(1).filter_map(|word| word.parse().ok()).collect();
    let sizes = if named.is_empty() { vec![1_000, 10_000, 100_000, 1_000_000] } else { named };
    let car = car();
    println!("    events   fold, ms   read and fold, ms   plain JSON, ms   ratio   µs an event");
    for count in sizes {
        let entries = ledger(&car, count);
        let stored =
            |entry: &Entry| (entry.id.clone(), entry.at.clone(), wire::to_json(&entry.event).unwrap());
        let stored: Vec<_> = entries.iter().map(stored).collect();
        let read = |(id, at, text): &(String, String, String)| Entry {
            id: id.clone(),
            at: at.clone(),
            event: wire::from_json(text).unwrap(),
        };
        let (mut fold, mut whole, mut plain) = (Vec::new(), Vec::new(), Vec::new());
        for _ in 0..if count > 200_000 { 3 } else { 7 } {
            fold.push(timed(|| JobState::of(&entries)));
            whole.push(timed(|| JobState::of(&stored.iter().map(read).collect::<Vec<_>>())));
            let json = |(_, _, text): &(String, String, String)| serde_json::from_str(text).unwrap();
            plain.push(timed(|| stored.iter().map(json).collect::<Vec<serde_json::Value>>()));
        }
        let (fold, whole, plain) = (median(fold), median(whole), median(plain));
        println!(
            "{count:10} {:10.2} {:19.2} {:16.2} {:7.2} {:13.2}",
            fold * 1e3,
            whole * 1e3,
            plain * 1e3,
            whole / plain,
            whole * 1e6 / count as f64
        );
    }
}
