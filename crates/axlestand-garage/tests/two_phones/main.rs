//! A user who does whatever comes to mind, writes it down at the computer or on one of two phones without a
//! signal, and comes to the car days later: whatever arrives when, no gate opens while the car is not ready
//! and nobody was told, and who follows the rows that are offered comes to a clear road.
//!
//! `cargo test --release -p axlestand-garage --test two_phones -- --ignored --nocapture` takes longer walks.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::indexing_slicing,
    reason = "a test fails loudly"
)]

mod held_against;
mod mending;
#[path = "../../../axlestand-plan/tests/random_car/mod.rs"]
#[allow(dead_code, reason = "the plan's own tests use the rest")]
mod random_car;
mod shop;
mod two_jobs;
mod walk;
mod world;

use proptest::strategy::{Strategy as _, ValueTree as _};
use proptest::test_runner::TestRunner;
use random_car::dice::Dice;
use shop::{Shop, file};
use walk::{Told, Walk};

/// A walk of so many steps, a look at the car, and the rest soberly; then the finished job is opened once more.
fn walk(text: &str, replace: &[String], rust: u8, steps: usize, dice: &mut Dice, told: &mut Told) {
    let Some(shop) = Shop::open(text, replace, rust) else { return };
    told.walks += 1;
    let mut walk = Walk::new(shop, dice, told);
    for steps in [steps, steps / 3] {
        for _ in 0..steps {
            walk.step();
            if walk.stop {
                return;
            }
        }
        walk.look_at_the_car();
        if walk.stop {
            return;
        }
        walk.go_on_soberly();
    }
}

fn random_walks(walks: usize, steps: usize, seed: u64) -> Told {
    let mut runner = TestRunner::deterministic();
    let (cars, mut dice, mut told) = (random_car::recipe(), Dice(seed), Told::default());
    while told.walks < walks {
        let recipe = cars.new_tree(&mut runner).unwrap().current();
        let text = random_car::write(&recipe);
        let car = random_car::read(&text);
        let replace: Vec<String> = recipe
            .goals
            .iter()
            .map(|goal| car.parts[usize::from(*goal) % car.parts.len()].id.to_string())
            .collect();
        let steps = steps / 2 + dice.throw(steps);
        walk(&text, &replace, recipe.rust, steps, &mut dice, &mut told);
    }
    told
}

/// On the small cars of the job files, each with another part to replace.
fn small_walks(walks: usize, steps: usize, seed: u64) -> Told {
    let (mut dice, mut told) = (Dice(seed), Told::default());
    while told.walks < walks {
        let car = dice.one_of(&["arm", "brake", "corner", "hub", "tie-rod", "wheel"]).unwrap();
        let text = file(&format!("tests/jobs/cars/{car}.toml"));
        let parts = random_car::read(&text).parts;
        let goal = dice.one_of(&parts).unwrap().id.to_string();
        let (steps, rust) = (steps / 2 + dice.throw(steps), dice.throw(5) as u8);
        walk(&text, &[goal], rust, steps, &mut dice, &mut told);
    }
    told
}

fn demo_walks(walks: usize, steps: usize, seed: u64) -> Told {
    let (mut dice, mut told) = (Dice(seed), Told::default());
    let text = file("cars/wagtail.toml");
    let goals = ["tie-rod-end", "tie-rod-end.left", "arm.left", "link", "strut.right", "hub.left"];
    while told.walks < walks {
        let goal = (*dice.one_of(&goals).unwrap()).to_owned();
        let steps = steps / 2 + dice.throw(steps);
        walk(&text, &[goal], 2, steps, &mut dice, &mut told);
    }
    told
}

/// The walks are worth something: things wait, jobs end with a clear road, few ledgers are given up.
fn worth_something(told: &Told) {
    println!("{told:?}");
    assert!(told.waiting > told.walks && told.clear > told.walks, "{told:?}");
    assert!(told.given_up * 50 <= told.walks + 49, "{told:?}");
}

#[test]
fn random_cars() {
    worth_something(&random_walks(8, 40, 3));
}

#[test]
fn small_cars() {
    worth_something(&small_walks(8, 40, 5));
}

#[test]
fn two_jobs_on_one_car() {
    assert!(two_jobs::walks(6, 40, 7).lived_up_to());
}

/// Another seed than the usual one, to look further.
fn seed() -> u64 {
    #[expect(clippy::disallowed_methods, reason = "a seed for a test")]
    let given = std::env::var("AXLESTAND_SEED");
    given.ok().and_then(|text| text.parse().ok()).unwrap_or(1)
}

#[test]
#[ignore = "minutes; run by the command at the head of this file"]
fn long_walks_on_random_cars() {
    worth_something(&random_walks(400, 60, seed()));
}

#[test]
#[ignore = "minutes; run by the command at the head of this file"]
fn long_walks_on_small_cars() {
    worth_something(&small_walks(200, 60, seed()));
}

#[test]
#[ignore = "minutes; run by the command at the head of this file"]
fn long_walks_on_the_demo_car() {
    worth_something(&demo_walks(8, 80, seed()));
}

#[test]
#[ignore = "minutes; run by the command at the head of this file"]
fn long_walks_of_two_jobs() {
    assert!(two_jobs::walks(100, 150, seed()).lived_up_to());
}
