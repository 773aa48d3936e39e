//! Two devices that say different things of the same item within seconds. How long a delivery was on its
//! way is not known: the one that arrived first may have been made last. Both are kept, the one that
//! arrived later counts, and a person is told.

use super::Answer;
use super::conflict::person_like;
use crate::clock::seconds;
use crate::error::GarageError;
use crate::job::Garage;
use crate::store::Stamp;
use crate::views::in_words;
use axlestand_ledger::{Entry, Event};

/// How long a delivery may be on its way, s. A judgement: a phone gives up and sends again after longer.
const ON_ITS_WAY: i64 = 5;

impl Garage {
    /// That another device recorded work on the same item seconds before what was just recorded.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub(super) fn crossing(
        &self,
        job: &str,
        stamp: &Stamp,
        answer: &Answer,
    ) -> Result<Option<String>, GarageError> {
        let counting: Vec<&Entry> = answer.job.state.counting_entries().collect();
        for (at, now) in counting.iter().enumerate().filter(|(_, entry)| answer.entries.contains(&entry.id)) {
            let Some(before) = counting.iter().take(at).rev().find(|before| is_of_same_item(before, now))
            else {
                continue;
            };
            if (seconds(&now.at) - seconds(&before.at)).abs() > ON_ITS_WAY {
                continue;
            }
            let Some(sender) = self.store.sender_of(job, &before.id)? else { continue };
            if is_of_same_queue(&sender, &stamp.device) {
                continue;
            }
            return Ok(Some(format!(
                "two devices within seconds: '{}' from {}, then '{}' from {}. Both are kept and what arrived last counts; where that was not done last, take it back in the ledger",
                in_words(&answer.job, &before.event),
                person_like(&sender),
                in_words(&answer.job, &now.event),
                person_like(&stamp.device),
            )));
        }
        Ok(None)
    }
}

/// One browser, whichever way its queue was delivered.
pub(super) fn is_of_same_queue(one: &str, other: &str) -> bool {
    let queue = |device: &str| device.split_once('/').map(|(_, queue)| queue.to_owned());
    one == other || queue(one).is_some_and(|queue_of_one| queue(other) == Some(queue_of_one))
}

fn is_of_same_item(before: &Entry, now: &Entry) -> bool {
    match (&before.event, &now.event) {
        (Event::Done { action: one, .. }, Event::Done { action: other, .. }) => one.item == other.item,
        _ => false,
    }
}
