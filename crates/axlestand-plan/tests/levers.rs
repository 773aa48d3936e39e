//! What brings a job forward, by hand on two bolts that may be lost.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_ledger::{Action, Verb};
use axlestand_model::ItemId;
use axlestand_plan::risk::{
    Assumptions, Belief, Beliefs, Chance, Danger, Detour, Lever, LeverKind, Pace, RiskJob, Runs, Sessions,
    Setting, Spread, Step, Thing, levers, simulate,
};

const SAMPLES: usize = 20_000;

fn setting(have: u64, sessions: Option<&Sessions>) -> Setting<'_> {
    Setting { have, sessions, shops: None, seed: 3, samples: SAMPLES, threads: 2 }
}

/// Two bolts of 5 minutes, each stuck with this chance, apart from the other: then `tried` minutes are lost, a
/// way of 10 more is gone, and it is scrap. A trip takes 30 minutes, a new one three days.
fn job(chance: f64, tried: f64) -> RiskJob {
    let names = ["front", "rear"].map(ItemId::from_text);
    let step = |at: usize| Step {
        action: Action::new(Verb::Undo, &names[at]),
        key: at as u64 + 1,
        setup: 0.0,
        time: Spread::of_mean(5.0, 1.5),
        alone: false,
        danger: Some(Danger {
            item: names[at].clone(),
            class: 0,
            chance: Chance::Own(chance),
            factor: 1.0,
            extra: Spread::of_mean(60.0, 1.5),
            may_break: false,
            broken_extra: 0.0,
            things: 0,
            tried,
            detour: Some(Detour {
                way: ItemId::from_text("saw"),
                time: Spread::of_mean(10.0, 1.5),
                things: 1 << at,
            }),
        }),
        waits_for: 0,
        after: Vec::new(),
        ready: 0.0,
    };
    let thing = |item: &ItemId| Thing { item: item.clone(), name: item.to_string(), lead_days: 3.0 };
    RiskJob {
        steps: vec![step(0), step(1)],
        things: names.iter().map(thing).collect(),
        beliefs: Beliefs { stuck: vec![Belief::assumed(0.5, 1.0)], breaks: vec![Belief::assumed(0.0, 1.0)] },
        pace: Pace { mean: 0.0, sigma: 0.0, rows: 0 },
        trip_minutes: 30.0,
    }
}

/// Within four standard errors of so many samples with this deviation.
fn near(value: f64, expected: f64, deviation: f64) {
    let error = 4.0 * deviation / (SAMPLES as f64).sqrt();
    assert!((value - expected).abs() < error, "{value} is not {expected} ± {error}");
}

fn chance(value: f64, expected: f64) {
    near(value, expected, (expected * (1.0 - expected)).sqrt().max(1e-6));
}

/// Each is lost with 0.4: one at least with 1 − 0.6² = 0.64. What lies ready stops nothing.
#[test]
fn the_work_stops_where_something_is_lost_that_is_not_there() {
    let job = job(0.4, 0.0);
    let stops = |have| simulate(&job, &setting(have, None)).chance_of_stop();
    chance(stops(0), 0.64);
    chance(stops(0b01), 0.4);
    chance(stops(0b10), 0.4);
    chance(stops(0b11), 0.0);
    let runs = simulate(&job, &setting(0, None));
    // 2·5, 0.8 ways of 10 and 0.64 trips of 30.
    near(runs.moments().0, 10.0 + 8.0 + 19.2, runs.moments().1);
}

fn found(list: &[Lever], kind: &LeverKind) -> Lever {
    list.iter().find(|lever| lever.kind == *kind).unwrap_or_else(|| panic!("{kind:?}: {list:?}")).clone()
}

/// With the front bolt there, the trip is made with 0.4 instead of 0.64: 0.24·30 minutes less. In one session
/// without end the three days go with it.
#[test]
fn having_one_ahead_saves_its_trips_and_days() {
    let long = Sessions::of([(0.0, 1e6)]);
    let list = levers(&job(0.4, 0.0), &Assumptions::default(), &setting(0, Some(&long)), false, Some(1440.0));
    assert_eq!(list.len(), 2, "{list:?}");
    for item in ["front", "rear"] {
        let lever = found(&list, &LeverKind::Have(item.to_owned()));
        near(lever.minutes, 0.24 * 30.0, 13.0);
        near(lever.sooner, 0.24 * (3.0 * 1440.0 + 30.0), 1870.0);
        // Done within the first day: 0.6 instead of 0.36.
        near(lever.chance.unwrap(), 0.24, 0.43);
    }
    let one_there = levers(&job(0.4, 0.0), &Assumptions::default(), &setting(0b01, Some(&long)), false, None);
    assert_eq!(one_there.len(), 1, "what is there is bought no more: {one_there:?}");
    assert_eq!((&one_there[0].kind, one_there[0].chance), (&LeverKind::Have("rear".to_owned()), None));
}

/// At a chance of 0.9 trying costs 0.9·(15 + 10) = 22.5 minutes on average, sawing at once 10, so 12.5 less; at
/// 0.4 it costs 10 as well and nothing is gained.
#[test]
fn a_way_is_gone_at_once_where_trying_costs_more() {
    let all = setting(0b11, None);
    let list = levers(&job(0.9, 15.0), &Assumptions::default(), &all, false, None);
    assert_eq!(list.len(), 2, "{list:?}");
    for item in ["front", "rear"] {
        let kind = LeverKind::Way(ItemId::from_text(item), ItemId::from_text("saw"));
        near(found(&list, &kind).minutes, 12.5, 9.0);
    }
    assert_eq!(levers(&job(0.4, 15.0), &Assumptions::default(), &all, false, None), []);
}

#[test]
fn a_spread_keeps_its_form_at_another_mean() {
    let wide = Spread::of_mean(8.0, 2.5);
    let longer = wide.with_mean(20.0);
    assert!((longer.mean() - 20.0).abs() < 1e-9 && (longer.sigma() - wide.sigma()).abs() < 1e-12);
    // Twice as long: twice the deviation, four times the variance.
    assert!((wide.times(2.0).variance() / wide.variance() - 4.0).abs() < 1e-9);
}

/// Of the runs that end by a time, the fraction is told; the smallest value that so many do not exceed.
#[test]
fn quantiles_and_chances_of_a_run_agree() {
    let runs: Runs = simulate(&job(0.4, 15.0), &setting(0b11, None));
    for fraction in [0.1, 0.5, 0.9] {
        let by = runs.end(fraction);
        assert!((runs.chance_by(by) - fraction).abs() < 1e-3, "{fraction}");
        assert!((runs.minutes(fraction) - by).abs() < 1e-9, "without sessions the end is the minutes");
    }
}
