//! Where the garage app was served last: phones keep what is not sent yet under one address, so that the
//! same port is taken again, and a new device is shown the address that really answers.

use crate::error::GarageError;
use crate::job::Garage;
use serde::{Deserialize, Serialize};

/// The setting that holds it.
const SERVED: &str = "served-at";

/// Where the app was served.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", default)]
pub struct ServedAt {
    /// The port that is taken again; none where none was chosen yet.
    pub port: Option<u16>,
    /// The port of the app over https.
    pub app_port: Option<u16>,
    /// The address that devices of the home network come to; none where only this machine may come.
    pub address: Option<String>,
}

impl Garage {
    /// Where the app of this garage was served last.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub fn served_at(&self) -> Result<ServedAt, GarageError> {
        let kept = self.store.setting(SERVED)?;
        // What another program wrote there is as if nothing was.
        Ok(kept.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
    }

    /// Remembers where the app is served.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be written.
    pub fn keep_served_at(&self, at: &ServedAt) -> Result<(), GarageError> {
        let text = serde_json::to_string(at)
            .map_err(|why| GarageError::Input(format!("the address cannot be kept: {why}")))?;
        self.store.keep_setting(SERVED, &text)
    }
}
