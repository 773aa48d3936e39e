//! Actions: the smallest things that a plan orders and a ledger records.

use axlestand_model::ItemId;

/// What is done to an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verb {
    /// An operation of the car is carried out.
    Do,
    /// A reading is taken for the first time.
    Read,
    /// A fastener is broken loose, staying in its thread.
    Loosen,
    /// A fastener is taken out, a connection undone.
    Undo,
    /// A part is taken off.
    Off,
    /// Another way is gone to free something.
    Way,
    /// A part is put on.
    On,
    /// A fastener is put in and seated, and brought to its final torque where that is due at once;
    /// a connection is made.
    Fit,
    /// A seated fastener is brought to its final torque.
    Final,
    /// A fastener at its final torque is locked.
    Lock,
    /// A reading is taken again at the end.
    Again,
}

impl Verb {
    /// Every verb.
    pub const ALL: [Self; 11] = [
        Self::Do,
        Self::Read,
        Self::Loosen,
        Self::Undo,
        Self::Off,
        Self::Way,
        Self::On,
        Self::Fit,
        Self::Final,
        Self::Lock,
        Self::Again,
    ];

    /// The word in commands and files.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Do => "do",
            Self::Read => "read",
            Self::Loosen => "loosen",
            Self::Undo => "undo",
            Self::Off => "off",
            Self::Way => "way",
            Self::On => "on",
            Self::Fit => "fit",
            Self::Final => "final",
            Self::Lock => "lock",
            Self::Again => "again",
        }
    }

    /// Whether it takes the car apart (or gets ready to), rather than putting it together.
    #[must_use]
    pub fn takes_apart(self) -> bool {
        matches!(self, Self::Read | Self::Loosen | Self::Undo | Self::Off | Self::Way)
    }
}

/// A verb with the item it is done to, written `undo:arm-front-bolt.left`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Action {
    /// What is done.
    pub verb: Verb,
    /// To what.
    pub item: ItemId,
}

/// Text that is no action.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("'{0}' is no action; write one like 'undo:arm-front-bolt.left'")]
pub struct ParseActionError(pub String);

impl Action {
    /// An action.
    #[must_use]
    pub fn new(verb: Verb, item: &ItemId) -> Self {
        Self { verb, item: item.clone() }
    }

    /// Reads an action in its full form; whether the item exists is not asked.
    ///
    /// # Errors
    /// [`ParseActionError`] where there is no known verb before a colon.
    pub fn parse(text: &str) -> Result<Self, ParseActionError> {
        let (verb, item) = text.split_once(':').ok_or_else(|| ParseActionError(text.to_owned()))?;
        let verb = Verb::ALL
            .into_iter()
            .find(|v| v.word() == verb)
            .ok_or_else(|| ParseActionError(text.to_owned()))?;
        if item.is_empty() {
            return Err(ParseActionError(text.to_owned()));
        }
        Ok(Self { verb, item: ItemId::from_text(item) })
    }
}

impl std::fmt::Display for Action {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&format!("{}:{}", self.verb.word(), self.item))
    }
}
