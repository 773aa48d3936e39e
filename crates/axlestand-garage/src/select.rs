//! What a person means by a number, a name or the beginning of a name.

use crate::error::GarageError;
use crate::job::Job;
use axlestand_ledger::{Action, FastenerStage, RowStatus, Verb, row_status};
use axlestand_model::ItemId;
use axlestand_model::car::{Car, Item};

/// The actions meant by what was typed: row numbers (`12`), runs of rows (`12-15`), actions
/// (`undo:arm-front-bolt.left`, also shortened), or an item, whose next action is meant.
///
/// # Errors
/// [`GarageError::Selection`] and [`GarageError::Name`], with what could be meant.
pub(crate) fn actions(job: &Job, typed: &str) -> Result<Vec<Action>, GarageError> {
    let typed = typed.trim();
    if let Some((first, last)) = run_of_rows(typed) {
        if first > last {
            return Err(GarageError::Selection(format!(
                "'{typed}' is no run of rows; write the lower number first"
            )));
        }
        // Both ends are looked at first, so that a run never grows longer than the plan.
        row(job, first)?;
        row(job, last)?;
        return (first..=last).map(|number| row(job, number)).collect();
    }
    if let Some((verb, item)) = typed.split_once(':') {
        let verb = verb_of(verb)?;
        let ids = job.car.resolve(item)?;
        let fit: Vec<ItemId> = ids.iter().filter(|id| applies(&job.car, verb, id)).cloned().collect();
        return Ok(vec![Action::new(verb, &one(typed, if fit.is_empty() { ids } else { fit })?)]);
    }
    if typed.is_empty() || typed.starts_with(|sign: char| sign.is_ascii_digit()) {
        return Err(no_row(job, typed));
    }
    let id = item(job, typed)?;
    Ok(vec![next_action(job, &id)])
}

/// The item meant by a row number, a name or its beginning. Where both sides are meant, the one
/// whose row comes next in the plan is not guessed: the side has to be said.
///
/// # Errors
/// [`GarageError::Selection`] and [`GarageError::Name`].
pub(crate) fn item(job: &Job, typed: &str) -> Result<ItemId, GarageError> {
    if let Ok(number) = typed.trim().parse::<u32>() {
        return Ok(row(job, number)?.item);
    }
    let name = typed.split_once(':').map_or(typed, |(_, item)| item);
    one(typed, job.car.resolve(name)?)
}

fn one(typed: &str, mut ids: Vec<ItemId>) -> Result<ItemId, GarageError> {
    match ids.len() {
        1 => Ok(ids.remove(0)),
        0 => Err(GarageError::Selection(format!("this car has nothing called '{typed}'"))),
        _ => {
            let names: Vec<_> = ids.iter().map(ToString::to_string).collect();
            Err(GarageError::Selection(format!(
                "'{typed}' is there more than once: say {}",
                names.join(" or ")
            )))
        }
    }
}

fn run_of_rows(typed: &str) -> Option<(u32, u32)> {
    match typed.split_once('-') {
        Some((first, last)) => Some((first.trim().parse().ok()?, last.trim().parse().ok()?)),
        None => typed.parse().ok().map(|number| (number, number)),
    }
}

fn row(job: &Job, number: u32) -> Result<Action, GarageError> {
    job.state.rows.get(&number).cloned().ok_or_else(|| no_row(job, &number.to_string()))
}

fn no_row(job: &Job, typed: &str) -> GarageError {
    let last = job.state.rows.keys().last().copied().unwrap_or(0);
    GarageError::Selection(format!("there is no row '{typed}'; this job has rows 1 to {last}"))
}

fn verb_of(typed: &str) -> Result<Verb, GarageError> {
    let fits: Vec<Verb> = Verb::ALL.into_iter().filter(|verb| verb.word() == typed).collect();
    let fits = if fits.is_empty() && !typed.is_empty() {
        Verb::ALL.into_iter().filter(|verb| verb.word().starts_with(typed)).collect()
    } else {
        fits
    };
    match fits.as_slice() {
        [verb] => Ok(*verb),
        [first, second, ..] => Err(GarageError::Selection(format!(
            "'{typed}' may mean {} or {}: type one more letter",
            first.word(),
            second.word()
        ))),
        [] => {
            let words: Vec<_> = Verb::ALL.iter().map(|verb| verb.word()).collect();
            Err(GarageError::Selection(format!("'{typed}' is no action; there are {}", words.join(", "))))
        }
    }
}

/// Whether a verb makes sense for an item at all.
fn applies(car: &Car, verb: Verb, id: &ItemId) -> bool {
    match car.item(id) {
        Some(Item::Part(_)) => matches!(verb, Verb::Off | Verb::On),
        Some(Item::Fastener(_)) => {
            matches!(verb, Verb::Loosen | Verb::Undo | Verb::Fit | Verb::Final | Verb::Lock)
        }
        Some(Item::Connection(_)) => matches!(verb, Verb::Undo | Verb::Fit),
        Some(Item::Operation(_)) => verb == Verb::Do,
        Some(Item::Way(_)) => verb == Verb::Way,
        Some(Item::Reading(_)) => matches!(verb, Verb::Read | Verb::Again),
        _ => false,
    }
}

/// The next thing to do to an item: its first pending row, else what its state suggests.
fn next_action(job: &Job, id: &ItemId) -> Action {
    let pending = job.rows().find(|(_, action)| {
        action.item == *id && row_status(&job.car, &job.state, action) == RowStatus::Pending
    });
    if let Some((_, action)) = pending {
        return action.clone();
    }
    let verb = match job.car.item(id) {
        Some(Item::Part(_)) if job.state.part(id).off => Verb::On,
        Some(Item::Part(_)) => Verb::Off,
        Some(Item::Operation(_)) => Verb::Do,
        Some(Item::Way(_)) => Verb::Way,
        Some(Item::Reading(_)) => Verb::Read,
        _ => match job.state.hold(id).stage {
            FastenerStage::InPlace | FastenerStage::BrokenLoose => Verb::Undo,
            FastenerStage::Out | FastenerStage::InByHand => Verb::Fit,
            FastenerStage::Seated => Verb::Final,
            FastenerStage::AtFinal => Verb::Lock,
            FastenerStage::Locked => Verb::Undo,
        },
    };
    Action::new(verb, id)
}
