//! Any plan the planner gives for any car passes the independent checker; the choice of ways is
//! the cheapest there is, by brute force.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

mod random_car;

use axlestand_ledger::{Action, JobState};
use axlestand_model::ItemId;
use axlestand_plan::{check_plan, order, scope};
use proptest::prelude::*;
use random_car::{read, recipe, started, write};

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
