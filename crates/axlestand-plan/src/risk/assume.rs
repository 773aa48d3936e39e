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
        name: String,
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
    /// The value of that name; 0 for a name that is not in the table, which a test rules out for every name
    /// that stands in the code.
    #[must_use]
    pub fn of(&self, name: &str) -> f64 {
        self.table.get(name).map_or(0.0, |assumption| assumption.value)
    }

    /// Whether the owner stated any, chances of being stuck among them.
    #[must_use]
    pub fn any_stated(&self) -> bool {
        !self.chances.is_empty() || self.table.values().any(|assumption| assumption.stated)
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
                let name = name.to_owned();
                return Err(NoAssumption::OutOfRange { name, value, low: 0.0, high: 1.0, what });
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
            let (name, what) = (name.to_owned(), assumption.what);
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

#[cfg(test)]
mod tests {
    use super::Assumptions;
    use axlestand_model::Exposure;
    use std::path::Path;

    /// A mistyped name would count as nought without a word.
    #[test]
    fn every_name_that_the_code_asks_is_in_the_table() {
        let table = Assumptions::default();
        let known = |name: &str| table.iter().any(|one| one.name == name);
        let mut asked = 0;
        for entry in std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/risk")).unwrap() {
            let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
            for rest in text.split("assumptions.of(\"").skip(1) {
                let name = rest.split('"').next().unwrap();
                assert!(known(name), "{name}");
                asked += 1;
            }
        }
        assert!(asked > 10, "the code asks by name: {asked}");
        for exposure in Exposure::ALL {
            assert!(known(&format!("breaks_{}", exposure.word())), "{}", exposure.word());
        }
    }

    /// The name in the message is the one that has to be mended in the file.
    #[test]
    fn what_is_out_of_range_is_named_as_it_is_typed() {
        for (name, value) in [("stuck_spray", 1.5), ("soak", 4.0)] {
            let why = Assumptions::default().state(name, value).unwrap_err().to_string();
            assert!(why.starts_with(&format!("{name} goes from ")), "{why}");
        }
    }
}
