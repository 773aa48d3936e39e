//! Random cars: parts, fasteners of every kind, ways, and a job on some of them.

#[allow(dead_code, reason = "not every test throws dice")]
pub(crate) mod dice;

use axlestand_ledger::{Entry, Event, JobState};
use axlestand_model::ItemId;
use axlestand_model::car::Car;
use proptest::prelude::*;
use std::fmt::Write as _;

/// What a random car is made of; every index is taken modulo what is there.
#[derive(Debug, Clone)]
pub(crate) struct Recipe {
    pub(crate) parts: Vec<(bool, bool, u8)>,
    pub(crate) bolts: Vec<(u8, u8, Vec<u8>, u8, u8)>,
    pub(crate) ways: Vec<(u8, u8, Vec<u8>, bool)>,
    pub(crate) goals: Vec<u8>,
    pub(crate) rust: u8,
}

pub(crate) fn recipe() -> impl Strategy<Value = Recipe> {
    let index = || any::<u8>();
    (
        prop::collection::vec((any::<bool>(), any::<bool>(), 0u8..20), 2..7),
        prop::collection::vec(
            (index(), index(), prop::collection::vec(index(), 0..3), 1u8..40, 0u8..12),
            2..10,
        ),
        prop::collection::vec((index(), 1u8..40, prop::collection::vec(index(), 0..2), any::<bool>()), 0..4),
        prop::collection::vec(index(), 1..3),
        0u8..5,
    )
        .prop_map(|(parts, bolts, ways, goals, rust)| Recipe { parts, bolts, ways, goals, rust })
}

/// Writes the recipe as a vehicle file. Access goes only from later to earlier bolts, parts in
/// front of a bolt are held by earlier bolts only, so that no circle arises.
pub(crate) fn write(recipe: &Recipe) -> String {
    let mut text = String::from(
        "format = 1\n[car]\nname = \"random\"\n\
         [operation.raise]\nname = \"raise\"\nstage = \"strip\"\nbrings = \"on-stands\"\nplace = \"around\"\nminutes = 5\n\
         [operation.lower]\nname = \"lower\"\nstage = \"refit\"\nbrings = \"on-wheels\"\nplace = \"around\"\nminutes = 5\n\
         [operation.settle]\nname = \"settle\"\nstage = \"refit\"\nbrings = \"ride-height\"\nplace = \"around\"\nminutes = 5\n\
         [operation.look]\nname = \"look\"\nstage = \"prove\"\nplace = \"around\"\nminutes = 5\n",
    );
    for (at, (_, under, minutes)) in recipe.parts.iter().enumerate() {
        let place = if *under { "under" } else { "engine-bay" };
        let side = if at == 0 { "side = \"both\"\n" } else { "" };
        let _ =
            write!(text, "[part.p{at}]\nname = \"p{at}\"\n{side}place = \"{place}\"\nminutes = {minutes}\n");
    }
    for (at, (part, kind, after, minutes, extra)) in recipe.bolts.iter().enumerate() {
        let part = usize::from(*part) % recipe.parts.len();
        let side = if part == 0 { "side = \"both\"\n" } else { "" };
        let after: Vec<String> = after
            .iter()
            .filter(|_| at > 0)
            .map(|index| usize::from(*index) % at)
            .map(|other| format!("\"b{other}\""))
            .collect();
        let more = match kind % 6 {
            0 => {
                "torque = { value = \"50 N·m\", state = \"ride-height\", provenance = \"manual\", source = \"x\" }\n"
            }
            1 => {
                "torque = { value = \"50 N·m\", state = \"on-wheels\", provenance = \"manual\", source = \"x\" }\nloosen_state = \"on-wheels\"\n"
            }
            2 => {
                "torque = { value = \"50 N·m\", provenance = \"manual\", source = \"x\" }\nlock = \"split-pin\"\n"
            }
            3 => {
                "torque = { value = \"50 N·m\", provenance = \"manual\", source = \"x\" }\none_use = true\ncritical = true\n"
            }
            4 => "one_use = true\n",
            _ => "",
        };
        let stuck = u32::from(*minutes) * (1 + u32::from(*extra));
        let _ = write!(
            text,
            "[fastener.b{at}]\nname = \"b{at}\"\n{side}joins = [\"p{part}\"]\nplace = \"under\"\nexposure = \"spray\"\n\
             minutes = {minutes}\nminutes_stuck = {stuck}\nafter = [{}]\n{more}",
            after.join(", ")
        );
    }
    for (at, (frees, minutes, needs, scraps)) in recipe.ways.iter().enumerate() {
        let bolt = usize::from(*frees) % recipe.bolts.len();
        let part = usize::from(recipe.bolts[bolt].0) % recipe.parts.len();
        let side = if part == 0 { "side = \"both\"\n" } else { "" };
        let needs: Vec<String> = needs
            .iter()
            .filter(|_| bolt > 0)
            .map(|index| format!("\"b{}\"", usize::from(*index) % bolt))
            .collect();
        let scraps = if *scraps { format!("scraps = [\"b{bolt}\"]\n") } else { String::new() };
        let _ = write!(
            text,
            "[way.w{at}]\nname = \"w{at}\"\n{side}frees = \"b{bolt}\"\nneeds = [{}]\nplace = \"under\"\nminutes = {minutes}\n{scraps}",
            needs.join(", ")
        );
    }
    text
}

pub(crate) fn read(text: &str) -> Car {
    let reading = axlestand_model::file::read(text, |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}\n{text}", reading.findings))
}

pub(crate) fn started(car: &Car, recipe: &Recipe) -> JobState {
    let goals: Vec<ItemId> =
        recipe.goals.iter().map(|g| car.parts[usize::from(*g) % car.parts.len()].id.clone()).collect();
    let event = Event::JobStarted {
        name: "test".to_owned(),
        car_text: String::new(),
        car_path: String::new(),
        goals,
        rust: recipe.rust,
        helper: false,
        toolbox: None,
    };
    JobState::of(&[Entry { id: "start".to_owned(), at: String::new(), event }])
}
