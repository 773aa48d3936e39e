//! The car as it is, by the plain words of a mechanic: what was done to it, whoever wrote it down and when.

use axlestand_garage::{Action, Car, ItemId, Verb};
use axlestand_model::car::{Fastener, Hold, Item};
use axlestand_model::{CarState, Stage};
use std::collections::{BTreeMap, BTreeSet};

/// How a fastener or a connection is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Is {
    Out,
    Loose,
    Seated,
    Tight,
    Locked,
}

/// What was touched, and how it is now.
#[derive(Debug, Default)]
pub(crate) struct World {
    pub(crate) stands: Option<CarState>,
    pub(crate) holds: BTreeMap<ItemId, Is>,
    pub(crate) off: BTreeSet<ItemId>,
    pub(crate) broken: BTreeSet<ItemId>,
}

impl World {
    /// Somebody does it, with a new one (`fresh`) or with what is there.
    pub(crate) fn do_it(&mut self, car: &Car, action: &Action, fresh: bool) {
        let item = action.item.clone();
        if fresh {
            self.broken.remove(&item);
        }
        match (action.verb, car.item(&item)) {
            (Verb::Do, Some(Item::Operation(operation))) => self.stands = operation.brings.or(self.stands),
            (Verb::Loosen, _) if self.holds.get(&item) == Some(&Is::Out) => {}
            (Verb::Loosen, _) => self.goes(item, Is::Loose),
            (Verb::Undo, _) => self.goes(item, Is::Out),
            (Verb::Off, _) => {
                self.off.insert(item);
            }
            (Verb::On, _) => {
                self.off.remove(&item);
            }
            (Verb::Fit, Some(Item::Fastener(fastener))) => {
                let is = if self.is_due(fastener) { Is::Tight } else { Is::Seated };
                // What is in already is not tightened less by a tick that was late.
                let was = self.holds.get(&item).copied().unwrap_or(Is::Out);
                self.goes(item, is.max(was));
            }
            (Verb::Fit, _) => {
                self.goes(item, Is::Tight);
            }
            (Verb::Final, _) if self.holds.get(&item) == Some(&Is::Locked) => {}
            (Verb::Final, _) => self.goes(item, Is::Tight),
            (Verb::Lock, _) => self.goes(item, Is::Locked),
            (Verb::Way, Some(Item::Way(way))) => {
                for gone in way.undoes.iter().chain([&way.frees]) {
                    if car.part(gone).is_some() {
                        self.off.insert(gone.clone());
                    } else {
                        self.goes(gone.clone(), Is::Out);
                    }
                }
                self.broken.extend(way.scraps.iter().cloned());
            }
            _ => {}
        }
    }

    /// What is in its thread and loose.
    pub(crate) fn loose(&self) -> impl Iterator<Item = &ItemId> {
        self.holds.iter().filter(|(_, is)| **is == Is::Loose).map(|(item, _)| item)
    }

    fn goes(&mut self, item: ItemId, is: Is) {
        self.holds.insert(item, is);
    }

    /// Whether the wrench clicks for good when it is put in now.
    fn is_due(&self, fastener: &Fastener) -> bool {
        match fastener.torque.as_ref().and_then(|torque| torque.state) {
            None => true,
            Some(CarState::OnWheels) => {
                matches!(self.stands, None | Some(CarState::OnWheels | CarState::RideHeight))
            }
            Some(state) => self.stands == Some(state),
        }
    }

    /// Whether its lock is set by an act of its own.
    pub(crate) fn is_locked_apart(car: &Car, item: &ItemId) -> bool {
        car.fastener(item).is_some_and(|fastener| fastener.lock.is_own_act())
    }

    /// What is wrong with each item that no mechanic would drive away with.
    pub(crate) fn wrong(&self, car: &Car) -> BTreeMap<ItemId, String> {
        let mut wrong: BTreeMap<ItemId, String> =
            self.off.iter().map(|part| (part.clone(), "off".to_owned())).collect();
        for (item, is) in &self.holds {
            let wanted = if Self::is_locked_apart(car, item) { Is::Locked } else { Is::Tight };
            if *is != wanted {
                wrong.insert(item.clone(), format!("{is:?}"));
            }
        }
        for item in &self.broken {
            wrong.insert(item.clone(), "broken".to_owned());
        }
        wrong
    }

    /// What nobody would let a car down with.
    pub(crate) fn hanging(&self, car: &Car) -> Vec<ItemId> {
        let off =
            self.off.iter().filter(|part| car.part(part).is_some_and(|part| !part.cover && part.critical));
        let open = self.holds.iter().filter(|(_, is)| **is < Is::Seated).map(|(item, _)| item);
        let open = open.filter(|item| car.fastener(item).is_some_and(|fastener| fastener.critical));
        off.chain(open).cloned().collect()
    }

    /// What nobody would roll a car with that stands on its wheels.
    pub(crate) fn not_to_be_rolled(&self, car: &Car) -> Vec<ItemId> {
        if self.stands == Some(CarState::OnStands) {
            return Vec::new();
        }
        let is_out = |item: &ItemId| self.off.contains(item) || self.holds.get(item) == Some(&Is::Out);
        let is_critical = |item: &ItemId| {
            car.part(item).is_some_and(|part| part.critical) || car.hold(item).is_some_and(Hold::is_critical)
        };
        let is_set = |item: &ItemId| {
            car.operations.iter().any(|one| one.stage == Stage::Set && one.before.contains(item))
        };
        let on_wheels = |item: &ItemId| {
            let torque = car.fastener(item).and_then(|fastener| fastener.torque.as_ref());
            torque.and_then(|torque| torque.state) == Some(CarState::OnWheels)
        };
        let is_loose = |(item, is): &(&ItemId, &Is)| match is {
            Is::Out => true,
            Is::Loose => !is_set(item),
            Is::Seated => on_wheels(item),
            Is::Tight | Is::Locked => false,
        };
        let loose = self.holds.iter().filter(is_loose).map(|(item, _)| item);
        let broken = self.broken.iter().filter(|item| !is_out(item));
        loose.chain(&self.off).chain(broken).filter(|item| is_critical(item)).cloned().collect()
    }
}
