//! Entries that their maker took back on the phone before it knew them sent.
//!
//! A phone without an answer cannot tell whether an entry arrived. So it does not just forget what was
//! taken back: it sends it marked, and the garage sees to it that nothing of it stands, whichever of the
//! two came first, however often.

use super::queue::derived;
use super::{Command, Delivered, Delivery};
use crate::error::GarageError;
use crate::job::Garage;

/// The reason that the ledger gives.
const REASON: &str = "taken back on the phone before it knew it was sent";

impl Garage {
    /// Sees to it that nothing of a delivery stands: one that never came is not recorded later either;
    /// what it recorded is taken back by further entries, once. Gives the refusal where later entries
    /// need it; that waits to be looked at.
    ///
    /// # Errors
    /// As [`Garage::deliver`].
    pub(super) fn take_back_delivery(
        &mut self,
        delivery: &Delivery,
    ) -> Result<Option<Delivered>, GarageError> {
        let stamp = self.stamp(delivery)?;
        let Some(before) = self.came_before(&stamp)? else {
            let job = self.current_job()?;
            self.store.keep_agreed(&job, &stamp, "")?;
            return Ok(None);
        };
        if before.refusal.is_some() {
            return match self.looked_at(&stamp.id) {
                // Somebody looked at it already.
                Err(GarageError::Selection(_)) | Ok(()) => Ok(None),
                Err(why) => Err(why),
            };
        }
        if before.entries.is_empty() {
            // It was left aside: it speaks of nothing any more.
            let now = self.clock.now();
            self.store.keep_void(&stamp.id, &now)?;
        }
        for entry in before.entries.iter().rev() {
            if !self.is_of_a_person(entry)? {
                continue;
            }
            let command = Command::TakeBack { entry: Some(entry.clone()), reason: Some(REASON.to_owned()) };
            let id = derived(&format!("{}<{entry}", stamp.id));
            let told = self.deliver(&Delivery { id, command, ..delivery.clone() })?;
            if told.refusal.is_some() {
                return Ok(Some(told));
            }
        }
        Ok(None)
    }

    /// Whether an entry says what a person did: plans and changed vehicle files stand beside it.
    fn is_of_a_person(&mut self, id: &str) -> Result<bool, GarageError> {
        let job = self.job()?;
        let entry = job.state.entries.iter().find(|entry| entry.id == *id);
        Ok(entry.is_some_and(|entry| !entry.event.sets_up()))
    }
}
