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

#[path = "../../../axlestand-plan/tests/random_car/mod.rs"]
#[allow(dead_code, reason = "the plan's own tests use the rest")]
mod random_car;
mod shop;
mod world;

use axlestand_garage::views::{check_lowering, has_to_come_down, open_view};
use axlestand_garage::{Action, Event, FastenerStage, Garage, GarageError, ItemId, Verb};
use axlestand_ledger::{RowStatus, obstacles, row_status};
use axlestand_model::CarState;
use proptest::strategy::{Strategy as _, ValueTree as _};
use proptest::test_runner::TestRunner;
use shop::{Deed, Kept, Pen, Shop, file};
use std::collections::BTreeSet;
use world::{Is, World};

/// Chance by counting: the same seed takes the same walk.
struct Dice(u64);

impl Dice {
    fn throw(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % sides.max(1) as u64) as usize
    }

    fn one_of<'a, T>(&mut self, among: &'a [T]) -> Option<&'a T> {
        among.get(self.throw(among.len()))
    }
}

/// What came of the walks.
#[derive(Debug, Default)]
struct Told {
    walks: usize,
    steps: usize,
    waiting: usize,
    mended: usize,
    given_up: usize,
    sober: usize,
    clear: usize,
    closed: usize,
}

struct Walk<'a> {
    shop: Shop,
    dice: &'a mut Dice,
    told: &'a mut Told,
    skipped: bool,
    /// Rows are left out.
    skips: bool,
    /// How many entries were taken back at once to write others down before them.
    backwards: usize,
    /// A mistake stands that cannot be taken back.
    stop: bool,
}

impl Walk<'_> {
    fn fail(&mut self, what: &str) -> ! {
        println!("{}", self.shop.story.join("\n"));
        for (at, entry) in axlestand_garage::views::log(&self.shop.garage.job().unwrap()).iter().enumerate() {
            println!(
                "{at}: {} {}{}",
                entry.at,
                entry.words,
                if entry.withdrawn { " (taken back)" } else { "" }
            );
        }
        let job = self.shop.garage.job().unwrap();
        println!("{}", job.state.car_text);
        for row in &job.plan().unwrap().rows {
            let status = row_status(&job.car, &job.state, &row.action);
            let against: Vec<String> =
                obstacles(&job.car, &job.state, &row.action).into_iter().map(|one| one.text).collect();
            println!("{}: {status:?} {against:?}", row.action);
        }
        println!("open: {:?}", Shop::road(&mut self.shop.garage));
        panic!("{what}");
    }

    fn pen(&mut self) -> Pen {
        match self.dice.throw(4) {
            0 | 1 => Pen::Computer,
            phone => Pen::Phone(phone - 2),
        }
    }

    /// Time goes on: a moment, a while, a night.
    fn wait(&mut self) {
        let ms = match self.dice.throw(20) {
            0..=5 => self.dice.throw(900),
            6..=11 => 1_000 + self.dice.throw(19_000),
            12..=18 => 30_000 + self.dice.throw(900_000),
            _ => 36_000_000,
        };
        self.shop.wait(ms as u64);
    }

    /// Does it to the car, where the ledger that knows all lets it pass, and writes it down.
    fn act(&mut self, action: &Action) {
        let fresh = takes_a_new_one(&self.shop.world, &mut self.shop.told, action);
        self.happens(Deed::Done { action: action.clone(), fresh });
    }

    fn happens(&mut self, deed: Deed) {
        if deed.record(&mut self.shop.told).is_err() {
            return;
        }
        match &deed {
            Deed::Done { action, fresh } => self.shop.world.do_it(&self.shop.car, action, *fresh),
            Deed::Broken(item) => {
                self.shop.world.broken.insert(item.clone());
            }
            Deed::Skipped(_) => self.skipped = true,
            Deed::Ready(_) | Deed::Stuck(_) | Deed::Chosen(..) => {}
        }
        let pen = self.pen();
        self.shop.tell(&format!("{deed:?} ({pen:?})"));
        self.shop.write(deed, pen);
        if self.dice.throw(2) == 0 {
            self.shop.write_anew();
        }
    }

    /// Ticked by mistake and taken back.
    fn mistake(&mut self) {
        let offered = Shop::offered(&mut self.shop.garage, 4);
        let Some(action) = self.dice.one_of(&offered).cloned() else { return };
        let before = self.shop.garage.job().unwrap().state.entries.len();
        let deed = Deed::Done { action: action.clone(), fresh: false };
        if deed.record(&mut self.shop.garage).is_err() {
            return;
        }
        self.shop.tell(&format!("ticked by mistake: {action}"));
        let entries = self.shop.garage.job().unwrap().state.entries.clone();
        let id =
            entries.get(before..).unwrap().iter().find(|entry| !entry.event.sets_up()).unwrap().id.clone();
        self.wait();
        if self.dice.throw(3) == 0 {
            self.shop.deliver(0);
        }
        if let Err(why) = self.shop.garage.undo_entry(Some(&id), None) {
            self.shop.tell(&format!("  cannot be taken back: {why}"));
            self.stop = true;
        }
        self.shop.hear_of_what_was_left_aside();
    }

    fn step(&mut self) {
        self.wait();
        let holds: Vec<ItemId> = self.shop.car.fasteners.iter().map(|fastener| fastener.id.clone()).collect();
        let touched: Vec<ItemId> = self.shop.world.holds.keys().cloned().collect();
        match self.dice.throw(100) {
            0..62 => {
                let offered = Shop::offered(&mut self.shop.told, 1);
                if let Some(action) = offered.first().cloned() {
                    self.act(&action);
                }
            }
            62..72 => {
                let offered = Shop::offered(&mut self.shop.told, 8);
                if let Some(action) = self.dice.one_of(&offered).cloned() {
                    self.act(&action);
                }
            }
            72..80 => {
                let verbs = [Verb::Loosen, Verb::Loosen, Verb::Undo, Verb::Fit, Verb::Final, Verb::Lock];
                let verb = *self.dice.one_of(&verbs).unwrap();
                let among = if touched.is_empty() || self.dice.throw(4) == 0 { &holds } else { &touched };
                if let Some(item) = self.dice.one_of(among).cloned() {
                    self.act(&Action::new(verb, &item));
                }
            }
            80..83 => {
                let operations: Vec<ItemId> =
                    self.shop.car.operations.iter().map(|one| one.id.clone()).collect();
                if let Some(item) = self.dice.one_of(&operations).cloned() {
                    self.act(&Action::new(Verb::Do, &item));
                }
            }
            83..87 => {
                if let Some(item) = self.dice.one_of(&touched).cloned() {
                    self.happens(Deed::Broken(item));
                }
            }
            87..91 => self.mistake(),
            91 => match self.dice.throw(8) {
                0 if self.skips => {
                    let offered = Shop::offered(&mut self.shop.told, 8);
                    if let Some(action) = self.dice.one_of(&offered).cloned() {
                        self.happens(Deed::Skipped(action));
                    }
                }
                0..3 => {
                    if let Some(way) = self.dice.one_of(&self.shop.car.ways).cloned() {
                        let by = (self.dice.throw(2) == 0).then(|| way.id.clone());
                        self.happens(Deed::Chosen(way.frees, by));
                    }
                }
                3..5 => {
                    if let Some(item) = self.dice.one_of(&holds).cloned() {
                        self.happens(Deed::Stuck(item));
                    }
                }
                5 => self.shop.other_torque(self.dice.throw(64)),
                _ => {}
            },
            92 => {
                if let Some(item) = self.dice.one_of(&holds).cloned() {
                    self.happens(Deed::Ready(item));
                }
            }
            _ => {
                let phone = self.dice.throw(2);
                self.shop.deliver(phone);
            }
        }
        if self.dice.throw(5) == 0 {
            let phone = self.dice.throw(2);
            self.shop.deliver(phone);
        }
        self.look_at_the_gate("on the way");
    }

    /// Items of which the ledger does not say that they are not ready, although they are not.
    fn unknown(&mut self) -> Vec<(ItemId, String)> {
        let wrong = self.shop.world.wrong(&self.shop.car);
        let said: BTreeSet<String> =
            Shop::road(&mut self.shop.garage).into_iter().filter_map(|(item, _)| item).collect();
        let job = self.shop.garage.job().unwrap();
        let open: BTreeSet<String> = open_view(&job).into_iter().map(|open| open.item).collect();
        wrong
            .into_iter()
            .filter(|(item, _)| !said.contains(item.as_str()) && !open.contains(item.as_str()))
            .collect()
    }

    /// What nobody would let a car down with.
    fn hanging(&self) -> Vec<ItemId> {
        let (car, world) = (&self.shop.car, &self.shop.world);
        let off =
            world.off.iter().filter(|part| car.part(part).is_some_and(|part| !part.cover && part.critical));
        let open = world.holds.iter().filter(|(_, is)| **is < Is::Seated).map(|(item, _)| item);
        let open = open.filter(|item| car.fastener(item).is_some_and(|fastener| fastener.critical));
        off.chain(open).cloned().collect()
    }

    /// The operation that brings the car to where it is, where the ledger says otherwise.
    fn stands_otherwise(&mut self) -> Option<Action> {
        let says = self.shop.garage.job().unwrap().state.stands();
        let is = self.shop.world.stands.unwrap_or(CarState::OnWheels);
        if (says == CarState::OnStands) == (is == CarState::OnStands) {
            return None;
        }
        // To ride height the way leads over its wheels.
        let is = if is == CarState::OnStands { is } else { CarState::OnWheels };
        let brings = self.shop.car.operations.iter().find(|one| one.brings == Some(is)).unwrap();
        Some(Action::new(Verb::Do, &brings.id))
    }

    /// Where all arrived and nothing waits for a person, the ledger knows what is not ready.
    fn look_at_the_gate(&mut self, when: &str) {
        if self.stop
            || !self.shop.garage.waiting().unwrap().is_empty()
            || self.shop.deeds.iter().any(|kept| !kept.written || kept.answered.is_some())
        {
            return;
        }
        if let Some(action) = self.stands_otherwise() {
            self.fail(&format!("{when}: nobody was told of {action}"));
        }
        let hanging = self.hanging();
        if !hanging.is_empty() && check_lowering(&self.shop.garage.job().unwrap()).clear {
            self.fail(&format!("{when}: it may come down with {hanging:?}"));
        }
        let unknown = self.unknown();
        if !unknown.is_empty() {
            self.fail(&format!("{when}: nobody was told of {unknown:?}"));
        }
    }

    /// Where the ledger says otherwise than the car is.
    fn differs(&mut self) -> Vec<(ItemId, Option<Is>)> {
        let state = self.shop.garage.job().unwrap().state;
        let world = &self.shop.world;
        let mut differs = Vec::new();
        for (item, is) in &world.holds {
            let says = match state.hold(item).stage {
                FastenerStage::InPlace | FastenerStage::AtFinal => Is::Tight,
                FastenerStage::BrokenLoose => Is::Loose,
                FastenerStage::Out => Is::Out,
                FastenerStage::InByHand | FastenerStage::Seated => Is::Seated,
                // Most locks come with the torque.
                FastenerStage::Locked if World::is_locked_apart(&self.shop.car, item) => Is::Locked,
                FastenerStage::Locked => Is::Tight,
            };
            let loose = |is: Is| matches!(is, Is::Loose | Is::Seated);
            if says != *is && !(loose(says) && loose(*is)) && (says > *is || *is < Is::Seated) {
                differs.push((item.clone(), Some(*is)));
            }
        }
        differs
            .extend(world.off.iter().filter(|part| !state.part(part).off).map(|part| (part.clone(), None)));
        differs
    }

    /// Work that has to come before what was refused, such as pumping the pedal, is done now.
    fn does_first(&mut self, why: &GarageError) -> bool {
        let GarageError::Refused(refusal) = why else { return false };
        let first = refusal.reasons.iter().filter_map(|reason| reason.first.clone());
        let mut went_on = false;
        for action in first.filter(|action| action.verb == Verb::Do) {
            self.shop.tell(&format!("does first: {action}"));
            went_on |= Deed::Done { action, fresh: false }.record(&mut self.shop.garage).is_ok();
        }
        went_on
    }

    /// The car is up, so what was to be broken loose on its wheels comes loose otherwise.
    fn leaves_out_loosening(&mut self) -> bool {
        let job = self.shop.garage.job().unwrap();
        let pending = |action: &&Action| {
            action.verb == Verb::Loosen && row_status(&job.car, &job.state, action) == RowStatus::Pending
        };
        let Some(row) = job.rows().map(|(_, action)| action).find(pending) else { return false };
        self.shop.tell(&format!("leaves out {row}"));
        self.shop.garage.skip(&row.to_string(), "the car is up already").is_ok()
    }

    /// What was written down before something that was refused is taken back and written down after it: one
    /// entry, then two, and so on.
    fn takes_back_the_last(&mut self) -> bool {
        self.backwards += 1;
        for _ in 0..self.backwards {
            let state = self.shop.garage.job().unwrap().state;
            let Some(last) = state.counting_entries().filter(|entry| !entry.event.sets_up()).last() else {
                return false;
            };
            if self.backwards > 20 || self.shop.garage.undo_entry(None, None).is_err() {
                return false;
            }
            self.shop.tell(&format!("takes back for the while: {:?}", last.event));
            let same = |kept: &&mut Kept| kept.written && kept.deed.is_said_by(&last.event);
            if let Some(kept) = self.shop.deeds.iter_mut().rev().find(same) {
                kept.written = false;
            }
        }
        self.shop.write_anew();
        true
    }

    /// Writes down that something is in or on of which the ledger says that it is loose, out or off.
    fn is_in_already(&mut self) -> bool {
        let state = self.shop.garage.job().unwrap().state;
        let open = |stage| matches!(stage, FastenerStage::BrokenLoose | FastenerStage::Out);
        let holds = self.shop.world.holds.iter();
        let holds = holds.filter(|(item, is)| **is >= Is::Seated && open(state.hold(item).stage));
        let mut deeds: Vec<Action> = holds.map(|(item, _)| Action::new(Verb::Fit, item)).collect();
        let parts = self.shop.car.parts.iter().map(|part| &part.id);
        let on = parts.filter(|part| state.part(part).off && !self.shop.world.off.contains(*part));
        deeds.extend(on.map(|part| Action::new(Verb::On, part)));
        let mut went_on = false;
        for action in deeds {
            let deed = Deed::Done { action, fresh: false };
            if deed.record(&mut self.shop.garage).is_ok() {
                self.shop.tell(&format!("looks at it and writes down {deed:?}"));
                went_on = true;
            }
        }
        went_on
    }

    /// Takes back that something broke for which a new one is in, or which is told again once all stands as it is.
    fn takes_back_a_break(&mut self) -> bool {
        let state = self.shop.garage.job().unwrap().state;
        let broken = state.counting_entries().filter_map(|entry| match &entry.event {
            Event::Broken { item, .. } => {
                Some((self.shop.world.broken.contains(item), entry.id.clone(), item))
            }
            _ => None,
        });
        let Some((_, id, item)) = broken.min() else { return false };
        self.shop.tell(&format!("takes back that {item} broke"));
        self.shop.garage.undo_entry(Some(&id), None).is_ok()
    }

    /// A person looks at what waits and at the car, and writes down what is true.
    fn look_at_the_car(&mut self) {
        self.shop.deliver_all();
        self.shop.write_anew();
        let waiting = self.shop.garage.waiting().unwrap();
        self.told.waiting += waiting.len();
        let answered = self.shop.deeds.iter().filter_map(|kept| {
            let why = kept.answered.as_ref()?;
            Some(format!("{:?} {why}", kept.deed))
        });
        let named: Vec<String> = answered.collect();
        for one in &waiting {
            self.shop.garage.looked_at(&one.id).unwrap();
        }
        for (item, how) in self.unknown() {
            let name = self.shop.car.item(&item).map_or(item.as_str(), |item| item.name()).to_owned();
            if !named.iter().any(|text| text.contains(item.as_str()) || text.contains(&name)) {
                self.fail(&format!("{item} is {how}, the ledger does not know, and nothing names it"));
            }
        }
        self.backwards = 0;
        loop {
            let differs = self.differs();
            let mut whys = Vec::new();
            let mut went_on = false;
            if let Some(action) = self.stands_otherwise() {
                self.shop.tell(&format!("looks at it and writes down {action}"));
                let deed = Deed::Done { action, fresh: false };
                match deed.record(&mut self.shop.garage) {
                    Ok(()) => went_on = true,
                    Err(why) => {
                        whys.push(why.to_string());
                        went_on |= self.leaves_out_loosening() || self.does_first(&why);
                    }
                }
            }
            for (item, is) in &differs {
                let verbs: &[Verb] = match is {
                    None => &[Verb::Off],
                    Some(Is::Out) => &[Verb::Undo, Verb::Loosen, Verb::Undo],
                    _ => &[Verb::Loosen, Verb::Undo, Verb::Fit],
                };
                for verb in verbs {
                    let deed = Deed::Done { action: Action::new(*verb, item), fresh: false };
                    match deed.record(&mut self.shop.garage) {
                        Ok(()) => {
                            self.shop.tell(&format!("looks at it and writes down {deed:?}"));
                            self.told.mended += 1;
                            went_on = true;
                            break;
                        }
                        Err(why) => whys.push(why.to_string()),
                    }
                    if *verb == Verb::Loosen {
                        let row = Action::new(Verb::Loosen, item).to_string();
                        let left_out = self.shop.garage.skip(&row, "came loose on stands");
                        self.shop.tell(&format!(
                            "leaves out {row}: {:?}",
                            left_out.err().map(|why| why.to_string())
                        ));
                    }
                }
            }
            if differs.is_empty() && self.stands_otherwise().is_none() {
                break;
            }
            if !went_on && !self.is_in_already() && !self.takes_back_a_break() && !self.takes_back_the_last()
            {
                // The ledger was left too far behind to follow row by row.
                self.shop.tell(&format!("given up: {differs:?}, {whys:?}"));
                self.told.given_up += 1;
                self.stop = true;
                return;
            }
        }
        let state = self.shop.garage.job().unwrap().state;
        for item in self.shop.world.broken.clone() {
            let is_part = self.shop.car.part(&item).is_some();
            let is_known = if is_part { state.part(&item).broken } else { state.hold(&item).broken };
            if !is_known {
                self.shop.tell(&format!("looks at it and writes down that {item} broke"));
                self.shop.garage.broken(item.as_str(), None).unwrap();
            }
        }
        self.shop.deeds.clear();
    }

    /// Follows the rows that are offered, to the end.
    fn go_on_soberly(&mut self) {
        for _ in 0..600 {
            self.shop.wait(60_000);
            let Some(action) = Shop::offered(&mut self.shop.garage, 1).first().cloned() else {
                let job = self.shop.garage.job().unwrap();
                let why = has_to_come_down(&job).unwrap().unwrap_or_default();
                if why.contains("leave its breaking loose out") && self.leaves_out_loosening() {
                    continue;
                }
                break;
            };
            self.told.sober += 1;
            let fresh = takes_a_new_one(&self.shop.world, &mut self.shop.garage, &action);
            self.shop.tell(&format!("sober: {action}{}", if fresh { " new" } else { "" }));
            let deed = Deed::Done { action: action.clone(), fresh };
            if let Err(why) = deed.record(&mut self.shop.garage) {
                self.fail(&format!("offered first and refused: {action}: {why}"));
            }
            self.shop.world.do_it(&self.shop.car, &action, fresh);
            let _ = deed.record(&mut self.shop.told);
        }
        if let Some(action) = Shop::offered(&mut self.shop.garage, 1).first() {
            let action = action.clone();
            self.fail(&format!("it never ends; offered now: {action}"));
        }
        let lacks: BTreeSet<String> = open_view(&self.shop.garage.job().unwrap())
            .into_iter()
            .filter(|open| open.lacks_value)
            .map(|open| open.item)
            .collect();
        let road: Vec<(Option<String>, String)> = Shop::road(&mut self.shop.garage)
            .into_iter()
            .filter(|(item, _)| item.as_ref().is_none_or(|item| !lacks.contains(item)))
            .collect();
        if !road.is_empty() && !self.skipped {
            self.fail(&format!("no row is offered, and the road is closed: {road:?}"));
        }
        let unknown = self.unknown();
        if !unknown.is_empty() {
            self.fail(&format!("the ledger does not know of {unknown:?}"));
        }
        if road.is_empty() {
            self.told.clear += 1;
            let wrong = self.shop.world.wrong(&self.shop.car);
            if !wrong.is_empty() {
                self.fail(&format!("the road is clear with {wrong:?}"));
            }
        } else {
            self.told.closed += 1;
        }
    }
}

/// Whether a new one goes in: the old one broke and is out.
fn takes_a_new_one(world: &World, garage: &mut Garage, action: &Action) -> bool {
    let mut is_out = || garage.job().unwrap().state.hold(&action.item).stage == FastenerStage::Out;
    world.broken.contains(&action.item) && (action.verb == Verb::On || (action.verb == Verb::Fit && is_out()))
}

/// A walk of so many steps, a look at the car, and the rest soberly.
fn walk(text: &str, replace: &[String], rust: u8, steps: usize, dice: &mut Dice, told: &mut Told) {
    let Some(shop) = Shop::open(text, replace, rust) else { return };
    told.walks += 1;
    let dice_skips = dice.throw(4) == 0;
    let mut walk = Walk { shop, dice, told, skipped: false, skips: dice_skips, backwards: 0, stop: false };
    // A finished job is opened once more.
    for steps in [steps, steps / 3] {
        for _ in 0..steps {
            walk.told.steps += 1;
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
    worth_something(&demo_walks(20, 80, seed()));
}
