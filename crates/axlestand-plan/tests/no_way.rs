//! Cars that pass every check of the vehicle file and can still be asked for what does not work out: each
//! loop by hand.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_ledger::{Action, Entry, Event, JobState, PlannedRow};
use axlestand_model::ItemId;
use axlestand_model::car::Car;
use axlestand_plan::{ScopeError, Why, check_plan, order, scope, why};

fn car(body: &str) -> Car {
    let text = format!("format = 1\n[car]\nname = \"looped\"\n{body}");
    let reading = axlestand_model::file::read(&text, |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}", reading.findings))
}

fn part(name: &str, more: &str) -> String {
    format!("[part.{name}]\nname = \"{name}\"\nplace = \"bench\"\nminutes = 1\n{more}\n")
}

fn way(name: &str, frees: &str, needs: &str) -> String {
    format!(
        "[way.{name}]\nname = \"{name}\"\nfrees = \"{frees}\"\nneeds = [{needs}]\nplace = \"bench\"\nminutes = 30\n"
    )
}

fn state(goals: &[&str], events: Vec<Event>) -> JobState {
    let start = Event::JobStarted {
        name: "test".to_owned(),
        car_text: String::new(),
        car_path: String::new(),
        goals: goals.iter().map(|id| ItemId::from_text(id)).collect(),
        rust: 0,
        helper: false,
        toolbox: None,
    };
    let events = std::iter::once(start).chain(events).enumerate();
    let entries: Vec<Entry> =
        events.map(|(n, event)| Entry { id: n.to_string(), at: String::new(), event }).collect();
    JobState::of(&entries)
}

/// The axle holds the joint back and the joint the axle: only the press opens the circle.
fn joint_and_axle() -> Car {
    car(&[
        part("joint", "after = [\"axle\"]"),
        part("axle", "after = [\"joint\"]"),
        way("press", "joint", ""),
        way("pull", "joint", "\"axle\""),
    ]
    .concat())
}

fn no_way(car: &Car, state: &JobState) -> String {
    match scope(car, state) {
        Err(ScopeError::NoWay(why)) => ScopeError::NoWay(why).to_string(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_usual_manner_chosen_into_a_circle_names_the_circle() {
    let chosen = Event::Chosen { item: ItemId::from_text("joint"), way: None };
    let told = no_way(&joint_and_axle(), &state(&["joint"], vec![chosen]));
    assert_eq!(
        told,
        "there is no way to free the joint: in the usual manner, as chosen, it waits for the axle, \
         which waits for the joint (that again)"
    );
}

#[test]
fn a_way_chosen_into_a_circle_is_named_where_it_stands_in_it() {
    let chosen = Event::Chosen { item: ItemId::from_text("joint"), way: Some(ItemId::from_text("pull")) };
    let told = no_way(&joint_and_axle(), &state(&["axle"], vec![chosen]));
    assert_eq!(
        told,
        "there is no way to free the axle: in the usual manner it waits for the joint (by \"pull\", as chosen), \
         which waits for the axle (that again)"
    );
}

#[test]
fn each_way_has_its_own_reason() {
    // The plan so far took the lid off in the usual manner and the file came to say that this waits for the
    // box, and that for the lid: a plan once made changes no way by itself.
    let car = car(&[
        part("lid", "after = [\"box\"]"),
        part("box", "after = [\"lid\"]"),
        part("tray", "after = [\"lid\"]"),
        way("pry", "lid", ""),
        way("saw", "tray", "\"box\""),
    ]
    .concat());
    let rows = ["off:lid", "on:lid"].iter().zip(1..);
    let rows = rows.map(|(row, number)| PlannedRow { number, action: Action::parse(row).unwrap() }).collect();
    let told = no_way(&car, &state(&["tray"], vec![Event::Planned { rows, ways: Vec::new() }]));
    assert_eq!(
        told,
        "there is no way to free the tray: in the usual manner it waits for the lid, which waits for the box, \
         which waits for the lid (it again); by \"saw\" it waits for the box, which waits for the lid, which \
         waits for the box (it again)"
    );
}

#[test]
fn sides_that_cannot_be_freed_alike_are_freed_each_in_its_way() {
    // Right the bolt waits for the tank and that for the arm, so that only the way opens the circle; left the
    // way waits for the shelf and that for the arm, so that only the usual manner does.
    let bolt = "[fastener.bolt]\nname = \"bolt\"\njoins = [\"arm.right\"]\nafter = [\"tank\"]\nplace = \"bench\"\nminutes = 1\n";
    let car = car(&[
        part("arm", "side = \"both\""),
        part("tank", "after = [\"arm.right\"]"),
        part("shelf", "after = [\"arm.left\"]"),
        bolt.to_owned(),
        way("cut-left", "arm.left", "\"shelf\""),
        way("cut-right", "arm.right", ""),
    ]
    .concat());
    let state = state(&["arm.left", "arm.right"], Vec::new());
    let found = scope(&car, &state).unwrap();
    let ways: Vec<ItemId> = found.ways.values().cloned().collect();
    assert_eq!(ways, [ItemId::from_text("cut-right")]);
    let plan = order(&car, &state, found).unwrap();
    let rows: Vec<Action> = plan.rows.iter().map(|row| row.action.clone()).collect();
    assert_eq!(check_plan(&car, &state, &ways, &rows), Vec::new());
}

#[test]
fn the_chain_of_reasons_ends_at_the_goal() {
    let car =
        car(&[part("cover", ""), part("frame", "after = [\"cover\"]"), part("motor", "after = [\"frame\"]")]
            .concat());
    let state = state(&["motor"], Vec::new());
    let found = scope(&car, &state).unwrap();
    let id = ItemId::from_text;
    let chain = why(&car, &state, &found, &id("cover"));
    assert_eq!(chain, [Why::Clears(id("frame")), Why::Clears(id("motor")), Why::Goal]);
}
