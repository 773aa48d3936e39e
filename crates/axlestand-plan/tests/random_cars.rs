//! Any plan the planner gives for any car passes the independent checker; the choice of ways is
//! the cheapest there is, by brute force.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_ledger::{Action, Entry, Event, JobState};
use axlestand_model::ItemId;
use axlestand_model::car::Car;
use axlestand_plan::{check_plan, order, scope};
use proptest::prelude::*;
use std::fmt::Write as _;

/// What a random car is made of; every index is taken modulo what is there.
#[derive(Debug, Clone)]
struct Recipe {
    parts: Vec<(bool, bool, u8)>,
    bolts: Vec<(u8, u8, Vec<u8>, u8, u8)>,
    ways: Vec<(u8, u8, Vec<u8>, bool)>,
    goals: Vec<u8>,
    rust: u8,
}

fn recipe() -> impl Strategy<Value = Recipe> {
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
fn write(recipe: &Recipe) -> String {
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

fn read(text: &str) -> Car {
    let reading = axlestand_model::file::read(text, |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}\n{text}", reading.findings))
}

fn started(car: &Car, recipe: &Recipe) -> JobState {
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

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn any_plan_passes_the_checker(recipe in recipe()) {
        let car = read(&write(&recipe));
        let state = started(&car, &recipe);
        let plan = order(&car, &state, scope(&car, &state).unwrap()).unwrap();
        let rows: Vec<Action> = plan.rows.iter().map(|row| row.action.clone()).collect();
        let ways: Vec<ItemId> = plan.scope.ways.values().cloned().collect();
        prop_assert_eq!(check_plan(&car, &state, &ways, &rows), Vec::new());
    }

    #[test]
    fn the_checker_notices_a_row_that_is_missing_or_too_soon(recipe in recipe(), at in any::<prop::sample::Index>()) {
        let car = read(&write(&recipe));
        let state = started(&car, &recipe);
        let plan = order(&car, &state, scope(&car, &state).unwrap()).unwrap();
        let mut rows: Vec<Action> = plan.rows.iter().map(|row| row.action.clone()).collect();
        let ways: Vec<ItemId> = plan.scope.ways.values().cloned().collect();
        // Looking and settling bind nothing in some of these cars; everything else is needed.
        let needed: Vec<usize> = (0..rows.len()).filter(|&i| rows[i].verb != axlestand_ledger::Verb::Do).collect();
        rows.remove(needed[at.index(needed.len())]);
        prop_assert!(!check_plan(&car, &state, &ways, &rows).is_empty());
    }

    #[test]
    fn the_same_input_gives_the_same_plan(recipe in recipe()) {
        let car = read(&write(&recipe));
        let state = started(&car, &recipe);
        let make = || order(&car, &state, scope(&car, &state).unwrap()).unwrap();
        prop_assert_eq!(make(), make());
    }

    /// Brute force: every choice of ways that the owner could make by hand; none is cheaper, save
    /// for the two sides choosing differently, which the planner does not do.
    #[test]
    fn no_choice_of_ways_is_cheaper(recipe in recipe()) {
        let car = read(&write(&recipe));
        let state = started(&car, &recipe);
        let found = scope(&car, &state).unwrap();
        prop_assert!(found.proven);
        let minutes = |state: &JobState| -> Option<f64> {
            let scope = scope(&car, state).ok()?;
            let penalty = scope
                .ways
                .values()
                .filter_map(|way| car.way(way))
                .flat_map(|way| way.scraps.iter())
                .filter(|scrap| !car.hold(scrap).is_some_and(axlestand_model::car::Hold::is_one_use))
                .count() as f64
                * 60.0;
            Some(order(&car, state, scope).ok()?.minutes() + penalty)
        };
        let best = minutes(&state).unwrap();
        let bolts: Vec<String> = (0..recipe.bolts.len()).map(|at| format!("b{at}")).collect();
        let options: Vec<(String, Vec<Option<String>>)> = bolts
            .into_iter()
            .map(|bolt| {
                let ways = (0..recipe.ways.len())
                    .filter(|w| format!("b{}", usize::from(recipe.ways[*w].0) % recipe.bolts.len()) == bolt)
                    .map(|w| Some(format!("w{w}")));
                let ways: Vec<_> = std::iter::once(None).chain(ways).collect();
                (bolt, ways)
            })
            .filter(|(_, ways)| ways.len() > 1)
            .collect();
        let count: usize = options.iter().map(|(_, ways)| ways.len()).product();
        for mut choice in 0..count {
            let mut forced = state.clone();
            for (bolt, ways) in &options {
                let way = &ways[choice % ways.len()];
                choice /= ways.len();
                for id in car.resolve(bolt).unwrap() {
                    let way = way.as_ref().map(|way| ItemId::new(way, id.side()));
                    forced.choices.insert(id, way);
                }
            }
            if let Some(other) = minutes(&forced) {
                prop_assert!(best <= other + 1e-6, "{best} against {other}");
            }
        }
    }
}
