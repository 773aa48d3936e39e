//! Which set is undone: ten small AND/OR examples, solved by hand (the sums stand beside each).
//!
//! Minutes are one way (`minutes_back = 0`) so that the sums are easy to follow; an item's cost is
//! `minutes + chance × (minutes_stuck − minutes)`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_ledger::{Entry, Event, JobState};
use axlestand_model::ItemId;
use axlestand_model::car::Car;
use axlestand_plan::{Scope, check_plan, order, scope};

const HEAD: &str = "format = 1\n[car]\nname = \"hand-solved\"\n";

fn car(body: &str) -> Car {
    let text = format!("{HEAD}{body}");
    let reading = axlestand_model::file::read(&text, |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}", reading.findings))
}

fn part(name: &str, more: &str) -> String {
    format!("[part.{name}]\nname = \"{name}\"\nplace = \"bench\"\nminutes = 0\n{more}\n")
}

fn bolt(name: &str, joins: &str, minutes: f64, more: &str) -> String {
    format!(
        "[fastener.{name}]\nname = \"{name}\"\njoins = [{joins}]\nplace = \"bench\"\nminutes = {minutes}\nminutes_back = 0\nexposure = \"inside\"\nstuck_chance = 0\n{more}\n"
    )
}

fn way(name: &str, frees: &str, needs: &str, minutes: f64, more: &str) -> String {
    format!(
        "[way.{name}]\nname = \"{name}\"\nfrees = \"{frees}\"\nneeds = [{needs}]\nplace = \"bench\"\nminutes = {minutes}\n{more}\n"
    )
}

fn started(car: &Car, goals: &[&str]) -> JobState {
    let goals: Vec<ItemId> = goals.iter().flat_map(|typed| car.resolve(typed).unwrap()).collect();
    let event = Event::JobStarted {
        name: "test".to_owned(),
        car_text: String::new(),
        car_path: String::new(),
        goals,
        rust: 0,
        helper: false,
        toolbox: None,
    };
    JobState::of(&[Entry { id: "start".to_owned(), at: String::new(), event }])
}

/// The scope of a job, its plan replayed by the checker.
fn solve(car: &Car, goals: &[&str]) -> Scope {
    let state = started(car, goals);
    let found = scope(car, &state).unwrap();
    assert!(found.proven, "all choices of so few were looked at");
    let plan = order(car, &state, found.clone()).unwrap();
    let rows: Vec<_> = plan.rows.iter().map(|row| row.action.clone()).collect();
    let ways: Vec<_> = found.ways.values().cloned().collect();
    assert_eq!(check_plan(car, &state, &ways, &rows), Vec::new());
    found
}

fn ways(scope: &Scope) -> Vec<&str> {
    scope.ways.values().map(ItemId::as_str).collect()
}

fn holds(scope: &Scope) -> Vec<&str> {
    scope.holds.iter().map(ItemId::as_str).collect()
}

fn shared_step() -> Car {
    car(&[
        part("a", ""),
        part("b", ""),
        bolt("bolt-a", "\"a\"", 10.0, ""),
        bolt("bolt-b", "\"b\"", 10.0, ""),
        "[operation.tilt]\nname = \"tilt\"\nstage = \"strip\"\nplace = \"bench\"\nminutes = 12\nbecause = [\"a\", \"b\"]\noptional = true\n".to_owned(),
        way("by-tilt-a", "bolt-a", "\"tilt\"", 0.0, ""),
        way("by-tilt-b", "bolt-b", "\"tilt\"", 0.0, ""),
    ]
    .concat())
}

/// Example 1: One shared step of 12 frees both; apart they cost 10 + 10 = 20.
#[test]
fn a_shared_step_is_paid_once() {
    assert_eq!(ways(&solve(&shared_step(), &["a", "b"])), ["by-tilt-a", "by-tilt-b"]);
}

/// Example 2: For one of them the shared step (12) is dearer than its bolt (10).
#[test]
fn a_shared_step_for_one_is_not_worth_it() {
    assert_eq!(ways(&solve(&shared_step(), &["a"])), Vec::<&str>::new());
}

fn risky(chance: f64) -> Car {
    let stuck = format!("minutes_stuck = 55\nstuck_chance = {chance}");
    let bolt = bolt("bolt", "\"a\"", 15.0, "").replace("stuck_chance = 0", &stuck);
    car(&[part("a", ""), bolt, way("around", "bolt", "", 30.0, "minutes_stuck = 70\nstuck_chance = 0.1")]
        .concat())
}

/// Example 3: At a chance of 0.5 the usual manner costs 15 + 0.5 × 40 = 35, the other 30 + 0.1 × 40 = 34.
#[test]
fn a_risky_bolt_is_gone_around() {
    assert_eq!(ways(&solve(&risky(0.5), &["a"])), ["around"]);
}

/// Example 4: At 0.3 the usual manner costs 15 + 0.3 × 40 = 27 < 34.
#[test]
fn a_less_risky_bolt_is_undone() {
    assert_eq!(ways(&solve(&risky(0.3), &["a"])), Vec::<&str>::new());
}

/// Example 5: A part behind a cover behind a cover: three parts and their bolts, in the one possible order.
#[test]
fn covers_come_off_from_outside_in() {
    let car = car(&[
        part("outer", "cover = true"),
        part("inner", "cover = true"),
        part("core", ""),
        bolt("outer-bolt", "\"outer\"", 1.0, ""),
        bolt("inner-bolt", "\"inner\"", 1.0, "after = [\"outer\"]"),
        bolt("core-bolt", "\"core\"", 1.0, "after = [\"inner\"]"),
    ]
    .concat());
    let state = started(&car, &["core"]);
    let found = scope(&car, &state).unwrap();
    let because = |id: &str| -> Vec<&str> {
        found.because[&ItemId::from_text(id)].iter().map(ItemId::as_str).collect()
    };
    for (id, why) in
        [("outer-bolt", "outer"), ("outer", "inner-bolt"), ("inner", "core-bolt"), ("core-bolt", "core")]
    {
        assert_eq!(because(id), [why], "{id}");
    }
    let plan = order(&car, &state, found).unwrap();
    let rows: Vec<String> = plan.rows.iter().map(|row| row.action.to_string()).collect();
    assert_eq!(
        rows,
        [
            "undo:outer-bolt",
            "off:outer",
            "undo:inner-bolt",
            "off:inner",
            "undo:core-bolt",
            "off:core",
            "on:core",
            "fit:core-bolt",
            "on:inner",
            "fit:inner-bolt",
            "on:outer",
            "fit:outer-bolt",
        ]
    );
}

fn assembly() -> Car {
    car(&[
        part("carrier", ""),
        part("insert", "part_of = \"carrier\""),
        bolt("carrier-bolt", "\"carrier\"", 5.0, ""),
        bolt("insert-bolt", "\"insert\", \"carrier\"", 5.0, "after = [\"carrier\"]"),
    ]
    .concat())
}

/// Example 6: What belongs to a part comes off with it: the inner bolt stays.
#[test]
fn an_inner_part_comes_along() {
    assert_eq!(holds(&solve(&assembly(), &["carrier"])), ["carrier-bolt"]);
}

/// Example 7: The inner part itself needs its host off, then its own bolt.
#[test]
fn an_inner_part_needs_its_host_off() {
    let found = solve(&assembly(), &["insert"]);
    assert_eq!(holds(&found), ["carrier-bolt", "insert-bolt"]);
    assert!(found.parts.contains(&ItemId::from_text("carrier")));
}

fn sawable(goals_scrap: &str) -> Car {
    car(&[
        part("arm", ""),
        part("bar", ""),
        bolt("bolt", "\"arm\", \"bar\"", 40.0, ""),
        way("saw", "bolt", "", 20.0, &format!("scraps = [{goals_scrap}]")),
    ]
    .concat())
}

/// Example 8: Sawing costs 20 and scraps the arm, which is replaced anyway: 20 < 40.
#[test]
fn what_is_scrap_anyway_is_sawn() {
    assert_eq!(ways(&solve(&sawable("\"arm\""), &["arm"])), ["saw"]);
}

/// Example 9: Where sawing scraps the bar, which stays, it costs 20 + 60 (penalty AX-2) > 40.
#[test]
fn what_stays_is_not_sawn_for_twenty_minutes() {
    assert_eq!(ways(&solve(&sawable("\"bar\""), &["arm"])), Vec::<&str>::new());
}

/// Example 10: Each of two bolts is reached only past the other: only the way breaks the circle, however
/// dear it is (300 minutes).
#[test]
fn a_way_breaks_a_circle() {
    let car = car(&[
        part("a", ""),
        bolt("first", "\"a\"", 1.0, "after = [\"second\"]"),
        bolt("second", "\"a\"", 1.0, "after = [\"first\"]"),
        way("drill", "first", "", 300.0, ""),
    ]
    .concat());
    let state = started(&car, &["a"]);
    assert_eq!(ways(&scope(&car, &state).unwrap()), ["drill"]);
}

/// Both sides choose alike where both have the same ways.
#[test]
fn left_and_right_choose_alike() {
    let car = car("[part.a]\nname = \"a\"\nside = \"both\"\nplace = \"bench\"\nminutes = 0\n\
         [fastener.bolt]\nname = \"bolt\"\nside = \"both\"\njoins = [\"a\"]\nplace = \"bench\"\nminutes = 10\nstuck_chance = 0\n\
         [way.cut]\nname = \"cut\"\nside = \"both\"\nfrees = \"bolt\"\nplace = \"bench\"\nminutes = 4\n");
    assert_eq!(ways(&solve(&car, &["a"])), ["cut.left", "cut.right"]);
}

/// A bolt that is quickest sawn, and only on stands; a look that may be had at any time, but not before the bolt is
/// gone. Looks come before raising where nothing hinders, and must not draw the way there with them.
#[test]
fn what_waits_for_a_way_on_stands_comes_after_raising() {
    let more = r#"
[reading.gap]
name = "gap behind the bolt"
unit = "mm"
u = "1 mm"
after = ["bolt"]
before = ["arm"]
place = "bench"
minutes = 1
[operation.raise]
name = "raise"
stage = "strip"
brings = "on-stands"
place = "around"
minutes = 6
[operation.lower]
name = "lower"
stage = "refit"
brings = "on-wheels"
place = "around"
minutes = 4
"#;
    let saw = way("saw", "bolt", "", 2.0, "state = \"on-stands\"");
    let car = car(&(part("arm", "") + &bolt("bolt", "\"arm\"", 60.0, "") + &saw + more));
    let found = solve(&car, &["arm"]);
    assert_eq!(ways(&found), ["saw"]);
    let plan = order(&car, &started(&car, &["arm"]), found).unwrap();
    let rows: Vec<String> = plan.rows.iter().map(|row| row.action.to_string()).collect();
    let at =
        |name: &str| rows.iter().position(|row| row == name).unwrap_or_else(|| panic!("{name}: {rows:?}"));
    assert!(at("do:raise") < at("way:saw") && at("way:saw") < at("read:gap"), "{rows:?}");
}
