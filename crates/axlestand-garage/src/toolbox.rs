//! The toolbox file: what the owner has.

use crate::error::GarageError;
use axlestand_model::car::Drive;
use axlestand_plan::Toolbox;
use axlestand_quantity::Torque;
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct File {
    #[serde(default)]
    tools: Vec<String>,
    #[serde(default)]
    torque_wrench: Vec<Wrench>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Wrench {
    name: String,
    from: String,
    to: String,
}

/// Reads a toolbox file:
///
/// ```toml
/// tools = ["hex 21", "inner hex 8", "T30", "ball-joint separator"]
/// [[torque-wrench]]
/// name = "click, half inch"
/// from = "40 N·m"
/// to = "200 N·m"
/// ```
///
/// # Errors
/// [`GarageError::FaultyToolbox`] with the place and what is wrong.
pub(crate) fn read_toolbox(text: &str) -> Result<Toolbox, GarageError> {
    let file: File = toml::from_str(text).map_err(|why| GarageError::FaultyToolbox(why.to_string()))?;
    let mut toolbox = Toolbox::default();
    for tool in file.tools {
        // Sizes are kept in their standard form, other tools by their name.
        let name = Drive::parse(&tool).map_or_else(|_| tool.trim().to_owned(), |drive| drive.to_string());
        toolbox.tools.insert(name);
    }
    for wrench in file.torque_wrench {
        let read = |text: &str| -> Result<Torque, GarageError> {
            text.parse()
                .map_err(|why| GarageError::FaultyToolbox(format!("torque wrench '{}': {why}", wrench.name)))
        };
        let (from, to) = (read(&wrench.from)?, read(&wrench.to)?);
        if from > to {
            return Err(GarageError::FaultyToolbox(format!(
                "torque wrench '{}': its range ends ({to}) below where it begins ({from})",
                wrench.name
            )));
        }
        toolbox.wrenches.push((wrench.name, from, to));
    }
    Ok(toolbox)
}
