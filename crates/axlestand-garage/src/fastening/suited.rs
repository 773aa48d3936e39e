//! Whether the thread or taper in hand is in the condition that its specification is for.

use super::subject::Subject;
use super::surface::Surface;
use axlestand_fastener::conversion::Lubricate;
use axlestand_fastener::{Condition, Place};
use axlestand_ledger::{Action, Details, Obstacle, Verb};
use axlestand_model::car::{Car, Fastener, Item};
use axlestand_model::{Condition as Stated, Joint};

/// Why the stated condition keeps a fastener or taper from being fitted or tightened. A torque holds for
/// its thread condition and those that count as it by the friction table; another one needs a source of
/// its own. Where no life hangs on a fastener, only rust is refused.
pub(crate) fn unsuited(car: &Car, action: &Action, details: &Details) -> Option<Obstacle> {
    let word = details.condition.as_deref()?;
    let text = match (action.verb, car.item(&action.item)?) {
        (Verb::Fit | Verb::Final, Item::Fastener(fastener)) => {
            let surface = Surface::typed(word, fastener.lock).ok()?;
            off_the_specification(car, fastener, surface, details.source.is_some())?
        }
        (Verb::Fit, Item::Connection(taper)) if taper.joint == Joint::Taper => {
            off_a_taper(Surface::typed(word, axlestand_model::Lock::None).ok()?)?
        }
        _ => return None,
    };
    Some(Obstacle { text, first: None })
}

fn off_the_specification(car: &Car, fastener: &Fastener, is: Surface, allowed: bool) -> Option<String> {
    if is == Surface::Known(Condition::Rusty) {
        return Some(
            "no torque holds for a rusty thread: clean it first (wire brush, thread file, die) or take a new one, then say what it is like"
                .to_owned(),
        );
    }
    if !fastener.critical || allowed {
        return None;
    }
    let Some(stated) = fastener.torque.as_ref()?.condition else { return off_a_dry_place(car, fastener, is) };
    let wanted = Surface::stated(stated, fastener.lock);
    let counts = match (is.known(), wanted.known()) {
        (Some(is), Some(wanted)) => is.counts_as(wanted),
        _ => is == wanted,
    };
    if counts {
        return None;
    }
    Some(format!(
        "its value holds for a thread that is {}, not {}: {}, or give the --source that allows it",
        stated.phrase(),
        is.phrase(),
        way_to(stated, is)
    ))
}

/// What brings a thread to the specified condition.
fn way_to(wanted: Stated, is: Surface) -> &'static str {
    match wanted {
        Stated::Dry if is.known().is_some_and(can_be_cleaned_off) => "clean it",
        Stated::Oiled => "clean and oil it",
        Stated::AntiSeize => "clean it and put anti-seize on",
        Stated::ThreadLocker => "clean it and put thread locker on",
        Stated::Dry | Stated::AsSupplied => "fit one that is",
    }
}

fn can_be_cleaned_off(condition: Condition) -> bool {
    condition.is_lubricated() || condition == Condition::ThreadLocker
}

/// A place that holds by dry friction, though its value names no thread condition.
fn off_a_dry_place(car: &Car, fastener: &Fastener, is: Surface) -> Option<String> {
    let place = Subject::of(car, fastener).place;
    let greased = is.known().is_some_and(Condition::is_lubricated);
    (greased && place.lubricate() == Lubricate::Never).then(|| {
        format!(
            "it is {}, and {}: clean it, or give the --source that allows it",
            is.phrase(),
            place.reason()
        )
    })
}

/// What is on a taper that has to be clean and dry.
fn off_a_taper(is: Surface) -> Option<String> {
    let dry = is.known().is_none_or(Condition::is_dry);
    (!dry).then(|| {
        format!("the taper is {}, and {}: clean and dry it first", is.phrase(), Place::Taper.reason())
    })
}
