//! Two jobs on one car, worked on in turns: each knows only what was written down in it, and neither opens a gate
//! against what the other one left open.

use crate::random_car::dice::Dice;
use crate::random_car::read;
use crate::shop::{Deed, Shop, file};
use crate::walk::takes_a_new_one;
use axlestand_garage::views::{check_lowering, next};
use axlestand_garage::{Action, ItemId, Units, Verb};
use axlestand_model::CarState;
use std::collections::BTreeSet;

/// What came of the walks.
#[derive(Debug, Default)]
pub(crate) struct Came {
    done: usize,
    refused: usize,
    /// Looks at a car that must not come down, or be rolled.
    hanging: usize,
    not_rolled: usize,
}

impl Came {
    /// Things were done and refused, and the car was not fit often enough for that to say something.
    pub(crate) fn lived_up_to(&self) -> bool {
        println!("{self:?}");
        self.done > 100 && self.refused > 20 && self.hanging > 50 && self.not_rolled > 20
    }
}

pub(crate) fn walks(walks: usize, steps: usize, seed: u64) -> Came {
    let (mut dice, mut came) = (Dice(seed), Came::default());
    for _ in 0..walks {
        let car = dice.one_of(&["arm", "brake", "corner", "hub", "tie-rod", "wheel"]).unwrap();
        let text = file(&format!("tests/jobs/cars/{car}.toml"));
        let parts = read(&text).parts;
        let mut goal = || dice.one_of(&parts).unwrap().id.to_string();
        let (first, second) = (goal(), goal());
        let Some(mut shop) = Shop::open(&text, &[first], 2) else { continue };
        let Some(jobs) = shop.second_job(&second) else { continue };
        let mut came_up = BTreeSet::new();
        for _ in 0..steps {
            let name = dice.one_of(&jobs).unwrap().clone();
            shop.wait(60_000);
            shop.garage.use_job(&name).unwrap();
            assert_eq!(shop.garage.job().unwrap().name, name);
            let was_up = shop.world.stands == Some(CarState::OnStands);
            let touched = step(&mut shop, &name, &mut dice, &mut came);
            came_up.retain(|item| Some(item) != touched.as_ref());
            if !was_up && shop.world.stands == Some(CarState::OnStands) {
                // It came up with what was broken loose on its wheels, and may come down with it.
                came_up = shop.world.loose().cloned().collect();
            }
            for name in &jobs {
                shop.garage.use_job(name).unwrap();
                look(&mut shop, name, &came_up, &mut came);
            }
        }
    }
    came
}

/// Something is done in this job; gives what was touched.
fn step(shop: &mut Shop, name: &str, dice: &mut Dice, came: &mut Came) -> Option<ItemId> {
    let offered = Shop::offered(&mut shop.garage, 8);
    let touched: Vec<ItemId> = shop.world.holds.keys().cloned().collect();
    let holds: Vec<ItemId> = shop.car.fasteners.iter().map(|fastener| fastener.id.clone()).collect();
    let operations: Vec<ItemId> = shop.car.operations.iter().map(|one| one.id.clone()).collect();
    let verb = *dice.one_of(&[Verb::Loosen, Verb::Undo, Verb::Fit, Verb::Final]).unwrap();
    let of = |verb, item: Option<&ItemId>| item.map(|item| Action::new(verb, item));
    let action = match dice.throw(20) {
        0..11 => offered.first().cloned(),
        11..15 => dice.one_of(&offered).cloned(),
        15 => return breaks(shop, name, &touched, dice),
        16 => of(Verb::Do, dice.one_of(&operations)),
        17 => of(verb, dice.one_of(&holds)),
        _ => of(verb, dice.one_of(&touched)),
    };
    let action = action?;
    let fresh = takes_a_new_one(&shop.world, &mut shop.garage, &action);
    if (Deed::Done { action: action.clone(), fresh }).record(&mut shop.garage).is_err() {
        came.refused += 1;
        return None;
    }
    came.done += 1;
    shop.tell(&format!("{name}: {action}{}", if fresh { " new" } else { "" }));
    shop.world.do_it(&shop.car, &action, fresh);
    Some(action.item)
}

fn breaks(shop: &mut Shop, name: &str, touched: &[ItemId], dice: &mut Dice) -> Option<ItemId> {
    let item = dice.one_of(touched).cloned()?;
    if Deed::Broken(item.clone()).record(&mut shop.garage).is_ok() {
        shop.tell(&format!("{name}: {item} broke"));
        shop.world.broken.insert(item);
    }
    None
}

/// What one of the jobs says, held against the car.
fn look(shop: &mut Shop, name: &str, came_up: &BTreeSet<ItemId>, came: &mut Came) {
    let job = shop.garage.job().unwrap();
    let mut hanging = shop.world.hanging(&shop.car);
    hanging.retain(|item| !came_up.contains(item));
    if shop.world.stands == Some(CarState::OnStands) && !hanging.is_empty() {
        came.hanging += 1;
        let check = check_lowering(&job).beside(&shop.garage.neighbours(&job).unwrap());
        assert!(!check.clear, "{name}: may come down with {hanging:?}\n{}", shop.story.join("\n"));
    }
    let not_rolled = shop.world.not_to_be_rolled(&shop.car);
    if job.state.stands() != CarState::OnStands && !not_rolled.is_empty() {
        came.not_rolled += 1;
        let view = next(&job, 1, Units::default()).unwrap();
        let view = view.beside(&shop.garage, &job).unwrap();
        assert!(view.do_not_roll.is_some(), "{name}: rolled with {not_rolled:?}\n{}", shop.story.join("\n"));
    }
}
