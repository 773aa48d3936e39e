//! The toolbox file: what the owner has.

use crate::error::GarageError;
use crate::fastening::{AdapterInHand, WrenchInHand};
use axlestand_model::car::Drive;
use axlestand_plan::Toolbox;
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct File {
    #[serde(default)]
    tools: Vec<String>,
    #[serde(default)]
    torque_wrench: Vec<WrenchEntry>,
    #[serde(default)]
    adapter: Vec<AdapterEntry>,
    #[serde(default)]
    gauge: Vec<GaugeEntry>,
}

/// What the owner reads wheel alignment with, as it stands in the toolbox file.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct GaugeEntry {
    /// A kind of data/alignment_readings.csv.
    pub(crate) reading: String,
    /// Standard uncertainty of one reading.
    pub(crate) u: String,
    pub(crate) instrument: Option<String>,
}

/// A torque wrench as it stands in the toolbox file; only name and range must be given.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct WrenchEntry {
    pub(crate) name: String,
    pub(crate) from: String,
    pub(crate) to: String,
    pub(crate) kind: Option<String>,
    pub(crate) step: Option<String>,
    pub(crate) unit: Option<String>,
    pub(crate) accuracy: Option<String>,
    pub(crate) length: Option<String>,
}

/// An adapter as it stands in the toolbox file.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AdapterEntry {
    pub(crate) name: String,
    pub(crate) offset: String,
}

/// Reads a toolbox file:
///
/// ```toml
/// tools = ["hex 21", "inner hex 8", "T30", "ball-joint separator"]
/// [[torque-wrench]]
/// name = "click, half inch"
/// from = "40 N·m"
/// to = "200 N·m"
/// kind = "click"      # click, beam, dial or electronic
/// step = "1 N·m"      # of its scale
/// unit = "N·m"        # what its scale shows
/// accuracy = "4 %"
/// length = "440 mm"   # middle of the grip to the square: needed with an adapter
/// [[adapter]]
/// name = "crow's foot 21"
/// offset = "60 mm"    # middle of the square to the middle of the fastener
/// [[gauge]]
/// reading = "rim-gap" # a kind of data/alignment_readings.csv
/// u = "0.25 mm"       # standard uncertainty of one reading
/// instrument = "steel rule with half millimetres"
/// ```
///
/// # Errors
/// [`GarageError::FaultyToolbox`] with the place and what is wrong.
pub(crate) fn read_toolbox(text: &str) -> Result<Toolbox, GarageError> {
    let file = parse(text)?;
    let mut toolbox = Toolbox::default();
    for tool in &file.tools {
        // Sizes are kept in their standard form, other tools by their name.
        let name = Drive::parse(tool).map_or_else(|_| tool.trim().to_owned(), |drive| drive.to_string());
        toolbox.tools.insert(name);
    }
    let (wrenches, _) = tightening_tools(&file)?;
    crate::alignment::check_gauges(&file.gauge)?;
    toolbox.wrenches = wrenches.into_iter().map(|wrench| (wrench.name, wrench.from, wrench.to)).collect();
    Ok(toolbox)
}

/// The torque wrenches and adapters of a toolbox file.
///
/// # Errors
/// As [`read_toolbox`].
pub(crate) fn read_tightening_tools(
    text: &str,
) -> Result<(Vec<WrenchInHand>, Vec<AdapterInHand>), GarageError> {
    tightening_tools(&parse(text)?)
}

/// The gauges of a toolbox file; none where it is not understood, which is said when a job starts.
pub(crate) fn read_gauges(text: &str) -> Vec<GaugeEntry> {
    parse(text).map(|file| file.gauge).unwrap_or_default()
}

fn parse(text: &str) -> Result<File, GarageError> {
    toml::from_str(text).map_err(|why| GarageError::FaultyToolbox(why.to_string()))
}

fn tightening_tools(file: &File) -> Result<(Vec<WrenchInHand>, Vec<AdapterInHand>), GarageError> {
    let wrenches = file
        .torque_wrench
        .iter()
        .map(|entry| {
            WrenchInHand::read(entry)
                .map_err(|why| GarageError::FaultyToolbox(format!("torque wrench '{}': {why}", entry.name)))
        })
        .collect::<Result<_, _>>()?;
    let adapters = file
        .adapter
        .iter()
        .map(|entry| {
            AdapterInHand::read(&entry.name, &entry.offset)
                .map_err(|why| GarageError::FaultyToolbox(format!("adapter '{}': {why}", entry.name)))
        })
        .collect::<Result<_, _>>()?;
    Ok((wrenches, adapters))
}
