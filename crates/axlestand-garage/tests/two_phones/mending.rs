//! A person looks at what waits and at the car, and sees to it that the ledger tells what is true.

use crate::shop::{Deed, Kept};
use crate::walk::Walk;
use crate::world::Is;
use axlestand_garage::{Action, Event, FastenerStage, GarageError, Verb};
use axlestand_ledger::{RowStatus, row_status};

impl Walk<'_> {
    /// Work that has to come before what was refused, such as pumping the pedal, is done now.
    pub(crate) fn does_first(&mut self, why: &GarageError) -> bool {
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
    pub(crate) fn leaves_out_loosening(&mut self) -> bool {
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
    pub(crate) fn takes_back_the_last(&mut self) -> bool {
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
    pub(crate) fn is_in_already(&mut self) -> bool {
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
    pub(crate) fn takes_back_a_break(&mut self) -> bool {
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
    pub(crate) fn look_at_the_car(&mut self) {
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
        for item in self.shop.world.broken.clone() {
            if !self.is_known_broken(&item) {
                self.shop.tell(&format!("looks at it and writes down that {item} broke"));
                self.shop.garage.broken(item.as_str(), None).unwrap();
            }
        }
        // What taking back asked about meanwhile was seen at the car too.
        self.shop.put_aside();
        self.shop.deeds.clear();
    }
}
