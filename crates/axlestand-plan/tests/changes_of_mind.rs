//! What happens in a job changes what has to come apart: something breaks, a goal is left out.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_ledger::{Action, Effects, Entry, Event, FastenerStage, JobState, TorqueRecord};
use axlestand_model::ItemId;
use axlestand_model::car::Car;
use axlestand_plan::{check_plan, order, scope};

/// The small corner, with what a test adds to its file.
fn car(more: &str) -> Car {
    let text = format!("{}{more}", include_str!("../../../tests/jobs/cars/corner.toml"));
    let reading = axlestand_model::file::read(&text, |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}", reading.findings))
}

/// The planned actions of a job on two parts after these events; the plan passes the checker.
fn rows_after(events: Vec<Event>) -> Vec<String> {
    rows_of(&car(""), events)
}

fn rows_of(car: &Car, events: Vec<Event>) -> Vec<String> {
    rows_for(car, &["tie-rod-end", "link"], events)
}

fn rows_for(car: &Car, goals: &[&str], events: Vec<Event>) -> Vec<String> {
    let start = Event::JobStarted {
        name: "test".to_owned(),
        car_text: String::new(),
        car_path: String::new(),
        goals: goals.iter().copied().map(ItemId::from_text).collect(),
        rust: 2,
        helper: false,
        toolbox: None,
    };
    let events = std::iter::once(start).chain(events).enumerate();
    let entries: Vec<Entry> =
        events.map(|(n, event)| Entry { id: n.to_string(), at: String::new(), event }).collect();
    let state = JobState::of(&entries);
    let plan = order(car, &state, scope(car, &state).unwrap()).unwrap();
    let ways: Vec<ItemId> = plan.scope.ways.values().cloned().collect();
    let rows: Vec<Action> = plan.rows.iter().map(|row| row.action.clone()).collect();
    assert_eq!(check_plan(car, &state, &ways, &rows), Vec::new());
    rows.iter().map(ToString::to_string).collect()
}

fn has(rows: &[String], row: &str) -> bool {
    rows.iter().any(|planned| planned == row)
}

#[test]
fn what_breaks_comes_out_and_a_new_one_goes_in() {
    let usual = rows_after(Vec::new());
    assert!(!has(&usual, "off:sensor") && !has(&usual, "undo:pinch-bolt"), "{usual:?}");
    let broken = |item: &str| Event::Broken { item: ItemId::from_text(item), note: None };
    let rows = rows_after(vec![broken("sensor"), broken("pinch-bolt")]);
    for row in [
        "undo:sensor-bolt",
        "off:sensor",
        "on:sensor",
        "fit:sensor-bolt",
        "undo:pinch-bolt",
        "fit:pinch-bolt",
    ] {
        assert!(has(&rows, row), "{row}: {rows:?}");
    }
}

#[test]
fn a_goal_that_is_left_out_asks_for_nothing_more() {
    let skip =
        |row: &str| Event::Skipped { action: Action::parse(row).unwrap(), reason: "it is good".to_owned() };
    let rows = rows_after(vec![skip("off:link")]);
    for row in ["off:link", "on:link", "undo:link-nut-upper", "undo:link-nut-lower"] {
        assert!(!has(&rows, row), "{row}: {rows:?}");
    }
    assert!(has(&rows, "off:tie-rod-end"), "{rows:?}");
}

#[test]
fn a_way_that_cuts_a_part_off_undoes_all_that_held_it() {
    let car = car(
        "[way.saw-rod]\nname = \"saw the tie rod through\"\nfrees = \"tie-rod-end\"\nneeds = [\"wheel\"]\n\
         undoes = []\nscraps = [\"tie-rod-end\"]\nplace = \"wheel-well\"\nminutes = 5\n",
    );
    let way = Some(ItemId::from_text("saw-rod"));
    let rows = rows_of(&car, vec![Event::Chosen { item: ItemId::from_text("tie-rod-end"), way }]);
    assert!(has(&rows, "way:saw-rod"), "{rows:?}");
    for hold in ["tie-rod-nut", "tie-rod-taper", "jam-nut"] {
        assert!(!has(&rows, &format!("undo:{hold}")), "{hold} goes with the saw: {rows:?}");
        assert!(has(&rows, &format!("fit:{hold}")), "{hold} has to be fitted again: {rows:?}");
    }
}

#[test]
fn what_is_set_on_stands_comes_before_lowering() {
    let car = car(
        "[operation.set-stop]\nname = \"set the steering stop\"\nstage = \"set\"\nplace = \"wheel-well\"\n\
         state = \"on-stands\"\nbecause = [\"tie-rod-end\"]\nafter = [\"tie-rod-nut\"]\nminutes = 5\n",
    );
    let rows = rows_of(&car, Vec::new());
    let at = |row: &str| {
        rows.iter().position(|planned| planned == row).unwrap_or_else(|| panic!("{row}: {rows:?}"))
    };
    assert!(at("lock:tie-rod-nut") < at("do:set-stop"));
    assert!(at("do:set-stop") < at("do:lower"));
}

#[test]
fn a_reading_behind_what_stays_on_is_left_out_unless_it_would_be_lost() {
    let reading = |name: &str, before: &str| {
        format!(
            "[reading.{name}]\nname = \"{name}\"\nunit = \"mm\"\nu = \"1 mm\"\nafter = [\"flap\"]\n\
             before = [{before}]\nplace = \"engine-bay\"\nminutes = 1\n"
        )
    };
    let rows = rows_of(&car(&reading("gap", "")), Vec::new());
    assert!(!has(&rows, "read:gap") && !has(&rows, "off:flap"), "{rows:?}");
    let rows = rows_of(&car(&reading("mark", "\"link\"")), Vec::new());
    assert!(has(&rows, "off:flap") && has(&rows, "read:mark"), "{rows:?}");
}

fn loosened(item: &str) -> Event {
    let action = Action::parse(&format!("loosen:{item}")).unwrap();
    Event::Done { action, effects: Effects::default(), torque: None, note: None }
}

#[test]
fn a_job_that_needs_no_stands_raises_nothing() {
    assert_eq!(rows_for(&car(""), &["flap"], Vec::new()), ["off:flap", "on:flap"]);
}

#[test]
fn a_one_use_nut_that_was_loosened_comes_out_and_another_one_is_tightened() {
    let rows = rows_for(&car(""), &["flap"], vec![loosened("tie-rod-nut")]);
    for row in ["do:raise", "undo:tie-rod-nut", "fit:tie-rod-nut", "lock:tie-rod-nut"] {
        assert!(has(&rows, row), "{row}: {rows:?}");
    }
    let rows = rows_for(&car(""), &["flap"], vec![loosened("jam-nut")]);
    assert!(has(&rows, "final:jam-nut") && !has(&rows, "undo:jam-nut"), "{rows:?}");
}

#[test]
fn what_was_loosened_by_mistake_is_tightened_where_its_torque_is_due() {
    let rows = rows_of(&car(""), vec![loosened("arm-front-bolt")]);
    let at = |row: &str| rows.iter().position(|planned| planned == row).unwrap();
    assert!(at("final:arm-front-bolt") > at("do:settle"), "due at ride height: {rows:?}");
}

/// Loosened and tightened once more it is the old one, whether or not the job undoes it.
#[test]
fn an_old_one_use_nut_that_was_tightened_again_comes_out_too() {
    let tightened = |item: &str| Event::Done {
        action: Action::parse(&format!("final:{item}")).unwrap(),
        effects: Effects { reaches: Some(FastenerStage::Locked), ..Effects::default() },
        torque: Some(TorqueRecord::default()),
        note: None,
    };
    let rows = rows_for(&car(""), &["flap"], vec![loosened("tie-rod-nut"), tightened("tie-rod-nut")]);
    for row in ["do:raise", "undo:tie-rod-nut", "fit:tie-rod-nut", "lock:tie-rod-nut"] {
        assert!(has(&rows, row), "{row}: {rows:?}");
    }
}

/// The reading at the end is due since the car went up; settling is for the wheel, which stays on.
#[test]
fn what_is_read_at_ride_height_has_the_car_settled() {
    let broken = Event::Broken { item: ItemId::from_text("wheel-nuts"), note: None };
    let rows = rows_for(&car(""), &["flap"], vec![broken]);
    assert!(has(&rows, "again:height") && !has(&rows, "off:wheel"), "{rows:?}");
    let at = |row: &str| rows.iter().position(|planned| planned == row).unwrap();
    assert!(at("do:lower") < at("do:settle") && at("do:settle") < at("again:height"), "{rows:?}");
}

/// Loosened though the job does not touch it, it is tightened from where only a part that is off lets a wrench.
#[test]
fn what_hides_something_loose_from_the_wrench_comes_off_for_it() {
    let hidden = "[fastener.subframe-bolt]\nname = \"subframe bolt\"\njoins = [\"control-arm\"]\n\
        torque = { value = \"100 N·m\", condition = \"dry\", state = \"ride-height\", provenance = \"manual\", source = \"x\" }\n\
        final_after = [\"flap\"]\nplace = \"under\"\nminutes = 4\n";
    let rows = rows_for(&car(hidden), &["link"], vec![loosened("subframe-bolt")]);
    let at = |row: &str| rows.iter().position(|planned| planned == row).unwrap();
    assert!(
        at("off:flap") < at("final:subframe-bolt") && at("final:subframe-bolt") < at("on:flap"),
        "{rows:?}"
    );
}
