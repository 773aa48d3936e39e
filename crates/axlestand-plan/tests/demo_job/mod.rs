//! The invented demo car and a job started on it.

use axlestand_ledger::{Entry, Event, JobState};
use axlestand_model::ItemId;
use axlestand_model::car::Car;

pub(crate) fn car() -> Car {
    let text = include_str!("../../../../cars/wagtail.toml");
    let reading = axlestand_model::file::read(text, |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}", reading.findings))
}

pub(crate) fn demo_goals() -> [&'static str; 6] {
    ["control-arm", "tie-rod-end", "arb-link", "strut", "drive-axle", "wheel-bearing.left"]
}

pub(crate) fn started(car: &Car, goals: &[&str], rust: u8) -> JobState {
    let goals: Vec<ItemId> = goals.iter().flat_map(|typed| car.resolve(typed).unwrap()).collect();
    let event = Event::JobStarted {
        name: "test".to_owned(),
        car_text: String::new(),
        car_path: String::new(),
        goals,
        rust,
        helper: false,
        toolbox: None,
    };
    JobState::of(&[Entry { id: "start".to_owned(), at: String::new(), event }])
}
