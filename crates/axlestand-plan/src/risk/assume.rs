//! What a forecast assumes: data with provenance, every value the owner's to change.

use axlestand_model::Exposure;
use std::collections::BTreeMap;

/// The table, source id AX-30: judgement, no measurement behind it.
const TABLE: &str = include_str!("../../../../data/forecast.csv");

/// One assumption.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumption {
    /// Its name in the table and in the owner's file.
    pub name: &'static str,
    /// Its value, in the unit that `what` says (minutes, days, a chance from 0 to 1, else a plain ratio).
    pub value: f64,
    /// The lowest and highest value that make sense, in the same unit.
    pub range: (f64, f64),
    /// What it is.
    pub what: &'static str,
    /// Whether the owner stated it; else it is typical.
    pub stated: bool,
}

/// All assumptions by name; the chances of being stuck of exposure classes are those of [`crate::stuck_chance`]
/// unless the owner states one.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumptions {
    table: BTreeMap<&'static str, Assumption>,
    chances: BTreeMap<&'static str, f64>,
}

/// Why an assumption cannot be taken over.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoAssumption {
    /// There is none of that name.
    #[error("'{name}' is no assumption of a forecast; they are: {known}")]
    Unknown {
        /// The name.
        name: String,
        /// All names.
        known: String,
    },
    /// It is out of its range.
    #[error("{name} goes from {low} to {high}, not {value}: {what}")]
    OutOfRange {
        /// The name.
        name: &'static str,
        /// The value.
        value: f64,
        /// The lowest value.
        low: f64,
        /// The highest value.
        high: f64,
        /// What it is.
        what: &'static str,
    },
}

impl Default for Assumptions {
    fn default() -> Self {
        let rows = TABLE.lines().filter(|line| !line.starts_with('#')).skip(1);
        let read = |line: &'static str| {
            let mut cells = line.splitn(6, ',');
            let name = cells.next()?;
            let (value, low, high) =
                (cells.next()?.parse().ok()?, cells.next()?.parse().ok()?, cells.next()?.parse().ok()?);
            let what = cells.nth(1)?;
            Some((name, Assumption { name, value, range: (low, high), what, stated: false }))
        };
        Self { table: rows.filter_map(read).collect(), chances: BTreeMap::new() }
    }
}

impl Assumptions {
    /// The value of that name; 0 for a name that is not in the table.
    #[must_use]
    pub fn of(&self, name: &str) -> f64 {
        self.table.get(name).map_or(0.0, |assumption| assumption.value)
    }

    /// Every assumption, by name.
    pub fn iter(&self) -> impl Iterator<Item = &Assumption> {
        self.table.values()
    }

    /// Takes over what the owner states.
    ///
    /// # Errors
    /// [`NoAssumption`] for an unknown name or a value that makes no sense.
    pub fn state(&mut self, name: &str, value: f64) -> Result<(), NoAssumption> {
        if let Some(exposure) = name.strip_prefix("stuck_").and_then(|word| named(word)) {
            if !(0.0..=1.0).contains(&value) {
                let what = "chance of being stuck, 0 to 1";
                return Err(NoAssumption::OutOfRange { name: exposure, value, low: 0.0, high: 1.0, what });
            }
            self.chances.insert(exposure, value);
            return Ok(());
        }
        let known = || {
            let chances = Exposure::ALL.iter().map(|exposure| format!("stuck_{}", exposure.word()));
            self.table.keys().map(|name| (*name).to_owned()).chain(chances).collect::<Vec<_>>().join(", ")
        };
        let Some(assumption) = self.table.get(name) else {
            return Err(NoAssumption::Unknown { name: name.to_owned(), known: known() });
        };
        let (low, high) = assumption.range;
        if !(low..=high).contains(&value) {
            let Assumption { name, what, .. } = *assumption;
            return Err(NoAssumption::OutOfRange { name, value, low, high, what });
        }
        if let Some(assumption) = self.table.get_mut(name) {
            (assumption.value, assumption.stated) = (value, true);
        }
        Ok(())
    }

    /// The chance of an exposure class before anything was seen on this car.
    #[must_use]
    pub fn stuck(&self, exposure: Exposure, rust: u8) -> f64 {
        self.chances
            .get(exposure.word())
            .copied()
            .unwrap_or_else(|| crate::odds::stuck_chance(exposure, rust))
    }

    /// The chance that what is stuck and forced breaks.
    #[must_use]
    pub fn breaks(&self, exposure: Exposure) -> f64 {
        self.of(&format!("breaks_{}", exposure.word()))
    }
}

fn named(word: &str) -> Option<&'static str> {
    Exposure::ALL.iter().map(|exposure| exposure.word()).find(|known| *known == word)
}
