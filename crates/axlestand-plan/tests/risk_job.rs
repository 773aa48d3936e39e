//! What a plan becomes for a forecast: times, what may go wrong at a row, what would be needed then.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_ledger::{Action, Effects, Entry, Event, JobState};
use axlestand_model::car::Car;
use axlestand_model::{Exposure, ItemId};
use axlestand_plan::risk::{Assumptions, Chance, Danger, Pace, RiskJob, Step};
use axlestand_plan::{order, scope};

/// An arm held in every manner; `more` adds ways. Invented.
fn car(more: &str) -> Car {
    let text = format!(
        r#"
format = 1
[car]
name = "small"
[part]
arm = {{ name = "arm", place = "bench", minutes = 3, people = 2 }}
hub = {{ name = "hub", place = "bench", minutes = 3 }}
bar = {{ name = "bar", place = "bench", minutes = 3 }}
[fastener]
front = {{ name = "front bolt", joins = ["arm"], exposure = "spray", place = "bench", minutes = 5, minutes_stuck = 45 }}
rear = {{ name = "rear bolt", joins = ["arm"], place = "bench", minutes = 4, minutes_stuck = 44, stuck_chance = 0.25 }}
nut = {{ name = "nut", joins = ["arm"], one_use = true, place = "bench", minutes = 4, minutes_stuck = 44, stuck_chance = 0.25 }}
far = {{ name = "far bolt", joins = ["hub", "bar"], place = "bench", minutes = 2 }}
[connection]
clip = {{ name = "clip", joins = ["arm"], joint = "clip", place = "bench", minutes = 1, minutes_stuck = 2, stuck_chance = 0.5 }}
stud = {{ name = "stud", joins = ["hub", "arm"], joint = "taper", place = "bench", minutes = 1, minutes_stuck = 2, stuck_chance = 0.5 }}
{more}"#
    );
    let reading = axlestand_model::file::read(&text, |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}", reading.findings))
}

fn job(car: &Car, helper: bool, goal: &str, events: Vec<Event>) -> RiskJob {
    let start = Event::JobStarted {
        name: "test".to_owned(),
        car_text: String::new(),
        car_path: String::new(),
        goals: vec![ItemId::from_text(goal)],
        rust: 2,
        helper,
        toolbox: None,
    };
    let events = std::iter::once(start).chain(events).enumerate();
    let entries: Vec<Entry> =
        events.map(|(n, event)| Entry { id: n.to_string(), at: String::new(), event }).collect();
    let state = JobState::of(&entries);
    let plan = order(car, &state, scope(car, &state).unwrap()).unwrap();
    let assumptions = Assumptions::default();
    RiskJob::of(car, &state, &plan, &assumptions, Pace::assumed(&assumptions))
}

fn step<'a>(job: &'a RiskJob, action: &str) -> &'a Step {
    let action = Action::parse(action).unwrap();
    job.steps.iter().find(|step| step.action == action).unwrap_or_else(|| panic!("{action}"))
}

fn danger<'a>(job: &'a RiskJob, action: &str) -> &'a Danger {
    step(job, action).danger.as_ref().unwrap_or_else(|| panic!("{action}"))
}

/// The things named by bit.
fn things(job: &RiskJob, bits: u64) -> Vec<&str> {
    let named = job.things.iter().enumerate().filter(|(at, _)| bits >> at & 1 == 1);
    named.map(|(_, thing)| thing.item.as_str()).collect()
}

fn near(value: f64, expected: f64) {
    assert!((value - expected).abs() < 1e-9 * expected.max(1.0), "{value} is not {expected}");
}

#[test]
fn a_row_takes_its_clean_minutes_and_more_where_it_is_stuck() {
    let car = car("");
    let job = job(&car, true, "arm", Vec::new());
    near(step(&job, "undo:front").time.mean(), 5.0);
    near(danger(&job, "undo:front").extra.mean(), 40.0);
    let spray = Exposure::ALL.iter().position(|exposure| *exposure == Exposure::Spray).unwrap();
    assert_eq!(danger(&job, "undo:front").chance, Chance::Class(spray));
    assert_eq!(danger(&job, "undo:rear").chance, Chance::Own(0.25));
    for action in ["fit:front", "off:arm", "on:arm"] {
        assert_eq!(step(&job, action).danger, None, "{action}");
    }
}

#[test]
fn two_people_are_one_who_takes_longer_without_a_helper() {
    let car = car("");
    let (with, without) = (job(&car, true, "arm", Vec::new()), job(&car, false, "arm", Vec::new()));
    near(step(&with, "off:arm").time.mean(), 3.0);
    near(step(&without, "off:arm").time.mean(), 3.0 * Assumptions::default().of("alone"));
    assert!(step(&without, "off:arm").alone && !step(&with, "off:arm").alone);
    near(step(&without, "undo:front").time.mean(), 5.0);
    assert!(!step(&without, "undo:front").alone, "one does that");
}

/// What breaks is needed anew unless it is anyway, and what it goes back with waits for it alone.
#[test]
fn what_breaks_is_waited_for_where_it_goes_back() {
    let car = car("");
    let arm = job(&car, true, "arm", Vec::new());
    for (action, lost) in [
        ("undo:front", vec!["front"]),
        ("undo:rear", vec!["rear"]),
        ("undo:clip", vec!["clip"]),
        ("undo:nut", vec![]),
        // A taper is no piece of its own, and the arm is replaced anyway.
        ("undo:stud", vec![]),
    ] {
        let danger = danger(&arm, action);
        assert_eq!(things(&arm, danger.things), lost, "{action}");
        assert!(danger.may_break, "{action}");
        let fit = step(&arm, &action.replace("undo", "fit"));
        assert_eq!(things(&arm, fit.waits_for), lost, "{action}");
    }
    // Where the hub comes off for another goal, a taper that breaks costs the first part it joins.
    let bar = [Event::Broken { item: ItemId::from_text("arm"), note: None }].to_vec();
    let other = job(&car, true, "bar", bar);
    assert_eq!(things(&other, danger(&other, "undo:stud").things), ["hub"]);
}

#[test]
fn what_is_known_replaces_what_is_assumed() {
    let car = car("");
    let stuck = Event::Stuck { item: ItemId::from_text("rear"), note: None };
    let known = job(&car, true, "arm", vec![stuck]);
    assert_eq!(danger(&known, "undo:rear").chance, Chance::Own(1.0));
    let undone = Event::Done {
        action: Action::parse("undo:front").unwrap(),
        effects: Effects::default(),
        torque: None,
        note: None,
    };
    let known = job(&car, true, "arm", vec![undone]);
    let ahead: Vec<String> = known.steps.iter().map(|step| step.action.to_string()).collect();
    assert!(
        !ahead.contains(&"undo:front".to_owned()) && ahead.contains(&"fit:front".to_owned()),
        "{ahead:?}"
    );
}

/// Sawing takes 16 minutes instead of 4, so 12 more, and scraps the bolt; grinding is longer than forcing it
/// and is none.
#[test]
fn another_way_is_gone_where_it_is_shorter_than_forcing() {
    let way = |name: &str, minutes: f64| {
        format!(
            "[way.{name}]\nname = \"{name}\"\nfrees = \"rear\"\nscraps = [\"rear\"]\nplace = \"bench\"\nminutes = {minutes}\n"
        )
    };
    let sawn = car(&[way("grind", 300.0), way("saw", 16.0)].concat());
    let detour_of = |car: &Car| danger(&job(car, true, "arm", Vec::new()), "undo:rear").detour.clone();
    let detour = detour_of(&sawn);
    assert!(detour.is_none(), "scrap counts an hour (source id AX-2), more than the 40 minutes of forcing");
    let harmless = car(&way("saw", 16.0).replace("scraps = [\"rear\"]\n", ""));
    let detour = detour_of(&harmless).unwrap();
    assert_eq!((detour.way.as_str(), detour.things), ("saw", 0));
    near(detour.time.mean(), 12.0);
    assert_eq!(detour_of(&car(&way("grind", 300.0).replace("scraps = [\"rear\"]\n", ""))), None);
}
