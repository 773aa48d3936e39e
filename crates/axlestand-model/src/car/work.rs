//! What every piece of work has: a place, a car state, minutes, tools, cautions.

use crate::id::ItemId;
use crate::words::{CarState, Place};

/// Minutes for a piece of work, one way and back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Minutes {
    /// Taking apart when nothing is stuck.
    pub clean: f64,
    /// Taking apart when it is stuck; at least `clean`.
    pub stuck: f64,
    /// Putting it back.
    pub back: f64,
}

impl Minutes {
    /// Expected minutes of undoing when the chance of being stuck is `chance` (0 to 1).
    #[must_use]
    pub fn expected(self, chance: f64) -> f64 {
        self.clean + chance * (self.stuck - self.clean)
    }
}

/// A consumable or a part needed for a piece of work.
#[derive(Debug, Clone, PartialEq)]
pub struct Use {
    /// What: "split pin 3.2 × 32".
    pub item: String,
    /// How much, in `unit`.
    pub amount: f64,
    /// Its unit; empty for pieces.
    pub unit: String,
}

/// What every piece of work has.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// Where the hands are.
    pub place: Place,
    /// In which car state it can be done; `None`: in any.
    pub state: Option<CarState>,
    /// What must be undone, off or done before this can be reached.
    pub after: Vec<ItemId>,
    /// Minutes.
    pub minutes: Minutes,
    /// Chance of being stuck that the owner states; else it comes from exposure and rust grade.
    pub stuck_chance: Option<f64>,
    /// Hands needed: 1, or 2 for a helper.
    pub people: u32,
    /// Tools besides those that drive and torque imply.
    pub tools: Vec<String>,
    /// Consumables.
    pub uses: Vec<Use>,
    /// The caution to show before the step; for a hold or part, before taking it apart.
    pub caution: Option<String>,
    /// The caution to show before putting it back; `None`: the same one.
    pub caution_back: Option<String>,
    /// Tools for putting it back; `None`: the same ones.
    pub tools_back: Option<Vec<String>>,
}

impl Work {
    /// The tools for putting it back (`back`) or for taking it apart.
    #[must_use]
    pub fn tools_for(&self, back: bool) -> &[String] {
        self.tools_back.as_deref().filter(|_| back).unwrap_or(&self.tools)
    }
}
