//! One walk: what comes to mind is done to the car, and written down somewhere.

use crate::random_car::dice::Dice;
use crate::shop::{Deed, Pen, Shop};
use crate::world::World;
use axlestand_garage::{Action, FastenerStage, Garage, ItemId, Verb};
use axlestand_ledger::{obstacles, row_status};

/// What came of the walks.
#[derive(Debug, Default)]
pub(crate) struct Told {
    pub(crate) walks: usize,
    pub(crate) steps: usize,
    /// How often the ledger was held against the car, nothing being on its way.
    pub(crate) looks: usize,
    /// What waited for a person.
    pub(crate) waiting: usize,
    /// What the ledger knew otherwise by then.
    pub(crate) mended: usize,
    /// Ledgers that were left too far behind.
    pub(crate) given_up: usize,
    /// Rows followed to the end.
    pub(crate) sober: usize,
    /// Ends with a clear road, and with one that was left closed.
    pub(crate) clear: usize,
    pub(crate) closed: usize,
}

/// A walk as it stands.
pub(crate) struct Walk<'a> {
    pub(crate) shop: Shop,
    pub(crate) dice: &'a mut Dice,
    pub(crate) told: &'a mut Told,
    /// A row was left out.
    pub(crate) skipped: bool,
    /// Rows are left out.
    skips: bool,
    /// How many entries were taken back at once to write others down before them.
    pub(crate) backwards: usize,
    /// A mistake stands that cannot be taken back.
    pub(crate) stop: bool,
}

impl<'a> Walk<'a> {
    pub(crate) fn new(shop: Shop, dice: &'a mut Dice, told: &'a mut Told) -> Self {
        let skips = dice.throw(4) == 0;
        Self { shop, dice, told, skipped: false, skips, backwards: 0, stop: false }
    }

    pub(crate) fn fail(&mut self, what: &str) -> ! {
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

    pub(crate) fn pen(&mut self) -> Pen {
        match self.dice.throw(4) {
            0 | 1 => Pen::Computer,
            phone => Pen::Phone(phone - 2),
        }
    }

    /// Time goes on: a moment, a while, a night.
    pub(crate) fn wait(&mut self) {
        let ms = match self.dice.throw(20) {
            0..=5 => self.dice.throw(900),
            6..=11 => 1_000 + self.dice.throw(19_000),
            12..=18 => 30_000 + self.dice.throw(900_000),
            _ => 36_000_000,
        };
        self.shop.wait(ms as u64);
    }

    /// Does it to the car, where the ledger that knows all lets it pass, and writes it down.
    pub(crate) fn act(&mut self, action: &Action) {
        let fresh = takes_a_new_one(&self.shop.world, &mut self.shop.told, action);
        self.happens(Deed::Done { action: action.clone(), fresh });
    }

    pub(crate) fn happens(&mut self, deed: Deed) {
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
            // Somebody looks at the car: the ledger tells how it is.
            let is_settled = (0..self.shop.deeds.len()).all(|at| self.shop.is_settled(at));
            if is_settled && self.tells_how_it_is() {
                self.shop.put_aside();
            }
        }
    }

    /// Ticked by mistake and taken back.
    pub(crate) fn mistake(&mut self) {
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

    pub(crate) fn step(&mut self) {
        self.told.steps += 1;
        self.wait();
        match self.dice.throw(100) {
            // The next row, as a sober person does; any of the next ones.
            0..62 => self.a_row(1),
            62..72 => self.a_row(8),
            72..83 => self.out_of_turn(),
            83..87 => {
                let touched: Vec<ItemId> = self.shop.world.holds.keys().cloned().collect();
                if let Some(item) = self.dice.one_of(&touched).cloned() {
                    self.happens(Deed::Broken(item));
                }
            }
            87..91 => self.mistake(),
            91..93 => self.besides(),
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

    fn a_row(&mut self, among: usize) {
        let offered = Shop::offered(&mut self.shop.told, among);
        if let Some(action) = self.dice.one_of(&offered).cloned() {
            self.act(&action);
        }
    }

    /// Something is loosened, put in or done that no row asks for.
    fn out_of_turn(&mut self) {
        let car = &self.shop.car;
        let holds: Vec<&ItemId> = car.fasteners.iter().map(|fastener| &fastener.id).collect();
        let touched: Vec<&ItemId> = self.shop.world.holds.keys().collect();
        let operations: Vec<&ItemId> = car.operations.iter().map(|one| &one.id).collect();
        let verbs = [Verb::Loosen, Verb::Loosen, Verb::Undo, Verb::Fit, Verb::Final, Verb::Lock];
        let (verb, among) = match self.dice.throw(11) {
            0..3 => (Verb::Do, &operations),
            3..5 => (*self.dice.one_of(&verbs).unwrap(), &holds),
            _ => (*self.dice.one_of(&verbs).unwrap(), &touched),
        };
        if let Some(item) = self.dice.one_of(among) {
            let action = Action::new(verb, item);
            self.act(&action);
        }
    }

    /// What is said besides the work, left out, or written into the vehicle file.
    fn besides(&mut self) {
        let holds: Vec<ItemId> = self.shop.car.fasteners.iter().map(|fastener| fastener.id.clone()).collect();
        let offered = Shop::offered(&mut self.shop.told, 8);
        let hold = self.dice.one_of(&holds).cloned();
        let usual = self.dice.throw(2) == 0;
        let deed = match self.dice.throw(16) {
            0..2 if self.skips => self.dice.one_of(&offered).cloned().map(Deed::Skipped),
            0..4 => self.dice.one_of(&self.shop.car.ways).map(|way| {
                let by = (!usual).then(|| way.id.clone());
                Deed::Chosen(way.frees.clone(), by)
            }),
            4..6 => hold.map(Deed::Stuck),
            6 => return self.shop.other_torque(self.dice.throw(64)),
            _ => hold.map(Deed::Ready),
        };
        if let Some(deed) = deed {
            self.happens(deed);
        }
    }
}

/// Whether a new one goes in: the old one broke and is out.
pub(crate) fn takes_a_new_one(world: &World, garage: &mut Garage, action: &Action) -> bool {
    let mut is_out = || garage.job().unwrap().state.hold(&action.item).stage == FastenerStage::Out;
    world.broken.contains(&action.item) && (action.verb == Verb::On || (action.verb == Verb::Fit && is_out()))
}
