//! A car on stands of which something has to be broken loose on its wheels comes down once more: what that takes,
//! added up by hand.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_ledger::{Action, Details, Entry, Event, JobState, PlannedRow, intend};
use axlestand_model::ItemId;
use axlestand_model::car::Car;
use axlestand_plan::risk::{Assumptions, Pace, RiskJob};
use axlestand_plan::{Plan, order, scope};

/// A part behind a wheel, held by a bolt; a hub nut that no job on the part needs. Invented.
const CAR: &str = r#"
format = 1
[car]
name = "invented"
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
[part.wheel]
name = "wheel"
place = "wheel-well"
minutes = 1
minutes_back = 2
[part.hub]
name = "hub"
place = "wheel-well"
minutes = 9
after = ["wheel"]
[part.arm]
name = "arm"
place = "wheel-well"
minutes = 5
after = ["wheel"]
[fastener.wheel-nuts]
name = "wheel nuts"
joins = ["wheel"]
place = "wheel-well"
minutes = 3
minutes_back = 2
loosen_state = "on-wheels"
torque = { value = "110 N·m", state = "on-wheels", provenance = "manual", source = "sheet (invented)" }
[fastener.arm-bolt]
name = "arm bolt"
joins = ["arm"]
place = "wheel-well"
minutes = 7
after = ["wheel"]
[fastener.hub-nut]
name = "hub nut"
joins = ["hub"]
place = "wheel-well"
minutes = 8
loosen_state = "on-wheels"
torque = { value = "200 N·m", state = "on-wheels", provenance = "manual", source = "sheet (invented)" }
"#;

fn car() -> Car {
    car_with("")
}

fn car_with(more: &str) -> Car {
    let reading = axlestand_model::file::read(&format!("{CAR}{more}"), |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}", reading.findings))
}

/// The job on the arm once these rows are done and then something broke.
fn state(car: &Car, rows: &[&str], broken: Option<&str>) -> JobState {
    let start = Event::JobStarted {
        name: "test".to_owned(),
        car_text: String::new(),
        car_path: String::new(),
        goals: vec![ItemId::from_text("arm")],
        rust: 0,
        helper: true,
        toolbox: None,
    };
    let mut state = JobState::of(&[Entry { id: "0".to_owned(), at: String::new(), event: start }]);
    let rows = rows.iter().map(|row| Action::parse(row).unwrap());
    for row in rows {
        let event =
            intend(car, &state, &row, &Details::default()).unwrap_or_else(|why| panic!("{row}: {why:?}"));
        state.apply(&Entry { id: state.entries.len().to_string(), at: String::new(), event });
    }
    if let Some(item) = broken {
        let event = Event::Broken { item: ItemId::from_text(item), note: None };
        state.apply(&Entry { id: "broken".to_owned(), at: String::new(), event });
    }
    state
}

fn plan(car: &Car, state: &JobState) -> Plan {
    order(car, state, scope(car, state).unwrap()).unwrap()
}

/// A plan and the state that knows its rows.
fn written_down(car: &Car, mut state: JobState) -> (Plan, JobState) {
    let plan = plan(car, &state);
    let rows = plan.rows.iter().zip(1..);
    let rows = rows.map(|(row, number)| PlannedRow { number, action: row.action.clone() }).collect();
    let ways = plan.scope.ways.values().cloned().collect();
    state.apply(&Entry { id: "plan".to_owned(), at: String::new(), event: Event::Planned { rows, ways } });
    (plan, state)
}

/// The pace by which a forecast stretches every minute.
fn factor(typical: &Assumptions) -> f64 {
    Pace::assumed(typical).factor()
}

const UP: [&str; 4] = ["loosen:wheel-nuts", "do:raise", "undo:wheel-nuts", "off:wheel"];

/// The hub nut breaks with the wheel off and the arm still to come off. The wheel goes on (2) with its nuts seated
/// (2), the car is lowered (4) and raised again (6), the nuts (3) and the wheel (1) come off again. All of that is
/// besides the rows of the plan, whose wheel, nuts and lowering come again at the end.
#[test]
fn what_goes_back_comes_off_again_and_the_car_goes_up_again() {
    let car = car();
    let state = state(&car, &UP, Some("hub-nut"));
    let plan = plan(&car, &state);
    let down = plan.coming_down.clone().expect("the hub nut is broken loose on the wheels");
    assert_eq!(down.items, [ItemId::from_text("hub-nut")]);
    let rows: Vec<String> = down.rows.iter().map(ToString::to_string).collect();
    assert_eq!(rows, ["on:wheel", "fit:wheel-nuts", "do:lower"]);
    assert!((down.minutes - 18.0).abs() < 1e-9, "{down:?}");
    // The forecast counts it too.
    let typical = Assumptions::default();
    let forecast = |plan: &Plan| {
        RiskJob::of(&car, &state, plan, &typical, Pace::assumed(&typical)).undisturbed() / factor(&typical)
    };
    let without = Plan { coming_down: None, ..plan.clone() };
    assert!((forecast(&plan) - forecast(&without) - 18.0).abs() < 1e-9);
}

/// While it is down for a while, the lowering at the end is still to come, though one was done: four minutes.
#[test]
fn a_car_that_goes_up_again_is_lowered_once_more() {
    let car = car();
    let on_stands = state(&car, &UP, Some("hub-nut"));
    let before = plan(&car, &on_stands);
    assert!((before.minutes_besides(&car, &on_stands) - 18.0).abs() < 1e-9);
    let down = UP.iter().chain(&["on:wheel", "fit:wheel-nuts", "do:lower"]).copied().collect::<Vec<_>>();
    let lowered = state(&car, &down, Some("hub-nut"));
    let (now, lowered) = written_down(&car, lowered);
    assert_eq!(now.coming_down, None);
    assert!((now.minutes_besides(&car, &lowered) - 4.0).abs() < 1e-9);
    let up = [down.as_slice(), &["loosen:hub-nut", "do:raise"]].concat();
    let (now, raised) = written_down(&car, state(&car, &up, Some("hub-nut")));
    assert!(now.minutes_besides(&car, &raised).abs() < 1e-9);
}

#[test]
fn a_car_on_its_wheels_or_with_nothing_to_break_loose_there_need_not_come_down() {
    let car = car();
    assert_eq!(plan(&car, &state(&car, &UP[..1], Some("hub-nut"))).coming_down, None);
    assert_eq!(plan(&car, &state(&car, &UP, None)).coming_down, None);
    // What broke on stands and comes out there.
    assert_eq!(plan(&car, &state(&car, &UP, Some("arm-bolt"))).coming_down, None);
}

/// A look that waits for the hub nut and comes before the wheel goes back is for the last time that it does; a
/// lowering that the owner left out is done all the same.
#[test]
fn neither_a_look_nor_a_row_left_out_bars_the_way_down() {
    let car = car_with(
        "[operation.look]\nname = \"look over the corner\"\nstage = \"refit\"\nplace = \"wheel-well\"\n\
         because = [\"wheel\"]\nafter = [\"hub-nut\", \"arm-bolt\"]\nbefore = [\"wheel\"]\nminutes = 4\n",
    );
    let mut state = state(&car, &UP, Some("hub-nut"));
    for left_out in [None, Some("do:lower")] {
        if let Some(row) = left_out {
            let event = Event::Skipped { action: Action::parse(row).unwrap(), reason: "stays up".to_owned() };
            state.apply(&Entry { id: row.to_owned(), at: String::new(), event });
        }
        let plan = plan(&car, &state);
        assert!(plan.rows.iter().any(|row| row.action.to_string() == "do:look"));
        let down = plan.coming_down.expect("the hub nut is broken loose on the wheels");
        let rows: Vec<String> = down.rows.iter().map(ToString::to_string).collect();
        assert_eq!(rows, ["on:wheel", "fit:wheel-nuts", "do:lower"], "{left_out:?}");
    }
}
