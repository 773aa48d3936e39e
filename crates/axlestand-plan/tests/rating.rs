//! What changing place and tool takes between the rows of a plan, by hand: the sums stand beside each, in
//! the minutes of `data/setup_minutes.csv` (source id AX-9).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_ledger::{Entry, Event, JobState};
use axlestand_model::car::Car;
use axlestand_model::{ItemId, Place};
use axlestand_plan::{Plan, Rating, order, rate, scope};

/// An arm that comes off and goes on by hand on the bench, then three jobs that follow each other. Invented.
fn car(more: &str) -> Car {
    let text = format!(
        r#"
format = 1
[car]
name = "small"
[part]
arm = {{ name = "arm", place = "bench", minutes = 3 }}
[operation]
pour = {{ name = "pour", stage = "prove", place = "bench", minutes = 1, tools = ["jug"] }}
top-up = {{ name = "top up", stage = "prove", place = "bench", minutes = 1, tools = ["jug"], after = ["pour"] }}
wipe = {{ name = "wipe", stage = "prove", place = "bench", minutes = 1, after = ["top-up"] }}
{more}"#
    );
    let reading = axlestand_model::file::read(&text, |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}", reading.findings))
}

fn planned(more: &str) -> (Plan, Rating) {
    let car = car(more);
    let event = Event::JobStarted {
        name: "test".to_owned(),
        car_text: String::new(),
        car_path: String::new(),
        goals: vec![ItemId::from_text("arm")],
        rust: 0,
        helper: false,
        toolbox: None,
    };
    let state = JobState::of(&[Entry { id: "start".to_owned(), at: String::new(), event }]);
    let plan = order(&car, &state, scope(&car, &state).unwrap()).unwrap();
    let rating = rate(&car, &state, &plan);
    (plan, rating)
}

fn rows(plan: &Plan) -> Vec<String> {
    plan.rows.iter().map(|row| row.action.to_string()).collect()
}

#[test]
fn going_to_the_bench_and_taking_up_a_jug_take_their_minutes_once() {
    let (plan, rating) = planned("");
    assert_eq!(rows(&plan), ["off:arm", "on:arm", "do:pour", "do:top-up", "do:wipe"]);
    // From around the car to the bench 0.2 + 0.5, the jug 0.5; it is kept for topping up and laid down for
    // nothing.
    assert!((rating.setups - 1.2).abs() < 1e-9, "{rating:?}");
    assert!((rating.total - (9.0 + 1.2)).abs() < 1e-9, "{rating:?}");
    // There is one order only, so the bound is met.
    assert!((rating.bound - rating.total).abs() < 1e-9 && rating.gap() < 1e-9, "{rating:?}");
}

#[test]
fn a_reading_is_taken_where_it_is_with_its_instrument() {
    let gap = "[reading]\ngap = { name = \"gap\", unit = \"mm\", u = \"1 mm\", instrument = \"rule\", place = \"engine-bay\", minutes = 2 }\n";
    let (plan, rating) = planned(gap);
    assert_eq!(rows(&plan)[0], "read:gap");
    assert_eq!(plan.rows[0].place, Place::EngineBay);
    // To the engine bay 0.2 + 0.4, the rule 0.5, to the bench 0.4 + 0.5, the jug 0.5.
    assert!((rating.setups - 2.5).abs() < 1e-9, "{rating:?}");
}

#[test]
fn the_gap_is_the_part_over_the_bound() {
    let gap = |total, bound| Rating { setups: 0.0, idle: 0.0, total, bound }.gap();
    assert!((gap(110.0, 100.0) - 0.1).abs() < 1e-12);
    assert!(gap(100.0, 100.0).abs() < 1e-12);
    assert!(gap(0.0, 0.0).abs() < 1e-12, "nothing to do takes no longer than it has to");
}
