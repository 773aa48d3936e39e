//! Plans of the invented demo car, proven by the independent checker.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

mod demo_job;

use axlestand_ledger::{Action, Details, Entry, FastenerStage, JobState, intend};
use axlestand_model::ItemId;
use axlestand_model::car::{Car, Hold};
use axlestand_plan::{Plan, check_plan, marks, order, scope};
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

/// Left and right are done alike: of all pairs of rows that stand on both sides, none comes in another
/// order on the right than on the left. Before the sides were brought in line 7 to 52 did.
#[test]
fn the_demo_job_does_left_and_right_alike() {
    let car = car();
    for rust in [2, 3] {
        let goals = ["control-arm", "arb-link", "tie-rod-end", "drive-axle"];
        let state = started(&car, &goals, rust);
        let plan = order(&car, &state, scope(&car, &state).unwrap()).unwrap();
        let place = |action: &Action| plan.rows.iter().position(|row| row.action == *action);
        let twins: Vec<(usize, usize)> = plan
            .rows
            .iter()
            .enumerate()
            .filter(|(_, row)| row.side == Some(axlestand_model::Hand::Left))
            .filter_map(|(at, row)| {
                Some((at, place(&Action::new(row.action.verb, &row.action.item.mirrored()))?))
            })
            .collect();
        assert!(twins.len() > 40, "{}", twins.len());
        let unlike = twins
            .iter()
            .enumerate()
            .flat_map(|(at, a)| twins[..at].iter().map(move |b| (a, b)))
            .filter(|(a, b)| (a.0 < b.0) != (a.1 < b.1))
            .count();
        assert_eq!(unlike, 0, "rust {rust}");
    }
}

/// Marks of the demo job: something is spent before anything comes off, nothing rolls until the axles are
/// final again, and at each stop on stands no critical hold of a part still on is out, replayed by the
/// ledger.
#[test]
fn the_demo_job_has_marks_that_keep_their_word() {
    let car = car();
    let state = started(&car, &demo_goals(), 3);
    let plan = order(&car, &state, scope(&car, &state).unwrap()).unwrap();
    let marks = marks(&car, &state, &plan);
    let at = |text: &str| plan.rows.iter().position(|row| row.action.to_string() == text).unwrap();
    // The axle nut is staked: a new one each time.
    assert_eq!(marks.no_return, Some(at("loosen:axle-nut.left")));
    // Before raising, nothing that could go back as it was comes later.
    let spent = marks.no_return.unwrap();
    let late: Vec<String> =
        plan.rows[spent..at_raise(&plan)].iter().map(|row| row.action.to_string()).collect();
    assert_eq!(late, ["loosen:axle-nut.left", "loosen:axle-nut.right"]);
    let (from, to) = marks.no_roll.unwrap();
    assert!(from <= at("loosen:wheel-nuts.left") && to >= at("final:axle-nut.right"));
    let on_stands = |at: usize| (at_raise(&plan)..at_lower(&plan)).contains(&at);
    assert!(marks.stops.iter().filter(|at| on_stands(**at)).count() >= 4, "{marks:?}");
    let mut now = state.clone();
    for (at, row) in plan.rows.iter().enumerate() {
        if let Ok(event) = intend(&car, &now, &row.action, &Details::default()) {
            now.apply(&Entry { id: format!("row {at}"), at: String::new(), event });
        }
        let hanging = plan.scope.parts.iter().filter(|part| !now.part(part).off).find(|part| {
            let mut hosts = plan.scope.parts.iter();
            let hosted = hosts.any(|host| now.part(host).off && car.assembly(host).contains(part));
            let out = |id: &ItemId| now.hold(id).stage == FastenerStage::Out;
            let open = |hold: &Hold<'_>| hold.is_critical() && out(hold.id());
            !hosted && car.outer_holds(part).iter().any(open)
        });
        // A stop is wherever the work moves on and nothing hangs, and nowhere else.
        if on_stands(at) {
            let next = &plan.rows[at + 1];
            let moves_on = (next.section, next.place, next.side) != (row.section, row.place, row.side);
            let stops = marks.stops.contains(&at);
            assert_eq!(stops, moves_on && hanging.is_none(), "after row {at}: {hanging:?} hangs");
        }
    }
}

fn at_raise(plan: &Plan) -> usize {
    plan.rows.iter().position(|row| row.action.to_string() == "do:raise").unwrap()
}

fn at_lower(plan: &Plan) -> usize {
    plan.rows.iter().position(|row| row.action.to_string() == "do:lower").unwrap()
}
