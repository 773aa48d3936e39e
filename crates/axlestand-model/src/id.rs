//! Names of items.

use crate::words::Hand;

/// The name of one item of a car: lower-case words joined with hyphens, and for an item that
/// stands on one side a dot with the side behind it: `gear-oil`, `control-arm.left`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemId(String);

impl ItemId {
    /// The item `base` of one side, or the only one where `side` is `None`.
    #[must_use]
    pub fn new(base: &str, side: Option<Hand>) -> Self {
        match side {
            Some(hand) => Self(format!("{base}.{}", hand.word())),
            None => Self(base.to_owned()),
        }
    }

    /// Takes a complete name as it was stored or typed, without checking that such an item exists.
    #[must_use]
    pub fn from_text(text: &str) -> Self {
        Self(text.to_owned())
    }

    /// The whole name.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The name without its side.
    #[must_use]
    pub fn base(&self) -> &str {
        self.0.split_once('.').map_or(self.0.as_str(), |(base, _)| base)
    }

    /// The side, for an item that stands on one.
    #[must_use]
    pub fn side(&self) -> Option<Hand> {
        self.0.split_once('.').and_then(|(_, side)| Hand::from_word(side))
    }

    /// The same item on the other side of the car.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        match self.side() {
            Some(Hand::Left) => Self::new(self.base(), Some(Hand::Right)),
            Some(Hand::Right) => Self::new(self.base(), Some(Hand::Left)),
            None => self.clone(),
        }
    }
}

impl std::fmt::Display for ItemId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&self.0)
    }
}

/// Most characters of a name in a file.
pub(crate) const LONGEST: usize = 48;

/// Whether `text` may name an item in a file: lower-case letters and digits in words joined with
/// single hyphens, beginning with a letter, at most 48 characters.
#[must_use]
pub fn is_well_formed(text: &str) -> bool {
    text.len() <= LONGEST
        && text.starts_with(|c: char| c.is_ascii_lowercase())
        && text.split('-').all(|word| {
            !word.is_empty() && word.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit())
        })
}
