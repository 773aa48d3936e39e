//! Marks of small plans: what cannot go back as it was, what must not be rolled.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_ledger::{
    Action, Effects, Entry, Event, FastenerStage, JobState, forbids_rolling, keeps_from_rolling,
};
use axlestand_model::ItemId;
use axlestand_model::car::Car;
use axlestand_plan::{Marks, Plan, marks, order, scope};

/// A link that is taken off, or cut off where its way is chosen; `nut` and `way` add to these. Invented.
fn car(nut: &str, way: &str) -> Car {
    let text = format!(
        r#"
format = 1
[car]
name = "small"
[part]
link = {{ name = "link", place = "bench", minutes = 3 }}
[fastener]
link-nut = {{ name = "link nut", joins = ["link"], place = "bench", minutes = 4{nut} }}
[fluid]
oil = {{ name = "oil", fill = "to-mark" }}
[operation]
drain = {{ name = "drain", stage = "strip", fluid = "oil", optional = true, before = ["link"], because = ["link"], place = "bench", minutes = 5 }}
[way]
cut-link = {{ name = "cut", frees = "link", undoes = ["link-nut"], place = "bench", minutes = 30{way} }}
"#
    );
    let reading = axlestand_model::file::read(&text, |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}", reading.findings))
}

fn chosen() -> Event {
    Event::Chosen { item: ItemId::from_text("link"), way: Some(ItemId::from_text("cut-link")) }
}

fn done(action: &str) -> Event {
    let action = Action::parse(action).unwrap();
    Event::Done { action, effects: Effects::default(), torque: None, note: None }
}

fn skipped(action: &str) -> Event {
    Event::Skipped { action: Action::parse(action).unwrap(), reason: "dry".to_owned() }
}

fn marked(car: &Car, events: &[Event]) -> (Plan, Marks) {
    let start = Event::JobStarted {
        name: "test".to_owned(),
        car_text: String::new(),
        car_path: String::new(),
        goals: vec![ItemId::from_text("link")],
        rust: 0,
        helper: false,
        toolbox: None,
    };
    let events = std::iter::once(&start).chain(events).enumerate();
    let entries: Vec<Entry> = events
        .map(|(n, event)| Entry { id: n.to_string(), at: String::new(), event: event.clone() })
        .collect();
    let state = JobState::of(&entries);
    let plan = order(car, &state, scope(car, &state).unwrap()).unwrap();
    let marks = marks(car, &state, &plan);
    (plan, marks)
}

/// The row from which there is no way back.
fn no_return(nut: &str, way: &str, events: &[Event]) -> Option<String> {
    let (plan, marks) = marked(&car(nut, way), events);
    marks.no_return.map(|at| plan.rows[at].action.to_string())
}

#[test]
fn a_one_use_nut_a_scrapped_part_and_a_drained_fluid_do_not_go_back_as_they_were() {
    let dry = skipped("do:drain");
    let one_use = ", one_use = true";
    let is = |row: &str| Some(row.to_owned());
    assert_eq!(no_return("", "", &[]), is("do:drain"));
    assert_eq!(no_return("", "", std::slice::from_ref(&dry)), None, "all of it goes back");
    assert_eq!(no_return(one_use, "", std::slice::from_ref(&dry)), is("undo:link-nut"));
    let cut = [dry, chosen()];
    assert_eq!(no_return("", "", &cut), None, "the way undoes what goes back");
    assert_eq!(no_return(one_use, "", &cut), is("way:cut-link"));
    assert_eq!(no_return("", ", scraps = [\"link\"]", &cut), is("way:cut-link"));
}

#[test]
fn what_was_spent_is_past_and_what_was_left_out_is_not() {
    let car = car(", one_use = true", "");
    let marks = |events: &[Event]| {
        let (_, marks) = marked(&car, events);
        (marks.no_return.is_some(), marks.past_return)
    };
    assert_eq!(marks(&[]), (true, false));
    assert_eq!(marks(&[skipped("do:drain")]), (true, false));
    assert_eq!(marks(&[done("do:drain")]), (false, true));
}

/// A life hangs on it and it is finished on the wheels (source id AX-4): both, and only until it is final.
#[test]
fn a_critical_fastener_that_is_finished_on_the_wheels_keeps_the_car_from_rolling() {
    let torque = |state: &str| format!(", torque = {{ look_in = \"nuts\"{state} }}");
    let on_wheels = torque(", state = \"on-wheels\"");
    for (nut, keeps) in [
        (format!("{on_wheels}, critical = true"), true),
        (on_wheels.clone(), false),
        (format!("{}, critical = true", torque("")), false),
        (", critical = true".to_owned(), false),
    ] {
        let car = car(&nut, "");
        let fastener = &car.fasteners[0];
        assert_eq!(keeps_from_rolling(fastener), keeps, "{nut}");
        let forbids = |reaches: Option<FastenerStage>| {
            let mut state = JobState::default();
            if let Some(reaches) = reaches {
                let effects = Effects { reaches: Some(reaches), ..Effects::default() };
                let event = Event::Done {
                    action: Action::parse("fit:link-nut").unwrap(),
                    effects,
                    torque: None,
                    note: None,
                };
                state.apply(&Entry { id: "0".to_owned(), at: String::new(), event });
            }
            forbids_rolling(fastener, &state)
        };
        assert!(!forbids(None), "untouched it clamps as before");
        for stage in [FastenerStage::BrokenLoose, FastenerStage::Out, FastenerStage::Seated] {
            assert_eq!(forbids(Some(stage)), keeps, "{nut} {stage:?}");
        }
        assert!(!forbids(Some(FastenerStage::AtFinal)) && !forbids(Some(FastenerStage::Locked)), "{nut}");
    }
}
