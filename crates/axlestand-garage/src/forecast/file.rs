//! The forecast file: what the owner states of hours, prices and assumptions.

use super::week::Hours;
use crate::error::GarageError;
use crate::job::{Job, read_text};
use axlestand_plan::risk::{Assumptions, Market, RiskJob, Terms, Thing};
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::Path;

/// Its name in the garage's folder.
pub const FORECAST_FILE: &str = "forecast.toml";

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct File {
    #[serde(default)]
    sessions: Vec<String>,
    #[serde(default)]
    shops: Vec<String>,
    currency: Option<String>,
    stranded_day: Option<f64>,
    trip: Option<f64>,
    #[serde(default)]
    assume: BTreeMap<String, f64>,
    /// Where stated assumptions come from, by their names.
    #[serde(default)]
    from: BTreeMap<String, String>,
    #[serde(default)]
    thing: Vec<ThingEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct ThingEntry {
    item: String,
    price: Option<f64>,
    lead_days: Option<f64>,
    restocking: Option<f64>,
    #[serde(default)]
    have: usize,
}

/// What the owner stated.
#[derive(Debug, Clone, Default)]
pub(crate) struct Stated {
    pub(crate) sessions: Vec<Hours>,
    pub(crate) session_texts: Vec<String>,
    pub(crate) shops: Vec<Hours>,
    pub(crate) currency: String,
    pub(crate) assumptions: Assumptions,
    pub(crate) market: Market,
    /// Where stated assumptions come from, by their names.
    pub(crate) from: BTreeMap<String, String>,
    lead_days: BTreeMap<String, f64>,
    have: BTreeMap<String, usize>,
    items: BTreeSet<String>,
}

impl Stated {
    /// Reads a forecast file.
    ///
    /// # Errors
    /// [`GarageError`] where it cannot be read, with the place and what is wrong.
    pub(crate) fn read(path: &Path) -> Result<Self, GarageError> {
        let text = read_text(path)?;
        Self::of_text(&text).map_err(|why| {
            GarageError::Input(format!("the forecast file {} is not understood: {why}", path.display()))
        })
    }

    /// What is stated in a job's garage. A file that is not understood stops no work: then nothing is
    /// stated, and why is said.
    pub(super) fn of_job(job: &Job) -> (Self, Option<String>) {
        match job.forecast_file.as_deref().filter(|path| path.exists()).map(Self::read) {
            Some(Ok(stated)) => (stated, None),
            Some(Err(why)) => (Self::default(), Some(format!("{why}; typical assumptions stand in for it"))),
            None => (Self::default(), None),
        }
    }

    pub(super) fn of_text(text: &str) -> Result<Self, String> {
        let file: File = toml::from_str(text).map_err(|why| why.to_string())?;
        let hours = |list: &[String], what: &str| -> Result<Vec<Hours>, String> {
            list.iter().map(|text| Hours::read(text).map_err(|why| format!("{what}: {why}"))).collect()
        };
        let mut stated = Self {
            sessions: hours(&file.sessions, "sessions")?,
            session_texts: file.sessions.clone(),
            shops: hours(&file.shops, "shops")?,
            currency: file.currency.unwrap_or_default(),
            from: file.from,
            ..Self::default()
        };
        for (name, value) in &file.assume {
            stated.assumptions.state(name, *value).map_err(|why| format!("[assume]: {why}"))?;
        }
        let amount = |what: &str, value: Option<f64>| match value {
            Some(value) if !(value >= 0.0 && value.is_finite()) => {
                Err(format!("{what} is 0 or more, not {value}"))
            }
            value => Ok(value),
        };
        stated.market.stranded_day = amount("stranded-day", file.stranded_day)?;
        stated.market.trip = amount("trip", file.trip)?;
        for thing in file.thing {
            let item = thing.item.split('.').next().unwrap_or_default().to_owned();
            let at = |what: &str| format!("thing '{}': {what}", thing.item);
            if !stated.items.insert(item.clone()) {
                return Err(at("it is listed twice; left and right are one kind of thing"));
            }
            let price = amount(&at("price"), thing.price)?;
            let restocking = amount(&at("restocking"), thing.restocking)?;
            if restocking.is_some_and(|part| part > 1.0) {
                return Err(at("restocking is the part of the price that is lost, 0 to 1"));
            }
            if let Some(days) = amount(&at("lead-days"), thing.lead_days)? {
                stated.lead_days.insert(item.clone(), days);
            }
            stated.have.insert(item.clone(), thing.have);
            stated.market.terms.insert(item, Terms { price, restocking });
        }
        Ok(stated)
    }

    /// Puts the owner's lead times in; gives the bits of what lies ready, by the file or by the ledger.
    pub(crate) fn apply(&self, job: &Job, risk: &mut RiskJob) -> u64 {
        let mut left = self.have.clone();
        let mut have = 0;
        for (at, thing) in risk.things.iter_mut().enumerate() {
            let base = thing.item.base().to_owned();
            if let Some(days) = self.lead_days.get(&base) {
                thing.lead_days = *days;
            }
            let ready = job.state.hold(&thing.item).ready || job.state.part(&thing.item).ready;
            let bought = left.get_mut(&base).filter(|left| **left > 0);
            if ready {
                have |= 1 << at;
            } else if let Some(left) = bought {
                *left -= 1;
                have |= 1 << at;
            }
        }
        have
    }

    /// Names in the file that this car does not know.
    pub(crate) fn unknown(&self, job: &Job) -> Vec<String> {
        let known: BTreeSet<&str> = job.car.ids().map(axlestand_model::ItemId::base).collect();
        self.items.iter().filter(|item| !known.contains(item.as_str())).cloned().collect()
    }
}

/// Writes a forecast file where there is none.
///
/// # Errors
/// [`GarageError::Input`] where there is one.
pub(crate) fn write_new(path: &Path, text: &str) -> Result<(), GarageError> {
    use std::io::Write as _;
    let file = std::fs::OpenOptions::new().write(true).create_new(true).open(path);
    let mut file = file.map_err(|why| match why.kind() {
        std::io::ErrorKind::AlreadyExists => GarageError::Input(format!(
            "{} exists already and was left as it is; name another file with --file",
            path.display()
        )),
        _ => GarageError::CannotWrite { path: path.to_owned(), why },
    })?;
    file.write_all(text.as_bytes()).map_err(|why| GarageError::CannotWrite { path: path.to_owned(), why })
}

/// The text of a forecast file to fill in: nothing in it is a price.
#[must_use]
pub fn new_forecast_file(things: &[Thing]) -> String {
    let mut text = String::from(
        "# What a forecast goes by. Take the # away from a line and put your own value in.\n\
         # When you work, and when your shop is open:\n\
         # sessions = [\"Sat 9-18\", \"Sun 10-16\"]\n\
         # shops = [\"Mon-Fri 8-18\", \"Sat 9-13\"]\n\
         # What a day costs on which the car stands and waits, and a trip to the shop:\n\
         # currency = \"\"\n\
         # stranded-day =\n\
         # trip =\n\n\
         # Typical values, no measurement behind them; where yours come from stands under [from]:\n\
         [assume]\n",
    );
    for one in Assumptions::default().iter() {
        let _ = writeln!(text, "# {} = {}  # {}", one.name, one.value, one.what);
    }
    text.push_str(
        "\n# Things that may be needed: price of a piece, days from order to delivery, the part of the price that is\n\
         # lost when it goes back (leave the line out where it is not taken back), how many you have.\n",
    );
    let mut known = BTreeSet::new();
    for thing in things.iter().filter(|thing| known.insert(thing.item.base().to_owned())) {
        let _ = write!(
            text,
            "\n# {}\n# [[thing]]\n# item = \"{}\"\n# price =\n# lead-days =\n# restocking =\n# have = 0\n",
            axlestand_model::without_side(&thing.name),
            thing.item.base()
        );
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_new_file_is_understood_and_states_nothing() {
        let stated = Stated::of_text(&new_forecast_file(&[])).unwrap();
        assert!(stated.market == Market::default() && stated.sessions.is_empty());
        assert!(stated.assumptions.iter().all(|one| !one.stated));
    }

    #[test]
    fn faults_are_named_with_their_place() {
        for (text, says) in [
            ("sessions = [\"Sat 9\"]", "sessions: 'Sat 9'"),
            ("[assume]\nluck = 1", "[assume]: 'luck' is no assumption"),
            ("stranded-day = -3", "stranded-day is 0 or more, not -3"),
            ("price = 3", "line 1, column 1"),
            ("[[thing]]\nitem = \"x\"\nrestocking = 20", "thing 'x': restocking is the part"),
            (
                "[[thing]]\nitem = \"x.left\"\n[[thing]]\nitem = \"x.right\"",
                "thing 'x.right': it is listed twice",
            ),
            ("[[thing]]\nprice = 3", "missing field `item`"),
            ("trip = \"5 km\"", "trip = \"5 km\""),
        ] {
            let why = Stated::of_text(text).unwrap_err();
            assert!(why.contains(says), "{why}");
        }
    }
}
