//! What soaks, dries, cures or drains, by hand: the sums stand beside each.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_ledger::{Action, Entry, Event, JobState, Verb};
use axlestand_model::ItemId;
use axlestand_model::car::Car;
use axlestand_plan::risk::{Belief, Beliefs, Pace, RiskJob, Sessions, Setting, Spread, Step, simulate};
use axlestand_plan::{check_plan, order, rate, scope};

fn car(text: &str) -> Car {
    let reading = axlestand_model::file::read(text, |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}", reading.findings))
}

/// A spray of 1 minute that soaks for 30, a bolt of 5 minutes behind it, and other work.
fn sprayed(other: f64) -> Car {
    car(&format!(
        "format = 1\n[car]\nname = \"sprayed\"\n\
         [part.arm]\nname = \"arm\"\nplace = \"bench\"\nminutes = 0\n\
         [fastener.bolt]\nname = \"bolt\"\njoins = [\"arm\"]\nplace = \"bench\"\nminutes = 5\nminutes_back = 0\nstuck_chance = 0\n\
         [operation.other]\nname = \"other\"\nstage = \"strip\"\nplace = \"bench\"\nminutes = {other}\n\
         [operation.spray]\nname = \"spray\"\nstage = \"strip\"\nplace = \"bench\"\nbefore = [\"bolt\"]\nminutes = 1\n\
         wait = {{ as = \"soak\", minutes = 30 }}\n"
    ))
}

fn started(car: &Car) -> JobState {
    let event = Event::JobStarted {
        name: "test".to_owned(),
        car_text: String::new(),
        car_path: String::new(),
        goals: car.resolve("arm").unwrap(),
        rust: 0,
        helper: false,
        toolbox: None,
    };
    JobState::of(&[Entry { id: "start".to_owned(), at: String::new(), event }])
}

#[test]
fn other_work_fills_a_wait() {
    // max(1 + 30, 1 + other) + 5; once nothing else is left to fill it, hands are idle for 30 - other.
    for (other, total, idle) in [(20.0, 36.0, 10.0), (40.0, 46.0, 0.0), (10.0, 36.0, 20.0)] {
        let car = sprayed(other);
        let state = started(&car);
        let plan = order(&car, &state, scope(&car, &state).unwrap()).unwrap();
        let rows: Vec<Action> = plan.rows.iter().map(|row| row.action.clone()).collect();
        assert_eq!(check_plan(&car, &state, &[], &rows), Vec::new());
        assert_eq!(rows[0].to_string(), "do:spray", "{rows:?}");
        let rating = rate(&car, &state, &plan);
        assert!((rating.total - rating.setups - total).abs() < 1e-9, "{rating:?}");
        assert!((rating.idle - idle).abs() < 1e-9, "{rating:?}");
        assert!(rating.bound <= rating.total + 1e-9 && rating.bound >= total, "{rating:?}");
    }
}

#[test]
fn minutes_that_the_file_does_not_give_are_typical() {
    let text = "format = 1\n[car]\nname = \"glued\"\n[operation.glue]\nname = \"glue\"\nstage = \"refit\"\nplace = \"bench\"\nminutes = 2\nwait = { as = \"cure\" }\n";
    let wait = car(text).operations[0].wait.clone().unwrap();
    assert_eq!((wait.minutes, wait.is_firm()), (1440.0, true));
    assert_eq!(wait.provenance.origin.word(), "typical");
}

#[test]
fn rows_that_wait_for_each_other_are_named_in_words() {
    let mut car = car("format = 1\n[car]\nname = \"round\"\n\
         [part.arm]\nname = \"control arm\"\nplace = \"bench\"\nminutes = 1\n\
         [fastener.bolt]\nname = \"long bolt\"\njoins = [\"arm\"]\nplace = \"bench\"\nminutes = 5\n\
         [operation.strap]\nname = \"strap the arm\"\nstage = \"strip\"\nplace = \"bench\"\nminutes = 1\nbefore = [\"bolt\"]\n");
    // The check of the file refuses such a circle, so it is made behind its back.
    car.operations[0].work.after.push(ItemId::from_text("bolt"));
    let state = started(&car);
    let why = order(&car, &state, scope(&car, &state).unwrap()).unwrap_err().to_string();
    assert_eq!(
        why,
        "no order is possible: \"strap the arm\" waits for undoing \"long bolt\", which waits for \"strap the arm\"; look at 'after', 'before' and 'needs' of these in the vehicle file"
    );
}

fn forecast(ready: f64, sessions: Option<&Sessions>) -> f64 {
    let step = |name: &str, key, after: Vec<(u64, f64)>, ready| Step {
        action: Action::new(Verb::Do, &ItemId::from_text(name)),
        key,
        setup: 0.0,
        time: Spread::of_mean(10.0, 1.0),
        alone: false,
        danger: None,
        waits_for: 0,
        after,
        ready,
    };
    let job = RiskJob {
        steps: vec![step("spray", 1, Vec::new(), 0.0), step("undo", 2, vec![(1, 480.0)], ready)],
        things: Vec::new(),
        beliefs: Beliefs { stuck: vec![Belief::assumed(0.0, 1.0)], breaks: vec![Belief::assumed(0.0, 1.0)] },
        pace: Pace { mean: 0.0, sigma: 0.0, rows: 0 },
        trip_minutes: 0.0,
    };
    let setting = Setting { have: 0, sessions, shops: None, seed: 1, samples: 4, threads: 1 };
    simulate(&job, &setting).end(0.5)
}

#[test]
fn a_forecast_waits_and_a_night_costs_nothing() {
    // In one go: 10, then 480 of soaking, then 10. Over night: the next session begins at 1440, long after 490.
    let whole = Sessions::of([(0.0, 5000.0)]);
    let evenings = Sessions::of([(0.0, 60.0), (1440.0, 1500.0)]);
    assert!((forecast(0.0, Some(&whole)) - 500.0).abs() < 1e-6);
    assert!((forecast(0.0, Some(&evenings)) - 1450.0).abs() < 1e-6);
    // What goes on already is over at 1460 only.
    assert!((forecast(1460.0, Some(&evenings)) - 1470.0).abs() < 1e-6);
    assert!((forecast(0.0, None) - 20.0).abs() < 1e-6);
}
