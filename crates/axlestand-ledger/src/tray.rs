//! Places in the tray: every fastener that comes out gets one, look-alikes apart.

use crate::event::FastenerStage;
use crate::state::JobState;
use axlestand_model::ItemId;
use axlestand_model::car::{Car, Fastener};

/// Fasteners of this car that are easily taken for this one, in the order of the file.
#[must_use]
pub fn look_alikes<'a>(car: &'a Car, fastener: &'a Fastener) -> Vec<&'a Fastener> {
    car.fasteners.iter().filter(|other| fastener.looks_like(other)).collect()
}

/// The next free place for a fastener: the lowest one whose neighbours hold no look-alike.
pub(crate) fn free_place(car: &Car, state: &JobState, fastener: &Fastener) -> u32 {
    let taken = |place: u32| -> Option<&ItemId> {
        state
            .holds
            .iter()
            .find(|(id, hold)| {
                *id != &fastener.id && hold.tray == Some(place) && hold.stage == FastenerStage::Out
            })
            .map(|(id, _)| id)
    };
    let alike = |place: u32| {
        taken(place).and_then(|id| car.fastener(id)).is_some_and(|neighbour| fastener.looks_like(neighbour))
    };
    // One more place than fasteners, times the two that a look-alike can spoil, always holds one.
    let most = u32::try_from(car.fasteners.len()).unwrap_or(u32::MAX / 4).saturating_mul(3).saturating_add(1);
    (1..=most)
        .find(|&place| taken(place).is_none() && !alike(place + 1) && !(place > 1 && alike(place - 1)))
        .unwrap_or(most)
}

/// The fastener that lies in a place.
pub(crate) fn lies_in(state: &JobState, place: u32) -> Option<ItemId> {
    state
        .holds
        .iter()
        .find(|(_, hold)| hold.tray == Some(place) && hold.stage == FastenerStage::Out)
        .map(|(id, _)| id.clone())
}
