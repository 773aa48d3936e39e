//! The thread and what is on it: the car's words as the numeric crate's conditions.

use axlestand_fastener::friction::Evidence;
use axlestand_fastener::{Condition, FrictionRange, Interval};
use axlestand_model::Condition as Stated;
use axlestand_model::Lock;

/// What is on a thread and under its head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Surface {
    /// One of the conditions with published friction.
    Known(Condition),
    /// Whatever coating the new fastener came with.
    Coating,
}

impl Surface {
    /// The condition a vehicle file states for a specification.
    pub(crate) fn stated(condition: Stated, lock: Lock) -> Self {
        match (condition, lock) {
            (Stated::Dry, _) => Self::Known(Condition::AsSupplied),
            (Stated::Oiled, _) => Self::Known(Condition::Oiled),
            (Stated::AntiSeize, _) => Self::Known(Condition::CopperPaste),
            (Stated::ThreadLocker, _) => Self::Known(Condition::ThreadLocker),
            (Stated::AsSupplied, Lock::ThreadLocker) => Self::Known(Condition::PreCoated),
            (Stated::AsSupplied, _) => Self::Coating,
        }
    }

    /// The condition a person typed: a word of the vehicle file or of the trade.
    pub(crate) fn typed(text: &str, lock: Lock) -> Result<Self, String> {
        match Stated::from_word(text.trim()) {
            Some(stated) => Ok(Self::stated(stated, lock)),
            None => Condition::parse(text).map(Self::Known).map_err(|why| why.to_string()),
        }
    }

    /// What is published on its friction.
    pub(crate) fn friction(self) -> Result<FrictionRange, String> {
        match self {
            Self::Known(condition) => condition.friction().map_err(|why| why.to_string()),
            Self::Coating => unknown_coating(),
        }
    }

    /// The condition as it is said to people.
    pub(crate) fn phrase(self) -> String {
        match self {
            Self::Known(Condition::AsSupplied) => "dry".to_owned(),
            Self::Known(Condition::CopperPaste) => "with anti-seize".to_owned(),
            Self::Known(condition) => condition.to_string(),
            Self::Coating => "as supplied".to_owned(),
        }
    }

    /// The condition of the numeric crate, where there is one.
    pub(crate) fn known(self) -> Option<Condition> {
        match self {
            Self::Known(condition) => Some(condition),
            Self::Coating => None,
        }
    }
}

/// The word under which a typed condition is recorded.
///
/// # Errors
/// A sentence with the words that are known.
pub fn condition_word(text: &str) -> Result<String, String> {
    match Stated::from_word(text.trim()) {
        Some(stated) => Ok(stated.word().to_owned()),
        None => match Condition::parse(text) {
            // Their own words mean something else in a vehicle file, or the same under another one.
            Ok(condition @ (Condition::AsSupplied | Condition::CopperPaste)) => {
                Ok(condition.trade_word().to_owned())
            }
            Ok(condition) => Ok(condition.slug().to_owned()),
            Err(why) => Err(format!("{why}, {}", Stated::AsSupplied.word())),
        },
    }
}

/// From the slippery end of lubricated coatings to the dry end of bare ones: nobody says which
/// coating it is.
fn unknown_coating() -> Result<FrictionRange, String> {
    let range = |condition: Condition| condition.friction().map_err(|why| why.to_string());
    let (slippery, dry) =
        (range(Condition::LubricatedCoating)?.coefficient, range(Condition::AsSupplied)?.coefficient);
    let middle = dry.low().min(slippery.high());
    let coefficient = Interval::new(slippery.low(), middle, dry.high())
        .ok_or_else(|| "the friction table is out of order".to_owned())?;
    Ok(FrictionRange { condition: Condition::AsSupplied, coefficient, evidence: Evidence::Weak })
}
