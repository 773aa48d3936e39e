//! Plans of the invented demo car, proven by the independent checker.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

mod demo_job;

use axlestand_ledger::{Action, JobState};
use axlestand_model::ItemId;
use axlestand_model::car::Car;
use axlestand_plan::{check_plan, order, scope};
use demo_job::{car, demo_goals, started};

fn violations(car: &Car, state: &JobState) -> Vec<String> {
    let plan = order(car, state, scope(car, state).unwrap()).unwrap();
    let rows: Vec<Action> = plan.rows.iter().map(|row| row.action.clone()).collect();
    let ways: Vec<ItemId> = plan.scope.ways.values().cloned().collect();
    check_plan(car, state, &ways, &rows).iter().map(|v| format!("{v:?}")).collect()
}

#[test]
fn the_demo_job_is_valid_at_every_rust_grade() {
    let car = car();
    for rust in 0..=4 {
        assert_eq!(
            violations(&car, &started(&car, &demo_goals(), rust)),
            Vec::<String>::new(),
            "rust {rust}"
        );
    }
}

#[test]
fn every_part_alone_has_a_valid_plan() {
    let car = car();
    for part in &car.parts {
        let state = started(&car, &[part.id.as_str()], 3);
        assert_eq!(violations(&car, &state), Vec::<String>::new(), "{}", part.id);
    }
}
