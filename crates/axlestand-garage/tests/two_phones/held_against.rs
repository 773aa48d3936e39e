//! The ledger held against the car.

use crate::shop::{Deed, Shop};
use crate::walk::{Walk, takes_a_new_one};
use crate::world::{Is, World};
use axlestand_garage::views::{check_lowering, has_to_come_down, next, open_view};
use axlestand_garage::{Action, FastenerStage, ItemId, Units, Verb};
use axlestand_model::CarState;
use std::collections::BTreeSet;

impl Walk<'_> {
    /// Items of which the ledger does not say that they are not ready, although they are not.
    pub(crate) fn unknown(&mut self) -> Vec<(ItemId, String)> {
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

    /// The operation that brings the car to where it is, where the ledger says otherwise.
    pub(crate) fn stands_otherwise(&mut self) -> Option<Action> {
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
    pub(crate) fn look_at_the_gate(&mut self, when: &str) {
        let waits = !self.shop.garage.waiting().unwrap().is_empty();
        let is_open = |at: usize| {
            let kept = &self.shop.deeds[at];
            kept.on.is_some() || kept.answered.is_some() || !self.shop.is_settled(at)
        };
        if self.stop || waits || (0..self.shop.deeds.len()).any(is_open) {
            return;
        }
        self.told.looks += 1;
        if let Some(action) = self.stands_otherwise() {
            self.fail(&format!("{when}: nobody was told of {action}"));
        }
        let hanging = self.shop.world.hanging(&self.shop.car);
        if !hanging.is_empty() && check_lowering(&self.shop.garage.job().unwrap()).clear {
            self.fail(&format!("{when}: it may come down with {hanging:?}"));
        }
        let not_rolled = self.shop.world.not_to_be_rolled(&self.shop.car);
        let view = next(&self.shop.garage.job().unwrap(), 1, Units::default()).unwrap();
        if !not_rolled.is_empty() && view.do_not_roll.is_none() {
            self.fail(&format!("{when}: it may be rolled with {not_rolled:?}"));
        }
        let unknown = self.unknown();
        if !unknown.is_empty() {
            self.fail(&format!("{when}: nobody was told of {unknown:?}"));
        }
    }

    /// Where the ledger says otherwise than the car is.
    pub(crate) fn differs(&mut self) -> Vec<(ItemId, Option<Is>)> {
        let state = self.shop.garage.job().unwrap().state;
        let world = &self.shop.world;
        let car = &self.shop.car;
        let is_final_when_seated =
            |item: &ItemId| car.fastener(item).is_none_or(|fastener| fastener.torque.is_none());
        let mut differs = Vec::new();
        for (item, is) in &world.holds {
            let says = match state.hold(item).stage {
                // As found it has its lock.
                FastenerStage::InPlace if World::is_locked_apart(car, item) => Is::Locked,
                FastenerStage::InPlace | FastenerStage::AtFinal => Is::Tight,
                FastenerStage::BrokenLoose => Is::Loose,
                FastenerStage::Out => Is::Out,
                // Hand-tight is final where no torque is asked for.
                FastenerStage::Seated if is_final_when_seated(item) => Is::Tight,
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

    /// Whether the ledger has the car as it is, as far as that matters.
    pub(crate) fn tells_how_it_is(&mut self) -> bool {
        let broken = self.shop.world.broken.clone();
        self.differs().is_empty()
            && self.stands_otherwise().is_none()
            && broken.iter().all(|item| self.is_known_broken(item))
    }

    pub(crate) fn is_known_broken(&mut self, item: &ItemId) -> bool {
        let state = self.shop.garage.job().unwrap().state;
        let is_part = self.shop.car.part(item).is_some();
        if is_part { state.part(item).broken } else { state.hold(item).broken }
    }

    /// Follows the rows that are offered, to the end.
    pub(crate) fn go_on_soberly(&mut self) {
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
